//! When what a photographer waits for happens.

use super::Run;
use super::track::Stay;
use crate::plan::{Deed, Frame, PersonIx, Posture, When};
use glam::Vec2;

/// Looked at so often, then narrowed down to a thousandth of a second.
const STEP_S: f64 = 0.1;

/// Somebody who comes no nearer to a spot than this does not pass it.
const PASSES_M: f32 = 3.0;

/// Why an instant can't be found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Never {
    /// They aren't there in that moment.
    Absent,
    /// They come no nearer than this, that many seconds into the moment.
    TooFar { nearest_m: f32, after_s: f64 },
    /// Nobody sees them do it.
    NotDone,
}

impl Run<'_> {
    /// Seconds into its moment of a frame that waits for something; `Ok(None)` for one that doesn't.
    ///
    /// # Errors
    /// It never happens in that moment.
    pub fn after_s(&self, frame: &Frame) -> Result<Option<f64>, Never> {
        let Some(when) = frame.when else { return Ok(None) };
        let Some(moment) = self.plan.moments.get(frame.moment.0) else { return Err(Never::NotDone) };
        let span = [moment.start_s, moment.start_s + moment.length_s];
        let at_s = match when {
            When::Within { who, distance_m } => {
                let camera = self.plan.standpoints.get(frame.standpoint.0).map_or(Vec2::ZERO, |it| it.at);
                self.first_within(who, camera, distance_m, span)?
            }
            When::Passing { who, spot } => self.nearest(who, spot, span)?,
            When::During { who, deed } => self.middle_of(who, deed, span)?,
        };
        Ok(Some(at_s - moment.start_s))
    }

    /// Instants of a stretch, its end included.
    fn instants(span: [f64; 2]) -> impl Iterator<Item = f64> {
        let steps = ((span[1] - span[0]) / STEP_S).ceil().max(1.0) as usize;
        (0..=steps).map(move |k| (span[0] + k as f64 * STEP_S).min(span[1]))
    }

    fn distance_m(&self, who: PersonIx, spot: Vec2, at_s: f64) -> f32 {
        self.spot(who.0, at_s).map_or(f32::INFINITY, |there| there.distance(spot))
    }

    fn first_within(&self, who: PersonIx, camera: Vec2, distance_m: f32, span: [f64; 2]) -> Result<f64, Never> {
        let mut nearest = (f32::INFINITY, 0.0);
        let mut before_s = span[0];
        for at_s in Self::instants(span) {
            let now = self.distance_m(who, camera, at_s);
            if now <= distance_m {
                let (mut far, mut near) = (before_s, at_s);
                while near - far > 1e-3 {
                    let middle = (far + near) * 0.5;
                    if self.distance_m(who, camera, middle) <= distance_m { near = middle } else { far = middle }
                }
                return Ok(near);
            }
            if now < nearest.0 {
                nearest = (now, at_s - span[0]);
            }
            before_s = at_s;
        }
        Err(too_far(nearest))
    }

    fn nearest(&self, who: PersonIx, spot: Vec2, span: [f64; 2]) -> Result<f64, Never> {
        let apart = |at_s: f64| self.distance_m(who, spot, at_s);
        let mut best = (f32::INFINITY, span[0]);
        for at_s in Self::instants(span) {
            let now = apart(at_s);
            if now < best.0 {
                best = (now, at_s);
            }
        }
        if best.0 > PASSES_M {
            return Err(too_far((best.0, best.1 - span[0])));
        }
        // Between the instants beside the nearest: thirds, as the distance has one valley there.
        let (mut low, mut high) = ((best.1 - STEP_S).max(span[0]), (best.1 + STEP_S).min(span[1]));
        while high - low > 1e-3 {
            let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
            if apart(a) <= apart(b) { high = b } else { low = a }
        }
        Ok((low + high) * 0.5)
    }

    fn middle_of(&self, who: PersonIx, deed: Deed, span: [f64; 2]) -> Result<f64, Never> {
        let mut began = None;
        let mut last = span[0];
        for at_s in Self::instants(span) {
            match (self.does(who, deed, at_s), began) {
                (true, None) => began = Some(at_s),
                (false, Some(began_s)) => return Ok((began_s + last) * 0.5),
                _ => {}
            }
            last = at_s;
        }
        match began {
            Some(began_s) => Ok((began_s + span[1]) * 0.5),
            None if Self::instants(span).all(|at_s| self.spot(who.0, at_s).is_none()) => Err(Never::Absent),
            None => Err(Never::NotDone),
        }
    }

    /// Whether somebody is seen doing something, by their own cue or by that of whoever does it with them.
    pub fn does(&self, who: PersonIx, deed: Deed, at_s: f64) -> bool {
        let Some(track) = self.tracks.get(who.0) else { return false };
        if self.spot(who.0, at_s).is_none() {
            return false;
        }
        let posture = self.posture(who.0, at_s).now;
        match deed {
            Deed::Walks => matches!(track.stays.at(at_s), Stay::Walks(_)),
            Deed::Sits => posture == Posture::Sitting,
            Deed::Kneels => posture == Posture::Kneeling,
            Deed::Crouches => posture == Posture::Crouching,
            deed => {
                let own = track.gestures.at(at_s).deed() == Some(deed);
                let with_them = |other: &usize| {
                    let gesture = self.tracks[*other].gestures.at(at_s);
                    gesture.deed() == Some(deed) && gesture.other() == Some(who)
                };
                let shared = !matches!(deed, Deed::GivesRing);
                own || (deed == Deed::Dances && posture == Posture::Dancing)
                    || (shared && self.partners_of(who.0).iter().any(with_them))
            }
        }
    }
}

fn too_far((nearest_m, after_s): (f32, f64)) -> Never {
    if nearest_m.is_finite() { Never::TooFar { nearest_m, after_s } } else { Never::Absent }
}
