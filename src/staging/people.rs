//! Named people of a scene as actors: how they stand, walk, sit, and what their arms do.

use super::cast::{Actor, ArmsBefore, body_of};
use super::figure::gesture::Idle;
use super::figure::proportions::Body;
use super::figure::skeleton::{Bearing, Stance};
use super::floor::floor_height;
use super::gait::{self, Stride};
use super::kiss::bring_faces_together;
use super::run::{REACH_S, Stay, TURN_S, Track, Walk, smooth};
use super::scene::{Deed, Scene, come};
use super::tableau::OwnerKind;
use crate::plan::{Gesture, PersonIx, Posture};
use glam::{Vec2, Vec3};

/// Turns of more than this, radians, take steps; smaller ones are in the hips.
const STEPS_TO_TURN: f32 = 0.35;

/// The longest step of the shorter of two in step, over stature.
const STRIDES: f32 = 0.50;

/// Nearer than the first, two who kiss do so in full; farther than the second, not at all.
const KISS_M: [f32; 2] = [0.60, 1.20];

/// The named people as actors, in plan order, without those who aren't there.
pub fn people(scene: &Scene) -> Vec<Actor> {
    let there: Vec<usize> = (0..scene.spots.len()).filter(|i| scene.spots[*i].is_some()).collect();
    let mut index = vec![None; scene.spots.len()];
    for (k, i) in there.iter().enumerate() {
        index[*i] = Some(k);
    }
    let mut cast: Vec<Actor> = there.iter().filter_map(|i| actor(scene, *i, &index)).collect();
    for (pair, share) in kisses(scene, &index) {
        bring_faces_together(&mut cast, pair, share);
    }
    cast
}

/// Who kisses whom, by their places in the cast, and how far the kiss has got; each pair once.
fn kisses(scene: &Scene, index: &[Option<usize>]) -> Vec<([usize; 2], f32)> {
    let mut pairs: Vec<([usize; 2], f32)> = Vec::new();
    for (person, track) in scene.run.tracks.iter().enumerate() {
        for (gesture, share) in track.gestures.mix(scene.at_s, REACH_S) {
            let Gesture::Kisses(PersonIx(other)) = gesture else { continue };
            let (Some(here), Some(there)) = (scene.spots[person], scene.spots[other]) else { continue };
            let (Some(a), Some(b)) = (index[person.min(other)], index[person.max(other)]) else { continue };
            let off_m = here.distance(there);
            let near = smooth((KISS_M[1] - off_m) / (KISS_M[1] - KISS_M[0]));
            let come = [person, other].map(|who| come(&scene.run.comings(who), scene.at_s));
            let share = share * near * come[0] * come[1];
            match pairs.iter_mut().find(|(pair, _)| *pair == [a, b]) {
                Some((_, most)) => *most = most.max(share),
                None => pairs.push(([a, b], share)),
            }
        }
    }
    pairs
}

fn actor(scene: &Scene, i: usize, index: &[Option<usize>]) -> Option<Actor> {
    let person = scene.plan.people.get(i)?;
    let spot = scene.spots[i]?;
    let heading = scene.headings[i];
    let doing = scene.doings[i];
    let chance = scene.chance(i);
    let body = body_of(person.stature_m, person.build, person.clothes.kind);
    let posture = scene.run.posture(i, scene.at_s);
    let bearing = |posture| bearing(scene, i, posture);
    let track = &scene.run.tracks[i];
    let holds = track.holds.at(scene.at_s);
    let place = |deed: Deed| deed.other.and_then(|other| index[other]);
    let still = bearing(posture.now) == Bearing::Standing && posture.before.is_none();
    let stride = stride(scene, i, &body).filter(|_| still);
    Some(Actor {
        id: person.id.clone(),
        kind: OwnerKind::Person(PersonIx(i)),
        looks: person.looks,
        clothes: person.clothes,
        stance: Stance {
            feet: Vec3::new(spot.x, floor_height(&scene.plan.venue, spot), spot.y),
            heading,
            bearing: bearing(posture.now),
            stride,
            before: posture.before.map(|(posture, share)| (bearing(posture), share)),
            look_at: None,
            lean: 0.0,
            rise_m: 0.0,
            head: scene.head(i, heading),
            chance,
        },
        body,
        arms: doing.now.arms,
        holds,
        idle: if chance.unit("idle") < 0.45 { Idle::Folded } else { Idle::Hang },
        other: place(doing.now),
        accent: person.clothes.second,
        chance,
        at_s: scene.at_s,
        since_s: doing.since_s,
        arms_before: doing.before.filter(|(_, share)| *share > 0.0).map(|(deed, share)| ArmsBefore {
            arms: deed.arms,
            holds,
            other: place(deed),
            share,
        }),
    })
}

fn bearing(scene: &Scene, i: usize, posture: Posture) -> Bearing {
    match posture {
        Posture::Standing | Posture::Walking | Posture::Dancing => Bearing::Standing,
        Posture::Kneeling => Bearing::Kneeling,
        Posture::Crouching => Bearing::Crouching,
        Posture::Sitting => match scene.run.tracks[i].stays.at(scene.at_s) {
            Stay::At(crate::plan::Post::Seat { seats, .. })
                if scene.plan.venue.seats.get(seats.0).is_some_and(|it| it.kind == crate::plan::SeatKind::Standing) =>
            {
                Bearing::Standing
            }
            _ => Bearing::Sitting { seat_m: scene.seat_height(i) },
        },
    }
}

/// Feet in motion: of a walk, a dance, a turn on the spot.
fn stride(scene: &Scene, i: usize, body: &Body) -> Option<Stride> {
    let venue = &scene.plan.venue;
    let floor = |spot: Vec2| floor_height(venue, spot);
    if let Some(walk) = scene.run.tracks[i].walk_at(scene.at_s) {
        return Some(walking(scene, i, body, walk, floor));
    }
    let chance = scene.chance(i);
    let dancing = scene.dances.iter().find_map(|it| Some((it, it.dancers.iter().position(|who| *who == i)?)));
    if let Some((dance, k)) = dancing {
        let pair = scene.chance(dance.dancers[0]);
        let times = [dance.since_s, dance.length_s];
        return Some(gait::dance(body, chance, k == 0, times, pair, |sway| dance.danced(k, sway), floor));
    }
    let turning = scene.turnings[i].filter(|it| it.done < 1.0)?;
    let angle = turning.heading(1.0) - turning.heading(0.0);
    let spot = scene.spots[i]?;
    if angle.abs() < STEPS_TO_TURN {
        return None;
    }
    let steps = gait::Walk::turn(body, chance, angle);
    let length_m = steps.length_m().max(1e-3);
    let done_m = smooth(turning.done) * length_m;
    Some(steps.stride(done_m, |m| (spot, turning.heading(0.0) + angle * m / length_m), floor))
}

fn walking(scene: &Scene, i: usize, body: &Body, walk: &Walk, floor: impl Fn(Vec2) -> f32) -> Stride {
    let run = scene.run;
    let length_m = walk.path.length_m();
    let heading_then = |at_s: f64| run.heading(i, at_s).unwrap_or(scene.headings[i]);
    let travelled_m = walk.travelled_m(scene.at_s);
    // Beside whom they walk they may be a hand's breadth off their own way, feet and all.
    let aside = scene.spots[i].unwrap_or_default() - walk.spot(scene.at_s);
    let towards = match walk.sidelong {
        true => walk.path.heading_at(length_m * 0.5).unwrap_or(0.0) - heading_then(walk.begins_s),
        false => 0.0,
    };
    let mut steps = gait::Walk::new(body, scene.chance(i), length_m, walk.pace_mps(), towards);
    if let Some(first) = walk.in_step_with {
        let pair = statures_in_step(scene, first);
        let begins = gait::Walk::new(body, scene.chance(first), length_m, walk.pace_mps(), 0.0).begins();
        let step_m = gait::step_length_m(pair.iter().sum::<f32>() / pair.len().max(1) as f32, walk.pace_mps());
        let longest_m = pair.iter().copied().fold(f32::INFINITY, f32::min) * STRIDES;
        steps = steps.in_step(step_m.min(longest_m), begins);
    }
    // Feet point where the body faces as it passes: along the way, but for a turn that goes on at first.
    let on_path = |m: f32| {
        let passes_s = walk.begins_s + gait::passes_s(length_m, walk.ends_s - walk.begins_s, m);
        let turned = !walk.sidelong && passes_s > walk.begins_s + TURN_S;
        let along = if turned { walk.path.heading_at(m) } else { None };
        (walk.path.at(m) + aside, along.unwrap_or_else(|| heading_then(passes_s)))
    };
    steps.stride(travelled_m, on_path, floor)
}

/// The statures of those who walk in step with somebody.
fn statures_in_step(scene: &Scene, first: usize) -> Vec<f32> {
    let in_step = |track: &Track| track.walk_at(scene.at_s).is_some_and(|walk| walk.in_step_with == Some(first));
    let people = scene.run.tracks.iter().zip(&scene.plan.people);
    people.filter(|(track, _)| in_step(track)).map(|(_, person)| person.stature_m).collect()
}
