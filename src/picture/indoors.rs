//! Light indoors, as simple physics: windows as soft lights, and how much of the open sky's light reaches the subject.
//!
//! The engine's light from all round knows no walls. So it is scaled to what a meter finds at the subject, where rays
//! do know them.

use crate::daylight::Daylight;
use crate::plan::{OpeningKind, Room, RoomOpening, RoomSide, Venue, forward};
use crate::staging::floor_height;
use glam::{Vec2, Vec3};

/// Share of light that clean double glazing lets through. Textbook value, from memory.
const GLASS_LETS_BY: f64 = 0.8;

/// The sky through one window, as a light just inside it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindowLight {
    pub at: Vec3,
    /// Unit vector into the room.
    pub inward: Vec3,
    /// Straight inward, candela; falls off with the cosine.
    pub candela: f64,
    /// Linear sRGB of luminance 1.
    pub colour: [f32; 3],
}

/// The room with a ceiling that a spot on the floor lies in.
pub fn room_at(venue: &Venue, spot: Vec2) -> Option<&Room> {
    venue.rooms.iter().find(|room| {
        let from_centre = spot - room.centre;
        let ahead = forward(room.heading);
        let across = Vec2::new(-ahead.y, ahead.x);
        room.ceiling.is_some()
            && from_centre.dot(across).abs() <= room.size_m.x / 2.0
            && from_centre.dot(ahead).abs() <= room.size_m.y / 2.0
    })
}

/// Lights for the windows and open doors of a room: a window of area A behind which the sky has luminance L shines with
/// L·A straight in.
pub fn window_lights(venue: &Venue, room: &Room, daylight: &Daylight) -> Vec<WindowLight> {
    let lets_by = |opening: &&RoomOpening| opening.opening.kind != OpeningKind::Door;
    room.openings.iter().filter(lets_by).map(|opening| window_light(venue, room, opening, daylight)).collect()
}

fn window_light(
    venue: &Venue,
    room: &Room,
    RoomOpening { side, opening }: &RoomOpening,
    daylight: &Daylight,
) -> WindowLight {
    let half = room.size_m / 2.0;
    // In the room's own space, its front at −z; `along` counts from the left end of the wall seen from inside.
    let along = opening.along_m;
    let (spot, inward) = match side {
        RoomSide::Front => (Vec2::new(along - half.x, -half.y), Vec2::Y),
        RoomSide::Right => (Vec2::new(half.x, along - half.y), Vec2::NEG_X),
        RoomSide::Back => (Vec2::new(half.x - along, half.y), Vec2::NEG_Y),
        RoomSide::Left => (Vec2::new(-half.x, half.y - along), Vec2::X),
    };
    let ahead = forward(room.heading);
    let across = Vec2::new(-ahead.y, ahead.x);
    let turn = |own: Vec2| across * own.x - ahead * own.y;
    let (inward, on_floor) = (turn(inward), room.centre + turn(spot));
    let inward = Vec3::new(inward.x, 0.0, inward.y);
    let height_m = floor_height(venue, room.centre) + opening.sill_m + opening.height_m / 2.0;
    let at = Vec3::new(on_floor.x, height_m, on_floor.y) + inward * 0.1;
    let lux = daylight.sky.illuminance_on(-inward);
    let area_m2 = f64::from(opening.width_m * opening.height_m);
    let sky = daylight.sky.radiance((Vec3::Y * 0.4 - inward).normalize_or(Vec3::Y));
    let luminance = crate::daylight::luminance(sky).max(1e-6);
    WindowLight {
        at,
        inward,
        candela: lux / std::f64::consts::PI * area_m2 * GLASS_LETS_BY,
        colour: sky.map(|channel| channel / luminance),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room(heading: f32) -> Room {
        Room {
            id: "nave".into(),
            centre: Vec2::new(3.0, -2.0),
            heading,
            size_m: Vec2::new(8.0, 20.0),
            height_m: 5.0,
            floor: crate::plan::Surface::Flagstone,
            walls: crate::plan::Surface::Plaster,
            ceiling: Some(crate::plan::Surface::OakBoards),
            openings: vec![],
        }
    }

    #[test]
    fn a_turned_room_holds_what_lies_in_it() {
        let mut plan = crate::plan::read(crate::plan::STARTER).expect("the starter is valid");
        plan.venue.rooms = vec![room(std::f32::consts::FRAC_PI_2)];
        // Turned by a right angle the 20 m run along x.
        assert!(room_at(&plan.venue, Vec2::new(12.5, -2.0)).is_some());
        assert!(room_at(&plan.venue, Vec2::new(3.0, 5.0)).is_none());
    }

    /// A window in the wall on the left of a room that faces −z lies at −x and shines towards +x.
    #[test]
    fn windows_shine_inwards() {
        let plan = crate::plan::read(crate::plan::STARTER).expect("the starter is valid");
        let daylight = crate::daylight::daylight_at(&plan.place, plan.sky, &plan.start);
        let opening =
            crate::plan::Opening { kind: OpeningKind::Window, along_m: 4.0, width_m: 1.0, sill_m: 2.0, height_m: 2.0 };
        let light = window_light(&plan.venue, &room(0.0), &RoomOpening { side: RoomSide::Left, opening }, &daylight);
        assert!((light.inward - Vec3::X).length() < 1e-5, "{light:?}");
        // 4 m from the left end as seen from inside, looking at −x: the left end is at +z.
        assert!((light.at - Vec3::new(3.0 - 4.0 + 0.1, 3.0, -2.0 + 10.0 - 4.0)).length() < 1e-4, "{light:?}");
        let expected = daylight.sky.illuminance_on(Vec3::NEG_X) / std::f64::consts::PI * 2.0 * GLASS_LETS_BY;
        assert!((light.candela - expected).abs() < 1e-6 * expected, "{light:?}");
    }
}
