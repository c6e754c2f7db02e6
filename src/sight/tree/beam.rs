//! Bundles of rays from one eye on their way through a tree.

use super::walk::Lanes;
use super::{LEAF, Tree, first_lane};
use fearless_simd::prelude::*;
use glam::Vec3;

/// A pyramid without end.
pub struct Beam {
    eye: Vec3,
    forward: Vec3,
    /// Normals of its sides, inward.
    sides: [Vec3; 4],
}

impl Beam {
    /// From its edges' directions, in order round it; depth is counted along unit `forward`.
    pub fn new(eye: Vec3, forward: Vec3, edges: [Vec3; 4]) -> Self {
        let middle = edges[0] + edges[1] + edges[2] + edges[3];
        let inward = |side: Vec3| if side.dot(middle) < 0.0 { -side } else { side };
        Self { eye, forward, sides: [0, 1, 2, 3].map(|k| inward(edges[k].cross(edges[(k + 1) % 4]))) }
    }

    /// Which of eight upright boxes may lie in it, as bits, and the depth of each one's nearest corner.
    #[inline(always)]
    pub fn meets<S: Simd>(&self, simd: S, low: &[[f32; 8]; 3], high: &[[f32; 8]; 3]) -> (u64, Lanes<S>) {
        let zero = Lanes::splat(simd, 0.0);
        let mut low_from_eye = [zero; 3];
        let mut high_from_eye = [zero; 3];
        for axis in 0..3 {
            let eye = Lanes::splat(simd, self.eye[axis]);
            low_from_eye[axis] = Lanes::load_array_ref(simd, &low[axis]) - eye;
            high_from_eye[axis] = Lanes::load_array_ref(simd, &high[axis]) - eye;
        }
        let mut met = farthest_along(simd, self.forward, &low_from_eye, &high_from_eye).simd_ge(zero);
        for side in self.sides {
            met &= farthest_along(simd, side, &low_from_eye, &high_from_eye).simd_ge(zero);
        }
        let nearest = farthest_along(simd, self.forward, &high_from_eye, &low_from_eye);
        (met.to_bitmask(), nearest)
    }
}

/// The largest product of a direction with a point of each box; of boxes turned inside out the smallest.
#[inline(always)]
fn farthest_along<S: Simd>(simd: S, way: Vec3, low: &[Lanes<S>; 3], high: &[Lanes<S>; 3]) -> Lanes<S> {
    let mut sum = Lanes::splat(simd, 0.0);
    for axis in 0..3 {
        let corner = if way[axis] >= 0.0 { high[axis] } else { low[axis] };
        sum += corner * Lanes::splat(simd, way[axis]);
    }
    sum
}

impl Tree {
    /// Leaves that a beam may meet, each with the depth from which on it can, nearest first.
    #[inline(always)]
    pub fn gather<S: Simd>(&self, simd: S, beam: &Beam, found: &mut Vec<(f32, u32)>) {
        found.clear();
        if self.nodes.is_empty() {
            return;
        }
        let mut open = arrayvec::ArrayVec::<u32, { super::walk::MEMORY }>::new();
        open.push(0);
        while let Some(node) = open.pop() {
            let node = &self.nodes[node as usize];
            let (mut met, depths_m) = beam.meets(simd, &node.low, &node.high);
            let depths_m = depths_m.to_array();
            while let Some(lane) = first_lane(&mut met) {
                match node.child[lane] {
                    super::NOTHING => {}
                    leaf if leaf & LEAF != 0 => found.push((depths_m[lane], leaf & !LEAF)),
                    inner => open.push(inner),
                }
            }
        }
        found.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    }
}
