//! How long and how thick the parts of a body are.
//!
//! Lengths along the body are fractions of stature after Drillis & Contini 1966 (Winter, *Biomechanics and Motor
//! Control of Human Movement*, 4th ed. 2009, Fig. 4.1). Thicknesses have no such table; they are chosen so that the
//! outer shoulder breadth is the ANSUR II bideltoid breadth (0.29 of stature for men, 0.28 for women) and the rest
//! looks right.

use crate::plan::Build;
use glam::Vec2;

/// Heights are above the floor for a body standing straight; everything in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    pub stature: f32,
    pub ankle: f32,
    pub knee: f32,
    pub hip: f32,
    pub shoulder: f32,
    pub chin: f32,
    pub eye: f32,
    pub upper_arm: f32,
    pub forearm: f32,
    pub hand: f32,
    pub foot_length: f32,
    pub foot_breadth: f32,
    /// Shoulder joint from the middle.
    pub arm_x: f32,
    /// Hip joint from the middle.
    pub leg_x: f32,
    /// Half the shoulder width of the table.
    pub half_shoulder: f32,
    /// Across and along.
    pub chest: Vec2,
    pub waist: Vec2,
    pub hips: Vec2,
    /// Upper arm, elbow, wrist; thigh, knee, ankle: thickness.
    pub arm_thick: [f32; 3],
    pub leg_thick: [f32; 3],
    pub neck_thick: f32,
    /// Half a walking step.
    pub half_step: f32,
    /// Width and depth of the head.
    pub head: Vec2,
    /// 0 grown up … 1 a three-year-old.
    pub childness: f32,
}

/// Hip joint above a hard seat, over stature: sitting eye height (ANSUR II, 804 of 1756 mm) less the way from hip to
/// eye of the table above (0.936 − 0.530).
pub const HIP_OVER_SEAT: f32 = 804.0 / 1756.0 - (0.936 - 0.530);

impl Body {
    /// `curved` gives narrower shoulders and a waist, as dresses are cut for.
    pub fn new(stature_m: f32, build: Build, curved: bool) -> Self {
        let h = stature_m;
        // From memory of growth charts in drawing books: a head is a fifth of a three-year-old, a sixth at six to
        // seven, and Drillis & Contini's 0.130 when grown; legs are correspondingly short.
        let c = if build == Build::Child { ((1.60 - h) / (1.60 - 0.95)).clamp(0.0, 1.0) } else { 0.0 };
        let head_height = 0.130 + (0.200 - 0.130) * c;
        let chin = 1.0 - head_height;
        let stout = match build {
            Build::Slight => 0.91,
            Build::Middling => 1.0,
            Build::Broad => 1.15,
            Build::Child => 1.0 - 0.04 * c,
        };
        // Breadth of the skeleton changes less than the girth on it.
        let broad = 1.0 + (stout - 1.0) * 0.45;
        let (arm_x, chest, waist, hips) = if curved {
            (0.104, Vec2::new(0.176, 0.112), Vec2::new(0.128, 0.096), Vec2::new(0.186, 0.128))
        } else {
            (0.116, Vec2::new(0.204, 0.119), Vec2::new(0.164, 0.111), Vec2::new(0.180, 0.122))
        };
        let limb = if curved { 0.9 } else { 1.0 } * stout;
        let head_width = if curved { 0.735 } else { 0.76 } + 0.05 * c;
        Self {
            stature: h,
            ankle: 0.039 * h,
            knee: (0.285 - 0.030 * c) * h,
            hip: (0.530 - 0.060 * c) * h,
            shoulder: (chin - 0.052 + 0.010 * c) * h,
            chin: chin * h,
            // The table's eye lies 0.066 of stature over the chin: 0.508 of the head; a child's a little lower.
            eye: (chin + head_height * (0.066 / 0.130 - 0.035 * c)) * h,
            upper_arm: (0.186 - 0.016 * c) * h,
            forearm: (0.146 - 0.010 * c) * h,
            hand: (0.108 - 0.004 * c) * h,
            foot_length: 0.152 * h,
            foot_breadth: 0.055 * h,
            arm_x: arm_x * broad * h,
            leg_x: 0.050 * broad * h,
            half_shoulder: 0.259 / 2.0 * broad * h,
            chest: chest * Vec2::new(broad, stout) * h,
            waist: waist * stout * (1.0 + 0.10 * c) * h,
            hips: hips * stout * h,
            arm_thick: [0.058, 0.050, 0.036].map(|t| t * limb * (1.0 + 0.08 * c) * h),
            leg_thick: [0.094, 0.070, 0.047].map(|t| t * limb.max(0.9) * (1.0 + 0.06 * c) * h),
            neck_thick: 0.062 * limb.max(0.92) * h,
            // An unhurried step is 0.34 of stature (comfortable walking about 0.41, from memory); dresses shorten it.
            half_step: if curved { 0.13 } else { 0.17 } * h,
            head: Vec2::new(head_width, 0.86) * head_height * h,
            childness: c,
        }
    }

    pub fn head_height(&self) -> f32 {
        self.stature - self.chin
    }

    pub fn thigh(&self) -> f32 {
        self.hip - self.knee
    }

    pub fn shin(&self) -> f32 {
        self.knee - self.ankle
    }

    /// Hip joints to the line between the shoulders.
    pub fn spine(&self) -> f32 {
        self.shoulder - self.hip
    }

    /// Where the torso bends, above the hip joints.
    pub fn waist_over_hip(&self) -> f32 {
        0.36 * self.spine()
    }

    /// How far a palm's middle comes from the shoulder.
    pub fn reach(&self) -> f32 {
        self.upper_arm + self.forearm + self.hand * 0.45
    }
}
