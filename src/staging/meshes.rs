//! Meshes from other programs: one solid each, and where they meet walkers.

use super::carve::{Carver, of, rgb};
use super::floor::{floor_height, plan_spot};
use super::tableau::{Finish, Part, Shape, Solid};
use crate::plan::{LayerGrid, Mesh, Venue};
use glam::{Quat, Vec2, Vec3};
use std::sync::Arc;

/// One steps over what is lower, and walks under what hangs higher: *judged*, as of fixtures.
const STEP_OVER_M: f32 = 0.2;
const WALK_UNDER_M: f32 = 1.9;
/// What is known of a mesh over the floor ends here.
const KNOWN_M: f32 = LayerGrid::LAYER_M * LayerGrid::LAYERS as f32;
/// With more pieces than this in the way, ways take too long to find, and cells are taken four together. *Our own.*
const MOST_FEET: usize = 400;

pub fn carve_mesh(carver: &mut Carver, mesh: &Mesh) {
    carver.push(Solid {
        shape: Shape::Mesh(Arc::clone(&mesh.body.mesh)),
        at: Vec3::new(mesh.at.x, mesh.above_floor_m, mesh.at.y),
        turned: Quat::from_rotation_y(-mesh.heading),
        owner: carver.owner(),
        part: Part::Thing,
        material: of(Finish::Paint, mesh.colour.unwrap_or(rgb(0.66, 0.64, 0.60))),
    });
}

/// Where a mesh is between a walker's shins and crown, as rectangles in the plan, each turned as the mesh is. On platforms
/// that is so much higher: a mesh's own steps and daises are walked on where the plan has platforms of their height.
pub fn mesh_feet(venue: &Venue, mesh: &Mesh) -> Vec<[Vec2; 4]> {
    let filled = filled_cells(venue, mesh);
    let layers = &mesh.body.layers;
    let (mut cells, mut cell_m) = (Cells { filled, across: layers.across }, layers.cell_m);
    let mut found = cells.rectangles();
    while found.len() > MOST_FEET {
        (cells, cell_m) = (cells.coarser(), cell_m * 2.0);
        found = cells.rectangles();
    }
    let corner = |column: usize, row: usize| {
        let own = layers.low + Vec2::new(column as f32, row as f32) * cell_m;
        plan_spot(own, mesh.at, mesh.heading)
    };
    let on_floor = |[left, top, right, bottom]: [usize; 4]| {
        [corner(left, top), corner(right, top), corner(right, bottom), corner(left, bottom)]
    };
    found.into_iter().map(on_floor).collect()
}

fn filled_cells(venue: &Venue, mesh: &Mesh) -> Vec<bool> {
    let layers = &mesh.body.layers;
    let height = |own: Vec2| floor_height(venue, plan_spot(own, mesh.at, mesh.heading));
    let is_filled = |column: usize, row: usize| {
        if !layers.is_filled(column, row, STEP_OVER_M, KNOWN_M) {
            return false;
        }
        let middle = layers.middle(column, row);
        // The face of a step belongs to whoever stands on it.
        let round = [Vec2::ZERO, Vec2::X, Vec2::NEG_X, Vec2::Y, Vec2::NEG_Y];
        let floor_m = match venue.platforms.is_empty() {
            true => 0.0,
            false => round.map(|way| height(middle + way * layers.cell_m)).into_iter().fold(0.0, f32::max),
        };
        layers.is_filled(column, row, floor_m + STEP_OVER_M, floor_m + WALK_UNDER_M)
    };
    let cells = (0..layers.along).flat_map(|row| (0..layers.across).map(move |column| (column, row)));
    cells.map(|(column, row)| is_filled(column, row)).collect()
}

/// A floor in square cells, row by row.
struct Cells {
    filled: Vec<bool>,
    across: usize,
}

impl Cells {
    fn along(&self) -> usize {
        self.filled.len().checked_div(self.across).unwrap_or(0)
    }

    /// Of cells twice as wide, each filled if one of its four is.
    fn coarser(&self) -> Cells {
        let (across, along) = (self.across.div_ceil(2), self.along().div_ceil(2));
        let mut coarse = Cells { filled: vec![false; across * along], across };
        for (number, _) in self.filled.iter().enumerate().filter(|(_, filled)| **filled) {
            let (row, column) = (number / self.across, number % self.across);
            coarse.filled[row / 2 * across + column / 2] = true;
        }
        coarse
    }

    /// The filled ones as few rectangles: each as wide as it can be, then as deep. Left, top, right, bottom.
    fn rectangles(&self) -> Vec<[usize; 4]> {
        let (mut left_over, across) = (self.filled.clone(), self.across);
        let mut found = Vec::new();
        for row in 0..self.along() {
            let mut column = 0;
            while column < across {
                if !left_over[row * across + column] {
                    column += 1;
                    continue;
                }
                let right = (column..across).find(|x| !left_over[row * across + x]).unwrap_or(across);
                let run = |y: usize| y * across + column..y * across + right;
                let mut bottom = row;
                while left_over.get(run(bottom)).is_some_and(|cells| cells.iter().all(|cell| *cell)) {
                    left_over[run(bottom)].fill(false);
                    bottom += 1;
                }
                found.push([column, row, right, bottom]);
                column = right;
            }
        }
        found
    }
}
