//! Ways and walks of a cue: each person's own way, in ranks, round what stands there.

use super::path::Path;
use super::track::{Pose, Stay, Walk};
use super::{RISE_S, Run, SIT_S, Stuck, TURN_S};
use crate::plan::{
    CEREMONY_PACE_MPS, Centre, Cue, CueIx, Facing, FixtureKind, Gesture, Going, PersonIx, Post, Posture, SeatKind,
    Side, Tempo, Way,
};
use crate::staging::angle::{ahead, heading_to, right_of, wrapped};
use crate::staging::route::Obstacles;
use crate::staging::seating::seat_spot;
use glam::Vec2;
use std::collections::BTreeSet;

/// Half the width one needs to walk: shoulders of 0.45 m (ANSUR II, bideltoid breadth of women) and a little air.
pub const HALF_WIDTH_M: f32 = 0.25;

/// Farther than this nobody steps aside or back; they turn and walk.
const SIDELONG_M: f32 = 1.3;
/// Within this of where the body faces, radians, one walks ahead.
const AHEAD_ANGLE: f32 = 0.9;

/// Once up one has turned after this long, and sets out.
const UP_AND_TURNED_S: f64 = 0.5;

/// Whoever is so much shorter than the one whose hand they hold takes steps of their own.
const CHILDS_STEPS: f32 = 0.8;

/// Ways shorter than this are no walk.
const NO_WAY_M: f32 = 0.02;

pub struct Goer<'r, 'a> {
    pub run: &'r mut Run<'a>,
    pub obstacles: &'r Obstacles,
    /// Others who set out at about the same time: they are not in the way.
    pub together: &'r BTreeSet<usize>,
    pub ix: CueIx,
    pub cue: &'r Cue,
    pub going: &'r Going,
}

/// A way that is found, not yet gone.
struct Planned {
    path: Path,
    stay: Stay,
    /// Where the body faces before.
    heading: f32,
    down: bool,
}

/// Where somebody ends, and how they stand there.
struct Goal {
    stay: Stay,
    spot: Vec2,
}

impl Goer<'_, '_> {
    /// Writes everybody's walk; returns when each is there, seated or up as the place wants it.
    pub fn go(&mut self, at_s: f64) -> Vec<f64> {
        let who: Vec<usize> = self.cue.who.iter().map(|who| who.0).collect();
        let mut people = self.people_in_the_way(&who, at_s);
        let places = self.places_in_ranks(&who, at_s);
        let mut there = Vec::with_capacity(who.len());
        let mut pace_mps = match self.going.tempo {
            Tempo::Pace(pace) => pace,
            Tempo::Over(_) => CEREMONY_PACE_MPS,
        };
        let abreast = self.abreast(who.len());
        for (rank, members) in who.chunks(abreast).enumerate() {
            let behind_m = rank as f32 * self.going.spacing_m;
            let waits = matches!(self.going.way, Way::To { .. });
            let obstacles = self.obstacles.with_people(&people);
            let rank_s = at_s + if waits { f64::from(behind_m / pace_mps) } else { 0.0 };
            // A rank sets out together when the last of it is up; those arm in arm also arrive together.
            let rises_s = members.iter().map(|person| self.rises_s(*person, rank_s)).fold(0.0, f64::max);
            let ways: Vec<Option<Planned>> = members
                .iter()
                .enumerate()
                .map(|(file, person)| {
                    let number = rank * abreast + file;
                    self.plan(*person, number, [rank_s, rank_s + rises_s], places[number].1, behind_m, &obstacles)
                })
                .collect();
            let longest_m = ways.iter().flatten().map(|way| way.path.length_m()).fold(0.0, f32::max);
            for (person, way) in members.iter().zip(ways) {
                let Some(way) = way else {
                    there.push(rank_s);
                    continue;
                };
                let linked = self.in_step_with(*person).is_some();
                let length_m = if linked { longest_m } else { way.path.length_m() };
                let takes_s = match self.going.tempo {
                    Tempo::Pace(pace) => f64::from(length_m / pace.max(0.05)),
                    Tempo::Over(seconds) => (seconds - rises_s).max(seconds * 0.3),
                };
                if let (Tempo::Over(_), true) = (self.going.tempo, length_m > 0.5) {
                    pace_mps = (length_m / takes_s as f32).max(0.1);
                }
                // Those who come after walk round those who stand there by then.
                people.push((*person, way.path.at(f32::INFINITY)));
                there.push(self.set_out(*person, way, rank_s, rises_s, takes_s));
            }
        }
        there
    }

    fn abreast(&self, people: usize) -> usize {
        let usual = if people == 2 { 2 } else { 1 };
        self.going.abreast.unwrap_or(usual).max(1) as usize
    }

    /// Of each, the rank, and how far to the right of the rank's middle: those who stand there already keep their sides,
    /// those who come in take the sides of the places they go to, and the order written, from the left, if all go to one.
    fn places_in_ranks(&self, who: &[usize], at_s: f64) -> Vec<(usize, f32)> {
        let abreast = self.abreast(who.len());
        let mut places = Vec::with_capacity(who.len());
        for (rank, members) in who.chunks(abreast).enumerate() {
            let middle = (members.len() as f32 - 1.0) * 0.5;
            let mut from_left: Vec<usize> = (0..members.len()).collect();
            if let Some(rightness) = self.rightness(members, rank * abreast, at_s) {
                from_left.sort_by(|a, b| rightness[*a].total_cmp(&rightness[*b]));
            }
            for file in 0..members.len() {
                let place = from_left.iter().position(|member| *member == file).unwrap_or(file);
                places.push((rank, (place as f32 - middle) * self.going.apart_m));
            }
        }
        places
    }

    /// How far to the right of their way each stands, or ends.
    fn rightness(&self, members: &[usize], first: usize, at_s: f64) -> Option<Vec<f32>> {
        let Way::To { places, by } = &self.going.way else { return None };
        let middle_of = |spots: &[Vec2]| spots.iter().sum::<Vec2>() / spots.len().max(1) as f32;
        let there: Option<Vec<Vec2>> = members.iter().map(|who| self.run.spot(*who, at_s)).collect();
        let (spots, from, to) = match there {
            Some(spots) => {
                let to = by.first().copied().or_else(|| self.post_spot(*places.first()?))?;
                let from = middle_of(&spots);
                (spots, from, to)
            }
            None => {
                let own = places.get(first..first + members.len()).filter(|own| own.len() > 1)?;
                let spots: Option<Vec<Vec2>> = own.iter().map(|place| self.post_spot(*place)).collect();
                let spots = spots?;
                let from = by.last().copied().or_else(|| self.post_spot(self.going.from?))?;
                let to = middle_of(&spots);
                (spots, from, to)
            }
        };
        let middle = middle_of(&spots);
        let way = (to - from).normalize_or_zero();
        Some(spots.iter().map(|spot| (*spot - middle).dot(right_of(way))).collect())
    }

    fn people_in_the_way(&self, who: &[usize], at_s: f64) -> Vec<(usize, Vec2)> {
        let stands = |person: usize| {
            let track = self.run.tracks.get(person)?;
            match track.stays.at(at_s) {
                Stay::Walks(walk) => track.walks.get(walk).map(|walk| walk.path.at(f32::INFINITY)),
                _ => self.run.spot(person, at_s),
            }
        };
        (0..self.run.tracks.len())
            .filter(|person| !who.contains(person) && !self.together.contains(person))
            .filter_map(|person| Some((person, stands(person)?)))
            .collect()
    }

    /// A person's way; `None` if they have none.
    fn plan(
        &mut self,
        person: usize,
        number: usize,
        [at_s, begins_s]: [f64; 2],
        aside_m: f32,
        behind_m: f32,
        obstacles: &Obstacles,
    ) -> Option<Planned> {
        let track = self.run.tracks.get(person)?;
        let before = track.stays.at(at_s);
        let down = self.rises_s(person, at_s) > 0.0;
        let start = match before {
            Stay::Away => None,
            // Whoever still walks goes on until the others of the rank are up.
            Stay::Walks(walk) => track.walks.get(walk).map(|walk| walk.spot(begins_s)),
            _ => self.run.spot(person, at_s).map(|spot| self.standing_spot(before).unwrap_or(spot)),
        };
        let heading = self.heading(person, at_s);
        let (points, goal) = self.points(person, number, start, heading, aside_m, obstacles, at_s)?;
        let mut path = Path::new(&points);
        // Whoever leaves goes all the way.
        let shared = matches!(&self.going.way, Way::To { places, .. } if places.len() == 1);
        let in_file = shared && behind_m > 0.0 && !self.cue.leaves;
        if in_file && path.length_m() > behind_m {
            path = path.cut_to(path.length_m() - behind_m);
        }
        let stay = if in_file { Stay::At(Post::Floor(path.at(f32::INFINITY))) } else { goal.stay };
        Some(Planned { path, stay, heading, down })
    }

    /// Writes a walk into a track; returns when it is done and its person seated, kneeling or up.
    fn set_out(&mut self, person: usize, way: Planned, at_s: f64, rises_s: f64, takes_s: f64) -> f64 {
        let Planned { path, stay, heading, down } = way;
        let sidelong = self.is_sidelong(&path, heading);
        let in_step_with = self.in_step_with(person);
        let stay = if self.cue.leaves { Stay::Away } else { stay };
        let track = &mut self.run.tracks[person];
        let before = track.stays.at(at_s);
        track.drop_plans_after(at_s);
        if path.length_m() < NO_WAY_M {
            track.stays.change(at_s, stay);
            track.turns.change(at_s, stay);
            return self.arrive(person, at_s, stay);
        }
        let begins_s = at_s + rises_s;
        let ends_s = begins_s + takes_s;
        track.walks.push(Walk { begins_s, ends_s, path, sidelong, in_step_with, cue: self.ix });
        let walk = Stay::Walks(track.walks.len() - 1);
        if down {
            // Up just before setting out: not before a partner who takes longer.
            track.poses.change(begins_s - RISE_S - UP_AND_TURNED_S, Pose::Does(Posture::Standing));
        }
        if track.poses.at(begins_s) == Pose::WithGuests {
            track.poses.change(begins_s, Pose::Does(Posture::Standing));
        }
        if before == Stay::Away {
            track.poses.change(at_s, Pose::Does(Posture::Standing));
        }
        track.stays.change(begins_s, walk);
        track.stays.change(ends_s, stay);
        if sidelong {
            track.turns.change(begins_s, stay);
        } else {
            // One turns before one goes, but not before one has come to where one was.
            let turns_s = (begins_s - TURN_S).max(track.turns.last_s() + 1e-3).min(begins_s);
            track.turns.change(turns_s, walk);
            track.turns.change(ends_s, stay);
        }
        self.arrive(person, ends_s, stay)
    }

    /// Sits, kneels or stands as cue and place want it; returns when that is done.
    fn arrive(&mut self, person: usize, at_s: f64, stay: Stay) -> f64 {
        let track = &mut self.run.tracks[person];
        let pose = match (self.cue.posture, stay) {
            (Some(Posture::Walking), _) => Pose::Does(Posture::Standing),
            (Some(posture), _) => Pose::Does(posture),
            (None, Stay::At(Post::Seat { .. })) => Pose::WithGuests,
            (None, _) => Pose::Does(Posture::Standing),
        };
        let at_s = track.free_s(at_s, pose);
        track.poses.change(at_s, pose);
        let moves = !matches!(pose, Pose::Does(Posture::Standing | Posture::Dancing));
        at_s + if moves { SIT_S } else { 0.0 }
    }

    /// How long getting up takes for whoever is down, or still on the way up.
    fn rises_s(&self, person: usize, at_s: f64) -> f64 {
        let up = |posture| matches!(posture, Posture::Standing | Posture::Walking | Posture::Dancing);
        let posture = self.run.posture(person, at_s);
        let is_up = up(posture.now) && posture.before.is_none_or(|(before, _)| up(before));
        let Some(track) = self.run.tracks.get(person).filter(|_| !is_up && self.run.spot(person, at_s).is_some())
        else {
            return 0.0;
        };
        track.free_s(at_s, Pose::Does(Posture::Standing)) - at_s + RISE_S + UP_AND_TURNED_S
    }

    /// Where whoever is on a seat or chair stands before it.
    fn standing_spot(&self, stay: Stay) -> Option<Vec2> {
        match stay {
            Stay::At(Post::Seat { seats, row, seat }) => {
                let block = self.run.plan.venue.seats.get(seats.0)?;
                let place = seat_spot(block, row, seat);
                let up = if block.kind == SeatKind::Standing { 0.0 } else { super::spots::UP_FROM_SEAT_M };
                Some(place.at + ahead(place.heading) * up)
            }
            Stay::OnChair { spot, heading } => Some(spot + ahead(heading) * super::spots::UP_FROM_SEAT_M),
            _ => None,
        }
    }

    /// Where the body faces by what has begun; while cues are still followed, turns aren't noted yet.
    fn heading(&self, person: usize, at_s: f64) -> f32 {
        self.run.facing(person, at_s - 1e-4, at_s)
    }

    /// The way, from where they are or come in to where they go.
    #[allow(clippy::too_many_arguments)]
    fn points(
        &mut self,
        person: usize,
        number: usize,
        start: Option<Vec2>,
        heading: f32,
        aside_m: f32,
        obstacles: &Obstacles,
        at_s: f64,
    ) -> Option<(Vec<Vec2>, Goal)> {
        match &self.going.way {
            Way::Steps { side, length_m } => {
                let to = start? + side_of(heading, *side) * *length_m;
                Some((vec![start?, to], Goal { stay: Stay::At(Post::Floor(to)), spot: to }))
            }
            Way::Round { centre, times, radius_m } => {
                let middle = match centre {
                    Centre::Person(other) => self.run.spot(other.0, at_s)?,
                    Centre::Spot(spot) => *spot,
                };
                let points = round(start?, middle, *times, *radius_m);
                let to = points.last().copied()?;
                Some((points, Goal { stay: Stay::At(Post::Floor(to)), spot: to }))
            }
            Way::To { places, by } => {
                let post = *places.get(number).or(places.first())?;
                let shared = places.len() == 1;
                let goal = self.goal(post);
                let from = start.or_else(|| self.going.from.and_then(|post| self.post_spot(post)));
                let Some(from) = from else { return Some((vec![goal.spot], goal)) };
                // Ranks are as wide on the way as where they come in, and at a place that all share.
                let mut middle = vec![from];
                middle.extend(by);
                middle.push(goal.spot);
                let mut marks = beside(&middle, aside_m);
                let last = marks.len() - 1;
                if start.is_some() {
                    marks[0] = from;
                }
                if !shared || matches!(post, Post::Seat { .. }) {
                    marks[last] = goal.spot;
                }
                let goal =
                    Goal { stay: if shared { moved(goal.stay, marks[last]) } else { goal.stay }, spot: marks[last] };
                let out = start.map_or(vec![], |_| self.way_out(person, at_s));
                let points = self.routed(person, at_s, &marks, out, post, obstacles);
                Some((points, goal))
            }
        }
    }

    /// The spots between seats by which whoever sits leaves the row.
    fn way_out(&self, person: usize, at_s: f64) -> Vec<Vec2> {
        match self.run.tracks[person].stays.at(at_s) {
            Stay::At(post @ Post::Seat { .. }) => self.way_to_seat(post),
            _ => vec![],
        }
    }

    /// From before a seat to where one is free of the row. Empty for a spot on the floor.
    fn way_to_seat(&self, post: Post) -> Vec<Vec2> {
        let Post::Seat { seats, row, seat } = post else { return vec![] };
        let way = self.obstacles.way_to_seat(&self.run.plan.venue, seats, row, seat, HALF_WIDTH_M);
        way.unwrap_or_default()
    }

    /// From mark to mark by the shortest free way; straight, and noted, where there is none.
    fn routed(
        &mut self,
        person: usize,
        at_s: f64,
        marks: &[Vec2],
        out: Vec<Vec2>,
        post: Post,
        obstacles: &Obstacles,
    ) -> Vec<Vec2> {
        let mut into = self.way_to_seat(post);
        into.reverse();
        let (first, last) = (marks[0], marks[marks.len() - 1]);
        let mut points = vec![first];
        points.extend(&out);
        let mut stops: Vec<Vec2> = marks[1..marks.len() - 1].to_vec();
        stops.push(into.first().copied().unwrap_or(last));
        for stop in stops {
            let here = points.last().copied().unwrap_or(first);
            match obstacles.shortest_of_many(here, stop, HALF_WIDTH_M, &mut self.run.searched) {
                Some(route) => points.extend(route.points.into_iter().skip(1)),
                None => {
                    self.run.stuck.push(Stuck { cue: self.ix, who: PersonIx(person), at_s });
                    points.push(stop);
                }
            }
        }
        points.extend(into.into_iter().skip(1));
        if points.last().is_none_or(|end| end.distance(last) > 1e-4) {
            points.push(last);
        }
        points
    }

    fn goal(&self, post: Post) -> Goal {
        let stay = match post {
            Post::Seat { .. } => Stay::At(post),
            Post::Floor(spot) => self.on_a_chair(spot).unwrap_or(Stay::At(post)),
        };
        let spot = self.standing_spot(stay).or_else(|| self.post_spot(post)).unwrap_or_default();
        Goal { stay, spot }
    }

    /// A spot where the cue has them sit: facing as the cue says, or as the chair that stands there does.
    fn on_a_chair(&self, spot: Vec2) -> Option<Stay> {
        if self.cue.posture != Some(Posture::Sitting) {
            return None;
        }
        let plan = self.run.plan;
        let said = match self.cue.faces {
            Some(Facing::Heading(heading)) => Some(heading),
            Some(Facing::Spot(to)) => heading_to(spot, to),
            Some(Facing::Fixture(fixture)) => heading_to(spot, plan.venue.fixtures.get(fixture.0)?.at),
            _ => None,
        };
        let chair = || {
            let seats = |kind| matches!(kind, FixtureKind::Chair | FixtureKind::Bench);
            let here = plan.venue.fixtures.iter().filter(|f| seats(f.kind) && f.at.distance(spot) < 0.5);
            here.min_by(|a, b| a.at.distance(spot).total_cmp(&b.at.distance(spot))).map(|chair| chair.heading)
        };
        said.or_else(chair).map(|heading| Stay::OnChair { spot, heading })
    }

    fn post_spot(&self, post: Post) -> Option<Vec2> {
        match post {
            Post::Floor(spot) => Some(spot),
            Post::Seat { .. } => self.standing_spot(Stay::At(post)),
        }
    }

    /// Of those who link arms or hold hands on the way, the first sets the step.
    fn in_step_with(&self, person: usize) -> Option<usize> {
        let linked = |gesture| matches!(gesture, Gesture::LinksArms(_) | Gesture::HoldsHand(_));
        let other = self.cue.gesture.filter(|gesture| linked(*gesture)).and_then(Gesture::other)?;
        let first = self.cue.who.first().copied().filter(|first| *first != other)?;
        let stature = |who: PersonIx| self.run.plan.people.get(who.0).map_or(1.7, |person| person.stature_m);
        let ratio = stature(first) / stature(other);
        let alike = (CHILDS_STEPS..=1.0 / CHILDS_STEPS).contains(&ratio);
        (alike && (person == other.0 || person == first.0)).then_some(first.0)
    }

    fn is_sidelong(&self, path: &Path, heading: f32) -> bool {
        if matches!(self.going.way, Way::Steps { .. }) {
            return true;
        }
        let (from, to) = (path.at(0.0), path.at(f32::INFINITY));
        let straight = path.length_m() < SIDELONG_M && path.length_m() < from.distance(to) * 1.05;
        let way = heading_to(from, to).unwrap_or(heading);
        straight && wrapped(way - heading).abs() > AHEAD_ANGLE
    }
}

fn side_of(heading: f32, side: Side) -> Vec2 {
    let ahead = ahead(heading);
    let right = right_of(ahead);
    match side {
        Side::Left => -right,
        Side::Right => right,
        Side::Ahead => ahead,
        Side::Back => -ahead,
    }
}

fn moved(stay: Stay, spot: Vec2) -> Stay {
    match stay {
        Stay::At(Post::Floor(_)) => Stay::At(Post::Floor(spot)),
        other => other,
    }
}

/// A way beside another one, so far to the right of it (negative: left).
fn beside(middle: &[Vec2], right_m: f32) -> Vec<Vec2> {
    let right = |a: Vec2, b: Vec2| right_of((b - a).normalize_or_zero());
    (0..middle.len())
        .map(|i| {
            let before = i.checked_sub(1).map_or(Vec2::ZERO, |k| right(middle[k], middle[i]));
            let after = middle.get(i + 1).map_or(Vec2::ZERO, |next| right(middle[i], *next));
            let right = (before + after).normalize_or(if after == Vec2::ZERO { before } else { after });
            // Farther out on the outside of a bend.
            let stretch = if before == Vec2::ZERO || after == Vec2::ZERO { 1.0 } else { right.dot(after).max(0.5) };
            middle[i] + right * (right_m / stretch)
        })
        .collect()
}

/// From a spot to a circle, this often round it (clockwise from above) and to rest.
fn round(start: Vec2, middle: Vec2, times: f32, radius_m: f32) -> Vec<Vec2> {
    let out = (start - middle).normalize_or(Vec2::Y);
    let first = out.y.atan2(out.x);
    let pieces = ((times.abs() * 36.0).ceil() as usize).clamp(1, 36 * 20);
    let on_circle = |k: usize| {
        let angle = first + times * std::f32::consts::TAU * k as f32 / pieces as f32;
        middle + Vec2::new(angle.cos(), angle.sin()) * radius_m
    };
    std::iter::once(start).chain((0..=pieces).map(on_circle)).collect()
}
