//! Other ways of casting rays, to be measured against.

use crate::Rays;
use glam::{Vec2, Vec3};
use obvhs::BvhBuildParams;
use obvhs::cwbvh::{CwBvh, builder::build_cwbvh_from_tris};
use obvhs::ray::{Ray, RayHit};
use obvhs::triangle::Triangle;
use standpoint::handout::glb;
use standpoint::plan::Plan;
use standpoint::staging::{Block, Shape, Solid, Tableau};
use std::path::Path;
use std::process::Command;
use std::time::Duration;

/// The crate's eight-wide tree over triangles, built for speed of rays.
pub struct Crate {
    tree: CwBvh,
    /// In the tree's order.
    triangles: Vec<Triangle>,
}

impl Crate {
    pub fn new(tableau: &Tableau) -> Self {
        let triangles: Vec<Triangle> = tableau.solids.iter().flat_map(triangles_of).collect();
        let tree = build_cwbvh_from_tris(&triangles, BvhBuildParams::slow_build(), &mut Duration::default());
        let triangles = tree.primitive_indices.iter().map(|&index| triangles[index as usize]).collect();
        Self { tree, triangles }
    }

    pub fn hits(&self, &(origin, way): &(Vec3, Vec3)) -> usize {
        let [origin, way] = [origin, way].map(|it| it.to_array().into());
        let mut hit = RayHit::none();
        usize::from(
            self.tree
                .ray_traverse(Ray::new_inf(origin, way), &mut hit, |ray, index| self.triangles[index].intersect(ray)),
        )
    }
}

fn triangles_of(solid: &Solid) -> Vec<Triangle> {
    const FACES: [[usize; 4]; 6] = [[0, 2, 6, 4], [1, 5, 7, 3], [0, 4, 5, 1], [2, 3, 7, 6], [0, 1, 3, 2], [4, 6, 7, 5]];
    let world = |corner: Vec3| (solid.at + solid.turned * corner).to_array().into();
    let triangle = |[a, b, c]: [Vec3; 3]| Triangle { v0: world(a), v1: world(b), v2: world(c) };
    match &solid.shape {
        Shape::Block(block) => {
            let corners = corners_of(block);
            FACES
                .iter()
                .flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]])
                .map(|face| triangle(face.map(|i| corners[i])))
                .collect()
        }
        Shape::Mesh(mesh) => {
            mesh.triangles.iter().map(|face| triangle(face.map(|i| mesh.corners[i as usize]))).collect()
        }
    }
}

fn corners_of(block: &Block) -> [Vec3; 8] {
    std::array::from_fn(|corner| {
        let sign = |bit: usize| if corner >> bit & 1 == 0 { -1.0 } else { 1.0 };
        let wide = if corner >> 1 & 1 == 0 { Vec2::ONE } else { block.top };
        block.half_m * Vec3::new(sign(0) * wide.x, sign(1), sign(2) * wide.y)
    })
}

/// Embree on one thread, by the script that the reference counts come from.
pub fn embree(plan: &Plan, tableau: &Tableau, rays: &Rays) -> Result<String, String> {
    let folder = tempfile::tempdir().map_err(|error| error.to_string())?;
    let (file, ray_file) = (folder.path().join("tableau.glb"), folder.path().join("rays"));
    std::fs::write(&file, glb(plan, tableau, &[])).map_err(|error| error.to_string())?;
    let bytes: Vec<u8> = rays
        .iter()
        .flat_map(|(origin, way)| [origin.to_array(), way.to_array()])
        .flatten()
        .flat_map(f32::to_le_bytes)
        .collect();
    std::fs::write(&ray_file, bytes).map_err(|error| error.to_string())?;
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/sight/rays.py");
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let done = Command::new(python).arg(script).arg(file).arg(ray_file).output().map_err(|error| error.to_string())?;
    let told: serde_json::Value = serde_json::from_slice(&done.stdout)
        .map_err(|_| String::from_utf8_lossy(&done.stderr).lines().last().unwrap_or("no answer").to_owned())?;
    let m_rays = told["rays_per_s"].as_f64().unwrap_or(0.0) / 1e6;
    let (triangles, hits) = (&told["triangles"], &told["hits"]);
    let name = format!("Embree, {triangles} triangles, one thread");
    Ok(format!("{name:<40} {m_rays:>7.2} M rays/s  {hits} hits"))
}
