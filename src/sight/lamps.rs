//! Lamps and flames as points that shine.

use crate::daylight::kelvin_colour;
use crate::plan::{Lamp, LampKind, Venue};
use crate::staging::{Tableau, floor_height, string_point};
use glam::{DVec3, Vec2, Vec3};
use std::f64::consts::PI;

/// One point that a lamp shines from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LampPoint {
    pub at: Vec3,
    pub kelvin: f32,
    /// Luminous intensity in its main direction, candela.
    pub candela: f64,
    /// Of the whole lamp that this point is a part of: from far off a string of bulbs is one light.
    pub whole_candela: f64,
    /// Unit vector of a spot's beam; `None` shines evenly all round.
    pub beam: Option<Vec3>,
}

/// Angle from the middle of a spot's beam at which it ends, radians: 27.9°, so that half its strength is left at 15° and a
/// tenth at 23°. *Our own*, of the kind sold as 30°.
pub const SPOT_EDGE: f32 = 0.487;
/// Points that stand for a string of bulbs: each costs a picture time wherever it reaches.
const STRING_POINTS: usize = 4;
/// A candle: one candela all round, hence its name; 4π of that is 12.6 lm.
const FLAME_LUMENS: f64 = 13.0;
const FLAME_KELVIN: f32 = 1900.0;

impl LampPoint {
    /// Intensity towards unit `direction`, candela.
    pub fn candela_towards(&self, direction: Vec3) -> f64 {
        self.beam.map_or(self.candela, |beam| self.candela * of_peak(f64::from(beam.dot(direction))))
    }

    /// All the light it gives, lumens.
    pub fn lumens(&self) -> f64 {
        match self.beam {
            None => 4.0 * PI * self.candela,
            Some(_) => self.candela * beam_steradians(),
        }
    }

    /// Linear sRGB of luminance 1.
    pub fn colour(&self) -> DVec3 {
        Vec3::from(kelvin_colour(self.kelvin)).as_dvec3()
    }
}

/// Share of a spot's peak at an angle from its middle: squared, from 1 in the middle to 0 at the edge, evenly in the
/// cosine. The same in pictures and meters.
fn of_peak(cosine: f64) -> f64 {
    let edge = f64::from(SPOT_EDGE).cos();
    ((cosine - edge) / (1.0 - edge)).clamp(0.0, 1.0).powi(2)
}

/// Lumens of a spot over its peak in candela: 2π ∫ [`of_peak`] over the cosine, a third of the cone's solid angle.
fn beam_steradians() -> f64 {
    2.0 * PI * (1.0 - f64::from(SPOT_EDGE).cos()) / 3.0
}

/// Everything in a tableau that shines: the venue's lamps, and the flames of candles that stand about or are held.
pub fn light_points(venue: &Venue, tableau: &Tableau) -> Vec<LampPoint> {
    let even = FLAME_LUMENS / (4.0 * PI);
    let flame = |at| LampPoint { at, kelvin: FLAME_KELVIN, candela: even, whole_candela: even, beam: None };
    let lamps = venue.lamps.iter().flat_map(|lamp| lamp_points(venue, lamp));
    lamps.chain(tableau.flames().map(flame)).collect()
}

/// A lamp as points, over the floor it stands on: its lumens spread evenly all round (÷ 4π), for a spot over its
/// beam; for a string over points along it as it hangs.
pub fn lamp_points(venue: &Venue, lamp: &Lamp) -> Vec<LampPoint> {
    let over_floor = |at: Vec2, height_m: f32| Vec3::new(at.x, floor_height(venue, at) + height_m, at.y);
    let at = over_floor(lamp.at, lamp.height_m);
    let lumens = f64::from(lamp.lumens.max(0.0));
    let even = lumens / (4.0 * PI);
    let point = |at, candela, beam| LampPoint { at, kelvin: lamp.kelvin, candela, whole_candela: candela, beam };
    match lamp.kind {
        LampKind::Strings => (0..STRING_POINTS)
            .map(|i| {
                let at = string_point(venue, lamp, (i as f32 + 0.5) / STRING_POINTS as f32);
                LampPoint { whole_candela: even, ..point(at, even / STRING_POINTS as f64, None) }
            })
            .collect(),
        LampKind::Spot => {
            let beam = lamp.aimed_at.map_or(Vec3::NEG_Y, |spot| (over_floor(spot, 0.0) - at).normalize_or(Vec3::NEG_Y));
            vec![point(at, lumens / beam_steradians(), Some(beam))]
        }
        _ => vec![point(at, even, None)],
    }
}
