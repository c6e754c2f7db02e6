//! From cues to tracks: cues are followed in order of time, so that each finds everybody where the earlier ones left them.

use super::attention::attention;
use super::changes::note_changes;
use super::going::Goer;
use super::moves::moves;
use super::timeline::Timeline;
use super::track::{Pose, Stay};
use super::{CueTime, REACH_S, RISE_S, Run, SIT_S, TURN_S};
use crate::plan::{Cue, CueIx, Facing, Gesture, Plan};
use crate::staging::route::Obstacles;
use std::collections::{BTreeMap, BTreeSet};

pub fn build(plan: &Plan) -> Run<'_> {
    let mut run = Run::empty(plan);
    let mut waiting: BTreeMap<CueIx, Vec<CueIx>> = BTreeMap::new();
    // Cues that can begin, by when; of those at one instant the first written comes first.
    let mut next: BTreeSet<(Instant, CueIx)> = BTreeSet::new();
    for (ix, cue) in plan.cues() {
        match cue.follows {
            Some(first) => waiting.entry(first).or_default().push(ix),
            None => {
                next.insert((Instant(plan.moments[ix.moment.0].start_s + cue.after_s), ix));
            }
        }
    }
    let obstacles = Obstacles::of_venue(&plan.venue);
    while let Some((Instant(at_s), ix)) = next.pop_first() {
        let Some(cue) = plan.moments.get(ix.moment.0).and_then(|moment| moment.cues.get(ix.cue)) else { continue };
        let together: BTreeSet<usize> = next
            .iter()
            .take_while(|(Instant(when), _)| *when < at_s + 0.5)
            .filter_map(|(_, other)| plan.moments.get(other.moment.0)?.cues.get(other.cue))
            .filter(|other| other.goes.is_some())
            .flat_map(|other| other.who.iter().map(|who| who.0))
            .collect();
        let ends_s = follow(&mut run, &obstacles, &together, ix, cue, at_s);
        run.cues.push(CueTime { cue: ix, begins_s: at_s, ends_s });
        for follower in waiting.remove(&ix).unwrap_or_default() {
            let after_s =
                plan.moments.get(follower.moment.0).and_then(|m| m.cues.get(follower.cue)).map_or(0.0, |c| c.after_s);
            next.insert((Instant(ends_s + after_s), follower));
        }
    }
    run.attention = attention(&run);
    look_at_those_who_are_there(&mut run);
    run.moves = moves(&run, &obstacles);
    note_changes(&mut run);
    run
}

/// Finite seconds, in order.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Instant(f64);

impl Eq for Instant {}

impl PartialOrd for Instant {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Instant {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0)
    }
}

/// Writes a cue into the tracks of those it is for; returns when it has ended.
fn follow(run: &mut Run, obstacles: &Obstacles, together: &BTreeSet<usize>, ix: CueIx, cue: &Cue, at_s: f64) -> f64 {
    let mut ends_s = at_s;
    if cue.guests {
        run.guests.follow(cue, at_s);
        ends_s = at_s + if cue.posture.is_some() { SIT_S + 1.0 } else { 0.0 };
    }
    let there_s: Vec<f64> = match &cue.goes {
        Some(going) => Goer { run, obstacles, together, ix, cue, going }.go(at_s),
        None => vec![at_s; cue.who.len()],
    };
    for (who, arrives_s) in cue.who.iter().zip(there_s) {
        let ended_s = settle(run, cue, who.0, at_s, arrives_s);
        ends_s = ends_s.max(ended_s);
    }
    ends_s
}

/// What a person does, once there or from the cue's beginning on; returns when it is done.
fn settle(run: &mut Run, cue: &Cue, who: usize, at_s: f64, arrives_s: f64) -> f64 {
    let mut ends_s = arrives_s;
    let late_s = run.delay_s(who);
    let Some(track) = run.tracks.get_mut(who) else { return ends_s };
    if let Some(faces) = cue.faces {
        track.faces.change(arrives_s, faces);
        ends_s = ends_s.max(arrives_s + if cue.goes.is_some() { 0.0 } else { TURN_S });
    }
    if let Some(looks) = cue.looks {
        track.looks.change(at_s, looks);
    }
    if let Some(holds) = cue.holds {
        track.holds.change(at_s, holds);
    }
    if let Some(gesture) = cue.gesture.filter(|gesture| gesture.other().is_none_or(|other| other.0 != who)) {
        let begins_s = if waits_to_be_there(cue, gesture) { arrives_s } else { at_s };
        track.gestures.change(begins_s, gesture);
        ends_s = ends_s.max(begins_s + REACH_S);
    }
    if cue.goes.is_none() {
        if let Some(posture) = cue.posture {
            // Whoever walks gets there first.
            let mut begins_s = track.free_s(track.stays.last_s().max(at_s), Pose::Does(posture));
            if track.poses.at(begins_s) == Pose::WithGuests {
                let stand = &run.guests.stand;
                let last_s = stand.times().take_while(|when| *when <= begins_s).last();
                begins_s = last_s.map_or(begins_s, |last_s| begins_s.max(last_s + late_s + RISE_S));
            }
            track.poses.change(begins_s, Pose::Does(posture));
            ends_s = ends_s.max(begins_s + SIT_S);
        }
        if cue.leaves {
            track.drop_plans_after(at_s);
            track.stays.change(at_s, Stay::Away);
            track.turns.change(at_s, Stay::Away);
        }
    }
    ends_s
}

/// What needs somebody else waits until one is there, unless they walk along.
fn waits_to_be_there(cue: &Cue, gesture: Gesture) -> bool {
    cue.goes.is_some() && gesture.other().is_some_and(|other| !cue.who.contains(&other))
}

/// Nobody looks at or faces somebody who isn't there; while they aren't it is as if nothing were said.
fn look_at_those_who_are_there(run: &mut Run) {
    let there = |facings: &Timeline<Facing>| {
        let first = facings.at(f64::NEG_INFINITY);
        let here = |facing: Facing, at_s: f64| match facing {
            Facing::Person(who) if run.spot(who.0, at_s).is_none() => Facing::Freely,
            facing => facing,
        };
        let mut seen = Timeline::new(here(first, f64::NEG_INFINITY));
        let mut times: Vec<f64> = facings.times().collect();
        let faced = facings.changes().iter().map(|change| change.1).chain([first]);
        let people = faced.filter_map(|facing| if let Facing::Person(who) = facing { Some(who.0) } else { None });
        for who in people.collect::<BTreeSet<_>>() {
            times.extend(run.comings(who));
        }
        times.sort_by(f64::total_cmp);
        for at_s in times {
            let now = here(facings.at(at_s), at_s);
            if seen.at(at_s) != now {
                seen.change(at_s, now);
            }
        }
        seen
    };
    let tracks: Vec<_> = run.tracks.iter().map(|track| (there(&track.faces), there(&track.looks))).collect();
    let guests = there(&run.guests.looks);
    for (track, (faces, looks)) in run.tracks.iter_mut().zip(tracks) {
        (track.faces, track.looks) = (faces, looks);
    }
    run.guests.looks = guests;
}
