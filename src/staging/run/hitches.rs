//! What can't be done as planned: ways through things and people, photographers who come too late, frames that wait for
//! what never happens. Each with its instant and its place in the plan file.

use super::going::HALF_WIDTH_M;
use super::times::Never;
use super::track::{Stay, Walk};
use super::{CrewAt, Move, Run};
use crate::plan::{Frame, PersonIx, PhotographerIx, Plan, Post, Span, When};
use crate::staging::route::{Blocker, Obstacles};

/// One thing that won't go as planned.
#[derive(Debug, Clone, PartialEq)]
pub struct Hitch {
    /// Seconds into the ceremony.
    pub at_s: f64,
    /// The cue, stretch or frame it comes from.
    pub written: Span,
    pub what: What,
}

#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// There is no free way; they go straight.
    NoWay { who: String },
    /// Somebody walks into something.
    IntoThing { who: String, thing: String },
    /// Two come closer than bodies can.
    IntoEachOther { who: String, other: String, apart_m: f32 },
    /// A walk begins before the one before it has ended.
    CutShort { who: String, left_m: f32 },
    /// A photographer isn't ready when the stretch begins.
    Late { who: String, standpoint: String, late_s: f64, way_m: f32, pace_mps: f32 },
    /// A photographer has no free way to a standpoint.
    NoWayTo { who: String, standpoint: String },
    /// What a frame waits for never happens; the frame can't be taken.
    Never { frame: String, waits_for: String, why: String },
    /// When it happens, the standpoint isn't held.
    NotHeld { frame: String, standpoint: String, after_s: f64 },
    /// When it happens, somebody of the frame isn't there.
    NotThere { frame: String, who: String, after_s: f64 },
}

impl What {
    /// The plan contradicts itself: there is nothing to draw.
    pub fn is_impossible(&self) -> bool {
        matches!(self, What::Never { .. } | What::NotHeld { .. } | What::NotThere { .. })
    }

    /// What to do about it.
    pub fn help(&self) -> String {
        match self {
            What::NoWay { .. } => "move what stands in the way, or give spots to walk by: `by: [(x, z)]`".to_owned(),
            What::IntoThing { thing, .. } => format!("lead them round it with `by`, or move `{thing}`"),
            What::IntoEachOther { .. } => {
                "let one of them wait (`follows`, or a later `after`), or give them ways apart with `by`".to_owned()
            }
            What::CutShort { .. } => "begin later, let it follow the first walk, or walk faster: `pace`".to_owned(),
            What::Late { .. } => {
                "leave the standpoint before earlier (`to`), begin here later (`from`), or walk faster (`pace`)"
                    .to_owned()
            }
            What::NoWayTo { .. } => "give spots to walk by, `by: [(x, z)]`, or choose another standpoint".to_owned(),
            What::Never { .. } => "choose another instant: `after` seconds, or something that does happen".to_owned(),
            What::NotHeld { standpoint, .. } => {
                format!("hold `{standpoint}` then (`during`), or take the frame otherwise")
            }
            What::NotThere { who, .. } => format!("let `{who}` be there by then, or take the frame at another time"),
        }
    }
}

impl std::fmt::Display for What {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            What::NoWay { who } => write!(f, "`{who}` has no free way there and walks straight through what is in it"),
            What::IntoThing { who, thing } => write!(f, "`{who}` walks into `{thing}`"),
            What::IntoEachOther { who, other, apart_m } => {
                write!(f, "`{who}` and `{other}` walk into each other: {apart_m:.2} m from middle to middle")
            }
            What::CutShort { who, left_m } => {
                write!(f, "`{who}` has {left_m:.1} m left to walk when this walk begins")
            }
            What::Late { who, standpoint, late_s, way_m, pace_mps } => write!(
                f,
                "`{who}` is ready at `{standpoint}` {late_s:.1} s late: {way_m:.1} m to walk at {pace_mps:.1} m/s"
            ),
            What::NoWayTo { who, standpoint } => write!(f, "`{who}` has no free way to `{standpoint}`"),
            What::Never { frame, waits_for, why } => write!(f, "`{frame}` waits until {waits_for}, but {why}"),
            What::NotHeld { frame, standpoint, after_s } => {
                write!(f, "`{frame}` falls {after_s:.1} s into its moment, when `{standpoint}` isn't held")
            }
            What::NotThere { frame, who, after_s } => {
                write!(f, "`{frame}` falls {after_s:.1} s into its moment, when `{who}` isn't there")
            }
        }
    }
}

/// Middles of two bodies nearer than this are one in the other: chests are 0.24 m deep (ANSUR II chest depth of men, 254 mm,
/// from memory), and arms give way.
const BODIES_APART_M: f32 = 0.28;
/// Walkers brush past things with this much.
const BRUSH_M: f32 = 0.12;
const STEP_S: f64 = 0.1;

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
        for who in 0..self.tracks.len() {
            for (ix, walk) in self.tracks[who].walks.iter().enumerate() {
                self.cut_short(who, ix, walk, &mut hitches);
                self.tell_of_things(who, walk, &obstacles, &mut hitches);
                self.tell_of_people(who, walk, &mut hitches);
            }
        }
        for it in &self.moves {
            self.crew_hitches(it, &mut hitches);
        }
        hitches.sort_by(|a, b| a.at_s.total_cmp(&b.at_s).then(a.written.cmp(&b.written)));
        hitches
    }

    fn name(&self, who: usize) -> String {
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

    fn tell_of_things(&self, who: usize, walk: &Walk, obstacles: &Obstacles, hitches: &mut Vec<Hitch>) {
        let mut told: Vec<Blocker> = Vec::new();
        let ends = [walk.path.at(0.0), walk.path.at(f32::INFINITY)];
        for at_s in between(walk.begins_s, self.until_s(who, walk)) {
            let spot = walk.spot(at_s);
            // Where one stands or sits is the plan's; getting there and away takes a step.
            if ends.iter().any(|end| end.distance(spot) < 2.0 * HALF_WIDTH_M) {
                continue;
            }
            let Some(blocker) = obstacles.blocking(spot, BRUSH_M).filter(|it| !told.contains(it)) else { continue };
            told.push(blocker);
            if self.is_own_row(who, walk, blocker) {
                continue;
            }
            let what = What::IntoThing { who: self.name(who), thing: thing(self.plan, blocker) };
            hitches.push(Hitch { at_s, written: self.written(walk), what });
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

    fn tell_of_people(&self, who: usize, walk: &Walk, hitches: &mut Vec<Hitch>) {
        let mut nearest: Vec<(usize, f32, f64)> = Vec::new();
        for at_s in between(walk.begins_s, self.until_s(who, walk)) {
            let spot = walk.spot(at_s);
            for other in 0..self.tracks.len() {
                // Of two who walk, the first in the plan tells.
                let walks = self.tracks[other].walk_at(at_s).is_some();
                if other == who || (walks && other < who) {
                    continue;
                }
                let Some(there) = self.spot(other, at_s) else { continue };
                let apart_m = there.distance(spot);
                if apart_m >= BODIES_APART_M || self.are_together(who, other, at_s) {
                    continue;
                }
                match nearest.iter_mut().find(|(k, ..)| *k == other) {
                    Some(worst) if worst.1 <= apart_m => {}
                    Some(worst) => *worst = (other, apart_m, at_s),
                    None => nearest.push((other, apart_m, at_s)),
                }
            }
        }
        for (other, apart_m, at_s) in nearest {
            let what = What::IntoEachOther { who: self.name(who), other: self.name(other), apart_m };
            hitches.push(Hitch { at_s, written: self.written(walk), what });
        }
        for (ix, photographer) in self.plan.crew.iter().enumerate() {
            let apart = |at_s: f64| {
                let CrewAt::At(_) = self.crew_at(PhotographerIx(ix), at_s) else { return f32::INFINITY };
                let there = self.crew_spot(PhotographerIx(ix), at_s);
                there.map_or(f32::INFINITY, |there| there.distance(walk.spot(at_s)))
            };
            if let Some((apart_m, at_s)) = nearest_of(walk.begins_s, self.until_s(who, walk), apart) {
                let what = What::IntoEachOther { who: self.name(who), other: photographer.id.clone(), apart_m };
                hitches.push(Hitch { at_s, written: self.written(walk), what });
            }
        }
    }

    fn are_together(&self, a: usize, b: usize, at_s: f64) -> bool {
        let with = |who: usize, other: usize| self.tracks[who].gestures.at(at_s).other() == Some(PersonIx(other));
        with(a, b) || with(b, a)
    }

    fn crew_hitches(&self, it: &Move, hitches: &mut Vec<Hitch>) {
        let plan = self.plan;
        let (Some(who), Some(to)) = (plan.crew.get(it.photographer.0), plan.standpoints.get(it.to.0)) else { return };
        let written = to.during.get(it.presence).map_or(Span::default(), |stretch| stretch.written);
        let standpoint = to.id.clone();
        if it.stuck {
            let what = What::NoWayTo { who: who.id.clone(), standpoint: standpoint.clone() };
            hitches.push(Hitch { at_s: it.leaves_s, written, what });
        }
        for person in 0..self.tracks.len() {
            let apart = |at_s: f64| {
                let spot = it.path.at(it.travelled_m(at_s));
                self.spot(person, at_s).map_or(f32::INFINITY, |there| there.distance(spot))
            };
            if let Some((apart_m, at_s)) = nearest_of(it.walk_begins_s, it.walk_ends_s, apart) {
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

/// The least distance of two in a stretch, if bodies can't be so near, and when.
fn nearest_of(from_s: f64, to_s: f64, apart: impl Fn(f64) -> f32) -> Option<(f32, f64)> {
    let nearest = between(from_s, to_s).map(|at_s| (apart(at_s), at_s)).min_by(|a, b| a.0.total_cmp(&b.0));
    nearest.filter(|(apart_m, _)| *apart_m < BODIES_APART_M)
}

fn between(from_s: f64, to_s: f64) -> impl Iterator<Item = f64> {
    let steps = ((to_s - from_s) / STEP_S).floor().max(0.0) as usize;
    (0..=steps).map(move |k| from_s + k as f64 * STEP_S)
}

/// As the plan calls it.
fn thing(plan: &Plan, blocker: Blocker) -> String {
    let venue = &plan.venue;
    let id = match blocker {
        Blocker::Wall(ix) => venue.walls.get(ix).map(|it| it.id.clone()),
        Blocker::Room(ix) => venue.rooms.get(ix).map(|it| it.id.clone()),
        Blocker::Fixture(ix) => venue.fixtures.get(ix).map(|it| it.id.clone()),
        Blocker::Row { seats, .. } => venue.seats.get(seats).map(|it| it.id.clone()),
        Blocker::Platform(ix) => venue.platforms.get(ix).map(|it| it.id.clone()),
        Blocker::KeepOut(ix) => venue.keep_outs.get(ix).map(|it| it.id.clone()),
        Blocker::Person(ix) => plan.people.get(ix).map(|it| it.id.clone()),
    };
    id.unwrap_or_default()
}

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
            let why = why(run, when, never);
            tell(start_s, What::Never { frame: frame.id.clone(), waits_for: waits_for(run, when), why });
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
        When::Within { who, distance_m } => format!("`{}` is {distance_m:.1} m from the camera", run.name(who.0)),
        When::Passing { who, .. } => format!("`{}` passes that spot", run.name(who.0)),
        When::During { who, .. } => format!("`{}` does that", run.name(who.0)),
    }
}

fn why(run: &Run, when: When, never: Never) -> String {
    let (When::Within { who, .. } | When::Passing { who, .. } | When::During { who, .. }) = when;
    let name = run.name(who.0);
    match never {
        Never::Absent => format!("`{name}` isn't there in that moment"),
        Never::TooFar { nearest_m, after_s } => {
            format!("`{name}` comes no nearer than {nearest_m:.1} m, {after_s:.1} s into the moment")
        }
        Never::NotDone => format!("`{name}` doesn't in that moment"),
    }
}
