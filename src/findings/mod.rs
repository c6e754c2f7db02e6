//! What will go wrong with the planned frames and the team, said so that a photographer acts on it.
//!
//! Every rule is a pure function of one frame's [`Look`], or of the whole [`Run`]; its thresholds stand in [`RULES`]. Planning
//! aid: meter on the day, and mind that people don't stand where a plan puts them.

mod finding;
mod frame;
mod look;
mod rule;
mod shaken;
mod team;
mod words;

pub use finding::{Finding, Findings, Severity};
pub use look::{FaceLook, Look};
pub use rule::{RULES, Rule, RuleFacts};
pub use shaken::Sureness;

use crate::optics::ComposeError;
use crate::plan::Frame;
use crate::staging::Run;
use rayon::prelude::*;

/// Everything worth knowing about a plan, in the order of the ceremony, in each moment the most serious first. `looked` is
/// called after each frame.
///
/// # Errors
/// A frame of which nobody is there and that has no aim of its own.
pub fn findings(run: &Run, looked: impl Fn() + Sync) -> Result<Findings, ComposeError> {
    findings_shaken(run, 0, looked)
}

/// As [`findings`], and each frame shaken so many times; `looked` is called after each frame.
///
/// # Errors
/// A frame of which nobody is there and that has no aim of its own.
pub fn findings_shaken(run: &Run, tries: u32, looked: impl Fn() + Sync) -> Result<Findings, ComposeError> {
    let each: Vec<Result<Looked, ComposeError>> = run
        .plan
        .frames
        .par_iter()
        .map(|frame| {
            let look = Look::new(run, frame)?;
            let found = frame::all(&look);
            let sure = (tries > 0).then(|| shaken::how_sure(&look, lost_for_good(&found), tries));
            looked();
            Ok(Looked { found, look, sure })
        })
        .collect();
    let mut list = Vec::new();
    let mut looks = Vec::new();
    let mut sureness = Vec::new();
    for one in each {
        let Looked { found, look, sure } = one?;
        list.extend(found);
        looks.push(look);
        sureness.extend(sure);
    }
    list.extend(team::all(run, &looks));
    Ok(Findings { sureness, ..Findings::new(run.plan, list) })
}

/// What was found about one frame.
struct Looked<'a> {
    found: Vec<Finding>,
    look: Look<'a>,
    sure: Option<Sureness>,
}

/// What a frame is lost to wherever people stand.
fn lost_for_good(found: &[Finding]) -> Option<Rule> {
    let lost = found.iter().filter(|finding| finding.severity == Severity::Lost);
    lost.map(|finding| finding.rule).find(|rule| !shaken::SHAKEN.contains(rule))
}

/// What is worth knowing about one frame, most serious first.
///
/// # Errors
/// Nobody of the frame is there and it has no aim of its own.
pub fn frame_findings(run: &Run, frame: &Frame) -> Result<Vec<Finding>, ComposeError> {
    let mut found = frame::all(&Look::new(run, frame)?);
    found.sort_by_key(|finding| finding.severity);
    Ok(found)
}
