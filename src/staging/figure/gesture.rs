//! What arms and hands do: every gesture as grips to reach for. Those alone are here, those with another figure in
//! `together`.
//!
//! Numbers are fractions of stature in chest space (origin between the shoulder joints, −z in front).

mod together;

use super::blend::blended_arms;
use super::petals;
use super::proportions::Body;
use super::skeleton::{Arm, Bearing, SIDES, Skeleton, reaching_arm};
use crate::plan::Held;
use crate::staging::chance::Chance;
use crate::staging::gait::Stride;
use glam::Vec3;
use std::f32::consts::TAU;

/// A gesture as one figure does it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Arms {
    Rest,
    TakesHands,
    /// Lays a hand on the other's forearm.
    LinksArms,
    /// Offers the forearm for that.
    OffersArm,
    HoldsHand,
    GivesRing,
    TakesRing,
    Kisses,
    Embraces,
    HoldsUpPhone,
    Reads,
    Claps,
    OpensArms,
    WipesEyes,
    Waves,
    /// A handful of petals into the air, again and again.
    ThrowsPetals,
    /// In the closed hold of a slow dance.
    Dances,
    /// Holds a camera: where the right and the left hand grip it.
    Photographs([Vec3; 2]),
}

/// How a figure with nothing to do holds its arms.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Idle {
    Hang,
    /// One hand in the other, in front.
    Folded,
    /// Hands together in the lap.
    Lap,
    /// A hand on each thigh.
    Thighs,
    /// One hand keeps a sheet or a fan before the chest.
    Sheet,
}

/// One figure for [`arms`].
#[derive(Debug, Clone, Copy)]
pub struct Doer<'a> {
    pub body: &'a Body,
    pub sk: &'a Skeleton,
    pub bearing: Bearing,
    pub arms: Arms,
    pub holds: Held,
    pub idle: Idle,
    pub chance: Chance,
    pub stride: Option<Stride>,
    /// The bearing before and what is left of it, as in a stance.
    pub before: Option<(Bearing, f32)>,
    /// Seconds into the ceremony, now and when the gesture began.
    pub at_s: f64,
    pub since_s: f64,
}

impl Doer<'_> {
    /// 0 ≤ x < 1: where in its own rhythm of so many times a second the figure is.
    fn beat(&self, what: &str, per_s: f32) -> f32 {
        let own = f64::from(self.chance.unit(what));
        ((self.at_s * f64::from(per_s) + own).rem_euclid(1.0)) as f32
    }
}

/// The hand that is left for what is held, where the other one has the first.
pub fn free_hand(doer: &Doer, other: &Doer) -> Option<usize> {
    let one_handed = matches!(doer.arms, Arms::LinksArms | Arms::OffersArm | Arms::HoldsHand);
    one_handed.then(|| 1 - Reacher { doer }.side_of(other))
}

/// Where both arms are. `other` is the figure a shared gesture is shared with.
pub fn arms(doer: &Doer, other: Option<&Doer>) -> [Arm; 2] {
    let r = Reacher { doer };
    let resting = r.resting();
    let Some(other) = other else { return r.alone(resting) };
    let near = r.side_of(other);
    match doer.arms {
        Arms::TakesHands => r.takes_hands(other),
        Arms::LinksArms => r.one(near, r.links_arms(other, near)),
        Arms::OffersArm => r.one(near, r.offers_arm(near)),
        Arms::HoldsHand => r.one(near, r.holds_hand(other, near)),
        Arms::GivesRing => r.gives_ring(other),
        Arms::TakesRing => r.one(0, r.takes_ring(other)),
        Arms::Kisses => r.kisses(other),
        Arms::Embraces => r.embraces(other),
        Arms::Dances => r.dances(other),
        _ => r.alone(resting),
    }
}

struct Reacher<'a> {
    doer: &'a Doer<'a>,
}

impl Reacher<'_> {
    fn h(&self) -> f32 {
        self.doer.body.stature
    }

    /// Chest space to world, fractions of stature.
    fn at(&self, x: f32, y: f32, z: f32) -> Vec3 {
        self.doer.sk.chest.point(Vec3::new(x, y, z) * self.h())
    }

    fn way(&self, x: f32, y: f32, z: f32) -> Vec3 {
        self.doer.sk.root.turned * Vec3::new(x, y, z).normalize_or(Vec3::NEG_Y)
    }

    /// Elbows hang down, a little out and back.
    fn elbow(&self, side: usize) -> Vec3 {
        self.way(SIDES[side] * 0.45, -0.8, 0.45)
    }

    fn arm(&self, side: usize, grip: Vec3, fingers: Vec3, palm: Vec3) -> Arm {
        let shoulder = self.doer.sk.arms[side].shoulder;
        reaching_arm(self.doer.body, shoulder, grip, fingers, palm, self.elbow(side))
    }

    fn side_of(&self, other: &Doer) -> usize {
        usize::from(self.doer.sk.root.local(other.sk.root.at).x > 0.0)
    }

    /// The resting arms with one of them replaced; what is held goes to the other hand.
    fn one(&self, side: usize, arm: Arm) -> [Arm; 2] {
        let far = 1 - side;
        let free = match self.doer.holds {
            Held::Nothing => self.single_rest(far),
            held => self.carries_in(far, held),
        };
        let mut both = [free; 2];
        both[side] = arm;
        both
    }

    fn single_rest(&self, side: usize) -> Arm {
        match self.doer.bearing {
            Bearing::Sitting { .. } => self.on_thigh(side, 0.0),
            _ => self.doer.sk.arms[side],
        }
    }

    /// Arms at rest, on their way from one bearing's rest to another's, and swinging in a walk.
    fn resting(&self) -> [Arm; 2] {
        let body = self.doer.body;
        let now = match (self.doer.stride, self.doer.holds) {
            (Some(stride), Held::Nothing) => {
                blended_arms(body, &self.rests(self.doer.bearing), &self.doer.sk.arms, stride.stand)
            }
            _ => self.rests(self.doer.bearing),
        };
        match self.doer.before {
            Some((bearing, share)) => blended_arms(body, &self.rests(bearing), &now, share),
            None => now,
        }
    }

    fn rests(&self, bearing: Bearing) -> [Arm; 2] {
        if self.doer.holds != Held::Nothing {
            return self.carries();
        }
        match (bearing, self.doer.idle) {
            (Bearing::Sitting { .. }, Idle::Sheet) | (_, Idle::Sheet) => {
                let sheet =
                    self.arm(1, self.at(0.045, -0.165, -0.150), self.way(-0.55, 0.55, -0.6), self.way(-0.6, 0.2, 0.7));
                [self.single_rest(0), sheet]
            }
            (Bearing::Sitting { .. }, Idle::Thighs) => [self.on_thigh(0, 0.0), self.on_thigh(1, 0.0)],
            (Bearing::Sitting { .. }, _) => self.in_lap(),
            (Bearing::Walking, _) => self.doer.sk.arms,
            (Bearing::Crouching | Bearing::OnOneKnee, _) => [self.on_thigh(0, 0.3), self.on_thigh(1, 0.3)],
            (Bearing::Kneeling, _) | (_, Idle::Folded | Idle::Lap) => self.folded(),
            _ => self.doer.sk.arms,
        }
    }

    fn folded(&self) -> [Arm; 2] {
        let over = usize::from(self.doer.chance.unit("upper hand") < 0.5);
        let depth = self.doer.body.hips.y * 0.5 / self.h() + 0.042;
        std::array::from_fn(|side| {
            let s = SIDES[side];
            let lift = if side == over { 0.012 } else { -0.008 };
            let out = if side == over { 0.020 } else { 0.0 };
            self.arm(
                side,
                self.at(s * 0.016, -0.262 + lift, -depth - out),
                self.way(-s * 0.75, -0.62, -0.15),
                self.way(-s * 0.15, -0.1, 1.0),
            )
        })
    }

    fn in_lap(&self) -> [Arm; 2] {
        let sk = self.doer.sk;
        let lap = (sk.legs[0].hip + sk.legs[1].hip).lerp(sk.legs[0].knee + sk.legs[1].knee, 0.43) * 0.5;
        let over = usize::from(self.doer.chance.unit("upper hand") < 0.5);
        std::array::from_fn(|side| {
            let s = SIDES[side];
            let lift = self.doer.body.leg_thick[0] * 0.5 + if side == over { 0.038 } else { 0.014 };
            self.arm(
                side,
                lap + Vec3::Y * lift + self.way(1.0, 0.0, 0.0) * s * 0.016,
                self.way(-s * 0.8, -0.05, -0.6),
                self.way(0.0, -1.0, 0.0),
            )
        })
    }

    fn on_thigh(&self, side: usize, further: f32) -> Arm {
        let leg = self.doer.sk.legs[side];
        let at = leg.hip.lerp(leg.knee, 0.52 + further) + Vec3::Y * (self.doer.body.leg_thick[0] * 0.5 + 0.014);
        self.arm(side, at, self.way(-SIDES[side] * 0.25, -0.15, -1.0), self.way(0.0, -1.0, -0.1))
    }

    fn carries(&self) -> [Arm; 2] {
        match self.doer.holds {
            Held::Bouquet | Held::Posy => std::array::from_fn(|side| {
                let s = SIDES[side];
                self.arm(
                    side,
                    self.at(s * 0.018, -0.225, -0.125),
                    self.way(-s * 0.8, -0.1, -0.6),
                    self.way(-s * 0.3, 0.2, 0.9),
                )
            }),
            Held::RingCushion => std::array::from_fn(|side| {
                let s = SIDES[side];
                self.arm(
                    side,
                    self.at(s * 0.045, -0.185, -0.165),
                    self.way(-s * 0.3, 0.0, -1.0),
                    self.way(0.0, 1.0, 0.0),
                )
            }),
            Held::Book => std::array::from_fn(|side| {
                let s = SIDES[side];
                self.arm(
                    side,
                    self.at(s * 0.030, -0.205, -0.125),
                    self.way(-s * 0.85, 0.1, -0.4),
                    self.way(0.0, 0.1, 1.0),
                )
            }),
            held => {
                let side = usize::from(held != Held::Basket);
                self.one_holding(side, held)
            }
        }
    }

    fn one_holding(&self, side: usize, held: Held) -> [Arm; 2] {
        let mut both = [self.single_rest(0), self.single_rest(1)];
        both[side] = self.carries_in(side, held);
        both
    }

    fn carries_in(&self, side: usize, held: Held) -> Arm {
        let s = SIDES[side];
        match held {
            Held::Nothing => self.single_rest(side),
            Held::Candle => self.arm(
                side,
                self.at(s * 0.055, -0.150, -0.165),
                self.way(-s * 0.7, 0.0, -0.7),
                self.way(-s * 0.6, 0.0, 0.8),
            ),
            Held::Glass => self.arm(
                side,
                self.at(s * 0.090, -0.145, -0.150),
                self.way(-s * 0.6, 0.0, -0.8),
                self.way(-s * 0.8, 0.0, 0.5),
            ),
            Held::Basket => self.arm(
                side,
                self.at(s * 0.125, -0.205, -0.110),
                self.way(-s * 0.2, -0.3, -1.0),
                self.way(-s, 0.0, 0.0),
            ),
            Held::Bouquet | Held::Posy => self.arm(
                side,
                self.at(s * 0.120, -0.250, -0.095),
                self.way(-s * 0.1, -0.5, -0.9),
                self.way(-s, 0.0, 0.0),
            ),
            Held::RingCushion => {
                self.arm(side, self.at(s * 0.060, -0.185, -0.150), self.way(-s * 0.2, 0.0, -1.0), Vec3::Y)
            }
            Held::Book => self.arm(
                side,
                self.at(s * 0.125, -0.240, -0.080),
                self.way(-s * 0.1, -0.8, -0.6),
                self.way(-s, 0.0, 0.0),
            ),
        }
    }

    fn alone(&self, resting: [Arm; 2]) -> [Arm; 2] {
        let head = self.doer.sk.head;
        let u = self.doer.body.head_height();
        let front = -self.doer.body.head.y * 0.5;
        match self.doer.arms {
            Arms::Photographs(grips) => std::array::from_fn(|side| {
                // Grips are given right hand first.
                let grip = grips[1 - side];
                let s = SIDES[side];
                if side == 1 {
                    self.arm(1, grip, self.way(-0.2, 0.85, -0.6), self.way(-s, 0.0, -0.2))
                } else {
                    self.arm(0, grip, self.way(0.55, 0.25, -0.75), self.way(0.0, 1.0, 0.0))
                }
            }),
            Arms::HoldsUpPhone => std::array::from_fn(|side| {
                let s = SIDES[side];
                let grip = head.point(Vec3::new(s * 0.078, 0.14 * u, front - 0.245));
                self.arm(side, grip, self.way(-s * 0.15, 1.0, -0.2), self.way(-s, 0.0, 0.3))
            }),
            Arms::Reads => std::array::from_fn(|side| {
                let s = SIDES[side];
                self.arm(
                    side,
                    self.at(s * 0.062, -0.150, -0.170),
                    self.way(-s * 0.45, 0.35, -0.8),
                    self.way(-s * 0.4, 0.8, 0.4),
                )
            }),
            Arms::Claps => {
                // About three a second (common practice, no source), everybody at their own rate.
                let rate = self.doer.chance.between("clap rate", 2.6, 3.4);
                let open = 0.5 - 0.5 * (self.doer.beat("clap", rate) * TAU).cos();
                let apart = 0.009 + 0.048 * open;
                std::array::from_fn(|side| {
                    let s = SIDES[side];
                    self.arm(
                        side,
                        self.at(s * apart, -0.095, -0.185),
                        self.way(-s * 0.12 * (1.0 - open), 0.75, -0.65),
                        self.way(-s, 0.0, 0.0),
                    )
                })
            }
            Arms::OpensArms => std::array::from_fn(|side| {
                let s = SIDES[side];
                self.arm(
                    side,
                    self.at(s * 0.235, -0.110, -0.150),
                    self.way(s * 0.5, 0.25, -0.8),
                    self.way(-s * 0.35, 0.9, 0.1),
                )
            }),
            Arms::WipesEyes => {
                let grip = head.point(Vec3::new(0.40 * u, 0.30 * u, front - 0.16 * u));
                self.one(1, self.arm(1, grip, self.way(-0.55, 0.8, 0.25), self.way(-0.3, 0.1, 1.0)))
            }
            Arms::Waves => {
                let rate = self.doer.chance.between("wave rate", 1.1, 1.5);
                let side = (self.doer.beat("wave", rate) * TAU).sin();
                let grip = self.at(0.185 + 0.045 * side, 0.165 - 0.008 * side * side, -0.095);
                self.one(1, self.arm(1, grip, self.way(0.05 + 0.38 * side, 1.0, -0.1), self.way(0.0, 0.1, -1.0)))
            }
            Arms::ThrowsPetals => {
                let thrown = petals::arm_of_throw(self.doer.at_s, self.doer.chance);
                self.one(
                    1,
                    self.arm(
                        1,
                        self.at(thrown[0].x, thrown[0].y, thrown[0].z),
                        self.doer.sk.root.turned * thrown[1],
                        self.doer.sk.root.turned * thrown[2],
                    ),
                )
            }
            _ => resting,
        }
    }
}
