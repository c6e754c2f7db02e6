//! Findings in a variant of the plan, and what gets worse in it.

use super::finding::{Finding, Findings, Severity};
use super::look::about;
use super::rule::Rule;
use super::{crew_of, findings_shaken};
use crate::plan::{Frame, Plan, Variant, Varied};
use crate::staging::{Run, rehearse};
use serde::Serialize;

/// A variant's findings.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InVariant {
    /// The variant's id.
    pub variant: String,
    pub name: String,
    #[serde(flatten)]
    pub found: Findings,
    /// Findings that the plan as it is doesn't have, or has as less serious; places in `list`.
    pub worse: Vec<usize>,
    /// How many of the plan's lost and risks are gone or less serious.
    pub better: usize,
}

/// Findings of a plan in one of its variants, beside those of the plan as it is.
pub fn in_variant(plan: &Plan, as_planned: &Findings, variant: &Variant, tries: u32) -> InVariant {
    let Varied { plan: varied, given_up } = plan.in_variant(variant);
    let (mut varied, hitches) = rehearse(varied);
    let mut list: Vec<Finding> = given_up.iter().map(|frame| given_up_finding(plan, frame, variant)).collect();
    let mut never = Vec::new();
    for hitch in hitches.iter().filter(|hitch| hitch.what.is_impossible()) {
        let Some(frame) = varied.frames.iter().find(|frame| frame.written == hitch.written) else { continue };
        let finding =
            Finding::new(Rule::NeverHappens, Severity::Lost, hitch.what.to_string()).remedy(hitch.what.help());
        list.push(about(&varied, frame, finding));
        never.push(frame.id.clone());
    }
    varied.frames.retain(|frame| !never.contains(&frame.id));
    let found = findings_shaken(&Run::new(&varied), tries, || ());
    let (sureness, light) = (found.sureness, found.light);
    list.extend(found.list);
    let found = Findings { sureness, light, ..Findings::new(&varied, list) };
    let same = |a: &Finding, b: &Finding| {
        a.rule == b.rule && a.frame == b.frame && a.moment == b.moment && a.photographer == b.photographer
    };
    let serious = |it: &&Finding| it.severity != Severity::Note;
    let least = |among: &[Finding], it: &Finding| {
        among.iter().filter(|other| same(it, other)).map(|other| other.severity).min()
    };
    let is_worse =
        |it: &Finding| it.severity != Severity::Note && least(&as_planned.list, it).is_none_or(|was| it.severity < was);
    let worse = (0..found.list.len()).filter(|k| is_worse(&found.list[*k])).collect();
    let better = as_planned
        .list
        .iter()
        .filter(serious)
        .filter(|it| least(&found.list, it).is_none_or(|is| is > it.severity))
        .count();
    InVariant { variant: variant.id.clone(), name: variant.name.clone(), found, worse, better }
}

fn given_up_finding(plan: &Plan, frame: &Frame, variant: &Variant) -> Finding {
    let who = crew_of(plan, frame);
    let sentence = match variant.without.contains(&plan.photographer_of(frame)) {
        true => format!("{who} isn’t there to take it"),
        false => format!("{who} has no body and lens left to take it with"),
    };
    about(plan, frame, Finding::new(Rule::GivenUp, Severity::Lost, sentence))
}
