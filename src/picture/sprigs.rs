//! Loose leaves on foliage, so that trees and hedges have no hard outline. Only pictures have them: sight takes the
//! block below, whose face lies in the middle of the sprigs.

use super::mesh::{Batch, tapered};
use super::noise::hash01;
use crate::daylight::linear_from_srgb;
use crate::staging::{Block, Solid};
use glam::{Vec2, Vec3};

/// Sprigs on a square metre of a bush seen close, and at least on one far away.
const MOST_PER_M2: f32 = 70.0;
const LEAST_PER_M2: f32 = 5.0;
/// Sprigs on one block; a hedge of 30 m needs no more to look loose.
const MOST_ON_A_BLOCK: usize = 5000;

/// Scatters sprigs over the sides and the top of a leafy block. Far ones are fewer and larger.
pub(super) fn add_sprigs(batch: &mut Batch, block: &Block, solid: &Solid, number: usize, px_per_m: f32) {
    let half = block.half_m;
    let small = half.min_element();
    // A sprig of about five pixels is as fine as the eye needs.
    let size_m = (5.0 / px_per_m).clamp(0.07, 0.30).min(small * 0.7);
    let per_m2 = (0.35 / (size_m * size_m)).clamp(LEAST_PER_M2, MOST_PER_M2);
    let sides = [(0, 1.0), (0, -1.0), (1, 1.0), (2, 1.0), (2, -1.0f32)];
    let area = |side: usize| 4.0 * half.x * half.y * half.z / half[side].max(1e-3);
    let total: f32 = sides.iter().map(|&(side, _)| area(side)).sum();
    let count = ((total * per_m2) as usize).min(MOST_ON_A_BLOCK);
    let srgb = solid.material.colour.0.map(linear_from_srgb);
    for (face, &(side, sign)) in sides.iter().enumerate() {
        let here = (count as f32 * area(side) / total).round() as usize;
        for sprig in 0..here {
            let chance = |kind: u32| {
                hash01((number as u32).wrapping_mul(977).wrapping_add(sprig as u32), 50 + 10 * face as u32 + kind)
            };
            let mut normal = Vec3::ZERO;
            normal[side] = sign;
            let (u, v) = ((side + 1) % 3, (side + 2) % 3);
            let mut place = normal * half;
            place[u] = (2.0 * chance(0) - 1.0) * (half[u] - 0.3 * block.edge_m.min(half[u]));
            place[v] = (2.0 * chance(1) - 1.0) * (half[v] - 0.3 * block.edge_m.min(half[v]));
            let (place, normal) = tapered(on_round(place, block), normal, block);
            let lean = Vec3::new(chance(2), chance(3), chance(4)) * 2.0 - 1.0;
            let out = (normal + 0.9 * lean).normalize_or(normal);
            let across = out.any_orthonormal_vector();
            let along = out.cross(across);
            let turn = chance(5) * std::f32::consts::TAU;
            let across = across * turn.cos() + along * turn.sin();
            let along = out.cross(across);
            let size = size_m * (0.6 + 0.8 * chance(6));
            let root = place + normal * (size * (chance(7) - 0.35));
            let tone = 0.75 + 0.6 * chance(8);
            let colour = [srgb[0] * tone, srgb[1] * tone, srgb[2] * tone, 1.0];
            // A leaf shape: pointed at both ends, light on it as on the bush it belongs to.
            let corners = [-along * 0.6, across * 0.32, along * 0.6, -across * 0.32].map(|corner| root + corner * size);
            let lit = solid.turned * (normal + 0.35 * out + Vec3::Y * 0.15).normalize_or(normal);
            let spot = Vec2::new(chance(9), chance(0));
            let axes = (solid.turned * across, solid.turned * along);
            let first = batch.positions.len() as u32;
            for (corner, shift) in corners.into_iter().zip([Vec2::NEG_Y, Vec2::X, Vec2::Y, Vec2::NEG_X]) {
                batch.push(solid.at + solid.turned * corner, lit, spot + shift * 0.02, axes, colour);
            }
            batch.indices.extend([first, first + 1, first + 2, first, first + 2, first + 3]);
        }
    }
}

/// A point of the sharp box moved onto its rounded skin.
fn on_round(place: Vec3, block: &Block) -> Vec3 {
    let edge = block.edge_m.min(block.half_m.min_element() * 0.98);
    let core = block.half_m - Vec3::splat(edge);
    let inner = place.clamp(-core, core);
    inner + (place - inner).normalize_or_zero() * edge
}
