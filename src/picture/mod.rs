//! Tableau and camera to picture.

pub mod look;
pub mod lamps;
pub mod mesh;
pub mod noise;
pub mod texture;

#[cfg(feature = "engine")]
pub mod engine;
