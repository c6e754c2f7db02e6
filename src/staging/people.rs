//! Named people at an instant: where they are, which way they face, and who does what with whom.

use super::cast::{Actor, body_of};
use super::chance::Chance;
use super::cues::{self, Doing};
use super::figure::gesture::{Arms, Idle};
use super::figure::skeleton::{Bearing, Stance};
use super::floor::floor_height;
use super::seating::seat_spot;
use super::tableau::OwnerKind;
use crate::plan::{Facing, Gesture, PersonIx, PhotographerIx, Plan, Post, Posture, SeatKind, Standpoint};
use glam::{Vec2, Vec3};

/// Farther apart than this, two people do nothing together, whatever their cues say.
const TOGETHER_M: f32 = 2.5;

/// The scene an instant has: who does what, and where everybody's eyes are, nearly.
pub struct Scene<'a> {
    pub plan: &'a Plan,
    pub at_s: f64,
    pub doings: Vec<Doing>,
    /// Spot and heading of each person who is there.
    pub roots: Vec<Option<Root>>,
    pub couple: Vec<PersonIx>,
    /// Guests stand in this moment.
    pub guests_stand: bool,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Root {
    pub spot: Vec2,
    pub heading: f32,
}

impl<'a> Scene<'a> {
    pub fn new(plan: &'a Plan, at_s: f64) -> Self {
        let doings = cues::doings(plan, at_s);
        let couple = cues::couple(plan);
        let guests_stand = cues::moment_at(plan, at_s).is_some_and(|i| plan.moments[i].guests_stand);
        let mut scene = Self { plan, at_s, roots: vec![None; doings.len()], doings, couple, guests_stand };
        for i in 0..scene.doings.len() {
            scene.roots[i] = scene.spot(i).map(|(spot, heading)| Root { spot, heading });
        }
        scene.step_in();
        for i in 0..scene.doings.len() {
            if let Some(heading) = scene.heading(i)
                && let Some(root) = &mut scene.roots[i]
            {
                root.heading = heading;
            }
        }
        scene
    }

    fn spot(&self, i: usize) -> Option<(Vec2, f32)> {
        match self.doings[i].post? {
            Post::Floor(spot) => Some((spot, 0.0)),
            Post::Seat { seats, row, seat } => {
                let block = self.plan.venue.seats.get(seats.0)?;
                let place = seat_spot(block, row, seat);
                Some((place.at, place.heading))
            }
        }
    }

    pub fn is_there(&self, person: PersonIx) -> bool {
        self.roots.get(person.0).is_some_and(Option::is_some)
    }

    /// Whom a person does something with: their own gesture's other, or whoever's gesture is with them.
    pub fn partner(&self, i: usize) -> Option<(usize, Arms)> {
        let mine = with_whom(self.doings[i].gesture).map(|(other, arms)| (other.0, arms));
        let mine = mine.filter(|(j, _)| self.near_enough(i, *j));
        if let Some((j, arms)) = mine {
            // Of two who link arms with each other, the first named offers the arm.
            let both_link = arms == Arms::LinksArms
                && with_whom(self.doings[j].gesture) == Some((PersonIx(i), Arms::LinksArms))
                && i < j;
            return Some((j, if both_link { Arms::OffersArm } else { arms }));
        }
        (0..self.doings.len()).find_map(|j| {
            let (other, arms) = with_whom(self.doings[j].gesture)?;
            if other.0 != i || !self.near_enough(i, j) {
                return None;
            }
            Some((
                j,
                match arms {
                    Arms::LinksArms => Arms::OffersArm,
                    Arms::GivesRing => Arms::TakesRing,
                    same => same,
                },
            ))
        })
    }

    fn near_enough(&self, i: usize, j: usize) -> bool {
        let (Some(Some(a)), Some(Some(b))) = (self.roots.get(i), self.roots.get(j)) else { return false };
        i != j && a.spot.distance(b.spot) <= TOGETHER_M
    }

    /// Brings two who do something together within reach of each other, each by half the way.
    fn step_in(&mut self) {
        let pairs: Vec<_> = (0..self.doings.len())
            .filter_map(|i| {
                let (j, arms) = self.partner(i)?;
                // Pairs are moved once: from the first side that asks, or the only one.
                let asked_back = self.partner(j).is_some_and(|(k, _)| k == i);
                (i < j || !asked_back).then_some((i, j, arms))
            })
            .collect();
        for (i, j, arms) in pairs {
            let (Some(a), Some(b)) = (self.roots[i], self.roots[j]) else { continue };
            let size = (self.plan.people[i].stature_m + self.plan.people[j].stature_m) / 3.4;
            let (least, most) = match arms {
                Arms::Kisses => (0.44, 0.44),
                Arms::Embraces => (0.34, 0.34),
                Arms::TakesHands => (0.50, 0.80),
                Arms::GivesRing | Arms::TakesRing => (0.50, 0.72),
                Arms::LinksArms | Arms::OffersArm => (0.46, 0.50),
                _ => (0.48, 0.62),
            };
            let seated = |k: usize| matches!(self.doings[k].posture, Posture::Sitting);
            let way = b.spot - a.spot;
            let distance = way.length();
            let wanted = distance.clamp(least * size, most * size);
            let along = way.normalize_or(Vec2::X);
            let gap = distance - wanted;
            // Whoever sits stays; the other comes all the way.
            let share = match (seated(i), seated(j)) {
                (true, true) => continue,
                (true, false) => 0.0,
                (false, true) => 1.0,
                (false, false) => 0.5,
            };
            if let Some(root) = &mut self.roots[i] {
                root.spot += along * gap * share;
            }
            if let Some(root) = &mut self.roots[j] {
                root.spot -= along * gap * (1.0 - share);
            }
        }
    }

    fn heading(&self, i: usize) -> Option<f32> {
        let root = self.roots[i]?;
        let doing = &self.doings[i];
        if matches!(doing.posture, Posture::Sitting)
            && let Some(Post::Seat { .. }) = doing.post
        {
            return Some(root.heading);
        }
        if let Some((j, arms)) = self.partner(i) {
            let other = self.roots[j]?;
            let face_to_face =
                matches!(arms, Arms::TakesHands | Arms::GivesRing | Arms::TakesRing | Arms::Kisses | Arms::Embraces);
            if face_to_face {
                return Some(heading_to(root.spot, other.spot).unwrap_or(root.heading));
            }
            // Side by side: both face the way the one who asks faces.
            if doing.faces.is_none() && doing.looks.is_none() && self.doings[j].faces.is_some() {
                return self.faced(j, self.doings[j].faces);
            }
        }
        if let Some(heading) = self.faced(i, doing.faces) {
            return Some(heading);
        }
        if doing.posture == Posture::Walking
            && let Some(way) = self.walking_way(i)
        {
            return Some(way);
        }
        if let Some(heading) = self.faced(i, doing.looks) {
            return Some(heading);
        }
        let towards = self.attention_of(i)?;
        heading_to(root.spot, Vec2::new(towards.x, towards.z)).or(Some(root.heading))
    }

    fn faced(&self, i: usize, facing: Option<Facing>) -> Option<f32> {
        let root = self.roots[i]?;
        match facing? {
            Facing::Heading(heading) => Some(heading),
            other => {
                let target = self.target(root.spot, other)?;
                heading_to(root.spot, Vec2::new(target.x, target.z))
            }
        }
    }

    /// Which way somebody walks: to the next place their cues name, else on from the place before.
    fn walking_way(&self, i: usize) -> Option<f32> {
        let here = self.roots[i]?.spot;
        let posts: Vec<(f64, Vec2)> = self
            .plan
            .moments
            .iter()
            .flat_map(|m| m.cues.iter().map(move |cue| (m.start_s + cue.after_s, cue)))
            .filter(|(_, cue)| cue.who.contains(&PersonIx(i)))
            .filter_map(|(s, cue)| match cue.post? {
                Post::Floor(spot) => Some((s, spot)),
                Post::Seat { seats, row, seat } => {
                    Some((s, seat_spot(self.plan.venue.seats.get(seats.0)?, row, seat).at))
                }
            })
            .collect();
        let far = |spot: &&(f64, Vec2)| spot.1.distance(here) > 0.3;
        let after = posts.iter().filter(|p| p.0 > self.at_s + 1e-6).find(far);
        if let Some(next) = after {
            return heading_to(here, next.1);
        }
        let before = posts.iter().rev().filter(|p| p.0 <= self.at_s + 1e-6).find(far)?;
        heading_to(before.1, here)
    }

    /// Who or what draws everybody's eyes when nothing else is said: the couple, or the front.
    pub fn attention(&self) -> Vec3 {
        let there: Vec<_> = self.couple.iter().filter(|p| self.is_there(**p)).collect();
        if there.is_empty() {
            return Vec3::new(0.0, 1.4, 0.0);
        }
        there.iter().map(|p| self.eyes_nearly(p.0)).sum::<Vec3>() / there.len() as f32
    }

    fn attention_of(&self, i: usize) -> Option<Vec3> {
        if self.couple.contains(&PersonIx(i)) {
            let other = self.couple.iter().find(|p| p.0 != i && self.is_there(**p));
            return Some(match other {
                Some(other) => self.eyes_nearly(other.0),
                // Alone at the front one looks for who comes: down the aisle.
                None => self.roots[i].map(|r| Vec3::new(r.spot.x, 1.5, r.spot.y + 8.0))?,
            });
        }
        Some(self.attention())
    }

    /// A person's eyes to within a few centimetres, before anybody is posed.
    pub fn eyes_nearly(&self, i: usize) -> Vec3 {
        let Some(root) = self.roots.get(i).copied().flatten() else { return Vec3::new(0.0, 1.4, 0.0) };
        let h = self.plan.people[i].stature_m;
        let over_floor = match self.bearing(i) {
            Bearing::Sitting { seat_m } => seat_m + 0.458 * h,
            Bearing::Kneeling | Bearing::OnOneKnee => 0.68 * h,
            Bearing::Crouching => 0.55 * h,
            _ => 0.936 * h,
        };
        Vec3::new(root.spot.x, floor_height(&self.plan.venue, root.spot) + over_floor, root.spot.y)
    }

    /// The point a facing means, seen from `from`; `None` when that person is not there.
    pub fn target(&self, from: Vec2, facing: Facing) -> Option<Vec3> {
        let venue = &self.plan.venue;
        match facing {
            Facing::Heading(heading) => {
                let (sin, cos) = heading.sin_cos();
                let floor = floor_height(venue, from);
                Some(Vec3::new(from.x + sin * 20.0, floor + 1.4, from.y - cos * 20.0))
            }
            Facing::Spot(spot) => Some(Vec3::new(spot.x, floor_height(venue, spot) + 1.4, spot.y)),
            Facing::Person(person) => self.is_there(person).then(|| self.eyes_nearly(person.0)),
            Facing::Fixture(fixture) => {
                let fixture = venue.fixtures.get(fixture.0)?;
                let y = floor_height(venue, fixture.at) + fixture.above_floor_m + fixture.size_m[1] * 0.6;
                Some(Vec3::new(fixture.at.x, y, fixture.at.y))
            }
            Facing::Photographer(photographer) => {
                let standpoint = self.standpoint_of(photographer)?;
                Some(standpoint_eye(self.plan, standpoint))
            }
        }
    }

    /// Where a photographer is at this instant.
    pub fn standpoint_of(&self, photographer: PhotographerIx) -> Option<&'a Standpoint> {
        standpoint_at(self.plan, photographer, self.at_s)
    }

    fn bearing(&self, i: usize) -> Bearing {
        let doing = &self.doings[i];
        match doing.posture {
            Posture::Standing => Bearing::Standing,
            Posture::Walking => Bearing::Walking,
            Posture::Kneeling => Bearing::Kneeling,
            Posture::Crouching => Bearing::Crouching,
            Posture::Sitting if doing.sits_by_default && self.guests_stand => Bearing::Standing,
            Posture::Sitting => match doing.post {
                Some(Post::Seat { seats, .. }) => match self.plan.venue.seats.get(seats.0) {
                    Some(block) if block.kind == SeatKind::Standing => Bearing::Standing,
                    Some(block) => Bearing::Sitting { seat_m: block.seat_height_m },
                    None => Bearing::Sitting { seat_m: 0.45 },
                },
                // A chair that the plan does not show has the usual height.
                _ => Bearing::Sitting { seat_m: 0.45 },
            },
        }
    }

    /// The named people as actors, and for each person their index in the cast.
    pub fn actors(&self) -> (Vec<Actor>, Vec<Option<usize>>) {
        let mut index = vec![None; self.doings.len()];
        let there: Vec<usize> = (0..self.doings.len()).filter(|i| self.roots[*i].is_some()).collect();
        for (k, i) in there.iter().enumerate() {
            index[*i] = Some(k);
        }
        let mut cast: Vec<Actor> = there.iter().filter_map(|i| self.actor(*i, &index)).collect();
        for k in 0..cast.len() {
            super::kiss::bring_faces_together(&mut cast, k);
        }
        (cast, index)
    }

    fn actor(&self, i: usize, index: &[Option<usize>]) -> Option<Actor> {
        let person = self.plan.people.get(i)?;
        let root = self.roots[i]?;
        let doing = &self.doings[i];
        let chance = Chance::new(self.plan.seed).named("person").named(&person.id);
        let bearing = self.bearing(i);
        let (other, arms) = match self.partner(i) {
            Some((j, arms)) => (index[j], arms),
            None => (None, alone(doing.gesture)),
        };
        let mut spot = root.spot;
        // Standing up from a seat one stands before it, wherever one looks.
        if let Some(Post::Seat { seats, row, seat }) = doing.post
            && !matches!(bearing, Bearing::Sitting { .. })
            && let Some(block) = self.plan.venue.seats.get(seats.0)
        {
            let (sin, cos) = seat_spot(block, row, seat).heading.sin_cos();
            spot += Vec2::new(sin, -cos) * super::guests::UP_FROM_SEAT_M;
        }
        let floor = floor_height(&self.plan.venue, spot);
        let reading = doing.gesture == Gesture::Reads && doing.looks.is_none();
        let look_at = if reading {
            let (sin, cos) = root.heading.sin_cos();
            Some(Vec3::new(spot.x + sin * 0.5, floor + person.stature_m * 0.66, spot.y - cos * 0.5))
        } else {
            doing
                .looks
                .and_then(|facing| self.target(spot, facing))
                .or_else(|| doing.faces.and_then(|facing| self.target(spot, facing)))
                .or_else(|| self.looked_at(i, bearing))
        };
        Some(Actor {
            id: person.id.clone(),
            kind: OwnerKind::Person(PersonIx(i)),
            body: body_of(person.stature_m, person.build, person.clothes.kind),
            looks: person.looks,
            clothes: person.clothes,
            stance: Stance {
                feet: Vec3::new(spot.x, floor, spot.y),
                heading: root.heading,
                bearing,
                stride: None,
                before: None,
                look_at,
                lean: 0.0,
                rise_m: 0.0,
                head: None,
                chance,
            },
            arms,
            holds: doing.holds,
            idle: if chance.unit("idle") < 0.45 { Idle::Folded } else { Idle::Hang },
            other,
            accent: person.clothes.second,
            chance,
            at_s: self.at_s,
            since_s: f64::NEG_INFINITY,
            arms_before: None,
        })
    }

    /// What a head turns to when no cue says: the one something is done with, the way one walks, the couple.
    fn looked_at(&self, i: usize, bearing: Bearing) -> Option<Vec3> {
        if let Some((j, arms)) = self.partner(i)
            && matches!(arms, Arms::TakesHands | Arms::Kisses | Arms::Embraces)
        {
            return Some(self.eyes_nearly(j));
        }
        if let Some((j, Arms::GivesRing | Arms::TakesRing)) = self.partner(i) {
            // The ring.
            let (a, b) = (self.eyes_nearly(i), self.eyes_nearly(j));
            return Some((a + b) * 0.5 - Vec3::Y * 0.45);
        }
        if bearing == Bearing::Walking {
            let root = self.roots[i]?;
            return self.target(root.spot, Facing::Heading(root.heading));
        }
        self.attention_of(i)
    }
}

/// Where the lens of a standpoint is, world space: the centre of projection of every frame taken from there.
pub fn standpoint_eye(plan: &Plan, standpoint: &Standpoint) -> Vec3 {
    let floor = floor_height(&plan.venue, standpoint.at);
    Vec3::new(standpoint.at.x, floor + standpoint.camera_height_m, standpoint.at.y)
}

/// The standpoint a photographer has at an instant; the later begun of two that overlap.
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

/// Heading from one spot to another; `None` if they are the same.
pub fn heading_to(from: Vec2, to: Vec2) -> Option<f32> {
    let way = to - from;
    (way.length() > 1e-4).then(|| way.x.atan2(-way.y))
}

fn with_whom(gesture: Gesture) -> Option<(PersonIx, Arms)> {
    match gesture {
        Gesture::TakesHands(p) => Some((p, Arms::TakesHands)),
        Gesture::LinksArms(p) => Some((p, Arms::LinksArms)),
        Gesture::HoldsHand(p) => Some((p, Arms::HoldsHand)),
        Gesture::GivesRing(p) => Some((p, Arms::GivesRing)),
        Gesture::Kisses(p) => Some((p, Arms::Kisses)),
        Gesture::Embraces(p) => Some((p, Arms::Embraces)),
        _ => None,
    }
}

fn alone(gesture: Gesture) -> Arms {
    match gesture {
        Gesture::HoldsUpPhone => Arms::HoldsUpPhone,
        Gesture::Reads => Arms::Reads,
        Gesture::Claps => Arms::Claps,
        Gesture::OpensArms => Arms::OpensArms,
        Gesture::WipesEyes => Arms::WipesEyes,
        Gesture::Waves => Arms::Waves,
        _ => Arms::Rest,
    }
}
