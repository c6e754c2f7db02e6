//! What is lost if a body fails: frames whose focal length the photographer's other bodies don't reach.

use crate::findings::finding::Finding;
use crate::findings::look::Look;
use crate::findings::rule::Rule;
use crate::optics::crop_factor;
use crate::plan::{BodyWithLens, PhotographerIx, Plan};
use crate::staging::Run;

/// Focal lengths this much off still give the picture, cropped or a little wider.
const REACH: f64 = 0.7;

pub fn findings(run: &Run, looks: &[Look]) -> Vec<Finding> {
    let plan = run.plan;
    (0..plan.crew.len()).flat_map(|ix| of_photographer(plan, PhotographerIx(ix), looks)).collect()
}

fn of_photographer(plan: &Plan, ix: PhotographerIx, looks: &[Look]) -> Vec<Finding> {
    let photographer = &plan.crew[ix.0];
    let mut bodies: Vec<usize> = photographer.carries.iter().map(|pair| pair.body).collect();
    bodies.dedup();
    bodies.sort_unstable();
    bodies.dedup();
    let fails = |&body: &usize| {
        let own = looks.iter().filter(|look| plan.photographer_of(look.frame) == ix && look.frame.with.body == body);
        let lost: Vec<&Look> = own.filter(|look| !photographer.carries.iter().any(|pair| pair.body != body && reaches(plan, *pair, look))).collect();
        let severity = Rule::BodyFails.severity(lost.len() as f64)?;
        let names: Vec<String> = lost.iter().map(|look| format!("`{}`", look.frame.id)).collect();
        let count = names.len();
        let what = if count == 1 { "one frame is lost" } else { "frames are lost" };
        let sentence = format!("if `{}` fails, {}{what}: {}", plan.kit.bodies[body].id, if count == 1 { String::new() } else { format!("{count} ") }, names.join(", "));
        let remedy = "put the long lens on the other body and let the wide wait; or have the other photographer take them";
        let finding = Finding::new(Rule::BodyFails, severity, sentence).with("frames", count as f64).remedy(remedy);
        Some(Finding { photographer: photographer.id.clone(), ..finding })
    };
    bodies.iter().filter_map(fails).collect()
}

/// Whether another body, with any lens that mounts on it by the plan or comes off the failed one, gives the frame.
fn reaches(plan: &Plan, pair: BodyWithLens, look: &Look) -> bool {
    let full_frame = |body: usize| crop_factor(plan.kit.bodies[body].sensor_m);
    let wanted_m = look.camera().focal_m * full_frame(look.frame.with.body);
    let [short_m, long_m] = plan.kit.lenses[pair.lens].focal_m.map(|focal_m| focal_m * full_frame(pair.body));
    wanted_m >= short_m * REACH && wanted_m * REACH <= long_m
}
