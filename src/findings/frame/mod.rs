//! Rules about one frame. Each file is one kind of thing that goes wrong.

mod edges;
pub(super) mod faces;
mod focus;
mod hands;
mod light;
mod place;
mod remedy;
mod surroundings;

use super::finding::Finding;
use super::look::Look;

/// Everything worth knowing about a frame.
pub fn all(look: &Look) -> Vec<Finding> {
    let rules: [fn(&Look) -> Vec<Finding>; 8] = [
        place::findings,
        faces::findings,
        hands::findings,
        edges::findings,
        focus::findings,
        light::findings,
        surroundings::seen,
        surroundings::round_heads,
    ];
    rules.iter().flat_map(|rule| rule(look)).collect()
}
