//! The run of the ceremony: who is where from when to when, and by which way they go. Worked out once for a plan; asking
//! for an instant is then cheap.

mod timeline;

mod path;

mod track;

mod build;

mod changes;

mod going;

mod guests;

mod attention;

mod spots;

mod heading;

mod moves;

mod times;

mod what;

mod hitches;

mod rehearse;

pub use attention::Attention;
pub use guests::GuestRun;
pub use heading::{Spots, Together, Turning, alone, nearness, with_whom};
pub use moves::{CrewAt, Move};
pub use path::Path;
pub use rehearse::rehearse;
pub use spots::UP_FROM_SEAT_M;
pub use timeline::{Blend, SAME_S, Timeline, smooth};
pub use times::Never;
pub use track::{Pose, Stay, Track, Walk};
pub use what::{Hitch, What};

use super::couple::couple;
use crate::plan::{CueIx, PersonIx, Plan};

/// How long it takes to get up, and to sit or kneel down, seconds: judged by eye (a grown-up rises from a chair in one to two
/// seconds, from memory of rehabilitation tables).
pub const RISE_S: f64 = 1.4;
pub const SIT_S: f64 = 1.4;
/// How long arms take from one gesture to the next.
pub const REACH_S: f64 = 0.9;
/// How long a body takes to turn, and a head.
pub const TURN_S: f64 = 1.1;
pub const GLANCE_S: f64 = 0.6;
/// The whole ceremony in time.
#[derive(Debug, Clone)]
pub struct Run<'a> {
    pub plan: &'a Plan,
    /// One for each person of the plan.
    pub tracks: Vec<Track>,
    pub guests: GuestRun,
    /// Who draws everybody's eyes.
    pub attention: Timeline<Attention>,
    pub couple: Vec<PersonIx>,
    /// From when to when each cue goes, in the order they begin.
    pub cues: Vec<CueTime>,
    /// Walks for which there is no free way.
    pub stuck: Vec<Stuck>,
    /// How photographers change places, each photographer's in order of time.
    pub moves: Vec<Move>,
    /// Work spent on finding ways.
    searched: u64,
    /// Of each person, whoever has a gesture with them at any time.
    partners: Vec<Vec<usize>>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CueTime {
    pub cue: CueIx,
    pub begins_s: f64,
    pub ends_s: f64,
}

/// Somebody has to walk where there is no way: they go straight, through whatever is there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stuck {
    pub cue: CueIx,
    pub who: PersonIx,
    pub at_s: f64,
}

impl<'a> Run<'a> {
    pub fn new(plan: &'a Plan) -> Self {
        build::build(plan)
    }

    fn empty(plan: &'a Plan) -> Self {
        Self {
            plan,
            tracks: plan.people.iter().map(Track::new).collect(),
            guests: GuestRun::new(plan),
            attention: Timeline::new(Attention::Couple([false; 2])),
            couple: couple(plan),
            cues: vec![],
            stuck: vec![],
            moves: vec![],
            searched: 0,
            partners: partners(plan),
        }
    }

    /// Whoever has a gesture with a person at any time, in plan order.
    pub fn partners_of(&self, person: usize) -> &[usize] {
        self.partners.get(person).map_or(&[], Vec::as_slice)
    }

    /// From when to when a cue goes; `None` for a cue that never begins.
    pub fn time_of(&self, cue: CueIx) -> Option<CueTime> {
        self.cues.iter().find(|time| time.cue == cue).copied()
    }
}

fn partners(plan: &Plan) -> Vec<Vec<usize>> {
    let mut partners = vec![vec![]; plan.people.len()];
    for (_, cue) in plan.cues() {
        let Some(other) = cue.gesture.and_then(|gesture| gesture.other()) else { continue };
        for who in cue.who.iter().filter(|who| **who != other) {
            partners[other.0].push(who.0);
        }
    }
    for list in &mut partners {
        list.sort_unstable();
        list.dedup();
    }
    partners
}
