//! A finding: what, where, when, how bad, and what to do.

use super::falls::Falls;
use super::mend::Mend;
use super::rule::Rule;
use super::shaken::Sureness;
use crate::picture::LightFrom;
use crate::plan::Plan;
use serde::{Serialize, Serializer};
use std::collections::BTreeMap;

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// The picture as planned will not exist.
    Lost,
    /// It may fail, or disappoint.
    Risk,
    /// Worth knowing.
    Note,
}

/// Something worth knowing about a frame or the team.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    pub severity: Severity,
    #[serde(serialize_with = "word_of")]
    pub rule: Rule,
    /// Ids; empty where it has to do with none.
    pub moment: String,
    pub frame: String,
    pub photographer: String,
    /// Seconds into the ceremony, if it happens at an instant.
    pub at_s: Option<f64>,
    pub sentence: String,
    /// What would do, with its number; empty if nothing was found that would.
    pub remedy: String,
    /// The same as changes of the plan, all of them together; empty where it takes people, or a choice.
    #[serde(skip)]
    pub mends: Vec<Mend>,
    /// What the sentence was made from. Metres, degrees, seconds, shares, stops.
    pub numbers: BTreeMap<&'static str, f64>,
}

/// All findings of a plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Findings {
    pub lost: usize,
    pub risks: usize,
    pub notes: usize,
    pub list: Vec<Finding>,
    /// Of each frame, in the plan's order; empty if none was shaken.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sureness: Vec<Sureness>,
    /// Of each frame, in the plan's order.
    pub light: Vec<FrameLight>,
}

/// What the strength of a frame's light was taken from.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FrameLight {
    pub frame: String,
    pub light: LightFrom,
    /// How it falls on those who show their face.
    pub on: Vec<OnFace>,
}

/// How light falls on somebody.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OnFace {
    pub person: String,
    pub falls: Falls,
    pub lux: f64,
}

impl Severity {
    pub const ALL: [Self; 3] = [Self::Lost, Self::Risk, Self::Note];

    /// One step less serious.
    pub fn milder(self) -> Self {
        match self {
            Self::Lost => Self::Risk,
            Self::Risk | Self::Note => Self::Note,
        }
    }

    pub fn word(self) -> &'static str {
        match self {
            Self::Lost => "lost",
            Self::Risk => "risk",
            Self::Note => "note",
        }
    }
}

impl Finding {
    pub fn new(rule: Rule, severity: Severity, sentence: impl Into<String>) -> Self {
        Self {
            severity,
            rule,
            moment: String::new(),
            frame: String::new(),
            photographer: String::new(),
            at_s: None,
            sentence: sentence.into(),
            remedy: String::new(),
            mends: vec![],
            numbers: BTreeMap::new(),
        }
    }

    pub fn with(mut self, name: &'static str, value: f64) -> Self {
        self.numbers.insert(name, (value * 1000.0).round() / 1000.0);
        self
    }

    pub fn mends(mut self, mends: Vec<Mend>) -> Self {
        self.mends = mends;
        self
    }

    pub fn remedy(mut self, remedy: impl Into<String>) -> Self {
        self.remedy = remedy.into();
        self
    }
}

impl Findings {
    pub(super) fn new(plan: &Plan, mut list: Vec<Finding>) -> Self {
        let place = |finding: &Finding| plan.moments.iter().position(|moment| moment.id == finding.moment);
        list.sort_by(|a, b| {
            let key = |it: &Finding| (place(it).map_or(0, |ix| ix + 1), it.severity);
            key(a).cmp(&key(b)).then(a.at_s.unwrap_or(0.0).total_cmp(&b.at_s.unwrap_or(0.0)))
        });
        let count = |severity| list.iter().filter(|finding| finding.severity == severity).count();
        Self {
            lost: count(Severity::Lost),
            risks: count(Severity::Risk),
            notes: count(Severity::Note),
            list,
            sureness: vec![],
            light: vec![],
        }
    }

    /// Those that have to do with one moment.
    pub fn of_moment(self, plan: &Plan, moment: &str) -> Self {
        let is_there = |id: &str| {
            let frame = plan.frames.iter().find(|frame| frame.id == id);
            frame.is_some_and(|frame| plan.moments[frame.moment.0].id == moment)
        };
        let sureness = self.sureness.into_iter().filter(|it| is_there(&it.frame)).collect();
        let light = self.light.into_iter().filter(|it| is_there(&it.frame)).collect();
        let list = self.list.into_iter().filter(|finding| finding.moment == moment).collect();
        Self { sureness, light, ..Self::new(plan, list) }
    }
}

fn word_of<S: Serializer>(rule: &Rule, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(rule.facts().word)
}
