//! Sun, north and scale, along the edges of what is shown.

use super::outline::arrow_head;
use super::{Align, Drawing, Form, Ink, Shape};
use crate::daylight::sun_position;
use crate::plan::{LengthUnit, Plan, Sky, forward};
use glam::Vec2;

/// Exactly (international yard and pound agreement, 1959).
const FOOT_M: f32 = 0.3048;
const WORDS_PT: f32 = 7.5;
const SUN_PT: f32 = 5.0;
/// From the edge to what is drawn along it, as a share of the shorter side.
const INSET: f32 = 0.045;
/// Lengths, as shares of the shorter side.
const RAY: f32 = 0.10;
const NEEDLE: f32 = 0.06;
/// A scale is at most this share of the width.
const SCALE: f32 = 0.28;

/// An arrow from the sun's side, the way its light goes, with the sun's height over the horizon in degrees (0.5° off at most);
/// below the horizon just says so. `low` and `high` are the corners of what is shown, floor metres.
pub fn sun(plan: &Plan, at_s: f64, low: Vec2, high: Vec2) -> Drawing {
    let mut drawing = Drawing::default();
    let sun = sun_position(&plan.place, &plan.instant(at_s));
    let (middle, short_m) = ((low + high) * 0.5, (high - low).min_element());
    let to_sun = sun.direction(plan.place.bearing_of_minus_z);
    let side = Vec2::new(to_sun.x, to_sun.z).normalize_or(Vec2::NEG_Y);
    let half = ((high - low) * 0.5 - short_m * INSET).max(Vec2::splat(0.01));
    let reach = half / side.abs().max(Vec2::splat(1e-6));
    let at = middle + side * reach.min_element();
    let degrees = sun.elevation.to_degrees();
    let height = format!("{degrees:.0}°");
    let text = match plan.sky {
        _ if degrees <= 0.0 => "sun down".to_owned(),
        Sky::Overcast => format!("{height}, behind cloud"),
        _ => height,
    };
    if degrees > 0.0 {
        let tip = at - side * (short_m * RAY);
        let foot = tip + side * (short_m * RAY * 0.3);
        drawing.line(vec![at, foot], Ink::SunRay, None);
        let heading = (-side.x).atan2(side.y);
        drawing.area(vec![arrow_head(tip, heading, short_m * RAY * 0.34)], Ink::SunRay, None);
        drawing.dot(at, SUN_PT, Ink::Sun, None);
    }
    // Words on the page's inner side.
    let (align, right) = if at.x > middle.x { (Align::Right, -1.0) } else { (Align::Left, 1.0) };
    let at = at + Vec2::new(right * short_m * 0.022, 0.0);
    words(&mut drawing, at, text, align, WORDS_PT * 0.36);
    drawing
}

/// A scale bar of a round length in the plan's unit, at the lower left.
pub fn scale_bar(plan: &Plan, low: Vec2, high: Vec2) -> Drawing {
    let mut drawing = Drawing::default();
    let (unit, name) = match plan.units {
        LengthUnit::Metres => (1.0, "m"),
        LengthUnit::Feet => (FOOT_M, "ft"),
    };
    let most = ((high.x - low.x) * SCALE / unit).max(1.0);
    let ten = 10.0_f32.powf(most.log10().floor());
    let length = [5.0, 2.0, 1.0].map(|round| round * ten).into_iter().find(|round| *round <= most).unwrap_or(ten);
    let inset_m = (high - low).min_element() * INSET;
    let from = Vec2::new(low.x + inset_m, high.y - inset_m);
    let high_m = inset_m * 0.16;
    let part = |i: u32| from + Vec2::new(length * unit * i as f32 / 4.0, 0.0);
    for i in 0..4 {
        let up = Vec2::new(0.0, -high_m);
        let ring = vec![part(i), part(i + 1), part(i + 1) + up, part(i) + up];
        drawing.area(vec![ring], if i % 2 == 0 { Ink::Measure } else { Ink::MeasureField }, None);
    }
    let lift = Vec2::new(0.0, -high_m);
    words(&mut drawing, part(0) + lift, "0".to_owned(), Align::Centre, -3.0);
    words(&mut drawing, part(4) + lift, format!("{length} {name}"), Align::Centre, -3.0);
    drawing
}

/// A needle that points to true north, at the upper right.
pub fn north(plan: &Plan, low: Vec2, high: Vec2) -> Drawing {
    let mut drawing = Drawing::default();
    let short_m = (high - low).min_element();
    let heading = -plan.place.bearing_of_minus_z as f32;
    let ahead = forward(heading);
    let (inset_m, half_m) = (short_m * (INSET + NEEDLE * 0.5), short_m * NEEDLE * 0.5);
    let at = Vec2::new(high.x - inset_m, low.y + inset_m);
    let (tip, tail, aside) = (at + ahead * half_m, at - ahead * half_m, ahead.perp() * half_m * 0.36);
    let notch = at - ahead * half_m * 0.6;
    drawing.area(vec![vec![tip, notch, tail + aside]], Ink::MeasureField, None);
    drawing.area(vec![vec![tip, tail - aside, notch]], Ink::Measure, None);
    words(&mut drawing, tip + ahead * half_m * 0.5, "N".to_owned(), Align::Centre, WORDS_PT * 0.36);
    drawing
}

fn words(drawing: &mut Drawing, at: Vec2, text: String, align: Align, below_pt: f32) {
    let form = Form::Text { at, text, size_pt: WORDS_PT, align, below_pt };
    drawing.shapes.push(Shape { form, ink: Ink::Label, of: None });
}
