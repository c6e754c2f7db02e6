//! Where somebody is at an instant, and whether they sit.

use super::timeline::{SAME_S, smooth};
use super::track::{Pose, Stay, Walk};
use super::{Blend, RISE_S, Run, SIT_S};
use crate::plan::{Post, Posture, SeatKind};
use crate::staging::angle::ahead;
use crate::staging::chance::Chance;
use crate::staging::seating::seat_spot;
use glam::Vec2;

/// How long before and after a walk one is taken up with it.
const SET_OUT_S: f64 = 1.4;
const STOP_S: f64 = 2.2;

/// How far before the middle of the seat one stands.
pub const UP_FROM_SEAT_M: f32 = 0.27;

impl Run<'_> {
    /// The spot on the floor a person's body is about: between the soles, or the middle of the seat. `None`: not there.
    pub fn spot(&self, person: usize, at_s: f64) -> Option<Vec2> {
        let track = self.tracks.get(person)?;
        match track.stays.at(at_s) {
            Stay::Away => None,
            Stay::Walks(walk) => track.walks.get(walk).map(|walk| walk.spot(at_s)),
            Stay::At(Post::Floor(spot)) => Some(spot),
            Stay::At(Post::Seat { seats, row, seat }) => {
                let block = self.plan.venue.seats.get(seats.0)?;
                let place = seat_spot(block, row, seat);
                let up = if block.kind == SeatKind::Standing { 0.0 } else { 1.0 - self.sitting_share(person, at_s) };
                Some(place.at + ahead(place.heading) * UP_FROM_SEAT_M * up)
            }
            Stay::OnChair { spot, heading } => {
                Some(spot + ahead(heading) * UP_FROM_SEAT_M * (1.0 - self.sitting_share(person, at_s)))
            }
        }
    }

    /// Where a person is, was last, or comes in first: for eyes that still or already go there.
    pub fn seen_spot(&self, person: usize, at_s: f64) -> Option<Vec2> {
        self.spot(person, at_s).or_else(|| {
            let comings = self.comings(person);
            let next = comings.iter().find(|when| **when > at_s + SAME_S).copied();
            let last = comings.iter().rev().find(|when| **when <= at_s + SAME_S).map(|when| when - 1e-3);
            last.and_then(|when| self.spot(person, when)).or_else(|| self.spot(person, next?))
        })
    }

    /// When a person comes and goes.
    pub fn comings(&self, person: usize) -> Vec<f64> {
        let Some(track) = self.tracks.get(person) else { return vec![] };
        let mut away = track.stays.at(f64::NEG_INFINITY) == Stay::Away;
        let mut comings = Vec::new();
        for (when, stay) in track.stays.changes() {
            if (*stay == Stay::Away) != away {
                away = !away;
                comings.push(*when);
            }
        }
        comings
    }

    /// The heading of the seat or chair a person is on, sitting or standing up from it.
    pub fn seat_heading(&self, person: usize, at_s: f64) -> Option<f32> {
        match self.tracks.get(person)?.turns.at(at_s) {
            Stay::At(Post::Seat { seats, row, seat }) => {
                Some(seat_spot(self.plan.venue.seats.get(seats.0)?, row, seat).heading)
            }
            Stay::OnChair { heading, .. } => Some(heading),
            _ => None,
        }
    }

    /// 1 sits, 0 stands.
    pub fn sitting_share(&self, person: usize, at_s: f64) -> f32 {
        let posture = self.posture(person, at_s);
        let sits = |posture: Posture| f32::from(u8::from(posture == Posture::Sitting));
        let (before, share) = posture.before.unwrap_or((posture.now, 0.0));
        sits(posture.now) * (1.0 - share) + sits(before) * share
    }

    /// What a person's body does, and what is left of what it did before.
    pub fn posture(&self, person: usize, at_s: f64) -> Blend<Posture> {
        let standing = Blend { now: Posture::Standing, before: None };
        let Some(track) = self.tracks.get(person) else { return standing };
        let late_s = self.delay_s(person);
        let came_s = track.came_s(at_s);
        let sits = |stand: bool| if stand { Posture::Standing } else { Posture::Sitting };
        let now = match track.poses.at(at_s) {
            Pose::Does(posture) => posture,
            Pose::WithGuests => sits(self.guests.stand.at(at_s - late_s)),
        };
        // Of everything that is left of earlier postures, what there is most of: there are never three.
        let mut left: Vec<(Posture, f32)> = Vec::new();
        let upright = |posture| match posture {
            Posture::Walking | Posture::Dancing => Posture::Standing,
            posture => posture,
        };
        let mut add = |posture: Posture, share: f32| match left.iter_mut().find(|it| it.0 == upright(posture)) {
            Some(it) => it.1 += share,
            None => left.push((upright(posture), share)),
        };
        for (pose, share) in track.poses.mix_since(came_s, at_s, SIT_S.max(RISE_S)) {
            match pose {
                Pose::Does(posture) => add(posture, share),
                Pose::WithGuests => {
                    let stand = self.guests.stand.mix_since(came_s - late_s, at_s - late_s, RISE_S);
                    stand.into_iter().for_each(|(stand, of)| add(sits(stand), share * of));
                }
            }
        }
        let own = left.iter().find(|it| it.0 == upright(now)).map_or(0.0, |it| it.1);
        let others = left.into_iter().filter(|it| it.0 != upright(now) && it.1 > 1e-6);
        let most = others.max_by(|a, b| a.1.total_cmp(&b.1));
        Blend { now, before: most.map(|(posture, share)| (posture, share / (share + own))) }
    }

    /// 1 while a person walks, 0 from a moment before and after.
    pub fn going_share(&self, person: usize, at_s: f64) -> f32 {
        let Some(track) = self.tracks.get(person) else { return 0.0 };
        let off = |walk: &Walk| ((walk.begins_s - at_s) / SET_OUT_S).max((at_s - walk.ends_s) / STOP_S);
        let nearest = track.walks.iter().map(off).fold(f64::INFINITY, f64::min);
        1.0 - smooth(nearest as f32)
    }

    /// How much later than others somebody stands up and sits down with the guests.
    pub(super) fn delay_s(&self, person: usize) -> f64 {
        let id = self.plan.people.get(person).map_or("", |who| who.id.as_str());
        f64::from(Chance::new(self.plan.seed).named("person").named(id).unit("late")) * 0.8
    }
}
