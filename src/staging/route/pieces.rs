//! Outlines cut into convex pieces.

use glam::{DVec2, Vec2};

/// The outline itself if it is convex, else triangles by ear clipping: G. H. Meisters, Amer. Math. Monthly 82(6), 1975.
/// Where an outline crosses itself, what can't be clipped is left as one piece, for its hull.
pub fn convex_pieces(outline: &[Vec2]) -> Vec<Vec<DVec2>> {
    let mut left: Vec<DVec2> = outline.iter().map(|spot| spot.as_dvec2()).collect();
    left.dedup();
    if doubled_area(&left) < 0.0 {
        left.reverse();
    }
    let mut pieces = Vec::new();
    while left.len() > 3 && !is_convex(&left) {
        let Some(ear) = (0..left.len()).find(|ix| is_ear(&left, *ix)) else { break };
        pieces.push(around(&left, ear).into());
        left.remove(ear);
    }
    pieces.push(left);
    pieces
}

/// The corner with the ones before and after it.
fn around(outline: &[DVec2], ix: usize) -> [DVec2; 3] {
    let count = outline.len();
    [count - 1, 0, 1].map(|step| outline[(ix + step) % count])
}

fn turn([a, b, c]: [DVec2; 3]) -> f64 {
    (b - a).perp_dot(c - b)
}

fn doubled_area(outline: &[DVec2]) -> f64 {
    outline.iter().zip(outline.iter().cycle().skip(1)).map(|(a, b)| a.perp_dot(*b)).sum()
}

/// Turns left at every corner, and once round in all: a star of five points turns left everywhere, too.
fn is_convex(outline: &[DVec2]) -> bool {
    let sides: Vec<DVec2> = (0..outline.len()).map(|ix| around(outline, ix)).map(|[a, b, _]| b - a).collect();
    let turns = sides.iter().zip(sides.iter().cycle().skip(1)).map(|(a, b)| a.angle_to(*b));
    (0..outline.len()).all(|ix| turn(around(outline, ix)) >= 0.0) && turns.sum::<f64>() < 7.0
}

/// A corner that can be cut off: it points outwards, and no other corner lies in its triangle.
fn is_ear(outline: &[DVec2], ix: usize) -> bool {
    let corner = around(outline, ix);
    let [a, b, c] = corner;
    let inside = |spot: DVec2| turn([a, b, spot]) >= 0.0 && turn([b, c, spot]) >= 0.0 && turn([c, a, spot]) >= 0.0;
    turn(corner) >= 0.0 && !outline.iter().any(|spot| !corner.contains(spot) && inside(*spot))
}
