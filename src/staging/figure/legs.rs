//! Legs, bare or in trousers, and shoes.

use super::skeleton::Leg;
use super::tailor::Tailor;
use crate::plan::Colour;
use crate::staging::carve::{Limb, Place, cut, of};
use crate::staging::tableau::{Finish, Material, Part};
use glam::Vec2;

impl Tailor<'_, '_> {
    pub fn trousers(&mut self, material: Material) {
        let b = self.body;
        let [thigh, knee, ankle] = b.leg_thick;
        let across = self.hip_across();
        for leg in self.sk.legs {
            let upper = Limb {
                from: leg.hip,
                to: leg.knee,
                from_m: Vec2::new(thigh * 1.02, thigh * 1.12),
                to_m: Vec2::new(knee * 1.06, knee * 1.12),
                across,
                over_m: [0.0, knee * 0.42],
                roundness: 0.44,
            };
            self.carver.limb(upper, Part::Thigh, material);
            // A straight leg falls over the shoe.
            let lower = Limb {
                from: leg.knee,
                to: leg.knee.lerp(leg.ankle, 1.03),
                from_m: Vec2::new(knee * 1.06, knee * 1.12),
                to_m: Vec2::new(ankle * 1.34, ankle * 1.56),
                across,
                over_m: [knee * 0.42, 0.0],
                roundness: 0.34,
            };
            self.carver.limb(lower, Part::Shin, material);
        }
    }

    /// Legs from under a hem at this height (of stature) down.
    pub fn bare_legs(&mut self, _hem: f32) {
        self.legs(self.skin, 0.88, 0.45, 1.0, [Part::Thigh, Part::Shin]);
    }

    pub fn legs(&mut self, material: Material, ease: f32, from: f32, to_ankle: f32, part: [Part; 2]) {
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
                    roundness: 0.48,
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
                    roundness: 0.48,
                },
                part[1],
                material,
            );
        }
    }

    pub fn shoes(&mut self, colour: Colour) {
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
}
