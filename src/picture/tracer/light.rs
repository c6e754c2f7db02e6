//! Light on a point: the sun with its soft edge, the sky past whatever stands in its way, windows, lamps, and what
//! surroundings give back. Units as in `sight`: linear sRGB in lux and candela per square metre.

use super::Shot;
use super::chance::{Chance, on_disc};
use crate::daylight::{cosine_weighted, luminance};
use crate::optics::{ev100, illuminance_at_ev100};
use crate::sight::{Caster, Interior, LampPoint, Light, reflects};
use crate::staging::{Finish, Tableau};
use glam::Vec3;
use std::f32::consts::PI;

const FAR_M: f32 = 2000.0;
/// Angular radius of the sun.
const SUN_RADIUS: f32 = 0.004_65;
/// Shadow rays start this far off a surface.
const OFF_M: f32 = 0.002;
/// A lamp's own fitting may hold it: so much of the way to it doesn't count.
const FITTING_M: f32 = 0.10;
/// A lamp that gives less than this share of a well exposed grey at a metre's distance is left out.
const FAINTEST: f64 = 0.004;
/// What surroundings give back of light that they get from all round, where a second ray ends on them too. *Our own.*
const THIRD_BOUNCE: f32 = 0.12;

/// Illuminance of a point.
#[derive(Debug, Clone, Copy, Default)]
pub struct Falling {
    /// From the sun, with its shadow: sharp enough to be left alone.
    pub sun: Vec3,
    /// Towards the sun of that sample.
    pub to_sun: Vec3,
    /// Sun's illuminance of a surface that faces it; zero in the shade.
    pub sun_straight: Vec3,
    /// All the rest, which changes slowly from place to place. None where it wasn't asked for.
    pub smooth: Option<Vec3>,
}

/// Everything that shines on a shot.
pub struct Lights<'a> {
    shot: Shot<'a>,
    /// For shadows and light from all round: sharp blocks, without what lets light by: glass, veils, flames. A rounded surface
    /// lies inside its own block, which a ray that starts there does not see.
    caster: Caster<'a>,
    /// Share of light that each solid gives back.
    reflects: Vec<Vec3>,
    sun: Vec3,
    sky: SkyTable,
    /// Illuminance in the open of surfaces that face ±x, ±y, ±z, the sun apart.
    open: [[Vec3; 2]; 3],
    ground: Vec3,
    rooms: Vec<(&'a Interior, Vec3)>,
    lamps: Vec<LampPoint>,
}

impl<'a> Lights<'a> {
    pub fn new(shot: &Shot<'a>, caster: &Caster<'a>) -> Self {
        let Shot { tableau, daylight, sources, camera, .. } = *shot;
        let light = Light::new(caster, daylight, sources);
        let bounced: Vec<Vec3> = light.bounced().map(|bounced| bounced.as_vec3()).collect();
        let stops_light = |index: &usize| {
            let solid = &tableau.solids[*index];
            !solid.is_seen_through() && !matches!(solid.material.finish, Finish::Glow { .. })
        };
        let grey_lux = illuminance_at_ev100(ev100(camera.f_number, camera.shutter_s, camera.iso));
        let matters = |lamp: &&LampPoint| lamp.whole_candela > FAINTEST * grey_lux;
        let sky = SkyTable::new(|direction| Vec3::from(daylight.sky.radiance(direction)));
        let open = [Vec3::X, Vec3::Y, Vec3::Z].map(|axis| [axis, -axis].map(|side| sky.on(side)));
        Self {
            shot: *shot,
            caster: Caster::of(tableau, (0..tableau.solids.len()).filter(stops_light)),
            reflects: reflects_of(tableau),
            sun: Vec3::from(daylight.sun_colour) * daylight.sun_lux as f32,
            sky,
            open,
            ground: Vec3::from(daylight.sky.ground()),
            rooms: sources.rooms.iter().zip(bounced).collect(),
            lamps: sources.lamps.iter().filter(matters).copied().collect(),
        }
    }

    /// Light on a matte surface at a point of a solid's skin, by one sample of everything, or of the sun alone.
    pub fn falling(&self, at: Vec3, flat_normal: Vec3, normal: Vec3, all: bool, chance: &mut Chance) -> Falling {
        let at = at + flat_normal * OFF_M;
        let (to_sun, sun_straight) = self.sun(at, chance);
        let sun = sun_straight * normal.dot(to_sun).max(0.0);
        let smooth = all.then(|| self.smooth(at, flat_normal, normal, chance));
        Falling { sun, to_sun, sun_straight, smooth }
    }

    fn smooth(&self, at: Vec3, flat_normal: Vec3, normal: Vec3, chance: &mut Chance) -> Vec3 {
        let room = self.room_round(at);
        let mut smooth = self.lamps(at, normal, chance);
        if let Some((room, _)) = room {
            smooth += self.windows(room, at, normal, chance);
        }
        let direction = towards(normal, chance.pair());
        // A bump may look into its own ground.
        let direction = if direction.dot(flat_normal) <= 0.0 {
            direction - flat_normal * (2.0 * direction.dot(flat_normal))
        } else {
            direction
        };
        smooth + self.gathered(at, direction, room, chance)
    }

    /// What comes along a ray, times π: the illuminance that a cosine-weighted ray stands for.
    fn gathered(&self, at: Vec3, direction: Vec3, room: Option<(&Interior, Vec3)>, chance: &mut Chance) -> Vec3 {
        let Some(hit) = self.caster.first_hit(at, direction, FAR_M, |_| false) else {
            // Windows have been counted as windows.
            return if room.is_some() { Vec3::ZERO } else { self.sky.radiance(direction) * PI };
        };
        let spot = at + direction * hit.distance_m;
        if room.is_some_and(|(room, _)| !room.holds(spot)) {
            return Vec3::ZERO;
        }
        self.reflects[hit.solid] * self.there(spot, hit.normal, chance)
    }

    /// Light on surroundings that a ray has met.
    fn there(&self, spot: Vec3, normal: Vec3, chance: &mut Chance) -> Vec3 {
        let at = spot + normal * OFF_M;
        let (to_sun, sun) = self.sun(at, chance);
        let direct = sun * normal.dot(to_sun).max(0.0) + self.lamps(at, normal, chance);
        if let Some((room, bounced)) = self.room_round(at) {
            return direct + bounced + self.windows(room, at, normal, chance);
        }
        let direction = towards(normal, chance.pair());
        let from_sky = if self.caster.blocked(at, direction, FAR_M, |_| false) {
            self.open_on(normal) * THIRD_BOUNCE
        } else {
            self.sky.radiance(direction) * PI
        };
        direct + from_sky
    }

    /// What a mirror shows in a direction, roughly: the sky, or surroundings in their mean light.
    pub fn mirrored(&self, at: Vec3, flat_normal: Vec3, direction: Vec3) -> Vec3 {
        let at = at + flat_normal * OFF_M;
        match self.caster.first_hit(at, direction, FAR_M, |_| false) {
            None => self.sky.radiance(direction),
            Some(hit) => {
                let spot = at + direction * hit.distance_m + hit.normal * OFF_M;
                let falling = match self.room_round(spot) {
                    Some((_, bounced)) => bounced,
                    None => self.open_on(hit.normal) * 0.6,
                };
                self.reflects[hit.solid] * falling / PI
            }
        }
    }

    /// The sky where nothing is, exactly.
    pub fn beyond(&self, direction: Vec3) -> Vec3 {
        Vec3::from(self.shot.daylight.sky.radiance(direction))
    }

    fn room_round(&self, at: Vec3) -> Option<(&'a Interior, Vec3)> {
        self.rooms.iter().find(|(room, _)| room.holds(at)).copied()
    }

    /// Towards a point of the sun's disc, and its light if nothing is in the way.
    fn sun(&self, at: Vec3, chance: &mut Chance) -> (Vec3, Vec3) {
        let middle = self.shot.daylight.to_sun;
        let [x, y] = on_disc(chance.pair());
        if self.sun == Vec3::ZERO {
            return (middle, Vec3::ZERO);
        }
        let (across, along) = middle.any_orthonormal_pair();
        let to_sun = (middle + (across * x + along * y) * SUN_RADIUS).normalize_or(middle);
        let clear = !self.caster.blocked(at, to_sun, FAR_M, |_| false);
        (to_sun, if clear { self.sun } else { Vec3::ZERO })
    }

    /// One lamp, chosen by how much it would give, stands for all.
    fn lamps(&self, at: Vec3, normal: Vec3, chance: &mut Chance) -> Vec3 {
        if self.lamps.is_empty() {
            return Vec3::ZERO;
        }
        let lux_of = |lamp: &LampPoint| {
            let way = lamp.at - at;
            let distance_m = way.length().max(0.05);
            let direction = way / distance_m;
            let facing = normal.dot(direction).max(0.0);
            let lux = lamp.candela_towards(-direction) as f32 * facing / (distance_m * distance_m);
            (lux, direction, distance_m)
        };
        let all: f32 = self.lamps.iter().map(|lamp| lux_of(lamp).0).sum();
        let mut left = chance.pair()[0] * all;
        for lamp in self.lamps.iter().filter(|_| all > 0.0) {
            let (lux, direction, distance_m) = lux_of(lamp);
            left -= lux;
            if left < 0.0 && lux > 0.0 {
                let clear = !self.caster.blocked(at, direction, distance_m - FITTING_M, |_| false);
                return if clear { lamp.colour().as_vec3() * all } else { Vec3::ZERO };
            }
        }
        Vec3::ZERO
    }

    /// One point of one window, chosen by how much of the view it takes, stands for all.
    fn windows(&self, room: &Interior, at: Vec3, normal: Vec3, chance: &mut Chance) -> Vec3 {
        let [which, _] = chance.pair();
        let spot = chance.pair();
        let weight = |portal: &crate::sight::Portal| {
            let way = portal.centre - at;
            let distance_m = way.length().max(0.3);
            let slant = (-way.dot(portal.inward) / distance_m).max(0.0);
            // A large window near by is seen even where its middle is behind.
            let facing = (normal.dot(way) / distance_m).max(0.15);
            (portal.area_m2() * portal.lets_by) as f32 * slant * facing / (distance_m * distance_m)
        };
        let all: f32 = room.portals.iter().map(weight).sum();
        let mut left = which * all;
        for portal in room.portals.iter().filter(|_| all > 0.0) {
            let own = weight(portal);
            left -= own;
            if left >= 0.0 || own <= 0.0 {
                continue;
            }
            let way = portal.point(spot[0] - 0.5, spot[1] - 0.5) - at;
            let distance_m = way.length().max(0.1);
            let direction = way / distance_m;
            let (facing, slant) = (normal.dot(direction), -direction.dot(portal.inward));
            if facing <= 0.0 || slant <= 0.0 {
                return Vec3::ZERO;
            }
            let seen = if !self.caster.blocked(at, direction, FAR_M, |_| false) {
                self.sky.radiance(direction)
            } else if !self.caster.blocked(at, direction, distance_m, |_| false) {
                self.ground
            } else {
                return Vec3::ZERO;
            };
            let part_m2 = (portal.area_m2() * portal.lets_by) as f32 * all / own;
            return seen * (facing * slant * part_m2 / (distance_m * distance_m));
        }
        Vec3::ZERO
    }

    /// Illuminance of an unshaded surface by sky and ground, between the six that are known.
    pub fn open_on(&self, normal: Vec3) -> Vec3 {
        (0..3).fold(Vec3::ZERO, |sum, axis| {
            let side = self.open[axis][usize::from(normal[axis] < 0.0)];
            sum + side * normal[axis] * normal[axis]
        })
    }
}

fn reflects_of(tableau: &Tableau) -> Vec<Vec3> {
    tableau.solids.iter().map(|solid| reflects(&solid.material).as_vec3()).collect()
}

/// A direction about a normal, as dense as a matte surface weighs it.
pub fn towards(normal: Vec3, pair: [f32; 2]) -> Vec3 {
    let [x, y] = on_disc(pair);
    let (across, along) = normal.any_orthonormal_pair();
    across * x + along * y + normal * (1.0 - x * x - y * y).max(0.0).sqrt()
}

/// The sky's light by direction, looked up.
struct SkyTable {
    cells: Vec<Vec3>,
}

const TURNS: usize = 256;
const RISES: usize = 128;

impl SkyTable {
    fn new(radiance: impl Fn(Vec3) -> Vec3) -> Self {
        let cells = (0..TURNS * RISES).map(|cell| {
            let up = 1.0 - 2.0 * ((cell / TURNS) as f32 + 0.5) / RISES as f32;
            let turn = 2.0 * PI * ((cell % TURNS) as f32 + 0.5) / TURNS as f32;
            let flat = (1.0 - up * up).max(0.0).sqrt();
            radiance(Vec3::new(flat * turn.cos(), up, flat * turn.sin()))
        });
        Self { cells: cells.collect() }
    }

    fn radiance(&self, direction: Vec3) -> Vec3 {
        let row = ((0.5 - 0.5 * direction.y) * RISES as f32) as usize;
        let turn = direction.z.atan2(direction.x) / (2.0 * PI);
        let column = ((turn - turn.floor()) * TURNS as f32) as usize;
        self.cells[row.min(RISES - 1) * TURNS + column.min(TURNS - 1)]
    }

    /// Illuminance of a surface that faces a direction.
    fn on(&self, normal: Vec3) -> Vec3 {
        let directions = cosine_weighted(normal, 16, 32);
        directions.iter().map(|&direction| self.radiance(direction)).sum::<Vec3>() * (PI / directions.len() as f32)
    }
}

/// Light of one sample that is brighter than this many times white is cut: it would be a speck.
pub fn without_specks(light: Vec3, white: f32) -> Vec3 {
    let bright = luminance(light.to_array());
    let most = 12.0 * white;
    if !light.is_finite() {
        Vec3::ZERO
    } else if bright > most {
        light * (most / bright)
    } else {
        light
    }
}
