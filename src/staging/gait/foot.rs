//! One foot: planted on the floor, rolling over heel and toes, or on its way through the air.

use crate::staging::angle::wrapped;
use crate::staging::figure::proportions::Body;
use glam::{Vec2, Vec3};

/// Heel and toes of a shoe from under the ankle, over foot length; feet roll over points just inside.
pub const HEEL: f32 = 0.27;
pub const TOES: f32 = 0.72;

/// Where a foot is, world space.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Foot {
    pub ankle: Vec3,
    pub heading: f32,
    /// Toes up (+) or heel up (−), radians.
    pub toes_up: f32,
    /// On the floor: flat, on the heel or on the toes.
    pub planted: bool,
}

/// A body in the middle of a walk: what [`pose`](crate::staging::figure::skeleton::pose) needs beyond a stance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stride {
    /// Where the body is on its way; the height goes smoothly between those of the floors under the feet.
    pub root: Vec3,
    pub heading: f32,
    /// Left and right.
    pub feet: [Foot; 2],
    /// 1: trunk and arms as in standing, 0: as in walking.
    pub stand: f32,
    /// The front foot: −1 the left, +1 the right, in between as the legs pass.
    pub front: f32,
    /// The foot that carries: −1 the left, +1 the right.
    pub weight: f32,
    /// Right arm swings by this many radians at most.
    pub swing: f32,
    /// Hips to the side that carries, metres.
    pub sway_m: f32,
}

/// A foot's place on the floor.
#[derive(Debug, Clone, Copy)]
pub struct Plant {
    /// Under the ankle when the foot is flat.
    pub spot: Vec3,
    pub heading: f32,
}

/// A foot that leaves or reaches the floor: its pitch then, and how fast that changes over a whole swing.
#[derive(Debug, Clone, Copy, Default)]
pub struct Roll {
    pub toes_up: f32,
    pub rate: f32,
}

impl Plant {
    /// Ankle of a foot rolled to this pitch over heel or toes.
    pub fn ankle(&self, body: &Body, toes_up: f32) -> Vec3 {
        let pivot = lever(body, toes_up);
        let (sin, cos) = toes_up.sin_cos();
        let ahead = pivot * cos - body.ankle * sin - pivot;
        self.spot + forward(self.heading) * ahead + Vec3::Y * (pivot * sin + body.ankle * cos)
    }

    /// How the ankle moves as the pitch grows.
    fn ankle_rate(&self, body: &Body, toes_up: f32) -> Vec3 {
        let pivot = lever(body, toes_up);
        let (sin, cos) = toes_up.sin_cos();
        forward(self.heading) * (-pivot * sin - body.ankle * cos) + Vec3::Y * (pivot * cos - body.ankle * sin)
    }
}

/// From the point the foot rolls over to the ankle, forward.
fn lever(body: &Body, toes_up: f32) -> f32 {
    body.foot_length * if toes_up > 0.0 { HEEL } else { -TOES }
}

/// A swing from one plant to the next.
pub struct Swing<'a> {
    pub body: &'a Body,
    pub from: Plant,
    pub to: Plant,
    pub off: Roll,
    pub strike: Roll,
    /// The ankle is lifted by at least this over the higher of both floors.
    pub lift_m: f32,
}

impl Swing<'_> {
    /// The foot when a share `t` of the swing is over; `floor` keeps heel and toes above what lies between.
    pub fn at(&self, t: f32, floor: &impl Fn(Vec2) -> f32) -> Foot {
        let body = self.body;
        let climb = self.to.spot.y - self.from.spot.y;
        let (a, b) = (self.from.ankle(body, self.off.toes_up), self.to.ankle(body, self.strike.toes_up));
        let va = self.from.ankle_rate(body, self.off.toes_up) * self.off.rate;
        let vb = self.to.ankle_rate(body, self.strike.toes_up) * self.strike.rate;
        const SOON: f32 = 0.70;
        // Up a step a foot rises before it goes forward, down a step it goes forward before it sinks.
        let forward_t = match climb {
            c if c > 0.05 => t - 0.65 * t * (1.0 - t),
            c if c < -0.05 => (t / SOON).min(1.0),
            _ => t,
        };
        let va = if climb < -0.05 { Vec3::new(va.x * SOON, va.y, va.z * SOON) } else { va };
        let mut ankle = hermite(a, b, va, vb, forward_t);
        // Up first, then down: over the heel's rise on the flat, over the edge on steps.
        let peak = if climb > 0.05 { 0.55 } else { 0.34 };
        let top =
            self.from.spot.y.max(self.to.spot.y) + body.ankle + if climb > 0.05 { 0.5 } else { 1.0 } * self.lift_m;
        let top = top.max(a.y + 0.012 * body.stature).max(b.y + 0.004 * body.stature);
        ankle.y = if t < peak {
            hermite1(a.y, top, va.y * peak, 0.0, t / peak)
        } else {
            hermite1(top, b.y, 0.0, vb.y * (1.0 - peak), (t - peak) / (1.0 - peak))
        };
        // Toes are up again before they come to the edge.
        let level_by = if climb > 0.05 { 0.55 } else { 1.0 };
        let [off, strike] = [self.off, self.strike].map(|roll| roll.rate * level_by);
        let toes_up = hermite1(self.off.toes_up, self.strike.toes_up, off, strike, (t / level_by).min(1.0))
            // A foot that leaves flat lifts its heel first.
            - self.lift_m / body.foot_length * 1.1 * bump(t) * f32::from(self.off.rate == 0.0);
        let heading = self.from.heading + wrapped(self.to.heading - self.from.heading) * smooth(t);
        let mut foot = Foot { ankle, heading, toes_up, planted: false };
        foot.ankle.y += self.sunk(&foot, t, floor);
        foot
    }

    /// How far heel or toes would be below the floor, or too near an edge.
    fn sunk(&self, foot: &Foot, t: f32, floor: &impl Fn(Vec2) -> f32) -> f32 {
        let ahead = forward(foot.heading);
        let (sin, cos) = foot.toes_up.sin_cos();
        // An edge is felt from a hand's breadth away, so that the foot rises before it and not at it; but not where
        // the foot stands.
        let feels = smooth(t / 0.15) * smooth((1.0 - t) / 0.15);
        let mut sunk: f32 = 0.0;
        for reach in [-0.28, 0.0, 0.40, 0.73] {
            let out = self.body.foot_length * reach;
            let at = foot.ankle + ahead * (out * cos + self.body.ankle * sin);
            let sole_y = foot.ankle.y + out * sin - self.body.ankle * cos;
            let height = |off: f32| {
                let there = at + ahead * off;
                floor(Vec2::new(there.x, there.z))
            };
            sunk = sunk.max(height(0.0) - sole_y);
            sunk = sunk.max((edge_y(height) - sole_y) * feels);
        }
        sunk
    }
}

/// The slope up to the nearest edges of a floor, at offset 0.
fn edge_y(height: impl Fn(f32) -> f32) -> f32 {
    const STEP_M: f32 = 0.03;
    let mut most = f32::NEG_INFINITY;
    let mut low = height(-4.0 * STEP_M);
    for i in -3..=4 {
        let (mut near, mut far) = ((i - 1) as f32 * STEP_M, i as f32 * STEP_M);
        let high = height(far);
        if (high - low).abs() > 0.01 {
            for _ in 0..7 {
                let middle = (near + far) * 0.5;
                if (height(middle) - low).abs() > 0.01 { far = middle } else { near = middle }
            }
            // Toes keep well clear of a rise, heels come down close to one.
            let clear = if high > low { 2.0 * far.max(0.0) } else { 5.0 * (-near).max(0.0) };
            most = most.max(high.max(low) - clear);
        }
        low = high;
    }
    most
}

/// Unit vector of a heading.
pub fn forward(heading: f32) -> Vec3 {
    let (sin, cos) = heading.sin_cos();
    Vec3::new(sin, 0.0, -cos)
}

pub fn right(heading: f32) -> Vec3 {
    let (sin, cos) = heading.sin_cos();
    Vec3::new(cos, 0.0, sin)
}

/// 0 to 1 with level ends.
pub fn smooth(t: f32) -> f32 {
    let t = t.clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// 0, 1 in the middle, 0, with level ends.
fn bump(t: f32) -> f32 {
    let t = t.clamp(0.0, 1.0);
    16.0 * (t * (1.0 - t)).powi(2)
}

/// The cubic with these ends and end slopes (Hermite).
fn hermite1(a: f32, b: f32, va: f32, vb: f32, t: f32) -> f32 {
    let (t2, t3) = (t * t, t * t * t);
    (2.0 * t3 - 3.0 * t2 + 1.0) * a + (3.0 * t2 - 2.0 * t3) * b + (t3 - 2.0 * t2 + t) * va + (t3 - t2) * vb
}

fn hermite(a: Vec3, b: Vec3, va: Vec3, vb: Vec3, t: f32) -> Vec3 {
    let one = |i: usize| hermite1(a[i], b[i], va[i], vb[i], t);
    Vec3::new(one(0), one(1), one(2))
}
