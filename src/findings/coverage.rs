//! Who has what of each moment: moment by photographer, wide or tight, of whom, and how sure.

use super::finding::{Findings, Severity};
use super::look::short_name;
use crate::plan::{Frame, PhotographerIx, Plan, ShotSize};
use serde::Serialize;

/// A moment's row.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MomentCoverage {
    pub moment: String,
    pub name: String,
    /// In the order of the plan's crew.
    pub by: Vec<CrewCoverage>,
}

/// What one photographer has of a moment.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CrewCoverage {
    pub photographer: String,
    /// In order of time.
    pub frames: Vec<FrameCoverage>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FrameCoverage {
    pub id: String,
    /// `wide`, `full`, or `tight` from a three-quarter on.
    pub size: &'static str,
    /// Names.
    pub of: Vec<String>,
    /// Something finds it lost.
    pub lost: bool,
    /// If it was shaken.
    pub sure: Option<f64>,
}

/// The whole table, moments in order.
pub fn coverage(plan: &Plan, found: &Findings) -> Vec<MomentCoverage> {
    let row = |(ix, moment): (usize, &crate::plan::Moment)| MomentCoverage {
        moment: moment.id.clone(),
        name: if moment.name.is_empty() { moment.id.clone() } else { moment.name.clone() },
        by: (0..plan.crew.len()).map(|crew| of_photographer(plan, found, ix, PhotographerIx(crew))).collect(),
    };
    plan.moments.iter().enumerate().map(row).collect()
}

fn of_photographer(plan: &Plan, found: &Findings, moment: usize, photographer: PhotographerIx) -> CrewCoverage {
    let own = plan.frames.iter().filter(|it| it.moment.0 == moment && plan.photographer_of(it) == photographer);
    let mut own: Vec<&Frame> = own.collect();
    own.sort_by(|a, b| a.after_s.total_cmp(&b.after_s));
    let cell = |frame: &Frame| FrameCoverage {
        id: frame.id.clone(),
        size: match frame.shot_size {
            ShotSize::Wide => "wide",
            ShotSize::Full => "full",
            _ => "tight",
        },
        of: frame.of.iter().map(|person| short_name(plan, *person)).collect(),
        lost: found.list.iter().any(|it| it.frame == frame.id && it.severity == Severity::Lost),
        sure: found.sureness.iter().find(|it| it.frame == frame.id).map(|it| it.sure),
    };
    CrewCoverage { photographer: plan.crew[photographer.0].id.clone(), frames: own.into_iter().map(cell).collect() }
}
