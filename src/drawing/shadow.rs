//! How long shadows are: somebody's own, as long and as turned as it falls.

use super::outline::{band, ellipse};
use super::{Align, Drawing, Form, Ink, Shape};
use crate::daylight::sun_position;
use crate::findings::length;
use crate::plan::{Plan, Sky};
use glam::Vec2;

/// Whose shadow it is, metres: middling adults are about as tall. *Chosen, no source*.
const STATURE_M: f32 = 1.7;
/// From above, metres: shoulders and depth, and how wide the shadow is.
const BODY_M: Vec2 = Vec2::new(0.44, 0.26);
const WIDE_M: f32 = 0.34;
/// From the corner, as a share of the shorter side.
const INSET: f32 = 0.06;
/// No longer shadow is drawn than this share of the shorter side; its length is written all the same.
const LONGEST: f32 = 0.3;
const WORDS_PT: f32 = 7.5;

/// Metres that somebody `stature_m` tall throws over level ground with the sun `elevation` radians over the horizon; `None`
/// if it is not over it. Closed form: height over the tangent.
pub fn shadow_m(stature_m: f32, elevation: f64) -> Option<f32> {
    (elevation > 0.0).then(|| stature_m / elevation.tan().max(1e-6) as f32)
}

/// Somebody 1.7 m tall with their shadow on level ground at that instant, to scale, at the lower right of what is shown between
/// two corners (floor metres), with its length in the plan's unit. Nothing where the sun is down or behind cloud.
pub fn shadow(plan: &Plan, at_s: f64, low: Vec2, high: Vec2) -> Drawing {
    let mut drawing = Drawing::default();
    let sun = sun_position(&plan.place, &plan.instant(at_s));
    let Some(long_m) = shadow_m(STATURE_M, sun.elevation).filter(|_| plan.sky != Sky::Overcast) else { return drawing };
    let to_sun = sun.direction(plan.place.bearing_of_minus_z);
    let away = -Vec2::new(to_sun.x, to_sun.z).normalize_or(Vec2::NEG_Y);
    let short_m = (high - low).min_element();
    let drawn_m = long_m.min(short_m * LONGEST);
    // Feet or shadow's end, whichever reaches farther into the corner, keeps clear of the edge.
    let reach = (away * drawn_m).max(Vec2::ZERO);
    let feet = high - short_m * INSET - reach - BODY_M.x * 0.5;
    drawing.area(vec![band(&[feet, feet + away * drawn_m], WIDE_M)], Ink::Shadow, None);
    drawing.area(vec![ellipse(feet, 0.0, BODY_M)], Ink::Fixture, None);
    let text = format!("shadow {}", length(plan, f64::from(long_m)));
    let at = Vec2::new(high.x - short_m * INSET * 0.5, (feet + reach).y);
    let form = Form::Text { at, text, size_pt: WORDS_PT, align: Align::Right, below_pt: 15.0 };
    drawing.shapes.push(Shape { form, ink: Ink::Label, of: None });
    drawing
}
