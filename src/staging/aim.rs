//! What photographers at their standpoints point the camera at: the frame they work on, else what draws everybody's eyes.

use super::angle::{heading_to, wrapped};
use super::floor::floor_height;
use super::run::{Attention, CrewAt, Run, SAME_S, smooth};
use super::scene::{FRONT, Scene, eyes_nearly, fixture_middle, spots_together, standpoint_eye};
use crate::plan::{Aim, Frame, PhotographerIx, Plan, Standpoint, StandpointIx};
use glam::{Vec2, Vec3};

/// How long before a frame a photographer turns to its subject, at most, and how long turning takes.
const READY_BEFORE_S: f64 = 3.0;
const SWING_S: f64 = 1.6;

/// Where a camera points, and for which frame.
pub struct Aimed<'a> {
    /// To the right of −z, and up.
    pub yaw: f32,
    pub pitch: f32,
    pub frame: Option<&'a Frame>,
    /// The frame before, while the camera swings over, with how far it has come, 0 to 1.
    pub before: Option<(&'a Frame, f32)>,
}

/// Where the camera at a standpoint points: at its subject, less what is left of each change of subject, as bodies turn.
pub fn aim<'a>(scene: &Scene<'_, 'a>, ix: PhotographerIx, standpoint: StandpointIx) -> Aimed<'a> {
    let (run, plan, at_s) = (scene.run, scene.plan, scene.at_s);
    let frames = Frames::of(plan, ix, standpoint);
    let eye = plan.standpoints.get(standpoint.0).map_or(FRONT, |held| standpoint_eye(plan, held));
    let way = |since_s: f64, when_s: f64, spots: &[Option<Vec2>]| {
        let way = frames.target(run, since_s, when_s, spots) - eye;
        Vec2::new(way.x.atan2(-way.z), way.y.atan2(way.x.hypot(way.z)))
    };
    let mut now = way(at_s, at_s, &scene.spots);
    for (began_s, takes_s) in frames.changes(run, at_s) {
        let left = 1.0 - smooth(((at_s - began_s) / takes_s) as f32);
        let [before, after] = [began_s - 1e-4, began_s].map(|when_s| way(when_s, when_s, &spots_together(run, when_s)));
        let turn = after - before;
        now -= Vec2::new(wrapped(turn.x), turn.y) * left;
    }
    let frame = frames.at(at_s);
    let before = frame.and_then(|k| {
        let done = ((at_s - frames.begins_s(k)) / frames.swing_s(k)) as f32;
        k.checked_sub(1).filter(|_| done < 1.0).map(|before| (frames.0[before], done))
    });
    Aimed { yaw: now.x, pitch: now.y, frame: frame.map(|k| frames.0[k]), before }
}

/// The frame a photographer works on at an instant.
pub fn current_frame(run: &Run, ix: PhotographerIx, at_s: f64) -> Option<usize> {
    let CrewAt::At(standpoint) = run.crew_at(ix, at_s) else { return None };
    let frames = Frames::of(run.plan, ix, standpoint);
    let frame = frames.0[frames.at(at_s)?];
    run.plan.frames.iter().position(|it| std::ptr::eq(it, frame))
}

/// Which way a photographer faces at each standpoint of the plan, radians from −z, clockwise from above: where the camera points
/// if the standpoint is held at that instant, else towards the couple, whoever of them is there or comes next.
pub fn standpoint_headings(run: &Run, at_s: f64) -> Vec<f32> {
    let scene = Scene::new(run, at_s);
    let couple: Vec<Vec2> = run.couple.iter().filter_map(|who| run.seen_spot(who.0, at_s)).collect();
    let couple = couple.iter().sum::<Vec2>() / couple.len().max(1) as f32;
    let heading = |(i, standpoint): (usize, &Standpoint)| match run.crew_at(standpoint.photographer, at_s) {
        CrewAt::At(held) if held.0 == i => aim(&scene, standpoint.photographer, held).yaw,
        _ => heading_to(standpoint.at, couple).unwrap_or(0.0),
    };
    run.plan.standpoints.iter().enumerate().map(heading).collect()
}

/// A photographer's frames at a standpoint, in order of time, with the seconds they are taken and those their moments begin.
/// Each is attended to from a few seconds before it, or from its moment on, until the next one; the first from the beginning.
struct Frames<'a>(Vec<&'a Frame>, Vec<f64>, Vec<f64>);

impl<'a> Frames<'a> {
    fn of(plan: &'a Plan, ix: PhotographerIx, standpoint: StandpointIx) -> Self {
        let mine = plan.frames.iter().filter(|f| f.standpoint == standpoint && plan.photographer_of(f) == ix);
        let mut mine: Vec<&Frame> = mine.collect();
        mine.sort_by(|a, b| plan.at_s(a).total_cmp(&plan.at_s(b)));
        let times = mine.iter().map(|frame| plan.at_s(frame)).collect();
        let moments = mine.iter().map(|frame| plan.at_s(frame) - frame.after_s).collect();
        Self(mine, times, moments)
    }

    fn begins_s(&self, k: usize) -> f64 {
        let Some(before) = k.checked_sub(1) else { return f64::NEG_INFINITY };
        let begins_s = self.1[k] - READY_BEFORE_S.min((self.1[k] - self.1[before]) * 0.5);
        // A new moment, a new picture: the one before is done.
        let moment_s = self.2[k];
        if moment_s > self.1[before] + 1.0 { begins_s.min(moment_s) } else { begins_s }
    }

    fn swing_s(&self, k: usize) -> f64 {
        let next = if k + 1 < self.0.len() { self.begins_s(k + 1) - self.begins_s(k) } else { SWING_S };
        SWING_S.min(next).max(1e-3)
    }

    fn at(&self, at_s: f64) -> Option<usize> {
        (0..self.0.len()).rev().find(|k| self.begins_s(*k) <= at_s + SAME_S)
    }

    /// When the camera gets another subject, of late, and how long each swing takes.
    fn changes(&self, run: &Run, at_s: f64) -> Vec<(f64, f64)> {
        let mut changes: Vec<(f64, f64)> = (1..self.0.len()).map(|k| (self.begins_s(k), self.swing_s(k))).collect();
        let people = self.0.iter().flat_map(|frame| {
            frame.of.iter().chain(match &frame.aim {
                Some(Aim::Person(who)) => Some(who),
                _ => None,
            })
        });
        let comings = people.flat_map(|who| run.comings(who.0));
        changes.extend(run.attention.times().chain(comings).map(|when| (when, SWING_S)));
        changes.retain(|(began_s, takes_s)| *began_s <= at_s + SAME_S && at_s < began_s + takes_s);
        changes.sort_by(|a, b| a.0.total_cmp(&b.0));
        changes.dedup_by(|a, b| a.0 - b.0 < 1e-3);
        changes
    }

    /// The subject by what has begun at `since_s`, everybody being at these spots at `at_s`.
    fn target(&self, run: &Run, since_s: f64, at_s: f64, spots: &[Option<Vec2>]) -> Vec3 {
        let eyes = |who: usize| eyes_nearly(run, who, at_s, spots);
        let frame = self.at(since_s).map(|k| self.0[k]);
        frame.and_then(|frame| subject(run, frame, since_s, &eyes)).unwrap_or_else(|| match run.attention.at(since_s) {
            Attention::Person(who) => eyes(who.0),
            Attention::Couple(there) => {
                let there = run.couple.iter().zip(there).filter(|(_, there)| *there);
                middle(there.map(|(who, _)| eyes(who.0)).collect()).unwrap_or(FRONT)
            }
        })
    }
}

fn subject(run: &Run, frame: &Frame, since_s: f64, eyes: &impl Fn(usize) -> Vec3) -> Option<Vec3> {
    let seen = |who: usize| run.seen_spot(who, since_s).map(|_| eyes(who));
    match frame.aim {
        Some(Aim::Point { at, height_m }) => Some(Vec3::new(at.x, floor_height(&run.plan.venue, at) + height_m, at.y)),
        Some(Aim::Person(person)) => seen(person.0),
        Some(Aim::Fixture(fixture)) => fixture_middle(run.plan, fixture),
        // Whoever isn't there yet is waited for where they come in.
        None => middle(frame.of.iter().filter_map(|who| seen(who.0)).collect()),
    }
}

fn middle(points: Vec<Vec3>) -> Option<Vec3> {
    (!points.is_empty()).then(|| points.iter().sum::<Vec3>() / points.len() as f32)
}
