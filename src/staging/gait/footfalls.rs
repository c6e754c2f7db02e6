//! Where feet fall along a way: even steps on the flat, one step a tread on stairs, toes clear of the next rise.

use super::foot::{Plant, forward, right};
use crate::staging::figure::proportions::Body;
use glam::{Vec2, Vec3};

/// A rise or fall of the floor, metres along the way.
struct Riser {
    at_m: f32,
    up: bool,
}

/// Places along a way where feet fall, from 0 to its length, about `step_m` apart.
pub fn falls(
    body: &Body,
    length_m: f32,
    step_m: f32,
    spot: &impl Fn(f32) -> Vec2,
    floor: &impl Fn(Vec2) -> f32,
) -> Vec<f32> {
    let risers = risers(length_m, |m| floor(spot(m)));
    let mut falls = vec![0.0];
    for i in 0..=risers.len() {
        // How near to an edge an ankle comes: toes stay clear of a rise ahead, heels of one behind.
        let begin = match i.checked_sub(1).and_then(|i| risers.get(i)) {
            Some(riser) => riser.at_m + if riser.up { 0.30 } else { 0.45 } * body.foot_length,
            None => 0.0,
        };
        let end = match risers.get(i) {
            Some(riser) => riser.at_m - if riser.up { 0.85 } else { 0.36 } * body.foot_length,
            None => length_m,
        };
        let (first, last) = (i == 0, i == risers.len());
        if !first && !last && end - begin < 0.45 * step_m {
            let rises = risers.get(i).is_some_and(|r| r.up);
            let tread = if end > begin {
                (begin + end) * 0.5
            } else if rises {
                end
            } else {
                begin
            };
            push(&mut falls, tread, length_m);
        } else {
            if !first {
                push(&mut falls, begin, length_m);
            }
            let start = falls.last().copied().unwrap_or(0.0);
            let steps = ((end - start) / step_m).round().max(1.0) as usize;
            for k in 1..steps {
                push(&mut falls, start + (end - start) * k as f32 / steps as f32, length_m);
            }
            if !last {
                push(&mut falls, end, length_m);
            }
        }
    }
    falls.push(length_m);
    falls
}

/// Adds a fall unless it is too near the one before or the end.
fn push(falls: &mut Vec<f32>, at: f32, length_m: f32) {
    let before = falls.last().copied().unwrap_or(0.0);
    if at > before + 0.10 && at < length_m - 0.10 {
        falls.push(at);
    }
}

fn risers(length_m: f32, height: impl Fn(f32) -> f32) -> Vec<Riser> {
    const FINE_M: f32 = 0.04;
    const LEAST_M: f32 = 0.02;
    let count = (length_m / FINE_M).ceil().clamp(1.0, 20_000.0) as usize;
    let mut found = Vec::new();
    let (mut before_m, mut before) = (0.0, height(0.0));
    for i in 1..=count {
        let at_m = length_m * i as f32 / count as f32;
        let here = height(at_m);
        if (here - before).abs() > LEAST_M {
            let (mut low, mut high) = (before_m, at_m);
            for _ in 0..6 {
                let middle = (low + high) * 0.5;
                if (height(middle) - before).abs() > LEAST_M { high = middle } else { low = middle }
            }
            found.push(Riser { at_m: high, up: here > before });
        }
        (before_m, before) = (at_m, here);
    }
    found
}

/// A foot's place near a spot, moved along its heading until the sole lies on one level as far as it can.
pub fn plant(body: &Body, spot: Vec2, heading: f32, floor: &impl Fn(Vec2) -> f32) -> Plant {
    let ahead = forward(heading);
    let aside = right(heading);
    let (ahead, aside) = (Vec2::new(ahead.x, ahead.z), Vec2::new(aside.x, aside.z));
    let trouble = |spot: Vec2| {
        let here = floor(spot);
        let mut trouble = 0.0;
        for along in [-0.29, 0.35, 0.74] {
            for across in [-0.5, 0.5] {
                let there = floor(spot + (ahead * along * body.foot_length) + aside * across * body.foot_breadth);
                if there > here + 0.005 {
                    trouble += 10.0;
                } else if there < here - 0.02 {
                    trouble += 1.0;
                }
            }
        }
        trouble
    };
    let mut best = (trouble(spot), spot);
    for i in 1..=12 {
        if best.0 < 0.5 {
            break;
        }
        for off in [i as f32 * 0.02, i as f32 * -0.02] {
            let there = spot + ahead * off;
            let cost = trouble(there);
            if cost < best.0 - 0.5 {
                best = (cost, there);
            }
        }
    }
    Plant { spot: Vec3::new(best.1.x, floor(best.1), best.1.y), heading }
}
