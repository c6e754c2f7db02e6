//! Fixtures by their outline from above; what one walks under is open, what spoils pictures is crossed out.

use super::super::outline::{ellipse, rectangle};
use super::super::{Drawing, Ink, Subject};
use crate::plan::{Fixture, FixtureIx, FixtureKind, Venue};
use crate::staging::plan_spot;
use glam::Vec2;

/// Side of a post of an arch, a canopy or a tent, metres; of a trunk, as a share of the crown.
const POST_M: f32 = 0.14;
const TRUNK: f32 = 0.10;
/// One walks under what begins higher than this: beams.
const HANGS_M: f32 = 2.2;
/// How far the cross over clutter reaches from the middle to the corners.
const CROSS: f32 = 0.62;
/// Crosses over small things are at least this long, metres from the middle.
const LEAST_CROSS_M: f32 = 0.16;

pub fn draw(drawing: &mut Drawing, venue: &Venue) {
    for (i, it) in venue.fixtures.iter().enumerate() {
        fixture(drawing, it, Subject::Fixture(FixtureIx(i)));
    }
}

fn fixture(drawing: &mut Drawing, it: &Fixture, of: Subject) {
    use FixtureKind::*;
    let size = Vec2::new(it.size_m[0], it.size_m[2]);
    let whole = rectangle(it.at, it.heading, size);
    let ink = if it.clutter { Ink::Clutter } else { Ink::Fixture };
    match it.kind {
        _ if it.above_floor_m > HANGS_M => drawing.area(vec![whole], Ink::Overhead, Some(of)),
        Arch | Canopy | Tent => {
            drawing.area(vec![whole], Ink::Overhead, Some(of));
            let corner = (size - POST_M).max(Vec2::ZERO) * 0.5;
            let ends: &[(f32, f32)] = if it.kind == Arch {
                &[(-1.0, 0.0), (1.0, 0.0)]
            } else {
                &[(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
            };
            let deep_m = if it.kind == Arch { size.y } else { POST_M };
            let post = |(x, z): &(f32, f32)| {
                let at = plan_spot(corner * Vec2::new(*x, *z), it.at, it.heading);
                rectangle(at, it.heading, Vec2::new(POST_M, deep_m))
            };
            drawing.area(ends.iter().map(post).collect(), ink, Some(of));
        }
        Tree => {
            drawing.area(vec![ellipse(it.at, it.heading, size)], Ink::Crown, Some(of));
            drawing.area(vec![ellipse(it.at, it.heading, size * TRUNK)], ink, Some(of));
        }
        Bush => drawing.area(vec![ellipse(it.at, it.heading, size)], Ink::Plant, Some(of)),
        HedgeRow => drawing.area(vec![whole], Ink::Plant, Some(of)),
        FlowerStand => drawing.area(vec![ellipse(it.at, it.heading, size)], Ink::Plant, Some(of)),
        Column | Urn | CandleStand | MicrophoneStand | FireExtinguisher | Bin | LightStand | Post => {
            drawing.area(vec![ellipse(it.at, it.heading, size)], ink, Some(of));
        }
        _ => drawing.area(vec![whole], ink, Some(of)),
    }
    if it.clutter {
        let reach = (size * 0.5 * CROSS).max(Vec2::splat(LEAST_CROSS_M));
        for slope in [-1.0, 1.0] {
            let end = |way: f32| plan_spot(reach * Vec2::new(way, way * slope), it.at, it.heading);
            drawing.line(vec![end(-1.0), end(1.0)], Ink::ClutterCross, Some(of));
        }
    }
}
