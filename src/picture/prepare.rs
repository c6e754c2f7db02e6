//! A planned frame to everything a picture of it needs: who is where, the light, the camera.

use crate::daylight::{Daylight, daylight_at};
use crate::optics::{Camera, ComposeError, Composed, compose};
use crate::plan::{Frame, Plan};
use crate::sight::{PlainCaster, face_lux, scene_luminance};
use crate::staging::{Figure, OwnerIx, OwnerKind, Tableau, stage};
use std::f64::consts::PI;

/// A frame, ready to be drawn.
#[derive(Debug, Clone)]
pub struct Prepared<'a> {
    pub frame: &'a Frame,
    pub tableau: Tableau,
    pub daylight: Daylight,
    pub composed: Composed,
    /// What the camera's meter took as the light on its subject.
    pub metered_lux: f64,
}

/// Weight of the face against the whole picture, in stops, when a camera meters. Makers keep theirs to themselves; this
/// one holds a face in shade about two thirds of a stop under the value for the face alone when the sun is out behind.
/// *Our own.*
const FACE_WEIGHT: f64 = 0.65;
/// A scene is metered as if it gave back this share of its light. ISO 2720's constants K = 12.5 and C = 250 belong to
/// π·K/C = 0.157.
const METERED_REFLECTANCE: f64 = 0.157;
/// Heads nearer to a face than this don't shade it for the meter: in a kiss it would meter the dark between two faces.
const HEADS_TOUCH_M: f32 = 0.45;

/// Stages the frame's instant, finds its light and points its camera.
///
/// # Errors
/// None of the frame's people is there and the frame has no aim of its own.
pub fn prepare<'a>(plan: &'a Plan, frame: &'a Frame) -> Result<Prepared<'a>, ComposeError> {
    let at_s = plan.at_s(frame);
    let tableau = stage(plan, at_s);
    let daylight = daylight_at(&plan.place, plan.sky, &plan.instant(at_s));
    let metered_lux = metered_lux(plan, frame, &tableau, &daylight)?;
    let composed = compose(plan, frame, &tableau, metered_lux)?;
    Ok(Prepared { frame, tableau, daylight, composed, metered_lux })
}

/// What the camera's meter takes as the light on its subject: mostly the face, partly the picture round it.
fn metered_lux(plan: &Plan, frame: &Frame, tableau: &Tableau, daylight: &Daylight) -> Result<f64, ComposeError> {
    let lamps = &plan.venue.lamps;
    // Where the camera points doesn't depend on the light.
    let camera = compose(plan, frame, tableau, 1000.0)?.camera;
    let scene_lux = scene_luminance(&PlainCaster::new(tableau), daylight, &camera, lamps) * PI / METERED_REFLECTANCE;
    let subject = frame.focus_on.iter().chain(&frame.of);
    let Some(figure) = subject.copied().find_map(|person| tableau.figure_of(OwnerKind::Person(person))) else {
        return Ok(scene_lux);
    };
    let apart = without_touching_heads(tableau, figure);
    let side = side_seen(&camera, figure);
    let face_lux = face_lux(&apart, daylight, &side, lamps).total();
    Ok((FACE_WEIGHT * face_lux.max(1e-3).log2() + (1.0 - FACE_WEIGHT) * scene_lux.max(1e-3).log2()).exp2())
}

/// The tableau without those whose heads touch this one's.
fn without_touching_heads(tableau: &Tableau, figure: &Figure) -> Tableau {
    let touching: Vec<OwnerIx> = tableau
        .figures
        .iter()
        .filter(|other| other.owner != figure.owner && other.eyes.distance(figure.eyes) < HEADS_TOUCH_M)
        .map(|other| other.owner)
        .collect();
    let solids = tableau.solids.iter().filter(|solid| !touching.contains(&solid.owner)).cloned().collect();
    Tableau { solids, ..tableau.clone() }
}

/// A camera meters the side of the head that it sees: between where the face points and the camera.
fn side_seen(camera: &Camera, figure: &Figure) -> Figure {
    let to_camera = (camera.eye - figure.eyes).normalize_or(figure.face_forward);
    Figure { face_forward: (figure.face_forward + to_camera).normalize_or(to_camera), ..figure.clone() }
}

/// Width and height in pixels of a frame whose long side has `long_px`.
pub fn picture_size(sensor_m: [f64; 2], long_px: u32) -> [u32; 2] {
    let longest = sensor_m[0].max(sensor_m[1]);
    sensor_m.map(|side| ((f64::from(long_px) * side / longest).round() as u32).max(1))
}
