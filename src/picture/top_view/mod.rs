//! Guests' views of the couple on a plan seen straight from above: who sees, who doesn't, and who stands in the way.

mod floor;
mod marks;
mod people;
mod words;

use super::above::open;
use crate::sight::{GuestsSeen, ViewsLost};
use crate::staging::{OwnerKind, Run, Tableau};
use floor::{PAPER, Sheet, drawn};
use glam::Vec2;
use image::{Rgb, RgbImage};

/// Floor shown about everybody and all seats, metres.
const MARGIN_M: f32 = 1.3;
/// No less of the floor than this is shown, metres.
const LEAST_M: f32 = 8.0;
/// Tallest drawing, over its width.
const TALLEST: f32 = 1.1;

/// What the picture tells.
#[derive(Debug, Clone, Copy)]
pub enum Views<'a> {
    /// At an instant: everybody's view, with lines to photographers in the way.
    At(&'a GuestsSeen),
    /// Over a stretch: how long whose view is lost, and the standpoints that take most.
    Over(&'a ViewsLost),
}

#[derive(Debug, Clone, Copy)]
pub struct TopView<'a> {
    pub views: Views<'a>,
    pub title: &'a str,
    /// The line below the title.
    pub subtitle: &'a str,
    /// Width of the whole picture; its height follows from the place.
    pub width_px: u32,
}

/// Draws people and place as they are at an instant, −z up, with guests' views marked on them.
pub fn top_view(run: &Run, at_s: f64, view: &TopView) -> RgbImage {
    let mut tableau = run.tableau(at_s);
    let spots = match view.views {
        Views::At(_) => vec![],
        // Where they are in the picture's instant says nothing about the rest of the time.
        Views::Over(lost) => {
            take_off_crew(&mut tableau);
            people::standpoints(run.plan, lost).map(|(_, standpoint)| standpoint.at).collect()
        }
    };
    let (low, high) = extent(&tableau, &spots);
    let unit = view.width_px as f32 / 1600.0;
    let layout = Layout::new(low, high, unit, view.width_px);
    open(&mut tableau);
    let mut picture = RgbImage::from_pixel(view.width_px, layout.height, Rgb(PAPER));
    let mut floor = drawn(&tableau, &layout.sheet);
    people::mark_all(run, &tableau, &layout, view.views, &mut floor);
    image::imageops::replace(&mut picture, &floor, i64::from(layout.left), i64::from(layout.top));
    words::frame(&mut picture, &layout, view);
    picture
}

/// Where things go in the picture, pixels.
struct Layout {
    /// One pixel of a picture 1600 pixels wide.
    unit: f32,
    sheet: Sheet,
    left: u32,
    top: u32,
    height: u32,
}

impl Layout {
    fn new(low: Vec2, high: Vec2, unit: f32, width_px: u32) -> Self {
        let px = |units: f32| (units * unit).round() as u32;
        let (left, top, foot) = (px(44.0), px(132.0), px(112.0));
        let width = width_px.saturating_sub(2 * left).max(1);
        let size = (high - low).max(Vec2::splat(LEAST_M));
        let px_per_m = (width as f32 / size.x).min(TALLEST * width as f32 / size.y);
        let height = ((size.y * px_per_m).ceil() as u32).max(1);
        let across_m = width as f32 / px_per_m;
        let middle = (low + high) * 0.5;
        let corner = Vec2::new(middle.x - across_m * 0.5, middle.y - size.y * 0.5);
        Self { unit, sheet: Sheet { corner, px_per_m, width, height }, left, top, height: top + height + foot }
    }
}

fn take_off_crew(tableau: &mut Tableau) {
    let Tableau { solids, owners, .. } = tableau;
    solids.retain(|solid| {
        let kind = owners.get(solid.owner.0 as usize).map(|owner| owner.kind);
        !matches!(kind, Some(OwnerKind::Photographer(_)))
    });
}

/// Floor that holds everybody, all seats and these spots.
fn extent(tableau: &Tableau, spots: &[Vec2]) -> (Vec2, Vec2) {
    let people = tableau.figures.iter().map(|figure| figure.sole);
    let seat = |kind: OwnerKind| matches!(kind, OwnerKind::Seating(_));
    let seats = tableau.solids.iter().filter(|solid| seat(tableau.owner(solid.owner).kind)).map(|solid| solid.at);
    let all = people.chain(seats).map(|at| Vec2::new(at.x, at.z)).chain(spots.iter().copied());
    let all = all.filter(|spot| spot.is_finite());
    let ends = all.fold(None, |ends: Option<(Vec2, Vec2)>, spot| {
        Some(ends.map_or((spot, spot), |(low, high)| (low.min(spot), high.max(spot))))
    });
    let (low, high) = ends.unwrap_or((Vec2::splat(-LEAST_M), Vec2::splat(LEAST_M)));
    (low - MARGIN_M, high + MARGIN_M)
}
