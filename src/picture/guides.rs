//! Guides over a copy of a picture: thirds, print crops, and a strip below that says which frame it is.
//!
//! Colours are Okabe & Ito's; every crop also has its own kind of line and its name.

use super::ink::{Weight, fill, shortened, text_width, write};
use crate::optics::{Camera, shutter_text, tidy};
use crate::plan::{Frame, LengthUnit, Plan};
use image::{RgbImage, imageops};

const ORANGE: [u8; 3] = [0xE6, 0x9F, 0x00];
const SKY_BLUE: [u8; 3] = [0x56, 0xB4, 0xE9];
const BLUISH_GREEN: [u8; 3] = [0x2F, 0xC7, 0x9A];
const PAPER: [u8; 3] = [0xFB, 0xF7, 0xEF];
const INK: [u8; 3] = [0x2A, 0x22, 0x33];
const FADED_INK: [u8; 3] = [0x6B, 0x62, 0x70];
const DARK: [u8; 3] = [0x16, 0x12, 0x1A];
const WHITE: [u8; 3] = [0xFF, 0xFF, 0xFF];

/// A shape that prints and pages come in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PrintShape {
    pub name: &'static str,
    /// Long side over short side.
    pub sides: [f64; 2],
    colour: [u8; 3],
    line: Line,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Line {
    Whole,
    Dashed,
    Dotted,
}

/// What couples order most: common practice, no source.
pub const PRINT_SHAPES: [PrintShape; 3] = [
    PrintShape { name: "5×7", sides: [7.0, 5.0], colour: SKY_BLUE, line: Line::Dashed },
    PrintShape { name: "8×10", sides: [10.0, 8.0], colour: ORANGE, line: Line::Whole },
    PrintShape { name: "square", sides: [1.0, 1.0], colour: BLUISH_GREEN, line: Line::Dotted },
];

/// A part of a picture, pixels from the top left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Crop {
    pub left: u32,
    pub top: u32,
    pub width: u32,
    pub height: u32,
}

impl Crop {
    /// Share of the picture's area that is kept.
    pub fn keeps(&self, width: u32, height: u32) -> f64 {
        f64::from(self.width) * f64::from(self.height) / (f64::from(width) * f64::from(height))
    }
}

/// Largest centred crop with the given sides, turned to lie as the picture does. Rounded to whole pixels.
pub fn centred_crop(width: u32, height: u32, sides: [f64; 2]) -> Crop {
    let long_over_short = (sides[0].max(sides[1]) / sides[0].min(sides[1])).max(1.0);
    let aspect = if width >= height { long_over_short } else { 1.0 / long_over_short };
    let (w, h) = (f64::from(width), f64::from(height));
    let (crop_w, crop_h) = if w / h > aspect { (h * aspect, h) } else { (w, w / aspect) };
    let (crop_w, crop_h) = ((crop_w.round() as u32).min(width), (crop_h.round() as u32).min(height));
    Crop { left: (width - crop_w) / 2, top: (height - crop_h) / 2, width: crop_w, height: crop_h }
}

/// Where the lines of thirds run: across at two `x`, down at two `y`, pixels.
pub fn thirds(width: u32, height: u32) -> ([f64; 2], [f64; 2]) {
    let (w, h) = (f64::from(width), f64::from(height));
    ([w / 3.0, w * 2.0 / 3.0], [h / 3.0, h * 2.0 / 3.0])
}

/// The strip's text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FrameLabel {
    pub frame: String,
    /// Moment and photographer.
    pub occasion: String,
    /// Focal length, aperture, shutter, ISO, camera height.
    pub settings: String,
}

impl FrameLabel {
    pub fn of(plan: &Plan, frame: &Frame, camera: &Camera) -> Self {
        let standpoint = &plan.standpoints[frame.standpoint.0];
        let height_m = f64::from(standpoint.camera_height_m);
        let height = match plan.units {
            LengthUnit::Metres => format!("{height_m:.2} m up"),
            LengthUnit::Feet => format!("{:.1} ft up", height_m / 0.3048),
        };
        Self {
            frame: frame.id.clone(),
            occasion: format!(
                "{}  ·  {}",
                plan.moments[frame.moment.0].name,
                plan.crew[plan.photographer_of(frame).0].name
            ),
            settings: format!(
                "{:.0} mm   f/{}   {} s   ISO {:.0}   {height}",
                camera.focal_m * 1000.0,
                tidy(camera.f_number, 1),
                shutter_text(camera.shutter_s),
                camera.iso
            ),
        }
    }
}

/// A copy of `picture` with thirds and print crops over it and the label on a strip below.
pub fn with_guides(picture: &RgbImage, label: &FrameLabel) -> RgbImage {
    let (width, height) = picture.dimensions();
    let size_px = (width.max(height) as f32 / 62.0).clamp(11.0, 60.0);
    let strip = Strip::laid_out(label, width as f32, size_px);
    let mut copy = RgbImage::from_pixel(width, height + strip.height, image::Rgb(PAPER));
    imageops::replace(&mut copy, picture, 0, 0);
    draw_thirds(&mut copy, width, height);
    for (index, shape) in PRINT_SHAPES.iter().enumerate() {
        draw_crop(&mut copy, width, height, shape, index, size_px * 0.85);
    }
    strip.draw(&mut copy, height, label);
    copy
}

fn line_px(width: u32, height: u32) -> i64 {
    (f64::from(width.max(height)) / 560.0).round().max(1.0) as i64
}

fn draw_thirds(copy: &mut RgbImage, width: u32, height: u32) {
    let thick = line_px(width, height).max(2) / 2;
    let (across, down) = thirds(width, height);
    for x in across {
        let x = x.round() as i64 - thick / 2;
        fill(copy, [x - 1, 0], [thick + 2, i64::from(height)], DARK, 0.28);
        fill(copy, [x, 0], [thick, i64::from(height)], WHITE, 0.55);
    }
    for y in down {
        let y = y.round() as i64 - thick / 2;
        fill(copy, [0, y - 1], [i64::from(width), thick + 2], DARK, 0.28);
        fill(copy, [0, y], [i64::from(width), thick], WHITE, 0.55);
    }
}

/// The two edges that a crop moves in, and its name on the first of them.
fn draw_crop(copy: &mut RgbImage, width: u32, height: u32, shape: &PrintShape, index: usize, size_px: f32) {
    let crop = centred_crop(width, height, shape.sides);
    let thick = line_px(width, height);
    let upright = crop.width < width;
    if !upright && crop.height == height {
        return;
    }
    let (first, second, length) = if upright {
        (i64::from(crop.left), i64::from(crop.left + crop.width) - thick, i64::from(height))
    } else {
        (i64::from(crop.top), i64::from(crop.top + crop.height) - thick, i64::from(width))
    };
    let (dash, gap) = match shape.line {
        Line::Whole => (length, 0),
        Line::Dashed => (thick * 9, thick * 6),
        Line::Dotted => (thick * 2, thick * 4),
    };
    for at in [first, second] {
        let mut along = 0;
        while along < length {
            let run = dash.min(length - along);
            let bar = |grow: i64| {
                let (corner, size) = ([at - grow, along - grow], [thick + 2 * grow, run + 2 * grow]);
                if upright { (corner, size) } else { ([corner[1], corner[0]], [size[1], size[0]]) }
            };
            // Kept on the picture: the strip below is paper.
            let clipped =
                |(corner, size): ([i64; 2], [i64; 2])| (corner, [size[0], size[1].min(i64::from(height) - corner[1])]);
            let (corner, size) = clipped(bar(1));
            fill(copy, corner, size, DARK, 0.6);
            let (corner, size) = clipped(bar(0));
            fill(copy, corner, size, shape.colour, 1.0);
            along += run + gap.max(1);
        }
    }
    let pad = size_px * 0.35;
    let tag = [text_width(shape.name, size_px, Weight::Bold) + 2.0 * pad, size_px * 1.35];
    let step = index as f32 * tag[1] * 1.3 + size_px;
    let beside = (first + thick + 3) as f32;
    let corner = if upright { [beside, step] } else { [size_px + index as f32 * size_px * 6.0, beside] };
    fill(copy, corner.map(|v| v as i64), tag.map(|v| v.ceil() as i64), DARK, 0.72);
    write(copy, shape.name, [corner[0] + pad, corner[1] + size_px * 0.17], size_px, Weight::Bold, shape.colour);
}

/// The strip in one row where it fits, in two where it doesn't.
struct Strip {
    height: u32,
    rows: u8,
    size_px: f32,
    margin: f32,
}

impl Strip {
    fn laid_out(label: &FrameLabel, width: f32, size_px: f32) -> Self {
        let margin = size_px * 1.1;
        let wanted = text_width(&label.frame, size_px * 1.15, Weight::Bold)
            + text_width(&label.occasion, size_px, Weight::Regular)
            + text_width(&label.settings, size_px, Weight::Regular)
            + size_px * 5.0
            + 2.0 * margin;
        let rows = if wanted <= width { 1 } else { 2 };
        let height = (size_px * (1.45 + 1.5 * f32::from(rows))).ceil() as u32;
        Self { height, rows, size_px, margin }
    }

    fn draw(&self, copy: &mut RgbImage, below: u32, label: &FrameLabel) {
        let (width, top) = (copy.width() as f32, below as f32);
        let rule = (self.size_px / 6.0).round().max(2.0) as i64;
        fill(copy, [0, i64::from(below)], [i64::from(copy.width()), rule], ORANGE, 1.0);
        let row = |index: f32| top + rule as f32 * 0.5 + self.size_px * (0.95 + 1.5 * index);
        let room = width - 2.0 * self.margin;
        let title_px = self.size_px * 1.15;
        let title = shortened(&label.frame, room, title_px, Weight::Bold);
        let lift = (title_px - self.size_px) * 0.8;
        let end = write(copy, &title, [self.margin, row(0.0) - lift], title_px, Weight::Bold, INK);
        let settings = shortened(&label.settings, room, self.size_px, Weight::Regular);
        let settings_width = text_width(&settings, self.size_px, Weight::Regular);
        let (settings_left, settings_row) =
            if self.rows == 1 { (width - self.margin - settings_width, 0.0) } else { (self.margin, 1.0) };
        write(copy, &settings, [settings_left, row(settings_row)], self.size_px, Weight::Regular, INK);
        let left = end + self.size_px * 1.2;
        let right = if self.rows == 1 { settings_left - self.size_px } else { width - self.margin };
        let occasion = shortened(&label.occasion, right - left, self.size_px, Weight::Regular);
        write(copy, &occasion, [left, row(0.0)], self.size_px, Weight::Regular, FADED_INK);
    }
}
