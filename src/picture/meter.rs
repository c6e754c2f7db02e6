//! What a camera's meter makes of a scene: exposure, white, and how much light from all round reaches its subject.

use super::indoors::{WindowLight, window_light};
use super::outside::Outside;
use super::white::{WhiteBalance, white_balance};
use crate::daylight::Daylight;
use crate::optics::{Camera, ComposeError, compose};
use crate::plan::{Frame, Plan};
use crate::sight::{Caster, FaceLight, Light, Sources, sum_of};
use crate::staging::{Figure, OwnerIx, OwnerKind, Tableau};
use glam::{DVec3, Vec3};
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
    pub sky_share: f64,
    /// Other light from all round, cd/m² in linear sRGB: what walls give back of lamps and windows.
    pub bounce_nits: [f32; 3],
    /// Windows of the room that the subject is in.
    pub windows: Vec<WindowLight>,
    /// What is outside of that room.
    pub outside: Option<Outside>,
    pub white: WhiteBalance,
}

impl Metered {
    /// No light from all round at all.
    pub const DARK: Self = Self {
        lux: 0.0,
        sky_share: 0.0,
        bounce_nits: [0.0; 3],
        windows: vec![],
        outside: None,
        white: WhiteBalance::NONE,
    };
}

/// Meters a frame in its tableau.
///
/// # Errors
/// As [`compose`].
pub fn meter(
    plan: &Plan,
    frame: &Frame,
    tableau: &Tableau,
    daylight: &Daylight,
    sources: &Sources,
) -> Result<Metered, ComposeError> {
    // Where the camera points doesn't depend on the light.
    let camera = compose(plan, frame, tableau, 1000.0)?.camera;
    let caster = Caster::new(tableau);
    let light = Light::new(&caster, daylight, sources);
    let scene = light.in_picture(&camera, the_photographer(plan, frame, tableau).map(|figure| figure.owner));
    let scene_lux = scene.luminance * PI / METERED_REFLECTANCE;
    let subject = subject_of(frame, tableau);
    let Some(figure) = subject.or_else(|| the_photographer(plan, frame, tableau)) else {
        return Ok(Metered { lux: scene_lux, sky_share: 1.0, white: white_balance(scene.light), ..Metered::DARK });
    };
    let side = side_seen(&camera, figure);
    let face = light_without_touching_heads(tableau, figure, daylight, &side, sources);
    let from_round = match light.room_round(figure.eyes) {
        Some((room, bounced)) => Metered {
            bounce_nits: (bounced / PI).as_vec3().to_array(),
            outside: Some(Outside {
                room: room.clone(),
                brighter: (light.outdoors() / bounced.max(DVec3::splat(1e-3))).as_vec3().to_array(),
            }),
            windows: room.portals.iter().map(|portal| window_light(portal, daylight)).collect(),
            ..Metered::DARK
        },
        None => Metered {
            sky_share: share_of_the_sky(&face, daylight.sky.illuminance_on(side.face_forward)),
            bounce_nits: (face.lamp_bounce / PI).as_vec3().to_array(),
            ..Metered::DARK
        },
    };
    Ok(Metered {
        lux: if subject.is_some() { weighed(face.total_lux(), scene_lux) } else { scene_lux },
        white: white_balance(mixed(face.total(), scene.light)),
        ..from_round
    })
}

fn share_of_the_sky(face: &FaceLight, open_lux: f64) -> f64 {
    (sum_of(face.sky + face.bounce) / open_lux.max(1e-6)).min(1.5)
}

/// The colour of the light: of the face and of the whole picture, weighed as for the exposure.
fn mixed(face: DVec3, scene: DVec3) -> DVec3 {
    let colour = |light: DVec3| light / sum_of(light).max(1e-9);
    colour(face) * FACE_WEIGHT + colour(scene) * (1.0 - FACE_WEIGHT)
}

fn weighed(face_lux: f64, scene_lux: f64) -> f64 {
    (FACE_WEIGHT * face_lux.max(1e-3).log2() + (1.0 - FACE_WEIGHT) * scene_lux.max(1e-3).log2()).exp2()
}

/// Whom a frame is metered for: who the focus is on, else the first it is of who is there.
fn subject_of<'a>(frame: &Frame, tableau: &'a Tableau) -> Option<&'a Figure> {
    let wanted = frame.focus_on.iter().chain(&frame.of);
    wanted.copied().find_map(|person| tableau.figure_of(OwnerKind::Person(person)))
}

/// Where the light of a frame matters: its subject's eyes, else its photographer's.
pub fn where_light_matters(plan: &Plan, frame: &Frame, tableau: &Tableau) -> Option<Vec3> {
    subject_of(frame, tableau).or_else(|| the_photographer(plan, frame, tableau)).map(|figure| figure.eyes)
}

fn the_photographer<'a>(plan: &Plan, frame: &Frame, tableau: &'a Tableau) -> Option<&'a Figure> {
    tableau.figure_of(OwnerKind::Photographer(plan.photographer_of(frame)))
}

/// Light on the side of a head that a camera sees, without those whose heads touch it.
pub fn light_on_seen_side(
    camera: &Camera,
    tableau: &Tableau,
    figure: &Figure,
    daylight: &Daylight,
    sources: &Sources,
) -> FaceLight {
    light_without_touching_heads(tableau, figure, daylight, &side_seen(camera, figure), sources)
}

/// A camera meters the side of the head that it sees: between where the face points and the camera.
fn side_seen(camera: &Camera, figure: &Figure) -> Figure {
    let to_camera = (camera.eye - figure.eyes).normalize_or(figure.face_forward);
    Figure { face_forward: (figure.face_forward + to_camera).normalize_or(to_camera), ..figure.clone() }
}

/// Light on a face, without those whose heads touch this one's.
fn light_without_touching_heads(
    tableau: &Tableau,
    figure: &Figure,
    daylight: &Daylight,
    side: &Figure,
    sources: &Sources,
) -> FaceLight {
    let touching: Vec<OwnerIx> = tableau
        .figures
        .iter()
        .filter(|other| other.owner != figure.owner && other.eyes.distance(figure.eyes) < HEADS_TOUCH_M)
        .map(|other| other.owner)
        .collect();
    let others = |solid: &usize| !touching.contains(&tableau.solids[*solid].owner);
    let caster = Caster::of(tableau, (0..tableau.solids.len()).filter(others));
    Light::new(&caster, daylight, sources).on_face(side)
}
