//! Figures: block mannequins of our own, with natural proportions, a face that faces somewhere, and clothes.

pub mod proportions;

pub mod reach;

pub mod skeleton;

mod motion;

pub mod gesture;

pub mod blend;

mod petals;

pub mod dress;

mod tailor;

mod sleeves;

mod legs;

mod skirts;

pub mod veil;

pub mod head;

pub mod hair;

pub mod held;

mod landmarks;

pub use landmarks::{eyes, landmarks};
