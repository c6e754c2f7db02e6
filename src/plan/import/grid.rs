//! How a mesh fills the space that people walk in: columns over the floor, in layers.

use crate::plan::{LayerGrid, TriangleMesh};
use glam::{Vec2, Vec3};

/// A column's side, and how many there are at most along the longer side of a mesh: doors stay open. *Our own.*
const CELL_M: f32 = 0.1;
const CELLS: f32 = 1000.0;
/// Cells under all triangles together: more would take seconds. *Our own.*
const MOST_VISITS: f32 = 2e7;
/// What ends at the border of two cells fills one of them.
const HAIR_M: f32 = 1e-3;

/// Of a mesh whose own origin is `above_m` over the plan's floor. Every cell that a triangle touches is filled.
pub fn layer_grid(mesh: &TriangleMesh, above_m: f32, low: Vec3, high: Vec3) -> LayerGrid {
    let low = Vec2::new(low.x, low.z);
    let size = Vec2::new(high.x, high.z) - low;
    let mut cell_m = CELL_M.max(size.max_element() / CELLS);
    while visits(mesh, cell_m) > MOST_VISITS && cell_m < size.max_element() {
        cell_m *= 2.0;
    }
    let count = |side_m: f32| ((side_m - HAIR_M) / cell_m).floor().max(0.0) as usize + 1;
    let (across, along) = (count(size.x), count(size.y));
    let mut grid = LayerGrid { cell_m, low, across, along, layers: vec![0; across * along] };
    let lift = Vec3::new(-low.x, above_m, -low.y);
    let top_m = LayerGrid::LAYER_M * LayerGrid::LAYERS as f32;
    for triangle in &mesh.triangles {
        let corners = triangle.map(|corner| mesh.corners[corner as usize] + lift);
        let body = Piece::of(corners).between(1, 0.0, top_m);
        body.each_cell(2, cell_m, along, |row, piece| {
            piece.each_cell(0, cell_m, across, |column, piece| {
                let cell = &mut grid.layers[row * across + column];
                piece.each_cell(1, LayerGrid::LAYER_M, LayerGrid::LAYERS, |layer, _| *cell |= 1 << layer);
            });
        });
    }
    grid
}

/// Cells under the rectangles round all triangles.
fn visits(mesh: &TriangleMesh, cell_m: f32) -> f32 {
    let cells = |triangle: &[u32; 3]| {
        let [a, b, c] = triangle.map(|corner| mesh.corners[corner as usize]);
        let size = (a.max(b).max(c) - a.min(b).min(c)) / cell_m + 1.0;
        size.x * size.z
    };
    mesh.triangles.iter().map(cells).sum()
}

/// A flat convex piece of a triangle. Each cut adds a corner at most, and there are six.
#[derive(Clone, Copy)]
struct Piece {
    corners: [Vec3; 12],
    count: usize,
}

impl Piece {
    fn of(corners: [Vec3; 3]) -> Self {
        let mut piece = Self { corners: [Vec3::ZERO; 12], count: 3 };
        piece.corners[..3].copy_from_slice(&corners);
        piece
    }

    fn corners(&self) -> &[Vec3] {
        &self.corners[..self.count]
    }

    /// Calls with each cell along an axis that it fills some of, and what of it is there.
    fn each_cell(&self, axis: usize, cell_m: f32, cells: usize, mut visit: impl FnMut(usize, &Piece)) {
        if self.count == 0 {
            return;
        }
        let span = self.corners().iter().fold([f32::INFINITY, f32::NEG_INFINITY], |[low, high], corner| {
            [low.min(corner[axis]), high.max(corner[axis])]
        });
        let hair_m = HAIR_M.min((span[1] - span[0]) * 0.5);
        let cell = |m: f32| ((m / cell_m).floor().max(0.0) as usize).min(cells - 1);
        let (first, last) = (cell(span[0] + hair_m), cell(span[1] - hair_m));
        if first == last {
            visit(first, self);
            return;
        }
        for number in first..=last {
            let piece = self.between(axis, number as f32 * cell_m, (number + 1) as f32 * cell_m);
            visit(number, &piece);
        }
    }

    /// What of it lies between two planes: I. E. Sutherland, G. W. Hodgman, Comm. ACM 17 (1974), 32.
    fn between(&self, axis: usize, low: f32, high: f32) -> Piece {
        self.cut(|corner| corner[axis] - low).cut(|corner| high - corner[axis])
    }

    fn cut(&self, inside: impl Fn(Vec3) -> f32) -> Piece {
        let mut cut = Piece { count: 0, ..*self };
        let corners = self.corners();
        for (number, &corner) in corners.iter().enumerate() {
            let before = corners[(number + corners.len() - 1) % corners.len()];
            let (was, is) = (inside(before), inside(corner));
            if (was < 0.0) != (is < 0.0) {
                cut.add(before + (corner - before) * (was / (was - is)));
            }
            if is >= 0.0 {
                cut.add(corner);
            }
        }
        cut
    }

    /// Rounding may make more corners than a convex piece has; none that matters.
    fn add(&mut self, corner: Vec3) {
        if let Some(slot) = self.corners.get_mut(self.count) {
            *slot = corner;
            self.count += 1;
        }
    }
}
