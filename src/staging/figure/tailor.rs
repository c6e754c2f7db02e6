//! The tailor: pieces of clothing that several kinds of dress share, cut to a body and its pose.

use super::proportions::Body;
use super::skeleton::{SIDES, Skeleton};
use crate::plan::Colour;
use crate::staging::carve::{Carver, Limb, Place, cut, of, upright};
use crate::staging::tableau::{Finish, Material, Part};
use glam::{Vec2, Vec3};

/// How far chest and hips reach into each other at the waist, of stature.
const WAIST_LAP: f32 = 0.032;

/// The waist is drawn in by this much from front to back, so that chest and hips meet in a clean line.
pub const WAIST_IN: f32 = 0.89;

/// Edge radius of the trunk over its depth.
const TRUNK_ROUND: f32 = 0.32;

pub struct Tailor<'t, 'c> {
    pub carver: &'t mut Carver<'c>,
    pub body: &'t Body,
    pub sk: &'t Skeleton,
    pub skin: Material,
}

impl Tailor<'_, '_> {
    pub fn across(&self) -> Vec3 {
        self.sk.chest.turned * Vec3::X
    }

    pub fn hip_across(&self) -> Vec3 {
        self.sk.pelvis.turned * Vec3::X
    }

    /// Thighs more level than upright: sitting or squatting.
    pub fn seated(&self) -> bool {
        self.sk.legs.iter().all(|leg| (leg.hip.y - leg.knee.y) < 0.6 * self.body.thigh())
    }

    pub fn kneeling(&self) -> bool {
        self.sk.legs.iter().all(|leg| leg.knee.y - self.sk.root.at.y < 0.12 * self.body.stature)
    }

    pub fn neck(&mut self) {
        let t = self.body.neck_thick;
        let base = self.sk.chest.point(Vec3::new(0.0, -0.005 * self.body.stature, 0.0));
        let top = self.sk.head.point(Vec3::new(0.0, 0.22 * self.body.head_height(), 0.03 * self.body.head_height()));
        let limb = Limb {
            from: top,
            to: base,
            from_m: Vec2::new(t, t * 0.98),
            to_m: Vec2::new(t * 1.12, t * 1.08),
            across: self.across(),
            over_m: [0.0; 2],
            roundness: 0.33,
        };
        self.carver.limb(limb, Part::Neck, self.skin);
    }

    /// Chest and shoulders down to the waist.
    pub fn trunk(&mut self, material: Material, ease: f32) {
        self.trunk_part(material, ease, self.body.shoulder_top(), None);
        self.yoke(material, ease);
    }

    /// Sloping shoulders: from the neck out to both arms, wherever the shoulder joints are.
    pub fn yoke(&mut self, material: Material, ease: f32) {
        let b = self.body;
        let h = b.stature;
        let upper = b.arm_thick[0] * ease;
        for (side, arm) in SIDES.into_iter().zip(self.sk.arms) {
            let limb = Limb {
                from: self.sk.chest.point(Vec3::new(side * 0.016 * h, 0.011 * h, 0.004 * h)),
                to: arm.shoulder - self.sk.chest.turned * Vec3::Y * 0.010 * h,
                from_m: Vec2::new(b.chest.y * 0.82, 0.052 * h) * ease,
                to_m: Vec2::new(upper * 1.02, upper * 0.86),
                across: self.sk.chest.turned * Vec3::Z,
                over_m: [0.0, upper * 0.38],
                roundness: 0.5,
            };
            self.carver.limb(limb, Part::Torso, material);
        }
    }

    /// The part of the chest between two heights over the shoulder line (`None`: the waist and on into the hips).
    pub fn trunk_part(&mut self, material: Material, ease: f32, high: f32, low: Option<f32>) {
        let b = self.body;
        let waist_y = -(b.spine() - b.waist_over_hip());
        let low_y = low.unwrap_or(waist_y);
        let full = b.shoulder_top() - waist_y;
        let waist = b.waist * Vec2::new(1.0, WAIST_IN);
        let size = |y: f32| waist.lerp(b.chest, ((y - waist_y) / full).clamp(0.0, 1.0)) * ease;
        let over = if low.is_none() { WAIST_LAP * b.stature } else { 0.0 };
        let limb = Limb {
            from: self.sk.chest.point(Vec3::Y * high),
            to: self.sk.chest.point(Vec3::Y * low_y),
            from_m: size(high),
            to_m: size(low_y),
            across: self.across(),
            over_m: [0.0; 2],
            roundness: TRUNK_ROUND,
        };
        let limb = limb.carried_on([0.0, over]);
        // An end that hides in the hips is a little thinner yet, for trunks that turn or lean on them.
        let hides = if low.is_none() { 0.95 } else { 1.0 };
        self.carver.limb(Limb { to_m: limb.to_m * hides, ..limb }, Part::Torso, material);
    }

    /// Front of the chest at a height over the shoulder line (chest space z).
    pub fn front(&self, y: f32, ease: f32) -> f32 {
        let b = self.body;
        let waist_y = -(b.spine() - b.waist_over_hip());
        let t = ((y - waist_y) / (b.shoulder_top() - waist_y)).clamp(0.0, 1.0);
        let waist = b.waist.y * WAIST_IN;
        -(waist + (b.chest.y - waist) * t) * ease * 0.5
    }

    /// Waist to the hips' lower edge, `down` (of stature) under the hip joints: wide and deep enough there for both
    /// thighs, wherever a stride has them.
    pub fn hips(&mut self, material: Material, ease: f32, down: f32) {
        let b = self.body;
        let h = b.stature;
        let down = if self.seated() { down.min(0.035) } else { down };
        let [front, back, side] = self.thighs_at(down * h);
        let hips = b.hips * ease * 0.5 + Vec2::splat(0.004 * h);
        let (front, back) = (front.min(-hips.y), back.max(hips.y));
        let limb = Limb {
            from: self.sk.waist,
            to: self.sk.pelvis.point(Vec3::new(0.0, -down * h, (front + back) * 0.5)),
            from_m: b.waist * Vec2::new(ease, ease * WAIST_IN),
            to_m: Vec2::new(2.0 * hips.x.max(side), back - front),
            across: self.hip_across() + self.across(),
            over_m: [0.0; 2],
            roundness: 0.33,
        };
        self.carver.limb(limb.carried_on([1.2 * WAIST_LAP * h, 0.0]), Part::Pelvis, material);
    }

    /// The seat of trousers, as close as the thighs under it.
    pub fn seat(&mut self, material: Material, ease: f32) {
        let b = self.body;
        let limb = Limb {
            from: self.sk.waist,
            to: self.sk.pelvis.point(Vec3::Y * (-0.036 * b.stature)),
            from_m: b.waist * Vec2::new(ease, ease * WAIST_IN),
            to_m: Vec2::new(2.0 * b.leg_x + b.leg_thick[0] * 1.04, b.hips.y * ease),
            across: self.hip_across(),
            over_m: [0.0; 2],
            roundness: 0.44,
        };
        self.carver.limb(limb.carried_on([1.2 * WAIST_LAP * b.stature, 0.0]), Part::Pelvis, material);
    }

    /// Front, back and outer side of both trousered thighs at `down_m` under the hip joints, in pelvis space. Thighs
    /// that leave the hips level are let go.
    fn thighs_at(&self, down_m: f32) -> [f32; 3] {
        let b = self.body;
        let most = 0.125 * b.stature;
        let mut span = [0.0_f32, 0.0, 0.0];
        for leg in self.sk.legs {
            let hip = self.sk.pelvis.local(leg.hip);
            let way = self.sk.pelvis.local(leg.knee) - hip;
            let steep = -way.y / way.length().max(1e-3);
            if steep < 0.5 {
                continue;
            }
            let share = (down_m / -way.y).clamp(0.0, 1.0);
            let at = hip + way * share;
            let thick = b.leg_thick[0] + (b.leg_thick[1] - b.leg_thick[0]) * share;
            let half = thick * 0.5 * 1.14 / steep + 0.006 * b.stature;
            span[0] = span[0].min((at.z - half).max(-most));
            span[1] = span[1].max((at.z + half).min(most));
            span[2] = span[2].max(at.x.abs() + thick * 0.5 * 1.05 + 0.004 * b.stature);
        }
        span
    }

    /// A band round the waist, close to what is under it.
    pub fn belt(&mut self, material: Material, ease: f32) {
        // Sitting, the trunk folds over it.
        if self.seated() {
            return;
        }
        let b = self.body;
        let size = b.waist.lerp(b.hips, 0.05) * Vec2::new(1.0, 0.5 + 0.5 * WAIST_IN) * ease;
        let place = Place::new(self.sk.waist, self.sk.pelvis.turned).moved(Vec3::Y * 0.002 * b.stature);
        self.carver.ring(place, size, size.min_element() * TRUNK_ROUND, 0.032 * b.stature, Part::Pelvis, material);
    }

    pub fn collar(&mut self, material: Material) {
        let b = self.body;
        let t = b.neck_thick;
        let place = self.sk.chest.moved(Vec3::new(0.0, 0.033 * b.stature, -0.002 * b.stature));
        let collar = cut(t * 1.20, 0.024 * b.stature, t * 1.20).top(0.90, 0.90).round(0.012 * b.stature);
        self.carver.add(place, collar, Part::Torso, material);
    }

    pub fn stand_collar(&mut self, material: Material) {
        let b = self.body;
        let t = b.neck_thick;
        let place = self.sk.chest.moved(Vec3::new(0.0, 0.038 * b.stature, 0.0));
        let collar = cut(t * 1.25, 0.032 * b.stature, t * 1.24).round(0.01 * b.stature);
        self.carver.add(place, collar, Part::Torso, material);
    }

    /// How far the rounded top of the chest lies behind its front plane.
    fn chest_falls_back(&self, y: f32, ease: f32) -> f32 {
        let r = self.body.waist.y.min(self.body.chest.y) * ease * TRUNK_ROUND * 1.05;
        let over = (y - (self.body.shoulder_top() - r)).clamp(0.0, r);
        r - (r * r - over * over).sqrt()
    }

    /// A strip down the front, from the neck to `low` (of stature, over the shoulder line).
    pub fn front_strip(&mut self, material: Material, width: f32, low: f32, ease: f32) {
        let h = self.body.stature;
        let (high, low) = (-0.012 * h, low * h);
        self.panel(material, [width * h, width * h], high, low, 0.0, 0.0, ease, 0.004);
    }

    pub fn placket(&mut self, material: Material) {
        self.front_strip(material, 0.016, -0.19, 1.03);
    }

    /// A thin piece on the chest from height `high` to `low` (chest space): widths at both ends, its middle at `x`
    /// above and below, standing out by `proud` of stature.
    #[allow(clippy::too_many_arguments)]
    pub fn panel(
        &mut self,
        material: Material,
        widths: [f32; 2],
        high: f32,
        low: f32,
        x_high: f32,
        x_low: f32,
        ease: f32,
        proud: f32,
    ) {
        let h = self.body.stature;
        let thick = 0.014 * h;
        let z = |y: f32| self.front(y, ease) + self.chest_falls_back(y, ease) + thick * 0.5 - proud * h;
        let (a, b) = (Vec3::new(x_high, high, z(high)), Vec3::new(x_low, low, z(low)));
        let place = self.sk.chest.moved((a + b) * 0.5);
        let turned = upright(a - b, Vec3::X);
        let piece =
            cut(widths[1], a.distance(b), thick).top(widths[0] / widths[1], 1.0).turned(turned).round(0.003 * h);
        self.carver.add(place, piece, Part::Torso, material);
    }

    /// The V of a jacket: what is worn under it, and the two lapels.
    pub fn lapels(&mut self, lapel: Colour, under: Colour) {
        let h = self.body.stature;
        let (high, low) = (-0.017 * h, -0.135 * h);
        let under = of(Finish::Cloth, under);
        self.panel(under, [0.070 * h, 0.010 * h], high, low, 0.0, 0.0, 1.06, 0.002);
        // From the neck down into the V.
        let throat = Limb {
            from: self.sk.chest.point(Vec3::new(0.0, 0.030 * h, -0.022 * h)),
            to: self.sk.chest.point(Vec3::new(0.0, high, self.front(high, 1.06) + 0.005 * h)),
            from_m: Vec2::new(0.050 * h, 0.018 * h),
            to_m: Vec2::new(0.062 * h, 0.014 * h),
            across: self.across(),
            over_m: [0.0; 2],
            roundness: 0.3,
        };
        self.carver.limb(throat, Part::Torso, under);
        for side in SIDES {
            let (top, bottom) = (side * 0.040 * h, side * 0.010 * h);
            self.panel(of(Finish::Cloth, lapel), [0.032 * h, 0.017 * h], high, low, top, bottom, 1.06, 0.0055);
            // Its upper part lies round the neck.
            let collar = Limb {
                from: self.sk.chest.point(Vec3::new(side * 0.034 * h, 0.034 * h, -0.020 * h)),
                to: self.sk.chest.point(Vec3::new(top, high, self.front(high, 1.06) + 0.0005 * h)),
                from_m: Vec2::new(0.020 * h, 0.018 * h),
                to_m: Vec2::new(0.032 * h, 0.014 * h),
                across: self.across(),
                over_m: [0.0, 0.002 * h],
                roundness: 0.25,
            };
            self.carver.limb(collar, Part::Torso, of(Finish::Cloth, lapel));
        }
    }
}

impl Body {
    /// Top of the chest block over the shoulder line.
    pub fn shoulder_top(&self) -> f32 {
        0.018 * self.stature
    }
}
