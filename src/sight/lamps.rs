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

/// Exponent of a spot's cosine beam: half its strength at 15° from the middle.
const SPOT_EXPONENT: i32 = 20;
/// Points that stand for a string of bulbs: each costs a picture time wherever it reaches.
const STRING_POINTS: usize = 4;
/// A candle: one candela all round, hence its name; 4π of that is 12.6 lm.
const FLAME_LUMENS: f64 = 13.0;
const FLAME_KELVIN: f32 = 1900.0;

impl LampPoint {
    /// Intensity towards unit `direction`, candela.
    pub fn candela_towards(&self, direction: Vec3) -> f64 {
        self.beam
            .map_or(self.candela, |beam| self.candela * f64::from(beam.dot(direction).max(0.0)).powi(SPOT_EXPONENT))
    }

    /// All the light it gives, lumens.
    pub fn lumens(&self) -> f64 {
        match self.beam {
            None => 4.0 * PI * self.candela,
            Some(_) => 2.0 * PI * self.candela / f64::from(SPOT_EXPONENT + 1),
        }
    }

    /// Linear sRGB of luminance 1.
    pub fn colour(&self) -> DVec3 {
        Vec3::from(kelvin_colour(self.kelvin)).as_dvec3()
    }
}

/// Everything in a tableau that shines: the venue's lamps, and the flames of candles that stand about or are held.
pub fn light_points(venue: &Venue, tableau: &Tableau) -> Vec<LampPoint> {
    let even = FLAME_LUMENS / (4.0 * PI);
    let flame = |at| LampPoint { at, kelvin: FLAME_KELVIN, candela: even, whole_candela: even, beam: None };
    let lamps = venue.lamps.iter().flat_map(|lamp| lamp_points(venue, lamp));
    lamps.chain(tableau.flames().map(flame)).collect()
}

/// A lamp as points, over the floor it stands on: its lumens spread evenly all round (÷ 4π), for a spot over a cosine
/// beam, which holds 2π/(n+1) of its peak; for a string over points along it as it hangs.
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
            vec![point(at, lumens * f64::from(SPOT_EXPONENT + 1) / (2.0 * PI), Some(beam))]
        }
        _ => vec![point(at, even, None)],
    }
}
