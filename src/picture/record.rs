//! `frames.json`: one object a frame in plan order, for scripts and other programs.
//!
//! Fields may be added; renaming or removing one breaks what people built on it.

use crate::optics::Camera;
use crate::plan::{Frame, Orientation, Plan, ShotSize};
use jiff::ZonedDateTime;
use serde::{Deserialize, Serialize};

/// The whole file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FramesFile {
    /// 1.
    pub format: u32,
    /// The plan's file name.
    pub plan: String,
    pub frames: Vec<FrameRecord>,
}

impl FramesFile {
    pub fn new(plan: impl Into<String>, frames: Vec<FrameRecord>) -> Self {
        Self { format: 1, plan: plan.into(), frames }
    }
}

/// One picture. Lengths in metres unless the name says otherwise.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FrameRecord {
    pub id: String,
    /// Beside `frames.json`.
    pub file: String,
    pub moment: String,
    /// Seconds into the ceremony.
    pub at_s: f64,
    /// RFC 9557.
    pub instant: ZonedDateTime,
    pub photographer: String,
    pub standpoint: String,
    pub of: Vec<String>,
    pub shot_size: String,
    pub width: u32,
    pub height: u32,
    /// As held: portrait has height > width.
    pub sensor_mm: [f64; 2],
    pub focal_mm: f64,
    pub f_number: f64,
    pub shutter_s: f64,
    pub iso: f64,
    pub focus_m: f64,
    /// Colour temperature that the camera took for white.
    pub white_balance_kelvin: f64,
    /// Of the pinhole that the picture is drawn with.
    pub vertical_fov_deg: f64,
    pub eye: [f32; 3],
    /// Column by column; the camera looks along its −z, +y is up.
    pub world_from_camera: [f32; 16],
    pub drawn_by: DrawnBy,
    /// The graphics adapter; empty for the tracer.
    pub adapter: String,
    pub orientation: String,
    /// What had to give, in words.
    pub remarks: Vec<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum DrawnBy {
    Engine,
    Tracer,
}

/// What only whoever drew the picture knows.
#[derive(Debug, Clone, PartialEq)]
pub struct RecordedPicture {
    pub file: String,
    pub width: u32,
    pub height: u32,
    pub drawn_by: DrawnBy,
    pub adapter: String,
    pub white_balance_kelvin: f64,
    pub remarks: Vec<String>,
}

pub fn frame_record(plan: &Plan, frame: &Frame, camera: &Camera, picture: RecordedPicture) -> FrameRecord {
    let at_s = plan.at_s(frame);
    FrameRecord {
        id: frame.id.clone(),
        file: picture.file,
        moment: plan.moments[frame.moment.0].id.clone(),
        at_s: tidy(at_s),
        instant: plan.instant(at_s),
        photographer: plan.crew[plan.photographer_of(frame).0].id.clone(),
        standpoint: plan.standpoints[frame.standpoint.0].id.clone(),
        of: frame.of.iter().map(|person| plan.people[person.0].id.clone()).collect(),
        shot_size: shot_size_word(frame.shot_size).to_owned(),
        width: picture.width,
        height: picture.height,
        sensor_mm: camera.sensor_m.map(|side| tidy(side * 1000.0)),
        focal_mm: tidy(camera.focal_m * 1000.0),
        f_number: tidy(camera.f_number),
        shutter_s: camera.shutter_s,
        iso: tidy(camera.iso),
        focus_m: tidy(camera.focus_m),
        white_balance_kelvin: picture.white_balance_kelvin.round(),
        vertical_fov_deg: tidy(camera.vertical_fov().to_degrees()),
        eye: camera.eye.to_array(),
        world_from_camera: camera.world_from_camera().to_cols_array(),
        drawn_by: picture.drawn_by,
        adapter: picture.adapter,
        orientation: orientation_word(frame.orientation).to_owned(),
        remarks: picture.remarks,
    }
}

/// A picture that no photographer takes: the fields that name one are empty.
pub fn overview_record(
    plan: &Plan,
    id: &str,
    moment: &str,
    at_s: f64,
    camera: &Camera,
    picture: RecordedPicture,
) -> FrameRecord {
    let [width_m, height_m] = camera.sensor_m;
    let orientation = if height_m > width_m { Orientation::Portrait } else { Orientation::Landscape };
    FrameRecord {
        id: id.to_owned(),
        file: picture.file,
        moment: moment.to_owned(),
        at_s: tidy(at_s),
        instant: plan.instant(at_s),
        photographer: String::new(),
        standpoint: String::new(),
        of: vec![],
        shot_size: shot_size_word(ShotSize::Wide).to_owned(),
        width: picture.width,
        height: picture.height,
        sensor_mm: camera.sensor_m.map(|side| tidy(side * 1000.0)),
        focal_mm: tidy(camera.focal_m * 1000.0),
        f_number: tidy(camera.f_number),
        shutter_s: camera.shutter_s,
        iso: tidy(camera.iso),
        focus_m: tidy(camera.focus_m),
        vertical_fov_deg: tidy(camera.vertical_fov().to_degrees()),
        eye: camera.eye.to_array(),
        world_from_camera: camera.world_from_camera().to_cols_array(),
        white_balance_kelvin: picture.white_balance_kelvin.round(),
        drawn_by: picture.drawn_by,
        adapter: picture.adapter,
        orientation: orientation_word(orientation).to_owned(),
        remarks: picture.remarks,
    }
}

/// As plans and records write it.
pub fn shot_size_word(size: ShotSize) -> &'static str {
    match size {
        ShotSize::Wide => "wide",
        ShotSize::Full => "full",
        ShotSize::ThreeQuarter => "three_quarter",
        ShotSize::Half => "half",
        ShotSize::HeadAndShoulders => "head_and_shoulders",
        ShotSize::Close => "close",
    }
}

pub fn orientation_word(orientation: Orientation) -> &'static str {
    match orientation {
        Orientation::Landscape => "landscape",
        Orientation::Portrait => "portrait",
    }
}

/// Without the last binary digits: 85, not 85.00000000000001.
fn tidy(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}
