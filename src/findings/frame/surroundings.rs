//! What else is in the frame: clutter, mergers, guests, other photographers, what should be kept out.

use crate::findings::finding::{Finding, Severity};
use crate::findings::look::{FaceLook, Look};
use crate::findings::rule::Rule;
use crate::findings::words::{guests, length, owns, percent};
use crate::optics::blur_disc;
use crate::plan::{AudienceWish, FixtureKind, KeepOutOf, ShotSize};
use crate::sight::{Beside, Caster, PersonSeen};
use crate::staging::{Figure, OwnerKind};
use glam::Vec3;

/// Blur of this share of a head's height makes a pole a smudge. *Our own.*
const SMUDGE: f64 = 0.12;

/// A face of fewer pixels is none.
const FEWEST_PX: u32 = 4;
/// As far as a photographer goes to the side without having planned it. *Our own.*
const FARTHEST_ASIDE_M: f64 = 1.0;
/// A head is so wide, of its height.
const HEAD_WIDTH: f64 = 0.7;
/// How far to each side of a wanted head, in its widths, another grows out of it; and how far it has to stand out over it.
const BEHIND_WIDTHS: f64 = 0.6;
const STANDS_OUT: std::ops::Range<f64> = 0.15..1.1;
/// Nearer than this they stand side by side.
const BEHIND_M: f64 = 0.5;

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
            let all = audience.faces as usize + named_faces(look);
            let faces = all as f64;
            let found = look.finding(Rule::AudienceMissing, 1.0 / faces.max(0.5), || match all {
                0 => "no guest’s face is in the picture".to_owned(),
                all => format!("only {} with their faces in the picture", guests(all)),
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

/// Families in the first rows are an audience like the others.
fn named_faces(look: &Look) -> usize {
    let shows = |person: &&PersonSeen| {
        !person.wanted
            && person.facing_deg < 90.0
            && person.parts.get("face").is_some_and(|part| part.visible_px >= FEWEST_PX)
    };
    look.seen.people.iter().filter(shows).count()
}

/// By what lies round the wanted heads.
pub fn round_heads(look: &Look) -> Vec<Finding> {
    let each = |face| clutter(look, face).into_iter().chain(mergers(look, face)).chain(head_behind(look, face));
    look.faces.iter().flat_map(each).collect()
}

fn clutter(look: &Look, face: &FaceLook) -> Option<Finding> {
    let ring = face.seen.round_head.as_ref()?;
    // A back of a head in a wide is no portrait; but a lit exit sign draws the eye wherever it is.
    let is_back = !look.is_tight() && Rule::FacingAway.severity(face.seen.facing_deg).is_some();
    let counts = |beside: &&Beside| beside.clutter && (!is_back || is_sign(look, &beside.id));
    let worst = ring.beside.iter().find(counts)?;
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
        &worst.id,
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
    Some(found.with("behind_m", merger.behind_m).remedy(aside(look, face, &merger.id, merger.behind_m)))
}

/// Somebody's head that stands out over a wanted one, sharp enough to be taken for a part of it.
fn head_behind(look: &Look, face: &FaceLook) -> Option<Finding> {
    if !look.is_tight() || !face.shows() {
        return None;
    }
    let camera = look.camera();
    let is_seated = face.figure.hip.y - face.figure.sole.y < 0.45 * face.figure.stature_m;
    let (x, y, _) = camera.image_from_world(face.figure.crown, 1.0)?;
    let head_m = 0.13 * f64::from(face.figure.stature_m);
    let height = head_m * camera.focal_m / camera.sensor_m[0] / face.depth_m.max(0.1);
    let behind = |figure: &&Figure| {
        let behind_m = f64::from((figure.eyes - camera.eye).dot(camera.forward())) - face.depth_m;
        let wanted = look.faces.iter().any(|it| it.figure.owner == figure.owner);
        // Among rows of guests heads are behind heads.
        let in_rows = is_seated && matches!(look.tableau().owner(figure.owner).kind, OwnerKind::Guest { .. });
        if wanted || in_rows || behind_m < BEHIND_M || is_smudge(look, face, behind_m) {
            return false;
        }
        camera.image_from_world(figure.crown, 1.0).is_some_and(|(u, v, _)| {
            (u - x).abs() < BEHIND_WIDTHS * HEAD_WIDTH * height && STANDS_OUT.contains(&((y - v) / height))
        })
    };
    let candidates: Vec<&Figure> = look.tableau().figures.iter().filter(behind).collect();
    if candidates.is_empty() {
        return None;
    }
    let caster = Caster::new(look.tableau());
    let is_seen = |figure: &&&Figure| {
        let way = figure.crown - camera.eye;
        let others = |index: usize| {
            let solid = &look.tableau().solids[index];
            solid.owner == figure.owner
                || solid.is_seen_through()
                || look.tableau().owner(solid.owner).kind == look.ready.taker
        };
        !caster.blocked(camera.eye, way.normalize_or(Vec3::NEG_Z), way.length() - 0.02, others)
    };
    let figure = candidates.iter().find(is_seen)?;
    let behind_m = f64::from((figure.eyes - camera.eye).dot(camera.forward())) - face.depth_m;
    let who = look.name_of(&look.tableau().owner(figure.owner).id);
    let sentence = format!("the head of {who} seems to grow out of {}", owns(&face.name));
    let found = look.about(Finding::new(Rule::Merger, Severity::Note, sentence));
    Some(found.with("behind_m", behind_m).remedy(format!(
        "{} to the side moves it clear of the head, or a wider aperture blurs it",
        length(look.plan, 0.3 * (face.depth_m + behind_m) / behind_m)
    )))
}

fn can_be_taken_away(kind: FixtureKind) -> bool {
    use FixtureKind::*;
    matches!(
        kind,
        FlowerStand
            | Urn
            | CandleStand
            | Table
            | Chair
            | Bench
            | MusicStand
            | MicrophoneStand
            | Loudspeaker
            | Bin
            | LightStand
            | CableCover
            | Generator
            | Van
    )
}

fn is_sign(look: &Look, id: &str) -> bool {
    look.plan.venue.fixtures.iter().any(|fixture| fixture.id == id && fixture.kind == FixtureKind::ExitSign)
}

/// Whether what is so far behind a face is blurred beyond knowing.
fn is_smudge(look: &Look, face: &FaceLook, behind_m: f64) -> bool {
    let camera = look.camera();
    let disc_m = blur_disc(camera.focal_m, camera.f_number, camera.focus_m, (face.depth_m + behind_m).max(0.05));
    let head_m = 0.13 * f64::from(face.figure.stature_m) * camera.focal_m / face.depth_m.max(0.1);
    disc_m > SMUDGE * head_m
}

/// A step of s to the side moves what is b behind a head d away by s·b/(d+b) against it; 0.3 m is clear of half a head and hair.
fn aside(look: &Look, face: &FaceLook, id: &str, behind_m: f64) -> String {
    let goes = look.plan.venue.fixtures.iter().any(|fixture| fixture.id == id && can_be_taken_away(fixture.kind));
    if behind_m <= 0.1 {
        return format!("{}stand on the other side", if goes { "ask for it to be taken away, or " } else { "" });
    }
    let needed_m = 0.3 * (face.depth_m + behind_m) / behind_m;
    let side = format!("{} to the side moves it clear of the head", length(look.plan, needed_m.max(0.1)));
    // Nobody walks metres for it in the middle of a vow.
    if needed_m > FARTHEST_ASIDE_M {
        return format!("take it a moment earlier or later, when they stand elsewhere before it; {side}");
    }
    if goes { format!("{side}, or ask for it to be taken away") } else { side }
}
