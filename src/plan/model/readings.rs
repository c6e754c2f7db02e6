//! Light measured on a visit.

use super::Sky;
use glam::Vec2;
use jiff::ZonedDateTime;

/// An incident meter held at a spot.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// As people call the spot: its mark, or where it is.
    pub place: String,
    pub at: Vec2,
    /// Of the meter above the floor.
    pub height_m: f32,
    /// Where the meter's dome looked, radians.
    pub heading: f32,
    pub when: ZonedDateTime,
    /// Of that hour.
    pub sky: Sky,
    pub measured: Measured,
}

/// What the meter showed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measured {
    /// Exposure value at ISO 100.
    Ev100(f64),
    Lux(f64),
}
