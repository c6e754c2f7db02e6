//! The place: ground, rooms and walls, platforms, fixtures, meshes, seats, marks, lamps, and where nobody may stand.

mod fixtures;

mod limits;

mod meshes;

mod seats;

mod walls;

use super::outline::rectangle;
use super::{Drawing, Ink, Subject};
use crate::plan::{Aisle, Lamp, LampKind, Plan, Platform};
use crate::staging::plan_spot;
use glam::Vec2;

/// Radius of a mark's dot and of a lamp's, points.
const MARK_PT: f32 = 2.2;
const LAMP_PT: f32 = 2.6;
/// A spot's line towards what it is pointed at is never longer than this.
const BEAM_M: f32 = 1.2;

/// Everything of the venue and the marks, without words. Every seat is an area of its own.
pub fn venue(plan: &Plan) -> Drawing {
    let mut drawing = Drawing::default();
    let venue = &plan.venue;
    let ground = rectangle(venue.surround.centre, 0.0, venue.surround.half_m * 2.0);
    drawing.area(vec![ground], Ink::Ground(venue.ground), None);
    for (i, patch) in venue.patches.iter().enumerate() {
        drawing.area(vec![patch.outline.clone()], Ink::Ground(patch.surface), Some(Subject::Patch(i)));
    }
    for (i, room) in venue.rooms.iter().enumerate() {
        let floor = rectangle(room.centre, room.heading, room.size_m);
        drawing.area(vec![floor], Ink::Floor(room.floor), Some(Subject::Room(i)));
    }
    for (i, it) in venue.platforms.iter().enumerate() {
        platform(&mut drawing, it, Subject::Platform(i));
    }
    for (i, it) in venue.aisles.iter().enumerate() {
        aisle(&mut drawing, it, Subject::Aisle(i));
    }
    limits::draw(&mut drawing, venue);
    seats::draw(&mut drawing, venue);
    meshes::draw(&mut drawing, venue);
    fixtures::draw(&mut drawing, venue);
    walls::draw(&mut drawing, venue);
    for (i, it) in venue.lamps.iter().enumerate() {
        lamp(&mut drawing, it, Subject::Lamp(i));
    }
    for (i, mark) in plan.marks.iter().enumerate() {
        drawing.dot(mark.at, MARK_PT, Ink::MarkSpot, Some(Subject::Mark(i)));
    }
    drawing
}

/// With its steps; a line along every edge that one steps over.
fn platform(drawing: &mut Drawing, it: &Platform, of: Subject) {
    let steps_m = it.steps as f32 * it.tread_m;
    let middle = plan_spot(Vec2::new(0.0, steps_m * 0.5), it.centre, it.heading);
    let whole = rectangle(middle, it.heading, it.size_m + Vec2::new(0.0, steps_m));
    drawing.area(vec![whole], Ink::Platform, Some(of));
    for step in 0..it.steps {
        let z = it.size_m.y * 0.5 + step as f32 * it.tread_m;
        let end = |x: f32| plan_spot(Vec2::new(x * it.size_m.x * 0.5, z), it.centre, it.heading);
        drawing.line(vec![end(-1.0), end(1.0)], Ink::Step, Some(of));
    }
}

fn aisle(drawing: &mut Drawing, it: &Aisle, of: Subject) {
    let rgb = |part: f32| (part.clamp(0.0, 1.0) * 255.0).round() as u8;
    let ink = it.runner.map_or(Ink::Aisle, |colour| Ink::Runner(colour.0.map(rgb)));
    drawing.area(vec![super::outline::band(&[it.from, it.to], it.width_m)], ink, Some(of));
}

fn lamp(drawing: &mut Drawing, it: &Lamp, of: Subject) {
    match (it.kind, it.to, it.aimed_at) {
        (LampKind::Strings, Some(to), _) => {
            drawing.line(vec![it.at, to], Ink::Cable, Some(of));
            drawing.dot(to, LAMP_PT * 0.6, Ink::Lamp, Some(of));
        }
        (LampKind::Spot, _, Some(to)) => {
            let way = (to - it.at).clamp_length_max(BEAM_M);
            drawing.line(vec![it.at, it.at + way], Ink::Lamp, Some(of));
        }
        _ => {}
    }
    drawing.dot(it.at, LAMP_PT, Ink::Lamp, Some(of));
}
