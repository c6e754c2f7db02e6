//! `standpoint tableau` as a program: the file, messages, exit codes.

use assert_cmd::Command;
use std::fs;
use tempfile::TempDir;

const WHOLE: &str = include_str!("fixtures/whole.ron");

/// `tests/fixtures/whole.ron` as `ours.ron`.
fn folder_with_plan() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("ours.ron"), WHOLE).unwrap();
    folder
}

fn tableau(folder: &TempDir, arguments: &[&str]) -> Command {
    let mut command = Command::cargo_bin("standpoint").unwrap();
    command.env("NO_COLOR", "1").current_dir(folder).args(["tableau", "ours.ron"]).args(arguments);
    command
}

/// What it says on standard error; standard output must be empty.
fn said(folder: &TempDir, arguments: &[&str], code: i32) -> String {
    let done = tableau(folder, arguments).assert().code(code);
    assert_eq!(done.get_output().stdout, b"");
    String::from_utf8(done.get_output().stderr.clone()).unwrap()
}

/// Seconds into the ceremony that the written file says.
fn at_s(folder: &TempDir, instant: &str) -> f64 {
    let done = tableau(folder, &["--at", instant, "--out", "at.glb", "--quiet"]).assert().code(0);
    assert_eq!(done.get_output().stderr, b"");
    let file = gltf::Gltf::open(folder.path().join("at.glb")).unwrap();
    let extras = file.document.as_json().asset.extras.as_ref().expect("extras").get().to_owned();
    serde_json::from_str::<serde_json::Value>(&extras).unwrap()["at_s"].as_f64().unwrap()
}

/// The vows last two minutes, the kiss five seconds after them.
#[test]
fn instants_are_read_as_promised() {
    let folder = folder_with_plan();
    for (instant, expected_s) in [
        ("vows", 0.0),
        ("kiss", 120.0),
        ("kiss+2", 122.0),
        ("kiss+2.5", 122.5),
        ("kiss+5", 125.0),
        ("vows+1m30s", 90.0),
        ("vows + 90s", 90.0),
        ("+0", 0.0),
        ("+121.25", 121.25),
        ("+2m", 120.0),
        ("+125", 125.0),
    ] {
        assert_eq!(at_s(&folder, instant), expected_s, "{instant}");
    }
}

#[test]
fn it_says_what_travels_along() {
    let folder = folder_with_plan();
    insta::assert_snapshot!(
        [
            said(&folder, &["--at", "kiss+2.5", "--out", "kiss.glb"], 0),
            said(&folder, &["--at", "vows+60.04", "--out", "vows.GLB"], 0),
            said(&folder, &["--at", "vows+60.2", "--out", "vows.GLB"], 0),
            said(&folder, &["--at", "+0", "--out", "start.glb"], 0),
        ]
        .concat()
    );
    let names = |file: &str| -> Vec<String> {
        let file = gltf::Gltf::open(folder.path().join(file)).unwrap();
        file.nodes().filter(|node| node.camera().is_some()).map(|node| node.name().unwrap().to_owned()).collect()
    };
    assert_eq!(names("kiss.glb"), ["frame/kiss-half"]);
    assert!(names("start.glb").is_empty());
}

#[test]
fn a_wrong_instant_or_file_is_told_and_nothing_is_written() {
    let folder = folder_with_plan();
    fs::create_dir(folder.path().join("folder.glb")).unwrap();
    let wrong = [
        vec!["--at", "kis+2", "--out", "a.glb"],
        vec!["--at", "recessional", "--out", "a.glb"],
        vec!["--at", "kiss-half", "--out", "a.glb"],
        vec!["--at", "kiss+5.5", "--out", "a.glb"],
        vec!["--at", "vows+121", "--out", "a.glb"],
        vec!["--at", "+125.1", "--out", "a.glb"],
        vec!["--at", "kiss+soon", "--out", "a.glb"],
        vec!["--at", "kiss+-1", "--out", "a.glb"],
        vec!["--at", "kiss+NaN", "--out", "a.glb"],
        vec!["--at", "+", "--out", "a.glb"],
        vec!["--at", "", "--out", "a.glb"],
        vec!["--at", "kiss", "--out", "ours.ron"],
        vec!["--at", "kiss", "--out", "folder.glb"],
        vec!["--at", "kiss", "--out", "no/such/a.glb"],
    ];
    let told: Vec<String> =
        wrong.iter().map(|arguments| format!("$ {}\n{}", arguments.join(" "), said(&folder, arguments, 2))).collect();
    insta::assert_snapshot!(told.join("\n"));
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 2, "nothing was written");
    tableau(&folder, &["--at", "kiss"]).assert().code(2);
    tableau(&folder, &["--out", "a.glb"]).assert().code(2);
}

#[test]
fn an_older_file_is_replaced_whole() {
    let folder = folder_with_plan();
    fs::write(folder.path().join("a.glb"), "what was there before").unwrap();
    said(&folder, &["--at", "kiss", "--out", "a.glb"], 0);
    gltf::Gltf::open(folder.path().join("a.glb")).unwrap();
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 2, "nothing is left beside it");
}

#[test]
fn a_plan_without_frames_has_no_cameras() {
    let folder = folder_with_plan();
    let (before, _) = WHOLE.split_once("    frames: [").unwrap();
    fs::write(folder.path().join("ours.ron"), format!("{before})\n")).unwrap();
    let message = said(&folder, &["--at", "kiss", "--out", "a.glb"], 0);
    assert!(message.ends_with("no camera: the plan has no frames\n"), "{message}");
}

#[test]
fn help_says_what_it_does() {
    let folder = tempfile::tempdir().unwrap();
    let done = tableau(&folder, &["--help"]).assert().code(0);
    insta::assert_snapshot!(String::from_utf8(done.get_output().stdout.clone()).unwrap());
}
