//! Clothes: every kind of dress as blocks over the skeleton.
//!
//! What `second` colours: suit – tie; gown and dress – sash; robe – stole; shirt – trousers; skirt – the skirt;
//! tunic – trousers and trim; wrap – blouse.

use super::proportions::Body;
use super::skeleton::{Leg, SIDES, Skeleton};
use crate::plan::{Clothes, ClothesKind, Looks};
use crate::staging::carve::{Carver, Limb, Place, cut, mix, of, rgb, shade, upright};
use crate::staging::chance::Chance;
use crate::staging::tableau::{Finish, Material, Part};
use glam::{Quat, Vec2, Vec3};

/// The body below the neck, dressed.
pub fn carve_dress(carver: &mut Carver, body: &Body, sk: &Skeleton, looks: &Looks, clothes: &Clothes, chance: Chance) {
    let skin = of(Finish::Skin, looks.skin);
    let mut tailor = Tailor { carver, body, sk, skin };
    tailor.neck();
    let main = clothes.main;
    let second = clothes.second;
    let cloth = of(Finish::Cloth, main);
    match clothes.kind {
        ClothesKind::Suit => tailor.suit(main, second),
        ClothesKind::Gown => tailor.gown(main, second, chance),
        ClothesKind::Dress => tailor.dress(main, second, chance),
        ClothesKind::Robe => tailor.robe(main, second),
        ClothesKind::Shirt => {
            let short = chance.unit("short sleeves") < 0.3;
            tailor.trunk(cloth, 1.03);
            tailor.hips(of(Finish::Cloth, second), 1.0, 0.045);
            tailor.belt(of(Finish::Leather, rgb(0.16, 0.11, 0.08)), 1.04);
            tailor.collar(cloth);
            tailor.placket(of(Finish::Cloth, shade(main, 0.90)));
            tailor.sleeves(cloth, if short { Sleeve::Short } else { Sleeve::Long });
            tailor.trousers(of(Finish::Cloth, second));
            tailor.shoes(rgb(0.22, 0.15, 0.11));
        }
        ClothesKind::Skirt => {
            tailor.trunk(cloth, 1.04);
            tailor.lapels(shade(main, 0.86), mix(main, rgb(0.95, 0.93, 0.9), 0.8));
            tailor.sleeves(cloth, Sleeve::Long);
            let skirt = of(Finish::Cloth, second);
            tailor.skirt(skirt, 0.26, 0.235, 0.205);
            tailor.hips(cloth, 1.06, 0.0);
            tailor.bare_legs(0.27);
            tailor.shoes(shade(second, 0.6));
        }
        ClothesKind::Tunic => {
            let trim = of(Finish::Satin, mix(second, rgb(0.80, 0.66, 0.36), 0.4));
            tailor.trousers(of(Finish::Cloth, second));
            tailor.trunk(cloth, 1.05);
            tailor.skirt(cloth, 0.29, 0.235, 0.185);
            tailor.front_strip(trim, 0.024, -0.17, 1.05);
            tailor.stand_collar(trim);
            tailor.sleeves(cloth, Sleeve::Long);
            tailor.cuffs(trim);
            tailor.shoes(rgb(0.30, 0.20, 0.13));
        }
        ClothesKind::Wrap => tailor.wrap(main, second),
    }
    tailor.hands();
}

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
    let fall = |from: Vec3, to: Vec3, from_m: Vec2, to_m: Vec2| Limb {
        from,
        to,
        from_m,
        to_m,
        across,
        over_m: [0.01; 2],
        roundness: 0.3,
    };
    carver.limb(
        fall(crown + back * 0.30 * u, shoulders, Vec2::new(0.72 * u, 0.035), Vec2::new(0.24 * h, 0.045)),
        Part::Veil,
        tulle,
    );
    carver.limb(fall(shoulders, low, Vec2::new(0.24 * h, 0.045), Vec2::new(0.42 * h, 0.06)), Part::Veil, tulle);
}

enum Sleeve {
    Bare,
    Cap,
    Short,
    Long,
    Wide,
}

struct Tailor<'t, 'c> {
    carver: &'t mut Carver<'c>,
    body: &'t Body,
    sk: &'t Skeleton,
    skin: Material,
}

impl Tailor<'_, '_> {
    fn across(&self) -> Vec3 {
        self.sk.chest.turned * Vec3::X
    }

    fn hip_across(&self) -> Vec3 {
        self.sk.pelvis.turned * Vec3::X
    }

    /// Thighs more level than upright: sitting or squatting.
    fn seated(&self) -> bool {
        self.sk.legs.iter().all(|leg| (leg.hip.y - leg.knee.y) < 0.6 * self.body.thigh())
    }

    fn kneeling(&self) -> bool {
        self.sk.legs.iter().all(|leg| leg.knee.y - self.sk.root.at.y < 0.12 * self.body.stature)
    }

    fn neck(&mut self) {
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
    fn trunk(&mut self, material: Material, ease: f32) {
        self.trunk_part(material, ease, self.body.shoulder_top(), None);
    }

    /// The part of the chest between two heights over the shoulder line (`None`: the waist).
    fn trunk_part(&mut self, material: Material, ease: f32, high: f32, low: Option<f32>) {
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
            roundness: 0.26,
        };
        self.carver.limb(limb, Part::Torso, material);
    }

    /// Front of the chest at a height over the shoulder line (chest space z).
    fn front(&self, y: f32, ease: f32) -> f32 {
        let b = self.body;
        let waist_y = -(b.spine() - b.waist_over_hip());
        let t = ((y - waist_y) / (b.shoulder_top() - waist_y)).clamp(0.0, 1.0);
        -(b.waist.y + (b.chest.y - b.waist.y) * t) * ease * 0.5
    }

    /// Waist to the hips' lower edge, `down` (of stature) under the hip joints.
    fn hips(&mut self, material: Material, ease: f32, down: f32) {
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

    fn belt(&mut self, material: Material, ease: f32) {
        let b = self.body;
        let place = Place::new(self.sk.waist, self.sk.pelvis.turned);
        let size = b.waist.lerp(b.hips, 0.18) * ease;
        let belt = cut(size.x, 0.022 * b.stature, size.y).at(0.0, -0.018 * b.stature, 0.0).round(0.012 * b.stature);
        self.carver.add(place, belt, Part::Pelvis, material);
    }

    fn collar(&mut self, material: Material) {
        let b = self.body;
        let t = b.neck_thick;
        let place = self.sk.chest.moved(Vec3::new(0.0, b.shoulder_top() + 0.004 * b.stature, -0.004 * b.stature));
        let collar = cut(t * 1.42, 0.030 * b.stature, t * 1.38).top(0.86, 0.86).round(0.009 * b.stature);
        self.carver.add(place, collar, Part::Torso, material);
    }

    fn stand_collar(&mut self, material: Material) {
        let b = self.body;
        let t = b.neck_thick;
        let place = self.sk.chest.moved(Vec3::new(0.0, b.shoulder_top() + 0.006 * b.stature, -0.002 * b.stature));
        let collar = cut(t * 1.25, 0.032 * b.stature, t * 1.24).round(0.01 * b.stature);
        self.carver.add(place, collar, Part::Torso, material);
    }

    /// A strip down the front, from the neck to `low` (of stature, over the shoulder line).
    fn front_strip(&mut self, material: Material, width: f32, low: f32, ease: f32) {
        let h = self.body.stature;
        let (high, low) = (-0.004 * h, low * h);
        self.panel(material, [width * h, width * h], high, low, 0.0, 0.0, ease, 0.004);
    }

    fn placket(&mut self, material: Material) {
        self.front_strip(material, 0.016, -0.19, 1.03);
    }

    /// A thin piece on the chest from height `high` to `low` (chest space): widths at both ends, its middle at `x`
    /// above and below, standing out by `proud` of stature.
    #[allow(clippy::too_many_arguments)]
    fn panel(
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
    fn lapels(&mut self, lapel: crate::plan::Colour, under: crate::plan::Colour) {
        let h = self.body.stature;
        let (high, low) = (0.004 * h, -0.135 * h);
        let under = of(Finish::Cloth, under);
        self.panel(under, [0.070 * h, 0.010 * h], high, low, 0.0, 0.0, 1.06, 0.001);
        for side in SIDES {
            let (top, bottom) = (side * 0.040 * h, side * 0.010 * h);
            self.panel(of(Finish::Cloth, lapel), [0.030 * h, 0.017 * h], high, low, top, bottom, 1.06, 0.0045);
        }
    }

    fn sleeves(&mut self, cloth: Material, kind: Sleeve) {
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
                    over_m: [upper * 0.42, elbow * 0.30],
                    roundness: 0.36,
                },
                Part::UpperArm,
                upper_in,
            );
            if matches!(kind, Sleeve::Cap) {
                let to = arm.shoulder.lerp(arm.elbow, 0.34);
                let limb = Limb {
                    from: arm.shoulder,
                    to,
                    from_m: Vec2::new(upper * 1.04, upper * 1.16),
                    to_m: Vec2::splat(upper * 1.12),
                    across: hinge,
                    over_m: [upper * 0.48, 0.0],
                    roundness: 0.30,
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
                    over_m: [elbow * 0.34, 0.006],
                    roundness: 0.36,
                },
                Part::Forearm,
                fore,
            );
        }
    }

    fn cuffs(&mut self, material: Material) {
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
                roundness: 0.25,
            };
            self.carver.limb(limb, Part::Forearm, material);
        }
    }

    /// Mitts with a thumb.
    fn hands(&mut self) {
        let b = self.body;
        let breadth = b.arm_thick[2] * 1.28;
        for side in 0..2 {
            let arm = self.sk.arms[side];
            let across = arm.palm.cross(arm.fingers).normalize_or(Vec3::X);
            let palm_end = arm.wrist + arm.fingers * b.hand * 0.50;
            let tip = arm.wrist + arm.fingers * b.hand * 0.86 + arm.palm * b.hand * 0.07;
            let thick = breadth * 0.52;
            self.carver.limb(
                Limb {
                    from: arm.wrist,
                    to: palm_end,
                    from_m: Vec2::new(breadth * 0.78, thick),
                    to_m: Vec2::new(breadth, thick),
                    across,
                    over_m: [0.008, 0.004],
                    roundness: 0.36,
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
                    over_m: [0.012, 0.0],
                    roundness: 0.40,
                },
                Part::Hand,
                self.skin,
            );
            // The thumb lies on the side of the hand that points forward when the arm hangs.
            let thumb_side = across * -SIDES[side];
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
                    roundness: 0.42,
                },
                Part::Hand,
                self.skin,
            );
        }
    }

    fn legs(&mut self, material: Material, ease: f32, from: f32, to_ankle: f32, part: [Part; 2]) {
        let b = self.body;
        let [thigh, knee, ankle] = b.leg_thick;
        for leg in self.sk.legs {
            let across = self.hip_across();
            let start = leg.hip.lerp(leg.knee, from);
            self.carver.limb(
                Limb {
                    from: start,
                    to: leg.knee,
                    from_m: Vec2::new(thigh, thigh * 1.08) * ease,
                    to_m: Vec2::new(knee, knee * 1.06) * ease,
                    across,
                    over_m: [0.0, knee * 0.32],
                    roundness: 0.33,
                },
                part[0],
                material,
            );
            let end = leg.knee.lerp(leg.ankle, to_ankle);
            self.carver.limb(
                Limb {
                    from: leg.knee,
                    to: end,
                    from_m: Vec2::new(knee, knee * 1.04) * ease,
                    to_m: Vec2::new(ankle, ankle * 1.1) * ease,
                    across,
                    over_m: [knee * 0.34, 0.0],
                    roundness: 0.33,
                },
                part[1],
                material,
            );
        }
    }

    fn trousers(&mut self, material: Material) {
        let b = self.body;
        self.legs(material, 1.03, 0.0, 0.93, [Part::Thigh, Part::Shin]);
        // A straight leg falls over the shoe.
        let [_, knee, ankle] = b.leg_thick;
        for leg in self.sk.legs {
            let limb = Limb {
                from: leg.knee.lerp(leg.ankle, 0.35),
                to: leg.knee.lerp(leg.ankle, 1.03),
                from_m: Vec2::new(knee * 0.98, knee * 1.02),
                to_m: Vec2::new(ankle * 1.36, ankle * 1.56),
                across: self.hip_across(),
                over_m: [0.0; 2],
                roundness: 0.26,
            };
            self.carver.limb(limb, Part::Shin, material);
        }
    }

    /// Legs from under a hem at this height (of stature) down.
    fn bare_legs(&mut self, _hem: f32) {
        self.legs(self.skin, 0.88, 0.45, 1.0, [Part::Thigh, Part::Shin]);
    }

    fn shoes(&mut self, colour: crate::plan::Colour) {
        let b = self.body;
        let leather = of(Finish::Leather, colour);
        for Leg { ankle, foot, .. } in self.sk.legs {
            let place = Place::new(ankle, foot);
            let (length, breadth, high) = (b.foot_length, b.foot_breadth * 1.06, b.ankle);
            // Heel and instep, then the lower front; the ankle stands over the rear third.
            self.carver.add(
                place,
                cut(breadth * 0.86, high * 1.18, length * 0.52)
                    .at(0.0, -high + high * 0.59, length * 0.02)
                    .top(0.86, 0.78)
                    .round(high * 0.30),
                Part::Foot,
                leather,
            );
            self.carver.add(
                place,
                cut(breadth, high * 0.72, length * 0.72)
                    .at(0.0, -high + high * 0.36, -length * 0.37)
                    .top(0.84, 0.92)
                    .round(high * 0.28),
                Part::Foot,
                leather,
            );
        }
    }

    fn suit(&mut self, main: crate::plan::Colour, second: crate::plan::Colour) {
        let h = self.body.stature;
        let cloth = of(Finish::Cloth, main);
        self.trousers(of(Finish::Cloth, shade(main, 0.93)));
        self.trunk(cloth, 1.06);
        self.hips(cloth, 1.08, 0.055);
        self.collar(of(Finish::Cloth, rgb(0.95, 0.95, 0.94)));
        self.lapels(shade(main, 0.80), rgb(0.95, 0.95, 0.94));
        let tie = of(Finish::Satin, second);
        self.panel(tie, [0.014 * h, 0.021 * h], -0.006 * h, -0.120 * h, 0.0, 0.0, 1.06, 0.004);
        self.panel(tie, [0.022 * h, 0.016 * h], 0.012 * h, -0.012 * h, 0.0, 0.0, 1.06, 0.006);
        let button = of(Finish::BlackPlastic, shade(main, 0.5));
        self.panel(button, [0.007 * h; 2], -0.146 * h, -0.153 * h, 0.0, 0.0, 1.06, 0.005);
        self.sleeves(cloth, Sleeve::Long);
        // A strip of shirt cuff.
        self.cuffs(of(Finish::Cloth, rgb(0.95, 0.95, 0.94)));
        self.shoes(rgb(0.10, 0.085, 0.08));
    }

    fn gown(&mut self, main: crate::plan::Colour, second: crate::plan::Colour, chance: Chance) {
        let h = self.body.stature;
        let satin = of(Finish::Satin, main);
        self.trunk_part(self.skin, 0.97, self.body.shoulder_top(), Some(-0.075 * h));
        self.trunk_part(satin, 1.05, -0.050 * h, None);
        for side in SIDES {
            // Straps.
            self.panel(
                satin,
                [0.020 * h, 0.026 * h],
                0.016 * h,
                -0.062 * h,
                side * 0.050 * h,
                side * 0.046 * h,
                1.0,
                0.003,
            );
        }
        self.belt(of(Finish::Satin, second), 1.10);
        self.skirt(satin, 0.008, 0.40, 0.40);
        self.train(satin);
        let cap = chance.unit("cap sleeves") < 0.35;
        self.sleeves(satin, if cap { Sleeve::Cap } else { Sleeve::Bare });
        self.shoes(shade(main, 0.92));
    }

    fn dress(&mut self, main: crate::plan::Colour, second: crate::plan::Colour, chance: Chance) {
        let h = self.body.stature;
        let cloth = of(Finish::Cloth, main);
        self.trunk(cloth, 1.04);
        // A rounded neckline.
        self.panel(self.skin, [0.070 * h, 0.045 * h], 0.006 * h, -0.030 * h, 0.0, 0.0, 1.04, 0.002);
        self.belt(of(Finish::Cloth, second), 1.09);
        let hem = chance.between("hem", 0.20, 0.29);
        self.skirt(cloth, hem, 0.26, 0.235);
        let sleeve = chance.unit("dress sleeves");
        self.sleeves(
            cloth,
            if sleeve < 0.35 {
                Sleeve::Cap
            } else if sleeve < 0.7 {
                Sleeve::Short
            } else {
                Sleeve::Long
            },
        );
        self.bare_legs(hem);
        self.shoes(shade(mix(main, second, 0.5), 0.6));
    }

    fn robe(&mut self, main: crate::plan::Colour, second: crate::plan::Colour) {
        let h = self.body.stature;
        let cloth = of(Finish::Cloth, main);
        self.trunk(cloth, 1.12);
        self.skirt(cloth, 0.035, 0.29, 0.26);
        self.stand_collar(of(Finish::Cloth, rgb(0.95, 0.95, 0.94)));
        let stole = of(Finish::Satin, second);
        for side in SIDES {
            let (a, b) = (side * 0.036 * h, side * 0.042 * h);
            self.panel(stole, [0.030 * h, 0.034 * h], 0.016 * h, -0.185 * h, a, b, 1.12, 0.004);
            // Below the waist it hangs free in front.
            if !self.seated() && !self.kneeling() {
                let from = self.sk.chest.point(Vec3::new(b, -0.180 * h, self.front(-0.18 * h, 1.12) - 0.004 * h));
                let forward = self.sk.root.turned * Vec3::NEG_Z;
                let to = Vec3::new(from.x, self.sk.root.at.y + 0.30 * h, from.z) + forward * 0.048 * h;
                let limb = Limb {
                    from,
                    to,
                    from_m: Vec2::new(0.034 * h, 0.012 * h),
                    to_m: Vec2::new(0.040 * h, 0.012 * h),
                    across: self.hip_across(),
                    over_m: [0.01, 0.0],
                    roundness: 0.2,
                };
                self.carver.limb(limb, Part::Skirt, stole);
            }
        }
        self.sleeves(cloth, Sleeve::Wide);
        self.shoes(rgb(0.10, 0.085, 0.08));
    }

    fn wrap(&mut self, main: crate::plan::Colour, second: crate::plan::Colour) {
        let h = self.body.stature;
        let cloth = of(Finish::Satin, main);
        let border = of(Finish::Satin, mix(second, rgb(0.82, 0.66, 0.34), 0.55));
        let blouse = of(Finish::Cloth, second);
        self.trunk(blouse, 1.02);
        self.sleeves(blouse, Sleeve::Short);
        self.skirt(cloth, 0.012, 0.25, 0.24);
        // Over the left shoulder: a broad band across the chest and another down the back.
        for (front, high) in [(true, 0.020), (false, 0.020)] {
            let z = if front { -1.0 } else { 1.0 };
            let depth = self.body.chest.y * 0.5 + 0.006 * h;
            let a = self.sk.chest.point(Vec3::new(-0.060 * h, high * h, z * depth * 0.86));
            let b = self.sk.chest.point(Vec3::new(0.055 * h, -0.190 * h, z * depth));
            for (cloth, shift, width) in [(cloth, 0.0, 0.105), (border, -0.050, 0.016)] {
                let slide = self.sk.chest.turned * Vec3::new(shift * h, shift * 0.5 * h, z * 0.003 * h);
                let limb = Limb {
                    from: a + slide,
                    to: b + slide,
                    from_m: Vec2::new(width * h, 0.022 * h),
                    to_m: Vec2::new(width * 1.15 * h, 0.022 * h),
                    across: self.across(),
                    over_m: [0.02, 0.0],
                    roundness: 0.3,
                };
                self.carver.limb(limb, Part::Torso, cloth);
            }
        }
        self.shoes(rgb(0.45, 0.32, 0.18));
    }

    /// From the waist to `hem` (of stature over the floor), `wide` × `deep` (of stature) at the hem.
    fn skirt(&mut self, material: Material, hem: f32, wide: f32, deep: f32) {
        let b = self.body;
        let h = b.stature;
        let floor = self.sk.root.at.y;
        let waist = self.sk.waist + self.sk.pelvis.turned * Vec3::Y * 0.012 * h;
        let across = self.hip_across();
        if self.seated() {
            self.seated_skirt(material, hem, wide);
            return;
        }
        // Two tiers: over the hips, then out to the hem; each with a twin turned by an eighth, so that it falls round.
        let knees = (self.sk.legs[0].knee + self.sk.legs[1].knee) * 0.5;
        let feet = (self.sk.legs[0].ankle + self.sk.legs[1].ankle) * 0.5;
        let kneeling = self.kneeling();
        let hem_y = if kneeling { floor + 0.006 } else { floor + hem * h };
        let under = if kneeling { knees } else { feet };
        let hem_at = Vec3::new(under.x, hem_y, under.z);
        let hips_at = self.sk.pelvis.point(Vec3::Y * -0.02 * h);
        let hips = b.hips * 1.12;
        let low = Vec2::new(wide, deep) * h;
        let mid_share = 0.42;
        let mid_at = hips_at.lerp(hem_at, mid_share);
        let mid = hips.lerp(low, mid_share * 0.92);
        let tier = |from, to, from_m, to_m, over: f32| Limb {
            from,
            to,
            from_m,
            to_m,
            across,
            over_m: [over, 0.0],
            roundness: 0.24,
        };
        self.carver.limb(tier(waist, hips_at, b.waist * 1.07, hips, 0.0), Part::Pelvis, material);
        self.carver.limb(tier(hips_at, mid_at, hips, mid, 0.05 * h), Part::Skirt, material);
        self.carver.limb(tier(mid_at, hem_at, mid, low, 0.05 * h), Part::Skirt, material);
        if wide > 0.27 {
            let eighth = (across + self.sk.root.turned * Vec3::Z).normalize();
            let twin = Limb { across: eighth, ..tier(hips_at, hem_at, hips * 0.92, low * 0.94, 0.0) };
            self.carver.limb(twin, Part::Skirt, material);
        }
        if kneeling && hem < 0.2 {
            let back = self.sk.root.turned * Vec3::Z;
            let limb = Limb {
                from: hips_at,
                to: hem_at + back * b.shin() * 0.8,
                from_m: hips,
                to_m: Vec2::new(low.x, 0.10 * h),
                across,
                over_m: [0.0, 0.02],
                roundness: 0.3,
            };
            self.carver.limb(limb, Part::Skirt, material);
        }
    }

    fn seated_skirt(&mut self, material: Material, hem: f32, wide: f32) {
        let b = self.body;
        let h = b.stature;
        let floor = self.sk.root.at.y;
        let across = self.hip_across();
        let knees = (self.sk.legs[0].knee + self.sk.legs[1].knee) * 0.5;
        let apart = self.sk.legs[0].knee.distance(self.sk.legs[1].knee);
        let lap = apart + b.leg_thick[1] * 1.35;
        let hips_at = self.sk.pelvis.at;
        let limb = |from, to, from_m, to_m, over_m| Limb { from, to, from_m, to_m, across, over_m, roundness: 0.3 };
        self.carver.limb(
            limb(self.sk.waist, hips_at, b.waist * 1.08, b.hips * 1.08, [0.01, 0.03 * h]),
            Part::Pelvis,
            material,
        );
        self.carver.limb(
            limb(
                hips_at,
                knees,
                Vec2::new(b.hips.x * 1.10, b.leg_thick[0] * 1.15),
                Vec2::new(lap, b.leg_thick[1] * 1.25),
                [0.02 * h, b.leg_thick[1] * 0.55],
            ),
            Part::Skirt,
            material,
        );
        // What hangs over the knees.
        let ankles = (self.sk.legs[0].ankle + self.sk.legs[1].ankle) * 0.5;
        let hem_y = floor + hem * h;
        if hem_y < knees.y - 0.06 {
            let share = ((knees.y - hem_y) / (knees.y - ankles.y).max(0.05)).min(1.05);
            let mut to = knees.lerp(ankles, share.min(1.0));
            to.y = hem_y.max(floor + 0.006);
            let low = Vec2::new((wide * 0.75 * h).max(lap), b.leg_thick[1] * 1.9);
            self.carver.limb(
                limb(knees, to, Vec2::new(lap, b.leg_thick[1] * 1.5), low, [0.01, 0.0]),
                Part::Skirt,
                material,
            );
        }
    }

    fn train(&mut self, material: Material) {
        if self.seated() || self.kneeling() {
            return;
        }
        let h = self.body.stature;
        let feet = (self.sk.legs[0].ankle + self.sk.legs[1].ankle) * 0.5;
        let floor = self.sk.root.at.y;
        let back = self.sk.root.turned * Vec3::Z;
        let at = |out: f32, y: f32| Vec3::new(feet.x, floor + y, feet.z) + back * out;
        let across = self.sk.root.turned * Vec3::X;
        let limb = Limb {
            from: at(0.08 * h, 0.16 * h),
            to: at(0.42 * h, 0.022),
            from_m: Vec2::new(0.26 * h, 0.10 * h),
            to_m: Vec2::new(0.40 * h, 0.026),
            across,
            over_m: [0.0, 0.0],
            roundness: 0.4,
        };
        self.carver.limb(limb, Part::Skirt, material);
    }
}

impl Body {
    /// Top of the chest block over the shoulder line.
    fn shoulder_top(&self) -> f32 {
        0.020 * self.stature
    }
}
