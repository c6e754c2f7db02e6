//! Shapes with smooth edges on a finished picture: rings, discs, diamonds, triangles, lines.

use crate::picture::ink::blend;
use glam::Vec2;
use image::RgbImage;

/// A shape about a point, by its size in pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// Radius.
    Disc(f32),
    /// Middle radius and width of the line.
    Ring(f32, f32),
    /// From the middle to a corner.
    Diamond(f32),
    /// From the middle to a corner; one corner is up.
    Triangle(f32),
}

impl Shape {
    /// How far outside its edge a point is, pixels; below 0 inside.
    fn outside_px(self, at: Vec2) -> f32 {
        match self {
            Self::Disc(radius) => at.length() - radius,
            Self::Ring(radius, width) => (at.length() - radius).abs() - width * 0.5,
            Self::Diamond(reach) => (at.x.abs() + at.y.abs() - reach) * std::f32::consts::FRAC_1_SQRT_2,
            Self::Triangle(reach) => {
                let (sin, cos) = (0.866_025_4, 0.5);
                let slant = |x: f32| x * sin - at.y * cos;
                at.y.max(slant(at.x)).max(slant(-at.x)) - reach * 0.5
            }
        }
    }

    fn reach_px(self) -> f32 {
        match self {
            Self::Disc(reach) | Self::Diamond(reach) | Self::Triangle(reach) => reach,
            Self::Ring(radius, width) => radius + width,
        }
    }
}

/// Draws a shape about a point.
pub fn mark(picture: &mut RgbImage, at: Vec2, shape: Shape, colour: [u8; 3], opacity: f32) {
    let reach = Vec2::splat(shape.reach_px() + 1.5);
    paint(picture, at - reach, at + reach, colour, opacity, |pixel| shape.outside_px(pixel - at));
}

/// The same with a light edge round it, so that it stands out from what is below.
pub fn edged_mark(picture: &mut RgbImage, at: Vec2, shape: Shape, colour: [u8; 3], edge: [u8; 3], edge_px: f32) {
    let reach = Vec2::splat(shape.reach_px() + 2.0 * edge_px + 1.5);
    paint(picture, at - reach, at + reach, edge, 0.9, |pixel| shape.outside_px(pixel - at) - edge_px);
    mark(picture, at, shape, colour, 1.0);
}

/// A straight line.
pub fn line(picture: &mut RgbImage, [from, to]: [Vec2; 2], width_px: f32, colour: [u8; 3], opacity: f32) {
    let way = to - from;
    let reach = Vec2::splat(width_px + 1.0);
    paint(picture, from.min(to) - reach, from.max(to) + reach, colour, opacity, |pixel| {
        let share = ((pixel - from).dot(way) / way.length_squared().max(1e-6)).clamp(0.0, 1.0);
        pixel.distance(from + way * share) - width_px * 0.5
    });
}

fn paint(
    picture: &mut RgbImage,
    low: Vec2,
    high: Vec2,
    colour: [u8; 3],
    opacity: f32,
    outside_px: impl Fn(Vec2) -> f32,
) {
    if !(low.is_finite() && high.is_finite()) {
        return;
    }
    let size = Vec2::new(picture.width() as f32, picture.height() as f32);
    let [low, high] = [low.floor(), high.ceil()].map(|corner| corner.clamp(Vec2::ZERO, size).as_uvec2());
    for y in low.y..high.y {
        for x in low.x..high.x {
            let cover = (0.5 - outside_px(Vec2::new(x as f32, y as f32) + 0.5)).clamp(0.0, 1.0);
            if cover > 0.0 {
                blend(picture.get_pixel_mut(x, y), colour, cover * opacity);
            }
        }
    }
}
