//! `standpoint frames` as a program: pictures, records, messages, exit codes.
#![cfg(feature = "engine")]

mod adapter;

use adapter::adapter_answers;
use assert_cmd::Command;
use glam::{Mat4, Vec3, Vec4, vec3};
use image::{DynamicImage, RgbImage};
use little_exif::exif_tag::ExifTag;
use little_exif::metadata::Metadata;
use little_exif::rational::uR64;
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// A red block on dark earth under clouds, taken straight, upright and from the side.
const PLAN: &str = r##"Plan(
    format: 1,
    place: (latitude: 38.57, longitude: -7.91, bearing: 310),
    start: "2027-06-12T17:30[Europe/Lisbon]",
    sky: overcast,
    venue: (
        ground: earth,
        fixtures: [(id: "block", kind: block, at: (0.6, -1.5), size: (0.9, 1.3, 0.5), heading: 25, colour: "#ff0000")],
    ),
    people: [(id: "mira", at: (-1.2, 0)), (id: "ilan", at: (-2.0, 0))],
    // The kiss comes towards sunset: a picture that took the light of the one before would be seen.
    moments: [(id: "vows", length: "2m"), (id: "dinner", length: "3h"), (id: "kiss", length: 5)],
    kit: (
        bodies: [(id: "body", sensor: full_frame)],
        lenses: [(id: "wide", focal_mm: (24, 70), f: (2.8, 4), nearest_focus: 0.38)],
    ),
    crew: [(id: "lead", name: "Noor", carries: [("body", "wide")])],
    standpoints: [
        (id: "aisle", photographer: "lead", at: (0, 6), during: ["vows"]),
        (id: "side", photographer: "lead", at: (4, 2), height: 1.2, during: ["kiss"]),
    ],
    frames: [
        (id: "straight", moment: "vows", standpoint: "aisle", focal_mm: 35, aim: (at: (0, 0), height: 1.2), f: 8, shutter: "1/250"),
        (id: "upright", moment: "vows", after: 75.5, standpoint: "aisle", focal_mm: 50, aim: (at: (0.3, 0), height: 1.0),
            orientation: portrait, f: 11, shutter: "1/100", iso: 800),
        (id: "sideways", moment: "kiss", standpoint: "side", focal_mm: 28, aim: (at: (0, -1), height: 0.8), f: 8, shutter: "1/125"),
    ],
)
"##;

const WIDTH_PX: u32 = 320;

fn standpoint(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::cargo_bin("standpoint").expect("the program is built");
    command.env("NO_COLOR", "1").current_dir(folder).args(["frames", "small.ron", "--width", "320"]).args(arguments);
    command
}

fn folder_with_plan() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("small.ron"), PLAN).expect("the plan is written");
    folder
}

fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    entries
        .map(|entry| {
            let entry = entry.expect("an entry");
            (entry.file_name().into_string().expect("a name"), fs::read(entry.path()).expect("a file"))
        })
        .collect()
}

fn standard_error(done: &assert_cmd::assert::Assert) -> String {
    String::from_utf8(done.get_output().stderr.clone()).expect("text")
}

/// One test for all pictures, so that the engine starts four times and not twelve.
#[test]
fn planned_frames_become_pictures_and_records() {
    if !adapter_answers("planned_frames_become_pictures_and_records") {
        return;
    }
    let folder = folder_with_plan();
    let at = folder.path();
    let done = standpoint(at, &["--out", "first", "--guides"]).assert().code(0);
    assert!(done.get_output().stdout.is_empty(), "results are the files");
    assert!(standard_error(&done).contains("3 frames in first by the engine on "), "{}", standard_error(&done));
    let first = files(&at.join("first"));
    let names: Vec<&str> = first.keys().map(String::as_str).collect();
    let expected = [
        "frames.json",
        "sideways-guides.jpg",
        "sideways.jpg",
        "straight-guides.jpg",
        "straight.jpg",
        "upright-guides.jpg",
        "upright.jpg",
    ];
    assert_eq!(names, expected);

    let record: Value = serde_json::from_slice(&first["frames.json"]).expect("JSON");
    assert_eq!((&record["format"], &record["plan"]), (&1.into(), &"small.ron".into()));
    let frames = record["frames"].as_array().expect("a list");
    let ids: Vec<&str> = frames.iter().filter_map(|frame| frame["id"].as_str()).collect();
    assert_eq!(ids, ["straight", "upright", "sideways"], "plan order");
    for frame in frames {
        let id = frame["id"].as_str().expect("an id");
        assert_eq!(frame["file"], format!("{id}.jpg"));
        let bytes = &first[&format!("{id}.jpg")];
        let picture = image::load_from_memory(bytes).expect("a JPEG").to_rgb8();
        has_the_contracts_fields(frame);
        let (long, short) = (WIDTH_PX, 213);
        let size = if id == "upright" { (short, long) } else { (long, short) };
        assert_eq!(picture.dimensions(), size, "{id}");
        assert_eq!((frame["width"].as_u64(), frame["height"].as_u64()), (Some(size.0.into()), Some(size.1.into())));
        is_exposed(id, &picture);
        shows_the_block_where_it_is(frame, &picture);
        exif_says_what_the_record_says(frame, bytes);

        let guides = image::load_from_memory(&first[&format!("{id}-guides.jpg")]).expect("a JPEG").to_rgb8();
        // The label has a strip of its own below the picture.
        assert!(guides.width() == size.0 && guides.height() > size.1, "{id}: {:?}", guides.dimensions());
        let marked = image::imageops::crop_imm(&guides, 0, 0, size.0, size.1).to_image();
        let difference = mean_difference(&picture, &marked);
        assert!((0.5..60.0).contains(&difference), "{id}: guides change {difference:.1} of 255 levels");
    }

    // The same again is the same, byte by byte.
    standpoint(at, &["--out", "second", "--guides"]).assert().code(0);
    assert_eq!(first, files(&at.join("second")), "two runs differ");

    // The third frame drawn first: nothing is left of those before it, and nothing was missing.
    let done = standpoint(at, &["--out", "third", "--only", "sideways", "--quiet"]).assert().code(0);
    assert!(!standard_error(&done).contains("sideways"), "quiet: {}", standard_error(&done));
    let third = files(&at.join("third"));
    assert_eq!(third.keys().collect::<Vec<_>>(), ["frames.json", "sideways.jpg"]);
    assert!(third["sideways.jpg"] == first["sideways.jpg"], "drawn first and drawn third differ");

    standpoint(at, &["--out", "fourth", "--only", "upright,straight", "--as", "png"]).assert().code(0);
    let fourth = files(&at.join("fourth"));
    assert_eq!(fourth.keys().collect::<Vec<_>>(), ["frames.json", "straight.png", "upright.png"]);
    for id in ["straight", "upright"] {
        let png = image::load_from_memory_with_format(&fourth[&format!("{id}.png")], image::ImageFormat::Png);
        let jpeg = image::load_from_memory(&first[&format!("{id}.jpg")]).expect("a JPEG").to_rgb8();
        let off = mean_difference(&png.map(DynamicImage::into_rgb8).expect("a PNG"), &jpeg);
        assert!(off < 2.5, "{id}: PNG and JPEG differ by {off} of 255");
    }
    let record: Value = serde_json::from_slice(&fourth["frames.json"]).expect("JSON");
    assert_eq!(record["frames"][0]["file"], "straight.png", "plan order, whatever order was asked for");
}

fn has_the_contracts_fields(frame: &Value) {
    for field in ["id", "file", "moment", "instant", "photographer", "standpoint", "shot_size", "drawn_by", "adapter"] {
        assert!(frame[field].is_string(), "{field}: {}", frame[field]);
    }
    for field in [
        "at_s",
        "width",
        "height",
        "focal_mm",
        "f_number",
        "shutter_s",
        "iso",
        "focus_m",
        "vertical_fov_deg",
        "white_balance_kelvin",
    ] {
        assert!(frame[field].is_number(), "{field}: {}", frame[field]);
    }
    for (field, length) in [("sensor_mm", 2), ("eye", 3), ("world_from_camera", 16)] {
        assert_eq!(frame[field].as_array().map(Vec::len), Some(length), "{field}");
    }
    assert!(frame["of"].is_array());
    assert_eq!((&frame["drawn_by"], &frame["photographer"]), (&"engine".into(), &"lead".into()));
    if frame["id"] == "upright" {
        assert_eq!(frame["at_s"], 75.5);
        // 17:30 and 75.5 s, summer time in Lisbon.
        assert_eq!(frame["instant"], "2027-06-12T17:31:15.5+01:00[Europe/Lisbon]");
        assert_eq!(numbers(&frame["sensor_mm"]), [24.0, 36.0]);
        assert_eq!((&frame["iso"], &frame["focal_mm"]), (&800.0.into(), &50.0.into()));
    }
}

fn numbers(value: &Value) -> Vec<f32> {
    value.as_array().expect("a list").iter().map(|number| number.as_f64().expect("a number") as f32).collect()
}

/// Neither black nor burnt out. The upright frame is set by hand and only has to show something.
fn is_exposed(id: &str, picture: &RgbImage) {
    let mean = picture.pixels().map(|pixel| f64::from(pixel.0[1])).sum::<f64>()
        / f64::from(picture.width() * picture.height());
    assert!((35.0..230.0).contains(&mean), "{id}: mean level {mean:.0} of 255");
}

/// The block's outline, from nothing but the record, against the red of the picture.
fn shows_the_block_where_it_is(frame: &Value, picture: &RgbImage) {
    let world_from_camera = Mat4::from_cols_slice(&numbers(&frame["world_from_camera"]));
    assert!(world_from_camera.w_axis.truncate().abs_diff_eq(Vec3::from_slice(&numbers(&frame["eye"])), 1e-6));
    let half_height = (frame["vertical_fov_deg"].as_f64().expect("a number") as f32).to_radians() / 2.0;
    let height = picture.height() as f32;
    let px = height / 2.0 / half_height.tan();
    let mut predicted = [f32::MAX, f32::MAX, f32::MIN, f32::MIN];
    for corner in block_corners() {
        let seen: Vec4 = world_from_camera.inverse() * corner.extend(1.0);
        let u = picture.width() as f32 / 2.0 + px * seen.x / -seen.z;
        let v = height / 2.0 - px * seen.y / -seen.z;
        predicted = [predicted[0].min(u), predicted[1].min(v), predicted[2].max(u), predicted[3].max(v)];
    }
    let mut found = [f32::MAX, f32::MAX, f32::MIN, f32::MIN];
    for (x, y, pixel) in picture.enumerate_pixels() {
        let [r, g, b] = pixel.0.map(f32::from);
        if r > 70.0 && r > 2.0 * g.max(b) {
            let (x, y) = (x as f32, y as f32);
            found = [found[0].min(x), found[1].min(y), found[2].max(x + 1.0), found[3].max(y + 1.0)];
        }
    }
    for (side, (found, predicted)) in ["left", "top", "right", "bottom"].iter().zip(found.iter().zip(predicted)) {
        let off = (found - predicted).abs();
        assert!(off <= 2.0, "{}: {side} of the block at {found}, the record says {predicted:.1}", frame["id"]);
    }
}

/// 0.9 × 1.3 × 0.5 m, turned by 25°.
fn block_corners() -> Vec<Vec3> {
    let turn = glam::Quat::from_rotation_y(-25f32.to_radians());
    let mut corners = Vec::new();
    for x in [-0.45, 0.45] {
        for y in [0.0, 1.3] {
            for z in [-0.25, 0.25] {
                corners.push(vec3(0.6, 0.0, -1.5) + turn * vec3(x, y, z));
            }
        }
    }
    corners
}

/// Read by another library than the one that wrote it.
fn exif_says_what_the_record_says(frame: &Value, jpeg: &[u8]) {
    let read = Metadata::new_from_vec(&jpeg.to_vec(), little_exif::filetype::FileExtension::JPEG).expect("EXIF");
    let get = |tag: ExifTag| read.get_tag(&tag).next().unwrap_or_else(|| panic!("{tag:?} is missing")).clone();
    let ratio = |value: &uR64| f64::from(value.nominator) / f64::from(value.denominator);
    let near = |what: &str, got: f64| {
        let expected = frame[what].as_f64().expect("a number");
        assert!((got / expected - 1.0).abs() < 1e-3, "{what}: EXIF {got}, record {expected}");
    };
    let ExifTag::FocalLength(value) = get(ExifTag::FocalLength(vec![])) else { panic!() };
    near("focal_mm", ratio(&value[0]));
    let ExifTag::FNumber(value) = get(ExifTag::FNumber(vec![])) else { panic!() };
    near("f_number", ratio(&value[0]));
    let ExifTag::ExposureTime(value) = get(ExifTag::ExposureTime(vec![])) else { panic!() };
    near("shutter_s", ratio(&value[0]));
    let ExifTag::ISO(value) = get(ExifTag::ISO(vec![])) else { panic!() };
    let iso = frame["iso"].as_f64().expect("a number");
    assert!((f64::from(value[0]) - iso).abs() <= 0.5, "ISO: EXIF {}, record {iso}", value[0]);
    let ExifTag::LensInfo(value) = get(ExifTag::LensInfo(vec![])) else { panic!() };
    assert_eq!(value.iter().map(ratio).collect::<Vec<_>>(), [24.0, 70.0, 2.8, 4.0]);
    let ExifTag::DateTimeOriginal(value) = get(ExifTag::DateTimeOriginal(String::new())) else { panic!() };
    let instant = frame["instant"].as_str().expect("an instant");
    assert_eq!(value.replacen(':', "-", 2).replace(' ', "T"), instant[..19]);
    let ExifTag::OffsetTimeOriginal(value) = get(ExifTag::OffsetTimeOriginal(String::new())) else { panic!() };
    assert!(instant.contains(&value), "{value} in {instant}");
}

/// Levels of 255.
fn mean_difference(one: &RgbImage, other: &RgbImage) -> f64 {
    let sum: u64 = one.as_raw().iter().zip(other.as_raw()).map(|(a, b)| u64::from(a.abs_diff(*b))).sum();
    sum as f64 / one.as_raw().len() as f64
}

/// Needs no adapter: the arguments are looked at first.
#[test]
fn an_unknown_frame_is_named_and_nothing_is_written() {
    let folder = folder_with_plan();
    let done = standpoint(folder.path(), &["--out", "out", "--only", "straight,uprigth"]).assert().code(2);
    let message = standard_error(&done);
    assert!(message.contains("there is no frame `uprigth` in small.ron; did you mean `upright`?"), "{message}");
    assert!(message.contains("nothing was written"), "{message}");
    assert_eq!(files(folder.path()).keys().collect::<Vec<_>>(), ["small.ron"]);
}

#[test]
fn a_folder_that_cannot_be_made_is_the_machines_trouble() {
    if !adapter_answers("a_folder_that_cannot_be_made_is_the_machines_trouble") {
        return;
    }
    let folder = folder_with_plan();
    // A file where a folder should be: the disk refuses, also those who may write everywhere.
    let done = standpoint(folder.path(), &["--out", "small.ron/out"]).assert().code(3);
    let message = standard_error(&done);
    assert!(message.contains("small.ron/out can't be made"), "{message}");
    assert_eq!(files(folder.path())["small.ron"], PLAN.as_bytes());
}

/// A Vulkan loader that is shown no driver is a machine without one.
#[cfg(target_os = "linux")]
#[test]
fn without_an_adapter_the_message_names_what_to_install() {
    let folder = folder_with_plan();
    let mut command = standpoint(folder.path(), &["--out", "out", "--drawn-by", "engine"]);
    command.env_remove("STANDPOINT_NEED_ENGINE");
    for variable in ["VK_DRIVER_FILES", "VK_ICD_FILENAMES"] {
        command.env(variable, "/nonexistent/driver.json");
    }
    let done = command.assert().code(3);
    let message = standard_error(&done);
    assert!(message.contains("no graphics adapter answered"), "{message}");
    assert!(message.contains("mesa-vulkan-drivers"), "{message}");
    assert_eq!(files(folder.path()).keys().collect::<Vec<_>>(), ["small.ron"], "nothing was written");
}
