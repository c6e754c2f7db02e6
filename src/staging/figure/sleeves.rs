//! Arms, bare or in sleeves, and hands.

use super::skeleton::SIDES;
use super::tailor::Tailor;
use crate::staging::carve::Limb;
use crate::staging::tableau::{Material, Part};
use glam::{Vec2, Vec3};

/// How far a sleeve comes.
pub enum Sleeve {
    Bare,
    Cap,
    Short,
    Long,
    Wide,
}

impl Tailor<'_, '_> {
    pub fn sleeves(&mut self, cloth: Material, kind: Sleeve) {
        let b = self.body;
        let [upper, elbow, wrist] = b.arm_thick;
        let skin = self.skin;
        for side in 0..2 {
            let arm = self.sk.arms[side];
            let hinge = self.sk.chest.turned * Vec3::X;
            let bare = matches!(kind, Sleeve::Bare);
            let upper_in = if bare || matches!(kind, Sleeve::Cap) { skin } else { cloth };
            let ease = if bare || matches!(kind, Sleeve::Cap) { 0.92 } else { 1.06 };
            self.carver.limb(
                Limb {
                    from: arm.shoulder,
                    to: arm.elbow,
                    from_m: Vec2::new(upper * 0.98, upper * 1.12) * ease,
                    to_m: Vec2::splat(elbow) * ease,
                    across: hinge,
                    over_m: [upper * 0.24, elbow * 0.5 * ease],
                    roundness: 0.5,
                },
                Part::UpperArm,
                upper_in,
            );
            if matches!(kind, Sleeve::Cap) {
                let to = arm.shoulder.lerp(arm.elbow, 0.30);
                let limb = Limb {
                    from: arm.shoulder,
                    to,
                    from_m: Vec2::new(upper * 0.97, upper * 1.09),
                    to_m: Vec2::splat(upper * 0.99),
                    across: hinge,
                    over_m: [upper * 0.27, 0.0],
                    roundness: 0.46,
                };
                self.carver.limb(limb, Part::UpperArm, cloth);
            }
            let (fore, from_m, to_m, ease) = match kind {
                Sleeve::Long => (cloth, elbow, wrist * 1.12, 1.04),
                Sleeve::Wide => (cloth, elbow * 1.1, wrist * 3.1, 1.0),
                Sleeve::Bare | Sleeve::Cap | Sleeve::Short => (skin, elbow, wrist, 0.92),
            };
            let across = arm.palm.cross(arm.fingers).normalize_or(hinge);
            self.carver.limb(
                Limb {
                    from: arm.elbow,
                    to: arm.wrist,
                    from_m: Vec2::splat(from_m) * ease,
                    to_m: Vec2::new(to_m, if matches!(kind, Sleeve::Wide) { wrist * 2.0 } else { to_m * 0.86 }) * ease,
                    across,
                    over_m: [from_m * 0.5 * ease, 0.006],
                    roundness: if matches!(kind, Sleeve::Wide) { 0.34 } else { 0.48 },
                },
                Part::Forearm,
                fore,
            );
        }
    }

    pub fn cuffs(&mut self, material: Material) {
        let wrist = self.body.arm_thick[2];
        for side in 0..2 {
            let arm = self.sk.arms[side];
            let from = arm.wrist.lerp(arm.elbow, 0.06);
            let limb = Limb {
                from,
                to: arm.wrist,
                from_m: Vec2::new(wrist * 1.2, wrist * 1.05),
                to_m: Vec2::new(wrist * 1.2, wrist * 1.05),
                across: arm.palm.cross(arm.fingers),
                over_m: [0.004, 0.014],
                roundness: 0.40,
            };
            self.carver.limb(limb, Part::Forearm, material);
        }
    }

    /// Mitts with a thumb.
    pub fn hands(&mut self) {
        let b = self.body;
        let breadth = b.arm_thick[2] * 1.28;
        for (arm, side) in self.sk.arms.into_iter().zip(SIDES) {
            let across = arm.palm.cross(arm.fingers).normalize_or(Vec3::X);
            let palm_end = arm.wrist + arm.fingers * b.hand * 0.50;
            let tip = arm.wrist + arm.fingers * b.hand * 0.86 + arm.palm * b.hand * 0.07;
            let thick = breadth * 0.46;
            self.carver.limb(
                Limb {
                    from: arm.wrist,
                    to: palm_end,
                    from_m: Vec2::new(breadth * 0.78, thick),
                    to_m: Vec2::new(breadth, thick),
                    across,
                    over_m: [0.012, 0.010],
                    roundness: 0.48,
                },
                Part::Hand,
                self.skin,
            );
            self.carver.limb(
                Limb {
                    from: palm_end,
                    to: tip,
                    from_m: Vec2::new(breadth * 0.98, thick * 0.94),
                    to_m: Vec2::new(breadth * 0.74, thick * 0.72),
                    across,
                    over_m: [0.016, 0.0],
                    roundness: 0.48,
                },
                Part::Hand,
                self.skin,
            );
            // The thumb lies on the side of the hand that points forward when the arm hangs.
            let thumb_side = across * -side;
            let root = arm.wrist + arm.fingers * b.hand * 0.14 + thumb_side * breadth * 0.42;
            let end = arm.wrist + arm.fingers * b.hand * 0.50 + thumb_side * breadth * 0.66 + arm.palm * thick * 0.45;
            self.carver.limb(
                Limb {
                    from: root,
                    to: end,
                    from_m: Vec2::splat(breadth * 0.36),
                    to_m: Vec2::splat(breadth * 0.28),
                    across,
                    over_m: [0.004, 0.0],
                    roundness: 0.5,
                },
                Part::Hand,
                self.skin,
            );
        }
    }
}
