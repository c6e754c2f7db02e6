//! Skirts from knee to floor, standing, striding, kneeling and seated; the train behind a gown.

use super::tailor::{Tailor, WAIST_IN};
use crate::staging::carve::Limb;
use crate::staging::tableau::{Material, Part};
use glam::{Vec2, Vec3};

impl Tailor<'_, '_> {
    /// From the waist to `hem` (of stature over the floor), `wide` × `deep` (of stature) at the hem.
    pub fn skirt(&mut self, material: Material, hem: f32, wide: f32, deep: f32) {
        let b = self.body;
        let h = b.stature;
        let floor = self.sk.root.at.y;
        let across = self.hip_across();
        let kneeling = self.kneeling();
        let upright = if kneeling { 1.0 } else { self.upright() };
        if upright < 1.0 {
            self.seated_skirt(material, hem, Vec2::new(wide, deep), upright);
            return;
        }
        // Over the hips, then straight to the hem.
        let knees = (self.sk.legs[0].knee + self.sk.legs[1].knee) * 0.5;
        let feet = (self.sk.legs[0].ankle + self.sk.legs[1].ankle) * 0.5;
        let hem_y = if kneeling { floor + 0.006 } else { floor + hem * h };
        let under = if kneeling { knees } else { feet };
        let mut hem_at = Vec3::new(under.x, hem_y, under.z);
        let hips_at = self.sk.pelvis.point(Vec3::Y * -0.02 * h);
        // A stride opens the skirt; a long one hides the shoes.
        let ahead = self.sk.root.turned * Vec3::NEG_Z;
        let toes = if hem < 0.05 && !kneeling { b.foot_length * 0.74 } else { 0.0 };
        let stride = self.sk.legs.iter().map(|leg| {
            let out = (leg.at_height(hem_y) - hem_at).dot(ahead);
            (out + toes).max(0.3 * toes - out)
        });
        let stride = stride.fold(0.0, f32::max) + if toes > 0.0 { 0.012 * h } else { b.leg_thick[1] * 0.75 };
        let mut low = Vec2::new(wide * h, (deep * h).max(2.0 * stride));
        let skirt =
            |from, to, from_m, to_m, roundness| Limb { from, to, from_m, to_m, across, over_m: [0.0; 2], roundness };
        let hips = b.hips * 1.06;
        let over_hips = skirt(self.sk.waist, hips_at, b.waist * Vec2::new(1.05, 1.05 * WAIST_IN), hips, 0.34)
            .carried_on([0.036 * h, 0.0]);
        self.carver.limb(over_hips, Part::Pelvis, material);
        // The skirt itself begins inside that.
        let begins = self.sk.waist.lerp(hips_at, 0.45);
        // A knee that comes forward takes the front of the skirt with it.
        let taken = self.sk.legs.iter().map(|leg| {
            let share = (begins.y - leg.knee.y) / (begins.y - hem_at.y).max(1e-3);
            let out = (leg.knee - begins.lerp(hem_at, share)).dot(ahead) + b.leg_thick[1] * 0.62;
            let cloth = b.hips.y * 0.5 + (low.y - b.hips.y) * 0.5 * share;
            if (0.2..1.0).contains(&share) { (out - cloth) / share } else { 0.0 }
        });
        let taken = taken.fold(0.0, f32::max);
        low.y += taken;
        hem_at += ahead * (taken * 0.5);
        // Wide enough there to come out of the hips without a ledge: as wide as they are where they end.
        let (to_hips, to_hem) = (begins.distance(hips_at), begins.distance(hem_at));
        let share = (to_hips / to_hem.max(1e-3)).min(0.5);
        let flush = (hips - low * share) / (1.0 - share);
        let slim = b.waist.lerp(b.hips, 0.45).max(b.waist.lerp(b.hips, 0.45).lerp(flush, 0.6));
        self.carver.limb(skirt(begins, hem_at, slim, low, 0.30), Part::Skirt, material);
        if wide > 0.27 {
            // A twin turned by an eighth shows as folds.
            let eighth = (across + self.sk.root.turned * Vec3::Z).normalize();
            let even = Vec2::splat((low.x + low.y) * 0.5);
            let folds = Limb { across: eighth, ..skirt(begins, hem_at, Vec2::splat(slim.y * 0.70), even * 0.95, 0.30) };
            self.carver.limb(folds, Part::Skirt, material);
        }
        if kneeling && hem < 0.2 {
            let back = self.sk.root.turned * Vec3::Z;
            let limb = Limb {
                from: hips_at,
                to: hem_at + back * b.shin() * 0.8 + Vec3::Y * 0.05 * h,
                from_m: hips,
                to_m: Vec2::new(low.x, 0.10 * h),
                across,
                over_m: [0.0; 2],
                roundness: 0.3,
            };
            self.carver.limb(limb, Part::Skirt, material);
        }
    }

    /// 1 as in standing and walking, 0 as in sitting: by how far both knees are before the hips.
    fn upright(&self) -> f32 {
        let ahead = self.sk.pelvis.turned * Vec3::NEG_Z;
        let ahead = Vec3::new(ahead.x, 0.0, ahead.z).normalize_or(Vec3::NEG_Z);
        let out: f32 = self.sk.legs.iter().map(|leg| (leg.knee - leg.hip).dot(ahead)).sum();
        ((0.84 - out * 0.5 / self.body.thigh()) / (0.84 - 0.28)).clamp(0.0, 1.0)
    }

    /// Over thighs and knees; `upright` brings it to the standing skirt of the given width and depth (of stature).
    fn seated_skirt(&mut self, material: Material, hem: f32, size: Vec2, upright: f32) {
        let b = self.body;
        let h = b.stature;
        let floor = self.sk.root.at.y;
        let across = self.hip_across();
        let knees = (self.sk.legs[0].knee + self.sk.legs[1].knee) * 0.5;
        let apart = self.sk.legs[0].knee.distance(self.sk.legs[1].knee);
        let lap = apart + b.leg_thick[1] * 1.35;
        let hips_at = self.sk.pelvis.at;
        let ankles = (self.sk.legs[0].ankle + self.sk.legs[1].ankle) * 0.5;
        let hem_y = floor + hem * h;
        // How wide the standing skirt is where the knees are.
        let share = (b.hip - b.knee) / (b.hip - hem * h).max(b.hip - b.knee);
        let cone = |share: f32| (b.hips * 1.06).lerp(size * h, share);
        let stands = |seated: Vec2, share: f32| seated.lerp(cone(share), upright);
        let limb = |from, to, from_m, to_m, over_m| Limb { from, to, from_m, to_m, across, over_m, roundness: 0.42 };
        self.carver.limb(
            limb(self.sk.waist, hips_at, b.waist * Vec2::new(1.0, WAIST_IN), b.hips * 1.02, [0.01, 0.03 * h]),
            Part::Pelvis,
            material,
        );
        self.carver.limb(
            limb(
                hips_at,
                knees,
                stands(Vec2::new(b.hips.x * 1.10, b.leg_thick[0] * 1.15), 0.0),
                stands(Vec2::new(lap, b.leg_thick[1] * 1.25), share),
                [0.02 * h, b.leg_thick[1] * 0.55],
            ),
            Part::Skirt,
            material,
        );
        // What hangs over the knees.
        if hem_y < knees.y - 0.06 * (1.0 - upright) {
            let share_down = ((knees.y - hem_y) / (knees.y - ankles.y).max(0.05)).min(1.05);
            let mut to = knees.lerp(ankles, share_down.min(1.0));
            to.y = hem_y.max(floor + 0.006);
            let low = Vec2::new((size.x * 0.75 * h).max(lap), b.leg_thick[1] * 1.9);
            let top = stands(Vec2::new(lap, b.leg_thick[1] * 1.5), share);
            self.carver.limb(limb(knees, to, top, stands(low, 1.0), [0.01, 0.0]), Part::Skirt, material);
        }
    }

    pub fn train(&mut self, material: Material) {
        if self.seated() || self.kneeling() {
            return;
        }
        let h = self.body.stature;
        let feet = (self.sk.legs[0].ankle + self.sk.legs[1].ankle) * 0.5;
        let floor = self.sk.root.at.y;
        let back = self.sk.root.turned * Vec3::Z;
        let at = |out: f32, y: f32| Vec3::new(feet.x, floor + y, feet.z) + back * out;
        let across = self.sk.root.turned * Vec3::X;
        let low = |from, to, from_m, to_m| Limb { from, to, from_m, to_m, across, over_m: [0.02, 0.0], roundness: 0.4 };
        let (rise, spread) = (Vec2::new(0.30 * h, 0.10 * h), Vec2::new(0.37 * h, 0.06 * h));
        self.carver.limb(low(at(0.10 * h, 0.20 * h), at(0.25 * h, 0.040 * h), rise, spread), Part::Skirt, material);
        let end = Vec2::new(0.44 * h, 0.022);
        self.carver.limb(low(at(0.23 * h, 0.036 * h), at(0.50 * h, 0.016), spread, end), Part::Skirt, material);
    }
}
