//! Sensor, lens, framing, focus and exposure, in plain numbers.

mod camera;

pub use camera::*;
