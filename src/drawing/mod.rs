//! The floor plan as shapes, worked out once for the window, for paper and for the phone.

mod shape;

mod ink;

mod style;

pub use ink::Ink;
pub use shape::{Align, Drawing, Form, Shape, Subject};
pub use style::{Hatch, Paint, Stroke, Style};

use crate::plan::{PhotographerIx, Plan};
use crate::sight::{Covered, GuestsSeen};
use crate::staging::{Run, Tableau};
use glam::Vec2;

/// A page of its own for a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct SvgPage {
    /// Width and height, millimetres.
    pub size_mm: [f32; 2],
    /// Left free at each side, millimetres.
    pub margin_mm: f32,
    pub style: Style,
    /// The floor that is shown: least and greatest corner, metres.
    pub low: Vec2,
    pub high: Vec2,
    pub title: String,
}

pub fn venue(_plan: &Plan) -> Drawing {
    Drawing::default()
}
pub fn labels(_plan: &Plan) -> Drawing {
    Drawing::default()
}
pub fn people(_plan: &Plan, _tableau: &Tableau) -> Drawing {
    Drawing::default()
}
pub fn names(_plan: &Plan, _tableau: &Tableau) -> Drawing {
    Drawing::default()
}
pub fn standpoints(_run: &Run, _at_s: f64) -> Drawing {
    Drawing::default()
}
pub fn covered(_cover: &Covered, _crew: PhotographerIx) -> Drawing {
    Drawing::default()
}
pub fn routes(_run: &Run, _from_s: f64, _to_s: f64) -> Drawing {
    Drawing::default()
}
pub fn guests_losing(_seen: &GuestsSeen, _tableau: &Tableau) -> Drawing {
    Drawing::default()
}
pub fn sun(_plan: &Plan, _at_s: f64, _low: Vec2, _high: Vec2) -> Drawing {
    Drawing::default()
}
pub fn scale_bar(_plan: &Plan, _low: Vec2, _high: Vec2) -> Drawing {
    Drawing::default()
}
pub fn north(_plan: &Plan, _low: Vec2, _high: Vec2) -> Drawing {
    Drawing::default()
}
pub fn svg(_layers: &[&Drawing], _page: &SvgPage) -> String {
    String::new()
}
pub fn hit(_layers: &[&Drawing], _spot: Vec2, _slack_m: f32) -> Option<Subject> {
    None
}
pub fn extent(_plan: &Plan) -> (Vec2, Vec2) {
    (Vec2::ZERO, Vec2::ONE)
}
