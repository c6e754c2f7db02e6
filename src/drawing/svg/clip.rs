//! What of a shape lies on the page: coordinates beyond it help nobody and trouble readers of large plans.

use glam::Vec2;

/// A ring within a rectangle (I. E. Sutherland & G. W. Hodgman, Commun. ACM 17 (1974), 32). Parts of it that hang together only
/// outside are joined along the edge.
pub fn ring_within(ring: &[Vec2], low: Vec2, high: Vec2) -> Vec<Vec2> {
    let mut ring: Vec<Vec2> = ring.iter().copied().filter(|at| at.is_finite()).collect();
    for (normal, least) in halves(low, high) {
        if ring.iter().all(|at| at.dot(normal) >= least) {
            continue;
        }
        let mut left = Vec::with_capacity(ring.len() + 2);
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            let (from, to) = (a.dot(normal) - least, b.dot(normal) - least);
            if from >= 0.0 {
                left.push(*a);
            }
            if (from < 0.0) != (to < 0.0) {
                left.push(a.lerp(*b, from / (from - to)).clamp(low, high));
            }
        }
        ring = left;
    }
    ring
}

/// Pieces of a line within a rectangle (Y.-D. Liang & B. A. Barsky, ACM Trans. Graph. 3 (1984), 1).
pub fn line_within(points: &[Vec2], low: Vec2, high: Vec2) -> Vec<Vec<Vec2>> {
    let mut pieces: Vec<Vec<Vec2>> = vec![];
    for ends in points.windows(2).filter(|ends| ends.iter().all(|at| at.is_finite())) {
        let (a, way) = (ends[0], ends[1] - ends[0]);
        let (mut from, mut to) = (0.0_f32, 1.0_f32);
        for (normal, least) in halves(low, high) {
            let (off, slope) = (a.dot(normal) - least, way.dot(normal));
            match slope {
                _ if slope > 0.0 => from = from.max(-off / slope),
                _ if slope < 0.0 => to = to.min(off / -slope),
                _ if off < 0.0 => to = -1.0,
                _ => {}
            }
        }
        if from > to {
            continue;
        }
        let [begin, end] = [from, to].map(|share| (a + way * share).clamp(low, high));
        match pieces.last_mut() {
            Some(piece) if from == 0.0 && piece.last() == Some(&begin) => piece.push(end),
            _ => pieces.push(vec![begin, end]),
        }
    }
    pieces
}

/// The rectangle's sides: inward normals, and how far along them one is inside.
fn halves(low: Vec2, high: Vec2) -> [(Vec2, f32); 4] {
    [(Vec2::X, low.x), (Vec2::NEG_X, -high.x), (Vec2::Y, low.y), (Vec2::NEG_Y, -high.y)]
}
