//! Plan and instant to tableau: figures, seating, fixtures, venue, as posed solids with owners.

mod tableau;

pub use tableau::*;
pub fn floor_height(_: &crate::plan::Venue, _: glam::Vec2) -> f32 { 0.0 }
