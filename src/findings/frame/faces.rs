//! Wanted faces: covered, and by whom; or turned away.

use super::remedy::{Sightline, way_out};
use crate::findings::finding::{Finding, Severity};
use crate::findings::look::{FaceLook, Look};
use crate::findings::rule::Rule;
use crate::findings::words::{and, owns, percent};
use crate::plan::{Deed, PersonIx};

/// Fewer pixels of a face turned to the camera can't be told from none.
const FEWEST_PX: u32 = 6;

pub fn findings(look: &Look) -> Vec<Finding> {
    let mut found: Vec<Finding> = look.faces.iter().filter_map(|face| hidden(look, face)).collect();
    found.extend(turned_away(look));
    found
}

fn hidden(look: &Look, face: &FaceLook) -> Option<Finding> {
    let part = face.seen.parts.get("face")?;
    let own = part.covered_by.get(&face.seen.id).copied().unwrap_or(0);
    // Two who kiss or embrace cover each other: that is the picture.
    let others = part.covered_by.iter().filter(|(id, _)| **id != face.seen.id && !are_together(look, face.person, id));
    let covered: u32 = others.clone().map(|(_, px)| px).sum();
    let turned_here = part.in_frame_px.saturating_sub(own);
    if turned_here < FEWEST_PX {
        return None;
    }
    let share = f64::from(covered) / f64::from(turned_here);
    let (most, most_px) = others.max_by_key(|(_, px)| **px)?;
    let found = look.finding(Rule::FaceHidden, share, || {
        let others = if *most_px < covered { " with others" } else { "" };
        capital(&format!("{}{others} covers {} of {} face", look.name_of(most), percent(share), owns(&face.name)))
    })?;
    let sightline = Sightline::new(look, &face.seen.id, most);
    let way = way_out(look, &sightline);
    let numbers = way.numbers.into_iter().chain([("hidden_share", share)]);
    Some(numbers.fold(found, |found, (name, value)| found.with(name, value)).remedy(way.words))
}

/// Whether they kiss or embrace, or hold each other dancing.
fn are_together(look: &Look, person: PersonIx, other: &str) -> bool {
    let Some(other) = look.plan.people.iter().position(|it| it.id == other) else { return false };
    let both = look.run.partners_of(person.0).contains(&other) || look.run.partners_of(other).contains(&person.0);
    let close = [Deed::Kisses, Deed::Embraces, Deed::Dances];
    both && close.into_iter().any(|deed| look.run.does(person, deed, look.at_s()))
}

/// A frame is lost to turned heads if it is tight and no wanted face is left; a single one is a risk. In wide and full frames
/// backs may be meant, and are told once.
fn turned_away(look: &Look) -> Vec<Finding> {
    let is_away = |face: &&FaceLook| Rule::FacingAway.severity(face.seen.facing_deg).is_some();
    // Two who kiss look at each other.
    let kisses = |face: &&FaceLook| !look.run.does(face.person, Deed::Kisses, look.at_s());
    let away: Vec<&FaceLook> = look.faces.iter().filter(is_away).filter(kisses).collect();
    let all = away.len() == look.faces.len();
    if !look.is_tight() {
        let names: Vec<&str> = away.iter().map(|face| face.name.as_str()).collect();
        let sentence = format!("{} {} seen from behind", and(&names), if names.len() == 1 { "is" } else { "are" });
        let finding = look.about(Finding::new(Rule::FacingAway, Severity::Note, sentence));
        return if away.is_empty() { vec![] } else { vec![finding.remedy("nothing, if that is the picture")] };
    }
    let each = away.iter().map(|face| {
        let embraced = look.run.does(face.person, Deed::Embraces, look.at_s());
        let severity = match () {
            () if !all && (embraced || look.is_secondary(face)) => Severity::Note,
            () if all && !embraced => Severity::Lost,
            () => Severity::Risk,
        };
        let degrees = face.seen.facing_deg;
        let sentence = format!("{} face is turned {degrees:.0}° away", owns(&face.name));
        let remedy = format!("take it when they look round, or stand {:.0}° further round them", degrees - 80.0);
        look.about(Finding::new(Rule::FacingAway, severity, sentence).with("facing_deg", degrees).remedy(remedy))
    });
    each.collect()
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
