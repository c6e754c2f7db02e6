//! Windows as soft lights, for an engine whose light from all round knows no walls.

use crate::daylight::{Daylight, luminance};
use crate::sight::Portal;
use glam::Vec3;

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

/// A window of area A behind which the sky has luminance L shines with L·A straight in.
pub fn window_light(portal: &Portal, daylight: &Daylight) -> WindowLight {
    let lux = daylight.sky.illuminance_on(-portal.inward);
    let sky = daylight.sky.radiance((Vec3::Y * 0.4 - portal.inward).normalize_or(Vec3::Y));
    let sky_nits = luminance(sky).max(1e-6);
    WindowLight {
        at: portal.centre + portal.inward * 0.1,
        inward: portal.inward,
        candela: lux / std::f64::consts::PI * portal.area_m2() * portal.lets_by,
        colour: sky.map(|channel| channel / sky_nits),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Opening, OpeningKind, RoomOpening, RoomSide, Surface};
    use crate::sight::interiors;
    use glam::Vec2;

    /// Lux on the outside, over π, times 2 m² and what glass lets by.
    #[test]
    fn a_window_shines_as_bright_as_the_sky_behind_it() {
        let mut plan = crate::plan::read(crate::plan::STARTER).expect("the starter is valid");
        let opening = Opening { kind: OpeningKind::Window, along_m: 4.0, width_m: 1.0, sill_m: 2.0, height_m: 2.0 };
        plan.venue.rooms = vec![crate::plan::Room {
            id: "nave".into(),
            centre: Vec2::new(3.0, -2.0),
            heading: 0.0,
            size_m: Vec2::new(8.0, 20.0),
            height_m: 5.0,
            floor: Surface::Flagstone,
            walls: Surface::Plaster,
            ceiling: Some(Surface::OakBoards),
            openings: vec![RoomOpening { side: RoomSide::Left, opening }],
        }];
        let daylight = crate::daylight::daylight_at(&plan.place, plan.sky, &plan.start);
        let rooms = interiors(&plan.venue);
        let light = window_light(&rooms[0].portals[0], &daylight);
        let expected = daylight.sky.illuminance_on(Vec3::NEG_X) / std::f64::consts::PI * 2.0 * 0.8;
        assert!((light.candela - expected).abs() < 1e-6 * expected, "{light:?}");
        assert!((light.inward - Vec3::X).length() < 1e-5, "{light:?}");
    }
}
