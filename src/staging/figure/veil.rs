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
    let fall =
        |from, to, from_m, to_m, across| Limb { from, to, from_m, to_m, across, over_m: [0.003; 2], roundness: 0.5 };
    // Over the back of the head, then down behind the shoulders.
    let comb = sk.head.point(Vec3::new(0.0, 0.93 * u, 0.47 * u));
    carver.limb(
        fall(comb, shoulders, Vec2::new(0.50 * u, 0.016), Vec2::new(0.17 * h, 0.018), across),
        Part::Veil,
        tulle,
    );
    carver.limb(
        fall(shoulders, low, Vec2::new(0.17 * h, 0.018), Vec2::new(0.23 * h, 0.030), across),
        Part::Veil,
        tulle,
    );
    // A fold at either side.
    for side in SIDES {
        let turned = across * 0.86 - back * side * 0.5;
        let at = |on: Vec3, out: f32| on + across * side * out * h - back * 0.012 * h;
        let fold = fall(
            at(shoulders, 0.078),
            at(low, 0.122),
            Vec2::new(0.050 * h, 0.016),
            Vec2::new(0.085 * h, 0.026),
            turned,
        );
        carver.limb(fold, Part::Veil, tulle);
    }
}
