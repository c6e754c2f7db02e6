//! Guests: who sits in which seat, how tall they are, and what they do there.
//!
//! Everything about a guest is a hash of the plan's seed, the block's id, row and seat, so that another block, another
//! row or a fuller block changes nobody else.

use super::angle::{heading_to, wrapped};
use super::cast::{Actor, ArmsBefore, body_of};
use super::chance::Chance;
use super::figure::gesture::{Arms, Idle};
use super::figure::skeleton::{Bearing, Stance};
use super::floor::floor_height;
use super::run::{GLANCE_S, REACH_S, RISE_S, UP_FROM_SEAT_M, alone, smooth};
use super::scene::{BEHIND, Scene, gaze_angles, off};
use super::seating::seat_spot;
use super::tableau::OwnerKind;
use super::wardrobe;
use crate::plan::{Build, Facing, Gesture, Held, Plan, Post, SeatBlock, SeatKind, SeatsIx, Way};
use glam::{Vec2, Vec3};
use std::collections::HashSet;

/// Everyone who sits or stands in a block of seats, but for the named people.
pub fn guests(scene: &Scene) -> Vec<Actor> {
    let plan = scene.plan;
    let reserved = reserved(plan);
    let mut all = Vec::new();
    for (ix, block) in plan.venue.seats.iter().enumerate() {
        let of_block = Chance::new(plan.seed).named("guest").named(&block.id);
        for row in 0..block.rows {
            for seat in 0..block.seats_per_row {
                let chance = of_block.with(u64::from(row)).with(u64::from(seat));
                if chance.unit("taken") < block.filled && !reserved.contains(&(ix, row, seat)) {
                    all.push(guest(scene, SeatsIx(ix), block, [row, seat], chance));
                }
            }
        }
    }
    all
}

/// Seats that named people have at any time: nobody else sits there.
fn reserved(plan: &Plan) -> HashSet<(usize, u32, u32)> {
    let posts = plan.people.iter().filter_map(|p| p.post);
    let goings = plan.cues().filter_map(|(_, cue)| cue.goes.as_ref());
    let cued = goings.flat_map(|going| {
        let places: &[Post] = if let Way::To { places, .. } = &going.way { places } else { &[] };
        places.iter().copied().chain(going.from)
    });
    posts
        .chain(cued)
        .filter_map(|post| match post {
            Post::Seat { seats, row, seat } => Some((seats.0, row, seat)),
            Post::Floor(_) => None,
        })
        .collect()
}

fn guest(scene: &Scene, seats: SeatsIx, block: &SeatBlock, [row, seat]: [u32; 2], chance: Chance) -> Actor {
    let plan = scene.plan;
    let child = chance.unit("child") < block.children;
    let man = chance.unit("man") < 0.5;
    let stature_m = if child { child_stature(chance, man) } else { stature(chance, man) };
    let build = if child {
        Build::Child
    } else {
        chance.pick("build", &[Build::Slight, Build::Middling, Build::Middling, Build::Middling, Build::Broad])
    };
    let (looks, clothes) = wardrobe::guest(chance, man, child);
    let place = seat_spot(block, row, seat);
    let (sin, cos) = place.heading.sin_cos();
    // Nobody stands up at quite the same time.
    let rises_s = scene.at_s - f64::from(chance.unit("late")) * 1.2;
    let rises = scene.run.guests.stand.mix(rises_s, RISE_S);
    let always = block.kind == SeatKind::Standing;
    let stands = always || scene.run.guests.stand.at(rises_s);
    let up = if always { 1.0 } else { rises.iter().filter(|it| it.0).map(|it| it.1).sum::<f32>() };
    let left = if stands { 1.0 - up } else { up };
    let ahead = if always { 0.0 } else { UP_FROM_SEAT_M * up };
    let drift = Vec2::new(chance.signed("aside"), chance.signed("ahead")) * (0.015 + 0.025 * up);
    let spot = place.at + Vec2::new(sin, -cos) * ahead + drift;
    let floor = floor_height(&plan.venue, spot);
    let seated = |heading| if always { heading } else { Bearing::Sitting { seat_m: block.seat_height_m } };
    let bearing = |up: bool| if up { Bearing::Standing } else { seated(Bearing::Standing) };
    let look = Look { scene, chance, eyes: Vec3::new(spot.x, floor + eyes_m(block, stature_m, up), spot.y) };
    // Standing people turn their bodies half way to what they watch; in a seat only the head turns. Turned once they stand,
    // and back before they sit.
    let turned = smooth((up - 0.6) / 0.4);
    let seat_turn = chance.signed("seat turn") * 0.06 * (1.0 - turned);
    let seen = look.seen();
    let turn = seat_turn
        + turned * seen.iter().map(|(point, share)| half_turn(spot, place.heading, *point) * share).sum::<f32>();
    let heading = place.heading + turn;
    let yaw_and_pitch: Vec2 = seen.iter().map(|(point, share)| gaze_angles(look.eyes, heading, *point) * *share).sum();
    let odd = chance.unit("odd");
    let (arms, arms_before, since_s) = arms(scene, chance);
    Actor {
        id: format!("{}/{}/{}", block.id, row + 1, seat + 1),
        kind: OwnerKind::Guest { seats, row, seat },
        body: body_of(stature_m, build, clothes.kind),
        looks,
        clothes,
        stance: Stance {
            feet: Vec3::new(spot.x, floor, spot.y),
            heading,
            bearing: bearing(stands),
            stride: None,
            before: (!always && left > 1e-6).then(|| (bearing(!stands), left)),
            look_at: None,
            lean: if (0.10..0.15).contains(&odd) { 0.22 * (1.0 - up) } else { 0.0 },
            rise_m: 0.0,
            head: Some(yaw_and_pitch.extend(chance.signed("head roll") * 0.045)),
            chance,
        },
        arms,
        holds: Held::Nothing,
        idle: idle(chance, always),
        other: None,
        accent: clothes.second,
        chance,
        at_s: scene.at_s,
        since_s,
        arms_before,
    }
}

/// What hands do that have nothing to do; those in a lap are folded when up, those on thighs hang.
fn idle(chance: Chance, always: bool) -> Idle {
    match chance.unit("odd") {
        o if o < 0.10 => Idle::Sheet,
        _ if always => chance.pick("idle", &[Idle::Hang, Idle::Folded, Idle::Folded]),
        _ => chance.pick("idle", &[Idle::Lap, Idle::Lap, Idle::Thighs]),
    }
}

fn eyes_m(block: &SeatBlock, stature_m: f32, up: f32) -> f32 {
    let (sitting, standing) = (block.seat_height_m + 0.458 * stature_m, 0.936 * stature_m);
    sitting + (standing - sitting) * up
}

/// What a guest's arms do: of everyone's gesture most, of some gestures only some.
fn arms(scene: &Scene, chance: Chance) -> (Arms, Option<ArmsBefore>, f64) {
    let films = chance.unit("odd") > 0.985;
    let own = |gesture: Gesture| {
        let joins = match gesture {
            Gesture::Claps => 0.85,
            Gesture::ThrowsPetals => 0.45,
            Gesture::Waves => 0.35,
            Gesture::HoldsUpPhone => 0.30,
            _ => 0.0,
        };
        match gesture {
            _ if films => Arms::HoldsUpPhone,
            _ if chance.unit("joins") < joins => alone(gesture),
            _ => Arms::Rest,
        }
    };
    let at_s = scene.at_s - f64::from(chance.unit("late hands")) * 0.8;
    let gestures = &scene.run.guests.gestures;
    let blend = gestures.blend(at_s, REACH_S);
    let now = own(blend.now);
    let before = blend.before.map(|(before, share)| (own(before), share)).filter(|(before, _)| *before != now);
    let since_s = gestures.times().take_while(|when| *when <= at_s).last().unwrap_or(0.0);
    let before = before.map(|(arms, share)| ArmsBefore { arms, holds: Held::Nothing, other: None, share });
    (now, before, since_s)
}

/// Where one guest looks.
struct Look<'s, 'r, 'a> {
    scene: &'s Scene<'r, 'a>,
    chance: Chance,
    eyes: Vec3,
}

impl Look<'_, '_, '_> {
    /// What everyone looks at, a moment later than some and sooner than others, and not at quite the same spot: points with
    /// their shares, as one thing gives way to the next.
    fn seen(&self) -> Vec<(Vec3, f32)> {
        let at_s = self.scene.at_s - f64::from(self.chance.unit("late eyes")) * 0.9;
        let mix = self.scene.run.guests.looks.mix(at_s, GLANCE_S * 1.5);
        let seen: Vec<_> = mix.into_iter().flat_map(|(facing, share)| self.targets(facing, share, at_s)).collect();
        // A few look elsewhere.
        let astray = if self.chance.unit("astray") < 0.07 { 2.5 } else { 0.30 };
        let c = self.chance;
        let aside = Vec3::new(c.signed("look x"), c.signed("look y") * 0.3, c.signed("look z")) * astray;
        seen.into_iter().map(|(point, share)| (point + aside, share)).collect()
    }

    fn targets(&self, facing: Facing, share: f32, at_s: f64) -> Vec<(Vec3, f32)> {
        let from = Vec2::new(self.eyes.x, self.eyes.z);
        match self.scene.target(from, facing) {
            Some(point) => vec![(point, share)],
            None => self.scene.attentions(at_s).into_iter().map(|(point, of)| (point, of * share)).collect(),
        }
    }
}

/// How far a standing body turns to a point from where its seat faces.
fn half_turn(spot: Vec2, heading: f32, seen: Vec3) -> f32 {
    let seen = Vec2::new(seen.x, seen.z);
    let to = heading_to(spot, seen).unwrap_or(heading);
    wrapped(to - heading).clamp(-1.4, 1.4) * 0.55 * behind(to, heading) * off(spot.distance(seen))
}

/// 1 but for what is right behind, where it is 0: as for heads, nobody whips round.
fn behind(to: f32, heading: f32) -> f32 {
    ((std::f32::consts::PI - wrapped(to - heading).abs()) / BEHIND).clamp(0.0, 1.0)
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
