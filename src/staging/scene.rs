//! One instant of the run: where everybody is, which way they face and look, and who does what with whom.

use super::angle::{ahead, right_of, wrapped};
use super::chance::Chance;
use super::figure::gesture::Arms;
use super::figure::skeleton::{HEAD_NOD, HEAD_TURN};
use super::floor::floor_height;
use super::gait;
use super::run::{
    Attention, CrewAt, GLANCE_S, Pose, REACH_S, Run, SAME_S, SIT_S, Stay, Together, Turning, alone, nearness, smooth,
    with_whom,
};
use crate::plan::{Facing, FixtureIx, Gesture, PersonIx, PhotographerIx, Plan, Posture, Standpoint};
use glam::{Vec2, Vec3};

pub struct Scene<'r, 'a> {
    pub plan: &'a Plan,
    pub run: &'r Run<'a>,
    pub at_s: f64,
    /// Where each person is, brought within reach of the one they do something with. `None`: not there.
    pub spots: Vec<Option<Vec2>>,
    /// Which way each faces; 0 for those not there.
    pub headings: Vec<f32>,
    pub turnings: Vec<Option<Turning>>,
    pub doings: Vec<Doing>,
    pub dances: Vec<Dance>,
}

/// What a person's arms do, and what is left of what they did before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doing {
    pub now: Deed,
    /// With its share, 1 falling to 0.
    pub before: Option<(Deed, f32)>,
    pub since_s: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Deed {
    pub arms: Arms,
    pub other: Option<usize>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dance {
    /// Who leads and who follows; the same one twice dances alone.
    pub dancers: [usize; 2],
    pub since_s: f64,
    pub length_s: f64,
    /// Where each stands and which way they face, but for the dance.
    pub still: [Vec2; 2],
    pub facing: [f32; 2],
}

impl<'r, 'a> Scene<'r, 'a> {
    pub fn new(run: &'r Run<'a>, at_s: f64) -> Self {
        let spots = spots_together(run, at_s);
        let doings: Vec<Doing> = (0..spots.len()).map(|person| doing(run, person, at_s)).collect();
        let turnings: Vec<_> = (0..spots.len()).map(|person| run.turning(person, at_s)).collect();
        let headings = turnings.iter().map(|it| it.map_or(0.0, |it| it.heading(it.done))).collect();
        let mut scene = Self { plan: run.plan, run, at_s, spots, headings, turnings, doings, dances: vec![] };
        scene.dance();
        scene
    }

    /// A person's eyes to within a few centimetres, before anybody is posed.
    pub fn eyes_nearly(&self, person: usize) -> Vec3 {
        eyes_nearly(self.run, person, self.at_s, &self.spots)
    }

    pub fn seat_height(&self, person: usize) -> f32 {
        seat_height(self.run, person, self.at_s)
    }

    /// The point a facing means, seen from `from`; `None` when that person is not there, or nothing is said.
    pub fn target(&self, from: Vec2, facing: Facing) -> Option<Vec3> {
        let venue = &self.plan.venue;
        match facing {
            Facing::Freely => None,
            Facing::Heading(heading) => {
                let (sin, cos) = heading.sin_cos();
                let floor = floor_height(venue, from);
                Some(Vec3::new(from.x + sin * 20.0, floor + 1.4, from.y - cos * 20.0))
            }
            Facing::Spot(spot) => Some(Vec3::new(spot.x, floor_height(venue, spot) + 1.4, spot.y)),
            Facing::Person(person) => Some(self.eyes_nearly(person.0)),
            Facing::Fixture(fixture) => fixture_middle(self.plan, fixture),
            Facing::Photographer(photographer) => match self.run.crew_at(photographer, self.at_s) {
                CrewAt::Away => None,
                CrewAt::At(ix) => Some(standpoint_eye(self.plan, self.plan.standpoints.get(ix.0)?)),
                CrewAt::Walks(it) => {
                    let spot = it.path.at(it.travelled_m(self.at_s));
                    let stature_m = self.plan.crew.get(photographer.0)?.stature_m;
                    Some(Vec3::new(spot.x, floor_height(venue, spot) + stature_m * 0.936, spot.y))
                }
            },
        }
    }

    /// Who or what draws everybody's eyes when nothing else is said: whoever walks, else the couple, else the front. The
    /// points that draw everybody's eyes, as of an instant, each with its share; those of the last one fade.
    pub fn attentions(&self, since_s: f64) -> Vec<(Vec3, f32)> {
        let point = |attention| match attention {
            Attention::Person(who) => self.eyes_nearly(who.0),
            Attention::Couple(there) => self.couples_eyes(there).unwrap_or(FRONT),
        };
        let mix = self.run.attention.mix(since_s, GLANCE_S * 1.5).into_iter();
        mix.map(|(attention, share)| (point(attention), share)).collect()
    }

    /// Between the eyes of whoever of the couple is there.
    fn couples_eyes(&self, there: [bool; 2]) -> Option<Vec3> {
        let there = self.run.couple.iter().zip(there).filter(|(_, there)| *there);
        self.between_eyes(there.map(|(who, _)| who.0))
    }

    fn between_eyes(&self, people: impl Iterator<Item = usize>) -> Option<Vec3> {
        let eyes: Vec<Vec3> = people.map(|who| self.eyes_nearly(who)).collect();
        (!eyes.is_empty()).then(|| eyes.iter().sum::<Vec3>() / eyes.len() as f32)
    }

    /// Yaw, pitch and roll of a person's head from where the body faces: turned from one thing to the next in the time a
    /// glance takes.
    pub fn head(&self, person: usize, heading: f32) -> Option<Vec3> {
        self.spots.get(person).copied().flatten()?;
        let chance = self.chance(person);
        let changes = &self.run.tracks.get(person)?.changes;
        let begun = changes.partition_point(|when| *when <= self.at_s + 1e-6);
        let settled = changes[..begun].partition_point(|when| *when <= (self.at_s - GLANCE_S).max(1e-6));
        let from_s = settled.checked_sub(1).map_or(f64::NEG_INFINITY, |i| changes[i]);
        let mut angles = self.gaze(person, from_s, heading);
        for began in &changes[settled..begun] {
            let done = smooth(((self.at_s - began) / GLANCE_S) as f32);
            angles = angles.lerp(self.gaze(person, *began, heading), done);
        }
        Some(angles.extend(chance.signed("head roll") * 0.045))
    }

    /// Yaw and pitch of a head by what has begun at `since_s`.
    fn gaze(&self, person: usize, since_s: f64, heading: f32) -> Vec2 {
        let chance = self.chance(person);
        match self.seen(person, since_s, heading) {
            Some(target) => gaze_angles(self.eyes_nearly(person), heading, target),
            None => Vec2::new(chance.signed("head yaw") * 0.10, chance.signed("head pitch") * 0.04 - 0.02),
        }
    }

    /// What a head turns to.
    fn seen(&self, person: usize, since_s: f64, heading: f32) -> Option<Vec3> {
        let track = self.run.tracks.get(person)?;
        let spot = self.spots[person]?;
        let looks = track.looks.at(since_s);
        if let Some(target) = self.target(spot, looks) {
            return Some(target);
        }
        let ahead = || {
            let (sin, cos) = heading.sin_cos();
            (Vec3::new(sin, 0.0, -cos), floor_height(&self.plan.venue, spot))
        };
        if track.gestures.at(since_s) == Gesture::Reads {
            let (way, floor) = ahead();
            let height = self.plan.people[person].stature_m * 0.66;
            return Some(Vec3::new(spot.x, floor + height, spot.y) + way * 0.5);
        }
        let walks = matches!(track.turns.at(since_s), Stay::Walks(_));
        if walks {
            // Whose arm one has one looks at now and then; most of the way one looks where one goes.
            return self.target(spot, Facing::Heading(heading));
        }
        if let Some(together) = self.run.together(person, since_s, since_s) {
            match together.arms {
                Arms::TakesHands | Arms::Kisses | Arms::Embraces | Arms::Dances => {
                    return Some(self.eyes_nearly(together.other));
                }
                Arms::GivesRing | Arms::TakesRing => {
                    // The ring.
                    let (a, b) = (self.eyes_nearly(person), self.eyes_nearly(together.other));
                    return Some((a + b) * 0.5 - Vec3::Y * 0.45);
                }
                _ => {}
            }
        }
        if let Some(target) = self.target(spot, track.faces.at(since_s)) {
            return Some(target);
        }
        match self.run.attention.at(since_s) {
            Attention::Person(who) if who.0 != person => Some(self.eyes_nearly(who.0)),
            seen => {
                let there = if let Attention::Couple(there) = seen { there } else { [true; 2] };
                let alone_in_front = self.run.couple.contains(&PersonIx(person));
                let down_the_aisle = || alone_in_front.then_some(Vec3::new(spot.x, 1.5, spot.y + 8.0));
                let others = self.run.of_couple_seen(person, there, since_s);
                self.between_eyes(others.into_iter()).or_else(down_the_aisle).or(Some(FRONT))
            }
        }
    }

    pub fn chance(&self, person: usize) -> Chance {
        let id = self.plan.people.get(person).map_or("", |who| who.id.as_str());
        Chance::new(self.plan.seed).named("person").named(id)
    }

    /// Moves those who dance about: pairs, and whoever dances alone.
    fn dance(&mut self) {
        for person in 0..self.spots.len() {
            if self.dances.iter().any(|it| it.dancers.contains(&person)) || self.spots[person].is_none() {
                continue;
            }
            let track = &self.run.tracks[person];
            let asked =
                |other: &usize| self.run.tracks[*other].gestures.at(self.at_s).other() == Some(PersonIx(person));
            let alone = track.poses.at(self.at_s) == Pose::Does(Posture::Dancing)
                && !self.run.partners_of(person).iter().any(asked);
            let dancers = match track.gestures.at(self.at_s) {
                Gesture::Dances(other) if self.doings[person].now.other == Some(other.0) => [person, other.0],
                gesture if alone && gesture.other().is_none() => [person, person],
                _ => continue,
            };
            if self.dances.iter().any(|it| it.dancers.contains(&dancers[1])) {
                continue;
            }
            self.dances.extend(self.dance_of(dancers));
        }
        for dance in self.dances.clone() {
            let sway = gait::sway(dance.since_s, dance.length_s, self.chance(dance.dancers[0]));
            for (k, person) in dance.dancers.into_iter().enumerate() {
                let (spot, heading) = dance.danced(k, sway);
                self.spots[person] = Some(spot);
                self.headings[person] = heading;
            }
        }
    }

    /// A dance that goes on, by what has changed last for either and what changes next: they dance from when both have
    /// come together and turned, and are back when something else begins.
    fn dance_of(&self, dancers: [usize; 2]) -> Option<Dance> {
        let [a, b] = dancers.map(|who| self.spots.get(who).copied().flatten());
        let (mut begins_s, mut ends_s) = (f64::NEG_INFINITY, f64::INFINITY);
        for who in dancers {
            let track = &self.run.tracks[who];
            if track.walk_at(self.at_s).is_some() {
                return None;
            }
            let partners = self.run.partners_of(who).iter().flat_map(|other| self.run.tracks[*other].gestures.times());
            let own = track.stays.times().chain(track.poses.times()).chain(track.gestures.times()).chain(partners);
            for when in own.chain(track.turns.times()) {
                if when <= self.at_s + SAME_S { begins_s = when.max(begins_s) } else { ends_s = when.min(ends_s) }
            }
        }
        let since_s = self.at_s - begins_s.max(0.0) - COME_TOGETHER_S;
        let length_s = ends_s - begins_s.max(0.0) - COME_TOGETHER_S;
        let facing = dancers.map(|who| self.headings[who]);
        (since_s > 0.0).then_some(Dance { dancers, since_s, length_s, still: [a?, b?], facing })
    }
}

impl Dance {
    /// Where a dancer, the first or the second, is after a sway, and which way they face.
    pub fn danced(&self, k: usize, sway: gait::Sway) -> (Vec2, f32) {
        let [a, b] = self.still;
        let middle = (a + b) * 0.5;
        let aside = right_of(ahead(self.facing[0])) * sway.aside_m;
        // Whoever dances alone doesn't turn.
        let turn = if self.dancers[0] == self.dancers[1] { 0.0 } else { sway.turn };
        let (own, facing) = if k == 0 { (a, self.facing[0]) } else { (b, self.facing[1]) };
        (middle + aside + Vec2::from_angle(turn).rotate(own - middle), facing + turn)
    }
}

/// From when two begin to dance until they sway: steps towards each other, or getting up.
const COME_TOGETHER_S: f64 = if STEP_IN_S > SIT_S { STEP_IN_S } else { SIT_S };

/// What one looks at when there is nobody: the couple's place, at the height of their faces.
pub const FRONT: Vec3 = Vec3::new(0.0, 1.4, 0.0);

/// Middle to middle of two who dance: an arm's length less the elbows' bend (judged by eye).
const DANCE_APART_M: f32 = 0.42;

/// From this near to straight behind, radians, heads and bodies come back.
pub const BEHIND: f32 = 0.6;

/// Heads don't turn to what is as near as the first, and do so in full to what is farther than the second, metres.
const CLOSE_M: [f32; 2] = [0.10, 0.80];

/// 1 but for what is so close by that it would be all round; people see it without turning.
pub fn off(flat_m: f32) -> f32 {
    smooth((flat_m - CLOSE_M[0]) / (CLOSE_M[1] - CLOSE_M[0]))
}

/// Yaw and pitch from where a body faces to a point, as far as necks go. Of what is right behind, people see it neither over
/// one shoulder nor the other: close to that the head comes back, so that it never whips round.
pub fn gaze_angles(eyes: Vec3, heading: f32, target: Vec3) -> Vec2 {
    let way = target - eyes;
    let flat = way.x.hypot(way.z);
    let yaw = wrapped(way.x.atan2(-way.z) - heading);
    let behind = ((std::f32::consts::PI - yaw.abs()) / BEHIND).clamp(0.0, 1.0);
    let pitch = way.y.atan2(flat).clamp(-HEAD_NOD, HEAD_NOD);
    Vec2::new(yaw.clamp(-HEAD_TURN, HEAD_TURN) * behind * off(flat), pitch)
}

/// What one looks at of a fixture: a little over its middle.
pub fn fixture_middle(plan: &Plan, fixture: FixtureIx) -> Option<Vec3> {
    let fixture = plan.venue.fixtures.get(fixture.0)?;
    let y = floor_height(&plan.venue, fixture.at) + fixture.above_floor_m + fixture.size_m[1] * 0.6;
    Some(Vec3::new(fixture.at.x, y, fixture.at.y))
}

/// A person's eyes to within a few centimetres; of somebody who isn't there, where they were or will come in.
pub fn eyes_nearly(run: &Run, person: usize, at_s: f64, spots: &[Option<Vec2>]) -> Vec3 {
    let here = spots.get(person).copied().flatten();
    let Some(spot) = here.or_else(|| run.seen_spot(person, at_s)) else { return FRONT };
    let h = run.plan.people[person].stature_m;
    let height = |posture| match posture {
        Posture::Sitting => seat_height(run, person, at_s) + 0.458 * h,
        Posture::Kneeling => 0.68 * h,
        Posture::Crouching => 0.55 * h,
        _ => 0.936 * h,
    };
    let posture = run.posture(person, at_s);
    let (before, share) = posture.before.unwrap_or((posture.now, 0.0));
    let over_floor = height(posture.now) * (1.0 - share) + height(before) * share;
    Vec3::new(spot.x, floor_height(&run.plan.venue, spot) + over_floor, spot.y)
}

/// Height of the seat a person is on; a chair that the plan does not show has the usual height.
fn seat_height(run: &Run, person: usize, at_s: f64) -> f32 {
    const USUAL_M: f32 = 0.45;
    match run.tracks.get(person).map(|track| track.stays.at(at_s)) {
        Some(Stay::At(crate::plan::Post::Seat { seats, .. })) => {
            run.plan.venue.seats.get(seats.0).map_or(USUAL_M, |block| block.seat_height_m)
        }
        _ => USUAL_M,
    }
}

/// Where each person is, brought within reach of the one they do something with, but for any dance.
pub fn spots_together(run: &Run, at_s: f64) -> Vec<Option<Vec2>> {
    let raw = run.spots(at_s);
    let mut spots = raw.clone();
    step_in(run, at_s, &raw, &mut spots);
    spots
}

/// What a person's arms do at an instant.
fn doing(run: &Run, person: usize, at_s: f64) -> Doing {
    let own = run.tracks[person].gestures.times();
    let theirs = run.partners_of(person).iter().flat_map(|other| run.tracks[*other].gestures.times());
    let mut began_s = f64::NEG_INFINITY;
    let mut next_s = f64::INFINITY;
    for when in own.chain(theirs) {
        if when <= at_s + 1e-6 {
            began_s = began_s.max(when);
        } else {
            next_s = next_s.min(when);
        }
    }
    let (now, near) = deed(run, person, at_s, at_s);
    let fade_s = REACH_S.min(next_s - began_s).max(1e-3);
    let share = if began_s > 1e-6 { 1.0 - smooth(((at_s - began_s) / fade_s) as f32) } else { 0.0 };
    let since_s = began_s.max(0.0);
    let then = (share > 0.0).then(|| deed(run, person, began_s - 1e-3, at_s)).filter(|(then, _)| *then != now);
    let rest = Deed { arms: Arms::Rest, other: None };
    let before = match then {
        Some((then, _)) if share > 1.0 - near => Some((then, share)),
        _ if near < 1.0 => Some((rest, 1.0 - near)),
        Some((then, _)) => Some((then, share)),
        None => None,
    };
    Doing { now, before, since_s }
}

fn deed(run: &Run, person: usize, since_s: f64, at_s: f64) -> (Deed, f32) {
    match run.together(person, since_s, at_s) {
        Some(Together { other, arms, near }) => (Deed { arms, other: Some(other) }, near),
        None => (Deed { arms: alone(run.tracks[person].gestures.at(since_s)), other: None }, 1.0),
    }
}

/// Brings those who do something together within reach of each other, each by half the way, as far as the gesture has got.
fn step_in(run: &Run, at_s: f64, raw: &[Option<Vec2>], spots: &mut [Option<Vec2>]) {
    // Of each two, how far the first has to go for all that they do together, and how much that is.
    let mut pairs: Vec<(usize, usize, Vec2, f32)> = Vec::new();
    for (person, track) in run.tracks.iter().enumerate() {
        // Legs take longer than arms.
        for (gesture, share) in track.gestures.mix(at_s, STEP_IN_S) {
            let Some((PersonIx(other), arms)) = with_whom(gesture) else { continue };
            let (a, b) = (person.min(other), person.max(other));
            let gap = gap(run, [a, b], arms, at_s, raw) * share;
            match pairs.iter_mut().find(|pair| (pair.0, pair.1) == (a, b)) {
                Some(pair) => (pair.2, pair.3) = (pair.2 + gap, pair.3 + share),
                None => pairs.push((a, b, gap, share)),
            }
        }
    }
    for (i, j, gap, share) in pairs {
        // Whoever sits stays, and whoever walks keeps to the way; the other comes all of it.
        let stays = |k: usize| run.sitting_share(k, at_s).max(run.going_share(k, at_s));
        let both_sit = run.sitting_share(i, at_s) * run.sitting_share(j, at_s);
        let gap = gap / share.max(1.0) * (1.0 - both_sit);
        let (free_i, free_j) = (1.0 - stays(i) + STAYS, 1.0 - stays(j) + STAYS);
        let (of_i, of_j) = (free_i / (free_i + free_j), free_j / (free_i + free_j));
        if let Some(spot) = &mut spots[i] {
            *spot += gap * of_i;
        }
        if let Some(spot) = &mut spots[j] {
            *spot -= gap * of_j;
        }
    }
}

/// How far the first of two has to go for both to be where a gesture wants them, if the other one stays.
fn gap(run: &Run, [a, b]: [usize; 2], arms: Arms, at_s: f64, raw: &[Option<Vec2>]) -> Vec2 {
    let size = (run.plan.people[a].stature_m + run.plan.people[b].stature_m) / 3.4;
    let [least, most] = apart(arms);
    // On the way nobody is pulled off it by more than a hand's breadth, and slower than the other walks.
    let going = run.going_share(a, at_s).max(run.going_share(b, at_s));
    let mut gap = Vec2::ZERO;
    for (here, share_a) in presences(run, a, at_s, raw[a]) {
        for (there, share_b) in presences(run, b, at_s, raw[b]) {
            let way = there - here;
            let distance = way.length();
            let off = distance - distance.clamp(least * size, most * size);
            let little = (off * 0.5).clamp(-ON_THE_WAY_M, ON_THE_WAY_M);
            // Two on one spot are pushed nowhere; who makes way would be chance.
            let share = nearness(arms, here, there) * smooth(distance / ON_ONE_SPOT_M) * share_a * share_b;
            gap += way.normalize_or_zero() * (off + (little - off) * going) * share;
        }
    }
    gap
}

/// How far others have taken notice of somebody who comes in: 0 at first, 1 a while later.
pub fn come(comings: &[f64], at_s: f64) -> f32 {
    let last_s = comings.iter().rfind(|when| **when <= at_s + SAME_S);
    last_s.map_or(1.0, |last_s| smooth(((at_s - last_s) / STEP_IN_S) as f32))
}

/// Where somebody is and, for others to step back from, was a moment ago: spots with their shares.
fn presences(run: &Run, person: usize, at_s: f64, here: Option<Vec2>) -> Vec<(Vec2, f32)> {
    let comings = run.comings(person);
    let come = |when_s: f64| come(&comings, when_s);
    let left = comings.iter().filter(|when| (0.0..STEP_IN_S).contains(&(at_s - **when))).filter_map(|when| {
        let before_s = when - 1e-4;
        let gone = smooth(((at_s - when) / STEP_IN_S) as f32);
        Some((run.spot(person, before_s)?, come(before_s) * (1.0 - gone)))
    });
    here.map(|here| (here, come(at_s))).into_iter().chain(left).collect()
}

/// How long people take to step towards each other, seconds: up to half a metre each.
const STEP_IN_S: f64 = 2.0;

/// How much nearer two come who walk together than their ways have them.
const ON_THE_WAY_M: f32 = 0.12;

/// Nearer to each other than this two are pushed apart less and less.
const ON_ONE_SPOT_M: f32 = 0.45;

/// Of two who both stay each still gives a little, of one who does nearly nothing.
const STAYS: f32 = 0.02;

/// Least and most distance, middle to middle, of two who do this, for people of 1.70 m; judged by eye.
fn apart(arms: Arms) -> [f32; 2] {
    match arms {
        Arms::Kisses => [0.44, 0.44],
        Arms::Embraces => [0.34, 0.34],
        Arms::Dances => [DANCE_APART_M, DANCE_APART_M],
        Arms::TakesHands => [0.50, 0.80],
        Arms::GivesRing | Arms::TakesRing => [0.50, 0.72],
        Arms::LinksArms | Arms::OffersArm => [0.46, 0.50],
        _ => [0.48, 0.62],
    }
}

/// What everybody's eyes are on at an instant when nothing else is said, world space: whoever walks, else the couple.
pub fn attention_point(run: &Run, at_s: f64) -> Vec3 {
    Scene::new(run, at_s).attentions(at_s).into_iter().map(|(point, share)| point * share).sum()
}

/// Where the lens of a standpoint is, world space: the centre of projection of every frame taken from there.
pub fn standpoint_eye(plan: &Plan, standpoint: &Standpoint) -> Vec3 {
    let floor = floor_height(&plan.venue, standpoint.at);
    Vec3::new(standpoint.at.x, floor + standpoint.camera_height_m, standpoint.at.y)
}

/// The standpoint a photographer holds at an instant, by the plan's times; the later begun of two that overlap.
pub fn standpoint_at(plan: &Plan, photographer: PhotographerIx, at_s: f64) -> Option<&Standpoint> {
    plan.standpoints
        .iter()
        .filter(|s| s.photographer == photographer)
        .flat_map(|s| s.during.iter().map(move |presence| (s, presence)))
        .filter_map(|(s, presence)| {
            let start = plan.moments.get(presence.moment.0)?.start_s;
            let (from, to) = (start + presence.from_s, start + presence.to_s);
            (from - 1e-6 <= at_s && at_s <= to + 1e-6).then_some((from, s))
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, s)| s)
}
