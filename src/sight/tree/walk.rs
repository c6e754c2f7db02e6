//! Rays on their way through a tree.

use super::{LEAF, Tree};
use arrayvec::ArrayVec;
use fearless_simd::f32x8;
use fearless_simd::prelude::*;
use glam::Vec3;

/// No thing, no child.
pub const NOTHING: u32 = u32::MAX;

/// Nodes that a walk may have to come back to: seven from each level, and a tree has at most forty levels by area and
/// thirty-two by halves.
pub(super) const MEMORY: usize = 7 * 72;

/// Eight numbers side by side.
pub type Lanes<S> = f32x8<S>;

/// A ray as all boxes want it.
#[derive(Clone, Copy)]
pub struct Ray<S: Simd> {
    pub origin: [Lanes<S>; 3],
    pub direction: [Lanes<S>; 3],
    inverse: [Lanes<S>; 3],
    backwards: [bool; 3],
}

impl<S: Simd> Ray<S> {
    #[inline(always)]
    pub fn new(simd: S, origin: Vec3, direction: Vec3) -> Self {
        // Along an axis a ray crosses the other two's planes as good as never.
        let crosses = Vec3::select(direction.abs().cmplt(Vec3::splat(1e-20)), direction.signum() * 1e-20, direction);
        Self {
            origin: splat(simd, origin),
            direction: splat(simd, direction),
            inverse: splat(simd, crosses.recip()),
            backwards: [crosses.x < 0.0, crosses.y < 0.0, crosses.z < 0.0],
        }
    }
}

#[inline(always)]
fn splat<S: Simd>(simd: S, value: Vec3) -> [Lanes<S>; 3] {
    [Lanes::splat(simd, value.x), Lanes::splat(simd, value.y), Lanes::splat(simd, value.z)]
}

impl Tree {
    /// Visits the leaves that a ray may meet, nearest first, until none is left within `reach_m`, which `visit` may
    /// shorten: it gets the leaf's number, and stops the walk with `true`.
    #[inline(always)]
    pub fn walk<S: Simd>(
        &self,
        simd: S,
        ray: &Ray<S>,
        reach_m: &mut f32,
        mut visit: impl FnMut(u32, &mut f32) -> bool,
    ) {
        if self.nodes.is_empty() {
            return;
        }
        let mut open: ArrayVec<(f32, u32), MEMORY> = ArrayVec::new();
        let mut child = 0u32;
        loop {
            if child & LEAF != 0 {
                if visit(child & !LEAF, reach_m) {
                    return;
                }
            } else {
                let node = &self.nodes[child as usize];
                let [mut enters, mut leaves] = [Lanes::splat(simd, 0.0), Lanes::splat(simd, *reach_m)];
                for axis in 0..3 {
                    let (low, high) = (&node.low[axis], &node.high[axis]);
                    let (near, far) = if ray.backwards[axis] { (high, low) } else { (low, high) };
                    let near = (Lanes::load_array_ref(simd, near) - ray.origin[axis]) * ray.inverse[axis];
                    let far = (Lanes::load_array_ref(simd, far) - ray.origin[axis]) * ray.inverse[axis];
                    (enters, leaves) = (enters.max(near), leaves.min(far));
                }
                let mut met = enters.simd_le(leaves).to_bitmask();
                if met != 0 {
                    let enters = enters.to_array();
                    let before = open.len();
                    while met != 0 {
                        let lane = met.trailing_zeros() as usize;
                        met &= met - 1;
                        // Far ones below near ones.
                        let entry = (enters[lane], node.child[lane]);
                        let mut at = open.len();
                        open.push(entry);
                        while at > before && open[at - 1].0 < entry.0 {
                            open[at] = open[at - 1];
                            at -= 1;
                        }
                        open[at] = entry;
                    }
                }
            }
            loop {
                let Some((enters, next)) = open.pop() else { return };
                if enters <= *reach_m {
                    child = next;
                    break;
                }
            }
        }
    }
}

/// The lowest set lane of a mask, and the mask without it.
#[inline(always)]
pub fn first_lane(mask: &mut u64) -> Option<usize> {
    if *mask == 0 {
        return None;
    }
    let lane = mask.trailing_zeros() as usize;
    *mask &= *mask - 1;
    Some(lane)
}
