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
const MEMORY: usize = 7 * 72;

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
        let (origin, direction) = (origin.to_array(), direction.to_array());
        // Along an axis a ray crosses the other two's planes as good as never.
        let inverse = direction.map(|along| 1.0 / if along.abs() < 1e-20 { 1e-20f32.copysign(along) } else { along });
        Self {
            origin: origin.map(|value| Lanes::splat(simd, value)),
            direction: direction.map(|value| Lanes::splat(simd, value)),
            inverse: inverse.map(|value| Lanes::splat(simd, value)),
            backwards: inverse.map(|value| value < 0.0),
        }
    }
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
                let side = |axis: usize, far: bool| {
                    let side = if ray.backwards[axis] == far { &node.low[axis] } else { &node.high[axis] };
                    (Lanes::load_array_ref(simd, side) - ray.origin[axis]) * ray.inverse[axis]
                };
                let enters = side(0, false).max(side(1, false)).max(side(2, false)).max(Lanes::splat(simd, 0.0));
                let leaves = side(0, true).min(side(1, true)).min(side(2, true)).min(Lanes::splat(simd, *reach_m));
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
