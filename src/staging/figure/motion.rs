//! Bodies between two bearings and in the middle of a step.

use super::proportions::Body;
use super::skeleton::{Bearing, FootPlan, SIDES, Settled, Stance, settle};
use crate::staging::angle::wrapped;
use crate::staging::carve::Place;
use crate::staging::gait::{Stride, smooth};
use crate::staging::run::UP_FROM_SEAT_M;
use glam::{Quat, Vec3};

/// Trunk and feet of a stance: as its bearing has them, or moving.
pub(super) fn in_time(body: &Body, stance: &Stance, root: Place) -> Settled {
    let now = match &stance.stride {
        Some(stride) => striding(body, stance, root, stride),
        None => settle(body, stance, stance.bearing),
    };
    match stance.before {
        Some((bearing, share)) if share > 0.0 => {
            let before = settle(body, stance, bearing);
            between(body, [before, now], [bearing, stance.bearing], share.min(1.0))
        }
        _ => now,
    }
}

fn striding(body: &Body, stance: &Stance, root: Place, stride: &Stride) -> Settled {
    let stand = settle(body, stance, Bearing::Standing);
    let walk = 1.0 - stride.stand;
    let (front, weight) = (stride.front, stride.weight);
    let effort = (stride.swing / 0.30).clamp(0.0, 1.3);
    // The pelvis goes with the front leg and hangs a little over the leg in the air; the chest turns against it.
    let pelvis = Quat::from_rotation_y(front * 0.075 * effort)
        * Quat::from_rotation_z(weight * 0.028)
        * Quat::from_rotation_x(-0.01);
    let chest = Quat::from_rotation_y(-front * 0.060 * effort)
        * Quat::from_rotation_z(-weight * 0.012)
        * Quat::from_rotation_x(-0.015 - 0.020 * effort - stance.lean);
    let feet = std::array::from_fn(|side| {
        let foot = &stride.feet[side];
        FootPlan {
            ankle: root.local(foot.ankle),
            out: wrapped(foot.heading - stance.heading) * SIDES[side],
            toes_up: foot.toes_up,
            knee_pole: Vec3::NEG_Z,
        }
    });
    let mut set = Settled {
        hips: stand.hips.lerp(Vec3::new(weight * stride.sway_m, stand.hips.y - 0.004 * body.stature, 0.0), walk),
        pelvis: stand.pelvis.slerp(pelvis, walk),
        chest: stand.chest.slerp(chest, walk),
        feet,
        swing: -front * stride.swing * walk,
    };
    within_reach(body, &mut set, 0.005 * body.stature * walk);
    set
}

/// Lowers the hips until both legs reach their ankles; near that, gently, over about `soft_m`.
fn within_reach(body: &Body, set: &mut Settled, soft_m: f32) {
    // Never quite straight.
    let leg = 0.998 * (body.thigh() + body.shin());
    let limits = [0, 1].map(|side| {
        let joint = set.pelvis * Vec3::X * (SIDES[side] * body.leg_x);
        let way = set.feet[side].ankle - set.hips - joint;
        let flat = way.x.hypot(way.z).min(0.95 * leg);
        set.feet[side].ankle.y - joint.y + (leg * leg - flat * flat).sqrt()
    });
    let highest = limits[0].min(limits[1]).min(set.hips.y);
    set.hips.y = if soft_m > 1e-5 {
        // A smooth minimum, below all three.
        let sum: f32 = limits.into_iter().chain([set.hips.y]).map(|y| ((highest - y) / soft_m).exp()).sum();
        highest - soft_m * sum.ln()
    } else {
        highest
    };
}

fn between(body: &Body, [mut before, mut now]: [Settled; 2], bearings: [Bearing; 2], share: f32) -> Settled {
    let seated = bearings.map(|b| matches!(b, Bearing::Sitting { .. }));
    let passed = 1.0 - share;
    if seated[0] == seated[1] {
        // One foot after the other.
        let turns = [[0.05, 0.55], [0.45, 0.95]].map(|[from, to]| ease(passed, from, to));
        let hips = before.hips.lerp(now.hips, smooth(passed));
        return blended(body, &before, &now, hips, turns, smooth(passed), 0.0);
    }
    // A seat's origin is the middle of the seat, a standing figure's before it; `feet` is on its way between.
    let sits = if seated[0] { share } else { passed };
    let (sitting, standing) = if seated[0] { (&mut before, &mut now) } else { (&mut now, &mut before) };
    shift(sitting, UP_FROM_SEAT_M * (1.0 - sits));
    shift(standing, -UP_FROM_SEAT_M * sits);
    // Feet find their place while the seat carries; then the trunk leans, the hips come forward and go up.
    let up = 1.0 - sits;
    let turns = [[0.0, 0.24], [0.12, 0.36]].map(|[from, to]| ease(up, from, to));
    let hips = Vec3::new(
        sitting.hips.x + (standing.hips.x - sitting.hips.x) * ease(up, 0.2, 0.9),
        sitting.hips.y + (standing.hips.y - sitting.hips.y) * ease(up, 0.27, 1.0),
        sitting.hips.z + (standing.hips.z - sitting.hips.z) * ease(up, 0.14, 0.86),
    );
    let bow = if up < 0.40 { smooth(up / 0.40) } else { smooth((1.0 - up) / 0.60) };
    let mut set = blended(body, sitting, standing, hips, turns, ease(up, 0.1, 0.95), bow);
    // The seat carries whoever's feet do not reach the floor yet.
    set.hips.y = set.hips.y.max(sitting.hips.y.min(standing.hips.y));
    set
}

fn shift(set: &mut Settled, back_m: f32) {
    set.hips.z += back_m;
    for foot in &mut set.feet {
        foot.ankle.z += back_m;
    }
}

/// From `a` to `b`: hips as given, each foot by its own share, the trunk by `trunk`, bowed forward by `bow`.
fn blended(body: &Body, a: &Settled, b: &Settled, hips: Vec3, feet: [f32; 2], trunk: f32, bow: f32) -> Settled {
    let bowed = |angle: f32| Quat::from_rotation_x(-angle * bow);
    let mut set = Settled {
        hips,
        pelvis: a.pelvis.slerp(b.pelvis, trunk) * bowed(0.45),
        chest: a.chest.slerp(b.chest, trunk) * bowed(0.66),
        feet: std::array::from_fn(|side| foot_between(body, &a.feet[side], &b.feet[side], feet[side])),
        swing: a.swing + (b.swing - a.swing) * trunk,
    };
    within_reach(body, &mut set, 0.0);
    set
}

fn foot_between(body: &Body, a: &FootPlan, b: &FootPlan, t: f32) -> FootPlan {
    let mix = |a: f32, b: f32| a + (b - a) * t;
    let mut foot = FootPlan {
        ankle: a.ankle.lerp(b.ankle, t),
        out: mix(a.out, b.out),
        toes_up: mix(a.toes_up, b.toes_up),
        knee_pole: a.knee_pole.lerp(b.knee_pole, t),
    };
    // Lifted as it moves, and neither heel nor toes through the floor.
    let way = Vec3::new(b.ankle.x - a.ankle.x, 0.0, b.ankle.z - a.ankle.z).length();
    foot.ankle.y += (0.25 * way).min(0.04) * 4.0 * t * (1.0 - t);
    let (sin, cos) = foot.toes_up.sin_cos();
    let low = [-0.28, 0.73].map(|along| along * body.foot_length * sin - body.ankle * cos);
    let floor = a.ankle.y.min(b.ankle.y).min(body.ankle) - body.ankle;
    foot.ankle.y = foot.ankle.y.max(floor - low[0].min(low[1]));
    foot
}

/// [`smooth`] from `from` to `to`.
fn ease(t: f32, from: f32, to: f32) -> f32 {
    smooth((t - from) / (to - from))
}
