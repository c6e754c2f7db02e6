//! Where a figure's landmarks ended up, for framing, focus and facing.

use super::proportions::Body;
use super::skeleton::Skeleton;
use crate::staging::tableau::{Figure, OwnerIx};
use glam::Vec3;

/// Landmarks of a posed skeleton, world space.
pub fn landmarks(owner: OwnerIx, body: &Body, sk: &Skeleton) -> Figure {
    let h = body.stature;
    let u = body.head_height();
    let middle = |a: Vec3, b: Vec3| (a + b) * 0.5;
    let knee = middle(sk.legs[0].knee, sk.legs[1].knee);
    let hip = middle(sk.legs[0].hip, sk.legs[1].hip);
    let ankles = middle(sk.legs[0].ankle, sk.legs[1].ankle);
    Figure {
        owner,
        stature_m: h,
        sole: Vec3::new(ankles.x, sk.root.at.y, ankles.z),
        knee,
        mid_thigh: middle(knee, hip),
        hip,
        waist: sk.waist,
        chest: sk.chest.point(Vec3::new(0.0, -0.09 * h, -body.chest.y * 0.5)),
        shoulder: middle(sk.arms[0].shoulder, sk.arms[1].shoulder),
        chin: sk.head.at,
        eyes: eyes(body, sk),
        crown: sk.head.point(Vec3::Y * u),
        face_forward: sk.head.turned * Vec3::NEG_Z,
        hands: sk.arms.map(|arm| arm.grip(body)),
        half_width_m: body.half_shoulder,
    }
}

/// Between the eyes, on the face.
pub fn eyes(body: &Body, sk: &Skeleton) -> Vec3 {
    sk.head.point(Vec3::new(0.0, body.eye - body.chin, -body.head.y * 0.5))
}
