//! The place: ground, floors, walls, platforms, surround, lamps.

mod ground;

mod lamps;

mod platforms;

mod surround;

pub mod walls;

pub use lamps::string_point;

use super::carve::Carver;
use super::chance::Chance;
use super::tableau::{Owner, OwnerIx, OwnerKind, Solid};
use crate::plan::Plan;

/// Everything of the venue that is neither fixture nor seat.
pub fn carve_venue(plan: &Plan, owners: &mut Vec<Owner>, solids: &mut Vec<Solid>) {
    let venue = &plan.venue;
    let chance = Chance::new(plan.seed).named("venue");
    let mut owned = |id: &str, carve: &mut dyn FnMut(&mut Carver)| {
        let owner = OwnerIx(owners.len() as u32);
        owners.push(Owner { id: id.into(), kind: OwnerKind::Venue });
        carve(&mut Carver::new(solids, owner));
    };
    owned("ground", &mut |c| ground::carve_ground(c, venue));
    owned("surround", &mut |c| surround::carve_surround(c, &venue.surround, chance));
    for room in &venue.rooms {
        owned(&room.id, &mut |c| walls::carve_room(c, room));
    }
    for wall in &venue.walls {
        owned(&wall.id, &mut |c| walls::carve_wall(c, wall));
    }
    for platform in &venue.platforms {
        owned(&platform.id, &mut |c| platforms::carve_platform(c, platform));
    }
    for lamp in &venue.lamps {
        owned(&lamp.id, &mut |c| lamps::carve_lamp(c, venue, lamp, chance));
    }
}
