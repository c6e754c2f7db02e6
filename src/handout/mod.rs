//! What goes out to other hands and programs, as bytes that a file can hold.

mod gltf;

pub use gltf::{PlannedCamera, glb};
