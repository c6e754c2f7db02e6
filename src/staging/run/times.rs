//! When what a photographer waits for happens.

use super::Run;
use super::timeline::SAME_S;
use super::track::Stay;
use crate::plan::{Deed, Frame, Gesture, PersonIx, Posture, When};
use glam::Vec2;

/// Looked at so often, then narrowed down to a thousandth of a second; in moments of more than an hour less often.
const STEP_S: f64 = 0.1;
const MOST_STEPS: f64 = 36_000.0;

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
        let (When::Within { who, .. } | When::Passing { who, .. } | When::During { who, .. }) = when;
        let Some(track) = self.tracks.get(who.0) else { return Err(Never::Absent) };
        // Whoever comes as the next moment begins isn't there in this one.
        if within(track.stays.stretches(|stay| stay != Stay::Away), span).is_empty() {
            return Err(Never::Absent);
        }
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
        let step_s = step_s(span);
        let steps = ((span[1] - span[0]) / step_s).ceil().max(1.0) as usize;
        (0..=steps).map(move |k| (span[0] + k as f64 * step_s).min(span[1]))
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
        let step_s = step_s(span);
        let (mut low, mut high) = ((best.1 - step_s).max(span[0]), (best.1 + step_s).min(span[1]));
        while high - low > 1e-3 {
            let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
            if apart(a) <= apart(b) { high = b } else { low = a }
        }
        Ok((low + high) * 0.5)
    }

    fn middle_of(&self, who: PersonIx, deed: Deed, span: [f64; 2]) -> Result<f64, Never> {
        let Some(track) = self.tracks.get(who.0) else { return Err(Never::Absent) };
        let there = within(track.stays.stretches(|stay| stay != Stay::Away), span);
        let done = self.stretches_of(who, deed);
        let seen = there.iter().flat_map(|there| within(done.clone(), *there));
        seen.min_by(|a, b| a[0].total_cmp(&b[0])).map(|[from_s, to_s]| (from_s + to_s) * 0.5).ok_or(Never::NotDone)
    }

    /// From when to when somebody does something, by their own cue or by that of whoever does it with them, in order.
    fn stretches_of(&self, who: PersonIx, deed: Deed) -> Vec<[f64; 2]> {
        let Some(track) = self.tracks.get(who.0) else { return vec![] };
        match deed {
            Deed::Walks => track.stays.stretches(|stay| matches!(stay, Stay::Walks(_))),
            Deed::Sits => self.postures(who, Posture::Sitting),
            Deed::Kneels => self.postures(who, Posture::Kneeling),
            Deed::Crouches => self.postures(who, Posture::Crouching),
            deed => {
                let mut all = track.gestures.stretches(|gesture| gesture.deed() == Some(deed));
                if deed == Deed::Dances {
                    all.extend(self.postures(who, Posture::Dancing));
                }
                // A ring is given by one of the two.
                let shared = deed != Deed::GivesRing;
                let partners = self.partners_of(who.0).iter().filter_map(|other| self.tracks.get(*other));
                for other in partners.filter(|_| shared) {
                    let with_them = |gesture: Gesture| gesture.deed() == Some(deed) && gesture.other() == Some(who);
                    all.extend(other.gestures.stretches(with_them));
                }
                joined(all)
            }
        }
    }

    /// Whether somebody is seen doing something.
    pub fn does(&self, who: PersonIx, deed: Deed, at_s: f64) -> bool {
        let now = |[from_s, to_s]: &[f64; 2]| *from_s <= at_s + SAME_S && at_s + SAME_S < *to_s;
        self.spot(who.0, at_s).is_some() && self.stretches_of(who, deed).iter().any(now)
    }

    fn postures(&self, who: PersonIx, posture: Posture) -> Vec<[f64; 2]> {
        let Some(track) = self.tracks.get(who.0) else { return vec![] };
        let late_s = self.delay_s(who.0);
        let mut times: Vec<f64> =
            track.poses.times().chain(self.guests.stand.times().map(|when| when + late_s)).collect();
        times.sort_by(f64::total_cmp);
        let begins = std::iter::once(f64::NEG_INFINITY).chain(times.iter().copied());
        let ends = times.iter().copied().chain([f64::INFINITY]);
        let stretches = begins.zip(ends).filter(|(from_s, _)| self.posture(who.0, *from_s).now == posture);
        joined(stretches.map(|(from_s, to_s)| [from_s, to_s]).collect())
    }
}

/// What of some stretches lies within another one.
fn within(stretches: Vec<[f64; 2]>, span: [f64; 2]) -> Vec<[f64; 2]> {
    let cut = stretches.into_iter().map(|[from_s, to_s]| [from_s.max(span[0]), to_s.min(span[1])]);
    cut.filter(|[from_s, to_s]| from_s < to_s).collect()
}

/// Those that touch or overlap made one, in order.
fn joined(mut stretches: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    stretches.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut all: Vec<[f64; 2]> = Vec::with_capacity(stretches.len());
    for [from_s, to_s] in stretches {
        match all.last_mut() {
            Some(last) if from_s <= last[1] + SAME_S => last[1] = last[1].max(to_s),
            _ => all.push([from_s, to_s]),
        }
    }
    all
}

fn step_s(span: [f64; 2]) -> f64 {
    STEP_S.max((span[1] - span[0]) / MOST_STEPS)
}

fn too_far((nearest_m, after_s): (f32, f64)) -> Never {
    if nearest_m.is_finite() { Never::TooFar { nearest_m, after_s } } else { Never::Absent }
}
