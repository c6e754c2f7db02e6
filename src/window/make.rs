//! New things for a plan, and copies of those that are there, as changes of its text.

use super::document::Document;
use super::panels::floor::{moved, spot_field, spot_of};
use super::view::{Kind, Selected, View};
use super::wish::{Change, Wish};
use crate::plan::edit::{Named, Way, duplicate, free_id, length_value, number_value, spot_value, text_value, written};
use crate::plan::{PhotographerIx, Plan};
use crate::staging::run::CrewAt;
use crate::staging::{Run, couple, moment_at};
use glam::Vec2;

/// How many of a kind the plan has.
pub fn count(text: &str, kind: Kind) -> usize {
    (0..).take_while(|number| written(text, &kind.list().item(*number)).is_some()).count()
}

/// Something new at a spot: what undo calls it, and the change. Its defaults are those one would put down first and change.
pub fn new_thing(plan: &Plan, text: &str, kind: Kind, spot: Vec2, view: &View) -> Option<(String, Change)> {
    let at = spot_value(spot, plan.units);
    let id = |named: Named, wanted: &str| text_value(&free_id(text, named, wanted));
    let item = match kind {
        // Held in the moments of its frames, once it has some.
        Kind::Standpoint => {
            let photographer = text_value(&plan.crew.get(crew_of(plan, view).0)?.id);
            format!("(id: {}, photographer: {photographer}, at: {at})", id(Named::Standpoint, "standpoint"))
        }
        Kind::Frame => frame(plan, text, view)?,
        Kind::Mark => format!("(id: {}, at: {at})", id(Named::Mark, "mark")),
        Kind::Person => format!("(id: {}, name: \"Somebody\", at: {at})", id(Named::Person, "person")),
        Kind::Fixture => format!("(id: {}, kind: column, at: {at})", id(Named::Fixture, "fixture")),
        Kind::Seats => format!("(id: {}, front: {at}, rows: 4, seats_per_row: 6)", id(Named::Seats, "block")),
        Kind::KeepOut => {
            let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
            let corners = corners.map(|(x, z)| spot_value(spot + Vec2::new(x, z), plan.units)).join(", ");
            format!("(id: {}, outline: [{corners}])", id(Named::KeepOut, "keep-out"))
        }
        Kind::Room => {
            let size = [8.0, 10.0].map(|side| length_value(side, plan.units)).join(", ");
            format!("(id: {}, centre: {at}, size: ({size}))", id(Named::Room, "room"))
        }
        Kind::Wall => {
            let [from, to] = [-2.0, 2.0].map(|x| spot_value(spot + Vec2::new(x, 0.0), plan.units));
            format!("(id: {}, from: {from}, to: {to})", id(Named::Wall, "wall"))
        }
        Kind::Platform => {
            let size = [3.0, 2.0].map(|side| length_value(side, plan.units)).join(", ");
            format!("(id: {}, centre: {at}, size: ({size}))", id(Named::Platform, "platform"))
        }
        Kind::Aisle => format!("(from: {}, to: {at})", spot_value(spot + Vec2::new(0.0, 8.0), plan.units)),
        Kind::Lamp => format!("(id: {}, at: {at})", id(Named::Lamp, "lamp")),
        Kind::Moment => format!("(id: {}, length: 60)", id(Named::Moment, "moment")),
        _ => return None,
    };
    Some((format!("New {}", kind.facts().one.to_lowercase()), Change::Add(kind.list(), item)))
}

/// The photographer of what is chosen, else the first.
pub fn crew_of(plan: &Plan, view: &View) -> PhotographerIx {
    match view.selected {
        Some(Selected { kind: Kind::Standpoint, number }) => plan.standpoints.get(number).map(|it| it.photographer),
        Some(Selected { kind: Kind::Frame, number }) => plan.frames.get(number).map(|it| plan.photographer_of(it)),
        Some(Selected { kind: Kind::Photographer, number }) => Some(PhotographerIx(number)),
        _ => None,
    }
    .unwrap_or(PhotographerIx(0))
}

/// A frame of the couple, or of whoever is there, from where the chosen photographer stands now.
fn frame(plan: &Plan, text: &str, view: &View) -> Option<String> {
    let run = Run::new(plan);
    let crew = crew_of(plan, view);
    let standpoint = match (view.selected, run.crew_at(crew, view.at_s)) {
        (Some(Selected { kind: Kind::Standpoint, number }), _) => number,
        (_, CrewAt::At(ix)) => ix.0,
        (_, CrewAt::Walks(way)) => way.to.0,
        (_, CrewAt::Away) => plan.standpoints.iter().position(|it| it.photographer == crew)?,
    };
    let moment = moment_at(plan, view.at_s).and_then(|ix| plan.moments.get(ix))?;
    let there = |person: usize| run.spot(person, view.at_s).is_some();
    let mut of: Vec<usize> = couple(plan).iter().map(|it| it.0).filter(|it| there(*it)).collect();
    if of.is_empty() {
        of.extend((0..plan.people.len()).find(|it| there(*it)));
    }
    let names: Vec<String> = of.iter().map(|person| text_value(&plan.people[*person].id)).collect();
    let pair = plan.crew.get(crew.0)?.carries.first()?;
    let after_s = ((view.at_s - moment.start_s) * 10.0).round() / 10.0;
    Some(format!(
        "(id: {}, moment: {}, after: {}, standpoint: {}, with: {}, of: [{}], shot_size: half, f: {}, shutter: \"1/250\")",
        text_value(&free_id(text, Named::Frame, &format!("{}-{}", moment.id, plan.standpoints[standpoint].id))),
        text_value(&moment.id),
        number_value(after_s, 1),
        text_value(&plan.standpoints[standpoint].id),
        text_value(&plan.kit.lenses[pair.lens].id),
        names.join(", "),
        number_value(plan.kit.lenses[pair.lens].widest_f[1].max(2.8), 1),
    ))
}

fn id_of(document: &Document, selected: Selected) -> Option<String> {
    written(document.text(), &selected.way().field("id")).map(|id| id.trim_matches('"').to_owned())
}

/// Takes it out; a standpoint with its frames, so that the plan still reads.
pub fn delete(document: &Document, selected: Selected) -> Option<(String, Change)> {
    let plan = document.plan().filter(|_| selected.kind != Kind::Plan)?;
    let name = id_of(document, selected).unwrap_or_else(|| selected.kind.facts().one.to_lowercase());
    let mut changes = Vec::new();
    if selected.kind == Kind::Standpoint {
        let frames = plan.frames.iter().enumerate().rev().filter(|(_, it)| it.standpoint.0 == selected.number);
        changes.extend(frames.map(|(number, _)| Change::Unset(Selected::new(Kind::Frame, number).way())));
    }
    changes.push(Change::Unset(selected.way()));
    Some((format!("Delete {name}"), Change::All(changes)))
}

/// A second one under a new id, half a metre to the side if it stands on the floor.
pub fn duplicated(document: &Document, selected: Selected) -> Option<(String, Change)> {
    let plan = document.plan()?;
    let (named, id) = (named(selected.kind)?, id_of(document, selected)?);
    let new_id = free_id(document.text(), named, &id);
    let mut text = duplicate(document.text(), &selected.kind.list(), &id, &new_id).ok()?;
    if let Some(spot) = spot_of(plan, selected) {
        let field = spot_field(selected.kind)?;
        let way: Way = Selected::new(selected.kind, selected.number + 1).way().field(field);
        let aside = spot_value(spot + Vec2::new(0.5, 0.0), plan.units);
        text = crate::plan::edit::set(&text, &way, &aside).ok()?;
    }
    Some((format!("Duplicate {id}"), Change::Text(text)))
}

/// Across the middle line of the place, x = 0.
pub fn mirrored(document: &Document, selected: Selected) -> Option<(String, Change)> {
    let plan = document.plan()?;
    let spot = spot_of(plan, selected)?;
    match moved(document, plan, selected, Vec2::new(-spot.x, spot.y))? {
        Wish::Edit { change, .. } => Some((format!("Mirror {}", id_of(document, selected)?), change)),
        _ => None,
    }
}

fn named(kind: Kind) -> Option<Named> {
    Some(match kind {
        Kind::Standpoint => Named::Standpoint,
        Kind::Frame => Named::Frame,
        Kind::Mark => Named::Mark,
        Kind::Person => Named::Person,
        Kind::Fixture => Named::Fixture,
        Kind::Mesh => Named::Mesh,
        Kind::Seats => Named::Seats,
        Kind::Lamp => Named::Lamp,
        Kind::Platform => Named::Platform,
        Kind::Lens => Named::Lens,
        Kind::Body => Named::Body,
        _ => return None,
    })
}
