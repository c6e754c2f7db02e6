//! What a late start costs in light: how much less of it falls on the faces half an hour and an hour later.

use crate::daylight::daylight_at;
use crate::findings::finding::Finding;
use crate::findings::look::{FaceLook, Look, about};
use crate::findings::rule::Rule;
use crate::findings::words::owns;
use crate::sight::sum_of;
use crate::staging::Run;

const LATER_S: [f64; 2] = [1800.0, 3600.0];

/// The frame that an hour costs most.
pub fn findings(run: &Run, looks: &[Look]) -> Vec<Finding> {
    let each =
        looks.iter().flat_map(|look| look.faces.iter().filter(|face| face.shows()).map(move |face| (look, face)));
    let costs = each.map(|(look, face)| (look, face, LATER_S.map(|later_s| stops_less(run, look, face, later_s))));
    let worst = costs.max_by(|a, b| a.2[1].total_cmp(&b.2[1]));
    let Some((look, face, [half_hour, hour])) = worst else { return vec![] };
    let Some(severity) = Rule::LightGoes.severity(hour) else { return vec![] };
    let sentence = format!(
        "if the ceremony starts late, the light goes: {} face has {half_hour:.1} stops less after half an hour, {hour:.1} after an hour",
        owns(&face.name)
    );
    let found = Finding::new(Rule::LightGoes, severity, sentence)
        .with("half_hour_stops", half_hour)
        .with("hour_stops", hour)
        .remedy("keep to time, or have faster lenses and a lamp ready; try it as a variant with `starts_later`");
    vec![about(run.plan, look.frame, found)]
}

/// Stops that sun, sky and what they light give a face less, so much later; lamps stay as they are. The sun's place counts by
/// its height alone: what shades the face now is taken to shade it then.
fn stops_less(run: &Run, look: &Look, face: &FaceLook, later_s: f64) -> f64 {
    let plan = run.plan;
    let open_lux = |at_s: f64| {
        let daylight = daylight_at(&plan.place, plan.sky, &plan.instant(at_s));
        (daylight.sky.horizontal_lux().max(1e-6), daylight.sun_lux)
    };
    let ((sky_now, sun_now), (sky_then, sun_then)) = (open_lux(look.at_s()), open_lux(look.at_s() + later_s));
    let light = &face.light;
    let lamps = sum_of(light.lamps + light.lamp_bounce);
    let (sun, around) = (sum_of(light.sun), sum_of(light.sky + light.bounce));
    let sun_share = if sun_now > 0.0 { sun_then / sun_now } else { 1.0 };
    let later = lamps + sun * sun_share + around * sky_then / sky_now;
    ((lamps + sun + around).max(1e-3) / later.max(1e-3)).log2()
}
