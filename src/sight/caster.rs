//! The ray caster: oriented blocks and triangles in trees, eight at a time.
//!
//! Blocks stay blocks: one of them costs a ray less than the twelve triangles of its faces, and there are a twelfth as many.
//! `benches/sight.rs` holds this against other ways. [`PlainCaster`](super::PlainCaster) is its slow twin.

use super::cast::{Hit, enter};
use super::octet::{BlockOctet, TriangleOctet};
use super::tree::{Bounds, NOTHING, Ray, Tree, first_lane};
use crate::staging::{Block, Shape, Solid, Tableau};
use fearless_simd::prelude::*;
use fearless_simd::{Level, dispatch};
use glam::{Vec2, Vec3};

/// A tableau made ready for many rays.
#[derive(Debug, Clone)]
pub struct Caster<'a> {
    tableau: &'a Tableau,
    pub(super) level: Level,
    pub(super) blocks: Tree,
    pub(super) block_octets: Vec<BlockOctet>,
    pub(super) triangles: Tree,
    pub(super) triangle_octets: Vec<TriangleOctet>,
}

impl<'a> Caster<'a> {
    /// Of all solids.
    pub fn new(tableau: &'a Tableau) -> Self {
        Self::of(tableau, 0..tableau.solids.len())
    }

    /// Of some of its solids, by their index into [`Tableau::solids`].
    pub fn of(tableau: &'a Tableau, solids: impl Iterator<Item = usize> + Clone) -> Self {
        let solids = || solids.clone().filter_map(|index| Some((index, tableau.solids.get(index)?)));
        let blocks: Vec<(u32, &Solid, &Block)> = solids()
            .filter_map(|(index, solid)| match &solid.shape {
                Shape::Block(block) => Some((index as u32, solid, block)),
                Shape::Mesh(_) => None,
            })
            .collect();
        let triangles: Vec<(u32, [Vec3; 3])> = solids()
            .flat_map(|(index, solid)| triangles_of(solid).map(move |corners| (index as u32, corners)))
            .collect();
        let block_bounds: Vec<Bounds> = blocks.iter().map(|(_, solid, block)| bounds_of_block(solid, block)).collect();
        let triangle_bounds: Vec<Bounds> =
            triangles.iter().map(|(_, corners)| bounds_of(corners.iter().copied())).collect();
        let (block_tree, triangle_tree) = (Tree::new(&block_bounds), Tree::new(&triangle_bounds));
        let block = |i: u32| {
            let (number, solid, block) = *blocks.get(i as usize)?;
            Some((number, solid, block, block_bounds[i as usize].padded()))
        };
        let block_octets = block_tree.leaves.iter().map(|leaf| BlockOctet::new(leaf.map(block)));
        let triangle_octets = triangle_tree
            .leaves
            .iter()
            .map(|leaf| TriangleOctet::new(leaf.map(|i| triangles.get(i as usize).copied())));
        Self {
            tableau,
            level: Level::new(),
            block_octets: block_octets.collect(),
            triangle_octets: triangle_octets.collect(),
            blocks: block_tree,
            triangles: triangle_tree,
        }
    }

    pub fn tableau(&self) -> &'a Tableau {
        self.tableau
    }

    /// The first solid within `max_m` along unit `direction`, without those that `skip` (called with an index into
    /// [`Tableau::solids`]) says to leave out; of several at the same distance the first in the tableau. A ray that starts
    /// inside a block does not see that block.
    pub fn first_hit(&self, origin: Vec3, direction: Vec3, max_m: f32, skip: impl Fn(usize) -> bool) -> Option<Hit> {
        let (distance_m, solid) = self.nearest(origin, direction, max_m, skip)?;
        let solid = solid as usize;
        // The twin's arithmetic finds the face; it is a hair off at most.
        let normal = enter(&self.tableau.solids[solid], origin, direction, distance_m * 1.000_1 + 1e-5)
            .map_or(-direction, |(_, normal)| normal);
        Some(Hit { distance_m, solid, normal })
    }

    /// As [`Self::first_hit`], without the normal: distance and solid.
    pub fn nearest(
        &self,
        origin: Vec3,
        direction: Vec3,
        max_m: f32,
        skip: impl Fn(usize) -> bool,
    ) -> Option<(f32, u32)> {
        let (distance_m, solid) =
            dispatch!(self.level, simd => self.search(simd, origin, direction, max_m, false, &skip));
        (solid != NOTHING).then_some((distance_m, solid))
    }

    /// Whether a solid that `skip` does not leave out lies within `max_m`.
    pub fn blocked(&self, origin: Vec3, direction: Vec3, max_m: f32, skip: impl Fn(usize) -> bool) -> bool {
        dispatch!(self.level, simd => self.search(simd, origin, direction, max_m, true, &skip)).1 != NOTHING
    }

    #[inline(always)]
    fn search<S: Simd>(
        &self,
        simd: S,
        origin: Vec3,
        direction: Vec3,
        max_m: f32,
        any: bool,
        skip: &impl Fn(usize) -> bool,
    ) -> (f32, u32) {
        if !(origin.is_finite() && direction.is_finite()) {
            return (max_m, NOTHING);
        }
        let ray = Ray::new(simd, origin, direction);
        let mut reach_m = max_m;
        let mut found = NOTHING;
        self.blocks.walk(
            simd,
            &ray,
            &mut reach_m,
            #[inline(always)]
            |leaf, reach_m| {
                let octet = &self.block_octets[leaf as usize];
                take_nearest(simd, octet.enter(simd, &ray), &octet.solids, reach_m, &mut found, skip) && any
            },
        );
        if any && found != NOTHING {
            return (reach_m, found);
        }
        self.triangles.walk(
            simd,
            &ray,
            &mut reach_m,
            #[inline(always)]
            |leaf, reach_m| {
                let octet = &self.triangle_octets[leaf as usize];
                take_nearest(simd, octet.meet(simd, &ray), &octet.solids, reach_m, &mut found, skip) && any
            },
        );
        (reach_m, found)
    }

    /// Its own blocks that hold a point, by their index into [`Tableau::solids`].
    pub fn round(&self, point: Vec3) -> Vec<usize> {
        let holds = |index: &u32| match self.tableau.solids.get(*index as usize) {
            Some(Solid { shape: Shape::Block(block), at, turned, .. }) => {
                super::cast::holds(block, turned.inverse() * (point - at))
            }
            _ => false,
        };
        let own = self.block_octets.iter().flat_map(|octet| octet.solids).filter(holds);
        let mut holders: Vec<usize> = own.map(|index| index as usize).collect();
        holders.sort_unstable();
        holders
    }

    /// Names what is broken in the trees, if anything is.
    ///
    /// # Errors
    /// In words.
    pub fn validate(&self) -> Result<(), String> {
        let shape = |index: u32| self.tableau.solids.get(index as usize).map(|solid| (solid, &solid.shape));
        let block = |octet: &BlockOctet, lane: usize| match shape(octet.solids[lane]) {
            Some((solid, Shape::Block(block))) => Ok(bounds_of_block(solid, block)),
            _ => Err(format!("solid {} is no block", octet.solids[lane])),
        };
        validate(&self.blocks, &self.block_octets, block)?;
        let triangle = |octet: &TriangleOctet, lane: usize| match shape(octet.solids[lane]) {
            Some((_, Shape::Mesh(_))) => Ok(octet.bounds(lane)),
            _ => Err(format!("solid {} is no mesh", octet.solids[lane])),
        };
        validate(&self.triangles, &self.triangle_octets, triangle)
    }
}

/// Whether each leaf has its octet, and the boxes of space hold what they should.
fn validate<T>(
    tree: &Tree,
    octets: &[T],
    bounds_in: impl Fn(&T, usize) -> Result<Bounds, String>,
) -> Result<(), String> {
    if tree.leaves.len() != octets.len() {
        return Err(format!("{} leaves for {} octets", tree.leaves.len(), octets.len()));
    }
    let mut bounds = Vec::new();
    for (leaf, octet) in tree.leaves.iter().zip(octets) {
        for (lane, &thing) in leaf.iter().enumerate().filter(|(_, thing)| **thing != NOTHING) {
            bounds.resize(bounds.len().max(thing as usize + 1), Bounds::NOTHING);
            bounds[thing as usize] = bounds_in(octet, lane)?;
        }
    }
    tree.validate(&bounds)
}

/// Notes the nearest of eight distances within reach whose solid is not to be skipped; whether there was one.
#[inline(always)]
fn take_nearest<S: Simd>(
    simd: S,
    distances_m: fearless_simd::f32x8<S>,
    solids: &[u32; 8],
    reach_m: &mut f32,
    found: &mut u32,
    skip: &impl Fn(usize) -> bool,
) -> bool {
    let mut met = distances_m.simd_le(fearless_simd::f32x8::splat(simd, *reach_m)).to_bitmask();
    if met == 0 {
        return false;
    }
    let distances_m = distances_m.to_array();
    let mut taken = false;
    while let Some(lane) = first_lane(&mut met) {
        let (distance_m, solid) = (distances_m[lane], solids[lane]);
        let nearer = distance_m < *reach_m || (distance_m == *reach_m && solid < *found);
        // Distances of lanes that are not met or without a solid are infinite, and so may the reach be.
        if nearer && distance_m.is_finite() && solid != NOTHING && !skip(solid as usize) {
            (*reach_m, *found, taken) = (distance_m, solid, true);
        }
    }
    taken
}

/// Corners in the world; a triangle that names a corner which does not exist is not there.
pub(super) fn triangles_of(solid: &Solid) -> impl Iterator<Item = [Vec3; 3]> + '_ {
    let mesh = match &solid.shape {
        Shape::Mesh(mesh) => Some(mesh),
        Shape::Block(_) => None,
    };
    mesh.into_iter().flat_map(move |mesh| {
        let corner = move |index: u32| mesh.corners.get(index as usize).map(|&corner| solid.at + solid.turned * corner);
        mesh.triangles.iter().filter_map(move |&[a, b, c]| Some([corner(a)?, corner(b)?, corner(c)?]))
    })
}

fn bounds_of_block(solid: &Solid, block: &Block) -> Bounds {
    bounds_of(corners_of_block(block).into_iter().map(|corner| solid.at + solid.turned * corner))
}

/// Corners in the world: a block's eight, a mesh's all.
pub(crate) fn corners_of(solid: &Solid) -> impl Iterator<Item = Vec3> + '_ {
    let (block, mesh) = match &solid.shape {
        Shape::Block(block) => (Some(corners_of_block(block)), None),
        Shape::Mesh(mesh) => (None, Some(&mesh.corners)),
    };
    let corners = block.into_iter().flatten().chain(mesh.into_iter().flatten().copied());
    corners.map(|corner| solid.at + solid.turned * corner)
}

fn corners_of_block(block: &Block) -> [Vec3; 8] {
    std::array::from_fn(|corner| {
        let sign = |bit: usize| if corner >> bit & 1 == 0 { -1.0 } else { 1.0 };
        let wide = if corner >> 1 & 1 == 0 { Vec2::ONE } else { block.top };
        block.half_m * Vec3::new(sign(0) * wide.x, sign(1), sign(2) * wide.y)
    })
}

/// Nothing if a corner is no number.
fn bounds_of(corners: impl Iterator<Item = Vec3>) -> Bounds {
    let add = |sum: Option<Bounds>, corner: Vec3| sum.filter(|_| corner.is_finite()).map(|sum| sum.with(corner));
    corners.fold(Some(Bounds::NOTHING), add).unwrap_or(Bounds::NOTHING)
}
