//! How much light falls on a face, for metering: sun, sky, what the surroundings give back, and lamps.
//!
//! An estimate to set an exposure by, within about half a stop of the model; the sky and sun themselves are as good
//! as the forecast. Meter on the day.

use super::cast::{Hit, PlainCaster};
use crate::daylight::{Daylight, cosine_weighted, luminance};
use crate::optics::Camera;
use crate::plan::{Colour, Lamp, LampKind};
use crate::staging::{Figure, Finish, OwnerIx, Tableau};
use glam::{Vec2, Vec3};
use std::f64::consts::PI;

/// Rings and spokes of rays over what a face looks out on.
const RINGS: usize = 8;
const SPOKES: usize = 12;
/// Light is taken just in front of the nose.
const BEFORE_THE_FACE_M: f32 = 0.12;
const FAR_M: f32 = 2000.0;
/// Share of light that rooms give back on average, for what goes to and fro more than twice.
const ROOM_REFLECTS: f64 = 0.4;
/// Angular radius of the sun.
const SUN_RADIUS: f32 = 0.004_65;

/// Illuminance of a face, lux, by where it comes from. Measured flat across the face, as a meter held there would.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct FaceLight {
    pub sun_lux: f64,
    /// From the sky itself, also through windows.
    pub sky_lux: f64,
    /// From ground, walls and people.
    pub bounce_lux: f64,
    pub lamps_lux: f64,
}

impl FaceLight {
    pub fn total(&self) -> f64 {
        self.sun_lux + self.sky_lux + self.bounce_lux + self.lamps_lux
    }
}

/// Light on the face of `figure`, whose own body shades nothing here (hats and veils let light by).
pub fn face_lux(tableau: &Tableau, daylight: &Daylight, figure: &Figure, lamps: &[Lamp]) -> FaceLight {
    face_lux_with(&PlainCaster::new(tableau), daylight, figure, lamps)
}

/// As [`face_lux`], for several faces in one tableau.
pub fn face_lux_with(caster: &PlainCaster<'_>, daylight: &Daylight, figure: &Figure, lamps: &[Lamp]) -> FaceLight {
    let normal = figure.face_forward.normalize_or(Vec3::Z);
    let at = figure.eyes.midpoint(figure.chin) + normal * BEFORE_THE_FACE_M;
    let points: Vec<LampPoint> = lamps.iter().flat_map(lamp_points).collect();
    let light = Light { caster, daylight, lamps: &points, whose: Some(figure.owner) };

    let mut face = FaceLight {
        sun_lux: light.sun_on(at, normal),
        lamps_lux: light.lamps_on(at, normal, usize::MAX),
        ..FaceLight::default()
    };
    let directions = cosine_weighted(normal, RINGS, SPOKES);
    let mut closed_in = 0.0;
    for &direction in &directions {
        match light.first_hit(at, direction) {
            Some(hit) => {
                let (luminance, share_closed) = light.luminance_of(&hit, at + direction * hit.distance_m);
                face.bounce_lux += luminance;
                closed_in += share_closed;
            }
            None if direction.y < 0.0 => face.bounce_lux += light.sky_luminance(direction),
            None => face.sky_lux += light.sky_luminance(direction),
        }
    }
    let share = PI / directions.len() as f64;
    face.sky_lux *= share;
    // Light that goes to and fro between walls adds up to a geometric series.
    face.bounce_lux *= share / (1.0 - ROOM_REFLECTS * closed_in / directions.len() as f64);
    face
}

/// Rays across and up that a camera's meter looks along.
const METER_GRID: [u32; 2] = [12, 8];

/// What a camera's meter sees besides faces: the mean luminance of its picture, cd/m².
/// Matte light of the surfaces that are hit, sky where nothing is.
pub fn scene_luminance(caster: &PlainCaster<'_>, daylight: &Daylight, camera: &Camera, lamps: &[Lamp]) -> f64 {
    let points: Vec<LampPoint> = lamps.iter().flat_map(lamp_points).collect();
    let light = Light { caster, daylight, lamps: &points, whose: None };
    let [columns, rows] = METER_GRID;
    let sum: f64 = (0..columns * rows)
        .map(|cell| {
            let spot = [f64::from(cell % columns) + 0.5, f64::from(cell / columns) + 0.5];
            let direction = camera.direction_through([spot[0] / f64::from(columns), spot[1] / f64::from(rows)]);
            match light.first_hit(camera.eye, direction) {
                Some(hit) => light.luminance_of(&hit, camera.eye + direction * hit.distance_m).0,
                None => light.sky_luminance(direction),
            }
        })
        .sum();
    sum / f64::from(columns * rows)
}

/// One point that a lamp shines from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LampPoint {
    pub at: Vec3,
    pub kelvin: f32,
    /// Luminous intensity in its main direction, candela.
    pub candela: f64,
    /// Unit vector of a spot's beam; `None` shines evenly all round.
    pub beam: Option<Vec3>,
}

/// Exponent of a spot's cosine beam: half its strength at 15° from the middle.
const SPOT_EXPONENT: i32 = 20;
/// Points that stand for a string of bulbs.
const STRING_POINTS: usize = 8;

impl LampPoint {
    /// Intensity towards unit `direction`, candela.
    pub fn candela_towards(&self, direction: Vec3) -> f64 {
        self.beam
            .map_or(self.candela, |beam| self.candela * f64::from(beam.dot(direction).max(0.0)).powi(SPOT_EXPONENT))
    }
}

/// A lamp as points: its lumens spread evenly all round (÷ 4π), for a spot over a cosine beam, which holds 2π/(n+1)
/// of its peak; for a string over points along it.
pub fn lamp_points(lamp: &Lamp) -> Vec<LampPoint> {
    let on_floor = |at: Vec2, height_m: f32| Vec3::new(at.x, height_m, at.y);
    let at = on_floor(lamp.at, lamp.height_m);
    let lumens = f64::from(lamp.lumens.max(0.0));
    let even = lumens / (4.0 * PI);
    let point = |at, candela, beam| LampPoint { at, kelvin: lamp.kelvin, candela, beam };
    match (lamp.kind, lamp.to, lamp.aimed_at) {
        (LampKind::Strings, Some(to), _) => {
            let end = on_floor(to, lamp.height_m);
            (0..STRING_POINTS)
                .map(|i| {
                    let along = (i as f32 + 0.5) / STRING_POINTS as f32;
                    point(at.lerp(end, along), even / STRING_POINTS as f64, None)
                })
                .collect()
        }
        (LampKind::Spot, _, aimed_at) => {
            let beam = aimed_at.map_or(Vec3::NEG_Y, |spot| (on_floor(spot, 0.0) - at).normalize_or(Vec3::NEG_Y));
            vec![point(at, lumens * f64::from(SPOT_EXPONENT + 1) / (2.0 * PI), Some(beam))]
        }
        _ => vec![point(at, even, None)],
    }
}

struct Light<'a> {
    caster: &'a PlainCaster<'a>,
    daylight: &'a Daylight,
    lamps: &'a [LampPoint],
    whose: Option<OwnerIx>,
}

impl Light<'_> {
    /// What lets light by: glass, thin veils, things that glow themselves, and whoever's face it is.
    fn lets_by(&self, index: usize) -> bool {
        let solid = &self.caster.tableau().solids[index];
        Some(solid.owner) == self.whose
            || matches!(solid.material.finish, Finish::WindowGlass | Finish::Veil | Finish::Glow { .. })
    }

    fn first_hit(&self, at: Vec3, direction: Vec3) -> Option<Hit> {
        self.caster.first_hit(at, direction, FAR_M, |index| self.lets_by(index))
    }

    fn clear(&self, at: Vec3, direction: Vec3, max_m: f32) -> bool {
        !self.caster.blocked(at, direction, max_m, |index| self.lets_by(index))
    }

    fn sky_luminance(&self, direction: Vec3) -> f64 {
        f64::from(luminance(self.daylight.sky.radiance(direction)))
    }

    /// Direct sun, by nine rays over its disc.
    fn sun_on(&self, at: Vec3, normal: Vec3) -> f64 {
        let to_sun = self.daylight.to_sun;
        let facing = f64::from(normal.dot(to_sun));
        if facing <= 0.0 || self.daylight.sun_lux <= 0.0 {
            return 0.0;
        }
        let (across, along) = to_sun.any_orthonormal_pair();
        let seen = (0..9)
            .filter(|&ray| {
                let offset = if ray == 0 {
                    Vec2::ZERO
                } else {
                    Vec2::from_angle(ray as f32 * std::f32::consts::FRAC_PI_4) * (0.75 * SUN_RADIUS)
                };
                let direction = (to_sun + across * offset.x + along * offset.y).normalize_or(to_sun);
                self.clear(at, direction, FAR_M)
            })
            .count();
        self.daylight.sun_lux * facing * seen as f64 / 9.0
    }

    /// The strongest `count` lamps by inverse square and cosine, where nothing is in the way.
    fn lamps_on(&self, at: Vec3, normal: Vec3, count: usize) -> f64 {
        let mut given: Vec<(f64, Vec3, f32)> = self
            .lamps
            .iter()
            .filter_map(|lamp| {
                let to_lamp = lamp.at - at;
                let distance_m = to_lamp.length().max(0.05);
                let direction = to_lamp / distance_m;
                let facing = f64::from(normal.dot(direction));
                let lux = lamp.candela_towards(-direction) * facing / f64::from(distance_m * distance_m);
                (lux > 0.0).then_some((lux, direction, distance_m))
            })
            .collect();
        given.sort_by(|a, b| b.0.total_cmp(&a.0));
        given
            .into_iter()
            .take(count)
            // A lamp's own fitting may hold it: the last ten centimetres don't count.
            .filter(|&(_, direction, distance_m)| self.clear(at, direction, distance_m - 0.10))
            .fold(0.0, |sum, (lux, ..)| sum + lux)
    }

    /// Luminance of a matte surface that was hit, from sun, sky and the strongest lamps on it, and the share of its
    /// own view that other surfaces close in.
    fn luminance_of(&self, hit: &Hit, at: Vec3) -> (f64, f64) {
        let at = at + hit.normal * 0.005;
        let directions = cosine_weighted(hit.normal, 2, 4);
        let mut sky = 0.0;
        let mut closed = 0.0;
        for &direction in &directions {
            if self.clear(at, direction, FAR_M) {
                sky += self.sky_luminance(direction);
            } else {
                closed += 1.0;
            }
        }
        let count = directions.len() as f64;
        let lux = self.sun_on_roughly(at, hit.normal) + PI * sky / count + self.lamps_on(at, hit.normal, 4);
        (lux * self.reflects(hit.solid) / PI, closed / count)
    }

    fn sun_on_roughly(&self, at: Vec3, normal: Vec3) -> f64 {
        let facing = f64::from(normal.dot(self.daylight.to_sun)).max(0.0);
        if facing > 0.0 && self.daylight.sun_lux > 0.0 && self.clear(at, self.daylight.to_sun, FAR_M) {
            self.daylight.sun_lux * facing
        } else {
            0.0
        }
    }

    /// Share of light that a solid gives back: of paint and cloth the luminance of its colour, of a surface what its
    /// kind does.
    fn reflects(&self, index: usize) -> f64 {
        let material = &self.caster.tableau().solids[index].material;
        let tint = f64::from(luminance(linear(material.colour)));
        match material.finish {
            Finish::Surface(surface) => tint * surface_reflects(surface),
            _ => tint.min(0.9),
        }
    }
}

/// Everyday reflectances, textbook values from memory.
fn surface_reflects(surface: crate::plan::Surface) -> f64 {
    use crate::plan::Surface::*;
    match surface {
        Grass => 0.12,
        Gravel | Flagstone => 0.25,
        Earth | DarkBoards => 0.12,
        Sand | Concrete => 0.35,
        Stone => 0.30,
        Brick => 0.20,
        Plaster => 0.70,
        Tile => 0.45,
        OakBoards => 0.28,
        Carpet => 0.15,
        Linen => 0.65,
        Water => 0.08,
    }
}

/// sRGB as written to linear light (IEC 61966-2-1).
fn linear(colour: Colour) -> [f32; 3] {
    colour.0.map(|c| if c <= 0.040_45 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) })
}
