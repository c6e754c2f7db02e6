//! Who is where at what time: photographers at one standpoint at a time, and people who are there when a
//! frame is taken of them.

use super::context::{At, Checker};
use crate::plan::model::*;
use crate::plan::problem::ProblemKind;

impl<'p> Checker<'p> {
    pub fn presence(&mut self, plan: &Plan, top: At<'p>) {
        self.two_places_at_once(plan, top);
        let comings = comings_and_goings(plan);
        for (index, frame) in plan.frames.iter().enumerate() {
            let record = top.field("frames").item(index);
            self.held_then(plan, frame, record, top);
            self.there_then(plan, frame, record, &comings);
        }
    }

    fn two_places_at_once(&mut self, plan: &Plan, top: At<'p>) {
        let list = top.field("standpoints");
        let during = |index: usize| {
            let field = list.item(index).field("during");
            if field.is_written() { field.span() } else { list.item(index).head() }
        };
        for (index, standpoint) in plan.standpoints.iter().enumerate() {
            let Some(who) = plan.crew.get(standpoint.photographer.0) else { continue };
            for (other_index, other) in plan.standpoints[..index].iter().enumerate() {
                if other.photographer != standpoint.photographer {
                    continue;
                }
                let both = standpoint.during.iter().find(|a| {
                    other
                        .during
                        .iter()
                        .any(|b| a.moment == b.moment && a.from_s.max(b.from_s) < a.to_s.min(b.to_s) - 1e-9)
                });
                let Some(moment) = both.and_then(|presence| plan.moments.get(presence.moment.0)) else { continue };
                self.report_with(
                    ProblemKind::Timing,
                    during(index),
                    format!("`{}` would be at `{}` and at `{}` in `{}`", who.id, other.id, standpoint.id, moment.id),
                    "one place too many",
                    format!("say from when to when: `during: [(moment: \"{}\", from: 0, to: 10)]`", moment.id),
                    (during(other_index), "the other one".to_owned()),
                );
            }
        }
    }

    fn held_then(&mut self, plan: &Plan, frame: &Frame, record: At<'p>, top: At<'p>) {
        let Some(standpoint) = plan.standpoints.get(frame.standpoint.0) else { return };
        let Some(moment) = plan.moments.get(frame.moment.0) else { return };
        let standpoint_at = top.field("standpoints").item(frame.standpoint.0);
        // Times that couldn't be read were told already.
        if self.unsure_standpoints.contains(&frame.standpoint.0)
            || frame.after_s > moment.length_s
            || frame.when.is_some()
        {
            return;
        }
        let held = standpoint.during.iter().any(|presence| {
            presence.moment == frame.moment && presence.from_s <= frame.after_s && frame.after_s <= presence.to_s
        });
        if !held {
            let here = standpoint.during.iter().filter_map(|presence| {
                let name = &plan.moments.get(presence.moment.0)?.id;
                Some(format!("`{name}` from {} s to {} s", presence.from_s, presence.to_s))
            });
            let held_in = here.collect::<Vec<_>>().join(", ");
            self.report_with(
                ProblemKind::Timing,
                record.field("standpoint").span(),
                format!("`{}` isn't held {} s into `{}`", standpoint.id, frame.after_s, moment.id),
                "nobody stands there then",
                format!("it is held in {held_in}; add `{}` to its `during`, or choose another standpoint", moment.id),
                (standpoint_at.head(), "the standpoint".to_owned()),
            );
        }
    }

    fn there_then(&mut self, plan: &Plan, frame: &Frame, record: At<'p>, comings: &[Vec<(f64, bool)>]) {
        let Some(moment) = plan.moments.get(frame.moment.0) else { return };
        // In a part that couldn't be read they may have come.
        if !self.blanked.is_empty() || self.is_full() || frame.when.is_some() {
            return;
        }
        let at_s = moment.start_s + frame.after_s;
        for person in &frame.of {
            let (Some(whom), Some(comings)) = (plan.people.get(person.0), comings.get(person.0)) else { continue };
            let last = comings[..comings.partition_point(|(when, _)| *when <= at_s)].last();
            if self.unsure_people.contains(&person.0) || last.is_some_and(|(_, there)| *there) {
                continue;
            }
            let help = match comings.iter().any(|(_, there)| *there) {
                true => {
                    format!("give `{}` a cue with `at` before this frame, or take the frame at another time", whom.id)
                }
                false => format!("give `{}` a place: `at` in their entry under people, or in a cue", whom.id),
            };
            self.report(
                ProblemKind::Timing,
                record.field("of").span(),
                format!("`{}` isn't there {} s into `{}`", whom.id, frame.after_s, moment.id),
                "nobody to be seen",
                help,
            );
        }
    }
}

/// For each person, from which second on they are there or not, in order of time.
fn comings_and_goings(plan: &Plan) -> Vec<Vec<(f64, bool)>> {
    let mut comings: Vec<Vec<(f64, bool)>> = plan
        .people
        .iter()
        .map(|person| if person.post.is_some() { vec![(f64::NEG_INFINITY, true)] } else { vec![] })
        .collect();
    for moment in &plan.moments {
        for cue in moment.cues.iter().filter(|cue| cue.goes.is_some() || cue.leaves) {
            for person in &cue.who {
                // When a cue begins that follows another, and when a walk ends, only staging knows: until then the
                // benefit of the doubt.
                let begins_s = moment.start_s + if cue.follows.is_some() { 0.0 } else { cue.after_s };
                if cue.goes.is_some() {
                    comings[person.0].push((begins_s, true));
                }
                if cue.leaves && cue.goes.is_none() && cue.follows.is_none() {
                    comings[person.0].push((begins_s, false));
                }
            }
        }
    }
    for person in &mut comings {
        person.sort_by(|a, b| a.0.total_cmp(&b.0));
    }
    comings
}
