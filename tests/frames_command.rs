//! `standpoint frames` as a program on a machine without a graphics driver: the built-in tracer draws, and says so.

use assert_cmd::Command;
use std::fs;
use tempfile::TempDir;

fn folder_with_plan() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("ours.ron"), include_str!("fixtures/whole.ron")).unwrap();
    folder
}

/// Draws one small frame where no driver can be found; returns its record and what was said.
fn drawn(folder: &TempDir, drawn_by: &str) -> (serde_json::Value, String) {
    let mut command = Command::cargo_bin("standpoint").unwrap();
    command.env("NO_COLOR", "1").env("VK_DRIVER_FILES", "/nowhere.json").env("VK_ICD_FILENAMES", "/nowhere.json");
    command.env_remove("STANDPOINT_NEED_ENGINE").current_dir(folder);
    command.args(["frames", "ours.ron", "--only", "kiss-half", "--width", "96", "--drawn-by", drawn_by]);
    let done = command.assert().success();
    let record = fs::read_to_string(folder.path().join("frames/frames.json")).unwrap();
    let said = String::from_utf8(done.get_output().stderr.clone()).unwrap();
    (serde_json::from_str(&record).unwrap(), said)
}

/// The picture that a record names: its width, and how much its pixels differ.
fn picture(folder: &TempDir, record: &serde_json::Value) -> (u32, f64) {
    let file = record["frames"][0]["file"].as_str().unwrap();
    let picture = image::open(folder.path().join("frames").join(file)).unwrap().to_luma8();
    let values = || picture.pixels().map(|pixel| f64::from(pixel.0[0]));
    let count = f64::from(picture.width() * picture.height());
    let mean = values().sum::<f64>() / count;
    (picture.width(), (values().map(|value| (value - mean).powi(2)).sum::<f64>() / count).sqrt())
}

#[test]
fn the_tracer_needs_no_driver() {
    let folder = folder_with_plan();
    let (record, _) = drawn(&folder, "tracer");
    assert_eq!(record["frames"][0]["drawn_by"], "tracer");
    let (width_px, spread) = picture(&folder, &record);
    assert!(width_px == 96 && spread > 15.0, "{width_px} px wide, spread {spread:.1}");
}

#[test]
#[cfg(all(target_os = "linux", feature = "engine"))]
fn without_a_driver_the_tracer_draws_and_says_so() {
    let folder = folder_with_plan();
    let (record, said) = drawn(&folder, "auto");
    assert_eq!(record["frames"][0]["drawn_by"], "tracer");
    assert!(said.contains("no graphics adapter answered: the built-in tracer draws"), "{said}");
    assert!(picture(&folder, &record).1 > 15.0);
}
