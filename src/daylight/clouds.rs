//! Fair-weather clouds for a broken sky: soft, always the same, and only for the looks.

use glam::{Vec2, Vec3};

/// Share of cloud, 0..=1, in unit direction `direction` above the horizon.
///
/// Smooth noise on a level sheet overhead, summed over five sizes.
pub(super) fn cover(direction: Vec3) -> f32 {
    let sheet = Vec2::new(direction.x, direction.z) / (direction.y.max(0.0) + 0.12) * 1.15;
    let mut sum = 0.0;
    let mut share = 0.5;
    let mut at = sheet + Vec2::new(17.3, 5.1);
    for _ in 0..5 {
        sum += share * noise(at);
        share *= 0.5;
        at = Vec2::new(0.8 * at.x - 0.6 * at.y, 0.6 * at.x + 0.8 * at.y) * 2.07;
    }
    let cloud = smooth((sum - 0.42) / 0.24);
    // Far clouds merge into the haze along the horizon.
    cloud * smooth((direction.y - 0.02) / 0.2)
}

/// Value noise, 0..=1.
fn noise(at: Vec2) -> f32 {
    let cell = at.floor();
    let within = at - cell;
    let (u, v) = (smooth(within.x), smooth(within.y));
    let corner = |dx: i32, dy: i32| lattice(cell.x as i32 + dx, cell.y as i32 + dy);
    let near = corner(0, 0) + u * (corner(1, 0) - corner(0, 0));
    let far = corner(0, 1) + u * (corner(1, 1) - corner(0, 1));
    near + v * (far - near)
}

/// A fixed pseudo-random number, 0..1, for a lattice point.
fn lattice(x: i32, y: i32) -> f32 {
    let mut bits = (x as u32).wrapping_mul(0x9E37_79B1) ^ (y as u32).wrapping_mul(0x85EB_CA77);
    bits = (bits ^ (bits >> 15)).wrapping_mul(0x2C1B_3C6D);
    bits = (bits ^ (bits >> 12)).wrapping_mul(0x297A_2D39);
    ((bits ^ (bits >> 15)) >> 8) as f32 / 16_777_216.0
}

fn smooth(t: f32) -> f32 {
    let t = t.clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}
