//! A drawing as a page of SVG 1.1 (W3C Recommendation, 16 August 2011): the same drawing gives the same bytes.

mod clip;

mod marks;

mod text;

use super::{Drawing, Style, apart};
use glam::Vec2;
use std::fmt::Write;

const PT_PER_MM: f32 = 72.0 / 25.4;
/// No page is smaller than this.
const LEAST_MM: f32 = 10.0;
/// Floor shown at least, metres.
const LEAST_M: f32 = 0.1;

/// A page of its own for a drawing. The floor is fitted within the margins, in the middle of the page.
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
    /// Told to whoever doesn't see the drawing.
    pub title: String,
}

/// Layers on a page, the later on top of the earlier, cut off at what the page shows, their words moved
/// [`apart`]. One unit is a point (1/72 inch), written
/// to hundredths.
pub fn svg(layers: &[&Drawing], page: &SvgPage) -> String {
    let sheet = Sheet::new(page);
    let [width_mm, height_mm] = sheet.size_pt.to_array().map(|pt| number(pt / PT_PER_MM));
    let [width, height] = sheet.size_pt.to_array().map(number);
    let mut body = String::new();
    let mut hatches = marks::Hatches::default();
    for shape in apart(layers, sheet.pt_per_m).iter().flat_map(|layer| &layer.shapes) {
        marks::write(&mut body, shape, &sheet, &mut hatches);
    }
    let [left, top] = sheet.frame_low.to_array().map(number);
    let [wide, high] = (sheet.frame_high - sheet.frame_low).to_array().map(number);
    let title = text::escaped(&page.title);
    let (paper, opacity) = marks::colour(page.style.paper());
    let mut out = String::new();
    // Writing to a string cannot fail.
    let _ = write!(
        out,
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" \
         width=\"{width_mm}mm\" height=\"{height_mm}mm\" viewBox=\"0 0 {width} {height}\">\n<title>{title}</title>\n<defs>\n\
         <clipPath id=\"shown\"><rect x=\"{left}\" y=\"{top}\" width=\"{wide}\" height=\"{high}\"/></clipPath>\n{}</defs>\n\
         <rect x=\"0\" y=\"0\" width=\"{width}\" height=\"{height}\" fill=\"{paper}\"{opacity}/>\n\
         <g clip-path=\"url(#shown)\" stroke-linejoin=\"round\" stroke-linecap=\"round\" fill-rule=\"evenodd\">\n{body}</g>\n</svg>\n",
        hatches.defs(),
    );
    out
}

/// Where the floor lies on the page.
struct Sheet {
    size_pt: Vec2,
    /// Corners of what is shown, points.
    frame_low: Vec2,
    frame_high: Vec2,
    low: Vec2,
    pt_per_m: f32,
    style: Style,
}

impl Sheet {
    fn new(page: &SvgPage) -> Self {
        let sane = |m: f32| if m.is_finite() { m } else { 0.0 };
        let size_pt = Vec2::from(page.size_mm.map(|mm| sane(mm).max(LEAST_MM) * PT_PER_MM));
        let margin_pt = (sane(page.margin_mm).max(0.0) * PT_PER_MM).min(size_pt.min_element() * 0.45);
        let low = Vec2::new(sane(page.low.x), sane(page.low.y));
        let shown_m = (Vec2::new(sane(page.high.x), sane(page.high.y)) - low).max(Vec2::splat(LEAST_M));
        let room_pt = size_pt - 2.0 * margin_pt;
        let pt_per_m = (room_pt / shown_m).min_element();
        let frame_low = (size_pt - shown_m * pt_per_m) * 0.5;
        let frame_high = frame_low + shown_m * pt_per_m;
        Self { size_pt, frame_low, frame_high, low, pt_per_m, style: page.style }
    }

    fn place(&self, spot: Vec2) -> Vec2 {
        self.frame_low + (spot - self.low) * self.pt_per_m
    }

    fn shows(&self, at: Vec2) -> bool {
        at.cmpge(self.frame_low).all() && at.cmple(self.frame_high).all()
    }
}

/// Hundredths, without zeros that say nothing.
fn number(value: f32) -> String {
    let hundredths = (f64::from(value) * 100.0).round() / 100.0;
    // Also makes −0 a plain 0.
    format!("{}", hundredths + 0.0)
}
