//! Plan and instant to tableau: figures, seating, fixtures, venue, as posed solids with owners.

mod tableau;

pub use tableau::*;
