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
    /// Empty share of the frame's height above the crown.
    pub above: f64,
    /// Empty share of the frame's height below the lower line.
    pub below: f64,
    /// Share of the shoulder width that must be in the frame.
    pub breadth: f64,
}

/// Common practice, no source; the lower lines after `mid-thigh 0.41, waist 0.60, chest 0.72, shoulders 0.82` of
/// stature. Frame heights come out as 3.57, 1.14, 0.64, 0.43, 0.30 and 0.19 statures.
pub const FRAMINGS: [Framing; 6] = [
    Framing { size: ShotSize::Wide, words: "a wide", lower_line: 0.0, above: 0.47, below: 0.25, breadth: 1.5 },
    Framing { size: ShotSize::Full, words: "a full length", lower_line: 0.0, above: 0.07, below: 0.05, breadth: 1.3 },
    Framing {
        size: ShotSize::ThreeQuarter,
        words: "a three-quarter",
        lower_line: 0.41,
        above: 0.08,
        below: 0.0,
        breadth: 1.2,
    },
    Framing { size: ShotSize::Half, words: "a half length", lower_line: 0.60, above: 0.08, below: 0.0, breadth: 1.1 },
    Framing {
        size: ShotSize::HeadAndShoulders,
        words: "a head and shoulders",
        lower_line: 0.72,
        above: 0.08,
        below: 0.0,
        breadth: 0.7,
    },
    Framing { size: ShotSize::Close, words: "a close-up", lower_line: 0.82, above: 0.06, below: 0.0, breadth: 0.5 },
];

/// Joints a lower edge must not cut, as shares of stature of someone standing: sole and ankle, knee, wrist, and the
/// neck. (Elbow and hip lie at heights where the trade does cut, arms being bent or away from the edge.)
pub const JOINTS: [(f64, f64); 4] = [(-0.005, 0.075), (0.255, 0.325), (0.47, 0.51), (0.835, 0.875)];

pub fn framing(size: ShotSize) -> &'static Framing {
    FRAMINGS.iter().find(|framing| framing.size == size).unwrap_or(&FRAMINGS[1])
}

impl Framing {
    /// Height of the frame at the person's distance, in statures of someone standing.
    pub fn statures_high(&self) -> f64 {
        (1.0 - self.lower_line) / (1.0 - self.above - self.below)
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
