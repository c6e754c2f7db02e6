//! Where words go so that they cover neither each other nor what they are about.

use super::{Align, Drawing, Form, Ink, Shape, Subject};
use crate::picture::words_width;
use glam::Vec2;

/// Height of capitals and of what hangs below the line, as shares of the size; Lato's, rounded up.
const CAPITALS: f32 = 0.73;
const BELOW: f32 = 0.21;
/// Free space between words and their symbol, points.
pub(super) const GAP_PT: f32 = 2.0;
/// Longer words are cut off; a plan may hold whole paragraphs.
const LONGEST: usize = 44;

/// A page at a scale, and what of it is taken, in points.
pub struct Board {
    pt_per_m: f32,
    taken: Vec<[Vec2; 2]>,
}

/// Words about a symbol of a size in points.
pub struct Words<'a> {
    pub at: Vec2,
    pub radius_pt: f32,
    pub text: &'a str,
    pub size_pt: f32,
    pub ink: Ink,
    pub of: Option<Subject>,
}

impl Board {
    pub fn new(pt_per_m: f32) -> Self {
        Self { pt_per_m: if pt_per_m.is_finite() { pt_per_m.max(0.1) } else { 1.0 }, taken: vec![] }
    }

    pub fn pt_per_m(&self) -> f32 {
        self.pt_per_m
    }

    /// Keeps words off a symbol.
    pub fn take(&mut self, at: Vec2, radius_pt: f32) {
        let at = at * self.pt_per_m;
        self.taken.push([at - radius_pt, at + radius_pt]);
    }

    /// Writes at the first place round the symbol that is free, else where they cover least.
    pub fn write(&mut self, drawing: &mut Drawing, words: &Words) {
        let text = shortened(words.text);
        if text.is_empty() || !words.at.is_finite() {
            return;
        }
        let size = words.size_pt;
        let width = words_width(&text, size);
        let at = words.at * self.pt_per_m;
        let off = words.radius_pt + GAP_PT;
        let (under, over, level) = (off + CAPITALS * size, -off - BELOW * size, CAPITALS * size * 0.5);
        let slant = off * 0.7;
        let places = [
            (Align::Centre, 0.0, under),
            (Align::Centre, 0.0, over),
            (Align::Left, off, level),
            (Align::Right, -off, level),
            (Align::Left, slant, slant + CAPITALS * size),
            (Align::Right, -slant, slant + CAPITALS * size),
            (Align::Left, slant, -slant),
            (Align::Right, -slant, -slant),
            (Align::Centre, 0.0, under + size * 1.1),
            (Align::Centre, 0.0, over - size * 1.1),
        ];
        let covered = |(align, right, below): &(Align, f32, f32)| {
            let area = room(at + Vec2::new(*right, *below), width, size, *align);
            (area, self.taken.iter().map(|other| shared(area, *other)).sum::<f32>())
        };
        let tried = places.iter().map(|place| (place, covered(place)));
        let Some(((align, right, below), (area, _))) = tried.min_by(|a, b| a.1.1.total_cmp(&b.1.1)) else { return };
        self.taken.push(area);
        let at = words.at + Vec2::new(right / self.pt_per_m, 0.0);
        let form = Form::Text { at, text, size_pt: size, align: *align, below_pt: *below };
        drawing.shapes.push(Shape { form, ink: words.ink, of: words.of });
    }
}

/// Least and greatest corner that words take on the page, in points; `None` for what isn't words.
pub(super) fn words_box(form: &Form, pt_per_m: f32) -> Option<[Vec2; 2]> {
    let Form::Text { at, text, size_pt, align, below_pt } = form else { return None };
    let baseline = *at * pt_per_m + Vec2::new(0.0, *below_pt);
    baseline.is_finite().then(|| room(baseline, words_width(text, *size_pt), *size_pt, *align))
}

fn room(baseline: Vec2, width: f32, size_pt: f32, align: Align) -> [Vec2; 2] {
    let left = match align {
        Align::Left => 0.0,
        Align::Centre => -width * 0.5,
        Align::Right => -width,
    };
    let low = baseline + Vec2::new(left, -CAPITALS * size_pt);
    [low, low + Vec2::new(width, (CAPITALS + BELOW) * size_pt)]
}

/// At most so many characters, without line breaks.
pub fn shortened(text: &str) -> String {
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    match line.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}…", line[..end].trim_end()),
        None => line,
    }
}

/// How much two rectangles have in common.
pub(super) fn shared([low, high]: [Vec2; 2], [other_low, other_high]: [Vec2; 2]) -> f32 {
    let common = (high.min(other_high) - low.max(other_low)).max(Vec2::ZERO);
    common.x * common.y
}
