//! Where the camera is, and whether the lens does what is asked of it.

use super::remedy::{camera_by, place_at};
use crate::findings::finding::{Finding, Severity};
use crate::findings::look::{Look, crew_name, short_name};
use crate::findings::mend::Mend;
use crate::findings::rule::Rule;
use crate::findings::words::{and, length, mm, owns, percent};
use crate::optics::{Remark, focal_for_shot, framing, shot_size_at};
use crate::plan::{Lens, PersonIx, PhotographerIx, ShotSize};

/// As a ratio, natural logarithm, in the table of shot sizes.
const TWO_SIZES: f64 = 0.75;

pub fn findings(look: &Look) -> Vec<Finding> {
    let mut found = Vec::new();
    let remarks = &look.ready.composed.remarks;
    for remark in remarks {
        found.extend(match remark {
            Remark::NotThere { name } => look
                .finding(Rule::NotThere, 1.0, || format!("{name} isn’t there at that moment"))
                .map(|it| it.remedy("take the frame when they are there, or leave them out of `of`")),
            Remark::NearerThanFocus { name, distance_m, nearest_m } => {
                nearest_focus(look, name, *distance_m, *nearest_m)
            }
            Remark::FocalNotOnLens { wanted_m, drawn_m, would_do_at_m, distance_m, becomes, size, .. } => {
                let asked = framing(*size).words;
                let outcome = if becomes == size {
                    format!("it comes out a little {}", if wanted_m > drawn_m { "wider" } else { "tighter" })
                } else {
                    format!("it becomes {}", framing(*becomes).words)
                };
                let found = focal_missing(
                    look,
                    *wanted_m,
                    *drawn_m,
                    format!(
                        "{asked} from here takes {}, the lens {} at {}: {outcome}",
                        mm(*wanted_m),
                        if wanted_m > drawn_m { "ends" } else { "starts" },
                        mm(*drawn_m)
                    ),
                );
                found.map(|it| {
                    // What stays the shot size that was asked is a crop at most.
                    let severity = if becomes == size { Severity::Note } else { it.severity };
                    let (move_it, moved) = along(look, *distance_m, *would_do_at_m, drawn_m / wanted_m);
                    let (remedy, lens) = with_lens(look, *wanted_m, &move_it);
                    Finding { severity, ..it }
                        .with("distance_m", *distance_m)
                        .remedy(remedy)
                        .mends(lens.map_or(moved, |mend| vec![mend]))
                })
            }
            // A wide only has to be wide, and whoever set its focal length by hand meant it: enough if everybody is in it.
            Remark::FocalTooLong { size: ShotSize::Wide, .. } if everyone_is_in(look) => None,
            Remark::FocalTooLong { asked_m, would_hold_m, size } => focal_missing(
                look,
                *would_hold_m,
                *asked_m,
                format!("{} is too long to hold {} of everyone", mm(*asked_m), framing(*size).words),
            )
            .map(|it| {
                let (remedy, mend) = with_lens(look, *would_hold_m, "step back");
                it.remedy(remedy).mends(mend.into_iter().collect())
            }),
            Remark::AskedFocalNotOnLens { asked_m, drawn_m, .. } => not_on_kit(look, (asked_m / drawn_m).ln(), remark),
            Remark::ApertureNotOnLens { asked, drawn, .. } => not_on_kit(look, 2.0 * (asked / drawn).log2(), remark),
            Remark::ShutterNotOnBody { asked_s, drawn_s } => not_on_kit(look, (asked_s / drawn_s).log2(), remark),
            Remark::IsoNotOnBody { asked, drawn } => not_on_kit(look, (asked / drawn).log2(), remark),
            _ => None,
        });
    }
    found.extend(wider_than_asked(look));
    if !look.seen.camera_inside.is_empty() {
        let holders: Vec<String> = look.seen.camera_inside.iter().map(|id| look.name_of(id)).collect();
        let names: Vec<&str> = holders.iter().map(String::as_str).collect();
        let sentence = format!("the camera is inside {}: no such picture can be taken", and(&names));
        found.push(
            look.about(
                Finding::new(Rule::CameraInside, Severity::Lost, sentence)
                    .remedy("move the standpoint, or change its height"),
            ),
        );
    }
    found
}

fn not_on_kit(look: &Look, off: f64, remark: &Remark) -> Option<Finding> {
    look.finding(Rule::NotOnKit, off.abs(), || remark.to_string())
        .map(|it| it.with("off", off).remedy("plan the frame with what is there, or bring what has it"))
}

fn nearest_focus(look: &Look, name: &str, distance_m: f64, nearest_m: f64) -> Option<Finding> {
    let plan = look.plan;
    let short_m = nearest_m - distance_m;
    let who = plan.people.iter().position(|person| person.name == name);
    let name = who.map_or_else(|| name.to_owned(), |ix| short_name(plan, PersonIx(ix)));
    let sentence = format!("{name} is {} away, the lens focuses from {}", cm(distance_m), cm(nearest_m));
    look.finding(Rule::NearestFocus, short_m, || sentence).map(|it| {
        it.with("too_near_m", short_m)
            .remedy(format!("stand {} further away", length(plan, (short_m * 10.0).ceil() / 10.0)))
    })
}

fn cm(metres: f64) -> String {
    format!("{metres:.2} m")
}

/// How far the focal length is off, as a ratio.
fn focal_missing(look: &Look, wanted_m: f64, drawn_m: f64, sentence: String) -> Option<Finding> {
    let off = (wanted_m / drawn_m).ln().abs();
    look.finding(Rule::FocalMissing, off, || sentence)
        .map(|it| it.with("wanted_mm", wanted_m * 1000.0).with("drawn_mm", drawn_m * 1000.0))
}

/// A focal length set by hand that shows the nearest of them smaller than the shot size says: two sizes off and more is told.
fn wider_than_asked(look: &Look) -> Option<Finding> {
    let (camera, size) = (look.camera(), look.frame.shot_size);
    let nearest = look.faces.iter().min_by(|a, b| a.depth_m.total_cmp(&b.depth_m)).filter(|face| face.depth_m > 0.3)?;
    if look.frame.focal_m.is_none() || look.faces.len() > 1 {
        return None;
    }
    let stature_m = f64::from(nearest.figure.stature_m);
    let becomes = shot_size_at(camera.focal_m, stature_m, nearest.depth_m, camera.sensor_m[1]);
    let would_do_m = focal_for_shot(size, stature_m, nearest.depth_m, camera.sensor_m[1]);
    if (would_do_m / camera.focal_m).ln() < TWO_SIZES || becomes == size {
        return None;
    }
    let sentence =
        format!("at {} it becomes {}, asked is {}", mm(camera.focal_m), framing(becomes).words, framing(size).words);
    let found = look.about(Finding::new(Rule::FocalMissing, Severity::Note, sentence));
    Some(
        found
            .with("wanted_mm", would_do_m * 1000.0)
            .with("drawn_mm", camera.focal_m * 1000.0)
            .remedy(format!("zoom to {}, or call it what it is (`shot_size`)", mm(would_do_m)))
            .mends(if look.lens.focal_m[1] >= would_do_m { vec![Mend::Focal { focal_m: would_do_m }] } else { vec![] }),
    )
}

fn everyone_is_in(look: &Look) -> bool {
    look.faces.iter().all(|face| face.seen.parts.get("face").is_some_and(|part| part.in_frame_px == part.alone_px))
}

/// Where the lens would do on the way to those the frame is of, or round them; else how much of the picture to keep.
fn along(look: &Look, distance_m: f64, would_do_at_m: f64, kept: f64) -> (String, Vec<Mend>) {
    let way = if would_do_at_m < distance_m { "nearer" } else { "further away" };
    match place_at(look, distance_m, would_do_at_m) {
        Some(place) => {
            let aside = match place.right_m {
                right_m if right_m.abs() < 0.1 => String::new(),
                right_m => format!(
                    " and {} further {}",
                    length(look.plan, right_m.abs()),
                    if right_m > 0.0 { "right" } else { "left" }
                ),
            };
            let words = format!("stand {} {way}{aside}", length(look.plan, place.nearer_m.abs()));
            (words, camera_by(look, place.by, 0.0))
        }
        None if kept < 1.0 => (format!("keep {} of the picture’s width", percent(kept)), vec![]),
        None => ("nobody can stand further away there".to_owned(), vec![]),
    }
}

/// Which other lens would do, on this body; else what else to do.
fn with_lens(look: &Look, wanted_m: f64, otherwise: &str) -> (String, Option<Mend>) {
    let does = |lens: &Lens| lens.focal_m[0] <= wanted_m * 1.02 && wanted_m <= lens.focal_m[1] * 1.02;
    let photographer = &look.plan.crew[look.plan.photographer_of(look.frame).0];
    let lenses = &look.plan.kit.lenses;
    let (asked_mm, drawn_m) = (mm(wanted_m), look.camera().focal_m);
    if look.frame.focal_m.is_some() && does(look.lens) {
        return (format!("zoom to {asked_mm}, or {otherwise}"), Some(Mend::Focal { focal_m: wanted_m }));
    }
    let carried = photographer.carries.iter().map(|pair| &lenses[pair.lens]).find(|lens| does(lens));
    if let Some(lens) = carried {
        let mend = Mend::With { lens: lens.id.clone() };
        return (format!("the {} would do at {asked_mm}, or {otherwise}", lens.id), Some(mend));
    }
    let crew = (0..look.plan.crew.len()).map(PhotographerIx);
    for other in crew {
        let lens = look.plan.crew[other.0].carries.iter().map(|pair| &lenses[pair.lens]).find(|lens| does(lens));
        if let Some(lens) = lens {
            let whose = owns(&crew_name(look.plan, other));
            return (format!("{whose} {} would do at {asked_mm}, or {otherwise}", lens.id), None);
        }
    }
    // Nobody has it: of one's own, what comes nearest.
    let short_of = |lens: &Lens| (wanted_m / wanted_m.clamp(lens.focal_m[0], lens.focal_m[1])).ln().abs();
    let own = photographer.carries.iter().map(|pair| &lenses[pair.lens]);
    let nearest = own.filter(|lens| lens.id != look.lens.id).min_by(|a, b| short_of(a).total_cmp(&short_of(b)));
    if let Some(lens) = nearest.filter(|lens| short_of(lens) < 0.9 * (wanted_m / drawn_m).ln().abs()) {
        let at = mm(wanted_m.clamp(lens.focal_m[0], lens.focal_m[1]));
        return (format!("the {} comes nearest, at {at}; or {otherwise}", lens.id), None);
    }
    let which = if wanted_m > drawn_m { "longer" } else { "shorter" };
    (format!("{otherwise}; a {which} lens ({asked_mm}) is in nobody’s bag"), None)
}
