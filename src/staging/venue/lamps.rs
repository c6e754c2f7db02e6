//! Lamps as things one sees: bulbs, shades, candles, strings. How much light they give is the picture's matter; how
//! bright they look follows from their lumens here.

use crate::plan::{Lamp, LampKind, Venue};
use crate::staging::carve::{Carver, Limb, Place, cut, of, rgb};
use crate::staging::chance::Chance;
use crate::staging::floor::{floor_height, own_spot};
use crate::staging::tableau::{Finish, Material, Part};
use glam::{Quat, Vec2, Vec3};
use std::f32::consts::{FRAC_PI_4, PI};

pub fn carve_lamp(carver: &mut Carver, venue: &Venue, lamp: &Lamp, chance: Chance) {
    let y = floor_height(venue, lamp.at) + lamp.height_m;
    let place = Place::facing(lamp.at, y, chance.named(&lamp.id).between("turn", 0.0, 0.5));
    let ceiling = ceiling_over(venue, lamp.at);
    match lamp.kind {
        LampKind::Bulb => {
            bulb(carver, place, 0.06, lamp, 1.0);
            hang(carver, place, ceiling, 0.03);
        }
        LampKind::Pendant => {
            bulb(carver, place, 0.09, lamp, 1.0);
            let shade = of(Finish::Metal, rgb(0.22, 0.21, 0.20));
            carver.add(place, cut(0.46, 0.20, 0.46).at(0.0, 0.10, 0.0).top(0.28, 0.28).round(0.02), Part::Thing, shade);
            hang(carver, place, ceiling, 0.19);
        }
        LampKind::Spot => spot(carver, venue, lamp, y, ceiling),
        LampKind::Candle => {
            let wax = of(Finish::Paper, rgb(0.95, 0.92, 0.84));
            carver.add(place, cut(0.05, 0.16, 0.05).at(0.0, -0.095, 0.0).round(0.015), Part::Thing, wax);
            carver.add(
                place,
                cut(0.016, 0.036, 0.016).at(0.0, 0.004, 0.0).top(0.3, 0.3).round(0.004),
                Part::Thing,
                glow(lamp, 0.016 * 0.036 * 4.0, 1.0),
            );
        }
        LampKind::Strings => strings(carver, venue, lamp),
    }
}

/// The glow of a surface that sends a lamp's flux (or a share of it) out evenly: luminance = flux / (π · area).
fn glow(lamp: &Lamp, area_m2: f32, share: f32) -> Material {
    let nits = (lamp.lumens * share / (PI * area_m2.max(1e-5))).clamp(1.0, 1e7) as u32;
    of(Finish::Glow { nits }, warmth(lamp.kelvin))
}

/// A tint for a colour temperature: a straight line between candle light and daylight, near enough for the lamp itself.
fn warmth(kelvin: f32) -> crate::plan::Colour {
    let t = ((kelvin - 1900.0) / (6500.0 - 1900.0)).clamp(0.0, 1.0).sqrt();
    rgb(1.0, 0.66 + 0.34 * t, 0.32 + 0.68 * t)
}

fn bulb(carver: &mut Carver, place: Place, size: f32, lamp: &Lamp, share: f32) {
    let material = glow(lamp, 6.0 * size * size * 0.8, share);
    carver.add(place, cut(size, size * 1.2, size).round(size * 0.42), Part::Thing, material);
}

fn ceiling_over(venue: &Venue, spot: Vec2) -> Option<f32> {
    venue.rooms.iter().find_map(|room| {
        let own = own_spot(spot, room.centre, room.heading).abs() - room.size_m * 0.5;
        (room.ceiling.is_some() && own.max_element() < 0.0).then_some(room.height_m)
    })
}

/// A cord up to the ceiling, or a metre of it where there is none.
fn hang(carver: &mut Carver, place: Place, ceiling: Option<f32>, from: f32) {
    let length = ceiling.map_or(1.0, |c| c - place.at.y) - from;
    if length > 0.01 {
        let cord = cut(0.010, length, 0.010).at(0.0, from + length * 0.5, 0.0);
        carver.add(place, cord, Part::Thing, of(Finish::BlackPlastic, rgb(0.08, 0.08, 0.08)));
    }
}

/// A can on a yoke: under the ceiling if there is one, else on a stand.
fn spot(carver: &mut Carver, venue: &Venue, lamp: &Lamp, y: f32, ceiling: Option<f32>) {
    let black = of(Finish::BlackPlastic, rgb(0.07, 0.07, 0.075));
    let at = Vec3::new(lamp.at.x, y, lamp.at.y);
    let target = lamp.aimed_at.unwrap_or(lamp.at + Vec2::NEG_Y);
    let target = Vec3::new(target.x, floor_height(venue, target), target.y);
    let way = (target - at).normalize_or(Vec3::NEG_Y);
    // The can's own −y points along the beam.
    let place = Place::new(at, super::super::carve::upright(-way, Vec3::X));
    for turn in [0.0, FRAC_PI_4] {
        let can = cut(0.15, 0.26, 0.15).at(0.0, 0.14, 0.0).turned(Quat::from_rotation_y(turn)).round(0.012);
        carver.add(place, can, Part::Thing, black);
    }
    carver.add(place, cut(0.12, 0.006, 0.12).at(0.0, 0.006, 0.0), Part::Thing, glow(lamp, 0.12 * 0.12, 1.0));
    let upright = Place::new(at, Quat::IDENTITY);
    match ceiling {
        Some(c) if c > y + 0.05 => {
            carver.add(upright, cut(0.03, c - y, 0.03).at(0.0, (c - y) * 0.5, 0.0), Part::Thing, black);
        }
        _ => {
            let floor = floor_height(venue, lamp.at);
            carver.add(upright, cut(0.035, y - floor, 0.035).at(0.0, (floor - y) * 0.5, 0.0), Part::Thing, black);
            let foot = Place::new(Vec3::new(at.x, floor, at.z), Quat::IDENTITY);
            for i in 0..3 {
                let leg = foot.turned(Quat::from_rotation_y(i as f32 * 2.0944));
                let slant = Quat::from_rotation_x(-0.9);
                carver.add(leg, cut(0.022, 0.75, 0.022).at(0.0, 0.24, 0.30).turned(slant), Part::Thing, black);
            }
        }
    }
}

const BULB_BELOW_CABLE_M: f32 = 0.055;

/// Where the bulbs of a string hang, `share` of the way from its one end (0) to the other (1).
pub fn string_point(venue: &Venue, lamp: &Lamp, share: f32) -> Vec3 {
    on_cable(string_ends(venue, lamp), share) - Vec3::Y * BULB_BELOW_CABLE_M
}

fn string_ends(venue: &Venue, lamp: &Lamp) -> [Vec3; 2] {
    let to = lamp.to.unwrap_or(lamp.at + Vec2::X);
    [lamp.at, to].map(|spot| Vec3::new(spot.x, floor_height(venue, spot) + lamp.height_m, spot.y))
}

/// A parabola that hangs through by a thirtieth of the cable's length.
fn on_cable([from, to]: [Vec3; 2], share: f32) -> Vec3 {
    let sag = from.distance(to) / 30.0;
    from.lerp(to, share) - Vec3::Y * (4.0 * sag * share * (1.0 - share))
}

/// Bulbs on a cable that sags by a thirtieth of its length, one each 0.55 m.
fn strings(carver: &mut Carver, venue: &Venue, lamp: &Lamp) {
    let [a, b] = string_ends(venue, lamp);
    let count = ((a.distance(b) / 0.55).round() as u32).clamp(2, 400);
    let hung = |t: f32| on_cable([a, b], t);
    let cable = of(Finish::BlackPlastic, rgb(0.09, 0.09, 0.085));
    let across = (b - a).cross(Vec3::Y).normalize_or(Vec3::X);
    // Straight pieces between every other bulb.
    let pieces = count.div_ceil(2);
    for i in 0..pieces {
        let (from, to) = (hung(i as f32 / pieces as f32), hung((i + 1) as f32 / pieces as f32));
        let thick = Vec2::splat(0.012);
        let limb = Limb { from, to, from_m: thick, to_m: thick, across, over_m: [0.0; 2], roundness: 0.3 };
        carver.limb(limb, Part::Thing, cable);
    }
    for i in 0..=count {
        let place = Place::new(hung(i as f32 / count as f32) - Vec3::Y * BULB_BELOW_CABLE_M, Quat::IDENTITY);
        carver.add(place, cut(0.022, 0.04, 0.022).at(0.0, 0.042, 0.0), Part::Thing, cable);
        bulb(carver, place, 0.042, lamp, 1.0 / (count + 1) as f32);
    }
}
