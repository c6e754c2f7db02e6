//! What stands in a walker's way, and the questions one asks about it.

use super::outline::Outline;
use super::pieces::convex_pieces;
use super::{fixtures, meshes, platforms, seats, shortest, walls};
use crate::plan::Venue;
use glam::{DVec2, Vec2};
use std::f64::consts::TAU;

/// Half the width that one leaves to people who stand there: *judged*, shoulders and no elbows.
const PERSON_RADIUS_M: f64 = 0.22;

/// What can be in the way. Numbers are places in the lists of the [`Venue`], a person's number is the caller's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Blocker {
    Wall(usize),
    /// A wall of this room.
    Room(usize),
    Fixture(usize),
    Mesh(usize),
    /// Chairs and knees of one row, counted from 0.
    Row {
        seats: usize,
        row: u32,
    },
    Platform(usize),
    KeepOut(usize),
    Person(usize),
}

/// Everything that one can't walk through, as convex outlines on the floor.
#[derive(Debug, Clone, Default)]
pub struct Obstacles {
    outlines: Vec<Outline>,
}

/// A way on the floor in straight legs.
#[derive(Debug, Clone, PartialEq)]
pub struct Route {
    /// Where it starts, where it bends, where it ends: two spots at least.
    pub points: Vec<Vec2>,
    pub length_m: f32,
}

impl Obstacles {
    /// Walls but for their doors, fixtures and meshes one can't step over or walk under, rows of seats with those who sit there, and
    /// platforms too high to step onto.
    pub fn of_venue(venue: &Venue) -> Self {
        let mut all = Self::default();
        walls::add(&mut all, venue);
        platforms::add(&mut all, venue);
        fixtures::add(&mut all, venue);
        meshes::add(&mut all, venue);
        seats::add(&mut all, venue);
        all
    }

    /// The same, and where no photographer may go.
    pub fn with_keep_outs(&self, venue: &Venue) -> Self {
        let mut all = self.clone();
        for (ix, keep_out) in venue.keep_outs.iter().enumerate() {
            for piece in convex_pieces(&keep_out.outline) {
                all.add(Blocker::KeepOut(ix), piece);
            }
        }
        all
    }

    /// The same, and people who stand about: each with the caller's number.
    pub fn with_people(&self, spots: &[(usize, Vec2)]) -> Self {
        let mut all = self.clone();
        for (ix, spot) in spots {
            let round = octagon(DVec2::splat(PERSON_RADIUS_M)).map(|corner| spot.as_dvec2() + corner);
            all.add(Blocker::Person(*ix), round);
        }
        all
    }

    /// What someone of this half width would stand in. Where several things are near, the one that is deepest in.
    pub fn blocking(&self, spot: Vec2, clearance_m: f32) -> Option<Blocker> {
        let (spot, clearance_m) = (spot.as_dvec2(), f64::from(clearance_m));
        let near = self.outlines.iter().filter(|o| o.is_near(spot, spot, clearance_m));
        let apart = near.map(|o| (o.apart_m(spot), o.of)).filter(|(apart_m, _)| *apart_m < clearance_m);
        apart.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, of)| of)
    }

    /// What someone of this half width meets first on the straight way between two spots.
    pub fn crossing(&self, from: Vec2, to: Vec2, clearance_m: f32) -> Option<Blocker> {
        self.crossing_but(from, to, clearance_m, |_| false)
    }

    /// As [`crossing`](Self::crossing), without what `passes` leaves out.
    pub(super) fn crossing_but(
        &self,
        from: Vec2,
        to: Vec2,
        clearance_m: f32,
        passes: impl Fn(&Outline) -> bool,
    ) -> Option<Blocker> {
        let (from, to, clearance_m) = (from.as_dvec2(), to.as_dvec2(), f64::from(clearance_m));
        let met = self.outlines.iter().filter(|o| o.is_near(from, to, clearance_m) && !passes(o));
        let met = met.filter_map(|o| Some((o.entered_at(from, to, clearance_m)?, o.of)));
        met.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, of)| of)
    }

    /// The shortest way that keeps `clearance_m` from everything, the same length there and back.
    ///
    /// Corners are mitred: at a right angle a way is up to 0.43 × `clearance_m` longer than one that rounds the corner.
    /// Whoever stands closer to a thing than `clearance_m`, at the start or the end, passes it as close as they stand;
    /// whoever stands in it (a seat, a platform) walks out of it. `None` where there is no way, and where a number isn't
    /// one. Work is bounded: in a maze of hundreds of things the way may be up to a tenth longer than the shortest, and
    /// in one of thousands none may be found.
    pub fn shortest(&self, from: Vec2, to: Vec2, clearance_m: f32) -> Option<Route> {
        self.shortest_of_many(from, to, clearance_m, &mut 0)
    }

    /// The same for one of many ways that share a limit of work: `spent` counts it, from 0 on. After thousands of hard ones
    /// only easy ways are found.
    pub fn shortest_of_many(&self, from: Vec2, to: Vec2, clearance_m: f32, spent: &mut u64) -> Option<Route> {
        if !(from.is_finite() && to.is_finite() && clearance_m.is_finite()) {
            return None;
        }
        let clearance_m = f64::from(clearance_m.max(0.0));
        let way = shortest::shortest(&self.outlines, from.as_dvec2(), to.as_dvec2(), clearance_m, spent)?;
        let length_m: f64 = way.windows(2).map(|leg| leg[0].distance(leg[1])).sum();
        Some(Route { points: way.into_iter().map(DVec2::as_vec2).collect(), length_m: length_m as f32 })
    }

    /// One thing more: the convex hull of these spots. Without any spot nothing is added.
    pub(super) fn add(&mut self, of: Blocker, spots: impl IntoIterator<Item = DVec2>) {
        self.outlines.extend(Outline::around(of, spots));
    }
}

/// An octagon that holds the ellipse of these half sizes, about the origin.
pub(super) fn octagon(half_m: DVec2) -> [DVec2; 8] {
    let reach = 1.0 / (TAU / 16.0).cos();
    std::array::from_fn(|i| DVec2::from_angle(TAU * (i as f64 + 0.5) / 8.0) * reach * half_m)
}
