//! A hierarchy of boxes round things, eight children a node, for whatever lies in its leaves.
//!
//! Wide nodes after I. Wald, C. Benthin, S. Boulos, "Getting rid of packets" (IEEE Symposium on Interactive Ray Tracing,
//! 2008): one ray is tried against eight boxes at once.

mod beam;
mod build;
mod walk;

pub use beam::Beam;
pub use walk::{Lanes, NOTHING, Ray, first_lane};

use glam::Vec3;

/// An upright box that holds something, world space.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    pub low: Vec3,
    pub high: Vec3,
}

impl Bounds {
    pub const NOTHING: Self = Self { low: Vec3::INFINITY, high: Vec3::NEG_INFINITY };

    pub fn and(self, other: Self) -> Self {
        Self { low: self.low.min(other.low), high: self.high.max(other.high) }
    }

    pub fn with(self, point: Vec3) -> Self {
        Self { low: self.low.min(point), high: self.high.max(point) }
    }

    /// Larger by what rounding may lose on the way of a ray to it.
    pub fn padded(self) -> Self {
        let slack = self.low.abs().max(self.high.abs()) * 2e-6 + Vec3::splat(1e-6);
        Self { low: self.low - slack, high: self.high + slack }
    }

    fn half_area(self) -> f32 {
        let size = (self.high - self.low).max(Vec3::ZERO);
        size.x * size.y + size.y * size.z + size.z * size.x
    }

    fn is_finite(self) -> bool {
        self.low.is_finite() && self.high.is_finite() && self.low.cmple(self.high).all()
    }
}

/// Children of a node, lane by lane; unused lanes are boxes that no ray meets.
#[derive(Debug, Clone)]
#[repr(align(32))]
struct Node {
    low: [[f32; 8]; 3],
    high: [[f32; 8]; 3],
    child: [u32; 8],
}

/// Marks a child that is a leaf; the other bits are its number.
const LEAF: u32 = 1 << 31;

/// Things by number in leaves of up to eight.
#[derive(Debug, Clone, Default)]
pub struct Tree {
    /// The first is the root; empty if there is nothing.
    nodes: Vec<Node>,
    /// Numbers of the things in each leaf; [`NOTHING`] where there are fewer than eight.
    pub leaves: Vec<[u32; 8]>,
}

impl Tree {
    /// Of things by their bounds. Whatever has no finite bounds is left out.
    pub fn new(bounds: &[Bounds]) -> Self {
        build::build(bounds)
    }

    /// Names the first thing that is in no leaf, in two, or outside a box above it.
    ///
    /// # Errors
    /// What is broken, in words.
    pub fn validate(&self, bounds: &[Bounds]) -> Result<(), String> {
        let mut seen = vec![0u32; bounds.len()];
        let everywhere = Bounds { low: Vec3::NEG_INFINITY, high: Vec3::INFINITY };
        let mut open = if self.nodes.is_empty() { vec![] } else { vec![(0u32, everywhere)] };
        while let Some((child, round)) = open.pop() {
            if child & LEAF != 0 {
                let leaf = self.leaves.get((child & !LEAF) as usize).ok_or(format!("no leaf {}", child & !LEAF))?;
                for &thing in leaf.iter().filter(|thing| **thing != NOTHING) {
                    let own = bounds.get(thing as usize).ok_or(format!("no thing {thing}"))?;
                    if !(round.low.cmple(own.low).all() && round.high.cmpge(own.high).all()) {
                        return Err(format!("thing {thing} sticks out of its node: {own:?} in {round:?}"));
                    }
                    seen[thing as usize] += 1;
                }
                continue;
            }
            let node = self.nodes.get(child as usize).ok_or(format!("no node {child}"))?;
            for lane in (0..8).filter(|&lane| node.child[lane] != NOTHING) {
                let corner = |side: &[[f32; 8]; 3]| Vec3::from_array(std::array::from_fn(|axis| side[axis][lane]));
                let own = Bounds { low: corner(&node.low), high: corner(&node.high) };
                if !(round.low.cmple(own.low).all() && round.high.cmpge(own.high).all()) {
                    return Err(format!("lane {lane} of node {child} sticks out of the node above"));
                }
                open.push((node.child[lane], own));
            }
        }
        let wrong = (0..bounds.len()).find(|&thing| seen[thing] != u32::from(bounds[thing].is_finite()));
        wrong.map_or(Ok(()), |thing| Err(format!("thing {thing} is in {} leaves", seen[thing])))
    }
}
