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
    let crown = sk.head.point(Vec3::new(0.0, 0.97 * u, 0.20 * u));
    let back = sk.root.turned * Vec3::Z;
    let across = sk.root.turned * Vec3::X;
    let shoulders = sk.chest.point(Vec3::new(0.0, 0.01 * h, body.chest.y * 0.5 + 0.055 * h));
    let floor = Vec3::new(sk.root.at.x, sk.root.at.y, sk.root.at.z);
    let low_y = (floor.y + 0.16 * h).min(shoulders.y - 0.2 * h).max(floor.y + 0.02);
    let low = Vec3::new(shoulders.x, low_y, shoulders.z) + back * 0.14 * h;
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
    let fall = |from, to, from_m, to_m| Limb { from, to, from_m, to_m, across, over_m: [0.012; 2], roundness: 0.3 };
    let nape = crown + back * 0.30 * u;
    carver.limb(fall(nape, shoulders, Vec2::new(0.66 * u, 0.03), Vec2::new(0.20 * h, 0.04)), Part::Veil, tulle);
    carver.limb(fall(shoulders, low, Vec2::new(0.20 * h, 0.04), Vec2::new(0.34 * h, 0.05)), Part::Veil, tulle);
    // Its sides come forward round the shoulders.
    for side in SIDES {
        let turned = across * 0.62 - back * side * 0.78;
        let at = |on: Vec3, out: f32, forward: f32| on + across * side * out - back * forward;
        let points = [at(nape, 0.36 * u, 0.11 * u), at(shoulders, 0.118 * h, 0.030 * h), at(low, 0.195 * h, 0.045 * h)];
        let wide = [Vec2::new(0.24 * u, 0.022), Vec2::new(0.075 * h, 0.026), Vec2::new(0.12 * h, 0.032)];
        for i in 0..2 {
            let limb = Limb { across: turned, ..fall(points[i], points[i + 1], wide[i], wide[i + 1]) };
            carver.limb(limb, Part::Veil, tulle);
        }
    }
}
