//! When each body or head may turn: whatever it goes by changes then, and only then.

use super::heading::{nearness, with_whom};
use super::track::{Pose, Walk};
use super::{RISE_S, Run, SIT_S};
use crate::plan::{Facing, PersonIx};
use crate::staging::figure::gesture::Arms;

/// Two who are apart for a shorter time than this have not been apart.
const STEP_S: f64 = 0.1;
/// Changes nearer to each other than this are one.
const ONE_S: f64 = 1e-5;

pub fn note_changes(run: &mut Run) {
    let meetings: Vec<Vec<f64>> = (0..run.tracks.len()).map(|who| meetings(run, who)).collect();
    let all: Vec<Vec<f64>> = (0..run.tracks.len()).map(|who| changes(run, who, &meetings)).collect();
    for (track, changes) in run.tracks.iter_mut().zip(all) {
        track.changes = changes;
    }
}

fn changes(run: &Run, who: usize, meetings: &[Vec<f64>]) -> Vec<f64> {
    let track = &run.tracks[who];
    let mut changes: Vec<f64> = track.turns.times().collect();
    changes.extend(track.stays.times().chain(track.poses.times()).chain(track.gestures.times()));
    changes.extend(track.faces.times().chain(track.looks.times()).chain(run.attention.times()));
    changes.extend(&meetings[who]);
    for other in run.partners_of(who).iter().chain(&run.partnered(who)) {
        let theirs = &run.tracks[*other];
        changes.extend(theirs.gestures.times().chain(theirs.faces.times()).chain(run.comings(*other)));
        changes.extend(&meetings[*other]);
    }
    // Whoever gets up with the guests turns once up, and turns back to sit down.
    let late_s = run.delay_s(who);
    if values(track.poses.at(f64::NEG_INFINITY), track.poses.changes()).any(|pose| pose == Pose::WithGuests) {
        let stand = run.guests.stand.changes().iter();
        changes.extend(stand.map(|(when, up)| when + late_s + if *up { RISE_S * 0.7 } else { 0.0 }));
    }
    let seen = |facing: Facing| matches!(facing, Facing::Photographer(_));
    for facings in [&track.faces, &track.looks] {
        if values(facings.at(f64::NEG_INFINITY), facings.changes()).any(seen) {
            changes.extend(run.crew_comings());
        }
    }
    changes.sort_by(f64::total_cmp);
    // Of those that are one the last stands for all.
    changes.dedup_by(|later, earlier| {
        let one = *later - *earlier < ONE_S;
        if one {
            *earlier = *later;
        }
        one
    });
    changes
}

fn values<T: Copy>(first: T, changes: &[(f64, T)]) -> impl Iterator<Item = T> {
    std::iter::once(first).chain(changes.iter().map(|change| change.1))
}

/// When a person comes near enough to someone for their gesture, and when they are too far again.
fn meetings(run: &Run, who: usize) -> Vec<f64> {
    let track = &run.tracks[who];
    let begun = std::iter::once(f64::NEG_INFINITY).chain(track.gestures.times());
    let ends = track.gestures.times().chain(std::iter::once(f64::INFINITY));
    let mut meetings = Vec::new();
    for (from_s, to_s) in begun.zip(ends) {
        let Some((PersonIx(other), arms)) = with_whom(track.gestures.at(from_s)) else { continue };
        let near = |at_s: f64| are_near(run, who, other, arms, at_s);
        for [moves_s, stops_s] in moving(run, who).into_iter().chain(moving(run, other)) {
            let (mut before_s, end_s) = (moves_s.max(from_s), stops_s.min(to_s));
            while before_s < end_s {
                let next_s = (before_s + STEP_S).min(end_s);
                if near(before_s) != near(next_s) {
                    meetings.push(first_unlike(before_s, next_s, near));
                }
                before_s = next_s;
            }
        }
    }
    meetings
}

fn are_near(run: &Run, a: usize, b: usize, arms: Arms, at_s: f64) -> bool {
    run.spot(a, at_s).zip(run.spot(b, at_s)).is_some_and(|(a, b)| nearness(arms, a, b) > 0.0)
}

/// Halved down to where it is no longer as at the beginning.
fn first_unlike(mut from_s: f64, mut to_s: f64, is: impl Fn(f64) -> bool) -> f64 {
    let was = is(from_s);
    while to_s - from_s > ONE_S {
        let middle_s = (from_s + to_s) * 0.5;
        if is(middle_s) == was { from_s = middle_s } else { to_s = middle_s }
    }
    to_s
}

/// When a person's spot moves: walks, and steps to and from seats.
fn moving(run: &Run, who: usize) -> Vec<[f64; 2]> {
    let track = &run.tracks[who];
    let walks = track.walks.iter().map(|walk: &Walk| [walk.begins_s, walk.ends_s]);
    let late_s = run.delay_s(who);
    let stand = run.guests.stand.times().map(|when| when + late_s);
    let poses = track.poses.times().chain(stand).map(|when| [when, when + SIT_S.max(RISE_S)]);
    walks.chain(poses).collect()
}

impl Run<'_> {
    /// Those with whom a person has a gesture at any time.
    fn partnered(&self, who: usize) -> Vec<usize> {
        (0..self.tracks.len()).filter(|other| self.partners_of(*other).contains(&who)).collect()
    }

    /// When any photographer begins or ends to be somewhere.
    fn crew_comings(&self) -> Vec<f64> {
        self.stints_of_all()
            .into_iter()
            .flatten()
            .chain(self.moves.iter().flat_map(|it| [it.leaves_s, it.ready_s]))
            .collect()
    }
}
