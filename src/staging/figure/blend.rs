//! Arms on their way from one gesture to another.

use super::proportions::Body;
use super::reach::two_bones;
use super::skeleton::Arm;
use glam::{Mat3, Quat, Vec3};

/// Both arms with a share of the earlier gesture left: 1 gives `before`, 0 gives `now`.
pub fn blended_arms(body: &Body, before: &[Arm; 2], now: &[Arm; 2], share: f32) -> [Arm; 2] {
    std::array::from_fn(|side| blended(body, &before[side], &now[side], share))
}

/// Wrist and elbow go between where the two gestures have them, the hand turns as wrists turn, and the bones keep their
/// lengths.
fn blended(body: &Body, before: &Arm, now: &Arm, share: f32) -> Arm {
    if share <= 0.0 {
        return *now;
    }
    if share >= 1.0 {
        return *before;
    }
    let t = 1.0 - share;
    let shoulder = before.shoulder.lerp(now.shoulder, t);
    let wrist = (before.wrist - before.shoulder).lerp(now.wrist - now.shoulder, t);
    let pole = (before.elbow - before.shoulder).lerp(now.elbow - now.shoulder, t);
    let (elbow, wrist) = two_bones(shoulder, shoulder + wrist, body.upper_arm, body.forearm, pole);
    // The hand is turned relative to the forearm: there the two gestures never differ by much.
    let turned = [before, now].map(|arm| forearm(arm).inverse() * hand(arm));
    let mut arm = Arm { shoulder, elbow, wrist, ..*now };
    let hand = forearm(&arm) * turned[0].slerp(turned[1], t);
    arm.fingers = hand * Vec3::NEG_Z;
    arm.palm = hand * Vec3::NEG_Y;
    arm
}

/// World from forearm: −z to the wrist, x along the elbow's hinge.
fn forearm(arm: &Arm) -> Quat {
    let along = (arm.wrist - arm.elbow).normalize_or(Vec3::NEG_Y);
    let hinge = (arm.elbow - arm.shoulder).cross(along);
    frame(along, hinge)
}

/// World from hand: −z to the fingertips, −y out of the palm.
fn hand(arm: &Arm) -> Quat {
    frame(arm.fingers, arm.palm.cross(arm.fingers))
}

fn frame(ahead: Vec3, aside: Vec3) -> Quat {
    let z = -ahead.normalize_or(Vec3::NEG_Z);
    let x = (aside - z * aside.dot(z)).normalize_or(z.any_orthonormal_vector());
    Quat::from_mat3(&Mat3::from_cols(x, z.cross(x), z)).normalize()
}
