//! Marks of the people: what each guest sees, the couple, the photographers and where they stand.

use super::floor::{INK, PAPER, Sheet};
use super::marks::{Shape, edged_mark, line, mark};
use super::words::Labels;
use super::{Layout, Views};
use crate::picture::above::crew_colour;
use crate::plan::{PhotographerIx, Plan, Standpoint};
use crate::sight::{GuestView, GuestsSeen, StandpointLoss, ViewsLost};
use crate::staging::{Figure, OwnerKind, Run, Tableau, couple};
use glam::{Vec2, Vec3};
use image::RgbImage;

/// Okabe & Ito's vermilion, blue and bluish green, and a grey.
pub const LOSES: [u8; 3] = [0xD5, 0x5E, 0x00];
pub const PARTLY: [u8; 3] = [0x00, 0x72, 0xB2];
pub const SEES: [u8; 3] = [0x00, 0x9E, 0x73];
pub const AWAY: [u8; 3] = [0x82, 0x7B, 0x86];

/// The crew takes at least this much of a view before it is marked, and other things this much. *Our own.*
const TAKES_SHARE: f64 = 0.02;
const COVERS_SHARE: f64 = 0.10;
/// At least this much of a face is turned away where a guest is said not to be able to see it. *Our own.*
const AWAY_SHARE: f64 = 0.90;
/// How many standpoints and guests get figures over a stretch.
const STANDPOINTS: usize = 5;
const WORST: usize = 5;
/// Less than this over a stretch is not worth a mark, seconds. *Our own.*
const MARKED_S: f64 = 0.25;

/// What a guest's mark says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    Loses,
    Partly,
    Sees,
    Away,
}

impl State {
    pub const ALL: [Self; 4] = [Self::Loses, Self::Partly, Self::Sees, Self::Away];

    pub fn of(guest: &GuestView) -> Self {
        let mean = |share: fn(&crate::sight::FaceView) -> f64| {
            guest.faces.iter().map(share).sum::<f64>() / guest.faces.len().max(1) as f64
        };
        let covered = mean(|face| face.covered_by.values().sum());
        match () {
            () if guest.lost_share >= TAKES_SHARE => Self::Loses,
            () if covered >= COVERS_SHARE => Self::Partly,
            () if guest.faces.is_empty() || mean(|face| face.turned_away_share) >= AWAY_SHARE => Self::Away,
            () => Self::Sees,
        }
    }

    /// Its mark, for a head at usual size.
    pub fn draw(self, picture: &mut RgbImage, at: Vec2, unit: f32) {
        match self {
            Self::Loses => edged_mark(picture, at, Shape::Triangle(14.0 * unit), LOSES, PAPER, 2.0 * unit),
            Self::Partly => edged_mark(picture, at, Shape::Diamond(10.0 * unit), PARTLY, PAPER, 1.5 * unit),
            Self::Sees => edged_mark(picture, at, Shape::Ring(6.5 * unit, 3.4 * unit), SEES, PAPER, 1.2 * unit),
            Self::Away => edged_mark(picture, at, Shape::Disc(3.4 * unit), AWAY, PAPER, 1.2 * unit),
        }
    }
}

pub fn mark_all(run: &Run, tableau: &Tableau, layout: &Layout, views: Views, floor: &mut RgbImage) {
    let heads = tableau.figures.iter().map(|figure| layout.sheet.place(flat(figure.eyes))).collect();
    let mut labels = Labels::new(heads, [layout.sheet.width, layout.sheet.height], layout.unit);
    mark_couple(run.plan, tableau, layout, floor, &mut labels);
    match views {
        Views::At(seen) => mark_instant(run.plan, tableau, layout, seen, floor, &mut labels),
        Views::Over(lost) => mark_stretch(run.plan, tableau, layout, lost, floor, &mut labels),
    }
    labels.write(floor);
}

/// Standpoints that take most, most first, with what they take while somebody stands there.
pub fn standpoints<'p>(
    plan: &'p Plan,
    lost: &'p ViewsLost,
) -> impl Iterator<Item = (&'p StandpointLoss, &'p Standpoint)> {
    let stands = lost.by_standpoint.iter().filter(|place| !place.walking && place.lost_guest_s >= MARKED_S);
    stands.take(STANDPOINTS).filter_map(|place| {
        Some((place, plan.standpoints.iter().find(|standpoint| standpoint.id == place.standpoint)?))
    })
}

fn mark_couple(plan: &Plan, tableau: &Tableau, layout: &Layout, floor: &mut RgbImage, labels: &mut Labels) {
    let unit = layout.unit;
    for ix in couple(plan) {
        let Some(figure) = tableau.figure_of(OwnerKind::Person(ix)) else { continue };
        let at = layout.sheet.place(flat(figure.eyes));
        edged_mark(floor, at, Shape::Ring(15.0 * unit, 3.0 * unit), INK, PAPER, 1.5 * unit);
        mark(floor, at, Shape::Disc(5.0 * unit), INK, 1.0);
        labels.add(at, 20.0 * unit, &plan.people[ix.0].name, INK);
    }
}

fn mark_instant(
    plan: &Plan,
    tableau: &Tableau,
    layout: &Layout,
    seen: &GuestsSeen,
    floor: &mut RgbImage,
    labels: &mut Labels,
) {
    let (unit, sheet) = (layout.unit, &layout.sheet);
    let crew: Vec<(PhotographerIx, &Figure)> = tableau
        .figures
        .iter()
        .filter_map(|figure| match tableau.owner(figure.owner).kind {
            OwnerKind::Photographer(ix) => Some((ix, figure)),
            _ => None,
        })
        .collect();
    let spot = |id: &str| {
        let (_, figure) = crew.iter().find(|(ix, _)| plan.crew[ix.0].id == id)?;
        Some(sheet.place(flat(figure.sole.lerp(figure.eyes, 0.5))))
    };
    for (guest, id) in seen.guests.iter().filter_map(|guest| Some((guest, taker(guest)?))) {
        if let Some(to) = spot(id) {
            line(floor, [head(sheet, guest), to], 1.8 * unit, LOSES, 0.75);
        }
    }
    for &(ix, figure) in &crew {
        let id = &plan.crew[ix.0].id;
        let Some(at) = spot(id) else { continue };
        let radius = (0.42 * sheet.px_per_m).max(16.0 * unit);
        photographer_disc(floor, at, radius, ix, unit);
        head_of_crew(floor, sheet.place(flat(figure.eyes)), unit);
        labels.add(at, radius + 3.0 * unit, id, INK);
    }
    // The worst last, so that nothing covers them.
    for state in State::ALL.into_iter().rev() {
        for guest in seen.guests.iter().filter(|guest| State::of(guest) == state) {
            state.draw(floor, head(sheet, guest), unit);
        }
    }
}

fn mark_stretch(
    plan: &Plan,
    tableau: &Tableau,
    layout: &Layout,
    lost: &ViewsLost,
    floor: &mut RgbImage,
    labels: &mut Labels,
) {
    let (unit, sheet) = (layout.unit, &layout.sheet);
    for (place, standpoint) in standpoints(plan, lost) {
        let at = sheet.place(standpoint.at);
        let radius = (0.42 * sheet.px_per_m).max(16.0 * unit);
        photographer_disc(floor, at, radius, standpoint.photographer, unit);
        let text = format!("{}: {}, {:.0} guest-s", place.photographer, place.standpoint, place.lost_guest_s);
        labels.add(at, radius + 3.0 * unit, &text, INK);
    }
    let spot = |id: &str| {
        let figure = tableau.figures.iter().find(|figure| tableau.owner(figure.owner).id == id)?;
        Some(sheet.place(flat(figure.eyes)))
    };
    // Who loses most comes last: marks get larger, and nothing covers them.
    for (rank, guest) in lost.guests.iter().enumerate().rev() {
        let Some(at) = spot(&guest.id) else { continue };
        if guest.lost_s < MARKED_S {
            State::Sees.draw(floor, at, unit);
            continue;
        }
        let reach = triangle_px(guest.lost_s, unit);
        edged_mark(floor, at, Shape::Triangle(reach), LOSES, PAPER, 2.0 * unit);
        if rank < WORST {
            labels.add(at, reach, &seconds(guest.lost_s), LOSES);
        }
    }
}

/// From the middle of a triangle to its corner: its area grows with the seconds lost, up to a minute.
pub fn triangle_px(lost_s: f64, unit: f32) -> f32 {
    (9.0 + 17.0 * (lost_s as f32 / 60.0).clamp(0.0, 1.0).sqrt()) * unit
}

pub fn seconds(lost_s: f64) -> String {
    if lost_s < 9.95 { format!("{lost_s:.1} s") } else { format!("{lost_s:.0} s") }
}

pub fn photographer_disc(picture: &mut RgbImage, at: Vec2, radius: f32, ix: PhotographerIx, unit: f32) {
    mark(picture, at, Shape::Disc(radius), crew_colour(ix), 0.55);
    mark(picture, at, Shape::Ring(radius, 2.6 * unit), INK, 0.9);
}

fn head_of_crew(picture: &mut RgbImage, at: Vec2, unit: f32) {
    mark(picture, at, Shape::Disc(6.0 * unit), INK, 1.0);
}

/// Who takes most of a guest's view, where it is worth a line.
fn taker(guest: &GuestView) -> Option<&str> {
    if State::of(guest) != State::Loses {
        return None;
    }
    let taken = guest.faces.iter().flat_map(|face| &face.taken_by);
    taken.max_by(|a, b| a.1.total_cmp(b.1)).map(|(id, _)| id.as_str())
}

fn head(sheet: &Sheet, guest: &GuestView) -> Vec2 {
    sheet.place(flat(Vec3::from(guest.eyes)))
}

fn flat(point: Vec3) -> Vec2 {
    Vec2::new(point.x, point.z)
}
