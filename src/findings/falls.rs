//! How light falls on a face, in the trade's words.

use super::look::{FaceLook, Look};
use crate::sight::sum_of;
use serde::Serialize;

/// Sun is what one sees of the light when it is this many times all the rest on a surface turned to it. *Our own.*
const SUN_LEADS: f64 = 1.0;
/// Between front and side, and between side and back: the sun's angle at the face, away from the camera's way to it, degrees.
/// *Common practice, no source*: up to half way to the side is front light.
const FRONT_DEG: f64 = 45.0;
const SIDE_DEG: f64 = 110.0;
/// A sun higher than this shades the eyes. *Common practice, no source.*
const TOP_DEG: f64 = 55.0;
/// Changes between sun and shade along a row of points across the face: the edge of one shadow is one, leaves are more. *Our
/// own.*
const DAPPLED: f64 = 2.0;

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Falls {
    /// No sun on the head: sky, walls and lamps from all round.
    Soft,
    Front,
    Side,
    Top,
    /// From behind: a bright edge on hair and shoulders.
    Rim,
    /// One part of the face in the sun, the other in shade.
    Split,
    /// Patches of sun.
    Dappled,
}

impl Falls {
    pub fn words(self) -> &'static str {
        match self {
            Self::Soft => "soft light, no sun on the face",
            Self::Front => "sun from the front",
            Self::Side => "sun from the side",
            Self::Top => "sun from high up",
            Self::Rim => "sun from behind: a bright edge round the hair",
            Self::Split => "half in the sun, half in shade",
            Self::Dappled => "patches of sun",
        }
    }
}

/// How light falls on a face as its frame sees it.
pub fn falls(look: &Look, face: &FaceLook) -> Falls {
    let daylight = &look.ready.daylight;
    let to_sun = daylight.to_sun;
    let others_lux = sum_of(face.light.total() - face.light.sun);
    if daylight.sun_lux < SUN_LEADS * others_lux {
        return Falls::Soft;
    }
    let to_camera = (look.camera().eye - face.figure.eyes).normalize_or(face.figure.face_forward);
    let flat = |way: glam::Vec3| glam::Vec2::new(way.x, way.z).normalize_or(glam::Vec2::Y);
    let from_camera_deg = f64::from(flat(to_sun).angle_to(flat(to_camera)).abs().to_degrees());
    match face.sunlit {
        Some(lit) if (0.12..0.88).contains(&lit) => {
            return if face.sun_edges > DAPPLED { Falls::Dappled } else { Falls::Split };
        }
        Some(lit) if lit < 0.12 => return Falls::Soft,
        None if face.head_in_shade => return Falls::Soft,
        _ => {}
    }
    match from_camera_deg {
        _ if daylight.elevation.to_degrees() > TOP_DEG => Falls::Top,
        angle if angle < FRONT_DEG => Falls::Front,
        angle if angle < SIDE_DEG => Falls::Side,
        _ => Falls::Rim,
    }
}
