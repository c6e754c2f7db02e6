//! A way along the floor, and how far along it somebody is.

use crate::staging::angle::wrapped;
use glam::Vec2;

/// A way of straight pieces, corners cut a little as people cut them.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    points: Vec<Vec2>,
    /// Way to each point.
    along_m: Vec<f32>,
    /// Which way each piece goes, every one by the shorter turn from the one before: round a circle twice is 4π.
    headings: Vec<f32>,
    /// Heading times way, summed up to each point.
    turned: Vec<f32>,
}

/// How far before a corner one begins to turn, at most.
const CORNER_M: f32 = 0.30;
/// Pieces of a cut corner.
const PIECES: usize = 6;
/// Which way one faces is where one was this long ago to where one will be.
const AHEAD_M: f32 = 0.30;

impl Path {
    /// Through these points; those nearer than a millimetre to the one before are left out.
    pub fn new(points: &[Vec2]) -> Self {
        let mut corners: Vec<Vec2> = Vec::with_capacity(points.len());
        for point in points.iter().filter(|point| point.is_finite()) {
            if corners.last().is_none_or(|last| last.distance(*point) > 1e-3) {
                corners.push(*point);
            }
        }
        let points = cut_corners(&corners);
        let mut along_m = Vec::with_capacity(points.len());
        let mut way = 0.0;
        for (i, point) in points.iter().enumerate() {
            way += i.checked_sub(1).map_or(0.0, |before| points[before].distance(*point));
            along_m.push(way);
        }
        Self::of(points, along_m)
    }

    fn of(points: Vec<Vec2>, along_m: Vec<f32>) -> Self {
        let mut headings: Vec<f32> = Vec::with_capacity(points.len());
        let mut turned = vec![0.0];
        for (ends, along) in points.windows(2).zip(along_m.windows(2)) {
            let way = ends[1] - ends[0];
            let heading = way.x.atan2(-way.y);
            let heading = headings.last().map_or(heading, |before| before + wrapped(heading - before));
            headings.push(heading);
            turned.push(turned.last().copied().unwrap_or(0.0) + heading * (along[1] - along[0]));
        }
        Self { points, along_m, headings, turned }
    }

    pub fn length_m(&self) -> f32 {
        self.along_m.last().copied().unwrap_or(0.0)
    }

    pub fn points(&self) -> &[Vec2] {
        &self.points
    }

    /// The spot so far along; an end for what lies beyond it. The origin if there are no points.
    pub fn at(&self, along_m: f32) -> Vec2 {
        let next = self.along_m.partition_point(|way| *way < along_m);
        let (Some(first), Some(last)) = (self.points.first(), self.points.last()) else { return Vec2::ZERO };
        if next == 0 {
            return *first;
        }
        let Some(to) = self.points.get(next) else { return *last };
        let (a, b) = (self.along_m[next - 1], self.along_m[next]);
        self.points[next - 1].lerp(*to, ((along_m - a) / (b - a).max(1e-6)).clamp(0.0, 1.0))
    }

    /// Which way one faces so far along: the middle of all ways from a little behind to a little ahead, so that turns are
    /// gradual, even where the way goes straight back.
    pub fn heading_at(&self, along_m: f32) -> Option<f32> {
        let along = along_m.clamp(0.0, self.length_m());
        let behind = self.turned_at(along - AHEAD_M)?;
        Some((self.turned_at(along + AHEAD_M)? - behind) / (2.0 * AHEAD_M))
    }

    /// Heading times way up to so far along; before and after it goes on as it begins and ends.
    fn turned_at(&self, along_m: f32) -> Option<f32> {
        let piece = self.along_m.partition_point(|way| *way <= along_m).saturating_sub(1);
        let piece = piece.min(self.headings.len().checked_sub(1)?);
        Some(self.turned[piece] + self.headings[piece] * (along_m - self.along_m[piece]))
    }

    /// The first part of the way.
    pub fn cut_to(&self, length_m: f32) -> Self {
        let keep = self.along_m.partition_point(|way| *way < length_m);
        let mut points = self.points[..keep.min(self.points.len())].to_vec();
        points.push(self.at(length_m));
        let mut along_m = self.along_m[..keep.min(self.along_m.len())].to_vec();
        along_m.push(length_m.clamp(0.0, self.length_m()));
        Self::of(points, along_m)
    }
}

/// Each corner replaced by a curve (a quadratic one, tangent to both sides).
fn cut_corners(corners: &[Vec2]) -> Vec<Vec2> {
    let mut points = Vec::new();
    for (i, corner) in corners.iter().enumerate() {
        let (Some(before), Some(after)) = (i.checked_sub(1).and_then(|k| corners.get(k)), corners.get(i + 1)) else {
            points.push(*corner);
            continue;
        };
        let (to, from) = (*before - *corner, *after - *corner);
        let reach = CORNER_M.min(to.length() * 0.45).min(from.length() * 0.45);
        let (enter, leave) = (*corner + to.normalize_or_zero() * reach, *corner + from.normalize_or_zero() * reach);
        for k in 0..=PIECES {
            let t = k as f32 / PIECES as f32;
            points.push(enter.lerp(*corner, t).lerp(corner.lerp(leave, t), t));
        }
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_are_cut_and_ends_are_kept() {
        let path = Path::new(&[Vec2::ZERO, Vec2::new(4.0, 0.0), Vec2::new(4.0, 3.0)]);
        assert_eq!(path.at(-1.0), Vec2::ZERO);
        assert!(path.at(99.0).distance(Vec2::new(4.0, 3.0)) < 1e-5);
        assert!(path.length_m() < 7.0 && path.length_m() > 6.8, "{}", path.length_m());
        assert!((path.heading_at(1.0).unwrap_or(9.0) - std::f32::consts::FRAC_PI_2).abs() < 1e-4);
        assert!(Path::new(&[]).length_m() == 0.0 && Path::new(&[Vec2::ONE, Vec2::ONE]).heading_at(0.0).is_none());
    }
}
