//! A picture in the making: for every pixel the sums over its samples, the sharp light apart from the smooth.

use super::chance::Chance;
use super::light::without_specks;
use super::scene::Scene;
use super::smooth::{Guide, smoothed};
use super::surface::Surface;
use crate::daylight::luminance;
use crate::optics::ev100;
use glam::Vec3;
use rayon::prelude::*;

/// See-through layers that a ray goes through.
const LAYERS: usize = 6;
/// Beyond this roughness a mirror image is so blurred that the light from all round will do.
const MIRRORS: f32 = 0.2;

/// Samples of a pixel that also look for smooth light: more would cost most of the time and be smoothed all the same.
const LIT_SAMPLES: u32 = 8;

/// A pixel whose mean is off by less than this, on a print from 0 to 1, is done. *Judged by eye.*
const STEADY: f32 = 0.012;

/// Sums over samples.
#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    /// Light as it is: sun, sky seen, highlights, glow.
    sharp: Vec3,
    /// What surfaces give back of smooth light.
    given_back: Vec3,
    /// Smooth light times what the surface gives back, and the latter alone, of the samples that looked for it.
    lit: Vec3,
    lit_given_back: Vec3,
    lit_covered: f32,
    /// Of the smooth light alone, for how noisy it is.
    luminance: f32,
    luminance_squared: f32,
    normal: Vec3,
    at: Vec3,
    distance_m: f32,
    distance_squared: f32,
    /// How much of the samples showed a surface.
    covered: f32,
    samples: u32,
    /// What each sample prints as, roughly, without the smooth light's noise.
    printed: f32,
    printed_squared: f32,
}

pub struct Canvas {
    width: u32,
    height: u32,
    sums: Vec<Sums>,
    pixel_at_1m: f32,
    eye: Vec3,
}

impl Canvas {
    pub fn new(width: u32, height: u32) -> Self {
        let sums = vec![Sums::default(); (width * height) as usize];
        Self { width, height, sums, pixel_at_1m: 1.0, eye: Vec3::ZERO }
    }

    /// Adds the `sample`th ray through every pixel, or only through those that are still unsteady; returns how many.
    pub fn add(&mut self, scene: &Scene, sample: u32, unsteady: bool) -> usize {
        let width = self.width;
        let camera = scene.shot.camera;
        let white = (1.2 * ev100(camera.f_number, camera.shutter_s, camera.iso).exp2()) as f32;
        let rows = self.sums.par_chunks_mut(width.max(1) as usize).enumerate();
        let added = rows.map(|(y, row)| {
            let wanted: Vec<bool> = row.iter().map(|sums| !unsteady || sums.is_unsteady()).collect();
            let mut added = 0;
            for (x, sums) in row.iter_mut().enumerate() {
                // Next to an unsteady pixel no pixel is sure to be steady.
                if !wanted[x.saturating_sub(1)..(x + 2).min(wanted.len())].iter().any(|wanted| *wanted) {
                    continue;
                }
                added += 1;
                let spot = [x as u32, y as u32];
                let mut chance = Chance::new(spot[1] * width + spot[0], sample);
                let (origin, direction) = scene.ray(spot, &mut chance);
                let before = *sums;
                sums.follow(scene, origin, direction, white, &mut chance);
                sums.note(&before, white);
            }
            added
        });
        let added = added.sum();
        (self.pixel_at_1m, self.eye) = (scene.pixel_at_1m(), camera.eye);
        added
    }

    /// What the pixels show, cd/m², the smooth light smoothed.
    pub fn light(&self) -> Vec<Vec3> {
        let guides: Vec<Guide> = self.sums.par_iter().map(|sums| sums.guide(self.eye, self.pixel_at_1m)).collect();
        let smooth = smoothed(&guides, self.width as usize, self.height as usize);
        let light =
            |(sums, smooth): (&Sums, Vec3)| (sums.sharp + smooth * sums.given_back) / sums.samples.max(1) as f32;
        self.sums.par_iter().zip(smooth).map(light).collect()
    }
}

impl Sums {
    fn follow(&mut self, scene: &Scene, origin: Vec3, direction: Vec3, white: f32, chance: &mut Chance) {
        let mut left = 1.0;
        let mut from_m = 0.0;
        for _ in 0..LAYERS {
            let Some(met) = scene.first(origin, direction, from_m) else {
                self.sharp += without_specks(scene.light.beyond(direction), white) * left;
                return;
            };
            let surface = scene.surface(&met, origin, direction);
            self.add(scene, &surface, direction, surface.alpha * left, white, chance);
            left *= 1.0 - surface.alpha;
            if left < 0.01 {
                return;
            }
            from_m = met.distance_m + 1e-4;
        }
    }

    fn add(&mut self, scene: &Scene, surface: &Surface, direction: Vec3, share: f32, white: f32, chance: &mut Chance) {
        // What is rarely met in a pixel is looked at whenever it is.
        let all = self.samples < LIT_SAMPLES || self.lit_covered < LIT_SAMPLES as f32 / 2.0;
        let falling = scene.light.falling(surface.at, surface.flat_normal, surface.normal, all, chance);
        let matte = surface.base * (1.0 - surface.metallic);
        let mut sharp = matte * falling.sun / std::f32::consts::PI + surface.glow;
        sharp += highlight(surface, -direction, falling.to_sun) * falling.sun_straight;
        let mirror = Vec3::splat(surface.mirror).lerp(surface.base, surface.metallic);
        let facing = surface.normal.dot(-direction).clamp(0.0, 1.0);
        let grazing = mirror + (Vec3::ONE - mirror) * (1.0 - facing).powi(5);
        let mut given_back = matte / std::f32::consts::PI;
        if surface.roughness <= MIRRORS || surface.metallic > 0.0 {
            let spread = super::light::towards(surface.normal, chance.pair()) - surface.normal;
            let bent = (surface.normal + spread * (surface.roughness * surface.roughness)).normalize_or(surface.normal);
            let way = direction - bent * (2.0 * direction.dot(bent));
            let way = if way.dot(surface.flat_normal) > 0.0 {
                way
            } else {
                direction - surface.flat_normal * (2.0 * direction.dot(surface.flat_normal))
            };
            sharp += scene.light.mirrored(surface.at, surface.flat_normal, way) * grazing;
        } else {
            // As if the mirror image were as bright as the light on the surface.
            given_back += mirror * (0.5 / std::f32::consts::PI);
        }
        self.sharp += without_specks(sharp, white) * share;
        self.given_back += given_back * share;
        if let Some(smooth) = falling.smooth {
            let smooth = without_specks(smooth, 20.0 * white);
            let bright = luminance(smooth.to_array());
            self.lit += smooth * given_back * share;
            self.lit_given_back += given_back * share;
            self.lit_covered += share;
            self.luminance += bright * share;
            self.luminance_squared += bright * bright * share;
        }
        self.normal += surface.normal * share;
        self.at += surface.at * share;
        let distance_m = (surface.at - scene.shot.camera.eye).length();
        self.distance_m += distance_m * share;
        self.distance_squared += distance_m * distance_m * share;
        self.covered += share;
    }

    /// Notes how the sample since `before` prints.
    fn note(&mut self, before: &Self, white: f32) {
        let light = self.sharp - before.sharp + (self.given_back - before.given_back) * white;
        let bright = luminance(light.to_array()) / white;
        let printed = (bright / (1.0 + bright)).sqrt();
        self.samples += 1;
        self.printed += printed;
        self.printed_squared += printed * printed;
    }

    /// Whether its mean may still be off by more than an eye forgives.
    fn is_unsteady(&self) -> bool {
        let count = self.samples.max(1) as f32;
        let mean = self.printed / count;
        let variance = (self.printed_squared / count - mean * mean).max(0.0);
        variance > STEADY * STEADY * count
    }

    fn guide(&self, eye: Vec3, pixel_at_1m: f32) -> Guide {
        let count = self.samples.max(1) as f32;
        let covered = self.covered.max(1e-6);
        let lit = self.lit_covered.max(1e-6);
        let mean = self.luminance / lit;
        let variance = (self.luminance_squared / lit - mean * mean).max(0.0) / count.min(LIT_SAMPLES as f32);
        let over = self.lit_given_back.max(Vec3::splat(1e-6));
        let at = self.at / covered;
        let distance_m = self.distance_m / covered;
        let spread = (self.distance_squared / covered - distance_m * distance_m).max(0.0).sqrt();
        Guide {
            light: self.lit / over,
            variance,
            normal: self.normal / covered,
            at,
            pixel_m: (at - eye).length() * pixel_at_1m,
            spread_m: if spread > 1e-3 * distance_m { spread } else { 0.0 },
            covered: self.covered / count,
        }
    }
}

/// Share of the sun's illuminance that a rough surface mirrors towards the eye: the usual microfacet model (B. Walter and
/// others, "Microfacet models for refraction", EGSR 2007) with Schlick's Fresnel term, times the cosine.
fn highlight(surface: &Surface, to_eye: Vec3, to_sun: Vec3) -> Vec3 {
    let (n, h) = (surface.normal, (to_eye + to_sun).normalize_or(surface.normal));
    let (nl, nv, nh, vh) = (n.dot(to_sun), n.dot(to_eye).max(1e-3), n.dot(h).max(0.0), to_eye.dot(h).max(0.0));
    if nl <= 0.0 {
        return Vec3::ZERO;
    }
    let alpha = (surface.roughness * surface.roughness).max(0.03);
    let a2 = alpha * alpha;
    let peak = a2 / (std::f32::consts::PI * (nh * nh * (a2 - 1.0) + 1.0).powi(2));
    let hidden = 0.5 / (nl * (nv * nv * (1.0 - a2) + a2).sqrt() + nv * (nl * nl * (1.0 - a2) + a2).sqrt()).max(1e-6);
    let mirror = Vec3::splat(surface.mirror).lerp(surface.base, surface.metallic);
    let fresnel = mirror + (Vec3::ONE - mirror) * (1.0 - vh).powi(5);
    fresnel * (peak * hidden * nl)
}
