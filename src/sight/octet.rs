//! Eight blocks, or eight triangles, tried against a ray at once.
//!
//! The arithmetic is the plain caster's, lane by lane, without fused steps: the same numbers with whatever instructions the
//! processor has.

use super::cast::lean;
use super::tree::{Bounds, Lanes, NOTHING, Ray};
use crate::staging::{Block, Solid};
use fearless_simd::prelude::*;
use glam::{Mat3, Vec3};

/// Eight numbers of eight blocks.
type Eight = [f32; 8];

/// Eight turned and tapered blocks.
#[derive(Debug, Clone)]
#[repr(align(32))]
pub struct BlockOctet {
    at: [Eight; 3],
    /// Rows of the rotation from the world into the block's own space.
    rows: [[Eight; 3]; 3],
    half_height: Eight,
    /// Slope of the sides, and their distance from the middle at half height, along x and z.
    lean: [Eight; 2],
    middle: [Eight; 2],
    /// What each takes up in the world.
    pub low: [Eight; 3],
    pub high: [Eight; 3],
    /// Index into the tableau's solids, or [`NOTHING`].
    pub solids: [u32; 8],
}

impl BlockOctet {
    /// Of blocks with their place in the tableau and what they take up.
    pub fn new(blocks: [Option<(u32, &Solid, &Block, Bounds)>; 8]) -> Self {
        // A block that isn't there is met nowhere: outside of all its planes.
        let mut octet = Self {
            at: [[0.0; 8]; 3],
            rows: [[[0.0; 8]; 3]; 3],
            half_height: [-1.0; 8],
            lean: [[0.0; 8]; 2],
            middle: [[-1.0; 8]; 2],
            low: [[f32::INFINITY; 8]; 3],
            high: [[f32::NEG_INFINITY; 8]; 3],
            solids: [NOTHING; 8],
        };
        for (lane, (number, solid, block, bounds)) in
            blocks.into_iter().enumerate().filter_map(|(i, one)| Some((i, one?)))
        {
            let own_from_world = Mat3::from_quat(solid.turned.inverse()).transpose();
            for axis in 0..3 {
                octet.at[axis][lane] = solid.at[axis];
                octet.low[axis][lane] = bounds.low[axis];
                octet.high[axis][lane] = bounds.high[axis];
                for column in 0..3 {
                    octet.rows[axis][column][lane] = own_from_world.col(axis)[column];
                }
            }
            octet.half_height[lane] = block.half_m.y;
            for (side, (half, top)) in [(block.half_m.x, block.top.x), (block.half_m.z, block.top.y)].iter().enumerate()
            {
                octet.lean[side][lane] = lean(*half, *top, block.half_m.y);
                octet.middle[side][lane] = half * (1.0 + top) / 2.0;
            }
            octet.solids[lane] = number;
        }
        octet
    }

    /// The six planes of one block, as a point sees them: how far it is outside, and the outward normal in the world, not of
    /// length 1 where the block tapers.
    pub fn planes(&self, lane: usize, point: Vec3) -> [(f32, Vec3); 6] {
        let at = |three: &[Eight; 3]| Vec3::new(three[0][lane], three[1][lane], three[2][lane]);
        let [x, y, z] = [at(&self.rows[0]), at(&self.rows[1]), at(&self.rows[2])];
        let away = point - at(&self.at);
        let (half_height, up) = (self.half_height[lane], y.dot(away));
        let side = |side: usize, axis: Vec3, sign: f32| {
            let (lean, middle) = (self.lean[side][lane], self.middle[side][lane]);
            (lean * up - middle + sign * axis.dot(away), y * lean + axis * sign)
        };
        [
            (up - half_height, y),
            (-up - half_height, -y),
            side(0, x, 1.0),
            side(0, x, -1.0),
            side(1, z, 1.0),
            side(1, z, -1.0),
        ]
    }

    /// Distances at which a ray enters the blocks from outside, infinite where it doesn't.
    #[inline(always)]
    pub fn enter<S: Simd>(&self, simd: S, ray: &Ray<S>) -> Lanes<S> {
        let away = sub(ray.origin, load(simd, &self.at));
        let mut from = [Lanes::splat(simd, 0.0); 3];
        let mut along = from;
        for axis in 0..3 {
            let row = load(simd, &self.rows[axis]);
            (from[axis], along[axis]) = (dot(row, away), dot(row, ray.direction));
        }
        let mut slab = Slab::new(simd);
        let half_height = Lanes::load_array_ref(simd, &self.half_height);
        slab.plane(from[1] - half_height, along[1]);
        slab.plane(-from[1] - half_height, -along[1]);
        for (side, axis) in [(0, 0), (1, 2)] {
            let lean = Lanes::load_array_ref(simd, &self.lean[side]);
            let (up, rising) = (lean * from[1] - Lanes::load_array_ref(simd, &self.middle[side]), lean * along[1]);
            slab.plane(up + from[axis], rising + along[axis]);
            slab.plane(up - from[axis], rising - along[axis]);
        }
        slab.entered()
    }
}

/// What is left of a ray between planes.
pub struct Slab<S: Simd> {
    simd: S,
    enters: Lanes<S>,
    leaves: Lanes<S>,
}

impl<S: Simd> Slab<S> {
    #[inline(always)]
    pub fn new(simd: S) -> Self {
        Self { simd, enters: Lanes::splat(simd, f32::NEG_INFINITY), leaves: Lanes::splat(simd, f32::INFINITY) }
    }

    /// Cuts at a plane that the ray starts `outside` of and moves away from at `speed`.
    #[inline(always)]
    pub fn plane(&mut self, outside: Lanes<S>, speed: Lanes<S>) {
        let (zero, never) = (Lanes::splat(self.simd, 0.0), Lanes::splat(self.simd, f32::INFINITY));
        // Along the plane: never left from inside or upon it, never come in from outside.
        let still = outside.simd_gt(zero).select(-never, never);
        let at = speed.simd_eq(zero).select(still, -outside / speed);
        let inward = speed.simd_lt(zero);
        self.enters = inward.select(self.enters.max(at), self.enters);
        self.leaves = inward.select(self.leaves, self.leaves.min(at));
    }

    /// Where the ray came in, infinite where it never did or was inside.
    #[inline(always)]
    pub fn entered(self) -> Lanes<S> {
        let met = self.enters.simd_ge(Lanes::splat(self.simd, 0.0)) & self.enters.simd_le(self.leaves);
        met.select(self.enters, Lanes::splat(self.simd, f32::INFINITY))
    }
}

/// Eight triangles in the world: a corner and the two edges from it.
#[derive(Debug, Clone)]
#[repr(align(32))]
pub struct TriangleOctet {
    corner: [Eight; 3],
    edges: [[Eight; 3]; 2],
    /// Index into the tableau's solids, or [`NOTHING`].
    pub solids: [u32; 8],
}

impl TriangleOctet {
    pub fn new(triangles: [Option<(u32, [Vec3; 3])>; 8]) -> Self {
        let mut octet = Self { corner: [[0.0; 8]; 3], edges: [[[0.0; 8]; 3]; 2], solids: [NOTHING; 8] };
        for (lane, (solid, [a, b, c])) in triangles.into_iter().enumerate().filter_map(|(i, one)| Some((i, one?))) {
            for axis in 0..3 {
                octet.corner[axis][lane] = a[axis];
                octet.edges[0][axis][lane] = (b - a)[axis];
                octet.edges[1][axis][lane] = (c - a)[axis];
            }
            octet.solids[lane] = solid;
        }
        octet
    }

    /// The corner of one triangle, and the edges from it.
    pub fn triangle(&self, lane: usize) -> (Vec3, [Vec3; 2]) {
        let at = |three: &[Eight; 3]| Vec3::new(three[0][lane], three[1][lane], three[2][lane]);
        (at(&self.corner), [at(&self.edges[0]), at(&self.edges[1])])
    }

    /// What one triangle takes up.
    pub fn bounds(&self, lane: usize) -> Bounds {
        let (corner, edges) = self.triangle(lane);
        edges.iter().fold(Bounds::NOTHING.with(corner), |sum, &edge| sum.with(corner + edge))
    }

    /// Distances at which a ray meets the triangles from either side, infinite where it doesn't.
    #[inline(always)]
    pub fn meet<S: Simd>(&self, simd: S, ray: &Ray<S>) -> Lanes<S> {
        let (ab, ac) = (load(simd, &self.edges[0]), load(simd, &self.edges[1]));
        let across = cross(ray.direction, ac);
        let volume = dot(ab, across);
        let from = sub(ray.origin, load(simd, &self.corner));
        let beside = cross(from, ab);
        let (zero, one) = (Lanes::splat(simd, 0.0), Lanes::splat(simd, 1.0));
        let over = one / volume;
        let (u, v) = (dot(from, across) * over, dot(ray.direction, beside) * over);
        let distance = dot(ac, beside) * over;
        let met = volume.abs().simd_ge(Lanes::splat(simd, 1e-12))
            & u.simd_ge(zero)
            & v.simd_ge(zero)
            & (u + v).simd_le(one)
            & distance.simd_ge(zero);
        met.select(distance, Lanes::splat(simd, f32::INFINITY))
    }
}

#[inline(always)]
fn load<S: Simd>(simd: S, three: &[Eight; 3]) -> [Lanes<S>; 3] {
    let [x, y, z] = three;
    [Lanes::load_array_ref(simd, x), Lanes::load_array_ref(simd, y), Lanes::load_array_ref(simd, z)]
}

#[inline(always)]
fn sub<S: Simd>(a: [Lanes<S>; 3], b: [Lanes<S>; 3]) -> [Lanes<S>; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

#[inline(always)]
fn cross<S: Simd>(a: [Lanes<S>; 3], b: [Lanes<S>; 3]) -> [Lanes<S>; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

#[inline(always)]
fn dot<S: Simd>(a: [Lanes<S>; 3], b: [Lanes<S>; 3]) -> Lanes<S> {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}
