//! A kiss: two standing figures lean and tilt until their faces meet, noses side by side.

use super::cast::Actor;
use super::figure::skeleton::{self, Bearing};
use glam::Vec3;

/// Air left between the two face planes at the mouths: as deep as the nose block stands out, so that neither nose
/// enters the other face.
const GAP_OVER_HEAD: f32 = 0.10;

/// Feet come nearer to each other by no more than this: two who kiss have stepped together before.
const SHUFFLE_M: f32 = 0.25;

/// Heads tilt and turn by this much, each to its own right, so that the noses pass.
const TILT: f32 = 0.30;
const TURN: f32 = 0.10;

/// Poses two who kiss, as far as the kiss has got: 0 not at all, 1 lips meet. Whoever sits or is much taller is left alone.
pub fn bring_faces_together(cast: &mut [Actor], [k, j]: [usize; 2], share: f32) {
    if k == j || k.max(j) >= cast.len() || share <= 0.0 {
        return;
    }
    let share = share * uprightness(&cast[k]) * uprightness(&cast[j]);
    if share <= 0.0 || cast[k].body.stature < 0.8 * cast[j].body.stature {
        return;
    }
    let before = [cast[k].stance, cast[j].stance];
    meet(cast, k, j);
    for (i, before) in [k, j].into_iter().zip(before) {
        let kiss = &mut cast[i].stance;
        kiss.feet = before.feet.lerp(kiss.feet, share);
        // Whoever turns or walks meanwhile takes their steps along.
        if let Some(stride) = &mut kiss.stride {
            stride.root += kiss.feet - before.feet;
            stride.feet.iter_mut().for_each(|foot| foot.ankle += kiss.feet - before.feet);
        }
        kiss.lean = before.lean + (kiss.lean - before.lean) * share;
        kiss.rise_m = before.rise_m + (kiss.rise_m - before.rise_m) * share;
        if let (Some(from), Some(to)) = (before.head, kiss.head) {
            kiss.head = Some(from.lerp(to, share));
        }
    }
}

fn meet(cast: &mut [Actor], k: usize, j: usize) {
    let (tall, short) = if cast[k].body.stature >= cast[j].body.stature { (k, j) } else { (j, k) };
    for i in [tall, short] {
        cast[i].stance.head = Some(Vec3::new(TURN, 0.0, TILT));
        cast[i].stance.look_at = None;
        cast[i].stance.lean = 0.07;
    }
    // The taller softens the knees and bends, the shorter stands on the toes, as far as it takes.
    let difference = mouth(&cast[tall]).y - mouth(&cast[short]).y;
    cast[short].stance.rise_m = (difference * 0.35).clamp(0.0, 0.05);
    cast[tall].stance.rise_m = -(difference * 0.15).clamp(0.0, 0.03);
    for _ in 0..24 {
        let left = mouth(&cast[tall]).y - mouth(&cast[short]).y;
        if left < 0.004 || cast[tall].stance.lean > 0.40 {
            break;
        }
        cast[tall].stance.lean += (left * 0.8).clamp(0.004, 0.05);
    }
    let left = mouth(&cast[tall]).y - mouth(&cast[short]).y;
    let nod = (left * 2.2).clamp(0.0, 0.30);
    for (i, sign) in [(tall, -1.0), (short, 1.0)] {
        if let Some(head) = &mut cast[i].stance.head {
            head.y = sign * nod;
        }
    }
    // Slide both along the line between them until the mouths are a gap apart, and sideways until they meet.
    let (a, b) = (mouth(&cast[tall]), mouth(&cast[short]));
    let (from, to) = (cast[tall].stance.feet, cast[short].stance.feet);
    let along = Vec3::new(to.x - from.x, 0.0, to.z - from.z).normalize_or(Vec3::X);
    let gap = GAP_OVER_HEAD * (cast[tall].body.head_height() + cast[short].body.head_height());
    let apart = b - a;
    let apart = Vec3::new(apart.x, 0.0, apart.z);
    let correction = (apart - along * gap).clamp_length_max(SHUFFLE_M);
    cast[tall].stance.feet += correction * 0.5;
    cast[short].stance.feet -= correction * 0.5;
}

/// 1 for whoever stands, 0 for who is down, in between on the way.
fn uprightness(actor: &Actor) -> f32 {
    let up = |bearing| f32::from(u8::from(matches!(bearing, Bearing::Standing)));
    let (before, left) = actor.stance.before.unwrap_or((actor.stance.bearing, 0.0));
    up(actor.stance.bearing) * (1.0 - left) + up(before) * left
}

/// Where a mouth would be: on the face plane, a quarter of the head over the chin.
fn mouth(actor: &Actor) -> Vec3 {
    let sk = skeleton::pose(&actor.body, &actor.stance);
    sk.head.point(Vec3::new(0.0, 0.24 * actor.body.head_height(), -actor.body.head.y * 0.5))
}
