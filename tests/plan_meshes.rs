//! Meshes of other programs: read from files made by hand after the glTF 2.0 specification, and what is told of broken ones.

mod models;

use glam::{Vec2, Vec3, vec2, vec3};
use models::{Model, Triangles, box_of, joined};
use serde_json::json;
use standpoint::cli::{Look, problem_report};
use standpoint::plan::edit::{Way, set, written};
use standpoint::plan::import::{MeshSlip, Wanted, mesh_of};
use standpoint::plan::{Folder, LoadError, MeshBody, Plan, Problems, load, read, read_beside};
use std::fs;
use std::path::Path;
use std::sync::Arc;
use tempfile::TempDir;

const AS_IT_IS: Wanted = Wanted { scale: 1.0, above_floor_m: 0.0 };

fn text_with(meshes: &str) -> String {
    format!(
        "Plan(\n    format: 1,\n    place: (latitude: 38.57, longitude: -7.91),\n    start: \"2027-06-12T17:30[Europe/Lisbon]\",\n    \
         venue: (\n        meshes: [\n            {meshes},\n        ],\n    ),\n    people: [(id: \"mira\", at: (20, 20))],\n    moments: [(id: \"vows\", length: 60)],\n)\n"
    )
}

fn read_in(folder: &Path, meshes: &str) -> Result<Plan, Problems> {
    read_beside(&text_with(meshes), &Folder::of(&folder.join("plan.ron"))).map(|(plan, _)| plan)
}

/// What is in a file that needs no other.
fn body(bytes: &[u8]) -> MeshBody {
    slip_or_body(bytes).unwrap_or_else(|slip| panic!("{}", slip.message("it")))
}

fn slip_or_body(bytes: &[u8]) -> Result<MeshBody, MeshSlip> {
    mesh_of(bytes, AS_IT_IS, &|_| Err(MeshSlip::Missing))
}

fn unit_box() -> Triangles {
    box_of(Vec3::ZERO, Vec3::ONE)
}

/// Corners of the triangles, three by three.
fn triangles(body: &MeshBody) -> Vec<[Vec3; 3]> {
    body.mesh.triangles.iter().map(|three| three.map(|corner| body.mesh.corners[corner as usize])).collect()
}

/// By the divergence theorem; positive if all faces look outwards.
fn volume_m3(body: &MeshBody) -> f32 {
    triangles(body).iter().map(|[a, b, c]| a.dot(b.cross(*c)) / 6.0).sum()
}

fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let letters = |three: &[u8]| {
        let whole = three.iter().fold(0u32, |sum, byte| sum << 8 | u32::from(*byte)) << (8 * (3 - three.len()));
        let letter =
            |i: usize| if i > three.len() { '=' } else { LETTERS[(whole >> (18 - 6 * i) & 63) as usize] as char };
        [letter(0), letter(1), letter(2), letter(3)]
    };
    bytes.chunks(3).flat_map(letters).collect()
}

#[test]
fn a_saved_plan_of_format_1_keeps_its_mesh() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/format-1-meshes.ron");
    let loaded = load(&path).unwrap_or_else(|error| panic!("{error}"));
    let [mesh] = &loaded.plan.venue.meshes[..] else { panic!("one mesh") };
    assert_eq!((mesh.id.as_str(), mesh.file.as_str(), mesh.clutter), ("box", "box.glb", true));
    assert_eq!((mesh.at, mesh.above_floor_m, mesh.heading), (vec2(3.0, -4.0), 0.5, std::f32::consts::FRAC_PI_2));
    assert!(mesh.colour.is_some() && loaded.remarks.is_empty());
    assert_eq!((mesh.body.low, mesh.body.high), (Vec3::ZERO, Vec3::splat(2.5)));
    assert_eq!(mesh.body.mesh.triangles.len(), 12);
    let square = [vec2(0.0, 0.0), vec2(2.5, 0.0), vec2(2.5, 2.5), vec2(0.0, 2.5)];
    assert_eq!(mesh.body.outline, square);
    // An edit of the text changes the one value.
    let way = Way::new().field("venue").field("meshes").id("box").field("at");
    let moved = set(&loaded.text, &way, "(1, 2)").unwrap();
    assert_eq!(moved, loaded.text.replace("(3, -4)", "(1, 2)"));
    assert_eq!(written(&moved, &way), Some("(1, 2)"));
}

/// The same box in one file, with its buffer written into the description, and with it in a file of its own.
#[test]
fn the_buffer_may_be_within_or_beside() {
    let folder = TempDir::new().unwrap();
    fs::create_dir(folder.path().join("models")).unwrap();
    let put = |name: &str, bytes: &[u8]| fs::write(folder.path().join(name), bytes).unwrap();
    let model = Model::of(&unit_box());
    put("a.glb", &model.glb());
    put("b.gltf", &model.gltf(&format!("data:application/octet-stream;base64,{}", base64(&model.bytes))));
    put("models/c.gltf", &model.gltf("its%20corners.bin"));
    put("models/its corners.bin", &model.bytes);
    let files = ["a.glb", "b.gltf", "models/c.gltf"];
    let meshes: Vec<String> = files.iter().map(|file| format!("(file: \"{file}\", at: (0, 0))")).collect();
    let plan = read_in(folder.path(), &meshes.join(", ")).unwrap_or_else(|problems| panic!("{problems}"));
    let bodies: Vec<&MeshBody> = plan.venue.meshes.iter().map(|mesh| &*mesh.body).collect();
    assert_eq!(bodies[0].mesh.triangles.len(), 12);
    assert!(bodies.iter().all(|body| body.mesh == bodies[0].mesh && body.layers == bodies[0].layers));
    assert_eq!(plan.venue.meshes[1].id, "mesh-2");
    assert!((volume_m3(bodies[0]) - 1.0).abs() < 1e-5);
}

/// By hand: a node 10 m across, turned by a right angle from z to x, holds one that doubles and one that mirrors.
#[test]
fn nodes_put_what_is_below_them() {
    let half = std::f32::consts::FRAC_1_SQRT_2;
    let model = Model::new(
        &[unit_box()],
        json!([
            { "name": "top", "translation": [10, 0, 0], "rotation": [0, half, 0, half], "children": [1, 2, 3] },
            { "mesh": 0, "scale": [2, 2, 2], "translation": [0, 1, 0] },
            { "mesh": 0, "matrix": [-1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 5, 1] },
            { "camera": 0 },
        ]),
    );
    let body = body(&model.glb());
    let part = |range: std::ops::Range<usize>| {
        let corners = triangles(&body)[range].iter().flatten().copied().collect::<Vec<Vec3>>();
        (corners.iter().copied().reduce(Vec3::min).unwrap(), corners.iter().copied().reduce(Vec3::max).unwrap())
    };
    let close = |(low, high): (Vec3, Vec3), expected: [Vec3; 2]| {
        assert!(
            low.distance(expected[0]) < 1e-5 && high.distance(expected[1]) < 1e-5,
            "{low} {high}, not {expected:?}"
        );
    };
    // z of the node below becomes x, its x becomes −z.
    close(part(0..12), [vec3(10.0, 1.0, -2.0), vec3(12.0, 3.0, 0.0)]);
    close(part(12..24), [vec3(15.0, 0.0, 0.0), vec3(16.0, 1.0, 1.0)]);
    // Mirrored faces are turned back: both boxes look outwards.
    assert!((volume_m3(&body) - 9.0).abs() < 1e-3, "{}", volume_m3(&body));
    let in_centimetres =
        mesh_of(&model.glb(), Wanted { scale: 0.01, ..AS_IT_IS }, &|_| Err(MeshSlip::Missing)).unwrap();
    assert!(in_centimetres.high.distance(body.high * 0.01) < 1e-6);
}

/// A square as a strip, as a fan, without indices, by small indices, with whole numbers for corners, and with one corner put
/// elsewhere by a sparse accessor. Lines and points beside it count for nothing.
#[test]
fn every_way_to_write_a_square() {
    let corners = [vec3(0.0, 0.0, 0.0), vec3(2.0, 0.0, 0.0), vec3(2.0, 0.0, 2.0), vec3(0.0, 0.0, 2.0)];
    let floats = |corners: &[Vec3]| -> Vec<u8> {
        corners.iter().flat_map(|at| at.to_array()).flat_map(f32::to_le_bytes).collect()
    };
    let square = |make: &dyn Fn(&mut Model) -> serde_json::Value| {
        let mut model = Model::new(&[], json!([{ "mesh": 0 }]));
        let primitive = make(&mut model);
        let position = primitive["attributes"]["POSITION"].clone();
        let points = json!({ "attributes": { "POSITION": position }, "mode": 0 });
        model.push("meshes", json!({ "primitives": [points, primitive, { "attributes": {} }] }));
        let body = body(&model.glb());
        let area_m2: f32 = triangles(&body).iter().map(|[a, b, c]| (*b - *a).cross(*c - *a).length() / 2.0).sum();
        assert_eq!((body.low, body.high), (Vec3::ZERO, vec3(2.0, 0.0, 2.0)), "{primitive}");
        assert!((area_m2 - 4.0).abs() < 1e-5, "{primitive}: {area_m2}");
        // All look down, as written: counterclockwise from x to z.
        assert!(triangles(&body).iter().all(|[a, b, c]| (*b - *a).cross(*c - *a).y < 0.0), "{primitive}");
    };
    let vec3_of = |model: &mut Model, bytes: Vec<u8>, component: u32, normalized: bool| {
        let view = model.column(bytes);
        let described = json!({ "bufferView": view, "componentType": component, "type": "VEC3", "count": 4, "normalized": normalized });
        model.accessor(described)
    };
    let order = |model: &mut Model, bytes: Vec<u8>, component: u32, count: usize| {
        let view = model.column(bytes);
        model.accessor(json!({ "bufferView": view, "componentType": component, "type": "SCALAR", "count": count }))
    };
    square(&|model| {
        let position = vec3_of(model, floats(&corners), 5126, false);
        let indices = order(model, vec![0, 1, 3, 2], 5121, 4);
        json!({ "attributes": { "POSITION": position }, "indices": indices, "mode": 5 })
    });
    square(&|model| {
        let position = vec3_of(model, floats(&corners), 5126, false);
        json!({ "attributes": { "POSITION": position }, "mode": 6 })
    });
    square(&|model| {
        let six = [0, 1, 2, 0, 2, 3].map(|i| corners[i]);
        let view = model.column(floats(&six));
        let position = model.accessor(json!({ "bufferView": view, "componentType": 5126, "type": "VEC3", "count": 6 }));
        json!({ "attributes": { "POSITION": position } })
    });
    square(&|model| {
        // Whole numbers are each on a border of four bytes.
        let bytes = corners.iter().flat_map(|at| [at.x as u8, at.y as u8, at.z as u8, 0]).collect::<Vec<u8>>();
        let view = model.column(bytes);
        model.json["bufferViews"][view]["byteStride"] = json!(4);
        let position = model.accessor(json!({ "bufferView": view, "componentType": 5121, "type": "VEC3", "count": 4 }));
        let indices = order(model, [0u16, 1, 2, 0, 2, 3].into_iter().flat_map(u16::to_le_bytes).collect(), 5123, 6);
        model.json["extensionsRequired"] = json!(["KHR_mesh_quantization"]);
        json!({ "attributes": { "POSITION": position }, "indices": indices })
    });
    square(&|model| {
        let whole = |m: f32| ((m * 32_767.0 / 2.0).round() as i16).to_le_bytes();
        let bytes = corners.iter().flat_map(|at| at.to_array()).flat_map(whole).collect::<Vec<u8>>();
        let position = vec3_of(model, bytes, 5122, true);
        model.json["nodes"][0]["scale"] = json!([2, 2, 2]);
        let indices = order(model, [0u32, 1, 2, 0, 2, 3].into_iter().flat_map(u32::to_le_bytes).collect(), 5125, 6);
        json!({ "attributes": { "POSITION": position }, "indices": indices })
    });
    square(&|model| {
        let wrong = [corners[0], corners[1], vec3(9.0, 9.0, 9.0), corners[3]];
        let position = vec3_of(model, floats(&wrong), 5126, false);
        let (place, value) = (model.column(vec![2, 0]), model.column(floats(&corners[2..3])));
        model.json["accessors"][position]["sparse"] = json!({
            "count": 1, "indices": { "bufferView": place, "componentType": 5123 }, "values": { "bufferView": value },
        });
        let indices = order(model, vec![0, 1, 2, 0, 2, 3], 5121, 6);
        json!({ "attributes": { "POSITION": position }, "indices": indices })
    });
}

/// Each bad file with the whole message it gives.
#[test]
fn each_bad_file_has_its_message() {
    let folder = TempDir::new().unwrap();
    let put = |name: &str, bytes: &[u8]| fs::write(folder.path().join(name), bytes).unwrap();
    let changed = |change: &dyn Fn(&mut Model)| {
        let mut model = Model::of(&unit_box());
        change(&mut model);
        model.glb()
    };
    let sized = |size_m: f32| Model::of(&box_of(Vec3::ZERO, Vec3::splat(size_m))).glb();
    let good = Model::of(&unit_box());

    fs::create_dir(folder.path().join("folder.glb")).unwrap();
    put("notes.glb", b"a hall with a vaulted ceiling");
    put("cut_off.glb", &good.glb()[..200]);
    put("old_container.glb", &[b"glTF".as_slice(), &[1, 0, 0, 0, 20, 0, 0, 0]].concat());
    put("old.gltf", br#"{ "asset": { "version": "1.0" }, "meshes": { "hall": {} } }"#);
    put("draco.glb", &changed(&|it| it.json["extensionsRequired"] = json!(["KHR_draco_mesh_compression"])));
    put("instancing.glb", &changed(&|it| it.json["extensionsRequired"] = json!(["EXT_mesh_gpu_instancing"])));
    let large =
        fs::File::options().write(true).create(true).truncate(true).open(folder.path().join("large.glb")).unwrap();
    large.set_len(64_000_001).unwrap();
    let thousand = joined((0..84).map(|i| box_of(Vec3::splat(i as f32), Vec3::splat(i as f32 + 0.5))));
    let children: Vec<usize> = (1..=500).collect();
    let mut nodes = vec![json!({ "children": children })];
    nodes.extend((0..500).map(|_| json!({ "mesh": 0 })));
    put("many.glb", &Model::new(&[thousand], json!(nodes)).glb());
    put("lines.glb", &changed(&|it| it.json["meshes"][0]["primitives"][0]["mode"] = json!(1)));
    put("no_number.glb", &changed(&|it| it.bytes[..4].copy_from_slice(&f32::NAN.to_le_bytes())));
    let endless = |it: &mut Model| it.json["nodes"] = json!([{ "name": "roof", "scale": [3e38, 3e38, 3e38], "children": [1] }, { "name": "ridge", "mesh": 0, "scale": [3e38, 1, 1] }]);
    put("endless.glb", &changed(&endless));
    put("millimetres.glb", &sized(12_000.0));
    put("tiny.glb", &sized(0.004));
    put("box.glb", &good.glb());
    put("far.glb", &Model::of(&box_of(Vec3::splat(5000.0), Vec3::splat(5001.0))).glb());
    put("past_view.glb", &changed(&|it| it.json["accessors"][0]["count"] = json!(9)));
    put("past_buffer.glb", &changed(&|it| it.json["bufferViews"][1]["byteLength"] = json!(u64::MAX)));
    put("past_corners.glb", &changed(&|it| it.bytes[96] = 8));
    put("short_buffer.glb", &changed(&|it| it.json["buffers"][0]["byteLength"] = json!(10_000)));
    put("endless_count.glb", &changed(&|it| it.json["accessors"][1]["count"] = json!(u64::MAX)));
    put("beside.gltf", &good.gltf("corners.bin"));
    put("net.gltf", &good.gltf("https://example.org/corners.bin"));
    put("letters.gltf", &good.gltf("data:;base64,!!!"));
    put("loop.glb", &changed(&|it| it.json["nodes"][0]["children"] = json!([0])));
    put("no_accessor.glb", &changed(&|it| it.json["meshes"][0]["primitives"][0]["indices"] = json!(7)));
    let sparse = json!({ "count": 1, "indices": { "bufferView": 1, "byteOffset": 4, "componentType": 5123 }, "values": { "bufferView": 0 } });
    put(
        "sparse.glb",
        &changed(&|it| {
            it.bytes[100] = 200;
            it.json["accessors"][0]["sparse"] = sparse.clone();
        }),
    );

    let mut reports = String::new();
    let mut tell = |meshes: &str| {
        let problems =
            read_in(folder.path(), meshes).map(|_| panic!("{meshes} is read without complaint")).unwrap_err();
        assert_eq!(problems.list.len(), 1, "{meshes}: one slip, one problem\n{problems}");
        reports += &problem_report(&problems, &text_with(meshes), "plan.ron", Look::Plain);
        reports += "\n\n";
    };
    for file in [
        "nowhere.glb",
        "folder.glb",
        "notes.glb",
        "cut_off.glb",
        "old_container.glb",
        "old.gltf",
        "draco.glb",
        "instancing.glb",
        "large.glb",
        "many.glb",
        "lines.glb",
        "no_number.glb",
        "endless.glb",
        "millimetres.glb",
        "tiny.glb",
        "far.glb",
        "past_view.glb",
        "past_buffer.glb",
        "past_corners.glb",
        "short_buffer.glb",
        "endless_count.glb",
        "beside.gltf",
        "net.gltf",
        "letters.gltf",
        "loop.glb",
        "no_accessor.glb",
        "sparse.glb",
    ] {
        tell(&format!("(id: \"hall\", file: \"{file}\", at: (0, 0))"));
    }
    tell("(id: \"hall\", file: \"box.glb\", at: (0, 0), scale: 0.001)");
    tell("(id: \"hall\", file: \"box.glb\", at: (0, 0), scale: 0)");
    tell("(id: \"hall\", at: (0, 0))");
    tell("(id: \"hall\", file: \"box.glb\", at: (0, 0)), (id: \"hall\", file: \"box.glb\", at: (3, 0))");
    let text = text_with("(id: \"hall\", file: \"box.glb\", at: (0, 0))");
    reports += &problem_report(&read(&text).unwrap_err(), &text, "plan.ron", Look::Plain);
    insta::assert_snapshot!(reports);
}

/// Cut off anywhere, or with any byte changed, a file gives a mesh or is told to be bad.
#[test]
fn no_broken_file_stops_the_program() {
    let mut model = Model::of(&unit_box());
    let view = model.column([0, 0, 1, 0]);
    model.json["accessors"][0]["sparse"] = json!({
        "count": 2, "indices": { "bufferView": view, "componentType": 5123 }, "values": { "bufferView": 0 },
    });
    let file = model.glb();
    let mut read = 0;
    for length in 0..file.len() {
        assert!(slip_or_body(&file[..length]).is_err(), "cut off after {length} bytes");
    }
    for at in 0..file.len() {
        for change in [0x01, 0x80, 0xff] {
            let mut changed = file.clone();
            changed[at] ^= change;
            read += usize::from(slip_or_body(&changed).is_ok());
        }
    }
    assert!(read > 100, "{read} of them are still meshes");
}

/// Read once as long as the file is the same and some plan has it.
#[test]
fn a_file_is_read_again_when_it_changes() {
    let dir = TempDir::new().unwrap();
    let file = dir.path().join("box.glb");
    fs::write(&file, Model::of(&unit_box()).glb()).unwrap();
    let folder = Folder::of(&dir.path().join("plan.ron"));
    let text = text_with(
        "(file: \"box.glb\", at: (0, 0)), (file: \"box.glb\", at: (4, 0)), (file: \"box.glb\", at: (8, 0), scale: 2)",
    );
    let first = read_beside(&text, &folder).unwrap().0;
    let second = read_beside(&text.replace("(4, 0)", "(5, 0)"), &folder).unwrap().0;
    let body = |plan: &Plan, mesh: usize| Arc::clone(&plan.venue.meshes[mesh].body);
    assert!(Arc::ptr_eq(&body(&first, 0), &body(&second, 1)) && Arc::ptr_eq(&body(&first, 2), &body(&second, 2)));
    fs::write(&file, Model::of(&joined([unit_box(), unit_box()])).glb()).unwrap();
    let third = read_beside(&text, &folder).unwrap().0;
    assert_eq!((body(&second, 0).mesh.triangles.len(), body(&third, 0).mesh.triangles.len()), (12, 24));
    fs::remove_file(&file).unwrap();
    assert!(read_beside(&text, &folder).is_err());
}

/// A variant's own venue may have meshes too; a bad one is told with the variant's name.
#[test]
fn a_variant_has_meshes_of_its_own() {
    let dir = TempDir::new().unwrap();
    fs::write(dir.path().join("box.glb"), Model::of(&unit_box()).glb()).unwrap();
    let variant = |file: &str| {
        let variants = format!("variants: [(id: \"rain\", venue: (meshes: [(file: \"{file}\", at: (1, 1))]))],\n)\n");
        let text = text_with("(file: \"box.glb\", at: (0, 0))");
        let path = dir.path().join("plan.ron");
        fs::write(&path, text.trim_end().trim_end_matches(')').to_owned() + &variants).unwrap();
        load(&path)
    };
    let loaded = variant("box.glb").unwrap_or_else(|error| panic!("{error}"));
    let elsewhere = loaded.plan.variants[0].elsewhere.as_ref().expect("another venue");
    assert_eq!(elsewhere.venue.meshes[0].at, Vec2::ONE);
    let Err(LoadError::Wrong { problems, .. }) = variant("none.glb") else { panic!("it is read") };
    assert_eq!(problems.list[0].message, "in the variant `rain`: there is no file `none.glb`");
}
