//! What a triangle looks like where a ray meets it: colour, bumps, shine, by the same table and patterns as the engine's.

use super::scene::{Met, Scene};
use crate::picture::look::{Look, look_of};
use crate::picture::maps::{PatternMaps, sample};
use crate::picture::mesh::Batch;
use crate::picture::texture::Pattern;
use crate::staging::{Finish, Tableau};
use glam::{Vec2, Vec3};
use std::collections::HashMap;

/// A point of a surface, as seen from one side.
#[derive(Debug, Clone, Copy)]
pub struct Surface {
    pub at: Vec3,
    /// Of the triangle, towards the ray.
    pub flat_normal: Vec3,
    /// With roundness and bumps.
    pub normal: Vec3,
    /// Linear share of light given back, before metal is told from the rest.
    pub base: Vec3,
    pub alpha: f32,
    pub roughness: f32,
    pub metallic: f32,
    /// At normal incidence.
    pub mirror: f32,
    /// Light given off, cd/m².
    pub glow: Vec3,
}

/// Looks and patterns of a shot's batches.
pub struct Finishes<'a> {
    of_batch: Vec<(Look, Option<&'a PatternMaps>)>,
}

/// All patterns that a tableau's finishes take, each once.
pub fn patterns_of(tableau: &Tableau) -> Vec<Pattern> {
    let mut patterns: Vec<Pattern> =
        tableau.solids.iter().map(|solid| look_of(solid.material.finish).pattern).collect();
    patterns.sort_unstable();
    patterns.dedup();
    patterns.retain(|pattern| *pattern != Pattern::Plain);
    patterns
}

impl<'a> Finishes<'a> {
    pub fn new(batches: &[(Finish, Batch)], patterns: &'a HashMap<Pattern, PatternMaps>) -> Self {
        let look = |(finish, _): &(Finish, Batch)| {
            let look = look_of(*finish);
            (look, patterns.get(&look.pattern))
        };
        Self { of_batch: batches.iter().map(look).collect() }
    }

    pub fn surface(&self, scene: &Scene, met: &Met, origin: Vec3, direction: Vec3) -> Surface {
        let (look, maps) = &self.of_batch[met.batch];
        let batch = &scene.batches[met.batch].1;
        let corners = [0, 1, 2].map(|corner| batch.indices[3 * met.triangle + corner] as usize);
        let [a, b, c] = scene.corners(met);
        let at = origin + direction * met.distance_m;
        let flat = (b - a).cross(c - a).normalize_or(-direction);
        let flat_normal = if flat.dot(direction) > 0.0 { -flat } else { flat };
        let shares = barycentric(at, [a, b, c]);
        let mix = |values: [Vec3; 3]| values[0] * shares[0] + values[1] * shares[1] + values[2] * shares[2];
        let mut normal = mix(corners.map(|i| Vec3::from(batch.normals[i]))).normalize_or(flat_normal);
        let mut base = mix(corners.map(|i| Vec3::from_slice(&batch.colours[i])));
        if let Some(maps) = maps {
            let spots = corners.map(|i| Vec2::from(batch.uvs[i]));
            let spot = spots[0] * shares[0] + spots[1] * shares[1] + spots[2] * shares[2];
            let tile_m = look.pattern.tile_m();
            let level = level(met.distance_m * scene.pixel_at_1m(), flat.dot(direction).abs(), tile_m, maps.size_px);
            base *= sample(&maps.colours, maps.size_px, spot / tile_m, level);
            let [x, y, z, hand] = batch.tangents[corners[0]];
            let along = Vec3::new(x, y, z);
            let across = normal.cross(along) * hand;
            let bump = sample(&maps.normals, maps.size_px, spot / tile_m, level);
            normal = (along * bump.x + across * bump.y + normal * bump.z).normalize_or(normal);
        }
        // Thin things are lit from whichever side they are seen; leaves as the bush they belong to.
        if (look.alpha < 1.0 || batch.two_sided) && normal.dot(direction) > 0.0 {
            normal = -normal;
        }
        Surface {
            at,
            flat_normal,
            normal,
            base: base.min(Vec3::splat(0.95)),
            alpha: look.alpha,
            roughness: look.roughness,
            metallic: look.metallic,
            mirror: 0.16 * look.reflectance * look.reflectance,
            glow: if look.nits > 0.0 { base * look.nits } else { Vec3::ZERO },
        }
    }
}

/// How small a copy of a pattern shows a pixel's worth of it: half a level finer than a single ray would want, since many are
/// averaged.
fn level(pixel_m: f32, facing: f32, tile_m: f32, size_px: u32) -> f32 {
    let seen_m = pixel_m / facing.max(0.08).sqrt();
    (seen_m * size_px as f32 / tile_m).max(1e-6).log2() - 0.5
}

fn barycentric(at: Vec3, [a, b, c]: [Vec3; 3]) -> [f32; 3] {
    let (ab, ac, ap) = (b - a, c - a, at - a);
    let (d00, d01, d11) = (ab.dot(ab), ab.dot(ac), ac.dot(ac));
    let (d20, d21) = (ap.dot(ab), ap.dot(ac));
    let whole = d00 * d11 - d01 * d01;
    if whole.abs() < 1e-20 {
        return [1.0, 0.0, 0.0];
    }
    let v = ((d11 * d20 - d01 * d21) / whole).clamp(0.0, 1.0);
    let w = ((d00 * d21 - d01 * d20) / whole).clamp(0.0, 1.0 - v);
    [1.0 - v - w, v, w]
}
