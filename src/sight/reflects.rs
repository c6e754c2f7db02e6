//! How much light, of which colour, things give back.

use crate::daylight::{linear_from_srgb, luminance};
use crate::plan::Surface;
use crate::staging::{Finish, Material};
use glam::{DVec3, Vec3};

/// Share of light that a material gives back, linear sRGB: of paint and cloth its colour, of a surface what its kind does.
pub fn reflects(material: &Material) -> DVec3 {
    let tint = Vec3::from(material.colour.0.map(linear_from_srgb)).as_dvec3();
    match material.finish {
        Finish::Surface(surface) => tint * surface_colour(surface),
        _ => tint.min(DVec3::splat(0.9)),
    }
}

/// Everyday reflectances, textbook values from memory, in the hues that the pictures' patterns have on average.
pub fn surface_colour(surface: Surface) -> DVec3 {
    use Surface::*;
    let (share, hue) = match surface {
        Grass => (0.12, [0.71, 1.16, 0.27]),
        Gravel => (0.25, [1.01, 1.00, 0.98]),
        Flagstone => (0.25, [1.04, 0.99, 0.94]),
        Earth => (0.12, [1.34, 0.94, 0.60]),
        DarkBoards => (0.12, [1.54, 0.89, 0.53]),
        Sand => (0.35, [1.17, 0.98, 0.70]),
        Concrete => (0.35, [1.0; 3]),
        Stone => (0.30, [1.07, 0.99, 0.86]),
        Brick => (0.20, [1.83, 0.79, 0.60]),
        Plaster => (0.70, [1.04, 1.00, 0.92]),
        Tile => (0.45, [1.14, 0.98, 0.81]),
        OakBoards => (0.28, [1.43, 0.92, 0.51]),
        Carpet => (0.15, [1.0; 3]),
        Linen => (0.65, [1.0; 3]),
        Water => (0.08, [0.61, 1.09, 1.22]),
    };
    DVec3::from(hue) * share
}

/// Photometric sum of linear sRGB light: lux of lux, candela of candela.
pub fn sum_of(light: DVec3) -> f64 {
    f64::from(luminance(light.as_vec3().to_array()))
}
