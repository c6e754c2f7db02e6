//! Guests whose view of the couple a photographer takes, how many and how long.

use crate::findings::finding::Finding;
use crate::findings::look::crew_name;
use crate::findings::rule::Rule;
use crate::findings::words::guests;
use crate::plan::{PhotographerIx, Plan};
use crate::sight::{StandpointLoss, Stretch, views_lost};
use crate::staging::Run;

/// How often is looked: every place is held for minutes. `standpoint guests` looks every second.
const EVERY_S: f64 = 6.0;

pub fn findings(run: &Run) -> Vec<Finding> {
    let plan = run.plan;
    if plan.crew.is_empty() || plan.standpoints.is_empty() {
        return vec![];
    }
    let stretch = Stretch { from_s: 0.0, to_s: plan.length_s(), every_s: EVERY_S };
    let lost = views_lost(run, stretch, || ());
    lost.by_standpoint
        .iter()
        .filter_map(|place| of_place(plan, place, &lost.by_standpoint, lost.guests.len()))
        .collect()
}

fn of_place(plan: &Plan, place: &StandpointLoss, all: &[StandpointLoss], there: usize) -> Option<Finding> {
    let severity = Rule::ViewsLost.severity(place.lost_guest_s)?;
    // A second of many is no view lost.
    let severity = if place.guests_losing_much == 0 { severity.milder() } else { severity };
    let standpoint = plan.standpoints.iter().find(|it| it.id == place.standpoint)?;
    let name = plan
        .crew
        .iter()
        .position(|it| it.id == place.photographer)
        .map_or(String::new(), |ix| crew_name(plan, PhotographerIx(ix)));
    let way = if place.walking { "on the way to" } else { "at" };
    let sentence = match place.guests_losing_much {
        0 => format!(
            "{name} {way} `{}` takes a little of the view of the couple from many: in all {:.0} guest-seconds of {}",
            place.standpoint,
            place.lost_guest_s,
            guests(there)
        ),
        much => format!(
            "{name} {way} `{}` takes more than a third of the view of the couple from {}, up to {:.0} s each",
            place.standpoint,
            guests(much),
            place.longest_s
        ),
    };
    let moments: Vec<usize> = standpoint.during.iter().map(|it| it.moment.0).collect();
    let others = plan
        .standpoints
        .iter()
        .filter(|it| it.id != standpoint.id && it.during.iter().any(|it| moments.contains(&it.moment.0)));
    let loss =
        |id: &str| all.iter().filter(|it| it.standpoint == id && !it.walking).map(|it| it.lost_guest_s).sum::<f64>();
    let milder = others
        .map(|it| (it, loss(&it.id)))
        .filter(|it| it.1 < place.lost_guest_s / 2.0)
        .min_by(|a, b| a.1.total_cmp(&b.1));
    let lower = if standpoint.camera_height_m > 1.3 {
        "kneel, or go to the edge"
    } else {
        "go to the edge, and stay as short as possible"
    };
    let remedy = match milder {
        Some((it, less)) => format!("{lower}; `{}` in the same moment costs {:.0} guest-seconds", it.id, less.abs()),
        None => lower.to_owned(),
    };
    let moment = moments.first().map_or(String::new(), |ix| plan.moments[*ix].id.clone());
    let finding = Finding::new(Rule::ViewsLost, severity, sentence)
        .with("lost_guest_s", place.lost_guest_s)
        .with("guests_losing_much", place.guests_losing_much as f64)
        .with("longest_s", place.longest_s)
        .remedy(remedy);
    Some(Finding { moment, photographer: place.photographer.clone(), ..finding })
}
