//! What air does to colour: sunlight reddened by the way it came, and blue scattered out of it.
//!
//! Three wavelengths stand for the three channels of linear sRGB (610, 550 and 465 nm). Scattering by molecules after
//! the usual λ^−4.08 law, by haze after Ångström (λ^−1.3), and ozone's weak band around 600 nm that keeps the evening
//! zenith blue; optical depths are textbook values, from memory. Colour only: how strong the light is comes from
//! [`super::level`] and [`super::sky`].

use super::level::air_mass;
use super::sky::luminance;
use crate::plan::Sky;

const MOLECULES: [f32; 3] = [0.066, 0.100, 0.199];
const OZONE: [f32; 3] = [0.040, 0.027, 0.003];
/// Haze of optical depth 1 at 1 µm.
const HAZE: [f32; 3] = [1.90, 2.18, 2.71];
/// Sunlight above the air, about 5800 K against sRGB's white of 6500 K.
const SUN_ABOVE_AIR: [f32; 3] = [1.08, 0.98, 0.93];

/// Ångström's turbidity: 0.02 mountain air, 0.05 clear, 0.2 milky.
fn turbidity(sky: Sky) -> f32 {
    match sky {
        Sky::Clear => 0.04,
        Sky::Hazy => 0.10,
        Sky::Broken => 0.05,
        Sky::Overcast => 0.15,
    }
}

/// Linear sRGB of direct sunlight, scaled to luminance 1. `elevation` is apparent, radians; a sun below
/// the horizon has the colour of one at it.
pub(super) fn sun_colour(sky: Sky, elevation: f64) -> [f32; 3] {
    let way = air_mass(elevation) as f32;
    let haze = turbidity(sky);
    let through = |i: usize| {
        let depth = MOLECULES[i] + OZONE[i] + haze * HAZE[i];
        SUN_ABOVE_AIR[i] * (-depth * way).exp()
    };
    to_luminance_1([through(0), through(1), through(2)])
}

/// The colour of clear air in each direction, for one position of the sun.
#[derive(Debug, Clone)]
pub(super) struct ScatteredLight {
    haze: f32,
    sun_way: f32,
    sun_through: [f32; 3],
    ambient: [f32; 3],
    /// How far sunset has come, 0..=1.
    glow: f32,
}

impl ScatteredLight {
    /// `elevation` of the sun, radians.
    pub(super) fn new(sky: Sky, elevation: f64) -> Self {
        // Less than in sunlight: brightness round the sun is the general sky's business.
        let haze = 0.6 * turbidity(sky);
        // At dusk only the higher air is still lit, by light that came a shorter way through the low, red-making
        // layers.
        let below = (-elevation.to_degrees()).max(0.0) as f32;
        let sun_way = (air_mass(elevation) as f32).min(18.0) / (1.0 + 0.35 * below);
        let sun_through = std::array::from_fn(|i| (-(MOLECULES[i] + haze * HAZE[i] + 2.5 * OZONE[i]) * sun_way).exp());
        // Light scattered more than once is bluer still and comes from everywhere; its share grows as the sun sinks.
        let low = (1.0 - (elevation.to_degrees() as f32 / 25.0)).clamp(0.0, 1.0);
        let dusk = (below / 6.0).clamp(0.0, 1.0);
        let share = 0.22 + 0.10 * low + 0.4 * dusk;
        let ambient = [0.20, 0.42, 1.0].map(|channel| channel * share);
        let degrees = elevation.to_degrees() as f32;
        let glow = ((14.0 - degrees) / 12.0).clamp(0.0, 1.0) * ((degrees + 9.0) / 7.0).clamp(0.0, 1.0);
        Self { haze, sun_way, sun_through, ambient, glow }
    }

    /// Linear sRGB scaled to luminance 1, `up` above the horizon (sine of elevation), `cos_from_sun` the cosine of the
    /// angle to the sun.
    ///
    /// Single scattering in flat layers of air: what is scattered into the line of sight, weakened on the way to it and
    /// from it, in closed form (e.g. Chandrasekhar, *Radiative Transfer*, 1950, ch. 9), and an even share for the rest.
    pub(super) fn colour(&self, up: f32, cos_from_sun: f32) -> [f32; 3] {
        let view_way = 1.0 / (up.max(0.0) + 0.04);
        let molecules_phase = 0.75 * (1.0 + cos_from_sun * cos_from_sun);
        let haze_phase = forward_scattering(cos_from_sun);
        // A way equal to the sun's would divide by zero; the limit is reached smoothly just beside it.
        let ways_apart = if (view_way - self.sun_way).abs() < 0.02 { 0.02 } else { view_way - self.sun_way };
        let lit = |i: usize| {
            let depth = MOLECULES[i] + self.haze * HAZE[i];
            let scattered = MOLECULES[i] * molecules_phase + self.haze * HAZE[i] * haze_phase;
            let low_sun = (-depth * (view_way - ways_apart)).exp();
            let both = view_way * (low_sun - (-depth * view_way).exp()) / ways_apart;
            let ozone_share = self.sun_through[i] / (-depth * self.sun_way).exp().max(1e-6);
            let even = self.ambient[i] * (1.0 - (-depth * view_way).exp());
            (SUN_ABOVE_AIR[i] * ozone_share * scattered / depth * both.max(0.0) + even).max(1e-6)
        };
        let air = to_luminance_1([lit(0), lit(1), lit(2)]);
        if self.glow == 0.0 {
            return air;
        }
        // Orange towards the sun, rose all round the horizon: layers near the ground that flat air can't give. Ours.
        let up = up.max(0.0);
        let towards_sun = (-(1.0 - cos_from_sun) / 0.35).exp() * (-up / 0.22).exp();
        let all_round = 0.40 * (-up / 0.10).exp();
        let warm = to_luminance_1([1.0, 0.60, 0.26]);
        let rose = to_luminance_1([1.0, 0.78, 0.72]);
        let (to_warm, to_rose) = (0.85 * self.glow * towards_sun, self.glow * all_round * (1.0 - towards_sun));
        std::array::from_fn(|i| air[i] + to_warm * (warm[i] - air[i]) + to_rose * (rose[i] - air[i]))
    }
}

/// Henyey & Greenstein's phase function for haze, forward share 0.76, even scattering is 1.
fn forward_scattering(cos_from_sun: f32) -> f32 {
    const G: f32 = 0.76;
    let base = 1.0 + G * G - 2.0 * G * cos_from_sun;
    (1.0 - G * G) / (base * base.sqrt())
}

pub(super) fn to_luminance_1(rgb: [f32; 3]) -> [f32; 3] {
    let scale = 1.0 / luminance(rgb).max(1e-9);
    rgb.map(|channel| channel * scale)
}
