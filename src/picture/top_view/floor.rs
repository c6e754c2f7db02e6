//! The place and the people straight from above, flat and pale like an architect's plan, by rays straight down.

use crate::daylight::srgb_from_linear;
use crate::sight::{Caster, reflects};
use crate::staging::{OwnerKind, Part, Solid, Tableau};
use glam::{Vec2, Vec3};
use image::{Rgb, RgbImage};
use rayon::prelude::*;

pub const PAPER: [u8; 3] = [0xFC, 0xFA, 0xF5];
pub const INK: [u8; 3] = [0x2B, 0x24, 0x30];
/// What walls look like where they are cut.
const CUT: [f32; 3] = [0.44, 0.41, 0.43];
/// Samples of a pixel along each side.
const FINE: u32 = 2;
/// Rays start here, over whatever the cutting left.
const TOP_M: f32 = 80.0;
/// Light from the upper left, as on maps; how much of it flat ground gets, and how long shadows may be.
const TO_LIGHT: Vec3 = Vec3::new(-0.50, 1.15, -0.38);
const SHADOW_M: f32 = 6.0;
/// Share of brightness that is left in shadow. *Judged by eye.*
const IN_SHADOW: f32 = 0.90;
/// Strength of outlines. *Judged by eye.*
const OUTLINE: f32 = 0.55;

/// What part of the floor is drawn, and how large.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sheet {
    /// The floor's x and z at the top left corner of the drawing.
    pub corner: Vec2,
    pub px_per_m: f32,
    pub width: u32,
    pub height: u32,
}

impl Sheet {
    /// Where a spot on the floor lies in the drawing, pixels.
    pub fn place(&self, spot: Vec2) -> Vec2 {
        (spot - self.corner) * self.px_per_m
    }
}

/// One sample: its colour, and what it shows for the outlines.
#[derive(Clone, Copy)]
struct Sample {
    colour: Vec3,
    /// Owner, and 0 for ground, which has no outline of its own.
    shown: u32,
}

/// Draws a tableau that is already opened from above.
pub fn drawn(tableau: &Tableau, sheet: &Sheet) -> RgbImage {
    let caster = Caster::new(tableau);
    let [wide, high] = [sheet.width * FINE, sheet.height * FINE].map(|side| side as usize);
    let mut samples = vec![Sample { colour: Vec3::ONE, shown: 0 }; wide * high];
    samples.par_chunks_mut(wide.max(1)).enumerate().for_each(|(y, row)| {
        for (x, sample) in row.iter_mut().enumerate() {
            let at = (Vec2::new(x as f32, y as f32) + 0.5) / (FINE as f32 * sheet.px_per_m) + sheet.corner;
            *sample = look_down(tableau, &caster, at);
        }
    });
    RgbImage::from_fn(sheet.width, sheet.height, |x, y| {
        let mut sum = Vec3::ZERO;
        for (dx, dy) in (0..FINE * FINE).map(|i| (i % FINE, i / FINE)) {
            let [x, y] = [x * FINE + dx, y * FINE + dy].map(|side| side as usize);
            let sample = samples[y * wide + x];
            let beside = samples[y * wide + (x + 1).min(wide - 1)];
            let below = samples[(y + 1).min(high - 1) * wide + x];
            let edge = beside.shown != sample.shown || below.shown != sample.shown;
            sum += sample.colour.lerp(srgb(INK), if edge { OUTLINE } else { 0.0 });
        }
        let colour = sum / (FINE * FINE) as f32;
        Rgb(colour.to_array().map(|channel| (channel * 255.0).round() as u8))
    })
}

fn look_down(tableau: &Tableau, caster: &Caster, at: Vec2) -> Sample {
    let from = Vec3::new(at.x, TOP_M, at.y);
    let glass = |solid: usize| tableau.solids[solid].is_seen_through();
    let Some(hit) = caster.first_hit(from, Vec3::NEG_Y, 2.0 * TOP_M, glass) else {
        return Sample { colour: srgb(PAPER), shown: 0 };
    };
    let solid = &tableau.solids[hit.solid];
    let light = TO_LIGHT.normalize_or_zero();
    let spot = from + Vec3::NEG_Y * hit.distance_m + hit.normal * 1e-3;
    let lit = 1.0 + 0.22 * (hit.normal.dot(light) - light.y);
    let shadow = if caster.blocked(spot, light, SHADOW_M, glass) { IN_SHADOW } else { 1.0 };
    let shown = if solid.part == Part::Ground { 0 } else { 1 + solid.owner.0 };
    Sample { colour: (pale(tableau, solid) * lit * shadow).clamp(Vec3::ZERO, Vec3::ONE), shown }
}

/// A solid's colour mixed towards paper: people least, the place most.
fn pale(tableau: &Tableau, solid: &Solid) -> Vec3 {
    let towards_paper = match (tableau.owners.get(solid.owner.0 as usize).map(|owner| owner.kind), solid.part) {
        (_, Part::Wall) => return Vec3::from(CUT),
        (_, Part::Ground) => 0.80,
        (Some(OwnerKind::Person(_)), _) => 0.30,
        (Some(OwnerKind::Guest { .. }), _) => 0.58,
        (Some(OwnerKind::Photographer(_)), _) => 0.15,
        _ => 0.66,
    };
    let given_back = reflects(&solid.material).as_vec3();
    let colour = Vec3::from(given_back.to_array().map(srgb_from_linear));
    colour.lerp(srgb(PAPER), towards_paper)
}

fn srgb(colour: [u8; 3]) -> Vec3 {
    Vec3::from(colour.map(|channel| f32::from(channel) / 255.0))
}
