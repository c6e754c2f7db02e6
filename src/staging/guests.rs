//! Guests: who sits in which seat, how tall they are, and what they do there.
//!
//! Everything about a guest is a hash of the plan's seed, the block's id, row and seat, so that another block, another
//! row or a fuller block changes nobody else.

use super::cast::{Actor, body_of};
use super::chance::Chance;
use super::cues::moment_at;
use super::figure::gesture::{Arms, Idle};
use super::figure::skeleton::{Bearing, Stance};
use super::floor::floor_height;
use super::people::Scene;
use super::seating::seat_spot;
use super::tableau::OwnerKind;
use super::wardrobe;
use crate::plan::{Build, Held, Plan, Post, SeatBlock, SeatKind, SeatsIx};
use glam::{Vec2, Vec3};
use std::collections::HashSet;

/// How far before the middle of the seat one stands.
pub const UP_FROM_SEAT_M: f32 = 0.27;

/// Everyone who sits or stands in a block of seats, but for the named people.
pub fn guests(scene: &Scene) -> Vec<Actor> {
    let plan = scene.plan;
    let reserved = reserved(plan);
    let moment = moment_at(plan, scene.at_s).map(|i| &plan.moments[i]);
    let seen = scene.attention();
    let mut all = Vec::new();
    for (ix, block) in plan.venue.seats.iter().enumerate() {
        let of_block = Chance::new(plan.seed).named("guest").named(&block.id);
        for row in 0..block.rows {
            for seat in 0..block.seats_per_row {
                let chance = of_block.with(u64::from(row)).with(u64::from(seat));
                if chance.unit("taken") >= block.filled || reserved.contains(&(ix, row, seat)) {
                    continue;
                }
                let place = seat_spot(block, row, seat);
                let look = moment
                    .and_then(|m| m.guests_look)
                    .and_then(|facing| scene.target(place.at, facing))
                    .unwrap_or(seen);
                let guest = guest(plan, SeatsIx(ix), block, [row, seat], scene.guests_stand, look, chance);
                all.push(Actor { at_s: scene.at_s, ..guest });
            }
        }
    }
    all
}

/// Seats that named people have at any time: nobody else sits there.
fn reserved(plan: &Plan) -> HashSet<(usize, u32, u32)> {
    let posts = plan.people.iter().filter_map(|p| p.post);
    let cued = plan.moments.iter().flat_map(|m| &m.cues).filter_map(|cue| cue.post);
    posts
        .chain(cued)
        .filter_map(|post| match post {
            Post::Seat { seats, row, seat } => Some((seats.0, row, seat)),
            Post::Floor(_) => None,
        })
        .collect()
}

fn guest(
    plan: &Plan,
    seats: SeatsIx,
    block: &SeatBlock,
    [row, seat]: [u32; 2],
    stand: bool,
    look: Vec3,
    chance: Chance,
) -> Actor {
    let child = chance.unit("child") < block.children;
    let man = chance.unit("man") < 0.5;
    let stature_m = if child { child_stature(chance, man) } else { stature(chance, man) };
    let build = if child {
        Build::Child
    } else {
        chance.pick("build", &[Build::Slight, Build::Middling, Build::Middling, Build::Middling, Build::Broad])
    };
    let (looks, clothes) = wardrobe::guest(chance, man, child);
    let standing = stand || block.kind == SeatKind::Standing;
    let place = seat_spot(block, row, seat);
    let (sin, cos) = place.heading.sin_cos();
    let ahead = if stand && block.kind != SeatKind::Standing { UP_FROM_SEAT_M } else { 0.0 };
    let drift = Vec2::new(chance.signed("aside"), chance.signed("ahead")) * if standing { 0.04 } else { 0.015 };
    let spot = place.at + Vec2::new(sin, -cos) * ahead + drift;
    let floor = floor_height(&plan.venue, spot);
    // Standing people turn their bodies half way to what they watch; in a seat only the head turns.
    let turn = if standing {
        let way = Vec2::new(look.x, look.z) - spot;
        let to = super::people::heading_to(Vec2::ZERO, way).unwrap_or(place.heading);
        wrapped(to - place.heading).clamp(-1.4, 1.4) * 0.55
    } else {
        chance.signed("seat turn") * 0.06
    };
    // Nobody looks at quite the same spot, and a few look elsewhere.
    let astray = if chance.unit("astray") < 0.07 { 2.5 } else { 0.30 };
    let wander = Vec3::new(chance.signed("look x"), chance.signed("look y") * 0.3, chance.signed("look z")) * astray;
    let odd = chance.unit("odd");
    let idle = match odd {
        o if o < 0.10 => Idle::Sheet,
        _ if standing => chance.pick("idle", &[Idle::Hang, Idle::Folded, Idle::Folded]),
        _ => chance.pick("idle", &[Idle::Lap, Idle::Lap, Idle::Thighs]),
    };
    Actor {
        id: format!("{}/{}/{}", block.id, row + 1, seat + 1),
        kind: OwnerKind::Guest { seats, row, seat },
        body: body_of(stature_m, build, clothes.kind),
        looks,
        clothes,
        stance: Stance {
            feet: Vec3::new(spot.x, floor, spot.y),
            heading: place.heading + turn,
            bearing: if standing { Bearing::Standing } else { Bearing::Sitting { seat_m: block.seat_height_m } },
            stride: None,
            before: None,
            look_at: Some(look + wander),
            lean: if (0.10..0.15).contains(&odd) && !standing { 0.22 } else { 0.0 },
            rise_m: 0.0,
            head: None,
            chance,
        },
        arms: if odd > 0.985 { Arms::HoldsUpPhone } else { Arms::Rest },
        holds: Held::Nothing,
        idle,
        other: None,
        accent: clothes.second,
        chance,
        at_s: 0.0,
        since_s: f64::NEG_INFINITY,
        arms_before: None,
    }
}

fn wrapped(angle: f32) -> f32 {
    (angle + std::f32::consts::PI).rem_euclid(std::f32::consts::TAU) - std::f32::consts::PI
}

/// Grown-up stature in metres: normal about the median with the spread of the 5th and 95th percentile, US adults
/// 20+, 2007–2010 (NCHS Vital and Health Statistics 11(252), 2012, Tables 12 and 10), cut at ±3 standard deviations.
pub fn stature(chance: Chance, man: bool) -> f32 {
    let [low, median, high] = if man { [64.3, 69.3, 74.1] } else { [59.3, 63.8, 68.4] };
    from_percentiles(chance, [low, median, high].map(|inches: f32| inches * 0.0254))
}

/// Stature of a child of 4, 5, 6 or 8 years, alike often: CDC 2000 growth charts (statage), 5/50/95 % in centimetres.
pub fn child_stature(chance: Chance, boy: bool) -> f32 {
    const BOYS: [[f32; 3]; 4] =
        [[95.6, 102.5, 109.5], [101.5, 109.2, 116.8], [107.3, 115.7, 123.9], [118.8, 128.1, 137.8]];
    const GIRLS: [[f32; 3]; 4] =
        [[94.0, 101.0, 108.4], [100.4, 108.0, 116.1], [106.9, 115.0, 123.9], [118.5, 127.8, 137.9]];
    let row = chance.pick("age", if boy { &BOYS } else { &GIRLS });
    from_percentiles(chance, row.map(|cm| cm / 100.0))
}

/// 1.645 standard deviations lie between the median and the 5th or 95th percentile.
fn from_percentiles(chance: Chance, [low, median, high]: [f32; 3]) -> f32 {
    median + chance.normal("stature") * (high - low) / (2.0 * 1.645)
}
