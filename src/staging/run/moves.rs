//! How photographers change places: when they leave, by which way, and whether they are there in time.

use super::Run;
use super::going::HALF_WIDTH_M;
use super::path::Path;
use super::track::Stay;
use crate::plan::{PhotographerIx, Plan, Presence, Standpoint, StandpointIx};
use crate::staging::gait;
use crate::staging::route::Obstacles;
use glam::Vec2;

/// Lowering the camera and getting up, and the other way round, seconds; more from the knees than from standing. Judged by
/// eye, no source.
const UP_S: f64 = 1.2;
const FROM_THE_KNEES_S: f64 = 1.6;

/// A way from one standpoint to the next.
#[derive(Debug, Clone, PartialEq)]
pub struct Move {
    pub photographer: PhotographerIx,
    pub from: StandpointIx,
    pub to: StandpointIx,
    /// Which stretch of [`Standpoint::during`] it is for.
    pub presence: usize,
    /// When the camera comes down.
    pub leaves_s: f64,
    pub walk_begins_s: f64,
    pub walk_ends_s: f64,
    /// When the camera is up again.
    pub ready_s: f64,
    /// When the stretch begins.
    pub needed_s: f64,
    pub path: Path,
    /// No free way was found; the path is straight.
    pub stuck: bool,
}

impl Move {
    /// How much too late the photographer is ready; 0 if in time.
    pub fn late_s(&self) -> f64 {
        (self.ready_s - self.needed_s).max(0.0)
    }

    pub fn pace_mps(&self) -> f32 {
        self.path.length_m() / ((self.walk_ends_s - self.walk_begins_s).max(1e-6) as f32)
    }

    pub fn travelled_m(&self, at_s: f64) -> f32 {
        gait::travelled_m(self.path.length_m(), self.walk_ends_s - self.walk_begins_s, at_s - self.walk_begins_s)
    }
}

/// Where a photographer is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CrewAt<'r> {
    /// Before the first standpoint and after the last; nobody has planned where.
    Away,
    At(StandpointIx),
    /// Between two, camera down.
    Walks(&'r Move),
}

impl Run<'_> {
    pub fn crew_at(&self, photographer: PhotographerIx, at_s: f64) -> CrewAt<'_> {
        let mut stints = stints(self.plan, photographer);
        let begun = stints.iter().rposition(|stint| stint.from_s <= at_s + 1e-6);
        let last_s = stints.iter().map(|stint| stint.to_s).fold(f64::NEG_INFINITY, f64::max);
        let mine = || self.moves.iter().filter(|it| it.photographer == photographer);
        if let Some(walking) = mine().find(|it| it.leaves_s < at_s && at_s < it.ready_s) {
            return CrewAt::Walks(walking);
        }
        let Some(begun) = begun else { return CrewAt::Away };
        let arrived = mine().rfind(|it| it.ready_s <= at_s + 1e-6);
        if at_s > last_s + 1e-6 && arrived.is_none_or(|it| it.ready_s < at_s) {
            return CrewAt::Away;
        }
        CrewAt::At(arrived.map_or_else(|| stints.swap_remove(begun).standpoint, |it| it.to))
    }

    /// From when to when photographers hold standpoints.
    pub(super) fn stints_of_all(&self) -> Vec<[f64; 2]> {
        let crew = (0..self.plan.crew.len()).map(PhotographerIx);
        crew.flat_map(|it| stints(self.plan, it)).map(|stint| [stint.from_s, stint.to_s]).collect()
    }

    /// Where a photographer's feet are, nearly.
    pub fn crew_spot(&self, photographer: PhotographerIx, at_s: f64) -> Option<Vec2> {
        match self.crew_at(photographer, at_s) {
            CrewAt::Away => None,
            CrewAt::At(ix) => self.plan.standpoints.get(ix.0).map(|standpoint| standpoint.at),
            CrewAt::Walks(it) => Some(it.path.at(it.travelled_m(at_s))),
        }
    }
}

/// From when to when a photographer stands somewhere with the camera up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stand {
    pub from_s: f64,
    pub to_s: f64,
    pub spot: Vec2,
}

impl Run<'_> {
    /// Where a photographer stands, in order of time.
    pub fn stands(&self, photographer: PhotographerIx) -> Vec<Stand> {
        let stints = stints(self.plan, photographer);
        let last_s = stints.iter().map(|stint| stint.to_s).fold(f64::NEG_INFINITY, f64::max);
        let Some(first) = stints.first() else { return vec![] };
        let (mut standpoint, mut from_s) = (first.standpoint, first.from_s);
        let mut stands = Vec::new();
        let mut stand = |standpoint: StandpointIx, from_s: f64, to_s: f64| {
            let spot = self.plan.standpoints.get(standpoint.0).map(|it| it.at);
            stands.extend(spot.filter(|_| from_s < to_s).map(|spot| Stand { from_s, to_s, spot }));
        };
        for it in self.moves.iter().filter(|it| it.photographer == photographer) {
            stand(standpoint, from_s, it.leaves_s);
            (standpoint, from_s) = (it.to, it.ready_s);
        }
        stand(standpoint, from_s, last_s);
        stands
    }
}

/// A stretch at a standpoint, in seconds of the ceremony.
struct Stint {
    standpoint: StandpointIx,
    presence: usize,
    from_s: f64,
    to_s: f64,
}

fn stints(plan: &Plan, photographer: PhotographerIx) -> Vec<Stint> {
    let mine = plan.standpoints.iter().enumerate().filter(|(_, standpoint)| standpoint.photographer == photographer);
    let mut stints: Vec<Stint> = mine
        .flat_map(|(ix, standpoint)| {
            standpoint.during.iter().enumerate().filter_map(move |(presence, stretch)| {
                let start_s = plan.moments.get(stretch.moment.0)?.start_s;
                let (from_s, to_s) = (start_s + stretch.from_s, start_s + stretch.to_s);
                Some(Stint { standpoint: StandpointIx(ix), presence, from_s, to_s })
            })
        })
        .collect();
    stints.sort_by(|a, b| a.from_s.total_cmp(&b.from_s));
    stints
}

/// Every change of place, in the order of the crew and of time.
pub fn moves(run: &Run, obstacles: &Obstacles) -> Vec<Move> {
    let plan = run.plan;
    let open = obstacles.with_keep_outs(&plan.venue);
    let mut moves = Vec::new();
    let mut searched = run.searched;
    for photographer in (0..plan.crew.len()).map(PhotographerIx) {
        let stints = stints(plan, photographer);
        let mut there_s = f64::NEG_INFINITY;
        for pair in stints.windows(2) {
            let [before, next] = pair else { continue };
            if before.standpoint == next.standpoint {
                continue;
            }
            let leaves_s = before.to_s.max(there_s);
            let it = change(run, &open, photographer, before, next, leaves_s, &mut searched);
            there_s = it.as_ref().map_or(there_s, |it| it.ready_s);
            moves.extend(it);
        }
    }
    moves
}

fn change(
    run: &Run,
    open: &Obstacles,
    photographer: PhotographerIx,
    before: &Stint,
    next: &Stint,
    leaves_s: f64,
    searched: &mut u64,
) -> Option<Move> {
    let plan = run.plan;
    let (from, to) = (plan.standpoints.get(before.standpoint.0)?, plan.standpoints.get(next.standpoint.0)?);
    let stretch: &Presence = to.during.get(next.presence)?;
    let open = open.with_people(&standing(run, leaves_s));
    let mut points = vec![from.at];
    let mut stuck = false;
    for stop in stretch.by.iter().chain(std::iter::once(&to.at)) {
        let here = points.last().copied().unwrap_or(from.at);
        match open.shortest_of_many(here, *stop, HALF_WIDTH_M, searched) {
            Some(route) => points.extend(route.points.into_iter().skip(1)),
            None => {
                stuck = true;
                points.push(*stop);
            }
        }
    }
    let path = Path::new(&points);
    let stature_m = plan.crew.get(photographer.0)?.stature_m;
    let walk_begins_s = leaves_s + up_s(from, stature_m);
    let walk_ends_s = walk_begins_s + f64::from(path.length_m() / stretch.pace_mps.max(0.05));
    Some(Move {
        photographer,
        from: before.standpoint,
        to: next.standpoint,
        presence: next.presence,
        leaves_s,
        walk_begins_s,
        walk_ends_s,
        ready_s: walk_ends_s + up_s(to, stature_m),
        needed_s: next.from_s,
        path,
        stuck,
    })
}

/// Seconds between walking and a camera at the eye.
fn up_s(standpoint: &Standpoint, stature_m: f32) -> f64 {
    if standpoint.camera_height_m < 0.80 * stature_m { FROM_THE_KNEES_S } else { UP_S }
}

/// Where people stand, or will when they have stopped walking.
fn standing(run: &Run, at_s: f64) -> Vec<(usize, Vec2)> {
    let stands = |person: usize| match run.tracks.get(person)?.stays.at(at_s) {
        Stay::Walks(walk) => run.tracks[person].walks.get(walk).map(|walk| walk.path.at(f32::INFINITY)),
        _ => run.spot(person, at_s),
    };
    (0..run.tracks.len()).filter_map(|person| Some((person, stands(person)?))).collect()
}
