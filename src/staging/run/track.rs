//! What one person does in the course of the ceremony.

use super::path::Path;
use super::timeline::{SAME_S, Timeline};
use super::{RISE_S, SIT_S};
use crate::plan::{CueIx, Facing, Gesture, Held, Person, Post, Posture};
use crate::staging::gait;
use glam::Vec2;

/// How long the longest change of posture takes.
const POSE_S: f64 = if RISE_S > SIT_S { RISE_S } else { SIT_S };

#[derive(Debug, Clone)]
pub struct Track {
    pub stays: Timeline<Stay>,
    /// As `stays`, but from when the body turns for it. Side steps are not in it.
    pub turns: Timeline<Stay>,
    pub walks: Vec<Walk>,
    pub poses: Timeline<Pose>,
    pub faces: Timeline<Facing>,
    pub looks: Timeline<Facing>,
    pub gestures: Timeline<Gesture>,
    pub holds: Timeline<Held>,
    /// When anything changes that may turn the body or the head; filled when all cues are known.
    pub changes: Vec<f64>,
}

/// Where somebody is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stay {
    Away,
    At(Post),
    /// On a loose chair: its middle, and where whoever sits on it faces.
    OnChair {
        spot: Vec2,
        heading: f32,
    },
    /// Index into [`Track::walks`].
    Walks(usize),
}

/// How somebody is, apart from walking.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pose {
    Does(Posture),
    /// Stands and sits with the guests, because of where they are.
    WithGuests,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Walk {
    pub begins_s: f64,
    pub ends_s: f64,
    pub path: Path,
    /// The body doesn't turn: steps aside or back.
    pub sidelong: bool,
    /// In step with this person, whose arm or hand they have.
    pub in_step_with: Option<usize>,
    pub cue: CueIx,
}

impl Walk {
    /// Metres done at an instant.
    pub fn travelled_m(&self, at_s: f64) -> f32 {
        gait::travelled_m(self.path.length_m(), self.ends_s - self.begins_s, at_s - self.begins_s)
    }

    pub fn spot(&self, at_s: f64) -> Vec2 {
        self.path.at(self.travelled_m(at_s))
    }

    /// Way over time.
    pub fn pace_mps(&self) -> f32 {
        self.path.length_m() / ((self.ends_s - self.begins_s).max(1e-6) as f32)
    }

    pub fn heading(&self, at_s: f64) -> Option<f32> {
        self.path.heading_at(self.travelled_m(at_s))
    }
}

impl Track {
    pub fn new(person: &Person) -> Self {
        let stay = person.post.map_or(Stay::Away, Stay::At);
        let pose = match person.post {
            Some(Post::Seat { .. }) => Pose::WithGuests,
            _ => Pose::Does(Posture::Standing),
        };
        Self {
            stays: Timeline::new(stay),
            turns: Timeline::new(stay),
            walks: vec![],
            poses: Timeline::new(pose),
            faces: Timeline::new(Facing::Freely),
            looks: Timeline::new(Facing::Freely),
            gestures: Timeline::new(Gesture::Rest),
            holds: Timeline::new(Held::Nothing),
            changes: vec![],
        }
    }

    /// When somebody came who is there; `−∞` for those who were there from the beginning.
    pub fn came_s(&self, at_s: f64) -> f64 {
        let begun = self.stays.changes().partition_point(|(when, _)| *when <= at_s + SAME_S);
        let mut came_s = f64::NEG_INFINITY;
        for (k, (when, _)) in self.stays.changes()[..begun].iter().enumerate().rev() {
            let before = k.checked_sub(1).map_or(self.stays.at(f64::NEG_INFINITY), |k| self.stays.changes()[k].1);
            if before == Stay::Away {
                came_s = *when;
                break;
            }
        }
        came_s
    }

    /// From when on a body can go to another posture: on the way from one to the next, it gets there before it goes to a
    /// third. Back it may go at once.
    pub fn free_s(&self, at_s: f64, pose: Pose) -> f64 {
        let begun = self.poses.changes().partition_point(|(when, _)| *when <= at_s + SAME_S);
        let Some((last_s, _)) = begun.checked_sub(1).map(|k| self.poses.changes()[k]) else { return at_s };
        let upright = |pose| pose == Pose::Does(Posture::Standing) || pose == Pose::Does(Posture::Dancing);
        let before = self.poses.at(last_s - 1e-4);
        let back = before == pose || (upright(before) && upright(pose));
        if back || last_s <= self.came_s(at_s) { at_s } else { at_s.max(last_s + POSE_S) }
    }

    pub fn walk_at(&self, at_s: f64) -> Option<&Walk> {
        match self.stays.at(at_s) {
            Stay::Walks(walk) => self.walks.get(walk),
            _ => None,
        }
    }

    /// Whatever was still to come after an instant is off.
    pub fn drop_plans_after(&mut self, at_s: f64) {
        self.stays.forget_after(at_s);
        while self.walks.last().is_some_and(|walk| walk.begins_s > at_s + SAME_S) {
            self.walks.pop();
        }
        self.turns.forget_after(at_s);
        self.poses.forget_after(at_s);
        self.faces.forget_after(at_s);
        self.gestures.forget_after(at_s);
    }
}
