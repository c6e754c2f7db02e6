//! The id image: which solid every pixel of a camera shows, and how far it is.
//!
//! Pixels are taken in tiles of eight by eight. A tile's four planes pick the blocks that can be in it, nearest first; each of
//! these is then tried against rows of eight pixels. All rays start at the eye, so that most of the work is done once a
//! block: several times faster than ray by ray, and the same picture.

use super::caster::Caster;
use super::octet::{BlockOctet, Slab, TriangleOctet};
use super::tree::{Beam, Lanes, NOTHING, first_lane};
use crate::optics::Camera;
use fearless_simd::prelude::*;
use fearless_simd::{dispatch, u32x8};
use glam::{Mat3, Vec3};
use rayon::prelude::*;

const TILE: usize = 8;
/// Depth from which on a leaf may be met, and the leaf.
type Candidates = Vec<(f32, u32)>;

/// A rectangle of pixels on the plane of a camera's picture; it may lie beside the picture or be larger.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pane {
    pub eye: Vec3,
    /// From the eye to the picture's top left corner at one metre of depth, and from one pixel to the next.
    corner: Vec3,
    right: Vec3,
    down: Vec3,
    forward: Vec3,
    /// First pixel and size; pixel (0, 0) is the picture's top left one.
    pub left: i32,
    pub top: i32,
    pub width: u32,
    pub height: u32,
}

impl Pane {
    /// The picture of a camera, `width` × `height` pixels.
    pub fn picture(camera: &Camera, [width, height]: [u32; 2]) -> Self {
        let half = [0, 1].map(|side| (camera.sensor_m[side] / (2.0 * camera.focal_m)) as f32);
        let axes = Mat3::from_quat(camera.turned);
        let (right, up, forward) = (axes.x_axis, axes.y_axis, -axes.z_axis);
        Self {
            eye: camera.eye,
            corner: forward - right * half[0] + up * half[1],
            right: right * (2.0 * half[0] / width.max(1) as f32),
            down: -up * (2.0 * half[1] / height.max(1) as f32),
            forward,
            left: 0,
            top: 0,
            width,
            height,
        }
    }

    /// Another rectangle of the same grid of pixels.
    pub fn part(self, [left, top]: [i32; 2], [width, height]: [u32; 2]) -> Self {
        Self { left, top, width, height, ..self }
    }

    /// The same rectangle, or a little more, in pixels `times` as wide and high.
    pub fn coarser(self, times: u32) -> Self {
        let steps = times.max(1) as i32;
        let [left, top] = [self.left.div_euclid(steps), self.top.div_euclid(steps)];
        let across = (self.left + self.width as i32 + steps - 1).div_euclid(steps) - left;
        let high = (self.top + self.height as i32 + steps - 1).div_euclid(steps) - top;
        let (right, down) = (self.right * steps as f32, self.down * steps as f32);
        Self { right, down, left, top, width: across as u32, height: high as u32, ..self }
    }

    /// Towards the middle of a pixel of this pane, counted from its own corner; of depth 1, not of length 1.
    pub fn towards(&self, x: u32, y: u32) -> Vec3 {
        self.through(self.left as f32 + x as f32 + 0.5, self.top as f32 + y as f32 + 0.5)
    }

    fn through(&self, x: f32, y: f32) -> Vec3 {
        self.corner + self.right * x + self.down * y
    }
}

/// First hits of rays through the middles of a pane's pixels, row by row from the top left.
#[derive(Debug, Clone, PartialEq)]
pub struct IdImage {
    pub pane: Pane,
    /// Index into the tableau's solids, or [`Self::NOTHING`].
    pub solids: Vec<u32>,
    /// Depth along the camera's axis in metres, infinite where nothing is. Times the length of [`Pane::towards`] it is the
    /// distance.
    pub depths_m: Vec<f32>,
}

impl IdImage {
    pub const NOTHING: u32 = NOTHING;

    /// The solid at a pixel.
    pub fn solid_at(&self, x: u32, y: u32) -> Option<usize> {
        let solid = *self.solids.get((y * self.pane.width + x) as usize)?;
        (solid != NOTHING).then_some(solid as usize)
    }
}

impl Caster<'_> {
    /// What a pane shows, without solids that `skip` (called with an index into the tableau's solids) says to leave out.
    /// Solids that hold the eye are not seen.
    pub fn ids(&self, pane: Pane, skip: impl Fn(usize) -> bool + Sync) -> IdImage {
        let (width, height) = (pane.width as usize, pane.height as usize);
        let mut solids = vec![NOTHING; width * height];
        let mut depths_m = vec![f32::INFINITY; width * height];
        if width > 0 && pane.eye.is_finite() && pane.corner.is_finite() && pane.right.is_finite() {
            let bands = solids.par_chunks_mut(width * TILE).zip(depths_m.par_chunks_mut(width * TILE)).enumerate();
            bands.for_each(|(band, (solids, depths_m))| {
                let mut candidates = Candidates::new();
                for x in (0..width).step_by(TILE) {
                    let at = [x, band * TILE];
                    let tile = dispatch!(self.level, simd => self.tile(simd, &pane, at, &skip, &mut candidates));
                    for (y, row) in solids.chunks_mut(width).enumerate() {
                        let count = TILE.min(width - x);
                        row[x..x + count].copy_from_slice(&tile.solids[y][..count]);
                        depths_m[y * width + x..][..count].copy_from_slice(&tile.depths_m[y][..count]);
                    }
                }
            });
        }
        IdImage { pane, solids, depths_m }
    }

    #[inline(always)]
    fn tile<S: Simd>(
        &self,
        simd: S,
        pane: &Pane,
        at: [usize; 2],
        skip: &impl Fn(usize) -> bool,
        candidates: &mut Candidates,
    ) -> Tile {
        let [x, y] = [pane.left as f32 + at[0] as f32, pane.top as f32 + at[1] as f32];
        let edge = TILE as f32;
        let corners = [[0.0, 0.0], [edge, 0.0], [edge, edge], [0.0, edge]];
        let beam = Beam::new(pane.eye, pane.forward, corners.map(|[right, down]| pane.through(x + right, y + down)));
        let rays = Rays { eye: pane.eye, first: pane.through(x + 0.5, y + 0.5), right: pane.right, down: pane.down };
        let mut tile = Tile { solids: [[NOTHING; TILE]; TILE], depths_m: [[f32::INFINITY; TILE]; TILE] };
        self.blocks.gather(simd, &beam, candidates);
        for &(depth_m, leaf) in candidates.iter() {
            if depth_m > tile.farthest_m(simd) {
                break;
            }
            let octet = &self.block_octets[leaf as usize];
            let (mut met, _) = beam.meets(simd, &octet.low, &octet.high);
            while let Some(lane) = first_lane(&mut met) {
                let solid = octet.solids[lane];
                if solid != NOTHING && !skip(solid as usize) {
                    tile.block(simd, &rays, octet, lane);
                }
            }
        }
        self.triangles.gather(simd, &beam, candidates);
        for &(depth_m, leaf) in candidates.iter() {
            if depth_m > tile.farthest_m(simd) {
                break;
            }
            let octet = &self.triangle_octets[leaf as usize];
            for (lane, &solid) in octet.solids.iter().enumerate() {
                if solid != NOTHING && !skip(solid as usize) {
                    tile.triangle(simd, &rays, octet, lane);
                }
            }
        }
        tile
    }
}

/// The rays of a tile: directions of depth 1 from the eye, the first one and the steps to the next.
struct Rays {
    eye: Vec3,
    first: Vec3,
    right: Vec3,
    down: Vec3,
}

/// A number that grows evenly along rows and columns of a tile: some vector's product with each ray's direction.
#[derive(Clone, Copy)]
struct Even {
    first: f32,
    right: f32,
    down: f32,
}

impl Rays {
    fn along(&self, way: Vec3) -> Even {
        Even { first: way.dot(self.first), right: way.dot(self.right), down: way.dot(self.down) }
    }
}

impl Even {
    const NEVER: Self = Self { first: 0.0, right: 0.0, down: 0.0 };

    #[inline(always)]
    fn row<S: Simd>(&self, simd: S, columns: Lanes<S>, row: usize) -> Lanes<S> {
        Lanes::splat(simd, self.first + self.down * row as f32) + columns * self.right
    }
}

/// Nearest hits so far.
struct Tile {
    solids: [[u32; TILE]; TILE],
    depths_m: [[f32; TILE]; TILE],
}

const COLUMNS: [f32; TILE] = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0];

impl Tile {
    #[inline(always)]
    fn farthest_m<S: Simd>(&self, simd: S) -> f32 {
        let mut farthest_m = Lanes::load_array_ref(simd, &self.depths_m[0]);
        for row in &self.depths_m[1..] {
            farthest_m = farthest_m.max(Lanes::load_array_ref(simd, row));
        }
        farthest_m.reduce_max()
    }

    #[inline(always)]
    fn block<S: Simd>(&mut self, simd: S, rays: &Rays, octet: &BlockOctet, lane: usize) {
        let mut planes = [(0.0, Even::NEVER); 6];
        for (plane, (outside_m, normal)) in planes.iter_mut().zip(octet.planes(lane, rays.eye)) {
            *plane = (outside_m, rays.along(normal));
        }
        let columns = Lanes::load_array_ref(simd, &COLUMNS);
        for row in 0..TILE {
            let mut slab = Slab::new(simd);
            for (outside_m, speed) in planes {
                slab.plane(Lanes::splat(simd, outside_m), speed.row(simd, columns, row));
            }
            self.take(simd, row, slab.entered(), octet.solids[lane]);
        }
    }

    #[inline(always)]
    fn triangle<S: Simd>(&mut self, simd: S, rays: &Rays, octet: &TriangleOctet, lane: usize) {
        let (corner, [ab, ac]) = octet.triangle(lane);
        let from = rays.eye - corner;
        let beside = from.cross(ab);
        let (volume, across, along) = (rays.along(ac.cross(ab)), rays.along(ac.cross(from)), rays.along(beside));
        let (zero, one) = (Lanes::splat(simd, 0.0), Lanes::splat(simd, 1.0));
        let columns = Lanes::load_array_ref(simd, &COLUMNS);
        for row in 0..TILE {
            let volume = volume.row(simd, columns, row);
            let over = one / volume;
            let (u, v) = (across.row(simd, columns, row) * over, along.row(simd, columns, row) * over);
            let depth_m = Lanes::splat(simd, ac.dot(beside)) * over;
            let met = volume.abs().simd_ge(Lanes::splat(simd, 1e-12))
                & u.simd_ge(zero)
                & v.simd_ge(zero)
                & (u + v).simd_le(one)
                & depth_m.simd_ge(zero);
            let depth_m = met.select(depth_m, Lanes::splat(simd, f32::INFINITY));
            self.take(simd, row, depth_m, octet.solids[lane]);
        }
    }

    /// Notes hits that are nearer than what a row has, or as near and earlier in the tableau.
    #[inline(always)]
    fn take<S: Simd>(&mut self, simd: S, row: usize, depth_m: Lanes<S>, solid: u32) {
        let (before_m, before) =
            (Lanes::load_array_ref(simd, &self.depths_m[row]), u32x8::load_array_ref(simd, &self.solids[row]));
        let solid = u32x8::splat(simd, solid);
        let finite = depth_m.simd_lt(Lanes::splat(simd, f32::INFINITY));
        let equal = depth_m.simd_eq(before_m) & solid.simd_lt(before) & finite;
        let taken = depth_m.simd_lt(before_m) | equal;
        if taken.any_true() {
            taken.select(depth_m, before_m).store_array(&mut self.depths_m[row]);
            taken.select(solid, before).store_array(&mut self.solids[row]);
        }
    }
}
