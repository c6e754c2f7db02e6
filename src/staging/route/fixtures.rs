//! Fixtures as obstacles: where each kind meets the floor, or a walker's body.

use super::obstacles::{Blocker, Obstacles, octagon};
use crate::plan::{Fixture, FixtureKind, Venue};
use crate::staging::floor::plan_spot;
use glam::DVec2;

/// One steps over what is lower, walks under what hangs higher, and under boughs from here: *judged*.
const STEP_OVER_M: f32 = 0.2;
const WALK_UNDER_M: f32 = 1.9;
const STOOP_UNDER_LEAVES_M: f32 = 1.4;

pub fn add(all: &mut Obstacles, venue: &Venue) {
    for (ix, fixture) in venue.fixtures.iter().enumerate() {
        let top_m = fixture.above_floor_m + fixture.size_m[1];
        if top_m <= STEP_OVER_M || fixture.above_floor_m >= WALK_UNDER_M {
            continue;
        }
        for foot in feet(fixture) {
            let on_floor = |own: &DVec2| plan_spot(own.as_vec2(), fixture.at, fixture.heading).as_dvec2();
            all.add(Blocker::Fixture(ix), foot.iter().map(on_floor));
        }
    }
}

/// Outlines in the fixture's own axes: x to its right, y behind it. They follow how each kind is carved.
fn feet(fixture: &Fixture) -> Vec<Vec<DVec2>> {
    use FixtureKind::*;
    let [width, height, depth] = fixture.size_m.map(f64::from);
    let size = DVec2::new(width, depth);
    let whole = || vec![rectangle(DVec2::ZERO, size)];
    match fixture.kind {
        CableCover => vec![],
        // A pair of posts with rungs on either side.
        Arch => {
            let post = (width * 0.030).clamp(0.04, 0.10);
            [-0.5, 0.5]
                .map(|side| rectangle(DVec2::new(side * (width - post), 0.0), DVec2::new(post, depth.max(post))))
                .into()
        }
        // Four posts; the rear ones hold gathered cloth.
        Canopy => corners(|side, back| {
            let cloth = if back > 0.0 { DVec2::new(0.16, 0.12) } else { DVec2::splat(0.065) };
            rectangle(DVec2::new(side, back) * (size * 0.5 - DVec2::splat(0.04)), cloth)
        }),
        // Four poles, each with a rope to a peg outside.
        Tent => corners(|side, back| {
            let pole = DVec2::new(side, back) * (size * 0.5 - DVec2::splat(0.05));
            let peg = pole + DVec2::new(side, back) * 0.95 * std::f64::consts::FRAC_1_SQRT_2;
            let mut foot = rectangle(pole, DVec2::splat(0.06));
            foot.push(peg);
            foot
        }),
        // Crowns begin at 0.30 to 0.40 of the height.
        Tree if fixture.above_floor_m + fixture.size_m[1] * 0.35 < STOOP_UNDER_LEAVES_M => round(size * 0.5),
        Tree => round(DVec2::splat((height * 0.030 + width * 0.018).clamp(0.08, 0.7) * 0.5 * 1.25)),
        Bush | Urn | FlowerStand | CandleStand | FireExtinguisher => round(size * 0.5),
        MicrophoneStand => round(size.min(DVec2::splat(0.3)) * 0.5),
        // Tripods.
        Loudspeaker => round(DVec2::splat(width.max(0.35) * 0.95)),
        LightStand => round(DVec2::splat(width * 0.55)),
        // The stool stands before it.
        Piano => {
            vec![rectangle(DVec2::ZERO, size), rectangle(DVec2::new(0.0, -depth * 0.5 - 0.32), DVec2::new(0.60, 0.34))]
        }
        AltarTable | Lectern | Column | HedgeRow | Table | Chair | Bench | MusicStand | ExitSign | Bin
        | Noticeboard | Generator | Van | Post | Block => whole(),
    }
}

fn rectangle(centre: DVec2, size: DVec2) -> Vec<DVec2> {
    [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)].map(|(x, y)| centre + DVec2::new(x, y) * size).into()
}

fn round(half_m: DVec2) -> Vec<Vec<DVec2>> {
    vec![octagon(half_m).into()]
}

/// One outline at each corner, made from its side (−1 left, 1 right) and whether it is at the front (−1) or back (1).
fn corners(foot: impl Fn(f64, f64) -> Vec<DVec2>) -> Vec<Vec<DVec2>> {
    [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(side, back)| foot(side, back)).into()
}
