//! Which way bodies face at an instant, and who does what with whom.
//!
//! Each change (a cue, a walk that begins or ends, a partner's gesture) has its own way to face; bodies turn from one to
//! the next over [`TURN_S`](super::TURN_S), all of it worked out from where everybody is at the instant asked for.

use super::timeline::{SAME_S, smooth};
use super::track::Stay;
use super::{Attention, Run, TURN_S};
use crate::plan::{Facing, Gesture, PersonIx, Post, Posture};
use crate::staging::angle::{heading_to, wrapped};
use crate::staging::chance::Chance;
use crate::staging::figure::gesture::Arms;
use glam::Vec2;

/// Nearer than the first, two people do fully what their gesture says; farther than the second, nothing.
pub const TOGETHER_M: [f32; 2] = [2.05, 2.5];
/// … arm in arm or hand in hand.
const LINKED_M: [f32; 2] = [1.0, 1.4];

/// Whoever is so near to the middle of two stands between them.
const BETWEEN_M: f32 = 1.0;

/// What was so this long ago was so just before; whoever was not there then has just come in.
const COME_S: f64 = 1e-5;

/// What somebody does with somebody else.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Together {
    pub other: usize,
    pub arms: Arms,
    /// 1 near enough for it, 0 too far.
    pub near: f32,
}

/// Spots of everybody, in the order of the plan; `None` is not there.
pub type Spots = [Option<Vec2>];

/// The last turn of a body: how far it has got, and from where to where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turning {
    pub from: f32,
    /// How far it is in all, clockwise.
    pub way: f32,
    /// 0 just begun, 1 done.
    pub done: f32,
}

impl Turning {
    pub fn heading(&self, done: f32) -> f32 {
        self.from + self.way * smooth(done)
    }
}

impl Run<'_> {
    pub fn spots(&self, at_s: f64) -> Vec<Option<Vec2>> {
        (0..self.tracks.len()).map(|person| self.spot(person, at_s)).collect()
    }

    /// Which way a person's body faces; `None`: not there.
    pub fn heading(&self, person: usize, at_s: f64) -> Option<f32> {
        self.turning(person, at_s).map(|turning| turning.heading(turning.done))
    }

    /// Where a person faces, and the last turn that brings them there.
    ///
    /// Bodies face what they are to face from where everybody is now, less what is left of each turn: a change that wants
    /// a quarter turn leaves a quarter at first, and nothing when [`TURN_S`] has passed. Whatever else moves or changes
    /// meanwhile comes on top, so that nobody's turn begins anew or goes round the other way.
    pub fn turning(&self, person: usize, at_s: f64) -> Option<Turning> {
        self.spot(person, at_s)?;
        let changes = &self.tracks[person].changes;
        let begun = changes.partition_point(|when| *when <= at_s + SAME_S);
        // What began before the ceremony has been so from the start.
        let mut heading = self.facing(person, self.since_s(person, begun), at_s);
        let mut last = Turning { from: heading, way: 0.0, done: 1.0 };
        for k in self.lately(person, begun, at_s) {
            let way = self.way(person, k);
            let done = ((at_s - changes[k]) / TURN_S) as f32;
            heading -= way * (1.0 - smooth(done));
            if way.abs() > 1e-4 {
                last = Turning { from: 0.0, way, done };
            }
        }
        last.from = heading - last.way * smooth(last.done);
        Some(last)
    }

    /// Of a person's first `begun` changes those whose turns are not done at an instant. What began before the ceremony has
    /// been so from the start.
    fn lately(&self, person: usize, begun: usize, at_s: f64) -> std::ops::Range<usize> {
        let begun_changes = &self.tracks[person].changes[..begun];
        begun_changes.partition_point(|when| *when <= (at_s - TURN_S).max(SAME_S))..begun
    }

    /// When the change before change `k` was.
    fn since_s(&self, person: usize, k: usize) -> f64 {
        k.checked_sub(1).map_or(f64::NEG_INFINITY, |i| self.tracks[person].changes[i])
    }

    /// How far change `k` turns a body, clockwise: by the shorter way from where it is in the middle of earlier turns; half
    /// turns go the way chance has it.
    fn way(&self, person: usize, k: usize) -> f32 {
        let began_s = self.tracks[person].changes[k];
        let left = self.lately(person, k, began_s).map(|earlier| {
            let done = ((began_s - self.tracks[person].changes[earlier]) / TURN_S) as f32;
            self.way_alone(person, earlier) * (1.0 - smooth(done))
        });
        let left: f32 = left.sum();
        let way = self.way_alone(person, k);
        if left.abs() < 0.2 { way } else { wrapped(way + left) - left }
    }

    /// … of a body that is not in the middle of a turn.
    fn way_alone(&self, person: usize, k: usize) -> f32 {
        let (before_s, began_s) = (self.since_s(person, k), self.tracks[person].changes[k]);
        // Whoever comes in faces where they are to from the first.
        if self.spot(person, began_s).is_none() || self.spot(person, began_s - COME_S).is_none() {
            return 0.0;
        }
        let way = wrapped(self.facing(person, began_s, began_s) - self.facing(person, before_s, began_s - COME_S));
        let chance = Chance::new(self.plan.seed).with(person as u64).with((began_s * 1000.0).round() as u64);
        let other = if chance.unit("hand") < 0.5 { -way.signum() } else { way.signum() };
        if way.abs() > std::f32::consts::PI - 0.1 && other != way.signum() {
            return way + other * std::f32::consts::TAU;
        }
        way
    }

    /// Where a person faces by what has begun at `since_s`, everybody being where they are at `at_s`.
    ///
    /// Between two changes all choices here stay as they are, and the heading is continuous.
    pub fn facing(&self, person: usize, since_s: f64, at_s: f64) -> f32 {
        let track = &self.tracks[person];
        let here = self.spot(person, at_s).unwrap_or_default();
        if let Stay::Walks(walk) = track.turns.at(since_s)
            && let Some(heading) = track.walks.get(walk).and_then(|walk| walk.heading(at_s))
        {
            return heading;
        }
        if let Some(seat) = self.seat_heading(person, since_s) {
            // Who sits faces as the seat does; who stands before it may turn.
            if self.posture(person, since_s).now == Posture::Sitting {
                return seat;
            }
        }
        let faces = track.faces.at(since_s);
        if let Some(together) = self.together(person, since_s, since_s) {
            let other = together.other;
            let face_to_face = matches!(
                together.arms,
                Arms::TakesHands | Arms::GivesRing | Arms::TakesRing | Arms::Kisses | Arms::Embraces | Arms::Dances
            );
            if face_to_face && let Some(there) = self.seen_spot(other, at_s) {
                return heading_to(here, there).unwrap_or(0.0);
            }
            // Side by side: both face the way the one who asks faces.
            let asks = self.tracks[other].faces.at(since_s);
            if faces == Facing::Freely
                && track.looks.at(since_s) == Facing::Freely
                && let Some(heading) = self.faced(other, asks, at_s)
            {
                return heading;
            }
        }
        self.faced(person, faces, at_s)
            .or_else(|| self.faced(person, track.looks.at(since_s), at_s))
            .or_else(|| self.last_way(person, since_s))
            .or_else(|| heading_to(here, self.attention_spot(person, since_s, at_s)?))
            .unwrap_or(0.0)
    }

    /// Whoever has walked somewhere and is told nothing else stays turned the way they came; people from elsewhere turn to
    /// what happens.
    fn last_way(&self, person: usize, since_s: f64) -> Option<f32> {
        let track = &self.tracks[person];
        let Stay::At(Post::Floor(_)) = track.turns.at(since_s) else { return None };
        let couple = self.couple.contains(&PersonIx(person));
        let last = track.walks.iter().rev().find(|walk| walk.begins_s <= since_s + SAME_S && !walk.sidelong)?;
        if couple { None } else { last.heading(since_s) }
    }

    pub fn faced(&self, person: usize, facing: Facing, at_s: f64) -> Option<f32> {
        let here = self.spot(person, at_s)?;
        match facing {
            Facing::Freely => None,
            Facing::Heading(heading) => Some(heading),
            Facing::Spot(spot) => heading_to(here, spot),
            Facing::Person(other) => heading_to(here, self.seen_spot(other.0, at_s)?),
            Facing::Fixture(fixture) => heading_to(here, self.plan.venue.fixtures.get(fixture.0)?.at),
            Facing::Photographer(ix) => heading_to(here, self.crew_spot(ix, at_s)?),
        }
    }

    /// Whom a person does something with by what has begun at `since_s`, with everybody where they are at `at_s`: their own
    /// gesture's other, or whoever's gesture is with them.
    pub fn together(&self, person: usize, since_s: f64, at_s: f64) -> Option<Together> {
        let here = self.spot(person, at_s)?;
        let near = |other: usize, arms: Arms| {
            self.spot(other, at_s).map(|there| nearness(arms, here, there)).filter(|near| *near > 0.0)
        };
        let own = self.tracks.get(person)?.gestures.at(since_s);
        if let Some((other, arms)) = with_whom(own)
            && let Some(near) = near(other.0, arms)
        {
            // Of two who link arms with each other, the first named offers the arm.
            let back = self.tracks.get(other.0).and_then(|track| with_whom(track.gestures.at(since_s)));
            let both_link =
                arms == Arms::LinksArms && back == Some((PersonIx(person), Arms::LinksArms)) && person < other.0;
            let arms = if both_link { Arms::OffersArm } else { arms };
            return Some(Together { other: other.0, arms, near });
        }
        self.partners_of(person).iter().find_map(|other| {
            let (_, arms) = with_whom(self.tracks.get(*other)?.gestures.at(since_s)).filter(|it| it.0.0 == person)?;
            let near = near(*other, arms)?;
            let arms = match arms {
                Arms::LinksArms => Arms::OffersArm,
                Arms::GivesRing => Arms::TakesRing,
                same => same,
            };
            Some(Together { other: *other, arms, near })
        })
    }

    /// Where a person's eyes go when nothing is said: never to themselves. Seen from the couple that is the other one; alone
    /// at the front one looks for who comes, down the aisle.
    pub fn attention_spot(&self, person: usize, since_s: f64, at_s: f64) -> Option<Vec2> {
        let here = self.spot(person, at_s)?;
        match self.attention.at(since_s) {
            Attention::Person(who) if who.0 != person => self.seen_spot(who.0, at_s),
            seen => {
                let there = if let Attention::Couple(there) = seen { there } else { [true; 2] };
                let spots = self.of_couple_seen(person, there, since_s).into_iter();
                let spots: Vec<Vec2> = spots.filter_map(|who| self.seen_spot(who, at_s)).collect();
                match spots.len() {
                    0 if self.couple.contains(&PersonIx(person)) => Some(here + Vec2::new(0.0, 8.0)),
                    0 => Some(Vec2::ZERO),
                    n => Some(spots.iter().sum::<Vec2>() / n as f32),
                }
            }
        }
    }

    /// Those of the couple that somebody turns to: of those there the others, in whose middle one looks; the first of them
    /// for whoever stands right between them.
    pub fn of_couple_seen(&self, person: usize, there: [bool; 2], since_s: f64) -> Vec<usize> {
        let others = self.couple.iter().zip(there).filter(|(who, there)| who.0 != person && *there);
        let mut others: Vec<usize> = others.map(|(who, _)| who.0).collect();
        let spots: Vec<Vec2> = others.iter().filter_map(|who| self.seen_spot(*who, since_s)).collect();
        if let ([a, b], Some(here)) = (spots.as_slice(), self.spot(person, since_s))
            && here.distance((*a + *b) * 0.5) < BETWEEN_M
        {
            others.truncate(1);
        }
        others
    }
}

/// 1 near enough to do it, 0 too far.
pub fn nearness(arms: Arms, a: Vec2, b: Vec2) -> f32 {
    let [full, none] = match arms {
        Arms::LinksArms | Arms::OffersArm | Arms::HoldsHand => LINKED_M,
        _ => TOGETHER_M,
    };
    smooth((none - a.distance(b)) / (none - full))
}

pub fn with_whom(gesture: Gesture) -> Option<(PersonIx, Arms)> {
    match gesture {
        Gesture::TakesHands(p) => Some((p, Arms::TakesHands)),
        Gesture::LinksArms(p) => Some((p, Arms::LinksArms)),
        Gesture::HoldsHand(p) => Some((p, Arms::HoldsHand)),
        Gesture::GivesRing(p) => Some((p, Arms::GivesRing)),
        Gesture::Kisses(p) => Some((p, Arms::Kisses)),
        Gesture::Embraces(p) => Some((p, Arms::Embraces)),
        Gesture::Dances(p) => Some((p, Arms::Dances)),
        _ => None,
    }
}

pub fn alone(gesture: Gesture) -> Arms {
    match gesture {
        Gesture::HoldsUpPhone => Arms::HoldsUpPhone,
        Gesture::Reads => Arms::Reads,
        Gesture::Claps => Arms::Claps,
        Gesture::OpensArms => Arms::OpensArms,
        Gesture::WipesEyes => Arms::WipesEyes,
        Gesture::Waves => Arms::Waves,
        Gesture::ThrowsPetals => Arms::ThrowsPetals,
        _ => Arms::Rest,
    }
}
