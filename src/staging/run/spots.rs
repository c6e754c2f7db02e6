//! Where somebody is at an instant, and whether they sit.

use super::track::{Pose, Stay};
use super::{Blend, RISE_S, Run, SIT_S};
use crate::plan::{Post, Posture, SeatKind};
use crate::staging::chance::Chance;
use crate::staging::seating::seat_spot;
use glam::Vec2;

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
        let poses = track.poses.blend(at_s, SIT_S.max(RISE_S));
        let with_guests = || {
            let late_s = self.delay_s(person);
            let stand = self.guests.stand.blend(at_s - late_s, RISE_S);
            let posture = |stand: bool| if stand { Posture::Standing } else { Posture::Sitting };
            Blend { now: posture(stand.now), before: stand.before.map(|(stand, share)| (posture(stand), share)) }
        };
        let alone = |pose: Pose| match pose {
            Pose::Does(posture) => Blend { now: posture, before: None },
            Pose::WithGuests => with_guests(),
        };
        let now = alone(poses.now);
        match poses.before {
            None => now,
            Some((before, share)) => {
                let before = alone(before).now;
                let before = (before != now.now).then_some((before, share));
                Blend { now: now.now, before: before.or(now.before) }
            }
        }
    }

    /// How much later than others somebody stands up and sits down with the guests.
    pub(super) fn delay_s(&self, person: usize) -> f64 {
        let id = self.plan.people.get(person).map_or("", |who| who.id.as_str());
        f64::from(Chance::new(self.plan.seed).named("person").named(id).unit("late")) * 0.8
    }
}

fn ahead(heading: f32) -> Vec2 {
    let (sin, cos) = heading.sin_cos();
    Vec2::new(sin, -cos)
}
