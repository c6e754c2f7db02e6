//! Shapes as elements of SVG, hatches as patterns.

use super::super::{Align, Form, Hatch, Paint, Shape, Stroke};
use super::clip::{line_within, ring_within};
use super::text::escaped;
use super::{Sheet, number};
use crate::picture::words_width;
use glam::Vec2;
use std::fmt::Write;

/// The program's own face where it is installed, else the reader's.
const FONT: &str = "Lato, sans-serif";

/// Hatches of a page, in the order they are first used.
#[derive(Default)]
pub struct Hatches(Vec<Hatch>);

impl Hatches {
    fn id(&mut self, hatch: Hatch) -> String {
        let at = self.0.iter().position(|other| *other == hatch).unwrap_or_else(|| {
            self.0.push(hatch);
            self.0.len() - 1
        });
        format!("hatch{at}")
    }

    pub fn defs(&self) -> String {
        let mut out = String::new();
        for (i, hatch) in self.0.iter().enumerate() {
            let ((colour, opacity), every) = (stroke_colour(hatch.colour), number(hatch.every_pt));
            let (turned, width) = (number(hatch.turned_deg), number(hatch.width_pt));
            let middle = number(hatch.every_pt * 0.5);
            let _ = writeln!(
                out,
                "<pattern id=\"hatch{i}\" patternUnits=\"userSpaceOnUse\" width=\"{every}\" height=\"{every}\" \
                 patternTransform=\"rotate({turned})\"><path d=\"M0 {middle}L{every} {middle}\" stroke=\"{colour}\"{opacity} \
                 stroke-width=\"{width}\"/></pattern>"
            );
        }
        out
    }
}

/// Adds a shape, if any of it is on the page.
pub fn write(out: &mut String, shape: &Shape, sheet: &Sheet, hatches: &mut Hatches) {
    let paint = sheet.style.paint(shape.ink);
    match &shape.form {
        Form::Area(rings) => {
            let within = |ring: &Vec<Vec2>| {
                let ring: Vec<Vec2> = ring.iter().map(|spot| sheet.place(*spot)).collect();
                ring_within(&ring, Vec2::ZERO, sheet.size_pt)
            };
            let rings: Vec<Vec<Vec2>> = rings.iter().map(within).filter(|ring| ring.len() > 2).collect();
            path(out, &rings.iter().map(|ring| way(ring, true)).collect::<String>(), &paint, hatches);
        }
        Form::Line { points, closed } => {
            let mut points: Vec<Vec2> = points.iter().map(|spot| sheet.place(*spot)).collect();
            let whole = points.iter().all(|at| at.cmpge(Vec2::ZERO).all() && at.cmple(sheet.size_pt).all());
            let data = if *closed && whole {
                way(&points, true)
            } else {
                points.extend(points.first().copied().filter(|_| *closed));
                line_within(&points, Vec2::ZERO, sheet.size_pt).iter().map(|piece| way(piece, false)).collect()
            };
            path(out, &data, &Paint { fill: None, hatch: None, ..paint }, hatches);
        }
        Form::Dot { at, radius_pt } => {
            let at = sheet.place(*at);
            if sheet.shows(at) {
                let [x, y, r] = [at.x, at.y, *radius_pt].map(number);
                let _ = writeln!(out, "<circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\"{}/>", painted(&paint));
            }
        }
        Form::Text { at, text, size_pt, align, below_pt } => {
            let at = sheet.place(*at);
            if sheet.shows(at) {
                words(out, at + Vec2::new(0.0, *below_pt), text, *size_pt, *align, &paint, sheet);
            }
        }
    }
}

fn way(points: &[Vec2], closed: bool) -> String {
    let mut out = String::new();
    for (i, at) in points.iter().enumerate() {
        let _ = write!(out, "{}{} {}", if i == 0 { "M" } else { "L" }, number(at.x), number(at.y));
    }
    out + if closed && !points.is_empty() { "Z" } else { "" }
}

fn path(out: &mut String, data: &str, paint: &Paint, hatches: &mut Hatches) {
    if data.is_empty() {
        return;
    }
    match paint.hatch {
        None => {
            let _ = writeln!(out, "<path d=\"{data}\"{}/>", painted(paint));
        }
        // The filling below, the hatch over it, and the edge on top.
        Some(hatch) => {
            if let Some(fill) = paint.fill {
                let _ = writeln!(out, "<path d=\"{data}\"{}/>", painted(&Paint::filled(fill)));
            }
            let edge = edge(paint.stroke);
            let _ = writeln!(out, "<path d=\"{data}\" fill=\"url(#{})\"{edge}/>", hatches.id(hatch));
        }
    }
}

fn painted(paint: &Paint) -> String {
    let fill = paint.fill.map(colour).map(|(colour, opacity)| format!(" fill=\"{colour}\"{opacity}"));
    fill.unwrap_or_else(|| " fill=\"none\"".to_owned()) + &edge(paint.stroke)
}

fn edge(stroke: Option<Stroke>) -> String {
    let Some(stroke) = stroke else { return String::new() };
    let (colour, opacity) = stroke_colour(stroke.colour);
    let dash = stroke.dash_pt.map(|[line, gap]| format!(" stroke-dasharray=\"{} {}\"", number(line), number(gap)));
    let width = number(stroke.width_pt);
    format!(" stroke=\"{colour}\"{opacity} stroke-width=\"{width}\"{}", dash.unwrap_or_default())
}

/// A colour and, if one sees through it, its `fill-opacity`.
pub fn colour([r, g, b, a]: [u8; 4]) -> (String, String) {
    let opacity = if a == 0xFF { String::new() } else { format!(" fill-opacity=\"{}\"", number(f32::from(a) / 255.0)) };
    (format!("#{r:02x}{g:02x}{b:02x}"), opacity)
}

fn stroke_colour(of: [u8; 4]) -> (String, String) {
    let (colour, opacity) = colour(of);
    (colour, opacity.replace("fill-", "stroke-"))
}

/// Moved so that they end on the page, where they fit on it at all. The rim comes first, as an element of its own: SVG 1.1 draws
/// edges over fillings.
fn words(out: &mut String, at: Vec2, text: &str, size_pt: f32, align: Align, paint: &Paint, sheet: &Sheet) {
    let width = words_width(text, size_pt);
    let (anchor, left) = match align {
        Align::Left => ("start", 0.0),
        Align::Centre => ("middle", -width * 0.5),
        Align::Right => ("end", -width),
    };
    let (low, high) = (sheet.frame_low, sheet.frame_high);
    let right = (low.x - at.x - left).max(0.0) + (high.x - at.x - left - width).min(0.0);
    let [x, y] = [(at.x + right).clamp(low.x, high.x), at.y.clamp(low.y + size_pt, high.y.max(low.y + size_pt))];
    let [x, y, size] = [x, y, size_pt].map(number);
    let place = format!("x=\"{x}\" y=\"{y}\" font-family=\"{FONT}\" font-size=\"{size}\" text-anchor=\"{anchor}\"");
    let text = escaped(text);
    if paint.stroke.is_some() {
        let rim = Paint { fill: None, ..*paint };
        let _ = writeln!(out, "<text {place}{}>{text}</text>", painted(&rim));
    }
    let _ = writeln!(out, "<text {place}{}>{text}</text>", painted(&Paint { stroke: None, ..*paint }));
}
