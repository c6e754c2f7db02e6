//! Photographers: where they stand and which way they face, how they walk, and what their camera covers.

use super::board::{Board, Words};
use super::extent::page_scale;
use super::outline::{arrow_head, ellipse};
use super::words::standpoint_words;
use super::{Drawing, Ink, Subject};
use crate::plan::{PhotographerIx, StandpointIx};
use crate::sight::Covered;
use crate::staging::run::{CrewAt, Path};
use crate::staging::{Run, plan_spot, standpoint_headings};
use glam::Vec2;

/// Radius of the field under a pair of soles, metres.
const FIELD_M: f32 = 0.46;
/// Half the distance between the soles' middles. Soles are half as long again as real ones, so that one sees them on paper.
const APART_M: f32 = 0.14;
/// A sole's edge, its toe ahead (−z), its inner side at −x, metres.
const SOLE: [(f32, f32); 14] = [
    (-0.045, -0.21),
    (0.0, -0.235),
    (0.05, -0.215),
    (0.085, -0.165),
    (0.095, -0.10),
    (0.085, -0.03),
    (0.065, 0.04),
    (0.068, 0.13),
    (0.05, 0.195),
    (0.0, 0.22),
    (-0.05, 0.195),
    (-0.065, 0.13),
    (-0.06, 0.02),
    (-0.075, -0.13),
];
/// How far soles turn out.
const SPLAY: f32 = 0.12;
const LABEL_PT: f32 = 7.0;
const ROUTE_PT: f32 = 6.5;
const ARROW_M: f32 = 0.42;

/// Every standpoint as a pair of soles that point where its photographer faces at that instant, or towards the couple if it isn't
/// held then, with its name and the height of the camera; placed for a page of A4. Held ones lie on top.
pub fn standpoints(run: &Run, at_s: f64) -> Drawing {
    standpoints_at(run, at_s, page_scale(run.plan))
}

/// The same, words placed for a scale in points to a metre.
pub fn standpoints_at(run: &Run, at_s: f64, pt_per_m: f32) -> Drawing {
    let plan = run.plan;
    let headings = standpoint_headings(run, at_s);
    let held = |i: usize| matches!(run.crew_at(plan.standpoints[i].photographer, at_s), CrewAt::At(it) if it.0 == i);
    let mut order: Vec<(usize, bool)> = (0..plan.standpoints.len()).map(|i| (i, held(i))).collect();
    order.sort_by_key(|(_, held)| *held);
    let mut drawing = Drawing::default();
    let mut board = Board::new(pt_per_m);
    for &(i, held) in &order {
        let standpoint = &plan.standpoints[i];
        let (by, of) = (standpoint.photographer, Some(Subject::Standpoint(StandpointIx(i))));
        let (field, sole) = match held {
            true => (Ink::StandpointField(by), Ink::Standpoint(by)),
            false => (Ink::StandpointFieldAway(by), Ink::StandpointAway(by)),
        };
        drawing.area(vec![ellipse(standpoint.at, 0.0, Vec2::splat(2.0 * FIELD_M))], field, of);
        for side in [-1.0, 1.0] {
            drawing.area(vec![sole_outline(standpoint.at, headings[i], side)], sole, of);
        }
        board.take(standpoint.at, FIELD_M * board.pt_per_m());
    }
    // Words of the held ones get the best places.
    for (i, held) in order.into_iter().rev() {
        let Some((text, by)) = standpoint_words(plan, i) else { continue };
        let ink = if held { Ink::CrewLabel(by) } else { Ink::CrewLabelAway(by) };
        let radius_pt = FIELD_M * board.pt_per_m();
        let of = Some(Subject::Standpoint(StandpointIx(i)));
        let at = plan.standpoints[i].at;
        board.write(&mut drawing, &Words { at, radius_pt, text: &text, size_pt: LABEL_PT, ink, of });
    }
    drawing
}

fn sole_outline(at: Vec2, heading: f32, side: f32) -> Vec<Vec2> {
    let middle = plan_spot(Vec2::new(side * APART_M, 0.0), at, heading);
    SOLE.iter().map(|(x, z)| plan_spot(Vec2::new(side * x, *z), middle, heading + side * SPLAY)).collect()
}

/// What a camera covers, as it was worked out.
pub fn covered(cover: &Covered, crew: PhotographerIx) -> Drawing {
    let mut drawing = Drawing::default();
    for patch in &cover.patches {
        drawing.area(patch.rings().cloned().collect(), Ink::Covered(crew), None);
    }
    drawing
}

/// Ways from standpoint to standpoint that photographers walk at any time between two instants, each with an arrow at its end and
/// the seconds from lowering the camera to having it up again; placed for a page of A4.
pub fn routes(run: &Run, from_s: f64, to_s: f64) -> Drawing {
    routes_at(run, from_s, to_s, page_scale(run.plan))
}

/// The same, words placed for a scale in points to a metre.
pub fn routes_at(run: &Run, from_s: f64, to_s: f64, pt_per_m: f32) -> Drawing {
    let mut drawing = Drawing::default();
    let mut board = Board::new(pt_per_m);
    for it in run.moves.iter().filter(|it| it.leaves_s <= to_s && it.ready_s >= from_s) {
        let by = it.photographer;
        let of = Some(Subject::Photographer(by));
        drawing.line(short_of_its_end(&it.path), Ink::Route(by), of);
        let length_m = it.path.length_m();
        if let Some(heading) = it.path.heading_at(length_m) {
            drawing.area(vec![arrow_head(it.path.at(length_m), heading, ARROW_M)], Ink::RouteHead(by), of);
        }
        let text = format!("{:.0} s", it.ready_s - it.leaves_s);
        let at = it.path.at(length_m * 0.5);
        board.write(
            &mut drawing,
            &Words { at, radius_pt: 1.0, text: &text, size_pt: ROUTE_PT, ink: Ink::CrewLabel(by), of },
        );
    }
    drawing
}

/// The arrow head takes the rest.
fn short_of_its_end(path: &Path) -> Vec<Vec2> {
    let length_m = path.length_m();
    path.cut_to((length_m - ARROW_M * 0.8).max(length_m * 0.2)).points().to_vec()
}
