//! The tailor: pieces of clothing that several kinds of dress share, cut to a body and its pose.

use super::proportions::Body;
use super::skeleton::{SIDES, Skeleton};
use crate::plan::Colour;
use crate::staging::carve::{Carver, Limb, Place, cut, of, upright};
use crate::staging::tableau::{Finish, Material, Part};
use glam::{Vec2, Vec3};

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

    /// Chest from the shoulders to the waist.
    pub fn trunk(&mut self, material: Material, ease: f32) {
        self.trunk_part(material, ease, self.body.shoulder_top(), None);
        self.yoke(material, ease);
        self.waist(material, ease);
    }

    /// Bridges the chest and what is below it, so that no groove shows where the trunk bends.
    pub fn waist(&mut self, material: Material, ease: f32) {
        let b = self.body;
        let h = b.stature;
        let waist_y = b.spine() - b.waist_over_hip();
        let size = b.waist.lerp(b.chest, 0.05 * h / (waist_y + b.shoulder_top()));
        let limb = Limb {
            from: self.sk.waist + (self.sk.chest.at - self.sk.waist).normalize_or(Vec3::Y) * 0.05 * h,
            to: self.sk.waist + (self.sk.pelvis.at - self.sk.waist).normalize_or(Vec3::NEG_Y) * 0.045 * h,
            from_m: size * ease * 0.995,
            to_m: b.waist.lerp(b.hips, 0.38) * ease * 0.995,
            across: self.across(),
            over_m: [0.0; 2],
            roundness: 0.10,
        };
        self.carver.limb(limb, Part::Torso, material);
    }

    /// Sloping shoulders: from the neck out over the arms.
    pub fn yoke(&mut self, material: Material, ease: f32) {
        let b = self.body;
        let h = b.stature;
        let t = b.neck_thick;
        let low = Vec2::new(2.0 * b.arm_x * 1.02, b.chest.y * 0.84) * ease;
        let limb = Limb {
            from: self.sk.chest.point(Vec3::new(0.0, 0.036 * h, 0.004 * h)),
            to: self.sk.chest.point(Vec3::new(0.0, -0.024 * h, 0.0)),
            from_m: Vec2::new(t * 1.30, t * 1.16) * ease,
            to_m: low,
            across: self.across(),
            over_m: [0.0; 2],
            roundness: 0.30,
        };
        self.carver.limb(limb, Part::Torso, material);
    }

    /// The part of the chest between two heights over the shoulder line (`None`: the waist).
    pub fn trunk_part(&mut self, material: Material, ease: f32, high: f32, low: Option<f32>) {
        let b = self.body;
        let waist_y = -(b.spine() - b.waist_over_hip());
        let low_y = low.unwrap_or(waist_y);
        let full = b.shoulder_top() - waist_y;
        let size = |y: f32| b.waist.lerp(b.chest, ((y - waist_y) / full).clamp(0.0, 1.0)) * ease;
        let over = if low.is_none() { 0.018 * b.stature } else { 0.0 };
        let limb = Limb {
            from: self.sk.chest.point(Vec3::Y * high),
            to: self.sk.chest.point(Vec3::Y * low_y),
            from_m: size(high),
            to_m: size(low_y),
            across: self.across(),
            over_m: [0.0, over],
            roundness: 0.20,
        };
        self.carver.limb(limb, Part::Torso, material);
    }

    /// Front of the chest at a height over the shoulder line (chest space z).
    pub fn front(&self, y: f32, ease: f32) -> f32 {
        let b = self.body;
        let waist_y = -(b.spine() - b.waist_over_hip());
        let t = ((y - waist_y) / (b.shoulder_top() - waist_y)).clamp(0.0, 1.0);
        -(b.waist.y + (b.chest.y - b.waist.y) * t) * ease * 0.5
    }

    /// Waist to the hips' lower edge, `down` (of stature) under the hip joints.
    pub fn hips(&mut self, material: Material, ease: f32, down: f32) {
        let b = self.body;
        let down = if self.seated() { down.min(0.035) } else { down };
        let limb = Limb {
            from: self.sk.waist,
            to: self.sk.pelvis.point(Vec3::Y * (-down * b.stature)),
            from_m: b.waist * ease,
            to_m: b.hips * ease,
            across: self.hip_across(),
            over_m: [0.02 * b.stature, 0.0],
            roundness: 0.24,
        };
        self.carver.limb(limb, Part::Pelvis, material);
    }

    pub fn belt(&mut self, material: Material, ease: f32) {
        // Sitting, the trunk folds over it.
        if self.seated() {
            return;
        }
        let b = self.body;
        let place = Place::new(self.sk.waist, self.sk.pelvis.turned);
        let size = b.waist.lerp(b.hips, 0.18) * ease;
        let belt = cut(size.x, 0.022 * b.stature, size.y).at(0.0, -0.018 * b.stature, 0.0).round(0.012 * b.stature);
        self.carver.add(place, belt, Part::Pelvis, material);
    }

    pub fn collar(&mut self, material: Material) {
        let b = self.body;
        let t = b.neck_thick;
        let place = self.sk.chest.moved(Vec3::new(0.0, 0.036 * b.stature, -0.002 * b.stature));
        let collar = cut(t * 1.36, 0.028 * b.stature, t * 1.32).top(0.86, 0.86).round(0.009 * b.stature);
        self.carver.add(place, collar, Part::Torso, material);
    }

    pub fn stand_collar(&mut self, material: Material) {
        let b = self.body;
        let t = b.neck_thick;
        let place = self.sk.chest.moved(Vec3::new(0.0, 0.038 * b.stature, 0.0));
        let collar = cut(t * 1.25, 0.032 * b.stature, t * 1.24).round(0.01 * b.stature);
        self.carver.add(place, collar, Part::Torso, material);
    }

    /// A strip down the front, from the neck to `low` (of stature, over the shoulder line).
    pub fn front_strip(&mut self, material: Material, width: f32, low: f32, ease: f32) {
        let h = self.body.stature;
        let (high, low) = (-0.004 * h, low * h);
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
        let z = |y: f32| self.front(y, ease) + thick * 0.5 - proud * h;
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
        let (high, low) = (0.008 * h, -0.135 * h);
        let under = of(Finish::Cloth, under);
        self.panel(under, [0.070 * h, 0.010 * h], high, low, 0.0, 0.0, 1.06, 0.001);
        for side in SIDES {
            let (top, bottom) = (side * 0.040 * h, side * 0.010 * h);
            self.panel(of(Finish::Cloth, lapel), [0.030 * h, 0.017 * h], high, low, top, bottom, 1.06, 0.0045);
        }
    }
}

impl Body {
    /// Top of the chest block over the shoulder line.
    pub fn shoulder_top(&self) -> f32 {
        0.006 * self.stature
    }
}
