//! What can be wrong with the file of a mesh, in the words of a plan's problems.

use crate::plan::limits;
use crate::plan::problem::ProblemKind;

/// Why a file gives no mesh.
#[derive(Debug, Clone, PartialEq)]
pub enum MeshSlip {
    /// The plan is a text that lies nowhere, so that nothing lies beside it.
    NowhereToLook,
    Missing,
    /// A folder, a device.
    NoFile,
    Unreadable(String),
    /// With its buffers.
    TooLarge,
    NotGltf(String),
    OtherVersion(String),
    Extensions(Vec<String>),
    /// A buffer that is to come from the net.
    OnTheNet(String),
    BufferMissing(String),
    BufferBroken(String),
    /// Numbers that point outside what is there.
    Broken(String),
    NotNumbers(String),
    NoTriangles,
    TooManyTriangles,
    /// Longest side after scaling, metres.
    TooWide(f64),
    TooSmall(f64),
    /// From the file's own origin, metres.
    FarOff(f64),
}

use MeshSlip::*;

impl MeshSlip {
    pub fn kind(&self) -> ProblemKind {
        match self {
            TooLarge | TooManyTriangles => ProblemKind::TooMuch,
            TooWide(_) | TooSmall(_) | FarOff(_) => ProblemKind::OutOfRange,
            _ => ProblemKind::File,
        }
    }

    /// Whether it is the size that is wrong, and so perhaps the scale.
    pub fn is_of_scale(&self) -> bool {
        matches!(self, TooWide(_) | TooSmall(_) | FarOff(_))
    }

    /// What is wrong, of the file by its name.
    pub fn message(&self, file: &str) -> String {
        match self {
            NowhereToLook => format!("`{file}` can't be looked for: this plan lies in no folder yet"),
            Missing => format!("there is no file `{file}`"),
            NoFile => format!("`{file}` is no file"),
            Unreadable(why) => format!("`{file}` can't be read: {why}"),
            TooLarge => format!("`{file}` is larger than {} MB", limits::MESH_BYTES / 1_000_000),
            NotGltf(why) => format!("`{file}` isn't glTF: {why}"),
            OtherVersion(version) => format!("`{file}` is glTF {}", short(version)),
            Extensions(names) if names.iter().any(|name| is_packed(name)) => format!("`{file}` is compressed"),
            Extensions(names) => format!("`{file}` needs `{}`", names.first().map_or("", |name| short(name))),
            OnTheNet(_) => format!("`{file}` has a part that isn't on this machine"),
            BufferMissing(uri) => format!("`{file}` has its corners in `{}`, which isn't there", short(uri)),
            BufferBroken(why) | Broken(why) => format!("`{file}` is broken: {why}"),
            NotNumbers(node) => format!("`{file}` has corners that are no numbers, in {node}"),
            NoTriangles => format!("`{file}` has no triangles"),
            TooManyTriangles => format!("`{file}` has more than {} triangles", thousands(limits::MESH_TRIANGLES)),
            TooWide(side_m) => format!("`{file}` would be {} m large", short_m(*side_m)),
            TooSmall(side_m) => {
                let metres = if *side_m < 0.001 { 1000.0 } else { 100.0 };
                format!("scaled twice? `scale` times {metres} makes it {} m", short_m(side_m * metres))
            }
            FarOff(m) => format!("`{file}` reaches {} m away from its own origin", short_m(*m)),
        }
    }

    /// What was expected.
    pub fn label(&self) -> String {
        match self {
            NowhereToLook | Missing | NoFile | Unreadable(_) => "a file beside the plan was expected".to_owned(),
            TooLarge => format!("up to {} MB were expected", limits::MESH_BYTES / 1_000_000),
            NotGltf(_) | OtherVersion(_) => "glTF 2.0 was expected, as .glb or .gltf".to_owned(),
            Extensions(names) => {
                let names: Vec<&str> = names.iter().take(4).map(|name| short(name)).collect();
                format!("plain glTF 2.0 was expected; this one requires {}", names.join(", "))
            }
            OnTheNet(uri) => format!("`{}` is an address", short(uri)),
            BufferMissing(_) | BufferBroken(_) => "this file and its buffers were expected".to_owned(),
            Broken(_) | NotNumbers(_) => "numbers that fit each other were expected".to_owned(),
            NoTriangles => "points and lines hide nothing".to_owned(),
            TooManyTriangles => "too many".to_owned(),
            TooWide(_) => format!("up to {} m were expected", limits::MESH_WIDEST_M),
            TooSmall(_) => format!("{} mm or more were expected", limits::MESH_SMALLEST_M * 1000.0),
            FarOff(_) => format!("up to {} m were expected", limits::MESH_FARTHEST_M),
        }
    }

    /// What to do.
    pub fn help(&self) -> String {
        match self {
            NowhereToLook => "save the plan first: files of meshes are looked for from its folder".to_owned(),
            Missing => "put the file beside the plan, or write its way from the plan's folder, such as \
                        `file: \"models/hall.glb\"`"
                .to_owned(),
            NoFile => "name the .glb or .gltf file itself".to_owned(),
            Unreadable(_) => "see whether you may read it, and whether its disk is there".to_owned(),
            TooLarge => "export it without pictures, and only what can be seen from where people stand".to_owned(),
            NotGltf(_) => "export the model as glTF 2.0 (.glb); other formats aren't read".to_owned(),
            OtherVersion(_) => "export it as glTF 2.0 (.glb)".to_owned(),
            Extensions(names) if names.iter().any(|name| is_packed(name)) => {
                "export it again without compression of the mesh (Draco, meshopt)".to_owned()
            }
            Extensions(_) => "export it again without that".to_owned(),
            OnTheNet(_) => "export the model as one .glb file".to_owned(),
            BufferMissing(_) => "put that file beside the model too, or export the model as one .glb file".to_owned(),
            BufferBroken(_) | Broken(_) | NotNumbers(_) => "export the model again, or copy the file anew".to_owned(),
            NoTriangles => "export surfaces, and see that they are in the scene that is exported".to_owned(),
            TooManyTriangles => "make it simpler before the export (decimate): what hides people is large".to_owned(),
            TooWide(side_m) => {
                other_unit(&[("centimetres", 0.01), ("millimetres", 0.001), ("inches", 0.0254)], *side_m)
            }
            TooSmall(side_m) => {
                let metres = if *side_m < 0.001 { 1000.0 } else { 100.0 };
                format!("scaled twice? `scale` times {metres} makes it {} m", short_m(side_m * metres))
            }
            FarOff(_) => "move the model to the origin before the export, or mend its unit with `scale: 0.01` \
                          (centimetres) or `scale: 0.001` (millimetres)"
                .to_owned(),
        }
    }
}

/// In which units it would be as large as a place or a thing is.
fn other_unit(units: &[(&str, f64)], side_m: f64) -> String {
    let fits = |(_, factor): &&(&str, f64)| (0.05..=200.0).contains(&(side_m * factor));
    let one =
        |(unit, factor): &(&str, f64)| format!("{} m in {unit} (`scale` times {factor})", short_m(side_m * factor));
    let ways: Vec<String> = units.iter().filter(fits).map(one).collect();
    match ways.is_empty() {
        true => "glTF is in metres; `scale: 0.01` reads centimetres, `scale: 0.001` millimetres".to_owned(),
        false => format!("glTF is in metres; it would be {}", ways.join(", or ")),
    }
}

/// Extensions that pack corners and triangles.
pub fn is_packed(extension: &str) -> bool {
    matches!(extension, "KHR_draco_mesh_compression" | "EXT_meshopt_compression" | "KHR_meshopt_compression")
}

/// Words out of somebody's file, no longer than fits into a message.
pub fn short(text: &str) -> &str {
    &text[..text.floor_char_boundary(60)]
}

fn short_m(m: f64) -> String {
    if m >= 10.0 { format!("{m:.0}") } else { format!("{m:.2}") }
}

/// `500 000`
fn thousands(number: usize) -> String {
    format!("{} {:03}", number / 1000, number % 1000)
}
