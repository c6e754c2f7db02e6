//! Title, legend, scale and labels of the plan from above.

use super::floor::{INK, PAPER};
use super::marks::{Shape, edged_mark, line, mark};
use super::people::{LOSES, State, photographer_disc, seconds, triangle_px};
use super::{Layout, TopView, Views};
use crate::picture::ink::{Weight, fill, shortened, text_width, write};
use crate::plan::PhotographerIx;
use crate::sight::GuestView;
use glam::Vec2;
use image::RgbImage;

const FADED: [u8; 3] = [0x6F, 0x67, 0x73];
const LABEL_UNITS: f32 = 24.0;
const LEGEND_UNITS: f32 = 23.0;

/// Title, a line round the drawing, legend and scale.
pub fn frame(picture: &mut RgbImage, layout: &Layout, view: &TopView) {
    let (unit, left) = (layout.unit, layout.left as f32);
    let room = layout.sheet.width as f32;
    let title = shortened(view.title, room, 46.0 * unit, Weight::Bold);
    write(picture, &title, [left, 24.0 * unit], 46.0 * unit, Weight::Bold, INK);
    let subtitle = shortened(view.subtitle, room, 27.0 * unit, Weight::Regular);
    write(picture, &subtitle, [left, 80.0 * unit], 27.0 * unit, Weight::Regular, FADED);
    outline(picture, layout);
    let scale_left = scale(picture, layout);
    legend(picture, layout, view.views, scale_left);
}

fn outline(picture: &mut RgbImage, layout: &Layout) {
    let low = Vec2::new(layout.left as f32, layout.top as f32);
    let high = low + Vec2::new(layout.sheet.width as f32, layout.sheet.height as f32);
    let corners = [low, Vec2::new(high.x, low.y), high, Vec2::new(low.x, high.y)];
    for side in 0..4 {
        line(picture, [corners[side], corners[(side + 1) % 4]], 1.4 * layout.unit, INK, 0.8);
    }
}

/// A bar of a round length at the right of the foot; where it begins.
fn scale(picture: &mut RgbImage, layout: &Layout) -> f32 {
    let (unit, sheet) = (layout.unit, &layout.sheet);
    let length_m =
        [10.0, 5.0, 2.0, 1.0].into_iter().find(|m| m * sheet.px_per_m < 0.33 * sheet.width as f32).unwrap_or(1.0);
    let right = (layout.left + sheet.width) as f32;
    let left = right - length_m * sheet.px_per_m;
    let y = (layout.top + sheet.height) as f32 + 34.0 * unit;
    line(picture, [Vec2::new(left, y), Vec2::new(right, y)], 2.4 * unit, INK, 1.0);
    for x in [left, right] {
        line(picture, [Vec2::new(x, y - 6.0 * unit), Vec2::new(x, y + 6.0 * unit)], 2.4 * unit, INK, 1.0);
    }
    let text = format!("{length_m} m");
    let size = LEGEND_UNITS * unit;
    let x = (left + right - text_width(&text, size, Weight::Regular)) * 0.5;
    write(picture, &text, [x, y + 8.0 * unit], size, Weight::Regular, INK);
    left
}

fn legend(picture: &mut RgbImage, layout: &Layout, views: Views, room_ends: f32) {
    let (unit, size) = (layout.unit, LEGEND_UNITS * layout.unit);
    let first = Vec2::new(layout.left as f32, (layout.top + layout.sheet.height) as f32 + 34.0 * unit);
    let (mut at, mark_px) = (first, 12.0 * unit);
    let mut entry = |picture: &mut RgbImage, text: &str, reach: f32, draw: &dyn Fn(&mut RgbImage, Vec2)| {
        let before = 2.0 * reach + 10.0 * unit;
        let width = before + text_width(text, size, Weight::Regular);
        if at.x > first.x && at.x + width > room_ends - 30.0 * unit {
            at = Vec2::new(first.x, at.y + 36.0 * unit);
        }
        draw(picture, at + Vec2::new(reach, 0.0));
        write(picture, text, [at.x + before, at.y - size * 0.54], size, Weight::Regular, INK);
        at.x += width + 34.0 * unit;
    };
    let disc = |picture: &mut RgbImage, at: Vec2| photographer_disc(picture, at, 11.0 * unit, PhotographerIx(0), unit);
    match views {
        Views::At(seen) => {
            for state in State::ALL {
                let count = seen.guests.iter().filter(|guest: &&GuestView| State::of(guest) == state).count();
                let text = format!("{} ({count})", state_words(state));
                entry(picture, &text, mark_px, &|picture, at| state.draw(picture, at, unit));
            }
        }
        Views::Over(_) => {
            for lost_s in [1.0, 10.0, 60.0] {
                let text = if lost_s == 1.0 { "view lost for 1 s".to_owned() } else { seconds(lost_s) };
                entry(picture, &text, triangle_px(lost_s, unit), &|picture, at| {
                    edged_mark(picture, at, Shape::Triangle(triangle_px(lost_s, unit)), LOSES, PAPER, 2.0 * unit);
                });
            }
            entry(picture, "loses nothing to the crew", mark_px, &|picture, at| State::Sees.draw(picture, at, unit));
        }
    }
    entry(picture, if matches!(views, Views::At(_)) { "photographer" } else { "standpoint" }, mark_px, &disc);
    entry(picture, "the couple", mark_px, &|picture, at| {
        mark(picture, at, Shape::Ring(11.0 * unit, 2.6 * unit), INK, 1.0);
        mark(picture, at, Shape::Disc(4.0 * unit), INK, 1.0);
    });
}

fn state_words(state: State) -> &'static str {
    match state {
        State::Loses => "loses sight to the crew",
        State::Partly => "others or things in the way",
        State::Sees => "sees them",
        State::Away => "faces turned away",
    }
}

/// Labels beside marks, each where it covers fewest heads, no other mark and no other label.
pub struct Labels {
    heads: Vec<Vec2>,
    size: Vec2,
    unit: f32,
    wanted: Vec<Label>,
}

struct Label {
    /// The mark it is about, and how far that reaches.
    at: Vec2,
    reach_px: f32,
    text: String,
    colour: [u8; 3],
}

impl Labels {
    pub fn new(heads: Vec<Vec2>, [width, height]: [u32; 2], unit: f32) -> Self {
        Self { heads, size: Vec2::new(width as f32, height as f32), unit, wanted: vec![] }
    }

    /// A label about a mark that reaches so far.
    pub fn add(&mut self, at: Vec2, reach_px: f32, text: &str, colour: [u8; 3]) {
        self.wanted.push(Label { at, reach_px, text: text.to_owned(), colour });
    }

    /// Places and writes them, in the order they came in.
    pub fn write(&self, picture: &mut RgbImage) {
        let text_px = LABEL_UNITS * self.unit;
        let mut taken: Vec<[Vec2; 2]> = vec![];
        for label in &self.wanted {
            let width = text_width(&label.text, text_px, Weight::Bold) + 12.0 * self.unit;
            let size = Vec2::new(width, text_px * 1.2).ceil();
            let low = self.corner(label, size, &taken);
            taken.push([low, low + size]);
            fill(picture, low.to_array().map(|it| it as i64), size.to_array().map(|it| it as i64), PAPER, 0.86);
            let at = [low.x + 6.0 * self.unit, low.y + 2.0 * self.unit];
            write(picture, &label.text, at, text_px, Weight::Bold, label.colour);
        }
    }

    /// The best of eight places round its mark.
    fn corner(&self, label: &Label, size: Vec2, taken: &[[Vec2; 2]]) -> Vec2 {
        let (at, away) = (label.at, label.reach_px + 4.0 * self.unit);
        let sides =
            [[1.0, 0.0], [-1.0, 0.0], [0.0, -1.0], [0.0, 1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, -1.0], [-1.0, 1.0]];
        let most = (self.size - size).max(Vec2::ZERO);
        let places = sides.map(|side| {
            let side = Vec2::from(side);
            let off = if side.x * side.y == 0.0 { away } else { away * 0.75 };
            (at + side * (Vec2::splat(off) + size * 0.5) - size * 0.5).clamp(Vec2::ZERO, most).round()
        });
        let margin = Vec2::splat(8.0 * self.unit);
        let cost = |low: Vec2| {
            let high = low + size;
            let covers = |head: &&Vec2| head.cmpge(low - margin).all() && head.cmple(high + margin).all();
            let meets = |other: &&[Vec2; 2]| low.cmplt(other[1]).all() && other[0].cmplt(high).all();
            let hides = |mark: &&Label| mark.at.distance(mark.at.clamp(low, high)) < mark.reach_px;
            self.heads.iter().filter(covers).count()
                + 20 * taken.iter().filter(meets).count()
                + 10 * self.wanted.iter().filter(hides).count()
        };
        places.into_iter().min_by_key(|low| cost(*low)).unwrap_or(at)
    }
}
