//! The shortest way between two spots round convex outlines.
//!
//! A shortest way is straight but for bends at corners of outlines (T. Lozano-Pérez and M. A. Wesley, Comm. ACM 22(10),
//! 1979). So it is a shortest path in the graph of corners that see each other. Most outlines of a venue have no part in a
//! given way: we begin as if there were none, and take in those that the way found so far enters, until it enters none.
//! Each of these ways is the shortest round fewer outlines than there are, so the first free one is the shortest.

use super::outline::Outline;
use glam::DVec2;
use pathfinding::prelude::astar;
use std::cell::{Cell, RefCell};
use std::collections::HashMap;

/// How far ways keep off outlines in addition, so that they stay free when their bends are rounded to `f32` (0.03 mm at
/// 500 m), and so that nobody slips through between two outlines that touch.
const SLACK_M: f64 = 1e-4;

/// How often legs are held against outlines in search of the very shortest way; routes of the demo take a hundredth of
/// it. After that the search is content with a way up to a tenth longer, and at last it gives up.
const EXACT_TESTS: u64 = 4_000_000;
const MOST_TESTS: u64 = 50_000_000;
/// For all ways of a ceremony, seconds of work; after that ways must be found with few tests.
const TESTS_IN_ALL: u64 = 60_000_000;
const EASY_TESTS: u64 = 5_000;
/// Looking at a bend, or at an outline far off, is so much cheaper than a test.
const CHEAPER: u64 = 16;
/// A* finds a way at most this much longer than the shortest if it overrates what is left by as much (I. Pohl, Artificial
/// Intelligence 1, 1970; from memory).
const CONTENT: f64 = 1.1;

/// Start, bends and end of the shortest way that keeps `clearance_m` from all outlines.
///
/// `spent` counts tests over all ways that share it.
pub fn shortest(outlines: &[Outline], from: DVec2, to: DVec2, clearance_m: f64, spent: &mut u64) -> Option<Vec<DVec2>> {
    let most = MOST_TESTS.min(TESTS_IN_ALL.saturating_sub(*spent)).max(EASY_TESTS);
    let mut known = Known::new(from, to, most);
    let way = search(&mut known, outlines, from, to, clearance_m);
    *spent += known.tests.get();
    way
}

fn search<'a>(
    known: &mut Known<'a>,
    outlines: &'a [Outline],
    from: DVec2,
    to: DVec2,
    clearance_m: f64,
) -> Option<Vec<DVec2>> {
    let mut beyond: Vec<Grown> = outlines.iter().filter_map(|o| Grown::new(o, from, to, clearance_m)).collect();
    loop {
        let way = known.shortest()?;
        known.note_tests((beyond.len() * way.len()) as u64 / CHEAPER);
        let (entered, free) = beyond.into_iter().partition(|o| way.windows(2).any(|leg| o.is_entered(leg[0], leg[1])));
        beyond = free;
        let entered: Vec<Grown> = entered;
        if entered.is_empty() {
            return Some(way);
        }
        entered.into_iter().for_each(|outline| known.add(outline));
    }
}

/// An outline grown by what a walker keeps off it.
struct Grown<'a> {
    outline: &'a Outline,
    by_m: f64,
}

impl<'a> Grown<'a> {
    /// Where a way starts or ends closer, the outline is grown only so far; where one stands in it, it is left out.
    fn new(outline: &'a Outline, from: DVec2, to: DVec2, clearance_m: f64) -> Option<Self> {
        let close = |spot| outline.is_near(spot, spot, clearance_m + 3.0 * SLACK_M);
        let apart_m = |spot| if close(spot) { outline.apart_m(spot) } else { f64::INFINITY };
        let apart_m = apart_m(from).min(apart_m(to));
        (apart_m > 0.0).then_some(Self { outline, by_m: (clearance_m + SLACK_M).min(apart_m - SLACK_M) })
    }

    fn is_entered(&self, from: DVec2, to: DVec2) -> bool {
        self.outline.is_near(from, to, self.by_m) && self.outline.entered_at(from, to, self.by_m).is_some()
    }

    fn holds(&self, spot: DVec2) -> bool {
        self.is_entered(spot, spot)
    }

    /// Corners that one may bend at, each with its neighbours: a little outside.
    fn bends(&self) -> Vec<Bend> {
        let corners: Vec<DVec2> = self.outline.corners(self.by_m + SLACK_M).collect();
        let beside = corners.iter().cycle().skip(corners.len().saturating_sub(1)).zip(corners.iter().cycle().skip(1));
        corners
            .iter()
            .zip(beside)
            .map(|(at, (a, b))| Bend { at: *at, beside: Some([*a, *b]), covered: false })
            .collect()
    }
}

/// A spot where ways may start, bend or end.
struct Bend {
    at: DVec2,
    /// Of a corner, its neighbours on its outline.
    beside: Option<[DVec2; 2]>,
    /// Another outline lies over it.
    covered: bool,
}

impl Bend {
    /// Only ways that touch an outline and leave it on one side can bend round it.
    fn is_passed_by(&self, to: DVec2) -> bool {
        self.beside.is_none_or(|[a, b]| {
            let way = to - self.at;
            way.perp_dot(a - self.at) * way.perp_dot(b - self.at) >= -1e-12
        })
    }
}

/// The outlines taken in so far, and where one may bend among them.
struct Known<'a> {
    outlines: Vec<Grown<'a>>,
    /// Start, end, then corners.
    bends: Vec<Bend>,
    /// What is known of the straight way between two bends, by their places in `bends`, the lower first.
    legs: RefCell<HashMap<(usize, usize), Leg>>,
    tests: Cell<u64>,
    most_tests: u64,
}

#[derive(Clone, Copy)]
enum Leg {
    /// Enters none of the first so many outlines.
    FreeOf(usize),
    Closed,
}

impl<'a> Known<'a> {
    fn new(from: DVec2, to: DVec2, most_tests: u64) -> Self {
        let ends = [from, to].map(|at| Bend { at, beside: None, covered: false });
        Self { outlines: vec![], bends: ends.into(), legs: RefCell::default(), tests: Cell::new(0), most_tests }
    }

    fn add(&mut self, outline: Grown<'a>) {
        self.note_tests((self.bends.len() + 8 * self.outlines.len()) as u64);
        self.bends.iter_mut().for_each(|bend| bend.covered |= outline.holds(bend.at));
        let free = |bend: &Bend| !self.outlines.iter().any(|o| o.holds(bend.at));
        self.bends.extend(outline.bends().into_iter().filter(free));
        self.outlines.push(outline);
    }

    fn note_tests(&self, tests: u64) {
        self.tests.set(self.tests.get() + tests);
    }

    fn gives_up(&self) -> bool {
        self.tests.get() > self.most_tests
    }

    fn shortest(&self) -> Option<Vec<DVec2>> {
        let [start, end] = [0, 1];
        let to = self.bends[end].at;
        let rated = if self.tests.get() > EXACT_TESTS { CONTENT } else { 1.0 };
        let left = |bend: &usize| micrometres(self.bends[*bend].at.distance(to) * rated).saturating_sub(1);
        let (way, _) = astar(&start, |bend| self.seen_from(*bend), left, |bend| *bend == end)?;
        Some(way.into_iter().map(|bend| self.bends[bend].at).collect())
    }

    /// Bends that one can walk straight to, with the length of the way.
    fn seen_from(&self, from: usize) -> impl Iterator<Item = (usize, u64)> + '_ {
        let here = &self.bends[from];
        self.note_tests(self.bends.len() as u64 / CHEAPER);
        let sensible = move |there: &Bend| !there.covered && here.is_passed_by(there.at) && there.is_passed_by(here.at);
        let others = self.bends.iter().enumerate().take(if self.gives_up() { 0 } else { usize::MAX });
        let others = others.filter(move |(ix, there)| *ix != from && sensible(there));
        let seen = others.filter(move |(ix, _)| self.is_free(from.min(*ix), from.max(*ix)));
        seen.map(move |(ix, there)| (ix, micrometres(here.at.distance(there.at))))
    }

    /// Holds a leg against the outlines that have come since it was last asked for.
    fn is_free(&self, from: usize, to: usize) -> bool {
        let (a, b) = (self.bends[from].at, self.bends[to].at);
        let mut legs = self.legs.borrow_mut();
        let leg = legs.entry((from, to)).or_insert(Leg::FreeOf(0));
        let Leg::FreeOf(done) = *leg else { return false };
        let new = &self.outlines[done..];
        let closed = new.iter().position(|o| o.is_entered(a, b));
        self.note_tests(closed.map_or(new.len(), |first| first + 1) as u64);
        *leg = if closed.is_some() { Leg::Closed } else { Leg::FreeOf(self.outlines.len()) };
        closed.is_none() && !self.gives_up()
    }
}

/// Whole numbers add up to the same sum in any order.
fn micrometres(length_m: f64) -> u64 {
    (length_m * 1e6).round() as u64
}
