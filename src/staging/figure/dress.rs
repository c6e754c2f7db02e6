//! Clothes: every kind of dress as blocks over the skeleton.
//!
//! What `second` colours: suit – tie; gown and dress – sash; robe – stole; shirt – trousers; skirt – the skirt;
//! tunic – trousers and trim; wrap – blouse.

use super::proportions::Body;
use super::skeleton::{SIDES, Skeleton};
use super::sleeves::Sleeve;
use super::tailor::Tailor;
use crate::plan::{Clothes, ClothesKind, Colour, Looks};
use crate::staging::carve::{Carver, Limb, cut, mix, of, rgb, shade};
use crate::staging::chance::Chance;
use crate::staging::tableau::{Finish, Part};
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
            tailor.seat(of(Finish::Cloth, second), 1.03);
            tailor.belt(of(Finish::Leather, rgb(0.16, 0.11, 0.08)), 1.09);
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

impl Tailor<'_, '_> {
    fn suit(&mut self, main: Colour, second: Colour) {
        let h = self.body.stature;
        let cloth = of(Finish::Cloth, main);
        self.trousers(of(Finish::Cloth, shade(main, 0.93)));
        self.trunk(cloth, 1.06);
        self.hips(cloth, 1.06, 0.062);
        self.collar(of(Finish::Cloth, rgb(0.95, 0.95, 0.94)));
        self.lapels(shade(main, 0.80), rgb(0.95, 0.95, 0.94));
        let tie = of(Finish::Satin, second);
        self.panel(tie, [0.014 * h, 0.021 * h], -0.016 * h, -0.120 * h, 0.0, 0.0, 1.06, 0.0050);
        self.panel(tie, [0.023 * h, 0.016 * h], 0.008 * h, -0.018 * h, 0.0, 0.0, 1.06, 0.009);
        let button = of(Finish::BlackPlastic, shade(main, 0.5));
        self.panel(button, [0.007 * h; 2], -0.146 * h, -0.153 * h, 0.0, 0.0, 1.06, 0.005);
        self.sleeves(cloth, Sleeve::Long);
        // A strip of shirt cuff.
        self.cuffs(of(Finish::Cloth, rgb(0.95, 0.95, 0.94)));
        self.shoes(rgb(0.10, 0.085, 0.08));
    }

    fn gown(&mut self, main: Colour, second: Colour, chance: Chance) {
        let h = self.body.stature;
        let satin = of(Finish::Satin, main);
        self.trunk_part(self.skin, 0.97, self.body.shoulder_top(), Some(-0.120 * h));
        self.yoke(self.skin, 0.95);
        self.trunk_part(satin, 1.05, -0.026 * h, None);
        self.belt(of(Finish::Satin, second), 1.13);
        self.skirt(satin, 0.008, 0.40, 0.40);
        self.train(satin);
        let cap = chance.unit("cap sleeves") < 0.35;
        self.sleeves(satin, if cap { Sleeve::Cap } else { Sleeve::Bare });
        self.shoes(shade(main, 0.92));
    }

    fn dress(&mut self, main: Colour, second: Colour, chance: Chance) {
        let h = self.body.stature;
        let cloth = of(Finish::Cloth, main);
        let sleeve = chance.unit("dress sleeves");
        if sleeve < 0.7 {
            // An open neckline.
            self.trunk_part(self.skin, 0.97, self.body.shoulder_top(), Some(-0.100 * h));
            // Sleeves that come as far as the elbow bring the shoulders with them.
            if sleeve < 0.35 {
                self.yoke(self.skin, 0.95)
            } else {
                self.yoke(cloth, 1.0)
            }
            self.trunk_part(cloth, 1.05, -0.008 * h, None);
        } else {
            self.trunk(cloth, 1.04);
        }
        self.belt(of(Finish::Cloth, second), 1.11);
        let hem = chance.between("hem", 0.20, 0.29);
        self.skirt(cloth, hem, 0.26, 0.235);
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

    fn robe(&mut self, main: Colour, second: Colour) {
        let h = self.body.stature;
        let cloth = of(Finish::Cloth, main);
        self.trunk(cloth, 1.12);
        self.skirt(cloth, 0.035, 0.29, 0.26);
        self.stand_collar(of(Finish::Cloth, rgb(0.95, 0.95, 0.94)));
        let stole = of(Finish::Satin, second);
        for side in SIDES {
            let (a, b) = (side * 0.040 * h, side * 0.042 * h);
            let front = self.front(-0.014 * h, 1.12) - 0.001 * h;
            let over = Limb {
                from: self.sk.chest.point(Vec3::new(side * 0.036 * h, 0.042 * h, 0.010 * h)),
                to: self.sk.chest.point(Vec3::new(a, -0.014 * h, front)),
                from_m: Vec2::new(0.028 * h, 0.016 * h),
                to_m: Vec2::new(0.032 * h, 0.012 * h),
                across: self.across(),
                over_m: [0.0, 0.008],
                roundness: 0.3,
            };
            self.carver.limb(over, Part::Torso, stole);
            self.panel(stole, [0.032 * h, 0.034 * h], -0.008 * h, -0.185 * h, a, b, 1.12, 0.004);
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

    fn wrap(&mut self, main: Colour, second: Colour) {
        let h = self.body.stature;
        let cloth = of(Finish::Satin, main);
        let border = of(Finish::Satin, mix(second, rgb(0.82, 0.66, 0.34), 0.55));
        let blouse = of(Finish::Cloth, second);
        self.trunk(blouse, 1.02);
        self.sleeves(blouse, Sleeve::Short);
        self.skirt(cloth, 0.012, 0.25, 0.24);
        // Over the left shoulder: across the chest, over, and down the back.
        self.panel(cloth, [0.085 * h, 0.120 * h], 0.012 * h, -0.185 * h, -0.060 * h, 0.030 * h, 1.02, 0.005);
        self.panel(border, [0.014 * h, 0.014 * h], 0.004 * h, -0.190 * h, -0.012 * h, 0.086 * h, 1.02, 0.007);
        let over = self.sk.chest.moved(Vec3::new(-0.064 * h, 0.018 * h, 0.0)).turned(Quat::from_rotation_z(0.30));
        let depth = self.body.chest.y + 0.016 * h;
        self.carver.add(over, cut(0.095 * h, 0.022 * h, depth).round(0.010 * h), Part::Torso, cloth);
        let back = self.sk.root.turned * Vec3::Z;
        let from = self.sk.chest.point(Vec3::new(-0.060 * h, 0.022 * h, self.body.chest.y * 0.5 + 0.002 * h));
        let drop = if self.seated() { 0.26 } else { 0.50 };
        let to = from - Vec3::Y * drop * h + back * 0.035 * h;
        for (material, width, under) in [(cloth, 0.095, 0.0), (border, 0.100, 0.93)] {
            let limb = Limb {
                from: from.lerp(to, under),
                to,
                from_m: Vec2::new(width * h, 0.016 * h),
                to_m: Vec2::new(width * 1.2 * h, 0.018 * h),
                across: self.across(),
                over_m: [0.0; 2],
                roundness: 0.3,
            };
            self.carver.limb(limb, Part::Skirt, material);
        }
        self.shoes(rgb(0.45, 0.32, 0.18));
    }
}
