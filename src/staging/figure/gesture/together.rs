//! Gestures shared by two: hands taken, arms linked, rings given, kisses and embraces.

use super::{Doer, Reacher};
use crate::plan::Held;
use crate::staging::figure::skeleton::{Arm, SIDES};
use glam::Vec3;

impl Reacher<'_> {
    pub(super) fn takes_hands(&self, other: &Doer) -> [Arm; 2] {
        // One gives the hands palm up, the other lays theirs in: the taller gives.
        let gives = self.gives_to(other);
        let toward = flat(other.sk.chest.at - self.doer.sk.chest.at);
        std::array::from_fn(|side| {
            let lift = Vec3::Y * if gives { -0.013 } else { 0.013 };
            let inward = self.way(-SIDES[side], 0.0, 0.0) * 0.25;
            self.arm(
                side,
                shared_hands(self.doer, other, side) + lift,
                toward + inward - Vec3::Y * 0.15,
                if gives { Vec3::Y } else { Vec3::NEG_Y },
            )
        })
    }

    fn gives_to(&self, other: &Doer) -> bool {
        let (a, b) = (self.doer, other);
        let key = |d: &Doer| (d.body.stature, d.sk.root.at.x, d.sk.root.at.z);
        key(a) > key(b)
    }

    pub(super) fn offers_arm(&self, near: usize) -> Arm {
        let s = SIDES[near];
        self.arm(near, self.at(s * 0.055, -0.185, -0.135), self.way(-s * 0.75, 0.0, -0.7), self.way(0.0, -0.8, 0.6))
    }

    pub(super) fn links_arms(&self, other: &Doer, near: usize) -> Arm {
        let offered = Reacher { doer: other }.offers_arm(1 - near);
        let on = offered.elbow.lerp(offered.wrist, 0.55) + Vec3::Y * (other.body.arm_thick[1] * 0.5 + 0.018);
        let s = SIDES[near];
        self.arm(near, on, self.way(s * 0.75, -0.1, -0.65), self.way(0.0, -1.0, 0.0))
    }

    pub(super) fn holds_hand(&self, other: &Doer, near: usize) -> Arm {
        let mine = self.doer.sk.arms[near];
        let theirs = other.sk.arms[1 - near];
        let (a, b) = (mine.grip(self.doer.body), theirs.grip(other.body));
        // Half way between two hanging hands, within reach of the shorter arm.
        let mut meet = (a + b) * 0.5;
        let low = |arm: &Arm, d: &Doer| arm.shoulder.y - d.body.reach() * 0.97;
        meet.y = meet.y.max(low(&mine, self.doer)).max(low(&theirs, other));
        let s = SIDES[near];
        let mine_is_front = self.gives_to(other);
        let shift = self.way(0.0, 0.0, if mine_is_front { -1.0 } else { 1.0 }) * 0.012;
        self.arm(
            near,
            meet + shift,
            self.way(s * 0.2, -1.0, -0.1),
            self.way(0.0, 0.0, if mine_is_front { 1.0 } else { -1.0 }),
        )
    }

    /// Where a ring changes hands: between the two, nearer to who receives it.
    fn ring_at(giver: &Doer, taker: &Doer) -> Vec3 {
        shared_hands(giver, taker, 1) + Vec3::Y * 0.02
    }

    pub(super) fn gives_ring(&self, other: &Doer) -> [Arm; 2] {
        let at = Self::ring_at(self.doer, other);
        let toward = flat(other.sk.chest.at - self.doer.sk.chest.at);
        let right =
            self.arm(1, at - toward * 0.085 + Vec3::Y * 0.012, toward - Vec3::Y * 0.25, self.way(-0.5, -0.8, 0.0));
        let left = self.arm(0, at + toward * 0.02 - Vec3::Y * 0.030, toward * 0.6 + self.way(0.7, 0.0, 0.0), Vec3::Y);
        [left, right]
    }

    pub(super) fn takes_ring(&self, giver: &Doer) -> Arm {
        let at = Self::ring_at(giver, self.doer);
        let toward = flat(giver.sk.chest.at - self.doer.sk.chest.at);
        self.arm(0, at - toward * 0.01, toward - Vec3::Y * 0.1, Vec3::NEG_Y)
    }

    pub(super) fn kisses(&self, other: &Doer) -> [Arm; 2] {
        let tall = self.gives_to(other);
        let h = other.body.stature;
        let arms: [Arm; 2] = std::array::from_fn(|side| {
            let theirs = SIDES[1 - side];
            if tall {
                // Hands at the other's waist.
                let hold = other.sk.waist
                    + other.sk.chest.turned
                        * Vec3::new(theirs * (other.body.waist.x * 0.5 + 0.016), 0.03 * h, 0.012 * h);
                self.arm(
                    side,
                    hold,
                    other.sk.root.turned * Vec3::new(-theirs * 0.2, -0.15, 1.0),
                    other.sk.root.turned * Vec3::X * -theirs,
                )
            } else {
                // Hands on the other's shoulders.
                let hold = other.sk.chest.point(Vec3::new(theirs * 0.078, 0.034, -0.030) * h);
                self.arm(side, hold, other.sk.root.turned * Vec3::new(-theirs * 0.15, 0.2, 1.0), Vec3::NEG_Y)
            }
        });
        self.with_held(arms)
    }

    pub(super) fn embraces(&self, other: &Doer) -> [Arm; 2] {
        let high = !self.gives_to(other);
        let h = other.body.stature;
        let arms = std::array::from_fn(|side| {
            let theirs = SIDES[1 - side];
            let (y, x) = if high { (0.0, 0.035) } else { (-0.10, 0.02) };
            let hold = other.sk.chest.point(Vec3::new(theirs * x * h, y * h, other.body.chest.y * 0.5 + 0.028));
            self.arm(
                side,
                hold,
                other.sk.root.turned * Vec3::new(-theirs, 0.0, 0.15),
                other.sk.root.turned * Vec3::NEG_Z,
            )
        });
        self.with_held(arms)
    }

    /// The closed hold: my right hand on their back, or my left on their shoulder, the other two joined out at the side.
    /// The taller leads.
    pub(super) fn dances(&self, other: &Doer) -> [Arm; 2] {
        let leads = self.gives_to(other);
        let (tall, short) = if leads { (self.doer, other) } else { (other, self.doer) };
        let toward = flat(short.sk.chest.at - tall.sk.chest.at);
        // To the leader's left, at the height of the lower shoulders.
        let aside = Vec3::Y.cross(toward);
        let middle = (tall.sk.chest.at + short.sk.chest.at) * 0.5;
        let y = tall.sk.chest.at.y.min(short.sk.chest.at.y) - 0.035 * short.body.stature;
        let joined = Vec3::new(middle.x, y, middle.z) + aside * 0.225 * (tall.body.stature + short.body.stature);
        let h = other.body.stature;
        let (mut left, mut right);
        if leads {
            // Palm up under theirs; on the shoulder blade of their left side.
            left =
                self.arm(0, joined - Vec3::Y * 0.012, aside + toward * 0.25 + Vec3::Y * 0.35, toward * 0.8 + Vec3::Y);
            let back = other.sk.chest.point(Vec3::new(-0.045 * h, -0.085 * h, other.body.chest.y * 0.5 + 0.022));
            right =
                self.arm(1, back, other.sk.root.turned * Vec3::new(0.9, 0.1, 0.35), other.sk.root.turned * Vec3::NEG_Z);
        } else {
            right =
                self.arm(1, joined + Vec3::Y * 0.012, aside - toward * 0.25 + Vec3::Y * 0.35, -toward * 0.8 - Vec3::Y);
            let on = other.sk.chest.point(Vec3::new(0.082 * h, 0.030 * h, 0.004 * h));
            left = self.arm(0, on, other.sk.root.turned * Vec3::new(-0.25, -0.05, 1.0), Vec3::NEG_Y);
        }
        if self.doer.holds != Held::Nothing {
            let carried = self.with_held([left, right]);
            (left, right) = (carried[0], carried[1]);
        }
        [left, right]
    }

    /// Whoever kisses with flowers in the hand lets that arm down.
    fn with_held(&self, mut arms: [Arm; 2]) -> [Arm; 2] {
        if self.doer.holds != Held::Nothing {
            arms[0] = match self.doer.holds {
                Held::Bouquet | Held::Posy => {
                    self.arm(0, self.at(-0.205, -0.330, 0.010), self.way(-0.25, -1.0, -0.1), self.way(1.0, 0.0, 0.0))
                }
                held => self.carries_in(0, held),
            };
        }
        arms
    }
}

/// Where two figures who take hands join them: the middle of the pair's hands on the doer's own `side`.
fn shared_hands(a: &Doer, b: &Doer, side: usize) -> Vec3 {
    let way = flat(b.sk.chest.at - a.sk.chest.at);
    let right = way.cross(Vec3::Y);
    let low = |d: &Doer| d.sk.chest.at - Vec3::Y * 0.225 * d.body.stature;
    (low(a) + low(b)) * 0.5 + right * SIDES[side] * 0.075
}

fn flat(v: Vec3) -> Vec3 {
    Vec3::new(v.x, 0.0, v.z).normalize_or(Vec3::NEG_Z)
}
