//! The objects of a glTF file that we write, named as the specification names them (§5), and the binary file round
//! them (§4).

use glam::Vec3;
use serde::Serialize;

/// `bufferView.target`: vertex attributes.
pub const VERTICES: u32 = 34_962;
/// `accessor.componentType`: 32 bit floating point numbers.
const FLOAT: u32 = 5_126;

/// Lists may be left out of a file but not be empty.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Document<'a> {
    pub asset: Asset<'a>,
    pub scene: usize,
    pub scenes: [Scene<'a>; 1],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub nodes: Vec<Node>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub cameras: Vec<CameraObject>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub meshes: Vec<Mesh>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub materials: Vec<Material>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub accessors: Vec<Accessor>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub buffer_views: Vec<BufferView>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub buffers: Vec<Buffer>,
}

#[derive(Serialize)]
pub struct Asset<'a> {
    pub version: &'static str,
    pub generator: &'static str,
    pub extras: Extras<'a>,
}

/// Ours: which instant of which plan.
#[derive(Serialize)]
pub struct Extras<'a> {
    pub plan: &'a str,
    /// RFC 9557.
    pub instant: &'a str,
    /// Seconds into the ceremony.
    pub at_s: f64,
}

#[derive(Serialize)]
pub struct Scene<'a> {
    #[serde(skip_serializing_if = "str::is_empty")]
    pub name: &'a str,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub nodes: Vec<usize>,
}

#[derive(Serialize)]
pub struct Node {
    pub name: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mesh: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub camera: Option<usize>,
    pub translation: [f32; 3],
    /// x, y, z, w.
    pub rotation: [f32; 4],
    #[serde(skip_serializing_if = "Option::is_none")]
    pub scale: Option<[f32; 3]>,
}

#[derive(Serialize)]
pub struct CameraObject {
    pub name: String,
    #[serde(rename = "type")]
    pub kind: &'static str,
    pub perspective: Perspective,
}

/// Without `zfar` the view has no end.
#[derive(Serialize)]
pub struct Perspective {
    /// Radians.
    pub yfov: f64,
    #[serde(rename = "aspectRatio")]
    pub aspect_ratio: f64,
    pub znear: f64,
}

#[derive(Serialize)]
pub struct Mesh {
    pub primitives: [Primitive; 1],
}

/// Plain triangles, three corners each.
#[derive(Serialize)]
pub struct Primitive {
    attributes: Attributes,
    material: usize,
}

#[derive(Serialize)]
#[serde(rename_all = "UPPERCASE")]
struct Attributes {
    position: usize,
    normal: usize,
}

impl Primitive {
    pub fn new(position: usize, normal: usize, material: usize) -> Self {
        Self { attributes: Attributes { position, normal }, material }
    }
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Material {
    pub pbr_metallic_roughness: PbrMetallicRoughness,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub emissive_factor: Option<[f32; 3]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub alpha_mode: Option<&'static str>,
    pub double_sided: bool,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct PbrMetallicRoughness {
    /// Linear, 0..=1.
    pub base_color_factor: [f32; 4],
    pub metallic_factor: f32,
    pub roughness_factor: f32,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Accessor {
    buffer_view: usize,
    byte_offset: usize,
    component_type: u32,
    count: usize,
    #[serde(rename = "type")]
    kind: &'static str,
    min: [f32; 3],
    max: [f32; 3],
}

impl Accessor {
    /// Vectors that begin at a byte of a view.
    pub fn of(buffer_view: usize, byte_offset: usize, vectors: &[Vec3]) -> Self {
        let (min, max) = vectors
            .iter()
            .fold((Vec3::INFINITY, Vec3::NEG_INFINITY), |(min, max), &vector| (min.min(vector), max.max(vector)));
        Self {
            buffer_view,
            byte_offset,
            component_type: FLOAT,
            count: vectors.len(),
            kind: "VEC3",
            min: min.to_array(),
            max: max.to_array(),
        }
    }
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct BufferView {
    pub buffer: usize,
    pub byte_offset: usize,
    pub byte_length: usize,
    pub byte_stride: usize,
    pub target: u32,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Buffer {
    pub byte_length: usize,
}

impl Document<'_> {
    /// Header, the JSON chunk filled up with spaces, the binary chunk (left out if empty), whose length is a multiple of 4.
    pub fn into_glb(self, binary: Vec<u8>) -> Vec<u8> {
        let mut json = serde_json::to_vec(&self).expect("structs with names for keys are always JSON");
        json.resize(json.len().next_multiple_of(4), b' ');
        let chunks = [(b"JSON", json), (b"BIN\0", binary)];
        let chunks = chunks.iter().filter(|(_, data)| !data.is_empty());
        let mut body = Vec::new();
        for (kind, data) in chunks {
            body.extend((data.len() as u32).to_le_bytes());
            body.extend(*kind);
            body.extend(data);
        }
        let mut file = b"glTF".to_vec();
        file.extend(2u32.to_le_bytes());
        file.extend((body.len() as u32 + 12).to_le_bytes());
        file.extend(body);
        file
    }
}
