//! Headings: radians clockwise seen from above, from −z.

use glam::Vec2;
use std::f32::consts::{PI, TAU};

/// The same angle between −π and π.
pub fn wrapped(angle: f32) -> f32 {
    (angle + PI).rem_euclid(TAU) - PI
}

/// Unit vector on the floor (x, z) that a heading points along.
pub fn ahead(heading: f32) -> Vec2 {
    let (sin, cos) = heading.sin_cos();
    Vec2::new(sin, -cos)
}

/// A quarter turn to the right of a way.
pub fn right_of(way: Vec2) -> Vec2 {
    Vec2::new(-way.y, way.x)
}

/// Heading from one spot to another; `None` if they are the same.
pub fn heading_to(from: Vec2, to: Vec2) -> Option<f32> {
    let way = to - from;
    (way.length() > 1e-4).then(|| way.x.atan2(-way.y))
}
