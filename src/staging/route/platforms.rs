//! Platforms as obstacles: low ones are stepped onto, high ones are climbed by their steps or not at all.

use super::obstacles::{Blocker, Obstacles};
use crate::plan::{Platform, Venue};
use crate::staging::floor::{plan_spot, step_heights};
use glam::Vec2;

/// A rise that one takes in one step: *judged*, a high stair.
const STEP_ONTO_M: f32 = 0.25;
/// How far from the edge one would fall.
const EDGE_M: f32 = 0.02;

pub fn add(all: &mut Obstacles, venue: &Venue) {
    for (ix, platform) in venue.platforms.iter().enumerate().filter(|(_, p)| p.height_m > STEP_ONTO_M) {
        for [low, high] in closed(platform) {
            let corners = [low, Vec2::new(high.x, low.y), high, Vec2::new(low.x, high.y)];
            let corners = corners.map(|own| plan_spot(own, platform.centre, platform.heading).as_dvec2());
            all.add(Blocker::Platform(ix), corners);
        }
    }
}

/// Rectangles that stop one, in the platform's own axes: all of it without steps, else its sides and back, and the
/// steps' sides as far as they are high.
fn closed(platform: &Platform) -> Vec<[Vec2; 2]> {
    let half = platform.size_m * 0.5;
    if platform.steps == 0 {
        return vec![[-half, half]];
    }
    let high_steps = step_heights(platform).filter(|height_m| *height_m > STEP_ONTO_M).count();
    let front = half.y + high_steps as f32 * platform.tread_m;
    vec![
        [-half, Vec2::new(half.x, EDGE_M - half.y)],
        [-half, Vec2::new(EDGE_M - half.x, front)],
        [Vec2::new(half.x - EDGE_M, -half.y), Vec2::new(half.x, front)],
    ]
}
