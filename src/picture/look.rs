//! How each finish takes light: one table for every way of making a picture.

use super::texture::Pattern;
use crate::plan::Surface;
use crate::staging::Finish;

/// Values of the usual physically based shading model. Judged by eye against everyday materials.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look {
    pub pattern: Pattern,
    /// Perceptual roughness, 0 mirror to 1 chalk.
    pub roughness: f32,
    pub metallic: f32,
    /// Specular reflectance at normal incidence on the engine's 0..1 scale (0.5 is 4 %).
    pub reflectance: f32,
    /// 1 is opaque.
    pub alpha: f32,
    /// Candela per square metre given off.
    pub nits: f32,
}

const MATT: Look =
    Look { pattern: Pattern::Plain, roughness: 0.9, metallic: 0.0, reflectance: 0.35, alpha: 1.0, nits: 0.0 };

pub fn look_of(finish: Finish) -> Look {
    let matt = |pattern| Look { pattern, ..MATT };
    match finish {
        Finish::Surface(surface) => surface_look(surface),
        Finish::Skin => Look { roughness: 0.62, reflectance: 0.40, ..MATT },
        Finish::Hair => Look { pattern: Pattern::Strands, roughness: 0.55, reflectance: 0.45, ..MATT },
        Finish::Eye => Look { roughness: 0.15, reflectance: 0.5, ..MATT },
        Finish::Cloth => Look { pattern: Pattern::Folds, roughness: 0.92, reflectance: 0.3, ..MATT },
        Finish::Satin => Look { pattern: Pattern::Folds, roughness: 0.48, reflectance: 0.45, ..MATT },
        Finish::Veil => Look { pattern: Pattern::Weave, alpha: 0.34, ..MATT },
        Finish::Leather => Look { roughness: 0.45, reflectance: 0.5, ..MATT },
        Finish::Paint => Look { roughness: 0.4, reflectance: 0.5, ..MATT },
        Finish::Metal => Look { roughness: 0.35, metallic: 1.0, reflectance: 0.5, ..MATT },
        Finish::BlackPlastic => Look { roughness: 0.42, reflectance: 0.5, ..MATT },
        Finish::Paper => matt(Pattern::Plain),
        Finish::Leaves => Look { pattern: Pattern::Leaves, roughness: 0.75, reflectance: 0.3, ..MATT },
        Finish::Petals => Look { pattern: Pattern::Petals, roughness: 0.8, ..MATT },
        Finish::Bark => matt(Pattern::Bark),
        Finish::Wood => Look { pattern: Pattern::Grain, roughness: 0.55, reflectance: 0.45, ..MATT },
        Finish::WindowGlass => Look { roughness: 0.08, reflectance: 0.5, alpha: 0.18, ..MATT },
        Finish::Glow { nits } => Look { nits: nits as f32, ..MATT },
    }
}

fn surface_look(surface: Surface) -> Look {
    let (pattern, roughness, reflectance) = match surface {
        Surface::Grass => (Pattern::Grass, 0.95, 0.2),
        Surface::Gravel => (Pattern::Gravel, 0.9, 0.3),
        Surface::Earth => (Pattern::Earth, 0.95, 0.25),
        Surface::Sand => (Pattern::Sand, 0.95, 0.3),
        Surface::Stone => (Pattern::Ashlar, 0.85, 0.35),
        Surface::Flagstone => (Pattern::Flagstone, 0.7, 0.4),
        Surface::Brick => (Pattern::Brick, 0.9, 0.3),
        Surface::Plaster => (Pattern::Plaster, 0.95, 0.3),
        Surface::Concrete => (Pattern::Concrete, 0.8, 0.4),
        Surface::Tile => (Pattern::FloorTile, 0.35, 0.5),
        Surface::OakBoards => (Pattern::OakBoards, 0.5, 0.45),
        Surface::DarkBoards => (Pattern::DarkBoards, 0.5, 0.45),
        Surface::Carpet => (Pattern::Pile, 1.0, 0.2),
        Surface::Linen => (Pattern::Weave, 0.95, 0.3),
        Surface::Water => (Pattern::Ripples, 0.06, 0.5),
    };
    Look { pattern, roughness, reflectance, ..MATT }
}
