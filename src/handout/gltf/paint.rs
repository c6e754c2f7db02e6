//! Materials of a tableau as glTF has them, from the pictures' own table of looks.
//!
//! Patterns (grass, brick, folds) become their mean colour: textures would weigh more than everything else.

use super::document::{Material, PbrMetallicRoughness};
use crate::daylight::linear_from_srgb;
use crate::picture::look::look_of;
use crate::picture::texture::Pattern;
use crate::plan::Colour;
use crate::staging::Finish;
use glam::{Vec2, Vec3};
use std::collections::{BTreeMap, HashMap};

/// Samples along each side of a pattern's tile: its mean is then off by less than eyes tell.
const SAMPLES: u32 = 48;

/// Materials without repetition, in the order they were first asked for.
#[derive(Default)]
pub struct Painter {
    pub materials: Vec<Material>,
    known: HashMap<(Finish, [u32; 3], bool), usize>,
    means: BTreeMap<Pattern, Vec3>,
}

impl Painter {
    /// Index of a material. What one sees through is always two-sided.
    pub fn material_of(&mut self, finish: Finish, colour: Colour, two_sided: bool) -> usize {
        let key = (finish, colour.0.map(f32::to_bits), two_sided);
        if let Some(&known) = self.known.get(&key) {
            return known;
        }
        let pattern = look_of(finish).pattern;
        let mean = *self.means.entry(pattern).or_insert_with(|| mean_colour(pattern));
        self.materials.push(material(finish, colour, mean, two_sided));
        let index = self.materials.len() - 1;
        self.known.insert(key, index);
        index
    }
}

fn material(finish: Finish, colour: Colour, mean: Vec3, two_sided: bool) -> Material {
    let look = look_of(finish);
    let tint = Vec3::from_array(colour.0.map(|channel| linear_from_srgb(channel.clamp(0.0, 1.0))));
    let [r, g, b] = (tint * mean).clamp(Vec3::ZERO, Vec3::ONE).to_array();
    // Without an extension the format's light ends at 1: lamps show their colour but dazzle nobody.
    let glow = (tint * look.nits.min(1.0)).to_array();
    Material {
        pbr_metallic_roughness: PbrMetallicRoughness {
            base_color_factor: [r, g, b, look.alpha],
            metallic_factor: look.metallic,
            roughness_factor: look.roughness,
        },
        emissive_factor: (look.nits > 0.0).then_some(glow),
        alpha_mode: (look.alpha < 1.0).then_some("BLEND"),
        double_sided: two_sided || look.alpha < 1.0,
    }
}

/// Linear.
fn mean_colour(pattern: Pattern) -> Vec3 {
    let spot = |x: u32, y: u32| (Vec2::new(x as f32, y as f32) + 0.5) / SAMPLES as f32;
    let samples = (0..SAMPLES).flat_map(|y| (0..SAMPLES).map(move |x| pattern.at(spot(x, y)).colour));
    samples.sum::<Vec3>() / (SAMPLES * SAMPLES) as f32
}
