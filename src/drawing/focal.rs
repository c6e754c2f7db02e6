//! Which focal length a camera is at, beside where it covers the floor.

use super::{Align, Drawing, Form, Ink, Shape, Subject};
use crate::optics::Camera;
use crate::plan::PhotographerIx;
use glam::{Vec2, Vec3};

/// From under the lens to the words, the way it looks: beyond the soles, before the first row. *Judged by eye.*
const AHEAD_M: f32 = 1.1;
const WORDS_PT: f32 = 7.5;

/// The camera's focal length in millimetres, a step before its lens on the floor; for a layer above people, as the field that it
/// covers lies below them.
pub fn focal_length(camera: &Camera, crew: PhotographerIx) -> Drawing {
    let way = camera.turned * Vec3::NEG_Z;
    let at = Vec2::new(camera.eye.x, camera.eye.z) + Vec2::new(way.x, way.z).normalize_or_zero() * AHEAD_M;
    let millimetres = camera.focal_m * 1000.0;
    if !at.is_finite() || !millimetres.is_finite() {
        return Drawing::default();
    }
    let text = format!("{millimetres:.0} mm");
    let form = Form::Text { at, text, size_pt: WORDS_PT, align: Align::Centre, below_pt: WORDS_PT * 0.36 };
    Drawing { shapes: vec![Shape { form, ink: Ink::CrewLabel(crew), of: Some(Subject::Photographer(crew)) }] }
}
