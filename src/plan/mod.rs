//! The document: what a plan says, read from RON, checked, and saved.

mod model;

pub use model::*;
