//! A tableau with its planned cameras as one glTF 2.0 binary file (Khronos Group, "glTF 2.0 Specification", 2.0.1, 2021).
//!
//! One scene, flat: a node a solid, then a node a camera. The format's space is ours: metres, right-handed, y up (§3.4);
//! its cameras look along their −z with +y up (§3.10). Blocks are sharp, as sight takes them. Shapes are stored once and
//! scaled by the nodes, so that a hundred chairs cost little more than one.
//!
//! The dozen objects of the format that this takes are written by our own few structs: a library for all of it would be
//! more crates than lines saved, and leaves the tests an independent reader.

mod document;
mod facets;
mod names;
mod paint;

use crate::optics::Camera;
use crate::plan::Plan;
use crate::staging::{Shape, Solid, Tableau};
use document::{
    Accessor, Asset, Buffer, BufferView, CameraObject, Document, Extras, Mesh, Node, Perspective, Primitive, Scene,
    VERTICES,
};
use facets::{Facets, ShapeKey, facets_of, key_of};
use glam::Vec3;
use names::{Names, part_word};
use paint::Painter;
use std::collections::HashMap;

/// Nearest that the planned cameras draw; no lens is nearer to anything than its own front.
const Z_NEAR_M: f64 = 0.05;

/// The camera of a planned frame, pointed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlannedCamera<'a> {
    /// The frame's id.
    pub frame: &'a str,
    pub camera: Camera,
}

/// The whole file: a node `owner/part` for every solid (`owner/part#2` and so on for a second of that name), a node
/// `frame/<id>` for every camera, with the pose of `frames.json`.
///
/// `tableau` must be staged from `plan`. Same input, same bytes. Triangles without area, and solids and cameras whose
/// place isn't a number, are left out: readers would refuse the file.
pub fn glb(plan: &Plan, tableau: &Tableau, cameras: &[PlannedCamera]) -> Vec<u8> {
    let mut names = Names::default();
    let cameras: Vec<(String, Camera)> = cameras
        .iter()
        .filter(|planned| planned.camera.world_from_camera().is_finite() && planned.camera.vertical_fov().is_finite())
        // Named first: if a person called `frame` has a part called like one, it's theirs that gets the number.
        .map(|planned| (names.unique(format!("frame/{}", planned.frame)), planned.camera))
        .collect();

    let mut store = Store::default();
    let mut nodes: Vec<Node> = Vec::new();
    for solid in tableau.solids.iter().filter(|solid| is_finite(solid)) {
        let name = names.unique(format!("{}/{}", tableau.owner(solid.owner).id, part_word(solid.part)));
        nodes.push(Node { mesh: store.mesh_of(solid), ..node(name, solid.at, solid.turned, scale_of(&solid.shape)) });
    }
    let mut camera_objects = Vec::new();
    for (name, camera) in cameras {
        camera_objects.push(CameraObject {
            kind: "perspective",
            perspective: perspective(&camera),
            name: name.clone(),
        });
        let number = Some(camera_objects.len() - 1);
        nodes.push(Node { camera: number, ..node(name, camera.eye, camera.turned, Vec3::ONE) });
    }

    let instant = plan.instant(tableau.at_s).to_string();
    let document = Document {
        asset: Asset {
            version: "2.0",
            generator: concat!("standpoint ", env!("CARGO_PKG_VERSION")),
            extras: Extras { plan: &plan.title, instant: &instant, at_s: tableau.at_s },
        },
        scene: 0,
        scenes: [Scene { name: &plan.title, nodes: (0..nodes.len()).collect() }],
        nodes,
        cameras: camera_objects,
        meshes: store.meshes,
        materials: store.painter.materials,
        accessors: store.accessors,
        buffer_views: buffer_views(store.positions.len()),
        buffers: buffers(store.positions.len()),
    };
    let mut binary = Vec::with_capacity(store.positions.len() * 24);
    for value in store.positions.iter().chain(&store.normals).flat_map(|corner| corner.to_array()) {
        binary.extend(value.to_le_bytes());
    }
    document.into_glb(binary)
}

/// Meshes, and the corners they are made of, without repetition.
#[derive(Default)]
struct Store {
    painter: Painter,
    meshes: Vec<Mesh>,
    accessors: Vec<Accessor>,
    /// Positions and normals of all corners of all shapes.
    positions: Vec<Vec3>,
    normals: Vec<Vec3>,
    /// Accessors of a shape's positions and normals; `None` for a shape without a triangle.
    shapes: HashMap<ShapeKey, Option<[usize; 2]>>,
    /// Index of the mesh of a shape's accessor and a material.
    known: HashMap<(usize, usize), usize>,
}

impl Store {
    fn mesh_of(&mut self, solid: &Solid) -> Option<usize> {
        let key = key_of(&solid.shape);
        let [position, normal] = match self.shapes.get(&key) {
            Some(known) => *known,
            None => {
                let added = self.add(facets_of(&solid.shape));
                self.shapes.insert(key, added);
                added
            }
        }?;
        // Sight takes a mesh's triangles from both sides; a block hides its own inside.
        let two_sided = matches!(solid.shape, Shape::Mesh(_));
        let material = self.painter.material_of(solid.material.finish, solid.material.colour, two_sided);
        Some(*self.known.entry((position, material)).or_insert_with(|| {
            self.meshes.push(Mesh { primitives: [Primitive::new(position, normal, material)] });
            self.meshes.len() - 1
        }))
    }

    fn add(&mut self, facets: Facets) -> Option<[usize; 2]> {
        if facets.positions.is_empty() {
            return None;
        }
        let byte_offset = self.positions.len() * 12;
        let first = self.accessors.len();
        self.accessors.push(Accessor::of(0, byte_offset, &facets.positions));
        self.accessors.push(Accessor::of(1, byte_offset, &facets.normals));
        self.positions.extend(facets.positions);
        self.normals.extend(facets.normals);
        Some([first, first + 1])
    }
}

/// Positions, then normals.
fn buffer_views(corners: usize) -> Vec<BufferView> {
    let view = |number| BufferView {
        buffer: 0,
        byte_offset: number * corners * 12,
        byte_length: corners * 12,
        byte_stride: 12,
        target: VERTICES,
    };
    if corners == 0 { vec![] } else { vec![view(0), view(1)] }
}

fn buffers(corners: usize) -> Vec<Buffer> {
    if corners == 0 { vec![] } else { vec![Buffer { byte_length: corners * 24 }] }
}

fn node(name: String, at: Vec3, turned: glam::Quat, scale: Vec3) -> Node {
    Node {
        name,
        mesh: None,
        camera: None,
        translation: at.to_array(),
        rotation: turned.to_array(),
        scale: (scale != Vec3::ONE).then(|| scale.to_array()),
    }
}

fn scale_of(shape: &Shape) -> Vec3 {
    match shape {
        Shape::Block(block) => block.half_m,
        Shape::Mesh(_) => Vec3::ONE,
    }
}

fn is_finite(solid: &Solid) -> bool {
    solid.at.is_finite() && solid.turned.is_finite() && scale_of(&solid.shape).is_finite()
}

fn perspective(camera: &Camera) -> Perspective {
    Perspective { yfov: camera.vertical_fov(), aspect_ratio: camera.sensor_m[0] / camera.sensor_m[1], znear: Z_NEAR_M }
}
