//! Meshes from other programs: glTF 2.0 (Khronos Group, "glTF 2.0 Specification", 2.0.1, 2021) to triangles with what
//! drawing and walking ask of them.
//!
//! Bytes come in, none is read here. What a file says is believed nowhere: every offset, count and index is checked.

mod file;
mod grid;
mod numbers;
mod scene;
mod slip;

pub use file::Fetch;
pub use slip::MeshSlip;

use super::limits;
use super::model::{MeshBody, TriangleMesh};
use glam::{Vec2, Vec3};
use std::sync::Arc;

/// How the plan wants a file: what its corners are multiplied by, and how high over the floor its origin is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    pub scale: f64,
    pub above_floor_m: f32,
}

/// The mesh in the bytes of a `.glb` or `.gltf` file; `fetch` finds the files that it names.
///
/// # Errors
/// Whatever is wrong with it, and with its size.
pub fn mesh_of(bytes: &[u8], wanted: Wanted, fetch: Fetch) -> Result<MeshBody, MeshSlip> {
    let (root, buffers) = file::opened(bytes, fetch)?;
    let mesh = scene::merged(&root, &buffers, wanted.scale)?;
    if mesh.triangles.is_empty() {
        return Err(MeshSlip::NoTriangles);
    }
    let (low, high) = bounds(&mesh);
    fits(low, high)?;
    let layers = grid::layer_grid(&mesh, wanted.above_floor_m, low, high);
    Ok(MeshBody { low, high, outline: outline(&mesh), layers, mesh: Arc::new(mesh) })
}

fn used(mesh: &TriangleMesh) -> impl Iterator<Item = Vec3> + '_ {
    mesh.triangles.iter().flatten().map(|corner| mesh.corners[*corner as usize])
}

fn bounds(mesh: &TriangleMesh) -> (Vec3, Vec3) {
    used(mesh).fold((Vec3::INFINITY, Vec3::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)))
}

fn fits(low: Vec3, high: Vec3) -> Result<(), MeshSlip> {
    let side_m = f64::from((high - low).max_element());
    let away_m = f64::from(low.abs().max(high.abs()).max_element());
    if side_m > limits::MESH_WIDEST_M {
        Err(MeshSlip::TooWide(side_m))
    } else if side_m < limits::MESH_SMALLEST_M {
        Err(MeshSlip::TooSmall(side_m))
    } else if away_m > limits::MESH_FARTHEST_M {
        Err(MeshSlip::FarOff(away_m))
    } else {
        Ok(())
    }
}

/// The convex hull seen from above: A. M. Andrew, Inf. Process. Lett. 9 (1979), 216.
fn outline(mesh: &TriangleMesh) -> Vec<Vec2> {
    let mut spots: Vec<Vec2> = used(mesh).map(|at| Vec2::new(at.x, at.z)).collect();
    spots.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    spots.dedup();
    let chain = |spots: &mut dyn Iterator<Item = Vec2>| {
        let mut chain: Vec<Vec2> = Vec::new();
        for spot in spots {
            while let [.., a, b] = chain[..]
                && (b - a).perp_dot(spot - b) <= 0.0
            {
                chain.pop();
            }
            chain.push(spot);
        }
        chain.pop();
        chain
    };
    let mut hull = chain(&mut spots.iter().copied());
    hull.extend(chain(&mut spots.iter().rev().copied()));
    hull
}
