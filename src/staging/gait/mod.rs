//! Movement in time: walks with planted feet, steps aside and back, turns on the spot, a slow dance.
//!
//! Everything is a function of how far somebody has come or how long they have danced; nothing remembers the instant
//! before.

mod cadence;

mod foot;

mod footfalls;

mod walk;

mod dance;

pub use cadence::{cadence_spm, passes_s, step_length_m, travelled_m};
pub use dance::{BEAT_S, Sway, dance, sway};
pub use foot::{Foot, Stride};
pub use walk::Walk;

pub(super) use foot::smooth;
