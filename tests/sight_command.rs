//! `standpoint sight` as typed: JSON, messages, exit codes.

use assert_cmd::Command;
use std::path::Path;

const PLAN: &str = r#"Plan(
    format: 1,
    place: (latitude: 38.57, longitude: -7.91, bearing: 310),
    start: "2027-06-12T17:30[Europe/Lisbon]",
    venue: (fixtures: [(id: "post", kind: column, at: (0, 6), size: (0.6, 3, 0.6))]),
    people: [(id: "mira", roles: ["bride"], at: (-0.4, 0)), (id: "ilan", at: (0.4, 0))],
    moments: [(id: "vows", length: "2m")],
    kit: (bodies: [(id: "body", sensor: full_frame)], lenses: [(id: "wide", focal_mm: (24, 70), f: 2.8, nearest_focus: 0.38)]),
    crew: [(id: "lead", name: "Noor", carries: [("body", "wide")])],
    standpoints: [
        (id: "aisle", photographer: "lead", at: (0, 8), during: [(moment: "vows", to: 60)]),
        (id: "side", photographer: "lead", at: (4, 2), during: [(moment: "vows", from: 80)]),
    ],
    frames: [
        (id: "behind-the-post", moment: "vows", after: 10, standpoint: "aisle", of: ["mira", "ilan"], shot_size: half),
        (id: "from-the-side", moment: "vows", after: 100, standpoint: "side", of: "mira", shot_size: full, orientation: portrait),
    ],
)
"#;

fn sight(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::cargo_bin("standpoint").expect("the program is built");
    command.env("NO_COLOR", "1").current_dir(folder).arg("sight").args(arguments);
    command
}

fn folder_with(plan: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("small.ron"), plan).expect("the plan is written");
    folder
}

#[test]
fn frames_as_json() {
    let folder = folder_with(PLAN);
    let done = sight(folder.path(), &["small.ron", "--width", "300"]).assert().success();
    let json: serde_json::Value = serde_json::from_slice(&done.get_output().stdout).expect("JSON");
    assert_eq!((json["format"].as_u64(), json["plan"].as_str()), (Some(1), Some("small.ron")));
    let frames = json["frames"].as_array().expect("frames");
    let ids: Vec<&str> = frames.iter().filter_map(|frame| frame["id"].as_str()).collect();
    assert_eq!(ids, ["behind-the-post", "from-the-side"]);
    assert_eq!((frames[1]["width"].as_u64(), frames[1]["height"].as_u64()), (Some(200), Some(300)));
    let [first, second] = [0, 1].map(|frame| &frames[frame]["people"][0]);
    assert_eq!(
        (first["id"].as_str(), first["role"].as_str(), first["wanted"].as_bool()),
        (Some("mira"), Some("bride"), Some(true))
    );
    // 0.6 m of post at 2 m hide 2.4 m at 8 m: both of them.
    let face = &first["parts"]["face"];
    assert_eq!(face["visible_px"].as_u64(), Some(0));
    assert_eq!(face["covered_by"]["post"], face["in_frame_px"]);
    assert!(second["parts"]["whole"]["visible_px"].as_u64().expect("a count") > 1000);
    assert!(done.get_output().stderr.is_empty());

    let only = sight(folder.path(), &["small.ron", "--only", "from-the-side"]).assert().success();
    let json: serde_json::Value = serde_json::from_slice(&only.get_output().stdout).expect("JSON");
    assert_eq!(json["frames"].as_array().map(Vec::len), Some(1));
}

/// A camera in a wall is no black picture but a sentence.
#[test]
fn a_camera_inside_something_is_told() {
    let folder = folder_with(&PLAN.replace("at: (0, 6), size", "at: (0.1, 8), size"));
    let done = sight(folder.path(), &["small.ron", "--only", "behind-the-post"]).assert();
    let error = String::from_utf8_lossy(&done.get_output().stderr).into_owned();
    assert!(error.contains("post"), "{error}");
}

#[test]
fn slips_of_the_hand() {
    let folder = folder_with(PLAN);
    let said = |arguments: &[&str]| {
        let done = sight(folder.path(), arguments).assert().code(2);
        assert!(done.get_output().stdout.is_empty());
        String::from_utf8_lossy(&done.get_output().stderr).into_owned()
    };
    assert!(said(&["small.ron", "--only", "behind-the-pst"]).contains("did you mean `behind-the-post`"));
    assert!(said(&["none.ron"]).contains("there is no file none.ron"));
    assert!(said(&["small.ron", "--width", "10"]).contains("64..=4096"));
}
