//! A convex outline on the floor, and the same outline grown by a walker's half width.
//!
//! Growing moves every edge outwards. Corners keep their shape, but those sharper than a right angle are first cut
//! across, so that no grown corner lies further than √2 times the growth from the thing itself.

use super::obstacles::Blocker;
use glam::DVec2;

/// Half the thickness given to what has none: a wall drawn as a line still stops one.
const THIN_M: f64 = 5e-4;

#[derive(Debug, Clone)]
pub struct Outline {
    pub of: Blocker,
    edges: Vec<Edge>,
    corners: Vec<Corner>,
    low: DVec2,
    high: DVec2,
}

/// Everything with `out · spot ≥ at_m` lies beyond the edge.
#[derive(Debug, Clone, Copy)]
struct Edge {
    out: DVec2,
    at_m: f64,
}

/// Where the corner is, and where it goes for each metre that the outline grows.
#[derive(Debug, Clone, Copy)]
struct Corner {
    at: DVec2,
    goes: DVec2,
}

impl Outline {
    /// Around the convex hull of these spots. Spots that are not numbers are left out; `None` if none remains.
    pub fn around(of: Blocker, spots: impl IntoIterator<Item = DVec2>) -> Option<Self> {
        let mut spots: Vec<DVec2> = spots.into_iter().filter(|spot| spot.is_finite()).collect();
        let mut hull = convex_hull(&mut spots);
        if hull.len() < 3 {
            let square = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
            let mut thick: Vec<DVec2> =
                hull.iter().flat_map(|spot| square.map(|(x, y)| *spot + DVec2::new(x, y) * THIN_M)).collect();
            hull = convex_hull(&mut thick);
        }
        let outs: Vec<DVec2> = pairs(&hull).map(|(a, b)| -(b - a).perp().normalize_or_zero()).collect();
        let (mut edges, mut corners) = (Vec::new(), Vec::new());
        for ((before, after), (_, at)) in pairs(&outs).zip(pairs(&hull)) {
            edges.push(Edge { out: before, at_m: before.dot(at) });
            let cut = (before + after).try_normalize().filter(|_| before.dot(after) < -0.01);
            let outs = [Some(before), cut, Some(after)];
            edges.extend(cut.map(|out| Edge { out, at_m: out.dot(at) }));
            let outs: Vec<DVec2> = outs.into_iter().flatten().collect();
            corners.extend(outs.windows(2).map(|pair| Corner { at, goes: mitre(pair[0], pair[1]) }));
        }
        let low = hull.iter().copied().reduce(DVec2::min)?;
        let high = hull.iter().copied().reduce(DVec2::max)?;
        Some(Self { of, edges, corners, low, high })
    }

    /// How much the outline would have to grow to reach a spot; negative inside.
    pub fn apart_m(&self, spot: DVec2) -> f64 {
        self.edges.iter().map(|edge| edge.out.dot(spot) - edge.at_m).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Share of the straight way after which one is inside the grown outline; `None` if one never is. Sliding along an
    /// edge is not inside.
    pub fn entered_at(&self, from: DVec2, to: DVec2, grown_m: f64) -> Option<f64> {
        // A line is cut by one edge after the other: Cyrus and Beck, Computers & Graphics 3, 1978.
        let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
        for edge in &self.edges {
            let beyond_m = |spot: DVec2| edge.out.dot(spot) - edge.at_m - grown_m;
            match (beyond_m(from), beyond_m(to)) {
                (a, b) if a >= 0.0 && b >= 0.0 => return None,
                (a, b) if a >= 0.0 => enters = enters.max(a / (a - b)),
                (a, b) if b >= 0.0 => leaves = leaves.min(a / (a - b)),
                _ => {}
            }
        }
        (enters < leaves).then_some(enters)
    }

    /// Could the straight way between two spots touch the grown outline? A quick test by bounding boxes.
    pub fn is_near(&self, from: DVec2, to: DVec2, grown_m: f64) -> bool {
        let reach = DVec2::splat(grown_m.max(0.0) * std::f64::consts::SQRT_2);
        from.min(to).cmple(self.high + reach).all() && from.max(to).cmpge(self.low - reach).all()
    }

    /// Corners of the grown outline, in order round it.
    pub fn corners(&self, grown_m: f64) -> impl ExactSizeIterator<Item = DVec2> + '_ {
        self.corners.iter().map(move |corner| corner.at + corner.goes * grown_m)
    }
}

/// Where the corner between two edges goes for each metre that both move out. The edges turn by a little more than a
/// right angle at most.
fn mitre(before: DVec2, after: DVec2) -> DVec2 {
    (before + after) / (1.0 + before.dot(after))
}

/// Each with the next, the last with the first.
fn pairs(spots: &[DVec2]) -> impl Iterator<Item = (DVec2, DVec2)> + '_ {
    spots.iter().copied().zip(spots.iter().copied().cycle().skip(1))
}

/// Corners of the convex hull, without those on a straight edge: A. M. Andrew's monotone chain, Inf. Proc. Letters 9(5),
/// 1979. Fewer than three where all spots lie on a line.
fn convex_hull(spots: &mut [DVec2]) -> Vec<DVec2> {
    spots.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let half = |spots: &mut dyn Iterator<Item = DVec2>| {
        let mut chain: Vec<DVec2> = Vec::new();
        for spot in spots {
            while let [.., a, b] = chain[..]
                && (b - a).perp_dot(spot - b) <= 1e-9
            {
                chain.pop();
            }
            if chain.last() != Some(&spot) {
                chain.push(spot);
            }
        }
        chain
    };
    let there = half(&mut spots.iter().copied());
    let mut back = half(&mut spots.iter().rev().copied());
    let mut hull = there;
    if hull.len() > 1 {
        hull.pop();
        back.pop();
        hull.append(&mut back);
    }
    hull
}
