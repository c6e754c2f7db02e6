//! What a camera's meter makes of a scene, and how much of the open light reaches its subject.

use super::indoors::{WindowLight, room_at, window_lights};
use crate::daylight::Daylight;
use crate::optics::{Camera, ComposeError, compose};
use crate::plan::{Frame, Plan};
use crate::sight::{FaceLight, PlainCaster, face_lux, scene_luminance};
use crate::staging::{Figure, OwnerIx, OwnerKind, Tableau};
use glam::Vec2;
use std::f64::consts::PI;

/// Weight of the face against the whole picture, in stops, when a camera meters. Makers keep theirs to themselves; this
/// one holds a face in shade up to a stop under the value for the face alone when what lies behind is in the sun.
/// *Our own.*
const FACE_WEIGHT: f64 = 0.65;
/// A scene is metered as if it gave back this share of its light. ISO 2720's constants K = 12.5 and C = 250 belong to
/// π·K/C = 0.157.
const METERED_REFLECTANCE: f64 = 0.157;
/// Heads nearer to a face than this don't shade it for the meter: in a kiss it would meter the dark between two faces.
const HEADS_TOUCH_M: f32 = 0.45;

/// Light at a frame's subject.
#[derive(Debug, Clone, PartialEq)]
pub struct Metered {
    /// What the camera's meter takes as the light on its subject, lux.
    pub lux: f64,
    /// Share of the open sky's and ground's light that reaches the subject from all round.
    pub ambient_share: f64,
    /// Windows of the room that the subject is in.
    pub windows: Vec<WindowLight>,
}

/// Meters a frame in its tableau.
///
/// # Errors
/// As [`compose`].
pub fn meter(plan: &Plan, frame: &Frame, tableau: &Tableau, daylight: &Daylight) -> Result<Metered, ComposeError> {
    let lamps = &plan.venue.lamps;
    // Where the camera points doesn't depend on the light.
    let camera = compose(plan, frame, tableau, 1000.0)?.camera;
    let scene_lux = scene_luminance(&PlainCaster::new(tableau), daylight, &camera, lamps) * PI / METERED_REFLECTANCE;
    let subject = frame.focus_on.iter().chain(&frame.of);
    let subject = subject.copied().find_map(|person| tableau.figure_of(OwnerKind::Person(person)));
    let Some(figure) = subject.or_else(|| the_photographer(plan, frame, tableau)) else {
        return Ok(Metered { lux: scene_lux, ambient_share: 1.0, windows: vec![] });
    };
    let side = side_seen(&camera, figure);
    let face = face_lux(&without_touching_heads(tableau, figure), daylight, &side, lamps);
    let room = room_at(&plan.venue, Vec2::new(figure.eyes.x, figure.eyes.z));
    let windows = room.map_or_else(Vec::new, |room| window_lights(&plan.venue, room, daylight));
    Ok(Metered {
        lux: if subject.is_some() { weighed(face.total(), scene_lux) } else { scene_lux },
        ambient_share: ambient_share(&face, daylight.sky.illuminance_on(side.face_forward), !windows.is_empty()),
        windows,
    })
}

/// With windows drawn as lights, only what walls give back is left for the light from all round.
fn ambient_share(face: &FaceLight, open_lux: f64, windows: bool) -> f64 {
    let from_round = if windows { face.bounce_lux } else { face.sky_lux + face.bounce_lux };
    (from_round / open_lux.max(1e-6)).min(1.5)
}

fn weighed(face_lux: f64, scene_lux: f64) -> f64 {
    (FACE_WEIGHT * face_lux.max(1e-3).log2() + (1.0 - FACE_WEIGHT) * scene_lux.max(1e-3).log2()).exp2()
}

fn the_photographer<'a>(plan: &Plan, frame: &Frame, tableau: &'a Tableau) -> Option<&'a Figure> {
    tableau.figure_of(OwnerKind::Photographer(plan.photographer_of(frame)))
}

/// A camera meters the side of the head that it sees: between where the face points and the camera.
fn side_seen(camera: &Camera, figure: &Figure) -> Figure {
    let to_camera = (camera.eye - figure.eyes).normalize_or(figure.face_forward);
    Figure { face_forward: (figure.face_forward + to_camera).normalize_or(to_camera), ..figure.clone() }
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
