//! The built-in tracer: pictures by following light from the lens, on any machine, without a graphics driver.
//!
//! The same camera, meshes, patterns and light as the engine's picture. What it does better: light through windows and of
//! lamps casts shadows, corners are darker than the middle of a room, blur is a real lens's. What it leaves out: the glow
//! round bright things, and light that was reflected more than twice outdoors.

mod canvas;
mod chance;
mod light;
mod scene;
mod smooth;
mod surface;

use super::maps::PatternMaps;
use super::meter::Metered;
use super::texture::Pattern;
use super::tone;
use crate::daylight::{Daylight, srgb_from_linear};
use crate::optics::{Camera, ev100};
use crate::sight::Sources;
use crate::staging::{OwnerKind, Tableau};
use canvas::Canvas;
use glam::Vec3;
use image::RgbImage;
use rayon::prelude::*;
use scene::Scene;
use std::collections::HashMap;

/// Rays through each pixel, and through those that need more: on edges, out of focus, in half shade.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Samples {
    pub each: u32,
    pub most: u32,
}

impl Samples {
    /// Looks finished.
    pub const USUAL: Self = Self { each: 6, most: 40 };
}

/// One picture to take.
#[derive(Debug, Clone, Copy)]
pub struct Shot<'a> {
    pub tableau: &'a Tableau,
    pub daylight: &'a Daylight,
    pub sources: &'a Sources,
    pub metered: &'a Metered,
    pub camera: &'a Camera,
    /// Who takes it, and isn't in it.
    pub taker: Option<OwnerKind>,
    pub width_px: u32,
    pub height_px: u32,
}

/// Keeps patterns from picture to picture.
#[derive(Debug, Default)]
pub struct Tracer {
    patterns: HashMap<Pattern, PatternMaps>,
}

impl Tracer {
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes a picture. `done` is told after each pass what share of the work is done, more or less. The same bytes on any
    /// number of threads.
    pub fn take(&mut self, shot: &Shot, samples: Samples, done: impl Fn(f32)) -> RgbImage {
        let light = self.light(shot, samples, done);
        let exposed = 1.0 / (1.2 * ev100(shot.camera.f_number, shot.camera.shutter_s, shot.camera.iso).exp2()) as f32;
        let bytes = light
            .par_iter()
            .flat_map_iter(|&light| {
                tone::print(light * exposed, shot.metered.white.balanced_from_scene).to_array().map(srgb_byte)
            })
            .collect();
        RgbImage::from_raw(shot.width_px, shot.height_px, bytes).unwrap_or_default()
    }

    /// The light of every pixel as it reaches the lens, cd/m² in linear sRGB, row by row.
    pub fn light(&mut self, shot: &Shot, samples: Samples, done: impl Fn(f32)) -> Vec<Vec3> {
        let scene = self.scene(shot);
        let mut canvas = Canvas::new(shot.width_px, shot.height_px);
        let (each, most) = (samples.each.max(1), samples.most.max(samples.each));
        for sample in 0..each {
            canvas.add(&scene, sample, false);
            done((sample + 1) as f32 / (each + most / 4) as f32);
        }
        for sample in each..most {
            if canvas.add(&scene, sample, true) == 0 {
                break;
            }
            done((each + (sample + 1 - each) / 4) as f32 / (each + most / 4) as f32);
        }
        done(1.0);
        canvas.light()
    }

    /// The solid that each pixel's middle shows, by its index into the tableau's solids, through a pinhole; `u32::MAX` for
    /// the sky. Veils and glass count as solid.
    pub fn ids(&mut self, shot: &Shot) -> Vec<u32> {
        self.scene(shot).ids()
    }

    /// A picture through the lens in which every solid has one colour and nothing is lit; linear, row by row.
    pub fn flat(&mut self, shot: &Shot, samples: u32, colour: impl Fn(usize) -> Vec3 + Sync) -> Vec<Vec3> {
        self.scene(shot).flat(samples, &colour)
    }

    fn scene<'a>(&'a mut self, shot: &Shot<'a>) -> Scene<'a> {
        for pattern in surface::patterns_of(shot.tableau) {
            self.patterns.entry(pattern).or_insert_with(|| PatternMaps::new(pattern));
        }
        Scene::new(shot, &self.patterns)
    }
}

fn srgb_byte(linear: f32) -> u8 {
    (srgb_from_linear(linear.clamp(0.0, 1.0)) * 255.0).round() as u8
}
