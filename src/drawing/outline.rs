//! Outlines that several layers share, on the floor in metres.

use crate::plan::forward;
use crate::staging::plan_spot;
use glam::Vec2;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::Overlay;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::point::IntPoint;
use std::f32::consts::TAU;

/// Rings are joined on a grid this fine: a tenth of a millimetre, on which 200 km fit.
const STEPS_PER_M: f32 = 10_000.0;
/// Farther out than anything in a plan; keeps numbers on the grid.
const FARTHEST_M: f32 = 100_000.0;

/// A rectangle about its middle; width is across its heading.
pub fn rectangle(centre: Vec2, heading: f32, size_m: Vec2) -> Vec<Vec2> {
    let half = size_m * 0.5;
    [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
        .map(|(x, z)| plan_spot(half * Vec2::new(x, z), centre, heading))
        .to_vec()
}

/// An ellipse of 24 corners about its middle.
pub fn ellipse(centre: Vec2, heading: f32, size_m: Vec2) -> Vec<Vec2> {
    let corner = |i: u32| Vec2::from_angle(TAU * i as f32 / 24.0) * size_m * 0.5;
    (0..24).map(|i| plan_spot(corner(i), centre, heading)).collect()
}

/// A band of a width along a way, mitred at its corners.
pub fn band(path: &[Vec2], width_m: f32) -> Vec<Vec2> {
    let mut left = side(path, width_m * 0.5);
    left.extend(side(path, -width_m * 0.5).into_iter().rev());
    left
}

fn side(path: &[Vec2], off_m: f32) -> Vec<Vec2> {
    let way = |from: usize, to: usize| (path[to] - path[from]).normalize_or_zero();
    let last = path.len().saturating_sub(1);
    let corner = |i: usize| {
        let (before, after) = (way(i.saturating_sub(1), i), way(i, (i + 1).min(last)));
        let along = (before + after).normalize_or_zero();
        let piece = if before == Vec2::ZERO { after } else { before };
        // No mitre is longer than twice its band.
        path[i] + along.perp() * (off_m / along.dot(piece).max(0.5))
    };
    (0..path.len()).map(corner).collect()
}

/// A triangle with its tip here, for the end of a way that goes along `heading`.
pub fn arrow_head(tip: Vec2, heading: f32, length_m: f32) -> Vec<Vec2> {
    let ahead = forward(heading);
    let foot = tip - ahead * length_m;
    let aside = ahead.perp() * (length_m * 0.38);
    vec![tip, foot + aside, foot + ahead * (length_m * 0.18), foot - aside]
}

/// What some rings that all turn the same way cover together: outlines and holes, for the even-odd rule.
pub fn joined(rings: &[Vec<Vec2>]) -> Vec<Vec<Vec2>> {
    let on_grid = |m: f32| (m.clamp(-FARTHEST_M, FARTHEST_M) * STEPS_PER_M).round() as i32;
    let on_grid = |spot: &Vec2| IntPoint::new(on_grid(spot.x), on_grid(spot.y));
    let rings: Vec<Vec<IntPoint<i32>>> = rings.iter().map(|ring| ring.iter().map(on_grid).collect()).collect();
    let shapes = Overlay::from_subj(&rings).overlay(OverlayRule::Subject, FillRule::NonZero);
    let spot = |at: &IntPoint<i32>| Vec2::new(at.x as f32, at.y as f32) / STEPS_PER_M;
    shapes.into_iter().flatten().map(|ring: Vec<IntPoint<i32>>| ring.iter().map(spot).collect()).collect()
}
