//! Repeating noise on a unit tile, for textures: the same numbers on every machine.

use glam::{IVec2, Vec2};

/// A whole number to 0..1, by the finaliser of MurmurHash3.
pub fn hash01(value: u32, seed: u32) -> f32 {
    let mut h = value ^ seed.wrapping_mul(0x9E37_79B9);
    h ^= h >> 16;
    h = h.wrapping_mul(0x85EB_CA6B);
    h ^= h >> 13;
    h = h.wrapping_mul(0xC2B2_AE35);
    h ^= h >> 16;
    (h >> 8) as f32 / (1u32 << 24) as f32
}

fn lattice(cell: IVec2, period: IVec2, seed: u32) -> f32 {
    let x = cell.x.rem_euclid(period.x) as u32;
    let y = cell.y.rem_euclid(period.y) as u32;
    hash01(x.wrapping_mul(7919).wrapping_add(y.wrapping_mul(104_729)), seed)
}

/// Smooth noise of `period` cells a tile along u and v; 0..1.
fn value(spot: Vec2, period: IVec2, seed: u32) -> f32 {
    let p = spot * period.as_vec2();
    let cell = p.floor();
    let t = p - cell;
    let t = t * t * (Vec2::splat(3.0) - 2.0 * t);
    let cell = cell.as_ivec2();
    let at = |dx: i32, dy: i32| lattice(cell + IVec2::new(dx, dy), period, seed);
    let low = at(0, 0) + (at(1, 0) - at(0, 0)) * t.x;
    let high = at(0, 1) + (at(1, 1) - at(0, 1)) * t.x;
    low + (high - low) * t.y
}

/// Sum of octaves from `period` cells a tile, each twice as fine and half as strong; 0..1.
pub fn fbm(spot: Vec2, period: i32, octaves: u32, seed: u32) -> f32 {
    fbm_stretched(spot, [period, period], octaves, seed)
}

/// [`fbm`] with different numbers of cells along u and v.
pub fn fbm_stretched(spot: Vec2, period: [i32; 2], octaves: u32, seed: u32) -> f32 {
    octaves_of(octaves, 0.5, |octave| value(spot, IVec2::from(period) * (1 << octave), seed + octave * 101))
}

/// Like [`fbm_stretched`] with sharp ridges.
pub fn ridged(spot: Vec2, period: [i32; 2], octaves: u32, seed: u32) -> f32 {
    octaves_of(octaves, 0.55, |octave| {
        1.0 - (2.0 * value(spot, IVec2::from(period) * (1 << octave), seed + octave * 77) - 1.0).abs()
    })
}

fn octaves_of(octaves: u32, fading: f32, noise: impl Fn(u32) -> f32) -> f32 {
    let (mut sum, mut total, mut weight) = (0.0, 0.0, 1.0);
    for octave in 0..octaves {
        sum += weight * noise(octave);
        total += weight;
        weight *= fading;
    }
    sum / total
}

/// Cells round scattered points, `count` a side: distance to the nearest border (0 at it, about 0.5 in
/// the middle) and the cell's number.
pub fn cells(spot: Vec2, count: u32, seed: u32) -> (f32, u32) {
    let p = (spot - spot.floor()) * count as f32;
    let cell = p.floor().as_ivec2();
    let (mut first, mut second, mut id) = (f32::MAX, f32::MAX, 0);
    for dy in -1..=1 {
        for dx in -1..=1 {
            let here = cell + IVec2::new(dx, dy);
            let wrapped = here.rem_euclid(IVec2::splat(count as i32));
            let number = (wrapped.y as u32) * count + wrapped.x as u32;
            let point = here.as_vec2() + Vec2::new(hash01(number, seed), hash01(number, seed + 1));
            let distance = point.distance(p);
            if distance < first {
                (second, first, id) = (first, distance, number);
            } else if distance < second {
                second = distance;
            }
        }
    }
    ((second - first) * 0.5, id)
}
