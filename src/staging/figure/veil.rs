//! The veil.

use super::proportions::Body;
use super::skeleton::{SIDES, Skeleton};
use crate::staging::carve::{Carver, Limb, cut, of, rgb};
use crate::staging::tableau::{Finish, Part};
use glam::{Quat, Vec2, Vec3};

/// A see-through veil from the crown down the back.
pub fn carve_veil(carver: &mut Carver, body: &Body, sk: &Skeleton) {
    let h = body.stature;
    let u = body.head_height();
    let tulle = of(Finish::Veil, rgb(0.98, 0.97, 0.95));
    let back = sk.root.turned * Vec3::Z;
    let across = sk.root.turned * Vec3::X;
    let shoulders = sk.chest.point(Vec3::new(0.0, 0.01 * h, body.chest.y * 0.5 + 0.034 * h));
    // To the fingertips, clear of the skirt.
    let floor_y = sk.root.at.y;
    let low_y = (floor_y + 0.30 * h).min(shoulders.y - 0.2 * h).max(floor_y + 0.02);
    let low = Vec3::new(shoulders.x, low_y, shoulders.z) + back * 0.075 * h;
    // A comb of small flowers at the crown.
    for i in 0..5 {
        let a = (i as f32 - 2.0) * 0.28;
        carver.add(
            sk.head,
            cut(0.13 * u, 0.10 * u, 0.12 * u)
                .at(a.sin() * 0.46 * u, (1.075 - 0.12 * a * a) * u, (0.16 - 0.06 * a * a) * u)
                .turned(Quat::from_rotation_y(a * 2.0) * Quat::from_rotation_z(0.4 * a))
                .round(0.045 * u),
            Part::Veil,
            of(Finish::Petals, rgb(0.97, 0.95, 0.92)),
        );
    }
    // From the comb over the back of the head, down behind the shoulders; a narrower fold at either side.
    let comb = sk.head.point(Vec3::new(0.0, 0.94 * u, 0.50 * u));
    let mut fall = |from: Vec3, to: Vec3, from_x: f32, to_x: f32, across: Vec3| {
        let (from_m, to_m) = (Vec2::new(from_x, 0.014), Vec2::new(to_x, 0.030));
        carver.limb(Limb { from, to, from_m, to_m, across, over_m: [0.0; 2], roundness: 0.5 }, Part::Veil, tulle);
    };
    fall(comb, low, 0.46 * u, 0.22 * h, across);
    for side in SIDES {
        let turned = across * 0.86 - back * side * 0.5;
        let from = comb + across * side * 0.20 * u - back * 0.03 * u;
        fall(from, low + across * side * 0.115 * h - back * 0.016 * h, 0.16 * u, 0.085 * h, turned);
    }
}
