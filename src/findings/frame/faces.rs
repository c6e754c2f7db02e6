//! Wanted faces: covered, and by whom; or turned away; and kisses, in which they may be both.

use super::remedy::{Sightline, camera_by, place_round, way_out};
use crate::findings::finding::{Finding, Severity};
use crate::findings::look::{FaceLook, Look};
use crate::findings::rule::Rule;
use crate::findings::words::{and, length, owns, percent};
use crate::plan::{Deed, PersonIx};
use glam::Vec3;

/// Fewer pixels of a face turned to the camera can't be told from none.
const FEWEST_PX: u32 = 6;
/// Further round than this it is a shoulder and hair, no turned face. *Our own.*
const SHOULDER_DEG: f64 = 130.0;
/// Further round than this a kisser's face is hair and an ear. *Our own.*
pub const KISS_DEG: f64 = 120.0;
/// Up to here there is still an eye and a mouth to be seen.
const HALF_HIDDEN: f64 = 0.7;
/// One in so many of a face's pixels is an outline, no face. *Our own.*
const SLIVER: u32 = 12;

pub fn findings(look: &Look) -> Vec<Finding> {
    let mut found: Vec<Finding> = look.faces.iter().filter_map(|face| hidden(look, face)).collect();
    found.extend(turned_away(look));
    found.extend(kiss_unseen(look));
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
    let found = numbers.fold(found, |found, (name, value)| found.with(name, value));
    Some(found.remedy(way.words).mends(way.mends))
}

/// Whether they kiss or embrace, or hold each other dancing.
fn are_together(look: &Look, person: PersonIx, other: &str) -> bool {
    let Some(other) = look.plan.people.iter().position(|it| it.id == other) else { return false };
    let both = look.run.partners_of(person.0).contains(&other) || look.run.partners_of(other).contains(&person.0);
    let close = [Deed::Kisses, Deed::Embraces, Deed::Dances];
    both && close.into_iter().any(|deed| look.run.does(person, deed, look.at_s()))
}

/// A frame is lost to turned heads if it is tight and no wanted face is left; a single one is a risk. In wide and full frames
/// backs may be meant, and are told once, unless the focus is asked to lie on one of them.
fn turned_away(look: &Look) -> Vec<Finding> {
    let is_away = |face: &&FaceLook| Rule::FacingAway.severity(face.seen.facing_deg).is_some();
    // Two who kiss look at each other: they have a rule of their own.
    let away: Vec<&FaceLook> = look.faces.iter().filter(is_away).filter(|face| !kisses(look, face)).collect();
    let all = away.len() == look.faces.len();
    if !look.is_tight() {
        let names: Vec<&str> = away.iter().map(|face| face.name.as_str()).collect();
        // With nobody else's face in it the picture is the backs.
        let first = away.iter().find(|face| !all && look.frame.focus_on == Some(face.person));
        let (severity, remedy) = match first {
            Some(first) => (Severity::Risk, round_them(first)),
            None => (Severity::Note, "nothing, if that is the picture".to_owned()),
        };
        let focus = first.map_or(String::new(), |first| format!(", and the focus is on {}", first.name));
        let sentence =
            format!("{} {} seen from behind{focus}", and(&names), if names.len() == 1 { "is" } else { "are" });
        let finding = look.about(Finding::new(Rule::FacingAway, severity, sentence));
        return if away.is_empty() { vec![] } else { vec![finding.remedy(remedy)] };
    }
    // Past the other's shoulder: a back of a head in front of the face in focus is the picture.
    let is_shoulder = |face: &FaceLook| look.is_secondary(face) && face.seen.facing_deg > SHOULDER_DEG;
    let each = away.iter().filter(|face| all || !is_shoulder(face)).map(|face| {
        let embraced = look.run.does(face.person, Deed::Embraces, look.at_s());
        let meant = !all && (embraced || look.is_secondary(face));
        let severity = match () {
            () if meant => Severity::Note,
            () if all && !embraced => Severity::Lost,
            () => Severity::Risk,
        };
        let degrees = face.seen.facing_deg;
        let sentence = format!("{} face is turned {degrees:.0}° away", owns(&face.name));
        let remedy = if meant { "nothing, if that is the picture".to_owned() } else { round_them(face) };
        look.about(Finding::new(Rule::FacingAway, severity, sentence).with("facing_deg", degrees).remedy(remedy))
    });
    each.collect()
}

fn round_them(face: &FaceLook) -> String {
    format!("take it when they look round, or stand {:.0}° further round them", face.seen.facing_deg - 80.0)
}

pub fn kisses(look: &Look, face: &FaceLook) -> bool {
    look.run.does(face.person, Deed::Kisses, look.at_s())
}

/// Share of a kisser's face that isn't seen, of what is turned to the camera; all of it from further round.
fn unseen(face: &FaceLook) -> f64 {
    let Some(part) = face.seen.parts.get("face") else { return 1.0 };
    let turned_here = part.in_frame_px.saturating_sub(part.covered_by.get(&face.seen.id).copied().unwrap_or(0));
    let too_few = turned_here < FEWEST_PX || turned_here * SLIVER < part.in_frame_px;
    if face.seen.facing_deg > KISS_DEG || too_few {
        return 1.0;
    }
    1.0 - f64::from(part.visible_px) / f64::from(turned_here)
}

/// A kiss with neither face is two backs of heads. One face is a picture: the other's covers it from nearly everywhere.
fn kiss_unseen(look: &Look) -> Option<Finding> {
    let two: Vec<&FaceLook> = look.faces.iter().filter(|face| kisses(look, face)).collect();
    let clearer = two.iter().copied().min_by(|a, b| unseen(a).total_cmp(&unseen(b)))?;
    let share = unseen(clearer);
    let found = look.finding(Rule::KissUnseen, share, || {
        let seen = if share > 0.99 { "nothing".to_owned() } else { percent(1.0 - share) };
        match two.len() {
            1 => format!("{} kisses, and {seen} of the face is seen", clearer.name),
            _ if share < HALF_HIDDEN => {
                format!("the kiss half hides both faces: of {}, the clearer, {seen} is seen", owns(&clearer.name))
            }
            _ => format!("neither face of the kiss is seen: of {}, the clearer, {seen}", owns(&clearer.name)),
        }
    })?;
    let degrees = across(look, clearer);
    let side = if degrees > 0.0 { "right" } else { "left" };
    let place = place_round(look, clearer.depth_m, degrees);
    let mut remedy = format!("they are in profile from {:.0}° further round them to the {side}", degrees.abs());
    if let Some(place) = &place {
        let by = |way_m: f64, more: &str, less: &str| {
            format!("{} {}", length(look.plan, way_m.abs()), if way_m > 0.0 { more } else { less })
        };
        remedy += &format!(
            ": {} and {}",
            by(place.right_m, "further right", "further left"),
            by(place.nearer_m, "forward", "back")
        );
    }
    let mends = place.map_or(vec![], |place| camera_by(look, place.by, 0.0));
    // Of people a few pixels high in a wide frame nobody looks for the lips.
    let severity = if look.is_tight() { found.severity } else { found.severity.milder() };
    Some(
        Finding { severity, ..found }
            .with("unseen_share", share)
            .with("round_deg", degrees)
            .remedy(remedy)
            .mends(mends),
    )
}

/// How far the camera has to go round somebody to see them in profile, the shorter way; to the right is positive.
fn across(look: &Look, face: &FaceLook) -> f64 {
    let facing = face.figure.face_forward.with_y(0.0).normalize_or(Vec3::NEG_Z);
    let to_camera = (look.camera().eye - face.figure.eyes).with_y(0.0).normalize_or(Vec3::Z);
    let turn_to = |side: Vec3| f64::from(to_camera.cross(side).y.atan2(to_camera.dot(side))).to_degrees();
    let own_right = facing.cross(Vec3::Y);
    [turn_to(own_right), turn_to(-own_right)].into_iter().min_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap_or(0.0)
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
