//! What things and people are called, as layers of their own that can be switched off.

use super::board::{Board, Words};
use super::extent::page_scale;
use super::{Drawing, Ink, Subject};
use crate::plan::{Person, PersonIx, PhotographerIx, Plan};
use crate::staging::{OwnerKind, Tableau, plan_spot};
use glam::Vec2;

/// Sizes of words, points. *Judged by eye.*
const MARK_PT: f32 = 6.5;
const PLACE_PT: f32 = 7.0;
const NAME_PT: f32 = 8.0;
/// Half the width of somebody from above, metres, and the room a mark's dot takes, points.
const BODY_M: f32 = 0.27;
const DOT_PT: f32 = 2.5;
/// From a corner of a room to where it is called.
const INSIDE_M: f32 = 0.25;

/// Names of marks and rooms, and why keep-outs are kept out of; placed for a page of A4.
pub fn labels(plan: &Plan) -> Drawing {
    labels_at(plan, page_scale(plan))
}

/// The same, placed for a scale in points to a metre.
pub fn labels_at(plan: &Plan, pt_per_m: f32) -> Drawing {
    let mut drawing = Drawing::default();
    let mut board = Board::new(pt_per_m);
    for mark in &plan.marks {
        board.take(mark.at, DOT_PT);
    }
    for (i, room) in plan.venue.rooms.iter().enumerate() {
        let corner = Vec2::new(0.0, room.size_m.y * 0.5 - INSIDE_M);
        let at = plan_spot(corner, room.centre, room.heading);
        let (text, of) = (spoken(&room.id), Some(Subject::Room(i)));
        board.write(
            &mut drawing,
            &Words { at, radius_pt: 0.0, text: &text, size_pt: PLACE_PT, ink: Ink::FaintLabel, of },
        );
    }
    for (i, it) in plan.venue.keep_outs.iter().enumerate() {
        let at = it.outline.iter().sum::<Vec2>() / it.outline.len().max(1) as f32;
        let of = Some(Subject::KeepOut(i));
        let words = Words { at, radius_pt: 0.0, text: &it.why, size_pt: PLACE_PT, ink: Ink::FaintLabel, of };
        board.write(&mut drawing, &words);
    }
    for (i, mark) in plan.marks.iter().enumerate() {
        let (text, of) = (spoken(&mark.id), Some(Subject::Mark(i)));
        let words = Words { at: mark.at, radius_pt: DOT_PT, text: &text, size_pt: MARK_PT, ink: Ink::FaintLabel, of };
        board.write(&mut drawing, &words);
    }
    drawing
}

/// Short names of named people and photographers who are there; placed for a page of A4.
pub fn names(plan: &Plan, tableau: &Tableau) -> Drawing {
    names_at(plan, tableau, page_scale(plan))
}

/// The same, placed for a scale in points to a metre.
pub fn names_at(plan: &Plan, tableau: &Tableau, pt_per_m: f32) -> Drawing {
    let mut drawing = Drawing::default();
    let mut board = Board::new(pt_per_m);
    let radius_pt = BODY_M * board.pt_per_m();
    let there = tableau.figures.iter().filter_map(|figure| {
        let middle = figure.hip.lerp(figure.eyes, 0.5);
        let at = Vec2::new(middle.x, middle.z);
        match tableau.owner(figure.owner).kind {
            OwnerKind::Person(ix) => Some((at, short_name(plan, ix)?, Ink::Label, Subject::Person(ix))),
            OwnerKind::Photographer(ix) => {
                let name = plan.crew.get(ix.0)?.name.as_str();
                Some((at, name, Ink::CrewLabel(ix), Subject::Photographer(ix)))
            }
            _ => None,
        }
    });
    let there: Vec<_> = there.collect();
    for (at, ..) in &there {
        // Words may touch shoulders, but not heads.
        board.take(*at, radius_pt * 0.8);
    }
    for (at, text, ink, of) in there {
        board.write(&mut drawing, &Words { at, radius_pt, text, size_pt: NAME_PT, ink, of: Some(of) });
    }
    drawing
}

/// The first word of a name, unless somebody else's begins with it too or it is a little word such as a title.
fn short_name(plan: &Plan, ix: PersonIx) -> Option<&str> {
    let name = plan.people.get(ix.0)?.name.trim();
    let first = name.split_whitespace().next()?;
    let same = |other: &&Person| other.name.split_whitespace().next() == Some(first);
    let alone = plan.people.iter().filter(same).count() == 1 && first.chars().count() > 3;
    Some(if alone { first } else { name })
}

/// An id as one says it.
pub fn spoken(id: &str) -> String {
    id.replace(['-', '_'], " ")
}

/// What a photographer's standpoint is called: its id, and how high the camera is.
pub fn standpoint_words(plan: &Plan, standpoint: usize) -> Option<(String, PhotographerIx)> {
    let it = plan.standpoints.get(standpoint)?;
    let height = crate::findings::length(plan, f64::from(it.camera_height_m));
    Some((format!("{} · {height}", spoken(&it.id)), it.photographer))
}
