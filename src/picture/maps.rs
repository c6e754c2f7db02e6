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

/// The pattern at a spot of a tile that repeats (u and v in tiles), blended between the four pixels round it and between two
/// levels; level 0 is the finest.
pub fn sample(levels: &Levels, size_px: u32, spot: Vec2, level: f32) -> Vec3 {
    let level = level.clamp(0.0, (levels.len() - 1) as f32);
    let (whole, rest) = (level as usize, level.fract());
    let fine = in_level(&levels[whole], size_px >> whole, spot);
    if rest < 0.02 {
        return fine;
    }
    fine.lerp(in_level(&levels[whole + 1], size_px >> (whole + 1), spot), rest)
}

fn in_level(pixels: &[Vec3], size: u32, spot: Vec2) -> Vec3 {
    let size = size.max(1);
    let (low, share) = {
        let at = spot * size as f32 - 0.5;
        (at.floor(), at - at.floor())
    };
    let wrapped = |along: f32, more: i64| (along as i64 + more).rem_euclid(i64::from(size)) as u32;
    let [x, y] = [low.x, low.y].map(|low| [wrapped(low, 0), wrapped(low, 1)]);
    let at = |x: u32, y: u32| pixels[(y * size + x) as usize];
    let row = |y: u32| at(x[0], y).lerp(at(x[1], y), share.x);
    row(y[0]).lerp(row(y[1]), share.y)
}
