//! What is seen from somewhere in a tableau, by casting rays at its solids.

mod cast;
mod light;

pub use cast::{Hit, PlainCaster, blocked, first_hit};
pub use light::{FaceLight, LampPoint, face_lux, face_lux_with, lamp_points, scene_luminance};
