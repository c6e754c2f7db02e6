//! Standpoint: plan where two wedding photographers stand, and see every frame before the day.
//!
//! The house, in the order data flows. A room may use those above it, never those below.
//!
//! A **plan** is *staged* at an instant into a **tableau** of posed solids; a camera in the tableau
//! yields a **picture** for people and a **sight** for numbers.

pub mod plan;

pub mod staging;

pub mod optics;

pub mod daylight;

pub mod sight;

pub mod picture;

pub mod findings;

pub mod drawing;

pub mod handout;

pub mod cli;
