//! Shot sizes: how much of a person a frame holds, and the focal length that gives it.
//!
//! Trade usage, no standard: the lower edge goes where no joint is (mid-thigh, waist, chest, shoulder line, or below
//! the soles), the eyes come near the upper third in tight frames. Body heights are shares of stature after Drillis &
//! Contini (1966).

use crate::plan::ShotSize;

/// How a shot size lays a person out in the frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Framing {
    pub size: ShotSize,
    /// As said in a sentence: "a half-length".
    pub words: &'static str,
    /// Lowest part of the body that belongs in the frame, share of stature above the soles.
    pub lower_line: f64,
    /// Empty share of the frame's height above the hair; negative where a little of it is trimmed.
    pub above: f64,
    /// Empty share of the frame's height below the lower line.
    pub below: f64,
    /// Share of the shoulder width that must be in the frame.
    pub breadth: f64,
}

/// Hair above the crown, share of stature: about 3.5 cm. Headroom counts from there.
pub const HAIR: f64 = 0.02;

/// Common practice, no source; the lower lines after `mid-thigh 0.41, waist 0.60, chest 0.72, shoulders 0.82` of
/// stature. Frame heights come out as 3.19, 1.15, 0.66, 0.45, 0.32 and 0.20 statures. A close-up trims a little hair,
/// so that the eyes don't sink below the middle.
pub const FRAMINGS: [Framing; 6] = [
    shot(ShotSize::Wide, "a wide", 0.0, [0.40, 0.28], 1.5),
    shot(ShotSize::Full, "a full length", 0.0, [0.06, 0.05], 1.3),
    shot(ShotSize::ThreeQuarter, "a three-quarter", 0.41, [0.07, 0.0], 1.2),
    shot(ShotSize::Half, "a half length", 0.60, [0.07, 0.0], 1.1),
    shot(ShotSize::HeadAndShoulders, "a head and shoulders", 0.72, [0.06, 0.0], 0.7),
    shot(ShotSize::Close, "a close-up", 0.82, [-0.02, 0.0], 0.5),
];

const fn shot(size: ShotSize, words: &'static str, lower_line: f64, [above, below]: [f64; 2], breadth: f64) -> Framing {
    Framing { size, words, lower_line, above, below, breadth }
}

/// Joints a lower edge must not cut, as shares of stature of someone standing: sole and ankle, knee, wrist, and the
/// neck. (Elbow and hip lie at heights where the trade does cut, arms being bent or away from the edge.)
pub const JOINTS: [(f64, f64); 4] = [(-0.005, 0.075), (0.255, 0.325), (0.47, 0.51), (0.835, 0.875)];

pub fn framing(size: ShotSize) -> &'static Framing {
    FRAMINGS.iter().find(|framing| framing.size == size).unwrap_or(&FRAMINGS[1])
}

impl Framing {
    /// Height of the frame at the person's distance, in statures of someone standing.
    pub fn statures_high(&self) -> f64 {
        (1.0 + HAIR - self.lower_line) / (1.0 - self.above - self.below)
    }
}

/// Focal length that frames a standing person of `stature_m` as asked, `distance_m` away along the axis, on a sensor
/// `sensor_height_m` high as held. Pinhole: f = h·d / height of the frame there.
pub fn focal_for_shot(size: ShotSize, stature_m: f64, distance_m: f64, sensor_height_m: f64) -> f64 {
    sensor_height_m * distance_m / (framing(size).statures_high() * stature_m)
}

/// Distance along the axis at which `focal_m` frames a standing person as asked.
pub fn distance_for_shot(size: ShotSize, stature_m: f64, focal_m: f64, sensor_height_m: f64) -> f64 {
    focal_m * framing(size).statures_high() * stature_m / sensor_height_m
}

/// The shot size nearest to what `focal_m` gives of a standing person, by the height of the frame.
pub fn shot_size_at(focal_m: f64, stature_m: f64, distance_m: f64, sensor_height_m: f64) -> ShotSize {
    let statures = sensor_height_m * distance_m / (focal_m * stature_m);
    let apart = |framing: &Framing| (statures / framing.statures_high()).ln().abs();
    FRAMINGS.iter().min_by(|a, b| apart(a).total_cmp(&apart(b))).map_or(ShotSize::Full, |framing| framing.size)
}

/// Whether a lower frame edge at this share of stature cuts a joint.
pub fn cuts_a_joint(share_of_stature: f64) -> bool {
    JOINTS.iter().any(|&(low, high)| low < share_of_stature && share_of_stature < high)
}
