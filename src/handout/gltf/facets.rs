//! Solids as flat triangles, counterclockwise seen from outside.

use crate::staging::{Shape, TriangleMesh};
use glam::{Vec2, Vec3};

/// Three corners a triangle, each with its triangle's unit normal.
#[derive(Debug, Default)]
pub struct Facets {
    pub positions: Vec<Vec3>,
    pub normals: Vec<Vec3>,
}

/// Two shapes with the same key have the same triangles, bit for bit.
#[derive(Debug, PartialEq, Eq, Hash)]
pub enum ShapeKey {
    /// Blocks differ by their taper only: nodes scale them.
    Block([u32; 2]),
    Mesh(Vec<[u32; 3]>, Vec<[u32; 3]>),
}

pub fn key_of(shape: &Shape) -> ShapeKey {
    match shape {
        Shape::Block(block) => ShapeKey::Block(block.top.to_array().map(f32::to_bits)),
        Shape::Mesh(mesh) => {
            let corners = mesh.corners.iter().map(|corner| corner.to_array().map(f32::to_bits));
            ShapeKey::Mesh(corners.collect(), mesh.triangles.clone())
        }
    }
}

/// Of a block with half extents of 1 about its centre; of a mesh as it is.
pub fn facets_of(shape: &Shape) -> Facets {
    match shape {
        Shape::Block(block) => block_facets(block.top),
        Shape::Mesh(mesh) => mesh_facets(mesh),
    }
}

/// Corners of the six faces as signs along x, y and z.
const FACES: [[[f32; 3]; 4]; 6] = [
    [[1.0, -1.0, 1.0], [1.0, -1.0, -1.0], [1.0, 1.0, -1.0], [1.0, 1.0, 1.0]],
    [[-1.0, -1.0, -1.0], [-1.0, -1.0, 1.0], [-1.0, 1.0, 1.0], [-1.0, 1.0, -1.0]],
    [[-1.0, 1.0, 1.0], [1.0, 1.0, 1.0], [1.0, 1.0, -1.0], [-1.0, 1.0, -1.0]],
    [[-1.0, -1.0, -1.0], [1.0, -1.0, -1.0], [1.0, -1.0, 1.0], [-1.0, -1.0, 1.0]],
    [[-1.0, -1.0, 1.0], [1.0, -1.0, 1.0], [1.0, 1.0, 1.0], [-1.0, 1.0, 1.0]],
    [[1.0, -1.0, -1.0], [-1.0, -1.0, -1.0], [-1.0, 1.0, -1.0], [1.0, 1.0, -1.0]],
];

fn block_facets(top: Vec2) -> Facets {
    let mut facets = Facets::default();
    for face in FACES {
        let [a, b, c, d] = face.map(|[x, y, z]| {
            let narrow = if y > 0.0 { top } else { Vec2::ONE };
            Vec3::new(x * narrow.x, y, z * narrow.y)
        });
        facets.add([a, b, c]);
        facets.add([a, c, d]);
    }
    facets
}

fn mesh_facets(mesh: &TriangleMesh) -> Facets {
    let mut facets = Facets::default();
    for triangle in &mesh.triangles {
        let corner = |index: u32| mesh.corners.get(index as usize).copied();
        // A triangle that names a corner which does not exist is not there.
        if let [Some(a), Some(b), Some(c)] = triangle.map(corner) {
            facets.add([a, b, c]);
        }
    }
    facets
}

impl Facets {
    /// Leaves out triangles without area, and those with a corner that isn't a number: they have no normal.
    fn add(&mut self, corners: [Vec3; 3]) {
        let [a, b, c] = corners;
        if let Some(normal) = (b - a).cross(c - a).try_normalize() {
            self.positions.extend(corners);
            self.normals.extend([normal; 3]);
        }
    }
}
