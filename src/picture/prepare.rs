//! A planned frame to everything a picture of it needs: who is where, the light, the camera.

use crate::daylight::{Daylight, daylight_at};
use crate::optics::{ComposeError, Composed, compose};
use crate::plan::{Frame, Plan};
use crate::sight::face_lux;
use crate::staging::{Figure, OwnerKind, Tableau, stage};
use glam::Vec3;

/// A frame, ready to be drawn.
#[derive(Debug, Clone)]
pub struct Prepared<'a> {
    pub frame: &'a Frame,
    pub tableau: Tableau,
    pub daylight: Daylight,
    pub composed: Composed,
    /// Light on the face that is metered.
    pub face_lux: f64,
}

/// Light taken as falling on a face where nobody is there to be metered: an open surface towards the sky.
fn open_air_lux(daylight: &Daylight) -> f64 {
    daylight.illuminance_on(Vec3::Y) / 2.0
}

/// Stages the frame's instant, finds its light and points its camera.
///
/// # Errors
/// None of the frame's people is there and the frame has no aim of its own.
pub fn prepare<'a>(plan: &'a Plan, frame: &'a Frame) -> Result<Prepared<'a>, ComposeError> {
    let at_s = plan.at_s(frame);
    let tableau = stage(plan, at_s);
    let daylight = daylight_at(&plan.place, plan.sky, &plan.instant(at_s));
    let metered =
        frame.focus_on.iter().chain(&frame.of).find_map(|&person| tableau.figure_of(OwnerKind::Person(person)));
    let face_lux = metered.map_or_else(
        || open_air_lux(&daylight),
        |figure| face_lux(&tableau, &daylight, &side_seen(plan, frame, figure), &plan.venue.lamps).total(),
    );
    let composed = compose(plan, frame, &tableau, face_lux)?;
    Ok(Prepared { frame, tableau, daylight, composed, face_lux })
}

/// A camera meters the side of the head that it sees: between where the face points and the camera.
fn side_seen(plan: &Plan, frame: &Frame, figure: &Figure) -> Figure {
    let standpoint = &plan.standpoints[frame.standpoint.0];
    let eye = Vec3::new(standpoint.at.x, figure.sole.y + standpoint.camera_height_m, standpoint.at.y);
    let to_camera = (eye - figure.eyes).normalize_or(figure.face_forward);
    Figure { face_forward: (figure.face_forward + to_camera).normalize_or(to_camera), ..figure.clone() }
}

/// Width and height in pixels of a frame whose long side has `long_px`.
pub fn picture_size(sensor_m: [f64; 2], long_px: u32) -> [u32; 2] {
    let longest = sensor_m[0].max(sensor_m[1]);
    sensor_m.map(|side| ((f64::from(long_px) * side / longest).round() as u32).max(1))
}
