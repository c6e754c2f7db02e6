//! Goes through a plan once: when its frames fall, and what won't go as planned.

use super::times::Never;
use super::{Hitch, Run, What};
use crate::plan::{Frame, Plan, When};
use glam::Vec2;

/// Goes through the plan once: finds the instants that frames wait for, and tells what won't go as planned.
///
/// Frames without `when` keep their time. A frame whose instant can't be found keeps half its moment and has a hitch that is
/// [impossible](What::is_impossible).
pub fn rehearse(mut plan: Plan) -> (Plan, Vec<Hitch>) {
    let run = Run::new(&plan);
    let mut hitches = run.hitches();
    let times: Vec<Option<f64>> = plan.frames.iter().map(|frame| frame_time(&run, frame, &mut hitches)).collect();
    for (frame, after_s) in plan.frames.iter_mut().zip(times) {
        frame.after_s = after_s.unwrap_or(frame.after_s);
    }
    (plan, hitches)
}

fn frame_time(run: &Run, frame: &Frame, hitches: &mut Vec<Hitch>) -> Option<f64> {
    let plan = run.plan;
    let when = frame.when?;
    let start_s = plan.moments.get(frame.moment.0)?.start_s;
    let standpoint = plan.standpoints.get(frame.standpoint.0)?;
    let mut tell = |at_s: f64, what: What| hitches.push(Hitch { at_s, written: frame.written, what });
    let after_s = match run.after_s(frame) {
        Ok(after_s) => after_s?,
        Err(never) => {
            let why = why(never);
            tell(start_s, What::Never { frame: frame.id.clone(), waits_for: waits_for(run, when), why, never });
            return None;
        }
    };
    let held = standpoint.during.iter().any(|stretch| {
        stretch.moment == frame.moment && stretch.from_s <= after_s + 1e-3 && after_s <= stretch.to_s + 1e-3
    });
    let at_s = start_s + after_s;
    if !held {
        tell(at_s, What::NotHeld { frame: frame.id.clone(), standpoint: standpoint.id.clone(), after_s });
    }
    for who in frame.of.iter().filter(|who| run.spot(who.0, at_s).is_none()) {
        tell(at_s, What::NotThere { frame: frame.id.clone(), who: run.name(who.0), after_s });
    }
    Some(after_s)
}

fn waits_for(run: &Run, when: When) -> String {
    match when {
        When::Within { who, distance_m } => {
            format!("`{}` is within {distance_m:.1} m of the camera", run.name(who.0))
        }
        When::Passing { who, spot } => format!("`{}` passes {}", run.name(who.0), landmark(run.plan, spot)),
        When::During { who, deed } => format!("`{}` {}", run.name(who.0), deed.word()),
    }
}

/// The mark or fixture at a spot.
fn landmark(plan: &Plan, spot: Vec2) -> String {
    let marks = plan.marks.iter().map(|mark| (&mark.id, mark.at));
    let fixtures = plan.venue.fixtures.iter().map(|fixture| (&fixture.id, fixture.at));
    let there = marks.chain(fixtures).find(|(_, at)| *at == spot);
    there.map_or_else(|| "that spot".to_owned(), |(id, _)| format!("`{id}`"))
}

fn why(never: Never) -> String {
    match never {
        Never::Absent => "they aren't there in that moment".to_owned(),
        Never::TooFar { nearest_m, after_s } => {
            format!("they come no nearer than {nearest_m:.1} m, {after_s:.1} s into the moment")
        }
        Never::NotDone => "nobody sees that in that moment".to_owned(),
    }
}
