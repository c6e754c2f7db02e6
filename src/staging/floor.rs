//! How high the floor is: platforms and their steps.

use crate::plan::{Platform, Venue};
use glam::Vec2;

/// Height of the floor over the plan's floor at a spot, metres: the highest platform or step there, else 0.
pub fn floor_height(venue: &Venue, spot: Vec2) -> f32 {
    venue.platforms.iter().filter_map(|p| platform_height(p, spot)).fold(0.0, f32::max)
}

/// A spot in a thing's own axes: x to its right, z behind it, for a thing at `centre` that faces `heading`.
pub fn own_spot(spot: Vec2, centre: Vec2, heading: f32) -> Vec2 {
    let d = spot - centre;
    let (sin, cos) = heading.sin_cos();
    Vec2::new(d.x * cos + d.y * sin, -d.x * sin + d.y * cos)
}

/// The way back of [`own_spot`].
pub fn plan_spot(own: Vec2, centre: Vec2, heading: f32) -> Vec2 {
    let (sin, cos) = heading.sin_cos();
    centre + Vec2::new(own.x * cos - own.y * sin, own.x * sin + own.y * cos)
}

/// Heights of the steps in front of a platform, from the platform down: equal rises to the floor.
pub fn step_heights(platform: &Platform) -> impl Iterator<Item = f32> + '_ {
    let rises = platform.steps + 1;
    (1..=platform.steps).map(move |k| platform.height_m * (rises - k) as f32 / rises as f32)
}

fn platform_height(platform: &Platform, spot: Vec2) -> Option<f32> {
    let own = own_spot(spot, platform.centre, platform.heading);
    let half = platform.size_m * 0.5;
    if own.x.abs() > half.x || own.y < -half.y {
        return None;
    }
    if own.y <= half.y {
        return Some(platform.height_m);
    }
    let step = ((own.y - half.y) / platform.tread_m.max(1e-3)) as usize;
    step_heights(platform).nth(step)
}
