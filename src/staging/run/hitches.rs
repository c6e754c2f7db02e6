//! What can't be done as planned: ways through things and people, photographers who come too late. Each with its instant and
//! its place in the plan file.

use super::going::HALF_WIDTH_M;
use super::moves::Stand;
use super::spots::UP_FROM_SEAT_M;
use super::timeline::SAME_S;
use super::track::{Stay, Walk};
use super::{CueTime, Hitch, Move, Run, What};
use crate::plan::{Centre, PersonIx, PhotographerIx, Plan, Post, Span, Standpoint, Way};
use crate::staging::route::{Blocker, Obstacles};
use glam::Vec2;
use std::collections::BTreeMap;

/// Middles of two bodies nearer than this are one in the other: chests are 0.24 m deep (ANSUR II chest depth of men, 254 mm,
/// from memory), and arms give way.
const BODIES_APART_M: f32 = 0.28;
/// Walkers brush past things with this much.
const BRUSH_M: f32 = 0.12;
const STEP_S: f64 = 0.1;
/// And so often along a way.
const LOOK_M: f32 = 0.1;
/// Two who meet twice within this time meet once.
const SAME_BREATH_S: f64 = 2.0;
/// Seconds of work; a hundred people in a ceremony of an hour take a thousandth of it.
const MOST_LOOKS: usize = 10_000_000;

impl Run<'_> {
    /// Everything that won't go as planned, in order of time; of two who walk into each other once a walk.
    pub fn hitches(&self) -> Vec<Hitch> {
        let mut hitches = Vec::new();
        let obstacles = Obstacles::of_venue(&self.plan.venue);
        for stuck in &self.stuck {
            let written = self.plan.moments[stuck.cue.moment.0].cues[stuck.cue.cue].written;
            let what = What::NoWay { who: self.name(stuck.who.0) };
            hitches.push(Hitch { at_s: stuck.at_s, written, what });
        }
        for time in &self.cues {
            self.cue_hitches(time, &mut hitches);
        }
        let (mut things, mut people) = (Looks { left: MOST_LOOKS }, Looks { left: MOST_LOOKS });
        let stands: Vec<Vec<Stand>> = (0..self.plan.crew.len()).map(|ix| self.stands(PhotographerIx(ix))).collect();
        for who in 0..self.tracks.len() {
            for (ix, walk) in self.tracks[who].walks.iter().enumerate() {
                self.cut_short(who, ix, walk, &mut hitches);
                self.look_for_things(who, walk, &obstacles, &mut things, &mut hitches);
                self.look_for_people(who, walk, &stands, &mut people, &mut hitches);
            }
        }
        for it in &self.moves {
            self.crew_hitches(it, &mut people, &mut hitches);
        }
        for standpoint in &self.plan.standpoints {
            self.in_the_way(standpoint, &mut people, &mut hitches);
        }
        hitches.sort_by(|a, b| a.at_s.total_cmp(&b.at_s).then(a.written.cmp(&b.written)));
        each_pair_once(&mut hitches);
        if things.left.min(people.left) == 0 {
            hitches.push(Hitch { at_s: 0.0, written: Span::default(), what: What::NotAllLookedAt });
        }
        hitches
    }

    /// Cues that begin too late, or can't be followed as they are written.
    fn cue_hitches(&self, time: &CueTime, hitches: &mut Vec<Hitch>) {
        let Some(moment) = self.plan.moments.get(time.cue.moment.0) else { return };
        let Some(cue) = moment.cues.get(time.cue.cue) else { return };
        let mut tell = |what: What| hitches.push(Hitch { at_s: time.begins_s, written: cue.written, what });
        let late_s = time.begins_s - moment.start_s - moment.length_s;
        if late_s > 1e-3 {
            tell(What::AfterItsMoment { moment: moment.id.clone(), late_s });
        }
        let Some(going) = &cue.goes else { return };
        let goes =
            |who: usize| self.tracks.get(who).is_some_and(|track| track.walks.iter().any(|it| it.cue == time.cue));
        for who in cue.who.iter().map(|who| who.0) {
            // Whoever comes in as the ceremony begins wasn't there, whatever the timelines say of the time before.
            let was_there = match time.begins_s > SAME_S {
                true => self.spot(who, time.begins_s - 1e-3).is_some(),
                false => self.plan.people.get(who).is_some_and(|person| person.post.is_some()),
            };
            match &going.way {
                Way::To { .. } if going.from.is_some() && was_there => tell(What::ThereAlready { who: self.name(who) }),
                Way::Steps { .. } if !goes(who) => tell(What::NotThereToGo { who: self.name(who) }),
                Way::Round { centre, .. } if !goes(who) => tell(match centre {
                    Centre::Person(other) if was_there => {
                        What::NobodyToCircle { who: self.name(who), other: self.name(other.0) }
                    }
                    _ => What::NotThereToGo { who: self.name(who) },
                }),
                _ => {}
            }
        }
    }

    pub(super) fn name(&self, who: usize) -> String {
        self.plan.people.get(who).map_or(String::new(), |person| person.id.clone())
    }

    /// Until when a walk goes on: to its end, or to where another one takes over.
    pub(super) fn until_s(&self, who: usize, walk: &Walk) -> f64 {
        let track = &self.tracks[who];
        let ix = track.walks.iter().position(|it| std::ptr::eq(it, walk)).unwrap_or(usize::MAX);
        let next =
            track.stays.changes().iter().find(|(when, stay)| *when > walk.begins_s + 1e-6 && *stay != Stay::Walks(ix));
        next.map_or(walk.ends_s, |(when, _)| when.min(walk.ends_s))
    }

    fn cut_short(&self, who: usize, ix: usize, walk: &Walk, hitches: &mut Vec<Hitch>) {
        let until_s = self.until_s(who, walk);
        let left_m = walk.path.length_m() - walk.travelled_m(until_s);
        if let Some(next) = self.tracks[who].walks.get(ix + 1).filter(|_| left_m > 0.3) {
            let what = What::CutShort { who: self.name(who), left_m };
            hitches.push(Hitch { at_s: until_s, written: self.written(next), what });
        }
    }

    fn written(&self, walk: &Walk) -> Span {
        let cue = walk.cue;
        self.plan.moments.get(cue.moment.0).and_then(|m| m.cues.get(cue.cue)).map_or(Span::default(), |it| it.written)
    }

    fn look_for_things(
        &self,
        who: usize,
        walk: &Walk,
        obstacles: &Obstacles,
        looks: &mut Looks,
        hitches: &mut Vec<Hitch>,
    ) {
        let mut told: Vec<Blocker> = Vec::new();
        let points = walk.path.points();
        let (Some(first), Some(last)) = (points.first(), points.last()) else { return };
        let walked_m = walk.travelled_m(self.until_s(who, walk));
        let mut begins_m = 0.0;
        for leg in points.windows(2) {
            let &[from, to] = leg else { continue };
            let (leg_m, before_m) = (from.distance(to), begins_m);
            begins_m += leg_m;
            // Nearly all ways are free.
            if before_m > walked_m || obstacles.crossing(from, to, BRUSH_M).is_none() {
                continue;
            }
            for step in 0..=(leg_m / LOOK_M) as usize {
                let along_m = step as f32 * LOOK_M;
                if before_m + along_m > walked_m || !looks.another() {
                    break;
                }
                let spot = from + (to - from) * (along_m / leg_m.max(1e-6));
                // Where one stands or sits is the plan's; getting there and away takes a step.
                if [first, last].iter().any(|end| end.distance(spot) < 2.0 * HALF_WIDTH_M) {
                    continue;
                }
                let Some(blocker) = obstacles.blocking(spot, BRUSH_M).filter(|it| !told.contains(it)) else { continue };
                told.push(blocker);
                if self.is_own_row(who, walk, blocker) {
                    continue;
                }
                let at_s = when_travelled(walk, before_m + along_m);
                let what = What::IntoThing { who: self.name(who), thing: thing(self.plan, blocker) };
                hitches.push(Hitch { at_s, written: self.written(walk), what });
            }
        }
    }

    /// Whoever goes to a seat passes the others of the row, who draw in their knees.
    fn is_own_row(&self, who: usize, walk: &Walk, blocker: Blocker) -> bool {
        let Blocker::Row { seats: block, row: of_row } = blocker else { return false };
        let track = &self.tracks[who];
        let seats = [track.stays.at(walk.begins_s - 1e-3), track.stays.at(walk.ends_s)];
        seats.iter().any(|stay| {
            matches!(stay, Stay::At(Post::Seat { seats, row, .. })
                if seats.0 == block && (*row == of_row || *row == of_row + 1))
        })
    }

    fn look_for_people(
        &self,
        who: usize,
        walk: &Walk,
        stands: &[Vec<Stand>],
        looks: &mut Looks,
        hitches: &mut Vec<Hitch>,
    ) {
        let span = [walk.begins_s, self.until_s(who, walk)];
        let own = Mover {
            spot: &|at_s| walk.spot(at_s),
            pace_mps: fastest_mps(walk.path.length_m(), walk.ends_s - walk.begins_s),
        };
        for other in (0..self.tracks.len()).filter(|other| *other != who) {
            // Of two who walk, the first in the plan tells.
            let tells = |at_s: f64| {
                (who < other || self.tracks[other].walk_at(at_s).is_none()) && !self.are_together(who, other, at_s)
            };
            if let Some((apart_m, at_s)) = self.nearest_of(&own, other, span, tells, looks) {
                let what = What::IntoEachOther { who: self.name(who), other: self.name(other), apart_m };
                hitches.push(Hitch { at_s, written: self.written(walk), what });
            }
        }
        for (photographer, stands) in self.plan.crew.iter().zip(stands) {
            let first = stands.partition_point(|stand| stand.to_s < span[0]);
            for stand in stands[first..].iter().take_while(|stand| stand.from_s <= span[1]) {
                let span = [span[0].max(stand.from_s), span[1].min(stand.to_s)];
                if let Some((apart_m, at_s)) = nearest(&own, stand.spot, span, looks) {
                    let what =
                        What::IntoPhotographer { who: self.name(who), photographer: photographer.id.clone(), apart_m };
                    hitches.push(Hitch { at_s, written: self.written(walk), what });
                }
            }
        }
    }

    /// The least distance of a walker and a person in a stretch, if bodies can't be so near, and when.
    fn nearest_of(
        &self,
        own: &Mover,
        other: usize,
        span: [f64; 2],
        tells: impl Fn(f64) -> bool,
        looks: &mut Looks,
    ) -> Option<(f32, f64)> {
        let track = &self.tracks[other];
        let changes = track.stays.changes();
        let mut nearest: Option<(f32, f64)> = None;
        let mut at_s = span[0];
        while at_s <= span[1] && looks.another() {
            let next_s = changes
                .get(changes.partition_point(|(when, _)| *when <= at_s + SAME_S))
                .map_or(f64::INFINITY, |it| it.0);
            let pace_mps = match track.stays.at(at_s) {
                Stay::Walks(walk) => {
                    track.walks.get(walk).map_or(0.0, |it| fastest_mps(it.path.length_m(), it.ends_s - it.begins_s))
                }
                _ => 0.0,
            };
            let Some(there) = self.spot(other, at_s) else {
                at_s = next_s;
                continue;
            };
            let apart_m = there.distance((own.spot)(at_s));
            if apart_m < BODIES_APART_M && nearest.is_none_or(|worst| apart_m < worst.0) && tells(at_s) {
                nearest = Some((apart_m, at_s));
            }
            // Whoever gets up from a seat comes forward.
            let free_m = apart_m - BODIES_APART_M - UP_FROM_SEAT_M;
            at_s = (at_s + safe_s(free_m, own.pace_mps + pace_mps)).min(next_s.max(at_s + STEP_S * 0.1));
        }
        nearest
    }

    fn are_together(&self, a: usize, b: usize, at_s: f64) -> bool {
        let with = |who: usize, other: usize| self.tracks[who].gestures.at(at_s).other() == Some(PersonIx(other));
        with(a, b) || with(b, a)
    }

    /// People who stand or sit at a standpoint while it is held; those who walk through it were told.
    fn in_the_way(&self, standpoint: &Standpoint, looks: &mut Looks, hitches: &mut Vec<Hitch>) {
        let Some(photographer) = self.plan.crew.get(standpoint.photographer.0) else { return };
        let mut told: Vec<usize> = Vec::new();
        for stretch in &standpoint.during {
            let Some(moment) = self.plan.moments.get(stretch.moment.0) else { continue };
            for at_s in seconds(moment.start_s + stretch.from_s, moment.start_s + stretch.to_s) {
                for who in (0..self.tracks.len()).filter(|who| self.tracks[*who].walk_at(at_s).is_none()) {
                    let apart_m = self.spot(who, at_s).map_or(f32::INFINITY, |spot| spot.distance(standpoint.at));
                    if !looks.another() {
                        return;
                    }
                    if apart_m >= BODIES_APART_M || told.contains(&who) {
                        continue;
                    }
                    told.push(who);
                    let (id, standpoint) = (photographer.id.clone(), standpoint.id.clone());
                    let what = What::InTheWay { who: id, standpoint, other: self.name(who), apart_m };
                    hitches.push(Hitch { at_s, written: stretch.written, what });
                }
            }
        }
    }

    fn crew_hitches(&self, it: &Move, looks: &mut Looks, hitches: &mut Vec<Hitch>) {
        let plan = self.plan;
        let (Some(who), Some(to)) = (plan.crew.get(it.photographer.0), plan.standpoints.get(it.to.0)) else { return };
        let written = to.during.get(it.presence).map_or(Span::default(), |stretch| stretch.written);
        let standpoint = to.id.clone();
        if it.stuck {
            let what = What::NoWayTo { who: who.id.clone(), standpoint: standpoint.clone() };
            hitches.push(Hitch { at_s: it.leaves_s, written, what });
        }
        let pace_mps = fastest_mps(it.path.length_m(), it.walk_ends_s - it.walk_begins_s);
        let own = Mover { spot: &|at_s| it.path.at(it.travelled_m(at_s)), pace_mps };
        for person in 0..self.tracks.len() {
            let span = [it.walk_begins_s, it.walk_ends_s];
            if let Some((apart_m, at_s)) = self.nearest_of(&own, person, span, |_| true, looks) {
                let what = What::IntoEachOther { who: who.id.clone(), other: self.name(person), apart_m };
                hitches.push(Hitch { at_s, written, what });
            }
        }
        if it.late_s() > 0.05 {
            let what = What::Late {
                who: who.id.clone(),
                standpoint,
                late_s: it.late_s(),
                way_m: it.path.length_m(),
                pace_mps: it.pace_mps(),
            };
            hitches.push(Hitch { at_s: it.needed_s, written, what });
        }
    }
}

/// Somebody on the way.
struct Mover<'m> {
    spot: &'m dyn Fn(f64) -> Vec2,
    pace_mps: f32,
}

fn seconds(from_s: f64, to_s: f64) -> impl Iterator<Item = f64> {
    let steps = (to_s - from_s).floor().max(0.0) as usize;
    (0..=steps).map(move |k| from_s + k as f64)
}

/// The least distance to a spot in a stretch, if bodies can't be so near, and when.
fn nearest(own: &Mover, there: Vec2, span: [f64; 2], looks: &mut Looks) -> Option<(f32, f64)> {
    let mut nearest: Option<(f32, f64)> = None;
    let mut at_s = span[0];
    while at_s <= span[1] && looks.another() {
        let apart_m = there.distance((own.spot)(at_s));
        if apart_m < BODIES_APART_M && nearest.is_none_or(|worst| apart_m < worst.0) {
            nearest = Some((apart_m, at_s));
        }
        at_s += safe_s(apart_m - BODIES_APART_M, own.pace_mps);
    }
    nearest
}

/// How long two can't meet who are this far from it and come no faster than so.
fn safe_s(free_m: f32, pace_mps: f32) -> f64 {
    f64::from(free_m / pace_mps.max(0.01)).max(STEP_S)
}

/// In the middle of a way one is faster than way over time: setting off and stopping take time (`gait::travelled_m`), up to a
/// quarter of it.
fn fastest_mps(length_m: f32, takes_s: f64) -> f32 {
    length_m / ((takes_s - (takes_s * 0.25).min(0.5)).max(1e-3) as f32)
}

/// When somebody has come so far on a walk.
fn when_travelled(walk: &Walk, along_m: f32) -> f64 {
    let (mut early, mut late) = (walk.begins_s, walk.ends_s);
    while late - early > 1e-2 {
        let middle = (early + late) * 0.5;
        if walk.travelled_m(middle) < along_m { early = middle } else { late = middle }
    }
    late
}

/// How often is looked whether somebody walks into something; thousands of people who cross each other's ways for hours
/// would take minutes.
#[derive(Debug)]
struct Looks {
    left: usize,
}

impl Looks {
    fn another(&mut self) -> bool {
        let any = self.left > 0;
        self.left = self.left.saturating_sub(1);
        any
    }
}

/// Whoever walks into somebody and is walked into by them in the same breath is told once: where they are nearest.
fn each_pair_once(hitches: &mut Vec<Hitch>) {
    let pair = |hitch: &Hitch| match &hitch.what {
        What::IntoEachOther { who, other, apart_m } => {
            let mut pair = [who.clone(), other.clone()];
            pair.sort();
            Some((pair, *apart_m))
        }
        _ => None,
    };
    let mut last: BTreeMap<[String; 2], (f64, usize)> = BTreeMap::new();
    let mut kept: Vec<Hitch> = Vec::with_capacity(hitches.len());
    for hitch in hitches.drain(..) {
        let Some((names, apart_m)) = pair(&hitch) else {
            kept.push(hitch);
            continue;
        };
        let before = last.get(&names).copied().filter(|(when, _)| hitch.at_s - when < SAME_BREATH_S);
        let place = before.map_or(kept.len(), |(_, place)| place);
        last.insert(names, (hitch.at_s, place));
        match kept.get_mut(place) {
            Some(first) if pair(first).is_some_and(|it| it.1 <= apart_m) => {}
            Some(first) => *first = hitch,
            None => kept.push(hitch),
        }
    }
    *hitches = kept;
    hitches.sort_by(|a, b| a.at_s.total_cmp(&b.at_s).then(a.written.cmp(&b.written)));
}

/// As the plan calls it.
fn thing(plan: &Plan, blocker: Blocker) -> String {
    let venue = &plan.venue;
    let id = match blocker {
        Blocker::Wall(ix) => venue.walls.get(ix).map(|it| it.id.clone()),
        Blocker::Room(ix) => venue.rooms.get(ix).map(|it| it.id.clone()),
        Blocker::Fixture(ix) => venue.fixtures.get(ix).map(|it| it.id.clone()),
        Blocker::Mesh(ix) => venue.meshes.get(ix).map(|it| it.id.clone()),
        Blocker::Row { seats, .. } => venue.seats.get(seats).map(|it| it.id.clone()),
        Blocker::Platform(ix) => venue.platforms.get(ix).map(|it| it.id.clone()),
        Blocker::KeepOut(ix) => venue.keep_outs.get(ix).map(|it| it.id.clone()),
        Blocker::Person(ix) => plan.people.get(ix).map(|it| it.id.clone()),
    };
    id.unwrap_or_default()
}
