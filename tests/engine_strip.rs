//! `standpoint frames --every` end to end: single pictures, the record, the strip.
#![cfg(feature = "engine")]

mod adapter;

use adapter::adapter_answers;
use assert_cmd::Command;
use image::RgbImage;
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// A red block and somebody who walks past before it, from two standpoints.
const PLAN: &str = r##"Plan(
    format: 1,
    place: (latitude: 38.57, longitude: -7.91, bearing: 310),
    start: "2027-06-12T17:30:00[Europe/Lisbon]",
    sky: overcast,
    venue: (
        ground: earth,
        fixtures: [(id: "block", kind: block, at: (0.6, -3), size: (0.9, 1.3, 0.5), colour: "#ff0000")],
    ),
    people: [(id: "mira", at: (-3, 0)), (id: "ilan", at: (2.5, -1))],
    moments: [(id: "walk", name: "She walks", length: 5, cues: [(who: "mira", at: (1, 0), over: 5)]), (id: "kiss", length: 20)],
    crew: [(id: "lead", name: "Noor"), (id: "second", name: "Kai")],
    standpoints: [
        (id: "aisle", photographer: "lead", at: (0, 7), during: ["walk", (moment: "kiss", from: 0, to: 1)]),
        (id: "side", photographer: "lead", at: (5, 4), during: [(moment: "kiss", from: 12, to: 20)]),
        (id: "left", photographer: "second", at: (-4, 4), during: ["walk", "kiss"]),
    ],
    frames: [(id: "past-the-block", moment: "walk", after: 2, standpoint: "aisle", of: "mira", shot_size: full)],
)
"##;

fn standpoint(folder: &Path, arguments: &str) {
    let mut command = Command::cargo_bin("standpoint").expect("the program is built");
    command.env("NO_COLOR", "1").current_dir(folder).args(["frames", "small.ron"]).args(arguments.split(' '));
    let done = command.assert().code(0);
    assert!(done.get_output().stdout.is_empty(), "results are the files");
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

fn picture(bytes: &[u8]) -> RgbImage {
    image::load_from_memory(bytes).expect("a picture").to_rgb8()
}

#[test]
fn a_moment_becomes_a_strip() {
    if !adapter_answers("a_moment_becomes_a_strip") {
        return;
    }
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    fs::write(at.join("small.ron"), PLAN).expect("the plan is written");

    standpoint(at, "--every 2s --moment walk --photographer lead --width 160 --out walk");
    let walk = files(&at.join("walk"));
    let pictures = ["walk-lead-000.0.jpg", "walk-lead-002.0.jpg", "walk-lead-004.0.jpg"];
    let names: Vec<&str> = walk.keys().map(String::as_str).collect();
    assert_eq!(names, [&pictures[..], &["walk-lead-strip.jpg", "walk-lead-strip.json"]].concat());
    let record: Value = serde_json::from_slice(&walk["walk-lead-strip.json"]).expect("JSON");
    assert_eq!((&record["format"], &record["plan"]), (&1.into(), &"small.ron".into()));
    let frames = record["frames"].as_array().expect("a list");
    let of_all = |field: &str| frames.iter().map(|frame| frame[field].to_string()).collect::<Vec<_>>();
    assert_eq!(of_all("at_s"), ["0.0", "2.0", "4.0"]);
    assert_eq!(of_all("file"), pictures.map(|name| format!("\"{name}\"")));
    assert_eq!(frames[1]["instant"], "2027-06-12T17:30:02+01:00[Europe/Lisbon]");
    assert_eq!((&frames[1]["photographer"], &frames[1]["of"][0]), (&"lead".into(), &"mira".into()));
    // Pictures that differ, since she walks, each whole on the strip.
    let shown: Vec<RgbImage> = pictures.iter().map(|name| picture(&walk[*name])).collect();
    assert!(shown.iter().all(|one| one.dimensions() == (160, 107)));
    assert!(shown[0] != shown[1] && shown[1] != shown[2]);
    let strip = picture(&walk["walk-lead-strip.jpg"]);
    for (number, one) in shown.iter().enumerate() {
        assert!(is_on(&strip, one), "picture {number} is not on the strip");
    }

    // Empty while the lead changes places: no picture, no record.
    standpoint(at, "--every 3s --moment kiss --to 15 --photographer lead --width 96 --as png --quiet --out kiss");
    let kiss = files(&at.join("kiss"));
    let names: Vec<&str> = kiss.keys().map(String::as_str).collect();
    assert!(names.contains(&"kiss-lead-000.0.png") && names.contains(&"kiss-lead-015.0.png"), "{names:?}");
    assert!(!names.contains(&"kiss-lead-003.0.png"), "the lead walks then: {names:?}");
    let record: Value = serde_json::from_slice(&kiss["kiss-lead-strip.json"]).expect("JSON");
    assert_eq!(record["frames"].as_array().map(Vec::len), Some(names.len() - 2), "a record for each picture");

    standpoint(at, "--every 5s --moment walk --above --width 240 --quiet --out above");
    let above = files(&at.join("above"));
    let names: Vec<&str> = above.keys().map(String::as_str).collect();
    assert_eq!(
        names,
        ["walk-above-000.0.jpg", "walk-above-005.0.jpg", "walk-above-strip.jpg", "walk-above-strip.json"]
    );
    let first = picture(&above["walk-above-000.0.jpg"]);
    let mean =
        first.pixels().map(|pixel| f64::from(pixel.0[1])).sum::<f64>() / f64::from(first.width() * first.height());
    assert!((50.0..200.0).contains(&mean), "mean level {mean:.0} of 255");
    // The discs under the two photographers, orange and sky blue, on brown earth.
    let count = |like: fn([i32; 3]) -> bool| first.pixels().filter(|pixel| like(pixel.0.map(i32::from))).count();
    let blue = count(|[r, g, b]| b > r + 40 && b > g);
    let orange = count(|[r, g, b]| r > 170 && r > b + 110 && g > b + 60);
    assert!(blue > 20 && orange > 20, "{blue} blue, {orange} orange pixels");

    // The same again is the same, byte by byte.
    standpoint(at, "--every 2s --moment walk --photographer lead --width 160 --quiet --out again");
    assert_eq!(files(&at.join("again")), walk, "two runs differ");
}

/// Whether a picture lies somewhere on the sheet, but for what JPEG changes.
fn is_on(sheet: &RgbImage, one: &RgbImage) -> bool {
    let (width, height) = one.dimensions();
    let probes: Vec<(u32, u32)> = (1..8).flat_map(|i| (1..8).map(move |j| (width * i / 8, height * j / 8))).collect();
    let differs = |left: u32, top: u32| {
        let off = |&(x, y): &(u32, u32)| {
            let (a, b) = (sheet.get_pixel(left + x, top + y).0, one.get_pixel(x, y).0);
            (0..3).map(|k| i64::from(a[k].abs_diff(b[k]))).sum::<i64>()
        };
        probes.iter().map(off).sum::<i64>() as f64 / (3 * probes.len()) as f64
    };
    (0..=sheet.height() - height).any(|top| (0..=sheet.width() - width).any(|left| differs(left, top) < 4.0))
}
