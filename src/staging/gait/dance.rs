//! A slow dance: a step aside, close, a step back, close, turning a little the while.

use super::foot::{Foot, Plant, Roll, Stride, Swing, forward, right, smooth};
use crate::staging::chance::Chance;
use crate::staging::figure::proportions::Body;
use crate::staging::figure::skeleton::{SIDES, standing_feet};
use glam::{Vec2, Vec3};

/// A step a beat, 60 beats a minute (slow dances have 55 to 75; common practice, no source).
pub const BEAT_S: f64 = 1.0;

/// How far one steps aside.
const ASIDE_M: f32 = 0.20;

/// How a dancing pair has moved from where it began: turned about its middle, and shifted.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Sway {
    /// To the right of the one who leads, as they stood at first.
    pub aside_m: f32,
    /// Clockwise from above, radians.
    pub turn: f32,
}

/// The sway of a pair `since_s` seconds after its dance began, of `length_s` in all (infinite if it has no end). It
/// begins and ends with nothing moved, after whole bars of four beats; what is left of the length they stand.
pub fn sway(since_s: f64, length_s: f64, chance: Chance) -> Sway {
    let since_s = within(since_s, length_s);
    let bar = (since_s / (4.0 * BEAT_S)).fract() as f32;
    // There in two beats, back in two.
    let there = if bar < 0.5 { smooth(bar * 2.0) } else { smooth(2.0 - bar * 2.0) };
    Sway { aside_m: ASIDE_M * there, turn: turn(since_s, length_s, chance) }
}

/// Seconds danced: not before the beginning, and whole bars at the end.
fn within(since_s: f64, length_s: f64) -> f64 {
    since_s.max(0.0).min(whole_bars(length_s))
}

fn whole_bars(length_s: f64) -> f64 {
    let bar_s = 4.0 * BEAT_S;
    if length_s.is_finite() { (length_s.max(0.0) / bar_s).floor() * bar_s } else { f64::INFINITY }
}

/// Slowly to one side and to the other, about half a minute there and back; undone over the last two bars, before the
/// last foot but one comes down.
fn turn(since_s: f64, length_s: f64, chance: Chance) -> f32 {
    let period_s = f64::from(chance.between("turn period", 28.0, 40.0));
    let way = if chance.unit("turn way") < 0.5 { -1.0 } else { 1.0 };
    let left_s = whole_bars(length_s) - since_s - BEAT_S;
    let amount = if left_s.is_finite() { smooth((left_s / (7.0 * BEAT_S)) as f32) } else { 1.0 };
    way * 0.7 * amount * (since_s / period_s * std::f64::consts::TAU).sin() as f32
}

/// The feet of a dancer `since_s` seconds into a dance of `length_s`; `pair` is the pair's own chance, the one that
/// [`sway`] gets.
pub fn dance(
    body: &Body,
    chance: Chance,
    leads: bool,
    [since_s, length_s]: [f64; 2],
    pair: Chance,
    root_at: impl Fn(Sway) -> (Vec2, f32),
    floor: impl Fn(Vec2) -> f32,
) -> Stride {
    let since_s = within(since_s, length_s);
    let now = sway(since_s, length_s, pair);
    let (spot, heading) = root_at(now);
    let beat = (since_s / BEAT_S).floor();
    let passed = (since_s / BEAT_S - beat) as f32;
    let in_bar = (beat.rem_euclid(4.0)) as u32;
    // Beats 0 and 3 move the foot on the side stepped to first, 1 and 2 the other.
    let outer = usize::from(leads);
    let moves = if in_bar == 0 || in_bar == 3 { outer } else { 1 - outer };
    let feet = std::array::from_fn(|side| {
        let plant = |beat: f64| {
            let sway = planted_sway(side == outer, beat, length_s, pair);
            let (spot, heading) = root_at(sway);
            let [x, z, out] = standing_feet(body, chance)[side];
            let at = right(heading) * x - forward(heading) * z;
            let at = Vec2::new(spot.x + at.x, spot.y + at.z);
            Plant { spot: Vec3::new(at.x, floor(at), at.y), heading: heading + SIDES[side] * out }
        };
        let (from, to) = (plant(beat), plant(beat + 1.0));
        if side != moves {
            return Foot { ankle: from.ankle(body, 0.0), heading: from.heading, toes_up: 0.0, planted: true };
        }
        // The step takes most of its beat.
        let t = ((passed - 0.10) / 0.75).clamp(0.0, 1.0);
        if t <= 0.0 || t >= 1.0 {
            let here = if t <= 0.0 { from } else { to };
            return Foot { ankle: here.ankle(body, 0.0), heading: here.heading, toes_up: 0.0, planted: true };
        }
        let flat = Roll::default();
        Swing { body, from, to, off: flat, strike: flat, lift_m: 0.018 * body.stature }.at(t, &floor)
    });
    Stride {
        root: Vec3::new(spot.x, floor(spot), spot.y),
        heading,
        feet,
        stand: 1.0,
        front: 0.0,
        weight: 0.0,
        swing: 0.0,
        sway_m: 0.0,
    }
}

/// The sway that a foot stands for when `beats` have passed: that of its last step.
fn planted_sway(outer: bool, beats: f64, length_s: f64, pair: Chance) -> Sway {
    let bar = (beats / 4.0).floor();
    let in_bar = (beats - bar * 4.0) as u32;
    // The beat at whose end this foot last came down, and whether it is out there.
    let (down, there) = match (outer, in_bar) {
        (true, 0) => (bar * 4.0, 0.0),
        (true, _) => (bar * 4.0 + 1.0, 1.0),
        (false, 0 | 1) => (bar * 4.0 - 1.0, 0.0),
        (false, 2) => (bar * 4.0 + 2.0, 1.0),
        (false, _) => (bar * 4.0 + 3.0, 0.0),
    };
    let at_s = within(down * BEAT_S, length_s);
    Sway { aside_m: ASIDE_M * there, turn: turn(at_s, length_s, pair) }
}
