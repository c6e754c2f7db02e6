//! Rooms with a ceiling as light sees them: openings that the sky shines through, and walls that give light back.

use super::reflects::surface_colour;
use crate::plan::{OpeningKind, Room, RoomOpening, RoomSide, Surface, Venue, forward};
use glam::{DVec3, Quat, Vec2, Vec3};

/// Share of light that clean double glazing lets through. Textbook value, from memory.
const GLASS_LETS_BY: f64 = 0.8;
/// Glass gives this share back into the room; the rest of it goes out. Textbook value, from memory.
const GLASS_REFLECTS: f64 = 0.1;
/// What stands and sits on a floor, and how much of the floor that is: pews, coats, dresses. *Our own.*
const FURNISHING_REFLECTS: f64 = 0.2;
const FURNISHED: f64 = 0.5;
/// A wall is this thick for the question of what still belongs to the room.
const WALL_M: f32 = 0.35;

/// A room with a ceiling.
#[derive(Debug, Clone, PartialEq)]
pub struct Interior {
    middle_of_floor: Vec3,
    turned: Quat,
    size_m: Vec3,
    pub portals: Vec<Portal>,
    area_m2: f64,
    /// Mean over all its surfaces, linear sRGB.
    reflects: DVec3,
}

/// A window or open door, in the inner face of its wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Portal {
    pub centre: Vec3,
    /// Unit vector into the room.
    pub inward: Vec3,
    across: Vec3,
    pub width_m: f32,
    pub height_m: f32,
    /// Share of light that comes through.
    pub lets_by: f64,
}

impl Portal {
    pub fn area_m2(&self) -> f64 {
        f64::from(self.width_m * self.height_m)
    }

    /// A point of it; `right` and `up` run from −0.5 to 0.5.
    pub fn point(&self, right: f32, up: f32) -> Vec3 {
        self.centre + self.across * (right * self.width_m) + Vec3::Y * (up * self.height_m)
    }
}

/// All rooms with a ceiling, in the plan's order.
pub fn interiors(venue: &Venue) -> Vec<Interior> {
    venue.rooms.iter().filter_map(|room| room.ceiling.map(|ceiling| interior(room, ceiling))).collect()
}

fn interior(room: &Room, ceiling: Surface) -> Interior {
    let size_m = Vec3::new(room.size_m.x, room.height_m, room.size_m.y);
    let floor_m2 = f64::from(size_m.x * size_m.z);
    let walls_m2 = f64::from(2.0 * size_m.y * (size_m.x + size_m.z));
    let opening_m2 = |o: &&RoomOpening| f64::from(o.opening.width_m * o.opening.height_m);
    let openings_m2: f64 = room.openings.iter().map(|o| opening_m2(&o)).sum::<f64>().min(walls_m2);
    let floor = surface_colour(room.floor) * (1.0 - FURNISHED) + DVec3::splat(FURNISHED * FURNISHING_REFLECTS);
    let area_m2 = 2.0 * floor_m2 + walls_m2;
    let given_back = (floor + surface_colour(ceiling)) * floor_m2
        + surface_colour(room.walls) * (walls_m2 - openings_m2)
        + DVec3::splat(GLASS_REFLECTS * openings_m2);
    Interior {
        middle_of_floor: Vec3::new(room.centre.x, 0.0, room.centre.y),
        turned: Quat::from_rotation_y(-room.heading),
        size_m,
        portals: room
            .openings
            .iter()
            .filter(|o| o.opening.kind != OpeningKind::Door)
            .map(|o| portal(room, o))
            .collect(),
        area_m2,
        reflects: given_back / area_m2.max(1e-6),
    }
}

fn portal(room: &Room, RoomOpening { side, opening }: &RoomOpening) -> Portal {
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
    Portal {
        centre: Vec3::new(on_floor.x, opening.sill_m + opening.height_m / 2.0, on_floor.y),
        inward,
        across: inward.cross(Vec3::Y),
        width_m: opening.width_m,
        height_m: opening.height_m,
        lets_by: if opening.kind == OpeningKind::Window { GLASS_LETS_BY } else { 1.0 },
    }
}

impl Interior {
    /// Whether a point is in the room, its walls included.
    pub fn holds(&self, point: Vec3) -> bool {
        let own = self.turned.inverse() * (point - self.middle_of_floor);
        let half = self.size_m / 2.0;
        own.x.abs() <= half.x + WALL_M
            && own.z.abs() <= half.z + WALL_M
            && own.y >= -WALL_M
            && own.y <= self.size_m.y + WALL_M
    }

    pub fn longest_m(&self) -> f32 {
        self.size_m.length()
    }

    /// Illuminance, lux in linear sRGB, of every surface by light that went to and fro between them, when `lumens` come
    /// in: Φ·ρ / (A·(1 − ρ)), the integrating sphere's sum. For rooms it is the "internally reflected component" of the
    /// split-flux method (R. G. Hopkinson, P. Petherbridge, J. Longmore, *Daylighting*, 1966; from memory).
    pub fn bounced(&self, lumens: DVec3) -> DVec3 {
        let reflects = self.reflects.min(DVec3::splat(0.95));
        lumens * reflects / (self.area_m2.max(1e-6) * (DVec3::ONE - reflects))
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
            floor: Surface::Flagstone,
            walls: Surface::Plaster,
            ceiling: Some(Surface::OakBoards),
            openings: vec![],
        }
    }

    #[test]
    fn a_turned_room_holds_what_lies_in_it() {
        // Turned by a right angle the 20 m run along x.
        let turned = interior(&room(std::f32::consts::FRAC_PI_2), Surface::Plaster);
        assert!(turned.holds(Vec3::new(12.5, 1.5, -2.0)));
        assert!(!turned.holds(Vec3::new(3.0, 1.5, 5.0)));
        assert!(!turned.holds(Vec3::new(3.0, 7.0, -2.0)));
    }

    /// A window in the wall on the left of a room that faces −z lies at −x and shines towards +x.
    #[test]
    fn windows_shine_inwards() {
        let opening =
            crate::plan::Opening { kind: OpeningKind::Window, along_m: 4.0, width_m: 1.0, sill_m: 2.0, height_m: 2.0 };
        let portal = portal(&room(0.0), &RoomOpening { side: RoomSide::Left, opening });
        assert!((portal.inward - Vec3::X).length() < 1e-5, "{portal:?}");
        // 4 m from the left end as seen from inside, looking at −x: the left end is at +z.
        assert!((portal.centre - Vec3::new(3.0 - 4.0, 3.0, -2.0 + 10.0 - 4.0)).length() < 1e-4, "{portal:?}");
        assert_eq!(portal.area_m2(), 2.0);
        assert!((portal.point(0.5, 0.5) - portal.centre).length() > 1.1);
        assert!((portal.point(0.5, 0.5) - portal.centre).dot(portal.inward).abs() < 1e-6);
    }

    /// Closed form, by hand: all surfaces 0.5, 600 lm, 2 · 8 · 20 + 2 · 5 · 28 = 600 m²: 1 lx · 0.5 / 0.5 = 1 lx.
    #[test]
    fn light_to_and_fro_adds_up_as_in_an_integrating_sphere() {
        let grey = Interior { reflects: DVec3::splat(0.5), ..interior(&room(0.0), Surface::Plaster) };
        assert!((grey.bounced(DVec3::splat(600.0)) - DVec3::ONE).length() < 1e-9);
        let black = Interior { reflects: DVec3::ZERO, ..grey };
        assert_eq!(black.bounced(DVec3::splat(600.0)), DVec3::ZERO);
    }
}
