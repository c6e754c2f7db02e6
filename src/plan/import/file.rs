//! The file of a mesh: what it says about itself, and the bytes that belong to it.

use super::slip::{MeshSlip, short};
use crate::plan::limits;
use data_encoding::BASE64;
use gltf::Glb;
use gltf::json::{Root, deserialize};

/// Required extensions that say nothing about where triangles are, or that are read.
const HARMLESS: &[&str] = &["KHR_materials_", "KHR_texture_", "EXT_texture_", "KHR_lights_", "KHR_mesh_quantization"];

/// Bytes of another file, by its way from the file's own folder.
pub type Fetch<'f> = &'f dyn Fn(&str) -> Result<Vec<u8>, MeshSlip>;

/// A description with the bytes of all its buffers.
pub fn opened(bytes: &[u8], fetch: Fetch) -> Result<(Root, Vec<Vec<u8>>), MeshSlip> {
    if bytes.len() as u64 > limits::MESH_BYTES {
        return Err(MeshSlip::TooLarge);
    }
    let (json, own) = if bytes.starts_with(b"glTF") {
        version_of_container(bytes)?;
        let Glb { json, bin, .. } =
            Glb::from_slice(bytes).map_err(|error| MeshSlip::NotGltf(short(&error.to_string()).to_owned()))?;
        (json.into_owned(), bin.map(|bin| bin.into_owned()))
    } else {
        (bytes.to_vec(), None)
    };
    let root = described(&json)?;
    let buffers = buffers(&root, own, bytes.len() as u64, fetch)?;
    Ok((root, buffers))
}

fn version_of_container(bytes: &[u8]) -> Result<(), MeshSlip> {
    match bytes.get(4..8) {
        Some([2, 0, 0, 0]) => Ok(()),
        Some([a, b, c, d]) => Err(MeshSlip::OtherVersion(u32::from_le_bytes([*a, *b, *c, *d]).to_string())),
        _ => Err(MeshSlip::NotGltf("it ends within its first line".to_owned())),
    }
}

fn described(json: &[u8]) -> Result<Root, MeshSlip> {
    // Whatever else a file of another version or with unknown extensions gets wrong, this is told first.
    let loose: serde_json::Value = serde_json::from_slice(json)
        .map_err(|error| MeshSlip::NotGltf(format!("it isn't JSON ({})", short(&error.to_string()))))?;
    let Some(version) = loose.pointer("/asset/version").and_then(|version| version.as_str()) else {
        return Err(MeshSlip::NotGltf("it doesn't say its version".to_owned()));
    };
    if version.split('.').next() != Some("2") {
        return Err(MeshSlip::OtherVersion(version.to_owned()));
    }
    let required = loose.get("extensionsRequired").and_then(|list| list.as_array()).into_iter().flatten();
    let unknown: Vec<String> = required
        .filter_map(|name| name.as_str())
        .filter(|name| !HARMLESS.iter().any(|known| name.starts_with(known)))
        .map(str::to_owned)
        .collect();
    if !unknown.is_empty() {
        return Err(MeshSlip::Extensions(unknown));
    }
    deserialize::from_slice(json).map_err(|error| MeshSlip::NotGltf(short(&error.to_string()).to_owned()))
}

fn buffers(root: &Root, own: Option<Vec<u8>>, mut read: u64, fetch: Fetch) -> Result<Vec<Vec<u8>>, MeshSlip> {
    let mut own = own;
    let mut buffers = Vec::new();
    for (number, buffer) in root.buffers.iter().enumerate() {
        let bytes = match &buffer.uri {
            None if number == 0 => {
                own.take().ok_or_else(|| MeshSlip::BufferBroken("its first buffer is nowhere".to_owned()))?
            }
            None => return Err(MeshSlip::BufferBroken(format!("buffer {number} is nowhere"))),
            Some(uri) => {
                let bytes = from_uri(uri, number, fetch)?;
                read += bytes.len() as u64;
                bytes
            }
        };
        if read > limits::MESH_BYTES {
            return Err(MeshSlip::TooLarge);
        }
        if (bytes.len() as u64) < buffer.byte_length.0 {
            let (has, should) = (bytes.len(), buffer.byte_length.0);
            return Err(MeshSlip::BufferBroken(format!("buffer {number} has {has} of its {should} bytes")));
        }
        buffers.push(bytes);
    }
    Ok(buffers)
}

/// Written into the file itself, or beside it.
fn from_uri(uri: &str, number: usize, fetch: Fetch) -> Result<Vec<u8>, MeshSlip> {
    if let Some(data) = uri.strip_prefix("data:") {
        let text = data.split_once(";base64,").map(|(_, text)| text.as_bytes());
        let bytes = text.and_then(|text| BASE64.decode(text).ok());
        return bytes.ok_or_else(|| MeshSlip::BufferBroken(format!("buffer {number} can't be decoded")));
    }
    if uri.contains("://") {
        return Err(MeshSlip::OnTheNet(uri.to_owned()));
    }
    let path = percent_encoding::percent_decode_str(uri).decode_utf8_lossy();
    fetch(&path).map_err(|slip| if slip == MeshSlip::Missing { MeshSlip::BufferMissing(uri.to_owned()) } else { slip })
}
