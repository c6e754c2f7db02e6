//! A shot made ready for rays: the meshes that the engine would draw, in a tree.

use super::Shot;
use super::chance::{Chance, on_disc};
use super::light::Lights;
use super::surface::{Finishes, Surface};
use crate::picture::maps::PatternMaps;
use crate::picture::mesh::{Batch, Onlooker, batches};
use crate::picture::texture::Pattern;
use crate::sight::Caster;
use crate::sight::octet::TriangleOctet;
use crate::sight::tree::{Bounds, NOTHING, Ray, Tree, first_lane};
use crate::staging::Finish;
use fearless_simd::prelude::*;
use fearless_simd::{Level, dispatch};
use glam::{Mat3, Vec3};
use rayon::prelude::*;
use std::collections::HashMap;

/// Where the picture's rays end.
const FAR_M: f32 = 1e5;

pub struct Scene<'a> {
    pub shot: Shot<'a>,
    pub finishes: Finishes<'a>,
    pub light: Lights<'a>,
    pub batches: Vec<(Finish, Batch)>,
    /// Batch and number of its triangle.
    triangles: Vec<(u32, u32)>,
    tree: Tree,
    octets: Vec<TriangleOctet>,
    level: Level,
    lens: Lens,
}

/// What a ray from the lens meets.
#[derive(Debug, Clone, Copy)]
pub struct Met {
    pub distance_m: f32,
    pub batch: usize,
    pub triangle: usize,
}

impl<'a> Scene<'a> {
    pub fn new(shot: &Shot<'a>, patterns: &'a HashMap<Pattern, PatternMaps>) -> Self {
        let tableau = shot.tableau;
        let caster = Caster::new(tableau);
        let holds_the_eye = caster.round(shot.camera.eye);
        let left_out = |solid: u32| {
            let solid = solid as usize;
            let owner = tableau.owners.get(tableau.solids[solid].owner.0 as usize).map(|owner| owner.kind);
            (owner.is_some() && owner == shot.taker) || holds_the_eye.binary_search(&solid).is_ok()
        };
        let onlooker = Onlooker { camera: shot.camera, width_px: shot.width_px };
        let batches: Vec<(Finish, Batch)> =
            batches(tableau, onlooker).into_iter().map(|(finish, _, batch)| (finish, batch)).collect();
        let mut triangles = Vec::new();
        for (number, (_, batch)) in batches.iter().enumerate() {
            let kept = batch.solids.iter().enumerate().filter(|(_, solid)| !left_out(**solid));
            triangles.extend(kept.map(|(triangle, _)| (number as u32, triangle as u32)));
        }
        let corners = |&(batch, triangle): &(u32, u32)| corners_of(&batches[batch as usize].1, triangle as usize);
        let bounds: Vec<Bounds> = triangles
            .par_iter()
            .map(|triangle| corners(triangle).iter().fold(Bounds::NOTHING, |sum, &corner| sum.with(corner)))
            .collect();
        let tree = Tree::new(&bounds);
        let octet = |leaf: &[u32; 8]| {
            TriangleOctet::new(leaf.map(|i| triangles.get(i as usize).map(|triangle| (i, corners(triangle)))))
        };
        let octets = tree.leaves.par_iter().map(octet).collect();
        Self {
            shot: *shot,
            finishes: Finishes::new(&batches, patterns),
            light: Lights::new(shot, &caster),
            triangles,
            tree,
            octets,
            level: Level::new(),
            lens: Lens::new(shot),
            batches,
        }
    }

    /// The ray of a sample: from a point of the lens through the point in focus that the pixel shows.
    pub fn ray(&self, [x, y]: [u32; 2], chance: &mut Chance) -> (Vec3, Vec3) {
        let jitter = chance.pair();
        let disc = on_disc(chance.pair());
        self.lens.ray([x as f32 + jitter[0], y as f32 + jitter[1]], disc)
    }

    /// The first triangle beyond `from_m`.
    pub fn first(&self, origin: Vec3, direction: Vec3, from_m: f32) -> Option<Met> {
        let start = origin + direction * from_m;
        let (distance_m, found) = dispatch!(self.level, simd => self.search(simd, start, direction));
        let &(batch, triangle) = self.triangles.get(found as usize)?;
        Some(Met { distance_m: from_m + distance_m, batch: batch as usize, triangle: triangle as usize })
    }

    #[inline(always)]
    fn search<S: Simd>(&self, simd: S, origin: Vec3, direction: Vec3) -> (f32, u32) {
        if !(origin.is_finite() && direction.is_finite()) {
            return (0.0, NOTHING);
        }
        let ray = Ray::new(simd, origin, direction);
        let mut reach_m = FAR_M;
        let mut found = NOTHING;
        self.tree.walk(
            simd,
            &ray,
            &mut reach_m,
            #[inline(always)]
            |leaf, reach_m| {
                let octet = &self.octets[leaf as usize];
                let distances_m = octet.meet(simd, &ray);
                let mut met = distances_m.simd_lt(fearless_simd::f32x8::splat(simd, *reach_m)).to_bitmask();
                if met != 0 {
                    let distances_m = distances_m.to_array();
                    while let Some(lane) = first_lane(&mut met) {
                        if distances_m[lane] < *reach_m {
                            (*reach_m, found) = (distances_m[lane], octet.solids[lane]);
                        }
                    }
                }
                false
            },
        );
        (reach_m, found)
    }

    pub fn surface(&self, met: &Met, origin: Vec3, direction: Vec3) -> Surface {
        self.finishes.surface(self, met, origin, direction)
    }

    pub fn corners(&self, met: &Met) -> [Vec3; 3] {
        corners_of(&self.batches[met.batch].1, met.triangle)
    }

    /// Size of a pixel at one metre, for how fine a pattern must be.
    pub fn pixel_at_1m(&self) -> f32 {
        self.lens.pixel_at_1m
    }

    pub fn ids(&self) -> Vec<u32> {
        let width = self.shot.width_px;
        let solid = |pixel: u32| {
            let spot = [(pixel % width) as f32 + 0.5, (pixel / width) as f32 + 0.5];
            let (origin, direction) = self.lens.ray(spot, [0.0, 0.0]);
            self.first(origin, direction, 0.0).map_or(u32::MAX, |met| self.batches[met.batch].1.solids[met.triangle])
        };
        (0..width * self.shot.height_px).into_par_iter().map(solid).collect()
    }

    pub fn flat(&self, samples: u32, colour: &(impl Fn(usize) -> Vec3 + Sync)) -> Vec<Vec3> {
        let width = self.shot.width_px;
        let mean = |pixel: u32| {
            let sum = (0..samples).fold(Vec3::ZERO, |sum, sample| {
                let mut chance = Chance::new(pixel, sample);
                let (origin, direction) = self.ray([pixel % width, pixel / width], &mut chance);
                let met = self.first(origin, direction, 0.0);
                sum + met.map_or(Vec3::ZERO, |met| colour(self.batches[met.batch].1.solids[met.triangle] as usize))
            });
            sum / samples.max(1) as f32
        };
        (0..width * self.shot.height_px).into_par_iter().map(mean).collect()
    }
}

fn corners_of(batch: &Batch, triangle: usize) -> [Vec3; 3] {
    [0, 1, 2].map(|corner| Vec3::from(batch.positions[batch.indices[3 * triangle + corner] as usize]))
}

/// A thin lens whose picture is the pinhole's: the field of view follows from the focal length alone, wherever it focuses.
struct Lens {
    eye: Vec3,
    axes: Mat3,
    /// Half the picture's width and height at one metre.
    half: [f32; 2],
    size_px: [f32; 2],
    focus_m: f32,
    /// Of the aperture, so that a point at distance d makes a disc of f²/N · |d − s| / (d·(s − f)) on the sensor
    /// (S. F. Ray, *Applied Photographic Optics*, 2002): f/N, wider by s/(s − f) since the picture's scale is that of a
    /// sensor at f, not at the image's distance.
    radius_m: f32,
    pixel_at_1m: f32,
}

impl Lens {
    fn new(shot: &Shot) -> Self {
        let camera = shot.camera;
        // Pixels are square, as the engine's: the picture's height is the sensor's, its width by whole pixels.
        let high = (camera.sensor_m[1] / (2.0 * camera.focal_m)) as f32;
        let half = [high * shot.width_px as f32 / shot.height_px.max(1) as f32, high];
        let (f, s) = (camera.focal_m, camera.focus_m.max(camera.focal_m * 1.01));
        Self {
            eye: camera.eye,
            axes: Mat3::from_quat(camera.turned),
            half,
            size_px: [shot.width_px as f32, shot.height_px as f32],
            focus_m: s as f32,
            radius_m: (f / (2.0 * camera.f_number) * s / (s - f)) as f32,
            pixel_at_1m: 2.0 * half[0] / shot.width_px.max(1) as f32,
        }
    }

    /// Origin and unit direction through a spot of the picture, from a point of the unit disc.
    fn ray(&self, [x, y]: [f32; 2], [right, up]: [f32; 2]) -> (Vec3, Vec3) {
        let across = (2.0 * x / self.size_px[0] - 1.0) * self.half[0];
        let rising = (1.0 - 2.0 * y / self.size_px[1]) * self.half[1];
        let sharp = Vec3::new(across, rising, -1.0) * self.focus_m;
        let from = Vec3::new(right * self.radius_m, up * self.radius_m, 0.0);
        (self.eye + self.axes * from, (self.axes * (sharp - from)).normalize_or(-self.axes.z_axis))
    }
}
