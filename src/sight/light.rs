//! How much light, of which colour, falls on a face, for metering: sun, sky, what the surroundings give back, lamps.
//!
//! An estimate to set an exposure by, within about half a stop of the model; the sky and sun themselves are as good
//! as the forecast. Meter on the day.
//!
//! Light is linear sRGB; its [`sum_of`] is in lux or candela per square metre.

use super::cast::Hit;
use super::caster::Caster;
use super::interior::{Interior, Portal, interiors};
use super::lamps::{LampPoint, light_points};
use super::reflects::{reflects, sum_of};
use crate::daylight::{Daylight, cosine_weighted};
use crate::optics::Camera;
use crate::plan::Venue;
use crate::staging::{Figure, Finish, OwnerIx, Tableau};
use glam::{DVec3, Vec2, Vec3};
use std::f64::consts::PI;

/// Rings and spokes of rays over what a face looks out on.
const RINGS: usize = 8;
const SPOKES: usize = 12;
/// Points of a window that a face is lit from, and a wall.
const WINDOW_POINTS: u32 = 16;
const WINDOW_POINTS_FOR_WALLS: u32 = 2;
/// Light is taken just in front of the nose.
const BEFORE_THE_FACE_M: f32 = 0.12;
const FAR_M: f32 = 2000.0;
/// Share of light that surroundings give back on average, for what goes to and fro more than twice.
const SURROUNDINGS_REFLECT: f64 = 0.4;
/// Angular radius of the sun.
const SUN_RADIUS: f32 = 0.004_65;
/// So many lamps say for all of them how much of their light gets to a wall or a floor.
const LAMPS_ASKED: usize = 4;

/// Illuminance of a face by where it comes from. Measured flat across the face, as a meter held there would.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct FaceLight {
    pub sun: DVec3,
    /// From the sky itself, also through windows.
    pub sky: DVec3,
    /// Sun's and sky's light from ground, walls and people.
    pub bounce: DVec3,
    pub lamps: DVec3,
    /// Lamps' light from there.
    pub lamp_bounce: DVec3,
}

impl FaceLight {
    pub fn total(&self) -> DVec3 {
        self.sun + self.sky + self.bounce + self.lamps + self.lamp_bounce
    }

    pub fn total_lux(&self) -> f64 {
        sum_of(self.total())
    }
}

/// What shines and what holds light, apart from the sky.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    pub lamps: Vec<LampPoint>,
    pub rooms: Vec<Interior>,
}

impl Sources {
    pub fn of(venue: &Venue, tableau: &Tableau) -> Self {
        Self { lamps: light_points(venue, tableau), rooms: interiors(venue) }
    }

    /// The same lamps, so many times as strong.
    pub fn times(mut self, factor: f64) -> Self {
        for lamp in &mut self.lamps {
            lamp.candela *= factor;
            lamp.whole_candela *= factor;
        }
        self
    }

    /// Which room with a ceiling holds a point.
    pub fn room_of(&self, point: Vec3) -> Option<usize> {
        self.rooms.iter().position(|room| room.holds(point))
    }
}

/// Light on the face of `figure`, whose own body shades nothing here (hats and veils let light by).
pub fn face_light(tableau: &Tableau, daylight: &Daylight, figure: &Figure, sources: &Sources) -> FaceLight {
    Light::new(&Caster::new(tableau), daylight, sources).on_face(figure)
}

/// All light in a tableau.
pub struct Light<'a> {
    caster: &'a Caster<'a>,
    daylight: &'a Daylight,
    sources: &'a Sources,
    /// What each room's surfaces give back, in their order.
    bounced: Vec<Parted>,
    whose: Option<OwnerIx>,
}

/// Light by what it is of.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Parted {
    daylight: DVec3,
    lamps: DVec3,
}

impl Parted {
    fn each(self, change: impl Fn(DVec3) -> DVec3) -> Self {
        Self { daylight: change(self.daylight), lamps: change(self.lamps) }
    }
}

/// What a camera's meter sees besides faces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SceneLight {
    /// Mean luminance of the picture, cd/m²: matte light of the surfaces that are hit, sky where nothing is.
    pub luminance: f64,
    /// The light that falls on those surfaces, each as bright as it counts in the picture.
    pub light: DVec3,
}

/// Cells, across and up, that a camera's meter parts its picture in, and rays in each.
const METER_GRID: [u32; 2] = [12, 8];
const RAYS_IN_A_CELL: u32 = 16;

impl<'a> Light<'a> {
    pub fn new(caster: &'a Caster<'a>, daylight: &'a Daylight, sources: &'a Sources) -> Self {
        let mut light = Self { caster, daylight, sources, bounced: vec![], whose: None };
        light.bounced = sources.rooms.iter().map(|room| light.bounced_in(room)).collect();
        light
    }

    /// The room with a ceiling that holds a point, and the light that all its surfaces get from each other.
    pub fn room_round(&self, point: Vec3) -> Option<(&'a Interior, DVec3)> {
        self.room_with(point).map(|(room, bounced)| (room, bounced.daylight + bounced.lamps))
    }

    /// The light that the surfaces of each room get from each other, in the order of the sources' rooms.
    pub(crate) fn bounced(&self) -> impl Iterator<Item = DVec3> + '_ {
        self.bounced.iter().map(|bounced| bounced.daylight + bounced.lamps)
    }

    fn room_with(&self, point: Vec3) -> Option<(&'a Interior, Parted)> {
        let rooms = self.sources.rooms.iter().zip(&self.bounced);
        rooms.map(|(room, &bounced)| (room, bounced)).find(|(room, _)| room.holds(point))
    }

    /// Light on an upright surface in the open by sky and ground, mean of four sides.
    pub fn outdoors(&self) -> DVec3 {
        let sides = [Vec3::X, Vec3::NEG_X, Vec3::Z, Vec3::NEG_Z].map(|side| cosine_weighted(side, 4, 8));
        let count = sides.iter().flatten().count() as f64;
        sides.iter().flatten().fold(DVec3::ZERO, |sum, &direction| sum + self.sky_in(direction)) * (PI / count)
    }

    pub fn on_face(&self, figure: &Figure) -> FaceLight {
        let light = Light { whose: Some(figure.owner), bounced: self.bounced.clone(), ..*self };
        light.on_own_face(figure)
    }

    fn on_own_face(&self, figure: &Figure) -> FaceLight {
        let normal = figure.face_forward.normalize_or(Vec3::Z);
        self.on_spot(figure.eyes.midpoint(figure.chin) + normal * BEFORE_THE_FACE_M, normal)
    }

    /// Light on a small flat surface at a point, with unit `normal`.
    pub fn on_spot(&self, at: Vec3, normal: Vec3) -> FaceLight {
        let room = self.room_with(at).map(|(room, _)| room);
        let mut face = FaceLight {
            sun: self.sun_on(at, normal),
            lamps: self.lamps_on(at, normal, usize::MAX),
            sky: room.map_or(DVec3::ZERO, |room| self.through_portals(room, at, normal, WINDOW_POINTS)),
            ..FaceLight::default()
        };
        let directions = cosine_weighted(normal, RINGS, SPOKES);
        let share = PI / directions.len() as f64;
        let mut closed_in = 0.0;
        for &direction in &directions {
            let hit = self.first_hit(at, direction).map(|hit| (hit, at + direction * hit.distance_m));
            match (hit, room) {
                // What comes through the windows has been counted by windows: they are small to aim at.
                (None, Some(_)) => {}
                (Some((_, spot)), Some(room)) if !room.holds(spot) => {}
                (Some((hit, spot)), _) => {
                    let (given_back, share_closed) = self.given_back(&hit, spot);
                    face.bounce += given_back.daylight * share;
                    face.lamp_bounce += given_back.lamps * share;
                    closed_in += share_closed;
                }
                (None, None) if direction.y < 0.0 => face.bounce += self.sky_in(direction) * share,
                (None, None) => face.sky += self.sky_in(direction) * share,
            }
        }
        // Light that goes to and fro between walls adds up to a geometric series.
        let to_and_fro = 1.0 / (1.0 - SURROUNDINGS_REFLECT * closed_in / directions.len() as f64);
        face.bounce *= to_and_fro;
        face.lamp_bounce *= to_and_fro;
        face
    }

    /// The picture of `camera` as its meter sees it.
    ///
    /// Sky and surfaces are told apart by many rays, since a window's edge would make a few unsteady; how bright surfaces
    /// are is asked once in each cell.
    ///
    /// `taker` holds the camera, and neither they nor their kit stand before it.
    pub fn in_picture(&self, camera: &Camera, taker: Option<OwnerIx>) -> SceneLight {
        let past_the_taker = Light { whose: taker, bounced: self.bounced.clone(), ..*self };
        past_the_taker.all_in_picture(camera)
    }

    fn all_in_picture(&self, camera: &Camera) -> SceneLight {
        let [columns, rows] = METER_GRID;
        let mut scene = SceneLight { luminance: 0.0, light: DVec3::ZERO };
        for cell in 0..columns * rows {
            let corner = [cell % columns, cell / columns].map(f64::from);
            let mut hits = vec![];
            for ray in 0..RAYS_IN_A_CELL {
                let [right, down] = spread(cell * RAYS_IN_A_CELL + ray);
                let spot = [(corner[0] + right) / f64::from(columns), (corner[1] + down) / f64::from(rows)];
                let direction = camera.direction_through(spot);
                match self.first_hit(camera.eye, direction) {
                    Some(hit) => hits.push((hit, camera.eye + direction * hit.distance_m)),
                    None => scene.luminance += sum_of(self.sky_in(direction)),
                }
            }
            let Some(&(hit, spot)) = hits.get(hits.len() / 2) else { continue };
            let count = hits.len() as f64;
            let (falling, _) = self.falling_on(&hit, spot);
            let falling = falling.daylight + falling.lamps;
            let given_back = falling * reflects(&self.caster.tableau().solids[hit.solid].material) / PI;
            scene.luminance += count * sum_of(given_back);
            scene.light += falling * (count * sum_of(given_back) / sum_of(falling).max(1e-9));
        }
        scene.luminance /= f64::from(columns * rows * RAYS_IN_A_CELL);
        scene
    }

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

    fn sky_in(&self, direction: Vec3) -> DVec3 {
        Vec3::from(self.daylight.sky.radiance(direction)).as_dvec3()
    }

    fn ground(&self) -> DVec3 {
        Vec3::from(self.daylight.sky.ground()).as_dvec3()
    }

    fn sun_colour(&self) -> DVec3 {
        Vec3::from(self.daylight.sun_colour).as_dvec3()
    }

    /// Direct sun, by nine rays over its disc.
    fn sun_on(&self, at: Vec3, normal: Vec3) -> DVec3 {
        let to_sun = self.daylight.to_sun;
        let facing = f64::from(normal.dot(to_sun));
        if facing <= 0.0 || self.daylight.sun_lux <= 0.0 {
            return DVec3::ZERO;
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
        self.sun_colour() * (self.daylight.sun_lux * facing * seen as f64 / 9.0)
    }

    fn sun_on_roughly(&self, at: Vec3, normal: Vec3) -> DVec3 {
        let facing = f64::from(normal.dot(self.daylight.to_sun)).max(0.0);
        if facing > 0.0 && self.daylight.sun_lux > 0.0 && self.clear(at, self.daylight.to_sun, FAR_M) {
            self.sun_colour() * (self.daylight.sun_lux * facing)
        } else {
            DVec3::ZERO
        }
    }

    /// All lamps by inverse square and cosine. Whether something is in the way is asked of the strongest `asked`; the
    /// rest is taken to be shaded as much as they are.
    fn lamps_on(&self, at: Vec3, normal: Vec3, asked: usize) -> DVec3 {
        let mut given: Vec<(f64, DVec3, Vec3, f32)> = self
            .sources
            .lamps
            .iter()
            .filter_map(|lamp| {
                let to_lamp = lamp.at - at;
                let distance_m = to_lamp.length().max(0.05);
                let direction = to_lamp / distance_m;
                let facing = f64::from(normal.dot(direction));
                let lux = lamp.candela_towards(-direction) * facing / f64::from(distance_m * distance_m);
                (lux > 0.0).then(|| (lux, lamp.colour(), direction, distance_m))
            })
            .collect();
        given.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut seen = DVec3::ZERO;
        let (mut asked_lux, mut seen_lux) = (0.0, 0.0);
        for &(lux, colour, direction, distance_m) in given.iter().take(asked) {
            asked_lux += lux;
            // A lamp's own fitting may hold it: the last ten centimetres don't count.
            if self.clear(at, direction, distance_m - 0.10) {
                seen_lux += lux;
                seen += colour * lux;
            }
        }
        let rest = given.iter().skip(asked).fold(DVec3::ZERO, |sum, &(lux, colour, ..)| sum + colour * lux);
        if asked_lux > 0.0 { seen + rest * (seen_lux / asked_lux) } else { seen }
    }

    /// Sky, and ground outside, through the windows of a room, each seen through so many points of it: what is seen there
    /// times the point's share of the solid angle and the cosine.
    fn through_portals(&self, room: &Interior, at: Vec3, normal: Vec3, points: u32) -> DVec3 {
        let mut sum = DVec3::ZERO;
        for portal in &room.portals {
            if (at - portal.centre).dot(portal.inward) <= 0.0 {
                continue;
            }
            for point in 0..points {
                // Never the very middle: there is a glazing bar.
                let [right, up] = spread(point + 1).map(|share| share as f32 - 0.5);
                let way = portal.point(right, up) - at;
                let distance_m = way.length().max(0.1);
                let direction = way / distance_m;
                let (facing, slant) = (normal.dot(direction), -direction.dot(portal.inward));
                if facing <= 0.0 || slant <= 0.0 {
                    continue;
                }
                let part_m2 = portal.area_m2() / f64::from(points);
                let weight = f64::from(facing * slant / (distance_m * distance_m)) * part_m2 * portal.lets_by;
                if self.clear(at, direction, FAR_M) {
                    sum += self.sky_in(direction) * weight;
                } else if self.clear(at, direction, distance_m) {
                    sum += self.ground() * weight;
                }
            }
        }
        sum
    }

    /// Light that a surface which was hit gives back, cd/m², and the share of its own view that other surfaces close
    /// in and nothing has counted yet.
    fn given_back(&self, hit: &Hit, at: Vec3) -> (Parted, f64) {
        let (falling, closed) = self.falling_on(hit, at);
        let colour = reflects(&self.caster.tableau().solids[hit.solid].material);
        (falling.each(|light| light * colour / PI), closed)
    }

    /// Light on a matte surface that was hit: in rooms with all that goes to and fro, outdoors by sun, sky and lamps,
    /// with the share of its view that other surfaces close in.
    fn falling_on(&self, hit: &Hit, at: Vec3) -> (Parted, f64) {
        let normal = hit.normal;
        let at = at + normal * 0.005;
        let lamps = self.lamps_on(at, normal, LAMPS_ASKED);
        let sun = self.sun_on_roughly(at, normal);
        if let Some((room, bounced)) = self.room_with(at) {
            let daylight = sun + self.through_portals(room, at, normal, WINDOW_POINTS_FOR_WALLS) + bounced.daylight;
            return (Parted { daylight, lamps: lamps + bounced.lamps }, 0.0);
        }
        let directions = cosine_weighted(normal, 2, 4);
        let mut sky = DVec3::ZERO;
        let mut closed = 0.0;
        for &direction in &directions {
            if self.clear(at, direction, FAR_M) {
                sky += self.sky_in(direction);
            } else {
                closed += 1.0;
            }
        }
        let count = directions.len() as f64;
        (Parted { daylight: sun + sky * (PI / count), lamps }, closed / count)
    }

    fn bounced_in(&self, room: &Interior) -> Parted {
        let lamps = self.sources.lamps.iter().filter(|lamp| room.holds(lamp.at));
        let lumens = Parted {
            daylight: room.portals.iter().fold(DVec3::ZERO, |sum, portal| sum + self.lumens_through(portal)),
            lamps: lamps.fold(DVec3::ZERO, |sum, lamp| sum + lamp.colour() * lamp.lumens()),
        };
        lumens.each(|lumens| room.bounced(lumens))
    }

    /// Sun, sky and ground through a window.
    fn lumens_through(&self, portal: &Portal) -> DVec3 {
        // Before the wall, where it has no sides that shade it.
        let at = portal.centre - portal.inward * 0.35;
        let outward = -portal.inward;
        let directions = cosine_weighted(outward, 4, 8);
        let seen = directions.iter().fold(DVec3::ZERO, |sum, &direction| {
            sum + if self.clear(at, direction, FAR_M) { self.sky_in(direction) } else { self.ground() }
        });
        let lux = seen * (PI / directions.len() as f64) + self.sun_on_roughly(at, outward);
        lux * (portal.area_m2() * portal.lets_by)
    }
}

/// The `number`th of points that fill a square evenly, without rows or columns (the R2 sequence, M. Roberts 2018: steps
/// of 1/g and 1/g², g³ = g + 1).
fn spread(number: u32) -> [f64; 2] {
    const STEPS: [f64; 2] = [0.754_877_666_246_693, 0.569_840_290_998_053];
    STEPS.map(|step| (0.5 + step * f64::from(number)).fract())
}
