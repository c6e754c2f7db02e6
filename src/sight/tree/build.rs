//! Builds a tree from above: splits where rays have the least to do (the surface area heuristic, J. D. MacDonald &
//! K. S. Booth, "Heuristics for ray tracing using space subdivision", The Visual Computer 6 (1990), 153), tried at sixteen
//! places along each axis; then takes pairs of pairs together to nodes of eight.

use super::{Bounds, LEAF, NOTHING, Node, Tree};
use glam::Vec3;

const BINS: usize = 16;
/// What a node costs, shared by the splits that it takes in, in leaves tried. *Measured here.*
const NODE_COST: f32 = 0.35;
/// From this depth on things are split in halves, so that no tree is deeper than a walk's memory.
const DEEPEST_BY_AREA: usize = 40;
/// Halves with more things than this are built side by side.
const SIDE_BY_SIDE: usize = 4096;

/// A tree of pairs, before it becomes one of eights.
enum Pair {
    Leaf { bounds: Bounds, things: Vec<u32> },
    Both { bounds: Bounds, halves: Box<[Pair; 2]> },
}

/// A thing with what its place in the tree depends on.
#[derive(Clone, Copy)]
struct Entry {
    bounds: Bounds,
    middle: Vec3,
    thing: u32,
}

pub(super) fn build(bounds: &[Bounds]) -> Tree {
    let mut entries: Vec<Entry> = bounds
        .iter()
        .enumerate()
        .filter(|(_, bounds)| bounds.is_finite())
        .map(|(thing, bounds)| {
            let bounds = bounds.padded();
            Entry { bounds, middle: bounds.low.midpoint(bounds.high), thing: thing as u32 }
        })
        .collect();
    let mut tree = Tree::default();
    if entries.is_empty() {
        return tree;
    }
    let root = split(&mut entries, 0);
    let first = match root {
        Pair::Leaf { .. } => vec![root],
        Pair::Both { halves, .. } => Vec::from(*halves),
    };
    tree.nodes.push(Node::EMPTY);
    tree.fill(0, first);
    tree
}

impl Pair {
    fn bounds(&self) -> Bounds {
        match self {
            Pair::Leaf { bounds, .. } | Pair::Both { bounds, .. } => *bounds,
        }
    }
}

fn split(entries: &mut [Entry], depth: usize) -> Pair {
    let round = |entries: &[Entry]| entries.iter().fold(Bounds::NOTHING, |sum, entry| sum.and(entry.bounds));
    let bounds = round(entries);
    let place = match depth {
        ..DEEPEST_BY_AREA => best_place(entries, bounds),
        _ => None,
    };
    let fits = entries.len() <= 8;
    if fits && place.is_none_or(|place| place.cost >= 1.0) {
        return Pair::Leaf { bounds, things: entries.iter().map(|entry| entry.thing).collect() };
    }
    let at = match place {
        Some(place) => partition(entries, |entry| place.is_before(entry)),
        None => entries.len() / 2,
    };
    let (before, after) = entries.split_at_mut(at);
    let halves = if before.len().min(after.len()) > SIDE_BY_SIDE {
        rayon::join(|| split(before, depth + 1), || split(after, depth + 1))
    } else {
        (split(before, depth + 1), split(after, depth + 1))
    };
    Pair::Both { bounds, halves: Box::new([halves.0, halves.1]) }
}

/// Where to split.
#[derive(Clone, Copy)]
struct Place {
    axis: usize,
    low: f32,
    bins_per_m: f32,
    last_before: usize,
    /// Over the cost of one leaf that is always tried.
    cost: f32,
}

impl Place {
    fn is_before(&self, entry: &Entry) -> bool {
        bin_of(entry.middle[self.axis], self.low, self.bins_per_m) <= self.last_before
    }
}

fn bin_of(middle: f32, low: f32, bins_per_m: f32) -> usize {
    (((middle - low) * bins_per_m) as usize).min(BINS - 1)
}

/// The cheapest of all places that leave something on both sides.
fn best_place(entries: &[Entry], bounds: Bounds) -> Option<Place> {
    let middles = entries.iter().fold(Bounds::NOTHING, |sum, entry| sum.with(entry.middle));
    let whole = bounds.half_area().max(1e-20);
    let mut best: Option<Place> = None;
    for axis in 0..3 {
        let (low, size) = (middles.low[axis], middles.high[axis] - middles.low[axis]);
        let bins_per_m = BINS as f32 / size;
        if !(size > 0.0 && bins_per_m.is_finite()) {
            continue;
        }
        let mut bins = [(Bounds::NOTHING, 0usize); BINS];
        for entry in entries {
            let (bounds, count) = &mut bins[bin_of(entry.middle[axis], low, bins_per_m)];
            (*bounds, *count) = (bounds.and(entry.bounds), *count + 1);
        }
        let mut after = [(0.0, 0); BINS];
        let (mut sum, mut count) = (Bounds::NOTHING, 0);
        for bin in (1..BINS).rev() {
            (sum, count) = (sum.and(bins[bin].0), count + bins[bin].1);
            after[bin] = (sum.half_area(), count);
        }
        let (mut sum, mut count) = (Bounds::NOTHING, 0);
        for last_before in 0..BINS - 1 {
            (sum, count) = (sum.and(bins[last_before].0), count + bins[last_before].1);
            let (area_after, count_after) = after[last_before + 1];
            if count == 0 || count_after == 0 {
                continue;
            }
            let cost = NODE_COST + (sum.half_area() * leaves(count) + area_after * leaves(count_after)) / whole;
            if best.is_none_or(|best| cost < best.cost) {
                best = Some(Place { axis, low, bins_per_m, last_before, cost });
            }
        }
    }
    best
}

/// Leaves that so many things take.
fn leaves(count: usize) -> f32 {
    (count as f32 / 8.0).max(1.0)
}

/// Brings those that come before to the front, in a fixed order; returns how many.
fn partition(entries: &mut [Entry], before: impl Fn(&Entry) -> bool) -> usize {
    let mut count = 0;
    for i in 0..entries.len() {
        if before(&entries[i]) {
            entries.swap(i, count);
            count += 1;
        }
    }
    count
}

impl Node {
    const EMPTY: Self = Self { low: [[f32::INFINITY; 8]; 3], high: [[f32::NEG_INFINITY; 8]; 3], child: [NOTHING; 8] };

    fn set(&mut self, lane: usize, bounds: Bounds, child: u32) {
        for axis in 0..3 {
            self.low[axis][lane] = bounds.low[axis];
            self.high[axis][lane] = bounds.high[axis];
        }
        self.child[lane] = child;
    }
}

impl Tree {
    /// Fills a node with pairs, opening the largest until there are eight.
    fn fill(&mut self, node: usize, mut children: Vec<Pair>) {
        while children.len() < 8 {
            let areas = children.iter().enumerate().filter_map(|(i, pair)| match pair {
                Pair::Both { bounds, .. } => Some((bounds.half_area(), i)),
                Pair::Leaf { .. } => None,
            });
            let Some((_, largest)) = areas.max_by(|a, b| a.0.total_cmp(&b.0)) else { break };
            if let Pair::Both { halves, .. } = children.swap_remove(largest) {
                children.extend(*halves);
            }
        }
        for (lane, pair) in children.into_iter().enumerate() {
            let bounds = pair.bounds();
            let child = match pair {
                Pair::Leaf { things, .. } => {
                    let mut leaf = [NOTHING; 8];
                    leaf[..things.len()].copy_from_slice(&things);
                    self.leaves.push(leaf);
                    (self.leaves.len() - 1) as u32 | LEAF
                }
                Pair::Both { halves, .. } => {
                    self.nodes.push(Node::EMPTY);
                    let number = self.nodes.len() - 1;
                    self.fill(number, Vec::from(*halves));
                    number as u32
                }
            };
            self.nodes[node].set(lane, bounds, child);
        }
    }
}
