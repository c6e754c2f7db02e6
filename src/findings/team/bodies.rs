//! What one body less costs a photographer: lenses to change, and frames that come too soon for it.

use crate::findings::finding::{Finding, Severity};
use crate::findings::look::{Look, crew_name};
use crate::findings::rule::Rule;
use crate::optics::crop_factor;
use crate::plan::{PhotographerIx, Plan};
use crate::staging::Run;

/// To change a lens and be ready again. *Our own.*
const CHANGE_S: f64 = 20.0;
/// A focal length this much off gives the picture all the same, cropped or a little wider.
const NEAR_ENOUGH: f64 = 1.15;

pub fn findings(run: &Run, looks: &[Look]) -> Vec<Finding> {
    (0..run.plan.crew.len()).filter_map(|ix| of_photographer(run.plan, PhotographerIx(ix), looks)).collect()
}

fn of_photographer(plan: &Plan, ix: PhotographerIx, looks: &[Look]) -> Option<Finding> {
    let mut own: Vec<&Look> = looks.iter().filter(|look| plan.photographer_of(look.frame) == ix).collect();
    own.sort_by(|a, b| a.at_s().total_cmp(&b.at_s()));
    let first = own.first()?;
    let name = crew_name(plan, ix);
    let finding = |severity, sentence: String| Finding {
        photographer: plan.crew[ix.0].id.clone(),
        ..Finding::new(Rule::BodyFails, severity, sentence)
    };
    let (mut lens, mut since_s, mut changes) = (first.frame.with.lens, f64::NEG_INFINITY, 0);
    let mut too_soon = Vec::new();
    for look in &own {
        if !holds(plan, lens, look) {
            changes += 1;
            if look.at_s() - since_s < CHANGE_S {
                too_soon.push(format!("`{}`", look.frame.id));
                continue;
            }
            lens = look.frame.with.lens;
        }
        since_s = look.at_s();
    }
    let carries = &plan.crew[ix.0].carries;
    let one_body = carries.iter().all(|pair| pair.body == carries[0].body);
    let changed = format!("{changes} lens {}", if changes == 1 { "change" } else { "changes" });
    let too_late = match &too_soon[..] {
        [] => String::new(),
        [one] => format!(", and {one} comes too soon after a frame with another one"),
        all => format!(", and {} come too soon after a frame with another one", all.join(", ")),
    };
    let (severity, sentence) = match one_body {
        true => (
            Severity::Risk,
            format!(
                "{name} has one body: it takes {changed}{too_late}; if it fails, all {} frames are lost",
                own.len()
            ),
        ),
        false => (
            Rule::BodyFails.severity(too_soon.len() as f64)?,
            format!("if a body of {name} fails, it takes {changed}{too_late}"),
        ),
    };
    let finding = finding(severity, sentence).with("frames", too_soon.len() as f64).with("changes", f64::from(changes));
    Some(finding.remedy(match (one_body, too_soon.is_empty()) {
        (true, true) => "carry a second body",
        _ => "agree beforehand which of them to let go, or to give to the other photographer",
    }))
}

/// Whether a lens gives the picture on the body that is left, which may as well be the other one.
fn holds(plan: &Plan, lens: usize, look: &Look) -> bool {
    let on = |body: usize| crop_factor(plan.kit.bodies[body].sensor_m);
    let wanted_m = look.camera().focal_m * on(look.frame.with.body);
    let [short_m, long_m] = plan.kit.lenses[lens].focal_m.map(|focal_m| focal_m * on(look.frame.with.body));
    wanted_m * NEAR_ENOUGH >= short_m && wanted_m <= long_m * NEAR_ENOUGH
}
