//! The sky as a dome of light: how bright and what colour it is in every direction.
//!
//! Brightness from place to place after the CIE Standard General Sky (ISO 15469:2004, CIE S 011), scaled so that
//! level ground gets what [`super::level`] says; colour from [`super::air`]; under the horizon
//! the light that comes back from the ground.

use super::air::{ScatteredLight, to_luminance_1};
use super::level::horizontal_sky_lux;
use super::{air, clouds};
use crate::plan::Sky;
use glam::{Vec2, Vec3};
use std::f32::consts::{FRAC_PI_2, PI, TAU};

/// Share of light that ordinary ground (lawn, gravel, old stone) gives back: 0.18, mid grey.
const GROUND_REFLECTS: f32 = 0.18;
/// Colour of that ground, linear sRGB.
const GROUND_TINT: [f32; 3] = [1.0, 1.02, 0.78];
/// Luminous colour of a closed cloud cover, about 6800 K.
const CLOUD_GREY: [f32; 3] = [0.97, 1.0, 1.06];

/// Luminance of linear sRGB (IEC 61966-2-1).
pub fn luminance(rgb: [f32; 3]) -> f32 {
    0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2]
}

/// sRGB channel to linear light (IEC 61966-2-1).
pub fn linear_from_srgb(channel: f32) -> f32 {
    if channel <= 0.04045 { channel / 12.92 } else { ((channel + 0.055) / 1.055).powf(2.4) }
}

/// The way back of [`linear_from_srgb`]; goes on beyond 1.
pub fn srgb_from_linear(channel: f32) -> f32 {
    if channel <= 0.003_130_8 { 12.92 * channel } else { 1.055 * channel.powf(1.0 / 2.4) - 0.055 }
}

/// Gradation (a, b) and indicatrix (c, d, e) of one CIE standard sky. Coefficients from memory; the tests
/// check them by what they must give.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CieSky {
    pub a: f32,
    pub b: f32,
    pub c: f32,
    pub d: f32,
    pub e: f32,
}

impl CieSky {
    /// Type 1: overcast, three times brighter at the zenith than at the horizon.
    pub const OVERCAST: Self = Self { a: 4.0, b: -0.7, c: 0.0, d: -1.0, e: 0.0 };
    /// Type 5: the same everywhere.
    pub const UNIFORM: Self = Self { a: 0.0, b: -1.0, c: 0.0, d: -1.0, e: 0.0 };
    /// Type 7: partly cloudy, brighter round the sun.
    pub const PARTLY_CLOUDY: Self = Self { a: 0.0, b: -1.0, c: 5.0, d: -2.5, e: 0.30 };
    /// Type 12: clear, low turbidity.
    pub const CLEAR: Self = Self { a: -1.0, b: -0.32, c: 10.0, d: -3.0, e: 0.45 };
    /// Type 13: clear, hazy air.
    pub const CLEAR_HAZY: Self = Self { a: -1.0, b: -0.32, c: 16.0, d: -3.0, e: 0.30 };

    pub fn of(sky: Sky) -> Self {
        match sky {
            Sky::Clear => Self::CLEAR,
            Sky::Hazy => Self::CLEAR_HAZY,
            Sky::Broken => Self::PARTLY_CLOUDY,
            Sky::Overcast => Self::OVERCAST,
        }
    }

    /// Relative luminance: gradation times indicatrix (ISO 15469, equations 1 to 4, without their common scale). `up`
    /// is the sine of the elevation looked at (taken as 0 below the horizon), `from_sun` the angle to the sun,
    /// radians.
    pub fn relative(&self, up: f32, from_sun: f32) -> f32 {
        let gradation = if up > 1e-3 { 1.0 + self.a * (self.b / up).exp() } else { 1.0 };
        let indicatrix =
            1.0 + self.c * ((self.d * from_sun).exp() - (self.d * FRAC_PI_2).exp()) + self.e * from_sun.cos().powi(2);
        (gradation * indicatrix).max(0.0)
    }
}

/// Light from all round except the sun's disc itself.
#[derive(Debug, Clone)]
pub struct SkyDome {
    weather: Sky,
    cie: CieSky,
    to_sun: Vec3,
    air: ScatteredLight,
    /// Linear sRGB of cloud, luminance 1: grey, with some of a low sun's warmth where it shines on them.
    cloud: [f32; 3],
    /// cd/m² for a relative luminance of 1.
    scale: f32,
    horizontal_lux: f64,
    /// Linear sRGB of the ground, cd/m².
    ground: [f32; 3],
}

impl SkyDome {
    /// `to_sun` in plan space; apparent `elevation` in radians; `sun_lux` on a surface facing the sun.
    pub(super) fn new(weather: Sky, to_sun: Vec3, elevation: f64, sun_lux: f64) -> Self {
        let horizontal_lux = horizontal_sky_lux(weather, elevation);
        let sun_colour = air::sun_colour(weather, elevation);
        let low = (1.0 - elevation.to_degrees() as f32 / 20.0).clamp(0.0, 1.0);
        let warmth = if weather == Sky::Broken { 0.25 * low } else { 0.0 };
        let mut dome = Self {
            weather,
            cie: CieSky::of(weather),
            to_sun,
            air: ScatteredLight::new(weather, elevation),
            cloud: mixed(to_luminance_1(CLOUD_GREY), sun_colour, warmth),
            scale: 1.0,
            horizontal_lux,
            ground: [0.0; 3],
        };
        let mut sum = Vec3::ZERO;
        let directions = cosine_weighted(Vec3::Y, 40, 80);
        for &direction in &directions {
            sum += Vec3::from(dome.above_horizon(direction));
        }
        let mean = sum / directions.len() as f32;
        dome.scale = horizontal_lux as f32 / (PI * luminance(mean.into()).max(1e-9));
        let sun_on_ground = sun_lux as f32 * to_sun.y.max(0.0);
        let sky_on_ground = mean * PI * dome.scale;
        let tint = to_luminance_1(GROUND_TINT);
        dome.ground = std::array::from_fn(|i| {
            (sun_colour[i] * sun_on_ground + sky_on_ground[i]) * tint[i] * GROUND_REFLECTS / PI
        });
        dome
    }

    /// The same sky, so many times as bright.
    pub fn times(&self, factor: f64) -> Self {
        Self {
            scale: self.scale * factor as f32,
            horizontal_lux: self.horizontal_lux * factor,
            ground: self.ground.map(|channel| channel * factor as f32),
            ..self.clone()
        }
    }

    /// Linear sRGB in a unit direction of plan space; its [`luminance`] is in cd/m².
    ///
    /// Below the horizon: the colour of sunlit ground. Continuous everywhere. Without the sun's disc.
    pub fn radiance(&self, direction: Vec3) -> [f32; 3] {
        let above = self.above_horizon(Vec3::new(direction.x, direction.y.max(0.0), direction.z));
        if direction.y >= 0.0 {
            return above;
        }
        // Three degrees of haze between sky and ground.
        let t = (-direction.y / 0.05).clamp(0.0, 1.0);
        let t = t * t * (3.0 - 2.0 * t);
        std::array::from_fn(|i| above[i] + t * (self.ground[i] - above[i]))
    }

    /// Illuminance of level ground by the unobstructed sky, lux.
    pub fn horizontal_lux(&self) -> f64 {
        self.horizontal_lux
    }

    /// Linear sRGB that ordinary ground in the open shows, cd/m².
    pub fn ground(&self) -> [f32; 3] {
        self.ground
    }

    /// Illuminance, lux, of a surface with unit `normal` by everything but the sun's disc, nothing in the way.
    ///
    /// Sum over 3200 directions; the sampling error is below 1 %.
    pub fn illuminance_on(&self, normal: Vec3) -> f64 {
        let directions = cosine_weighted(normal.normalize_or(Vec3::Y), 40, 80);
        let sum: f64 = directions.iter().map(|&direction| f64::from(luminance(self.radiance(direction)))).sum();
        std::f64::consts::PI * sum / directions.len() as f64
    }

    fn above_horizon(&self, direction: Vec3) -> [f32; 3] {
        let direction = direction.normalize_or(Vec3::Y);
        let cos_from_sun = direction.dot(self.to_sun).clamp(-1.0, 1.0);
        let relative = self.cie.relative(direction.y, cos_from_sun.acos()) * self.scale;
        let (colour, brightness) = match self.weather {
            Sky::Overcast => (self.cloud, 1.0),
            Sky::Clear => (self.air.colour(direction.y, cos_from_sun), 1.0),
            Sky::Hazy => (mixed(self.air.colour(direction.y, cos_from_sun), self.cloud, 0.35), 1.0),
            Sky::Broken => {
                let cover = clouds::cover(direction);
                let blue = self.air.colour(direction.y, cos_from_sun);
                // Thick middles of clouds are a little darker than their lit rims.
                let lit = 1.75 - 0.5 * cover * cover;
                (mixed(blue, self.cloud, cover), 0.62 + cover * (lit - 0.62))
            }
        };
        colour.map(|channel| channel * relative * brightness)
    }
}

fn mixed(a: [f32; 3], b: [f32; 3], share_of_b: f32) -> [f32; 3] {
    std::array::from_fn(|i| a[i] + share_of_b * (b[i] - a[i]))
}

/// `rings × spokes` directions about unit `normal`, as dense as a matte surface weighs them: the mean of radiance
/// over them times π is illuminance.
pub(crate) fn cosine_weighted(normal: Vec3, rings: usize, spokes: usize) -> Vec<Vec3> {
    let (across, along) = normal.any_orthonormal_pair();
    let mut directions = Vec::with_capacity(rings * spokes);
    for ring in 0..rings {
        let area = (ring as f32 + 0.5) / rings as f32;
        let (radius, height) = (area.sqrt(), (1.0 - area).sqrt());
        for spoke in 0..spokes {
            // Every other ring is turned by half a spoke.
            let angle = TAU * (spoke as f32 + 0.25 + 0.5 * (ring % 2) as f32) / spokes as f32;
            let flat = Vec2::from_angle(angle) * radius;
            directions.push(across * flat.x + along * flat.y + normal * height);
        }
    }
    directions
}
