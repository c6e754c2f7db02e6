//! Meshes from other programs: what of them is in a walker's way, within the outline of all of them.

use super::super::outline::joined;
use super::super::{Drawing, Ink, Subject};
use crate::plan::{Mesh, MeshIx, Venue};
use crate::staging::{mesh_feet, plan_spot};
use glam::Vec2;

pub fn draw(drawing: &mut Drawing, venue: &Venue) {
    for (i, it) in venue.meshes.iter().enumerate() {
        mesh(drawing, venue, it, Subject::Mesh(MeshIx(i)));
    }
}

fn mesh(drawing: &mut Drawing, venue: &Venue, it: &Mesh, of: Subject) {
    let outline: Vec<Vec2> = it.body.outline.iter().map(|own| plan_spot(*own, it.at, it.heading)).collect();
    drawing.area(vec![outline], Ink::Overhead, Some(of));
    let feet: Vec<Vec<Vec2>> = mesh_feet(venue, it).into_iter().map(Vec::from).collect();
    drawing.area(joined(&feet), if it.clutter { Ink::Clutter } else { Ink::Fixture }, Some(of));
}
