//! The scene of a file as one mesh: every node's triangles where the nodes above it put them.

use super::numbers::Store;
use super::slip::{MeshSlip, short};
use crate::plan::TriangleMesh;
use crate::plan::limits;
use glam::{DMat4, DQuat, DVec3, Vec3};
use gltf::json::mesh::{Mode, Primitive, Semantic};
use gltf::json::scene::Node;
use gltf::json::validation::Checked;
use gltf::json::{Index, Root};
use std::collections::HashSet;

/// All triangles with an area, in the file's own space times `scale`. Bones and shape keys stay as they were modelled.
pub fn merged(root: &Root, buffers: &[Vec<u8>], scale: f64) -> Result<TriangleMesh, MeshSlip> {
    let store = Store { root, buffers, most: limits::MESH_TRIANGLES * 3 };
    let mut merge = Merge { mesh: TriangleMesh::default(), corners_read: 0, indices_read: 0 };
    let mut seen = HashSet::new();
    let mut open: Vec<(usize, DMat4)> = roots(root).into_iter().map(|node| (node, DMat4::IDENTITY)).collect();
    open.reverse();
    while let Some((number, world_from_parent)) = open.pop() {
        let Some(node) = root.nodes.get(number) else {
            return Err(MeshSlip::Broken(format!("there is no node {number}")));
        };
        if !seen.insert(number) {
            return Err(MeshSlip::Broken(format!("{} hangs below two others, or below itself", name_of(node, number))));
        }
        let world_from_node = world_from_parent * parent_from_node(node);
        if let Some(mesh) = node.mesh {
            let Some(mesh) = root.meshes.get(mesh.value()) else {
                return Err(MeshSlip::Broken(format!("there is no mesh {}", mesh.value())));
            };
            for primitive in &mesh.primitives {
                merge.add(&store, primitive, world_from_node, scale).map_err(|slip| match slip {
                    MeshSlip::NotNumbers(_) => MeshSlip::NotNumbers(name_of(node, number)),
                    slip => slip,
                })?;
            }
        }
        let children = node.children.iter().flatten().rev();
        open.extend(children.map(|child| (child.value(), world_from_node)));
    }
    Ok(merge.mesh)
}

/// Of the scene that is shown; of a file without scenes all that hang below nothing.
fn roots(root: &Root) -> Vec<usize> {
    let scene = root.scene.and_then(|scene| root.scenes.get(scene.value())).or(root.scenes.first());
    match scene {
        Some(scene) => scene.nodes.iter().map(Index::value).collect(),
        None => {
            let below: HashSet<usize> =
                root.nodes.iter().flat_map(|node| node.children.iter().flatten().map(Index::value)).collect();
            (0..root.nodes.len()).filter(|node| !below.contains(node)).collect()
        }
    }
}

fn parent_from_node(node: &Node) -> DMat4 {
    if let Some(matrix) = node.matrix {
        return DMat4::from_cols_array(&matrix.map(f64::from));
    }
    let three = |values: Option<[f32; 3]>, usual: f32| DVec3::from_array(values.unwrap_or([usual; 3]).map(f64::from));
    let turned = node.rotation.map(|turned| DQuat::from_array(turned.0.map(f64::from)));
    let turned = turned.filter(|turned| turned.length_squared() > 0.0).map_or(DQuat::IDENTITY, DQuat::normalize);
    DMat4::from_scale_rotation_translation(three(node.scale, 1.0), turned, three(node.translation, 0.0))
}

fn name_of(node: &Node, number: usize) -> String {
    node.name.as_deref().map_or_else(|| format!("node {number}"), |name| format!("`{}`", short(name)))
}

struct Merge {
    mesh: TriangleMesh,
    /// In all instances together, so that a few corners put about millions of times are told before they are read.
    corners_read: usize,
    indices_read: usize,
}

impl Merge {
    fn add(
        &mut self,
        store: &Store,
        primitive: &Primitive,
        world_from_node: DMat4,
        scale: f64,
    ) -> Result<(), MeshSlip> {
        let Checked::Valid(mode @ (Mode::Triangles | Mode::TriangleStrip | Mode::TriangleFan)) = primitive.mode else {
            return Ok(());
        };
        let Some(positions) = primitive.attributes.get(&Checked::Valid(Semantic::Positions)) else { return Ok(()) };
        self.corners_read += store.count(*positions)?;
        self.indices_read += primitive.indices.map_or(Ok(0), |indices| store.count(indices))?;
        if self.corners_read.max(self.indices_read) > store.most {
            return Err(MeshSlip::TooManyTriangles);
        }
        let corners = placed(&store.corners(*positions)?, world_from_node, scale)?;
        let order = match primitive.indices {
            Some(indices) => store.indices(indices)?,
            None => (0..corners.len() as u32).collect(),
        };
        let mirrored = world_from_node.determinant() < 0.0;
        let first = self.mesh.corners.len() as u32;
        for [a, b, c] in triangles(mode, &order) {
            let corner = |index: u32| corners.get(index as usize).copied();
            let (Some(at_a), Some(at_b), Some(at_c)) = (corner(a), corner(b), corner(c)) else {
                return Err(MeshSlip::Broken(format!("a triangle names a corner after the last, {}", a.max(b).max(c))));
            };
            // Strips turn on the spot by triangles without area.
            if (at_b - at_a).cross(at_c - at_a).length_squared() > 0.0 {
                let [b, c] = if mirrored { [c, b] } else { [b, c] };
                self.mesh.triangles.push([first + a, first + b, first + c]);
            }
        }
        if self.mesh.triangles.len() > limits::MESH_TRIANGLES {
            return Err(MeshSlip::TooManyTriangles);
        }
        self.mesh.corners.extend(corners);
        Ok(())
    }
}

fn placed(corners: &[[f32; 3]], world_from_node: DMat4, scale: f64) -> Result<Vec<Vec3>, MeshSlip> {
    let place = |corner: &[f32; 3]| {
        let at = world_from_node.transform_point3(DVec3::from_array(corner.map(f64::from))) * scale;
        at.as_vec3()
    };
    let corners: Vec<Vec3> = corners.iter().map(place).collect();
    let numbers = corners.iter().all(|corner| corner.is_finite());
    if numbers { Ok(corners) } else { Err(MeshSlip::NotNumbers(String::new())) }
}

/// Three indices each; every second triangle of a strip is turned back, §3.7.2.1.
fn triangles(mode: Mode, order: &[u32]) -> Vec<[u32; 3]> {
    match mode {
        Mode::TriangleStrip => {
            let windows = order.array_windows::<3>().enumerate();
            windows.map(|(number, &[a, b, c])| if number % 2 == 0 { [a, b, c] } else { [a, c, b] }).collect()
        }
        Mode::TriangleFan => {
            let rim = order.get(1..).unwrap_or_default();
            rim.array_windows::<2>().map(|&[b, c]| [order[0], b, c]).collect()
        }
        _ => order.as_chunks::<3>().0.to_vec(),
    }
}
