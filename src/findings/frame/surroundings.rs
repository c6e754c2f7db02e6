//! What else is in the frame: clutter, mergers, guests, other photographers, what should be kept out.

use crate::findings::finding::{Finding, Severity};
use crate::findings::look::{FaceLook, Look};
use crate::findings::rule::Rule;
use crate::findings::words::{guests, length, owns, percent};
use crate::optics::blur_disc;
use crate::plan::{AudienceWish, KeepOutOf, ShotSize};

/// Blur of this share of a head's height makes a pole a smudge. *Our own.*
const SMUDGE: f64 = 0.12;

/// By pixels of the whole picture.
pub fn seen(look: &Look) -> Vec<Finding> {
    let kept_out = look.frame.keep_out.iter().filter_map(|what| kept_out(look, *what));
    let crew = look.seen.crew_in_frame.iter().filter(|(id, _)| !named(look, id)).filter_map(|(id, px)| {
        let share = f64::from(*px) / look.pixels();
        let found = look.finding(Rule::CrewSeen, share, || format!("{} is in the picture", look.name_of(id)))?;
        let remedy = format!(
            "{} leaves earlier, or the frame is taken when they are gone or from beside them",
            look.name_of(id)
        );
        Some(found.with("share", share).remedy(remedy))
    });
    kept_out.chain(crew).chain(audience(look)).collect()
}

/// Whether the frame's own wish says to keep them out, so that it is told once.
fn named(look: &Look, crew: &str) -> bool {
    look.frame.keep_out.iter().any(|it| matches!(it, KeepOutOf::Photographer(ix) if look.plan.crew[ix.0].id == crew))
}

fn kept_out(look: &Look, what: KeepOutOf) -> Option<Finding> {
    let (id, px) = match what {
        KeepOutOf::Person(ix) => {
            let id = &look.plan.people[ix.0].id;
            let person = look.seen.people.iter().find(|person| person.id == *id)?;
            (id, person.parts.get("whole")?.visible_px)
        }
        KeepOutOf::Fixture(ix) => {
            let id = &look.plan.venue.fixtures[ix.0].id;
            (id, look.seen.things.iter().find(|thing| thing.id == *id)?.visible_px)
        }
        KeepOutOf::Photographer(ix) => {
            let id = &look.plan.crew[ix.0].id;
            (id, *look.seen.crew_in_frame.get(id)?)
        }
    };
    let share = f64::from(px) / look.pixels();
    let found = look.finding(Rule::KeepOutSeen, share, || {
        format!("{} should be kept out and takes {} of the picture", look.name_of(id), small_percent(share))
    })?;
    Some(found.with("share", share).remedy("turn or zoom until it is out, or stand where somebody covers it"))
}

fn small_percent(share: f64) -> String {
    match share {
        share if share < 0.001 => "a speck".to_owned(),
        share if share < 0.01 => format!("{:.1} %", share * 100.0),
        share => percent(share),
    }
}

fn audience(look: &Look) -> Option<Finding> {
    let audience = look.seen.audience;
    match look.frame.audience {
        AudienceWish::Wanted => {
            let faces = f64::from(audience.faces);
            let found = look.finding(Rule::AudienceMissing, 1.0 / faces.max(0.5), || match audience.faces {
                0 => "no guest’s face is in the picture".to_owned(),
                faces => format!("only {} with their faces in the picture", guests(faces as usize)),
            })?;
            Some(
                found
                    .with("faces", faces)
                    .with("backs", f64::from(audience.backs))
                    .remedy("stand opposite them, or zoom out"),
            )
        }
        AudienceWish::Unwanted if audience.backs > 0 => {
            let found = look.finding(Rule::BacksSeen, audience.share_of_frame, || {
                format!("{} backs of heads take {} of the picture", audience.backs, percent(audience.share_of_frame))
            })?;
            Some(
                found
                    .with("share", audience.share_of_frame)
                    .with("backs", f64::from(audience.backs))
                    .remedy("hold the camera higher, or zoom in"),
            )
        }
        _ => None,
    }
}

/// By what lies round the wanted heads.
pub fn round_heads(look: &Look) -> Vec<Finding> {
    look.faces.iter().flat_map(|face| clutter(look, face).into_iter().chain(mergers(look, face))).collect()
}

fn clutter(look: &Look, face: &FaceLook) -> Option<Finding> {
    let ring = face.seen.round_head.as_ref()?;
    let worst = ring.beside.iter().find(|beside| beside.clutter)?;
    let mut found = look.finding(Rule::Clutter, worst.share, || {
        format!(
            "{} takes {} of what lies round {} head",
            look.name_of(&worst.id),
            percent(worst.share),
            owns(&face.name)
        )
    })?;
    if is_smudge(look, face, worst.behind_m.unwrap_or(0.0)) {
        found.severity = Severity::Note;
        found.sentence += ", out of focus";
    }
    Some(found.with("share", worst.share).with("behind_m", worst.behind_m.unwrap_or(0.0)).remedy(aside(
        look,
        face,
        worst.behind_m.unwrap_or(0.0),
    )))
}

fn mergers(look: &Look, face: &FaceLook) -> Option<Finding> {
    let is_fixture = |id: &str| look.plan.venue.fixtures.iter().any(|fixture| fixture.id == id);
    let found = face.seen.round_head.as_ref()?.mergers.iter().filter(|merger| is_fixture(&merger.id));
    let merger = found.max_by(|a, b| a.width.total_cmp(&b.width))?;
    if look.frame.shot_size == ShotSize::Wide || is_smudge(look, face, merger.behind_m) {
        return None;
    }
    let found = look.finding(Rule::Merger, 1.0, || {
        format!("{} seems to grow out of {} head", look.name_of(&merger.id), owns(&face.name))
    })?;
    Some(found.with("behind_m", merger.behind_m).remedy(aside(look, face, merger.behind_m)))
}

/// Whether what is so far behind a face is blurred beyond knowing.
fn is_smudge(look: &Look, face: &FaceLook, behind_m: f64) -> bool {
    let camera = look.camera();
    let disc_m = blur_disc(camera.focal_m, camera.f_number, camera.focus_m, (face.depth_m + behind_m).max(0.05));
    let head_m = 0.13 * f64::from(face.figure.stature_m) * camera.focal_m / face.depth_m.max(0.1);
    disc_m > SMUDGE * head_m
}

/// A step of s to the side moves what is b behind a head d away by s·b/(d+b) against it; 0.3 m is clear of half a head and hair.
fn aside(look: &Look, face: &FaceLook, behind_m: f64) -> String {
    if behind_m <= 0.1 {
        return "ask for it to be taken away, or stand on the other side".to_owned();
    }
    let needed_m = 0.3 * (face.depth_m + behind_m) / behind_m;
    format!(
        "{} to the side moves it clear of the head, or ask for it to be taken away",
        length(look.plan, needed_m.max(0.1))
    )
}
