//! `standpoint guests` as a program: what it writes, messages, exit codes.

use assert_cmd::Command;
use serde_json::Value;
use std::fs;
use tempfile::TempDir;

const WHOLE: &str = include_str!("fixtures/whole.ron");

/// `tests/fixtures/whole.ron` as `ours.ron`, with the lead in the aisle before the couple.
fn folder_with_plan() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let in_the_way = WHOLE.replace("at: (0, 8), during", "at: (-1.1, 2.1), during");
    assert_ne!(in_the_way, WHOLE);
    fs::write(folder.path().join("ours.ron"), in_the_way).unwrap();
    folder
}

fn guests(folder: &TempDir, arguments: &[&str]) -> Command {
    let mut command = Command::cargo_bin("standpoint").unwrap();
    command.env("NO_COLOR", "1").current_dir(folder).args(["guests", "ours.ron"]).args(arguments);
    command
}

/// What it writes, and what it says.
fn told(folder: &TempDir, arguments: &[&str]) -> (Value, String) {
    let done = guests(folder, arguments).assert().code(0);
    let output = done.get_output();
    (serde_json::from_slice(&output.stdout).unwrap(), String::from_utf8(output.stderr.clone()).unwrap())
}

/// What it says on standard error; standard output must be empty.
fn refused(folder: &TempDir, arguments: &[&str]) -> String {
    let done = guests(folder, arguments).assert().code(2);
    assert_eq!(done.get_output().stdout, b"");
    String::from_utf8(done.get_output().stderr.clone()).unwrap()
}

#[test]
fn an_instant_tells_everybodys_view() {
    let folder = folder_with_plan();
    let (file, said) = told(&folder, &["--at", "kiss+2"]);
    assert_eq!((&file["format"], &file["plan"]), (&Value::from(1), &Value::from("ours.ron")));
    assert_eq!(file["couple"], serde_json::json!(["mira", "ilan"]));
    assert_eq!((&file["at_s"], &file["moment"]), (&Value::from(122.0), &Value::from("kiss")));
    assert_eq!(file["instant"], "2027-06-12T17:32:02+01:00[Europe/Lisbon]");
    let ids: Vec<&str> = file["guests"].as_array().unwrap().iter().map(|guest| guest["id"].as_str().unwrap()).collect();
    assert!(ids.contains(&"una") && ids.contains(&"left/1/5"), "{ids:?}");
    assert!(!ids.contains(&"left/1/6") && !ids.contains(&"tove") && !ids.contains(&"mira"), "{ids:?}");
    assert!(file["by_photographer"]["lead"].as_f64().unwrap() > 0.1, "{file}");
    assert!(said.starts_with("kiss+2: ") && said.contains("lead "), "{said}");
    assert!((2..=6).contains(&said.lines().count()), "{said}");
    assert!(said.contains(&format!(" of {} guests", ids.len())), "{said}");
}

#[test]
fn a_stretch_tells_how_long_and_to_whom() {
    let folder = folder_with_plan();
    let (whole, said) = told(&folder, &["--every", "5"]);
    assert_eq!((&whole["from_s"], &whole["to_s"], &whole["instants"]), (&0.0.into(), &125.0.into(), &25.into()));
    assert_eq!(whole["from"], "2027-06-12T17:30:00+01:00[Europe/Lisbon]");
    assert!((2..=6).contains(&said.lines().count()), "{said}");
    let (kiss, _) = told(&folder, &["--moment", "kiss", "--every", "0.5s"]);
    assert_eq!((&kiss["from_s"], &kiss["to_s"], &kiss["instants"]), (&120.0.into(), &125.0.into(), &10.into()));
    let sum = |file: &Value| {
        file["by_moment"].as_array().unwrap().iter().map(|it| it["lost_guest_s"].as_f64().unwrap()).sum::<f64>()
    };
    for file in [&whole, &kiss] {
        let lost = file["lost_guest_s"].as_f64().unwrap();
        assert!(lost > 0.0 && (sum(file) - lost).abs() < 0.005, "{lost} {}", sum(file));
    }
    let quiet = guests(&folder, &["--moment", "kiss", "--quiet"]).assert().code(0);
    assert_eq!(quiet.get_output().stderr, b"");
}

#[test]
fn a_plan_without_seats_has_no_guests() {
    let folder = folder_with_plan();
    let text = r#"Plan(format: 1, place: (latitude: 38.57, longitude: -7.91, bearing: 310),
        start: "2027-06-12T17:30[Europe/Lisbon]", venue: (),
        people: [(id: "mira", at: (-0.4, 0)), (id: "ilan", at: (0.4, 0))], moments: [(id: "vows", length: 20)])"#;
    fs::write(folder.path().join("ours.ron"), text).unwrap();
    let (file, said) = told(&folder, &["--at", "+0"]);
    assert_eq!(file["guests"], serde_json::json!([]));
    assert!(said.contains("no guest is there"), "{said}");
    let (file, said) = told(&folder, &[]);
    assert_eq!((&file["lost_guest_s"], &file["worst_guest"]), (&0.0.into(), &Value::Null));
    assert!(said.contains("the crew takes no view"), "{said}");
}

#[test]
fn a_picture_is_written_whole_of_either_kind() {
    let folder = folder_with_plan();
    fs::write(folder.path().join("a.PNG"), "what was there before").unwrap();
    for (file, arguments) in [("a.PNG", ["--at", "kiss+2"]), ("b.jpg", ["--moment", "kiss"])] {
        let (_, said) = told(&folder, &[&arguments[..], &["--picture", file, "--width", "400"]].concat());
        assert!(said.contains(&format!("wrote {file}: 400 × ")), "{said}");
        let picture = image::ImageReader::open(folder.path().join(file))
            .unwrap()
            .with_guessed_format()
            .unwrap()
            .decode()
            .unwrap();
        assert_eq!(picture.width(), 400);
    }
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 3, "nothing is left beside them");
}

#[test]
fn what_cannot_be_done_is_told_and_nothing_is_written() {
    let folder = folder_with_plan();
    fs::create_dir(folder.path().join("folder.png")).unwrap();
    let wrong = [
        vec!["--at", "kis+2"],
        vec!["--at", "kiss+6"],
        vec!["--moment", "recessional"],
        vec!["--moment", "kis"],
        vec!["--every", "soon"],
        vec!["--every", "0"],
        vec!["--every", "11m"],
        vec!["--picture", "ours.ron"],
        vec!["--picture", "folder.png"],
        vec!["--moment", "kiss", "--picture", "no/such/a.png"],
    ];
    let told: Vec<String> = wrong
        .iter()
        .map(|arguments| format!("$ {}\n{}", arguments.join(" "), refused_message(&folder, arguments)))
        .collect();
    insta::assert_snapshot!(told.join("\n"));
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 2, "nothing was written");
    for both in [vec!["--at", "kiss", "--moment", "kiss"], vec!["--at", "kiss", "--every", "2"], vec!["--width", "500"]]
    {
        refused(&folder, &both);
    }
}

/// What is refused, without the summary that comes first where only the writing fails.
fn refused_message(folder: &TempDir, arguments: &[&str]) -> String {
    refused(folder, &[arguments, &["--quiet"]].concat())
}

#[test]
fn help_says_what_it_does() {
    let folder = tempfile::tempdir().unwrap();
    let done = guests(&folder, &["--help"]).assert().code(0);
    insta::assert_snapshot!(String::from_utf8(done.get_output().stdout.clone()).unwrap());
}
