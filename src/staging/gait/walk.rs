//! One walk: which foot is where when so much of the way is done.

use super::cadence::step_length_m;
use super::foot::{Foot, Plant, Roll, Stride, Swing, forward, right, smooth};
use super::footfalls::{falls, plant};
use crate::staging::angle::wrapped;
use crate::staging::chance::Chance;
use crate::staging::figure::proportions::Body;
use crate::staging::figure::skeleton::{SIDES, free_side, standing_feet};
use glam::{Vec2, Vec3};

/// Stance is 60 % of a gait cycle and swing 40 % (Perry, *Gait Analysis*; a common textbook value). In steps, a cycle
/// being two: a foot comes down this far before the body is over it, and leaves the floor this far after.
const STRIKE: f32 = 0.50;
const OFF: f32 = 0.70;

/// On stairs feet are longer in the air, having farther to go for a tread (judged by eye).
const STAIR_STRIKE: f32 = 0.40;
const STAIR_OFF: f32 = 0.62;

/// The last foot closes a little earlier, so that it need not hurry.
const LAST_OFF: f32 = 0.55;

/// A walk, a few steps to the side or back, or a turn on the spot. It begins and ends with both feet as in standing.
#[derive(Debug, Clone, Copy)]
pub struct Walk {
    body: Body,
    chance: Chance,
    length_m: f32,
    step_m: f32,
    pace_mps: f32,
    manner: Manner,
}

#[derive(Debug, Clone, Copy)]
enum Manner {
    /// One foot before the other; this side begins.
    Alternating(usize),
    /// This side leads, the other closes.
    Closing(usize),
}

impl Walk {
    /// A walk of `length_m` at `pace_mps`. `towards` is which way it goes, seen from the body: 0 ahead, clockwise;
    /// more than 0.7 rad off, feet close up instead of passing each other.
    pub fn new(body: &Body, chance: Chance, length_m: f32, pace_mps: f32, towards: f32) -> Self {
        let towards = wrapped(towards);
        let h = body.stature;
        let leg = body.thigh() + body.shin();
        if towards.abs() > 0.7 {
            let lead = match towards.sin() {
                s if s > 0.3 => 1,
                s if s < -0.3 => 0,
                _ => free_side(chance),
            };
            let manner = Manner::Closing(lead);
            return Self { body: *body, chance, length_m: length_m.max(0.0), step_m: 0.20 * h, pace_mps, manner };
        }
        // The regression is of adults; short legs at a high pace take more steps instead of longer ones.
        let step_m = step_length_m(h, pace_mps).clamp(0.12 * h, 0.86 * leg);
        let manner = Manner::Alternating(free_side(chance));
        Self { body: *body, chance, length_m: length_m.max(0.0), step_m, pace_mps, manner }
    }

    /// A turn on the spot by `angle` (clockwise, radians), as a way of [`Walk::length_m`] metres along which the
    /// heading changes evenly.
    pub fn turn(body: &Body, chance: Chance, angle: f32) -> Self {
        // A step turns by up to 40° (judged by eye).
        let step_m = 0.20 * body.stature;
        let manner = Manner::Closing(usize::from(angle > 0.0));
        Self { body: *body, chance, length_m: angle.abs() / 0.7 * step_m, step_m, pace_mps: 0.4, manner }
    }

    /// The same walk in step with another's: steps of this length, begun with this foot. For those arm in arm.
    pub fn in_step(mut self, step_m: f32, begins: usize) -> Self {
        self.step_m = step_m.max(0.05);
        self.manner = match self.manner {
            Manner::Alternating(_) => Manner::Alternating(begins.min(1)),
            Manner::Closing(_) => Manner::Closing(begins.min(1)),
        };
        self
    }

    pub fn length_m(&self) -> f32 {
        self.length_m
    }

    pub fn step_m(&self) -> f32 {
        self.step_m
    }

    /// The foot that moves first.
    pub fn begins(&self) -> usize {
        match self.manner {
            Manner::Alternating(side) | Manner::Closing(side) => side,
        }
    }

    /// The body when `travelled_m` of the way are done. `on_path` gives spot and heading of the body so many metres
    /// along, `floor` the floor's height at a spot.
    pub fn stride(
        &self,
        travelled_m: f32,
        on_path: impl Fn(f32) -> (Vec2, f32),
        floor: impl Fn(Vec2) -> f32,
    ) -> Stride {
        let at_m = travelled_m.clamp(0.0, self.length_m);
        let (spot, heading) = on_path(at_m);
        let falls = falls(&self.body, self.length_m, self.step_m, &|m| on_path(m).0, &floor);
        let way = Way { walk: self, falls, on_path, floor };
        let (k, passed) = way.step_at(at_m);
        let (low, high) = (way.fall_y(k), way.fall_y(k + 1));
        // A leg that climbs lifts the body once it carries; down a step the body sinks before the foot is there.
        let risen = match high - low {
            rise if rise > 0.03 => (passed - 0.40) / 0.60,
            rise if rise < -0.03 => passed / 0.70,
            _ => passed,
        };
        let root = Vec3::new(spot.x, low + (high - low) * smooth(risen), spot.y);
        let (feet, stand) = match self.manner {
            Manner::Alternating(first) => {
                (std::array::from_fn(|side| way.walking_foot(side, first, at_m)), way.stand(at_m))
            }
            Manner::Closing(lead) => (std::array::from_fn(|side| way.closing_foot(side, side == lead, at_m)), 1.0),
        };
        let phase = (k as f32 + passed) * std::f32::consts::PI;
        let first = SIDES[self.begins()];
        Stride {
            root,
            heading,
            feet,
            stand,
            front: first * phase.sin(),
            weight: -first * phase.cos(),
            swing: 0.30 * (self.pace_mps / 1.2).clamp(0.0, 1.3),
            sway_m: 0.011 * self.body.stature,
        }
    }
}

/// A walk with its way.
struct Way<'a, P, F> {
    walk: &'a Walk,
    falls: Vec<f32>,
    on_path: P,
    floor: F,
}

impl<P: Fn(f32) -> (Vec2, f32), F: Fn(Vec2) -> f32> Way<'_, P, F> {
    /// The last fall.
    fn last(&self) -> i32 {
        self.falls.len() as i32 - 1
    }

    /// Where fall `k` is along the way; before the first and after the last feet stand.
    fn fall(&self, k: i32) -> f32 {
        self.falls.get(k.clamp(0, self.last()) as usize).copied().unwrap_or(0.0)
    }

    fn step_m(&self, k: i32) -> f32 {
        self.fall(k) - self.fall(k - 1)
    }

    /// The fall that the body has passed last, and the share of the step after it.
    fn step_at(&self, at_m: f32) -> (i32, f32) {
        let k = (self.falls.partition_point(|fall| *fall <= at_m) as i32 - 1).clamp(0, (self.last() - 1).max(0));
        let step = self.step_m(k + 1);
        (k, if step > 0.0 { ((at_m - self.fall(k)) / step).clamp(0.0, 1.0) } else { 0.0 })
    }

    fn fall_y(&self, k: i32) -> f32 {
        match self.walk.manner {
            Manner::Alternating(first) if k > 0 && k < self.last() => self.fall_of(k, side_of(k, first)).spot.y,
            _ => (self.floor)((self.on_path)(self.fall(k)).0),
        }
    }

    /// Fall `k` of a foot: within the walk a narrow track, at its ends as in standing.
    fn fall_of(&self, k: i32, side: usize) -> Plant {
        let body = &self.walk.body;
        let (spot, heading) = (self.on_path)(self.fall(k));
        if k <= 0 || k >= self.last() {
            return self.standing(spot, heading, side);
        }
        let aside = right(heading) * (SIDES[side] * 0.72 * body.leg_x);
        plant(body, spot + Vec2::new(aside.x, aside.z), heading + SIDES[side] * 0.09, &self.floor)
    }

    fn standing(&self, spot: Vec2, heading: f32, side: usize) -> Plant {
        let [x, z, out] = standing_feet(&self.walk.body, self.walk.chance)[side];
        let at = right(heading) * x - forward(heading) * z;
        let y = (self.floor)(spot);
        Plant { spot: Vec3::new(spot.x + at.x, y, spot.y + at.z), heading: heading + SIDES[side] * out }
    }

    /// 1 where the walk begins and ends, 0 from one step on.
    fn stand(&self, at_m: f32) -> f32 {
        let (first, last) = (self.step_m(1).max(1e-3), self.step_m(self.last()).max(1e-3));
        let begun = 1.0 - smooth(at_m / (0.8 * first));
        let ended = 1.0 - smooth((self.walk.length_m - at_m) / (0.8 * last));
        begun.max(ended)
    }

    /// The body's place along the way when fall `k` touches the floor.
    fn strike_m(&self, k: i32) -> f32 {
        if k <= 0 {
            f32::NEG_INFINITY
        } else if k > self.last() {
            self.walk.length_m
        } else {
            self.fall(k) - if self.steep(k) { STAIR_STRIKE } else { STRIKE } * self.step_m(k)
        }
    }

    /// … and when it leaves it.
    fn off_m(&self, k: i32) -> f32 {
        let last = self.last();
        match k {
            -1 => 0.0,
            k if k >= last => f32::INFINITY,
            k if k == last - 1 => self.fall(k) + LAST_OFF * self.step_m(k + 1),
            k => self.fall(k) + if self.steep(k + 1) { STAIR_OFF } else { OFF } * self.step_m(k + 1),
        }
    }

    /// Step `k` goes up or down.
    fn steep(&self, k: i32) -> bool {
        (self.fall_y(k) - self.fall_y(k - 1)).abs() > 0.03
    }

    /// Toes up at the strike: less with short steps, and none on steps of stairs.
    fn strike_pitch(&self, k: i32) -> f32 {
        if k <= 0 || k > self.last() || self.steep(k) {
            return 0.0;
        }
        (0.60 * self.step_m(k) / self.walk.body.stature).min(0.28)
    }

    fn off_pitch(&self, k: i32) -> f32 {
        if k < 0 || k >= self.last() {
            return 0.0;
        }
        if self.steep(k + 1) && self.fall_y(k + 1) > self.fall_y(k) {
            return 0.70;
        }
        (1.35 * self.step_m(k + 1) / self.walk.body.stature).min(0.62)
    }

    fn walking_foot(&self, side: usize, first: usize, at_m: f32) -> Foot {
        let body = &self.walk.body;
        let last = self.last();
        // The foot that begins has the odd falls.
        let near = (self.step_at(at_m).0 - 2).max(0);
        let mut k = near / 2 * 2 - i32::from(side == first);
        while k + 2 <= last + 1 && self.strike_m(k + 2) <= at_m {
            k += 2;
        }
        let here = self.fall_of(k, side);
        let off_m = self.off_m(k);
        if at_m < off_m || k + 2 > last + 1 {
            let toes_up = self.stance_pitch(k, at_m);
            return Foot { ankle: here.ankle(body, toes_up), heading: here.heading, toes_up, planted: true };
        }
        let strike_m = self.strike_m(k + 2);
        let over_m = (strike_m - off_m).max(1e-4);
        // The slopes of `stance_pitch` where it ends and begins.
        let off = self.off_pitch(k);
        let strike = self.strike_pitch(k + 2);
        let swing = Swing {
            body,
            from: here,
            to: self.fall_of(k + 2, side),
            off: Roll { toes_up: -off, rate: -1.5 * off / self.roll_off_m(k) * over_m },
            strike: Roll { toes_up: strike, rate: -2.0 * strike / self.roll_on_m(k + 2) * over_m },
            // Short steps are low.
            lift_m: (0.035 * body.stature).min(0.07 * self.step_m(k + 2) + 0.012),
        };
        swing.at((at_m - off_m) / over_m, &self.floor)
    }

    /// How much of the way a foot takes to come down flat, and to roll up on its toes.
    fn roll_on_m(&self, k: i32) -> f32 {
        (0.20 * self.step_m(k)).max(1e-4)
    }

    fn roll_off_m(&self, k: i32) -> f32 {
        (0.55 * self.step_m(k + 1)).max(1e-4)
    }

    fn stance_pitch(&self, k: i32, at_m: f32) -> f32 {
        let on = 1.0 - (at_m - self.strike_m(k)) / self.roll_on_m(k);
        if on > 0.0 && on.is_finite() {
            return self.strike_pitch(k) * on * on;
        }
        let off = 1.0 - (self.off_m(k) - at_m) / self.roll_off_m(k);
        if off > 0.0 && off.is_finite() {
            return -self.off_pitch(k) * off * off * (1.5 - 0.5 * off);
        }
        0.0
    }

    /// The leading foot goes in the first half of each step, the other closes in the second.
    fn closing_foot(&self, side: usize, leads: bool, at_m: f32) -> Foot {
        let body = &self.walk.body;
        let (k, passed) = self.step_at(at_m);
        let t = if leads { passed * 2.0 } else { passed * 2.0 - 1.0 }.clamp(0.0, 1.0);
        let place = |k: i32| {
            let (spot, heading) = (self.on_path)(self.fall(k));
            self.standing(spot, heading, side)
        };
        let (from, to) = (place(k), place(k + 1));
        if t <= 0.0 || t >= 1.0 {
            let here = if t <= 0.0 { from } else { to };
            return Foot { ankle: here.ankle(body, 0.0), heading: here.heading, toes_up: 0.0, planted: true };
        }
        let flat = Roll::default();
        Swing {
            body,
            from,
            to,
            off: flat,
            strike: flat,
            lift_m: (0.022 * body.stature).min(0.08 * self.step_m(k + 1) + 0.008),
        }
        .at(t, &self.floor)
    }
}

/// Odd falls are of the side that begins.
fn side_of(k: i32, first: usize) -> usize {
    if k.rem_euclid(2) == 1 { first } else { 1 - first }
}
