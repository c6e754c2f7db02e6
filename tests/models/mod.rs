//! Small glTF files for tests, written by hand after the specification, and shapes to put into them.
#![allow(dead_code)]

use glam::{Vec3, vec3};
use serde_json::{Value, json};

/// Corners, and three of them a triangle.
pub type Triangles = (Vec<Vec3>, Vec<u32>);

/// A description and the bytes of its one buffer.
#[derive(Clone)]
pub struct Model {
    pub json: Value,
    pub bytes: Vec<u8>,
}

impl Model {
    /// Meshes by number, and the nodes that show them; the scene is the first node.
    pub fn new(meshes: &[Triangles], nodes: Value) -> Self {
        let mut model = Self {
            json: json!({
                "asset": { "version": "2.0" }, "scene": 0, "scenes": [{ "nodes": [0] }], "nodes": nodes,
                "meshes": [], "accessors": [], "bufferViews": [], "buffers": [{ "byteLength": 0 }],
            }),
            bytes: vec![],
        };
        for (corners, indices) in meshes {
            let position = model.column(corners.iter().flat_map(|at| at.to_array()).flat_map(f32::to_le_bytes));
            let position = model.accessor(json!({
                "bufferView": position, "componentType": 5126, "type": "VEC3", "count": corners.len(),
            }));
            let order = model.column(indices.iter().copied().flat_map(u32::to_le_bytes));
            let order = model.accessor(json!({
                "bufferView": order, "componentType": 5125, "type": "SCALAR", "count": indices.len(),
            }));
            let primitive = json!({ "attributes": { "POSITION": position }, "indices": order });
            model.push("meshes", json!({ "primitives": [primitive] }));
        }
        model
    }

    /// One mesh, as it is.
    pub fn of(mesh: &Triangles) -> Self {
        Self::new(std::slice::from_ref(mesh), json!([{ "mesh": 0 }]))
    }

    /// Bytes on a border of four, as a view.
    pub fn column(&mut self, bytes: impl IntoIterator<Item = u8>) -> usize {
        let start = self.bytes.len();
        self.bytes.extend(bytes);
        let length = self.bytes.len() - start;
        self.bytes.resize(self.bytes.len().next_multiple_of(4), 0);
        self.json["buffers"][0]["byteLength"] = json!(self.bytes.len());
        self.push("bufferViews", json!({ "buffer": 0, "byteOffset": start, "byteLength": length }))
    }

    pub fn accessor(&mut self, accessor: Value) -> usize {
        self.push("accessors", accessor)
    }

    pub fn push(&mut self, list: &str, item: Value) -> usize {
        let list = self.json[list].as_array_mut().expect("a list");
        list.push(item);
        list.len() - 1
    }

    /// A binary file, §4 of the specification.
    pub fn glb(&self) -> Vec<u8> {
        let mut json = serde_json::to_vec(&self.json).expect("JSON");
        json.resize(json.len().next_multiple_of(4), b' ');
        let mut file = b"glTF".to_vec();
        let length = 12 + 8 + json.len() + 8 + self.bytes.len();
        for word in [2, length as u32, json.len() as u32] {
            file.extend(word.to_le_bytes());
        }
        file.extend(b"JSON");
        file.extend(json);
        file.extend((self.bytes.len() as u32).to_le_bytes());
        file.extend(b"BIN\0");
        file.extend(&self.bytes);
        file
    }

    /// A text file whose buffer is elsewhere.
    pub fn gltf(&self, uri: &str) -> Vec<u8> {
        let mut json = self.json.clone();
        json["buffers"][0]["uri"] = json!(uri);
        serde_json::to_vec_pretty(&json).expect("JSON")
    }
}

/// The twelve triangles of a box, counterclockwise seen from outside.
pub fn box_of(low: Vec3, high: Vec3) -> Triangles {
    let corner = |i: u32| {
        let pick = |bit: u32, axis: usize| if i >> bit & 1 == 1 { high[axis] } else { low[axis] };
        vec3(pick(0, 0), pick(1, 1), pick(2, 2))
    };
    // Corner numbers have a bit an axis.
    let faces = [[1, 3, 7, 5], [0, 4, 6, 2], [2, 6, 7, 3], [0, 1, 5, 4], [4, 5, 7, 6], [0, 2, 3, 1]];
    let indices = faces.iter().flat_map(|[a, b, c, d]| [*a, *b, *c, *a, *c, *d]).collect();
    ((0..8).map(corner).collect(), indices)
}

/// Several in one.
pub fn joined(parts: impl IntoIterator<Item = Triangles>) -> Triangles {
    let mut all = (vec![], vec![]);
    for (corners, indices) in parts {
        let first = all.0.len() as u32;
        all.0.extend(corners);
        all.1.extend(indices.into_iter().map(|index| first + index));
    }
    all
}

/// A wall along x with a hole down to the floor, as three boxes.
pub fn wall_with_a_door(length_m: f32, height_m: f32, thick_m: f32, door: [f32; 2], door_height_m: f32) -> Triangles {
    let part =
        |from: f32, to: f32, low: f32| box_of(vec3(from, low, -thick_m / 2.0), vec3(to, height_m, thick_m / 2.0));
    let half = length_m / 2.0;
    joined([part(-half, door[0], 0.0), part(door[1], half, 0.0), part(door[0], door[1], door_height_m)])
}
