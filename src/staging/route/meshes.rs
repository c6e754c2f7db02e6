//! Meshes as obstacles: the cells of the floor where they are in a walker's way.

use super::obstacles::{Blocker, Obstacles};
use crate::plan::Venue;
use crate::staging::mesh_feet;

pub fn add(all: &mut Obstacles, venue: &Venue) {
    for (ix, mesh) in venue.meshes.iter().enumerate() {
        for foot in mesh_feet(venue, mesh) {
            all.add(Blocker::Mesh(ix), foot.map(|spot| spot.as_dvec2()));
        }
    }
}
