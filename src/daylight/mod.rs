//! Where the sun stands, how strong sun and sky are, and what colour they have.
//!
//! Planning aids: a forecast word and the sun's height give light within about a stop. Meter on the day.

mod air;
mod black_body;
mod clouds;
mod level;
mod sky;
mod sun;

pub use black_body::kelvin_colour;
pub use level::{direct_normal_lux, horizontal_sky_lux};
pub(crate) use sky::cosine_weighted;
pub use sky::{CieSky, SkyDome, linear_from_srgb, luminance, srgb_from_linear};
pub use sun::{SunPosition, sun_position};

use crate::plan::{Place, Sky};
use glam::Vec3;
use jiff::ZonedDateTime;

/// The light outdoors at one instant.
#[derive(Debug, Clone)]
pub struct Daylight {
    /// Unit vector to the sun in plan space.
    pub to_sun: Vec3,
    /// Apparent (refracted) elevation of the sun's centre, radians.
    pub elevation: f64,
    /// Compass bearing of the sun from true north, clockwise, radians in 0..2π.
    pub azimuth: f64,
    /// Illuminance by the sun alone on a surface that faces it; 0 once it has set, or under an overcast sky.
    pub sun_lux: f64,
    /// Linear sRGB of sunlight, scaled to luminance 1.
    pub sun_colour: [f32; 3],
    pub sky: SkyDome,
}

/// Sun and sky over `place` at an instant.
pub fn daylight_at(place: &Place, sky: Sky, instant: &ZonedDateTime) -> Daylight {
    let sun = sun_position(place, instant);
    daylight_of(sun, place.bearing_of_minus_z, sky)
}

/// Sun and sky for a sun that stands at `sun`, over a plan whose −z points to compass bearing
/// `bearing_of_minus_z` (radians).
pub fn daylight_of(sun: SunPosition, bearing_of_minus_z: f64, sky: Sky) -> Daylight {
    let to_sun = sun.direction(bearing_of_minus_z);
    let sun_lux = direct_normal_lux(sky, sun.elevation);
    let sun_colour = air::sun_colour(sky, sun.elevation);
    Daylight {
        to_sun,
        elevation: sun.elevation,
        azimuth: sun.azimuth,
        sun_lux,
        sun_colour,
        sky: SkyDome::new(sky, to_sun, sun.elevation, sun_lux),
    }
}

impl Daylight {
    /// The same light, so many times as strong.
    pub fn times(&self, factor: f64) -> Self {
        Self { sun_lux: self.sun_lux * factor, sky: self.sky.times(factor), ..self.clone() }
    }

    /// Illuminance of a surface with unit `normal` in the open, nothing in the way: sun, sky and light from
    /// the ground, lux.
    pub fn illuminance_on(&self, normal: Vec3) -> f64 {
        self.sun_lux * f64::from(normal.dot(self.to_sun).max(0.0)) + self.sky.illuminance_on(normal)
    }
}
