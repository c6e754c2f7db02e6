//! Patterns as small pictures, each with ever smaller copies of itself, so that far grass and brick stay calm.

use super::texture::Pattern;
use glam::{Vec2, Vec3};
use rayon::prelude::*;

/// Square pictures of halving size, the last of one pixel; row by row.
pub type Levels = Vec<Vec<Vec3>>;

/// One pattern's colours and normals, at all sizes.
#[derive(Debug, Clone)]
pub struct PatternMaps {
    /// Pixels along the edge of the first level.
    pub size_px: u32,
    /// Linear colour factors.
    pub colours: Levels,
    /// Unit in the first level, shorter where smaller ones average bumps: x along u, y along v, z out of the surface.
    pub normals: Levels,
}

impl PatternMaps {
    pub fn new(pattern: Pattern) -> Self {
        let size = pattern.size_px();
        let texels: Vec<_> = (0..size * size)
            .into_par_iter()
            .map(|number| pattern.at((Vec2::new((number % size) as f32, (number / size) as f32) + 0.5) / size as f32))
            .collect();
        let step_m = pattern.tile_m() / size as f32;
        let height = |x: u32, y: u32| texels[((y % size) * size + x % size) as usize].height_m;
        let normals = (0..size * size)
            .map(|number| {
                let (x, y) = (number % size, number / size);
                let du = (height(x + 1, y) - height(x + size - 1, y)) / (2.0 * step_m);
                let dv = (height(x, y + 1) - height(x, y + size - 1)) / (2.0 * step_m);
                Vec3::new(-du, -dv, 1.0).normalize()
            })
            .collect();
        let colours = texels.iter().map(|texel| texel.colour).collect();
        Self { size_px: size, colours: halved(size, colours), normals: halved(size, normals) }
    }
}

fn halved(size: u32, first: Vec<Vec3>) -> Levels {
    let mut levels = vec![first];
    let mut edge = size;
    while edge > 1 {
        let half = edge / 2;
        let level = &levels[levels.len() - 1];
        let next = (0..half * half)
            .map(|number| {
                let (x, y) = (2 * (number % half), 2 * (number / half));
                let at = |dx, dy| level[((y + dy) * edge + x + dx) as usize];
                (at(0, 0) + at(1, 0) + at(0, 1) + at(1, 1)) / 4.0
            })
            .collect();
        levels.push(next);
        edge = half;
    }
    levels
}

/// One pixel at a spot of a tile that repeats (u and v in tiles), level 0 the finest, chosen by `chance` (each 0..1) so that
/// the mean of many is blended between pixels and between levels.
pub fn sample(levels: &Levels, size_px: u32, spot: Vec2, level: f32, chance: [f32; 3]) -> Vec3 {
    let level = ((level + chance[2]).max(0.0) as usize).min(levels.len() - 1);
    let size = (size_px >> level).max(1);
    let pixel = |along: f32, chance: f32| {
        let at = along * size as f32 - 0.5 + chance;
        let whole = at as i64 - i64::from(at < 0.0);
        whole.rem_euclid(i64::from(size)) as u32
    };
    levels[level][(pixel(spot.y, chance[1]) * size + pixel(spot.x, chance[0])) as usize]
}
