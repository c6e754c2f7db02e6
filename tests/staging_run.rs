//! The ceremony in time: what must hold at every instant, on the demo plans and on plans made at random.

mod builders;

use builders::*;
use glam::{Vec2, Vec3};
use proptest::prelude::*;
use standpoint::plan::*;
use standpoint::staging::*;
use std::collections::BTreeMap;

const DEMOS: [(&str, &str); 3] = [
    ("orchard", include_str!("../scenes/orchard.ron")),
    ("chapel", include_str!("../scenes/chapel.ron")),
    ("loft", include_str!("../scenes/loft.ron")),
];

fn demo(text: &str) -> Plan {
    let plan = standpoint::plan::read(text).unwrap_or_else(|problems| panic!("{problems}"));
    rehearse(plan).0
}

/// Pictures a second at which motion is looked at.
const RATE_HZ: f64 = 30.0;

/// Fastest that a middle of a body goes besides its walk, metres a second: stepping in, turning on the spot, a dance.
const BESIDES_MPS: f32 = 0.9;
/// … and a head, which also goes down and up: sitting down takes it 0.4 m down in 1.4 s with the trunk bent (judged).
const HEAD_BESIDES_MPS: f32 = 2.6;

/// The fastest part of each person's walks: getting going makes the middle up to a third faster than the pace
/// (`gait::travelled_m`).
fn fastest_mps(run: &Run, kind: OwnerKind) -> f32 {
    let walks = |who: &PersonIx| run.tracks[who.0].walks.iter().map(|walk| walk.pace_mps()).fold(0.0, f32::max);
    let fastest = match kind {
        OwnerKind::Person(who) => walks(&who),
        OwnerKind::Photographer(who) => {
            run.moves.iter().filter(|it| it.photographer == who).map(|it| it.pace_mps()).fold(0.0, f32::max)
        }
        _ => 0.0,
    };
    fastest * 1.34
}

/// Nobody jumps: from one picture to the next nobody's hips or head go farther than they can. What does, in words.
fn jumps(run: &Run, instants: impl Iterator<Item = f64>, dt_s: f64) -> Vec<String> {
    let mut jumps = Vec::new();
    let mut before: BTreeMap<String, Figure> = BTreeMap::new();
    for at_s in instants {
        let mut now = BTreeMap::new();
        for (kind, figure) in run.figures(at_s) {
            let key = format!("{kind:?}");
            if let Some(earlier) = before.get(&key) {
                let most = |besides: f32| (fastest_mps(run, kind) + besides) * dt_s as f32 + 0.002;
                let flat = |v: Vec3| Vec3::new(v.x, 0.0, v.z);
                let hip = flat(figure.hip).distance(flat(earlier.hip));
                let eyes = figure.eyes.distance(earlier.eyes);
                if hip > most(BESIDES_MPS) {
                    jumps.push(format!("{key} {hip} m at {at_s} s: {} to {}", earlier.hip, figure.hip));
                }
                if eyes > most(HEAD_BESIDES_MPS) {
                    jumps.push(format!("head of {key} {eyes} m at {at_s} s: {} to {}", earlier.eyes, figure.eyes));
                }
            }
            now.insert(key, figure);
        }
        before = now;
    }
    jumps
}

fn thirtieths(from_s: f64, to_s: f64) -> impl Iterator<Item = f64> {
    let steps = ((to_s - from_s) * RATE_HZ) as usize;
    (0..=steps).map(move |k| from_s + k as f64 / RATE_HZ)
}

/// Stretches in which anything changes; nothing moves in between but hands.
fn lively(run: &Run) -> Vec<[f64; 2]> {
    let mut stretches: Vec<[f64; 2]> = Vec::new();
    for track in &run.tracks {
        stretches.extend(track.changes.iter().map(|at_s| [at_s - 0.2, at_s + 3.0]));
        stretches.extend(track.walks.iter().map(|walk| [walk.begins_s - 1.5, walk.ends_s + 3.0]));
    }
    stretches.extend(run.moves.iter().map(|it| [it.leaves_s - 0.2, it.ready_s + 0.5]));
    stretches.extend(run.guests.stand.times().map(|at_s| [at_s - 0.2, at_s + 4.0]));
    stretches.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut joined: Vec<[f64; 2]> = Vec::new();
    for [from, to] in stretches {
        match joined.last_mut() {
            Some(last) if from <= last[1] => last[1] = last[1].max(to),
            _ => joined.push([from.max(0.0), to]),
        }
    }
    joined
}

#[test]
fn nobody_jumps_in_the_demos() {
    for (name, text) in DEMOS {
        let plan = demo(text);
        let run = Run::new(&plan);
        let stretches = lively(&run).into_iter();
        let jumps: Vec<String> = stretches
            .flat_map(|[from_s, to_s]| jumps(&run, thirtieths(from_s, to_s.min(plan.length_s())), 1.0 / RATE_HZ))
            .collect();
        assert!(jumps.is_empty(), "{name}: {} jumps\n{}", jumps.len(), jumps[..jumps.len().min(40)].join("\n"));
    }
}
