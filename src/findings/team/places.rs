//! Where photographers stand and walk: in time, apart from each other, out of keep-outs and escape routes.

use super::{distance_m, holds};
use crate::findings::finding::{Finding, Severity};
use crate::findings::look::crew_name;
use crate::findings::rule::Rule;
use crate::findings::words::{and, length};
use crate::plan::{Plan, Standpoint};
use crate::staging::run::Move;
use crate::staging::{Hitch, Run, What, moment_at};

/// Shorter together than this is passing by.
const TOGETHER_S: f64 = 5.0;
/// A photographer kneeling with a bag needs so much to each side.
const BODY_M: f32 = 0.3;

pub fn findings(run: &Run) -> Vec<Finding> {
    let plan = run.plan;
    let mut found: Vec<Finding> = run.moves.iter().filter_map(|it| late(run, it)).collect();
    found.extend(run.hitches().iter().filter_map(|hitch| wont_go(plan, hitch)));
    found.extend(same_place(plan));
    found.extend(escape_routes(plan));
    found.extend(run.moves.iter().filter_map(|it| through_keep_out(plan, it)));
    found
}

/// The moment of an instant.
fn moment_id(plan: &Plan, at_s: f64) -> String {
    moment_at(plan, at_s).map_or(String::new(), |ix| plan.moments[ix].id.clone())
}

/// What the run of the ceremony stumbles over; being late has a rule of its own.
fn wont_go(plan: &Plan, hitch: &Hitch) -> Option<Finding> {
    if matches!(hitch.what, What::Late { .. }) {
        return None;
    }
    let finding =
        Finding::new(Rule::WontGo, Rule::WontGo.severity(1.0)?, hitch.what.to_string()).remedy(hitch.what.help());
    let at_s = Some((hitch.at_s * 10.0).round() / 10.0);
    Some(Finding { moment: moment_id(plan, hitch.at_s), at_s, ..finding })
}

/// Too late for a stretch; lost where a frame is due before.
fn late(run: &Run, it: &Move) -> Option<Finding> {
    let plan = run.plan;
    let late_s = it.late_s();
    Rule::Late.severity(late_s)?;
    let due = |frame: &&crate::plan::Frame| {
        frame.standpoint == it.to && (it.needed_s..it.ready_s).contains(&plan.at_s(frame))
    };
    let missed: Vec<String> = plan.frames.iter().filter(due).map(|frame| format!("`{}`", frame.id)).collect();
    let severity = if missed.is_empty() { Severity::Risk } else { Severity::Lost };
    let (who, to) = (&plan.crew[it.photographer.0], &plan.standpoints[it.to.0]);
    let lost = if missed.is_empty() { String::new() } else { format!("; lost: {}", missed.join(", ")) };
    let sentence = format!(
        "{} is ready at `{}` {late_s:.0} s late: {} at {:.1} m/s{lost}",
        crew_name(plan, it.photographer),
        to.id,
        length(plan, f64::from(it.path.length_m())),
        it.pace_mps()
    );
    let walk_s = it.walk_ends_s - it.walk_begins_s;
    let faster_mps = f64::from(it.path.length_m()) / (walk_s - late_s).max(0.1);
    let faster =
        if (0.1..=2.0).contains(&faster_mps) { format!(", or walk at {faster_mps:.1} m/s") } else { String::new() };
    let remedy = format!(
        "leave `{}` {:.0} s earlier, or begin here {:.0} s later{faster}",
        plan.standpoints[it.from.0].id,
        late_s.ceil(),
        late_s.ceil()
    );
    let finding = Finding::new(Rule::Late, severity, sentence)
        .with("late_s", late_s)
        .with("way_m", f64::from(it.path.length_m()))
        .remedy(remedy);
    Some(Finding {
        moment: moment_id(plan, it.needed_s),
        photographer: who.id.clone(),
        at_s: Some((it.needed_s * 10.0).round() / 10.0),
        ..finding
    })
}

/// From when to when a standpoint is held, seconds into the ceremony, moments that follow each other joined.
fn held(plan: &Plan, it: &Standpoint) -> Vec<[f64; 2]> {
    let stretch =
        |it: &crate::plan::Presence| [it.from_s, it.to_s].map(|after_s| plan.moments[it.moment.0].start_s + after_s);
    let mut all: Vec<[f64; 2]> = Vec::new();
    for [from_s, to_s] in it.during.iter().map(stretch) {
        match all.last_mut() {
            Some(last) if (last[1] - from_s).abs() < 1e-3 => last[1] = to_s,
            _ => all.push([from_s, to_s]),
        }
    }
    all
}

fn same_place(plan: &Plan) -> Vec<Finding> {
    let mut found = Vec::new();
    for (k, one) in plan.standpoints.iter().enumerate() {
        for other in plan.standpoints[k + 1..].iter().filter(|other| other.photographer != one.photographer) {
            let apart_m = one.at.distance(other.at);
            let Some(severity) = Rule::SamePlace.severity(1.0 / f64::from(apart_m.max(0.01))) else { continue };
            let both = held(plan, one)
                .into_iter()
                .flat_map(|a| held(plan, other).into_iter().map(move |b| [a[0].max(b[0]), a[1].min(b[1])]));
            let Some([from_s, to_s]) =
                both.max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0]))).filter(|it| it[1] - it[0] >= TOGETHER_S)
            else {
                continue;
            };
            // Two who only wait beside each other lose nothing.
            let taken = plan.frames.iter().any(|frame| {
                [one.id.as_str(), other.id.as_str()].contains(&plan.standpoints[frame.standpoint.0].id.as_str())
                    && (from_s..=to_s).contains(&plan.at_s(frame))
            });
            let severity = if taken { severity } else { Severity::Note };
            let sentence = format!(
                "`{}` and `{}` are {} apart for {:.0} s: two cameras in one place take one picture",
                one.id,
                other.id,
                length(plan, f64::from(apart_m)),
                to_s - from_s
            );
            let finding = Finding::new(Rule::SamePlace, severity, sentence)
                .with("apart_m", f64::from(apart_m))
                .with("together_s", to_s - from_s);
            found.push(Finding {
                moment: moment_id(plan, from_s),
                at_s: Some(from_s),
                ..finding.remedy("one of them goes across, or to the other end")
            });
        }
    }
    found
}

fn why(why: &str) -> String {
    if why.is_empty() { String::new() } else { format!(": {}", why.trim_end_matches('.')) }
}

fn through_keep_out(plan: &Plan, it: &Move) -> Option<Finding> {
    let steps = (it.path.length_m() / 0.1).ceil() as usize;
    let spots =
        |area: &&crate::plan::KeepOut| (0..=steps).any(|step| holds(&area.outline, it.path.at(step as f32 * 0.1)));
    let area = plan.venue.keep_outs.iter().find(spots)?;
    let severity = Rule::KeepOutEntered.severity(1.0)?;
    let (from, to) = (&plan.standpoints[it.from.0], &plan.standpoints[it.to.0]);
    if [from, to].iter().any(|end| holds(&area.outline, end.at)) {
        return None;
    }
    let sentence = format!(
        "the way from `{}` to `{}` crosses `{}`, where nobody may walk{}",
        from.id,
        to.id,
        area.id,
        why(&area.why)
    );
    let finding = Finding::new(Rule::KeepOutEntered, severity, sentence).remedy("give the way round it (`by`)");
    Some(Finding {
        moment: moment_id(plan, it.leaves_s),
        photographer: plan.crew[it.photographer.0].id.clone(),
        at_s: Some((it.leaves_s * 10.0).round() / 10.0),
        ..finding
    })
}

/// All standpoints in one route are told together.
fn escape_routes(plan: &Plan) -> impl Iterator<Item = Finding> + '_ {
    plan.venue.escape_routes.iter().filter_map(|route| {
        let inside_m = |it: &Standpoint| f64::from(route.width_m / 2.0 + BODY_M - distance_m(&route.path, it.at));
        let inside: Vec<&Standpoint> = plan.standpoints.iter().filter(|it| inside_m(it) > 0.0 && !it.during.is_empty()).collect();
        let most_m = inside.iter().map(|it| inside_m(it)).fold(0.0, f64::max);
        let severity = Rule::EscapeRoute.severity(inside.len() as f64)?;
        let seconds = |it: &Standpoint| held(plan, it).iter().map(|[from_s, to_s]| to_s - from_s).sum::<f64>();
        let each: Vec<String> = inside.iter().map(|it| format!("`{}` ({:.0} s)", it.id, seconds(it))).collect();
        let each: Vec<&str> = each.iter().map(String::as_str).collect();
        let stand = if each.len() == 1 { "stands" } else { "stand" };
        let sentence = format!("{} {stand} in the escape route `{}`", and(&each), route.id);
        let remedy = format!("{} to the side, at most, is outside it; keep bags and stands out too. Local code and the venue decide: a plan is no permission", length(plan, (most_m * 10.0).ceil() / 10.0));
        let finding = Finding::new(Rule::EscapeRoute, severity, sentence).with("standpoints", each.len() as f64).with("inside_m", most_m);
        Some(finding.remedy(remedy))
    })
}
