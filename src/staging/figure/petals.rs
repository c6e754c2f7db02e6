//! Petals thrown: the arm that throws, and what is in the air and on the floor after it.

use super::gesture::Doer;
use crate::plan::Colour;
use crate::staging::carve::{Carver, Place, cut, mix, of, rgb};
use crate::staging::chance::Chance;
use crate::staging::tableau::{Finish, Part};
use glam::{Quat, Vec3};

/// From one throw to the next.
const CYCLE_S: f64 = 1.6;

/// When in the cycle the hand opens.
const RELEASE: f32 = 0.42;

const HANDFUL: u64 = 18;

/// How fast a petal sinks; light things a few centimetres across come down at about a metre a second (from memory).
const SINKS_MPS: f32 = 1.15;

/// How long petals are followed.
const LIFE_S: f32 = 3.2;

/// Throws since the ceremony's beginning, in whole and part.
fn throws(at_s: f64, chance: Chance) -> (i64, f32) {
    let cycles = at_s / CYCLE_S + f64::from(chance.unit("throw"));
    (cycles.floor() as i64, cycles.rem_euclid(1.0) as f32)
}

/// Grip (fractions of stature in chest space), fingers and palm (body space) of the throwing right arm.
pub fn arm_of_throw(at_s: f64, chance: Chance) -> [Vec3; 3] {
    arm_at(throws(at_s, chance).1)
}

fn arm_at(part: f32) -> [Vec3; 3] {
    // Low with a closed hand, back a little, up and forward, open; slowly down again.
    const KEYS: [(f32, [Vec3; 3]); 5] = [
        (0.0, [Vec3::new(0.150, -0.205, -0.120), Vec3::new(-0.15, -0.15, -1.0), Vec3::new(-0.2, 1.0, 0.1)]),
        (0.20, [Vec3::new(0.165, -0.235, -0.075), Vec3::new(-0.05, -0.40, -0.9), Vec3::new(-0.1, 1.0, -0.3)]),
        (RELEASE, [Vec3::new(0.110, 0.090, -0.215), Vec3::new(-0.05, 0.80, -0.60), Vec3::new(0.0, 0.60, 0.80)]),
        (0.56, [Vec3::new(0.095, 0.130, -0.200), Vec3::new(-0.05, 0.85, -0.50), Vec3::new(0.0, 0.45, -0.50)]),
        (1.0, [Vec3::new(0.150, -0.205, -0.120), Vec3::new(-0.15, -0.15, -1.0), Vec3::new(-0.2, 1.0, 0.1)]),
    ];
    for pair in KEYS.windows(2) {
        if let [(from, a), (to, b)] = pair
            && part <= *to
        {
            let t = ((part - from) / (to - from)).clamp(0.0, 1.0);
            let t = t * t * (3.0 - 2.0 * t);
            return std::array::from_fn(|i| a[i].lerp(b[i], t));
        }
    }
    KEYS[0].1
}

/// The handfuls thrown lately, wherever they are by now.
pub fn carve_petals(carver: &mut Carver, doer: &Doer, accent: Colour) {
    let (whole, part) = throws(doer.at_s, doer.chance);
    let h = doer.body.stature;
    let root = doer.sk.root;
    let hand = doer.sk.chest.point(arm_at(RELEASE)[0] * h);
    for back in 0..3 {
        let age_s = ((part - RELEASE) + back as f32) * CYCLE_S as f32;
        if !(0.0..LIFE_S).contains(&age_s) || doer.at_s - f64::from(age_s) < doer.since_s {
            continue;
        }
        let throw = doer.chance.named("petals").with((whole - back) as u64);
        for i in 0..HANDFUL {
            petal(carver, throw.with(i), hand, root, age_s, accent);
        }
    }
}

/// Thrown up and forward, slowed by the air, then sinking and swaying to the floor.
fn petal(carver: &mut Carver, c: Chance, hand: Vec3, root: Place, age_s: f32, accent: Colour) {
    let thrown = root.turned
        * Vec3::new(c.signed("aside") * 1.1 - 0.2, c.between("up", 2.6, 5.2), -c.between("ahead", 2.0, 4.6));
    // Drag in proportion to speed, so that the path has a closed form: the speed left falls off within SINKS/g.
    let sinks = Vec3::NEG_Y * SINKS_MPS * c.between("sinks", 0.8, 1.2);
    let slows_s = sinks.length() / 9.81;
    let flown = sinks * age_s + (thrown - sinks) * slows_s * (1.0 - (-age_s / slows_s).exp());
    let sway = (age_s * c.between("sway", 4.0, 7.0) + c.unit("phase") * 6.0).sin() * 0.05 * (age_s / 0.6).min(1.0);
    let mut at = hand + flown + root.turned * Vec3::new(sway, 0.0, sway * c.signed("sway way"));
    let floor = root.at.y + 0.006;
    let size = c.between("size", 0.030, 0.052) * ((LIFE_S - age_s) / 0.4).clamp(0.0, 1.0);
    if size < 0.004 {
        return;
    }
    let turned = if at.y <= floor {
        at.y = floor;
        Quat::from_rotation_y(c.signed("lies") * 3.0)
    } else {
        let spin = age_s * c.between("spin", 3.0, 9.0);
        Quat::from_rotation_y(c.signed("lies") * 3.0 + spin * 0.6) * Quat::from_rotation_x(spin)
    };
    let tint = mix(mix(rgb(0.95, 0.74, 0.74), rgb(0.98, 0.95, 0.91), c.unit("tint")), accent, 0.10);
    carver.add(
        Place::new(at, turned),
        cut(size, size * 0.22, size * 0.8).top(0.8, 0.8).round(size * 0.09),
        Part::Held,
        of(Finish::Petals, tint),
    );
}
