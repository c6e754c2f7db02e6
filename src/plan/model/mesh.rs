//! Meshes that come from other programs and stand in the place.

use super::Colour;
use glam::{Vec2, Vec3};
use std::sync::Arc;

/// Triangles by the numbers of their corners.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct TriangleMesh {
    pub corners: Vec<Vec3>,
    pub triangles: Vec<[u32; 3]>,
}

/// A mesh of the plan's, put where it stands.
#[derive(Debug, Clone)]
pub struct Mesh {
    pub id: String,
    /// As the plan names it, from its own folder.
    pub file: String,
    /// Where the file's origin comes to be.
    pub at: Vec2,
    /// Height of that origin over the plan's floor, whatever platform is there.
    pub above_floor_m: f32,
    /// 0 leaves the file's x across and its z along.
    pub heading: f32,
    /// Linear tint, if the plan names a colour.
    pub colour: Option<Colour>,
    /// Spoils a picture.
    pub clutter: bool,
    pub body: Arc<MeshBody>,
}

/// What is in a file: metres in its own space, x across, y up, z along.
#[derive(Debug, Clone, Default)]
pub struct MeshBody {
    pub mesh: Arc<TriangleMesh>,
    pub low: Vec3,
    pub high: Vec3,
    /// Convex hull seen from above.
    pub outline: Vec<Vec2>,
    pub layers: LayerGrid,
}

/// Which part of the space over the floor a mesh touches: square columns seen from above, cut into layers.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LayerGrid {
    pub cell_m: f32,
    /// Corner of the first column, in the mesh's own x and z.
    pub low: Vec2,
    pub across: usize,
    pub along: usize,
    /// Of each column, row by row along z, a bit a layer; the lowest lies on the plan's floor.
    pub layers: Vec<u64>,
}

impl LayerGrid {
    pub const LAYER_M: f32 = 0.1;
    pub const LAYERS: usize = 64;

    /// Middle of a column.
    pub fn middle(&self, column: usize, row: usize) -> Vec2 {
        self.low + (Vec2::new(column as f32, row as f32) + 0.5) * self.cell_m
    }

    /// Whether anything of a column lies in layers that begin within a span of heights over the plan's floor.
    pub fn is_filled(&self, column: usize, row: usize, from_m: f32, to_m: f32) -> bool {
        let layer = |m: f32| (m / Self::LAYER_M - 0.01).ceil().clamp(0.0, Self::LAYERS as f32) as u32;
        let below = |layer: u32| 1u64.checked_shl(layer).map_or(u64::MAX, |bit| bit - 1);
        let asked = below(layer(to_m)) & !below(layer(from_m));
        self.layers.get(row * self.across + column).is_some_and(|layers| layers & asked != 0)
    }
}
