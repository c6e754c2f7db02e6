//! Takes the noise out of smooth light: each pixel is averaged with those near it on the same surface.
//!
//! Wavelets with holes (H. Dammertz and others, "Edge-avoiding À-Trous wavelet transform for fast global illumination
//! filtering", HPG 2010), held back where light differs by more than its noise (C. Schied and others, "Spatiotemporal
//! variance-guided filtering", HPG 2017).

use crate::daylight::luminance;
use glam::Vec3;
use rayon::prelude::*;

/// Rounds, with holes of 0, 1, 3 and 7 pixels.
const ROUNDS: u32 = 4;
/// How many times its noise light may differ and still be taken for the same. *Judged by eye.*
const NOISE: f32 = 4.0;
/// How far off the plane of a pixel its neighbours may lie, in pixels' sizes. *Judged by eye.*
const OFF_PLANE: f32 = 1.0;
const KERNEL: [f32; 3] = [3.0 / 8.0, 1.0 / 4.0, 1.0 / 16.0];

/// What a pixel's smooth light is, and what tells it from its neighbours.
#[derive(Debug, Clone, Copy)]
pub struct Guide {
    pub light: Vec3,
    /// Of the light's luminance.
    pub variance: f32,
    /// Mean over the samples: shorter than 1 where they differ.
    pub normal: Vec3,
    pub at: Vec3,
    /// Size of the pixel there.
    pub pixel_m: f32,
    /// How far apart along the rays its samples lie: on edges and out of focus.
    pub spread_m: f32,
    /// Share of the pixel that is no sky.
    pub covered: f32,
}

pub fn smoothed(guides: &[Guide], width: usize, height: usize) -> Vec<Vec3> {
    let mut now: Vec<(Vec3, f32)> = guides.iter().map(|guide| (guide.light, guide.variance)).collect();
    for round in 0..ROUNDS {
        let step = 1i64 << round;
        now = (0..width * height)
            .into_par_iter()
            .map(|pixel| {
                if guides[pixel].covered <= 0.0 {
                    now[pixel]
                } else {
                    mean_round(guides, &now, pixel, [width, height], step)
                }
            })
            .collect();
    }
    now.into_iter().map(|(light, _)| light).collect()
}

fn mean_round(
    guides: &[Guide],
    now: &[(Vec3, f32)],
    pixel: usize,
    [width, height]: [usize; 2],
    step: i64,
) -> (Vec3, f32) {
    let own = &guides[pixel];
    let (x, y) = ((pixel % width) as i64, (pixel / width) as i64);
    let own_luminance = luminance(now[pixel].0.to_array());
    let noise = NOISE * near_variance(now, [x, y], [width, height]).sqrt() + 1e-4 * own_luminance + 1e-9;
    let off_plane_m = OFF_PLANE * own.pixel_m * step as f32 + 1e-4;
    let (mut sum, mut variance, mut total) = (Vec3::ZERO, 0.0, 0.0);
    for dy in -2..=2i64 {
        for dx in -2..=2i64 {
            let (u, v) = (x + dx * step, y + dy * step);
            if u < 0 || v < 0 || u >= width as i64 || v >= height as i64 {
                continue;
            }
            let other = (v * width as i64 + u) as usize;
            let guide = &guides[other];
            if guide.covered <= 0.0 {
                continue;
            }
            let kernel = KERNEL[dx.unsigned_abs() as usize] * KERNEL[dy.unsigned_abs() as usize];
            let off_plane_m = off_plane_m + own.spread_m + guide.spread_m;
            let facing = facing(own.normal, guide.normal);
            let off_m = own.normal.dot(guide.at - own.at).abs();
            let apart = (luminance(now[other].0.to_array()) - own_luminance).abs();
            let weight =
                if other == pixel { kernel } else { kernel * facing * (-off_m / off_plane_m - apart / noise).exp() };
            sum += now[other].0 * weight;
            variance += now[other].1 * weight * weight;
            total += weight;
        }
    }
    (sum / total, variance / (total * total))
}

/// How much two mean normals are of one surface. Where samples differ, as on edges, the mean is short and says little.
fn facing(a: Vec3, b: Vec3) -> f32 {
    let (long_a, long_b) = (a.length().max(1e-3), b.length().max(1e-3));
    let sure = long_a.min(long_b).min(1.0).powi(8);
    (a.dot(b) / (long_a * long_b)).clamp(0.0, 1.0).powf(2.0 + 30.0 * sure)
}

/// Mean over three by three pixels: one pixel's own estimate is noise itself.
fn near_variance(now: &[(Vec3, f32)], [x, y]: [i64; 2], [width, height]: [usize; 2]) -> f32 {
    let (mut sum, mut count) = (0.0, 0.0);
    for v in (y - 1).max(0)..(y + 2).min(height as i64) {
        for u in (x - 1).max(0)..(x + 2).min(width as i64) {
            sum += now[(v * width as i64 + u) as usize].1;
            count += 1.0;
        }
    }
    sum / f32::max(count, 1.0)
}
