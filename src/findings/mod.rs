//! What will go wrong with the planned frames and the team, said so that a photographer acts on it.
//!
//! Every rule is a pure function of one frame's [`Look`], or of the whole [`Run`]; its thresholds stand in [`RULES`]. Planning
//! aid: meter on the day, and mind that people don't stand where a plan puts them.

mod coverage;
mod falls;
mod finding;
mod frame;
mod look;
mod mend;
mod rule;
mod shaken;
mod team;
mod varied;
mod words;

pub(crate) use words::length;

pub use coverage::{CrewCoverage, FrameCoverage, MomentCoverage, coverage};
pub use falls::Falls;
pub use finding::{Finding, Findings, FrameLight, OnFace, Severity};
pub use look::{FaceLook, Look};
pub use mend::{Mend, mended};
pub use rule::{RULES, Rule, RuleFacts};
pub use shaken::Sureness;
pub use varied::{InVariant, in_variant};

use crate::plan::{Frame, Plan};
use crate::staging::Run;
use rayon::prelude::*;

/// Everything worth knowing about a plan, in the order of the ceremony, in each moment the most serious first. `looked` is
/// called after each frame.
pub fn findings(run: &Run, looked: impl Fn() + Sync) -> Findings {
    findings_shaken(run, 0, looked)
}

/// As [`findings`], and each frame shaken so many times.
pub fn findings_shaken(run: &Run, tries: u32, looked: impl Fn() + Sync) -> Findings {
    let look = |frame| {
        let looked_at = look_at(run, frame, tries);
        looked();
        looked_at
    };
    let each: Vec<Looked> = run.plan.frames.par_iter().map(look).collect();
    let mut list = Vec::new();
    let mut looks = Vec::new();
    let mut sureness = Vec::new();
    for Looked { found, look, sure } in each {
        list.extend(found);
        looks.extend(look);
        sureness.extend(sure);
    }
    list.extend(team::all(run, &looks));
    let light = looks.iter().map(frame_light).collect();
    Findings { sureness, light, ..Findings::new(run.plan, list) }
}

/// What is worth knowing about one frame, most serious first.
pub fn frame_findings(run: &Run, frame: &Frame) -> Vec<Finding> {
    let mut found = look_at(run, frame, 0).found;
    found.sort_by_key(|finding| finding.severity);
    found
}

fn frame_light(look: &Look) -> FrameLight {
    let on = |face: &FaceLook| OnFace {
        person: look.plan.people[face.person.0].id.clone(),
        falls: falls::falls(look, face),
        lux: (face.light.total_lux() * 10.0).round() / 10.0,
    };
    FrameLight {
        frame: look.frame.id.clone(),
        light: look.ready.light_from.clone(),
        on: look.faces.iter().filter(|face| face.shows()).map(on).collect(),
    }
}

/// What was found about one frame.
struct Looked<'a> {
    found: Vec<Finding>,
    /// `None` if nobody of it is there.
    look: Option<Look<'a>>,
    sure: Option<Sureness>,
}

fn look_at<'a>(run: &'a Run<'a>, frame: &'a Frame, tries: u32) -> Looked<'a> {
    match Look::new(run, frame) {
        Ok(look) => {
            let found = frame::all(&look);
            let sure = (tries > 0).then(|| shaken::how_sure(&look, lost_for_good(&found), tries));
            Looked { found, look: Some(look), sure }
        }
        Err(error) => Looked { found: vec![nobody_there(run.plan, frame, &error.to_string())], look: None, sure: None },
    }
}

fn nobody_there(plan: &Plan, frame: &Frame, error: &str) -> Finding {
    let finding = Finding::new(Rule::NotThere, Severity::Lost, error);
    look::about(plan, frame, finding.remedy("take the frame when they are there"))
}

fn crew_of(plan: &Plan, frame: &Frame) -> String {
    look::crew_name(plan, plan.photographer_of(frame))
}

/// What a frame is lost to wherever people stand.
fn lost_for_good(found: &[Finding]) -> Option<Rule> {
    let lost = found.iter().filter(|finding| finding.severity == Severity::Lost);
    lost.map(|finding| finding.rule).find(|rule| !shaken::SHAKEN.contains(rule))
}
