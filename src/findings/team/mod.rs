//! Rules about both photographers and the whole ceremony.

mod bodies;
mod coverage;
mod places;
mod slip;
mod views;

use super::finding::Finding;
use super::look::Look;
use crate::staging::Run;
use glam::Vec2;

/// Everything worth knowing about the team.
pub fn all(run: &Run, looks: &[Look]) -> Vec<Finding> {
    let mut found = coverage::findings(run, looks);
    found.extend(places::findings(run));
    found.extend(views::findings(run));
    found.extend(bodies::findings(run, looks));
    found.extend(slip::findings(run, looks));
    found
}

/// Whether a spot of the floor lies inside an outline (crossings of a ray, even and odd).
pub fn holds(outline: &[Vec2], spot: Vec2) -> bool {
    let ends = outline.iter().zip(outline.iter().cycle().skip(1));
    let crossed = |(a, b): &(&Vec2, &Vec2)| {
        (a.y > spot.y) != (b.y > spot.y) && spot.x < a.x + (spot.y - a.y) / (b.y - a.y) * (b.x - a.x)
    };
    ends.filter(crossed).count() % 2 == 1
}

/// Distance of a spot from a path.
pub fn distance_m(path: &[Vec2], spot: Vec2) -> f32 {
    let legs = path.windows(2).filter_map(|leg| <[Vec2; 2]>::try_from(leg).ok());
    let from_leg = |[a, b]: [Vec2; 2]| {
        let along = ((spot - a).dot(b - a) / (b - a).length_squared().max(1e-9)).clamp(0.0, 1.0);
        spot.distance(a.lerp(b, along))
    };
    let alone = path.first().map_or(f32::INFINITY, |only| only.distance(spot));
    legs.map(from_leg).fold(alone, f32::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use glam::vec2;

    #[test]
    fn inside_and_beside() {
        let square = [vec2(0.0, 0.0), vec2(2.0, 0.0), vec2(2.0, 2.0), vec2(0.0, 2.0)];
        assert!(holds(&square, vec2(1.0, 1.0)) && holds(&square, vec2(1.99, 0.01)));
        assert!(!holds(&square, vec2(2.01, 1.0)) && !holds(&square, vec2(1.0, -0.01)) && !holds(&[], vec2(0.0, 0.0)));
        let path = [vec2(0.0, 0.0), vec2(4.0, 0.0), vec2(4.0, 3.0)];
        assert_eq!(distance_m(&path, vec2(2.0, 1.5)), 1.5);
        assert_eq!(distance_m(&path, vec2(7.0, 7.0)), 5.0);
        assert_eq!(distance_m(&[], vec2(0.0, 0.0)), f32::INFINITY);
    }
}
