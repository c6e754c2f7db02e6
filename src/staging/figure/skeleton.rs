//! Where the joints of a body are: trunk, head and legs from posture and what is looked at. The arms hang or swing
//! here; gestures move them afterwards.
//!
//! Body space: the figure faces −z, its right hand is at +x, y is up, the origin lies between the soles. Side 0 is
//! the left.

use super::motion::in_time;
use super::proportions::{Body, HIP_OVER_SEAT};
use super::reach::two_bones;
use crate::staging::carve::Place;
use crate::staging::chance::Chance;
use crate::staging::gait::Stride;
use glam::{Quat, Vec3};

/// How far a head turns from where the body faces, and up or down, radians. Grown-ups manage about 80° and 50°
/// (clinical tables of neck motion, from memory); people at a ceremony stay inside 70° and 35°.
pub const HEAD_TURN: f32 = 70.0 * std::f32::consts::PI / 180.0;
pub const HEAD_NOD: f32 = 35.0 * std::f32::consts::PI / 180.0;

/// Which way each side lies.
pub const SIDES: [f32; 2] = [-1.0, 1.0];

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bearing {
    Standing,
    /// Mid-stride.
    Walking,
    /// On a seat of this height.
    Sitting {
        seat_m: f32,
    },
    Kneeling,
    Crouching,
    /// One knee down, as photographers do near the front.
    OnOneKnee,
    /// Knees bent so far that the hips are at this height.
    Bent {
        hip_m: f32,
    },
}

/// What a skeleton is asked to do.
#[derive(Debug, Clone, Copy)]
pub struct Stance {
    /// On the floor, between the soles; for a sitting figure the middle of the seat, at floor height.
    pub feet: Vec3,
    pub heading: f32,
    pub bearing: Bearing,
    /// In the middle of a walk, a turn or a dance: feet and trunk after this instead of the bearing, which is then
    /// standing.
    pub stride: Option<Stride>,
    /// The bearing before, and how much of it is left: 1 as before, 0 as now. Sitting down and standing up, `feet` go
    /// evenly from the one origin to the other while the heading stays the seat's.
    pub before: Option<(Bearing, f32)>,
    pub look_at: Option<Vec3>,
    /// Trunk forward, radians.
    pub lean: f32,
    /// On tiptoe (+) or with softened knees (−).
    pub rise_m: f32,
    /// Yaw (to the right), pitch (up) and roll (to the right) of the head, instead of looking at something.
    pub head: Option<Vec3>,
    /// Small differences between people.
    pub chance: Chance,
}

#[derive(Debug, Clone, Copy)]
pub struct Leg {
    pub hip: Vec3,
    pub knee: Vec3,
    pub ankle: Vec3,
    /// World from foot: the toes point to −z.
    pub foot: Quat,
}

impl Leg {
    /// The point of the leg at a height in the world; an end of it where it does not come that high or low.
    pub fn at_height(&self, y: f32) -> Vec3 {
        let (high, low) = if y > self.knee.y { (self.hip, self.knee) } else { (self.knee, self.ankle) };
        let t = if (high.y - low.y).abs() < 1e-4 { 0.0 } else { (high.y - y) / (high.y - low.y) };
        high.lerp(low, t.clamp(0.0, 1.0))
    }
}

#[derive(Debug, Clone, Copy)]
pub struct Arm {
    pub shoulder: Vec3,
    pub elbow: Vec3,
    pub wrist: Vec3,
    /// Unit vector from wrist to fingertips.
    pub fingers: Vec3,
    /// Unit vector out of the palm.
    pub palm: Vec3,
}

impl Arm {
    /// Middle of the hand.
    pub fn grip(&self, body: &Body) -> Vec3 {
        self.wrist + self.fingers * body.hand * 0.45
    }
}

#[derive(Debug, Clone, Copy)]
pub struct Skeleton {
    pub root: Place,
    /// At the middle between the hip joints.
    pub pelvis: Place,
    /// At the middle between the shoulder joints.
    pub chest: Place,
    pub waist: Vec3,
    /// At the chin's height on the head's axis.
    pub head: Place,
    pub legs: [Leg; 2],
    pub arms: [Arm; 2],
}

/// Poses trunk, head, legs; arms at rest.
pub fn pose(body: &Body, stance: &Stance) -> Skeleton {
    let floor_y = stance.stride.map_or(stance.feet.y, |stride| stride.root.y);
    let root = Place::facing(glam::Vec2::new(stance.feet.x, stance.feet.z), floor_y, stance.heading);
    let set = in_time(body, stance, root);
    let pelvis = root.moved(set.hips).turned(set.pelvis);
    let (yaw, pitch, roll) = head_angles(body, stance, root, &set);
    // The shoulders follow the head a little.
    let twist = (yaw * 0.14).clamp(-0.15, 0.15);
    let trunk = Quat::from_rotation_y(-twist) * set.chest;
    let waist = pelvis.point(Vec3::Y * body.waist_over_hip());
    let chest_turned = (root.turned * trunk).normalize();
    let chest = Place::new(waist + chest_turned * (Vec3::Y * (body.spine() - body.waist_over_hip())), chest_turned);
    let head = Place::new(
        chest.point(Vec3::new(0.0, body.chin - body.shoulder, -0.008 * body.stature)),
        (root.turned * Quat::from_rotation_y(-yaw) * Quat::from_rotation_x(pitch) * Quat::from_rotation_z(-roll))
            .normalize(),
    );
    let legs = std::array::from_fn(|side| leg(body, root, pelvis, &set.feet[side], side));
    let arms = std::array::from_fn(|side| {
        let swing = set.swing * SIDES[side];
        hanging_arm(body, chest, root.turned, side, swing, stance.chance)
    });
    Skeleton { root, pelvis, chest, waist, head, legs, arms }
}

/// Shoulder joint of a side.
pub fn shoulder(body: &Body, chest: Place, side: usize) -> Vec3 {
    chest.point(Vec3::X * (SIDES[side] * body.arm_x))
}

/// An arm whose palm's middle is at `grip`, fingers and palm pointing as told; the elbow bends towards `pole`.
pub fn reaching_arm(body: &Body, shoulder: Vec3, grip: Vec3, fingers: Vec3, palm: Vec3, pole: Vec3) -> Arm {
    let fingers = fingers.normalize_or(Vec3::NEG_Y);
    let wrist = grip - fingers * body.hand * 0.45;
    let (elbow, wrist) = two_bones(shoulder, wrist, body.upper_arm, body.forearm, pole);
    // A hand bends at most about 70° at the wrist.
    let forearm = (wrist - elbow).normalize_or(Vec3::NEG_Y);
    let fingers = if fingers.dot(forearm) < 0.35 { (fingers + forearm * 0.8).normalize_or(forearm) } else { fingers };
    let palm = (palm - fingers * palm.dot(fingers)).normalize_or(fingers.any_orthonormal_vector());
    Arm { shoulder, elbow, wrist, fingers, palm }
}

/// Trunk and feet in body space.
#[derive(Clone)]
pub(super) struct Settled {
    pub hips: Vec3,
    pub pelvis: Quat,
    pub chest: Quat,
    pub feet: [FootPlan; 2],
    /// Arm swing of the right arm, radians forward.
    pub swing: f32,
}

#[derive(Clone, Copy)]
pub(super) struct FootPlan {
    pub ankle: Vec3,
    /// Turned out (yaw to the foot's own side) and toes up (pitch).
    pub out: f32,
    pub toes_up: f32,
    pub knee_pole: Vec3,
}

/// The side whose foot carries less in standing, and is the first to move.
pub fn free_side(c: Chance) -> usize {
    usize::from(c.unit("weight leg") < 0.5)
}

/// Where feet stand, left and right, body space: across, along (+ behind) and turned out.
pub fn standing_feet(body: &Body, c: Chance) -> [[f32; 3]; 2] {
    let h = body.stature;
    let free = free_side(c);
    let out = c.between("toes out", 0.10, 0.22);
    let shift = -SIDES[free] * h * c.between("weight shift", 0.004, 0.011);
    std::array::from_fn(|side| {
        if side == free {
            let free_z = -h * c.between("free foot", 0.010, 0.034);
            [SIDES[side] * body.leg_x * c.between("apart", 1.15, 1.5), free_z, out * 1.3]
        } else {
            [SIDES[side] * body.leg_x * 0.85 + shift * 0.5, 0.006 * h, out * 0.7]
        }
    })
}

pub(super) fn settle(body: &Body, stance: &Stance, bearing: Bearing) -> Settled {
    let h = body.stature;
    let c = stance.chance;
    let lean = |extra: f32| Quat::from_rotation_x(-(stance.lean + extra));
    let flat = |x: f32, z: f32, out: f32| FootPlan {
        ankle: Vec3::new(x, body.ankle + stance.rise_m.max(0.0), z),
        out,
        toes_up: -(stance.rise_m.max(0.0) / (body.foot_length * 0.7)).min(0.8),
        knee_pole: Vec3::NEG_Z,
    };
    match bearing {
        Bearing::Standing => {
            // Weight on one leg: the hips move over it and tip a little, the other foot stands out and forward.
            let w = -SIDES[free_side(c)];
            let shift = w * h * c.between("weight shift", 0.004, 0.011);
            let tip = w * c.between("hip tip", 0.010, 0.032);
            let turn = c.signed("hip turn") * 0.05;
            // Whoever makes themselves clearly smaller also stands wider.
            let lowered = (-stance.rise_m - 0.018).max(0.0) * 0.72;
            let leg = body.thigh() + body.shin();
            let wide = (leg * leg - (leg - lowered) * (leg - lowered)).sqrt();
            let stands = standing_feet(body, c);
            let feet = std::array::from_fn(|side| {
                let [x, z, out] = stands[side];
                flat(x + SIDES[side] * wide, z, out)
            });
            Settled {
                hips: Vec3::new(shift, body.hip - 0.003 * h + stance.rise_m, 0.0),
                pelvis: Quat::from_rotation_y(turn) * Quat::from_rotation_z(tip) * lean(-stance.lean * 0.45),
                chest: Quat::from_rotation_y(-turn * 0.6)
                    * Quat::from_rotation_z(-tip * 0.6)
                    * lean(stance.lean * 0.25),
                feet,
                swing: 0.0,
            }
        }
        Bearing::Walking => {
            let half = body.half_step;
            let front = if c.unit("front foot") < 0.5 { 0 } else { 1 };
            let f = SIDES[front];
            let leg = body.thigh() + body.shin();
            let hips_y = (leg * leg - half * half).sqrt() * 0.998 + body.ankle + 0.006 * h;
            let feet = std::array::from_fn(|side| {
                let x = SIDES[side] * body.leg_x * 0.8;
                if side == front {
                    FootPlan {
                        ankle: Vec3::new(x, body.ankle + 0.008 * h, -half),
                        out: 0.10,
                        toes_up: 0.20,
                        knee_pole: Vec3::NEG_Z,
                    }
                } else {
                    FootPlan {
                        ankle: Vec3::new(x, body.ankle + 0.045 * h, half * 0.92),
                        out: 0.08,
                        toes_up: -0.50,
                        knee_pole: Vec3::NEG_Z,
                    }
                }
            });
            Settled {
                hips: Vec3::new(-f * 0.004 * h, hips_y + stance.rise_m, 0.0),
                pelvis: Quat::from_rotation_y(f * 0.05) * lean(0.01),
                chest: Quat::from_rotation_y(-f * 0.04) * lean(0.035),
                feet,
                swing: -f * 0.32,
            }
        }
        Bearing::Sitting { seat_m } => {
            let back = c.between("sits back", -0.05, 0.09) - stance.lean;
            let hips = Vec3::new(0.0, seat_m + HIP_OVER_SEAT * h, 0.085);
            let apart = body.leg_x * c.between("knees", 0.95, 1.30);
            let feet = std::array::from_fn(|side| {
                // Knees level with the hips; feet on the floor, or dangling where legs are short.
                let z = hips.z - body.thigh() * 0.97 - h * c.between("feet forward", -0.03, 0.035);
                let dangling = hips.y - body.leg_thick[1] * 0.15 - body.shin() * 0.985;
                FootPlan {
                    ankle: Vec3::new(SIDES[side] * apart, body.ankle.max(dangling), z),
                    out: 0.14,
                    // Short legs rest on their toes or hang.
                    toes_up: -((dangling - body.ankle) / (0.72 * body.foot_length)).clamp(0.0, 0.3),
                    knee_pole: Vec3::new(0.0, 0.8, -1.0),
                }
            });
            Settled {
                hips,
                pelvis: Quat::from_rotation_x(back),
                chest: Quat::from_rotation_z(c.signed("sits aslant") * 0.03) * Quat::from_rotation_x(back),
                feet,
                swing: 0.0,
            }
        }
        Bearing::Kneeling => {
            let knee_r = body.leg_thick[1] * 0.5;
            Settled {
                hips: Vec3::new(0.0, body.thigh() * 0.99 + knee_r, 0.03 * h),
                pelvis: lean(0.02),
                chest: lean(0.03),
                feet: std::array::from_fn(|side| kneeling_foot(body, side, knee_r, 0.03 * h)),
                swing: 0.0,
            }
        }
        Bearing::OnOneKnee => {
            let knee_r = body.leg_thick[1] * 0.5;
            let down = kneeling_foot(body, 1, knee_r, 0.02 * h);
            let up = FootPlan {
                ankle: Vec3::new(-body.leg_x * 1.3, body.ankle, -body.thigh() * 0.92),
                out: 0.15,
                toes_up: 0.0,
                knee_pole: Vec3::new(-0.2, 0.7, -1.0),
            };
            Settled {
                hips: Vec3::new(0.0, body.thigh() * 0.985 + knee_r, 0.02 * h),
                pelvis: lean(0.04),
                chest: lean(0.06),
                feet: [up, down],
                swing: 0.0,
            }
        }
        Bearing::Crouching => squat(body, 0.20 * h, stance.lean),
        Bearing::Bent { hip_m } => squat(body, hip_m.clamp(0.17 * h, body.hip - 0.003 * h), stance.lean),
    }
}

/// Shin on the floor behind the knee, instep down.
fn kneeling_foot(body: &Body, side: usize, knee_r: f32, hips_z: f32) -> FootPlan {
    FootPlan {
        ankle: Vec3::new(SIDES[side] * body.leg_x, knee_r + 0.035 * body.stature, hips_z + body.shin() * 0.97),
        out: 0.0,
        toes_up: -2.8,
        knee_pole: Vec3::new(0.0, -0.6, -1.0),
    }
}

/// Feet flat, hips at any height: from softened knees to a full squat, the trunk leaning so that it balances.
fn squat(body: &Body, hip_m: f32, lean: f32) -> Settled {
    let h = body.stature;
    let low = ((body.hip - hip_m) / (body.hip - 0.17 * h)).clamp(0.0, 1.0);
    let tilt = lean + 0.55 * low;
    let feet = std::array::from_fn(|side| FootPlan {
        ankle: Vec3::new(SIDES[side] * body.leg_x * (1.15 + 0.25 * low), body.ankle + 0.02 * h * low, 0.0),
        out: 0.18,
        toes_up: -0.15 * low,
        knee_pole: Vec3::new(SIDES[side] * 0.16 * low, 0.4 * low, -1.0),
    });
    Settled {
        hips: Vec3::new(0.0, hip_m, 0.16 * h * low),
        pelvis: Quat::from_rotation_x(-tilt * 0.6),
        chest: Quat::from_rotation_x(-tilt),
        feet,
        swing: 0.0,
    }
}

fn leg(body: &Body, root: Place, pelvis: Place, plan: &FootPlan, side: usize) -> Leg {
    let hip = pelvis.point(Vec3::X * (SIDES[side] * body.leg_x));
    let turned_out = Quat::from_rotation_y(-SIDES[side] * plan.out);
    let pole = root.turned * (turned_out * plan.knee_pole);
    let (knee, ankle) = two_bones(hip, root.point(plan.ankle), body.thigh(), body.shin(), pole);
    let foot = (root.turned * turned_out * Quat::from_rotation_x(plan.toes_up)).normalize();
    Leg { hip, knee, ankle, foot }
}

fn head_angles(body: &Body, stance: &Stance, root: Place, set: &Settled) -> (f32, f32, f32) {
    let c = stance.chance;
    if let Some(head) = stance.head {
        return (head.x, head.y, head.z);
    }
    let roll = c.signed("head roll") * 0.045;
    let Some(target) = stance.look_at else {
        return (c.signed("head yaw") * 0.10, c.signed("head pitch") * 0.04 - 0.02, roll);
    };
    // Eyes, nearly enough: over the hips by the trunk's length, leaning.
    let eyes = root.point(set.hips + set.chest * (Vec3::Y * (body.eye - body.hip)));
    let way = root.turned.inverse() * (target - eyes);
    let flat = way.x.hypot(way.z);
    if flat < 1e-3 {
        return (0.0, HEAD_NOD.copysign(way.y), roll);
    }
    let yaw = way.x.atan2(-way.z);
    let pitch = way.y.atan2(flat);
    (yaw.clamp(-HEAD_TURN, HEAD_TURN), pitch.clamp(-HEAD_NOD, HEAD_NOD), roll)
}

/// An arm at rest: nearly straight, a little forward and away from the body; `swing` is radians forward.
fn hanging_arm(body: &Body, chest: Place, root: Quat, side: usize, swing: f32, c: Chance) -> Arm {
    let s = SIDES[side];
    let joint = shoulder(body, chest, side);
    let name = if side == 0 { "left arm" } else { "right arm" };
    let out = 0.045 + 0.05 * c.unit(name);
    let forward = 0.05 + swing + 0.05 * c.named(name).signed("forward");
    let way = Vec3::new(s * out, -1.0, -forward).normalize();
    let length = (body.upper_arm + body.forearm) * (0.985 - 0.02 * c.named(name).unit("bend"));
    let (elbow, wrist) = two_bones(
        joint,
        joint + root * (way * length),
        body.upper_arm,
        body.forearm,
        root * Vec3::new(s * 0.35, 0.0, 1.0),
    );
    let fingers = root * Vec3::new(-s * 0.10, -1.0, -0.16 - swing * 0.5).normalize();
    let palm = root * Vec3::new(-s, 0.0, 0.25);
    let palm = (palm - fingers * palm.dot(fingers)).normalize_or(Vec3::X);
    Arm { shoulder: joint, elbow, wrist, fingers, palm }
}
