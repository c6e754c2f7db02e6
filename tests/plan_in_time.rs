//! What only shows once the run of the ceremony is worked out: ways that are blocked, photographers who come too late,
//! frames that wait for what never happens. The whole message as the command line prints it, and the exit code.
//!
//! Distances and times in these plans are round, so that each number in a message can be checked by hand; those that
//! need more than a glance are, below.

use assert_cmd::Command;
use standpoint::plan;
use standpoint::staging::{Hitch, What, rehearse};
use std::fs;

/// A plan of what is given, on an empty lawn in metres.
fn plan(venue: &str, people: &str, moments: &str, standpoints: &str, frames: &str) -> String {
    format!(
        "Plan(\n    format: 1,\n    place: (latitude: 38.57, longitude: -7.91),\n    \
         start: \"2027-06-12T17:30[Europe/Lisbon]\",\n    venue: ({venue}),\n    people: [{people}],\n    \
         marks: [(id: \"gate\", at: (0, 20))],\n    moments: [{moments}],\n    standpoints: [{standpoints}],\n    \
         frames: [{frames}],\n)\n"
    )
}

const ADA: &str = r#"(id: "ada", at: (0, 0))"#;
const ADA_AND_BO: &str = r#"(id: "ada", at: (0, 0)), (id: "bo", at: (1, 0))"#;
/// Four walls round (8, 0), without a door.
const CELL: &str = "walls: [(id: \"north\", from: (6, -2), to: (10, -2)), (id: \"east\", from: (10, -2), to: (10, 2)), \
                    (id: \"south\", from: (10, 2), to: (6, 2)), (id: \"west\", from: (6, 2), to: (6, -2))]";
const FAR: &str = r#"(id: "far", photographer: "lead", at: (0, 12), during: ["walk"])"#;

/// One moment of twenty seconds with these cues.
fn walk(cues: &str) -> String {
    format!("(id: \"walk\", length: 20, cues: [{cues}])")
}

/// Plans that can be drawn, with something to say about each.
fn remarkable() -> Vec<(&'static str, String)> {
    let simple = |venue: &str, people: &str, cues: &str| plan(venue, people, &walk(cues), FAR, "");
    let stands = |standpoints: &str| plan("", ADA, &walk(""), standpoints, "");
    vec![
        ("walled_in", simple(CELL, ADA, r#"(who: "ada", at: (8, 0))"#)),
        (
            "into_a_thing",
            simple(
                "fixtures: [(id: \"pillar\", kind: column, at: (2, 0))]",
                ADA,
                r#"(who: "ada", after: 3, steps: right(4))"#,
            )
            .replace("at: (0, 0))", "at: (0, 0)), (id: \"bo\", at: (0, -3))")
            .replace("(who: \"ada\", after", "(who: \"ada\", faces: \"bo\"), (who: \"ada\", after"),
        ),
        (
            "into_each_other",
            simple("", ADA_AND_BO, r#"(who: "ada", faces: 0), (who: "ada", after: 3, steps: right(3))"#),
        ),
        ("cut_short", simple("", ADA, r#"(who: "ada", at: (10, 0)), (who: "ada", after: 4, at: (0, 0))"#)),
        (
            "late",
            stands(
                r#"(id: "here", photographer: "lead", at: (-6.5, 5), during: [(moment: "walk", from: 0, to: 4)]),
                (id: "there", photographer: "lead", at: (6.5, 5), during: [(moment: "walk", from: 6, to: 20)])"#,
            ),
        ),
        (
            "late_from_the_knees",
            stands(
                r#"(id: "here", photographer: "lead", at: (-6.5, 5), height: 1, during: [(moment: "walk", from: 0, to: 4)]),
                (id: "there", photographer: "lead", at: (6.5, 5), during: [(moment: "walk", from: 6, to: 20, pace: 2)])"#,
            ),
        ),
        (
            "no_way_to_a_standpoint",
            stands(
                r#"(id: "here", photographer: "lead", at: (0, 5), during: [(moment: "walk", from: 0, to: 4)]),
                (id: "cell", photographer: "lead", at: (8, 0), during: [(moment: "walk", from: 19, to: 20)])"#,
            )
            .replace("venue: ()", &format!("venue: ({CELL})")),
        ),
        ("photographer_in_the_way", plan("", ADA, &walk(r#"(who: "ada", at: "gate")"#), FAR, "")),
        (
            "after_its_moment",
            plan(
                "",
                ADA,
                r#"(id: "walk", length: 6, cues: [(id: "out", who: "ada", at: (10, 0)), (who: "ada", follows: "out", gesture: waves)]),
                (id: "rest", length: 20)"#,
                FAR,
                "",
            ),
        ),
        ("there_already", simple("", ADA, r#"(who: "ada", from: "gate", at: (5, 0))"#)),
        ("not_there_to_step", simple("", r#"(id: "ada")"#, r#"(who: "ada", steps: left(1))"#)),
        ("nobody_to_circle", simple("", r#"(id: "ada", at: (0, 0)), (id: "bo")"#, r#"(who: "ada", circles: "bo")"#)),
    ]
}

/// Plans with a frame that can't be taken.
fn impossible() -> Vec<(&'static str, String)> {
    let across = r#"(who: "ada", from: (-5, 0), at: (5, 0))"#;
    let frame = |people: &str, cues: &str, when: &str| {
        let frame = format!("(id: \"it\", moment: \"walk\", standpoint: \"near\", of: \"ada\", when: {when})");
        let standpoint = r#"(id: "near", photographer: "lead", at: (0, 3), during: ["walk"])"#;
        plan("", people, &format!("{}, (id: \"rest\", length: 20)", walk(cues)), standpoint, &frame)
    };
    let ada = r#"(id: "ada")"#;
    vec![
        ("never_so_near", frame(ada, across, r#"within("ada", 2)"#)),
        ("never_passes", frame(ada, across, r#"passing("ada", "gate")"#)),
        ("never_does_it", frame(ada, across, r#"during("ada", claps)"#)),
        (
            "never_there",
            frame(ada, "", r#"within("ada", 2)"#)
                .replace("(id: \"rest\", length: 20)", r#"(id: "rest", length: 20, cues: [(who: "ada", at: (0, 0))])"#),
        ),
        (
            "standpoint_not_held_then",
            frame(ada, across, r#"within("ada", 3.5)"#)
                .replace("during: [\"walk\"]", "during: [(moment: \"walk\", from: 8, to: 20)]"),
        ),
        (
            "somebody_not_there_then",
            frame(
                r#"(id: "ada"), (id: "bo", at: (0, -2))"#,
                &format!("{across}, (who: \"bo\", leaves: true)"),
                r#"within("ada", 3.5)"#,
            )
            .replace("of: \"ada\"", "of: [\"ada\", \"bo\"]"),
        ),
    ]
}

/// What a command says about a plan, but for its last line about the file that it wrote; and whether that was written.
fn said(text: &str, arguments: &[&str], code: i32) -> (String, bool) {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("ours.ron"), text).unwrap();
    let mut command = Command::cargo_bin("standpoint").unwrap();
    let done = command.env("NO_COLOR", "1").current_dir(&folder).args(arguments).assert().code(code);
    assert_eq!(done.get_output().stdout, b"");
    let said = String::from_utf8(done.get_output().stderr.clone()).unwrap();
    let kept: Vec<&str> = said.lines().filter(|line| !line.starts_with("wrote ")).collect();
    (kept.join("\n"), fs::read_dir(&folder).unwrap().count() > 1)
}

const TABLEAU: &[&str] = &["tableau", "ours.ron", "--at", "walk", "--out", "walk.glb"];

fn hitches(text: &str) -> Vec<Hitch> {
    rehearse(plan::read(text).unwrap_or_else(|problems| panic!("{problems}"))).1
}

#[test]
fn what_wont_go_as_planned_is_told_and_drawn_all_the_same() {
    for (name, text) in remarkable() {
        let (said, written) = said(&text, TABLEAU, 0);
        assert!(written, "{name}");
        assert!(!said.is_empty(), "{name}: nothing is said");
        insta::assert_snapshot!(name, said);
    }
}

#[test]
fn what_is_impossible_stops_every_command_before_it_writes() {
    for (name, text) in impossible() {
        let (told, written) = said(&text, TABLEAU, 2);
        assert!(!written, "{name}");
        let (also, drawn) = said(&text, &["frames", "ours.ron"], 2);
        assert!(!drawn, "{name}");
        assert_eq!(told, also);
        insta::assert_snapshot!(name, told);
    }
}

#[test]
fn nothing_is_said_about_what_goes_as_planned() {
    let plans = [plan::STARTER, include_str!("fixtures/whole.ron"), include_str!("fixtures/walking.ron")];
    for text in plans {
        assert_eq!(hitches(text), []);
    }
    // The same ways with a door, round the pillar, past each other, one after the other, in time.
    let door = r#"(id: "west", from: (6, 2), to: (6, -2), openings: [(kind: door, along: 2)])"#;
    let mut mended = Vec::new();
    for (name, text) in remarkable() {
        let mend = |from: &str, to: &str| {
            assert!(text.contains(from), "{name}: {text}");
            text.replace(from, to)
        };
        mended.push(match name {
            "walled_in" => mend(r#"(id: "west", from: (6, 2), to: (6, -2))"#, door),
            "into_a_thing" => mend("steps: right(4)", "at: (4, 0)"),
            "into_each_other" => mend("steps: right(3)", "at: (3, 0)"),
            "cut_short" => mend("after: 4", "after: 10"),
            "late" => mend("from: 6", "from: 16.4"),
            "late_from_the_knees" => mend("from: 6", "from: 13.3"),
            "no_way_to_a_standpoint" => mend(r#"(id: "west", from: (6, 2), to: (6, -2))"#, door),
            "photographer_in_the_way" => mend("at: (0, 12)", "at: (1, 12)"),
            "after_its_moment" => mend("length: 6", "length: 10.5"),
            "there_already" => mend("from: \"gate\", ", ""),
            "not_there_to_step" => mend("(id: \"ada\")", "(id: \"ada\", at: (0, 0))"),
            "nobody_to_circle" => mend("(id: \"bo\")", "(id: \"bo\", at: (1, 0))"),
            other => panic!("{other} isn't mended"),
        });
    }
    for text in mended {
        assert_eq!(hitches(&text), [], "{text}");
    }
}

/// 13 m at 1.3 m/s, and getting up and ready 1.2 s each: the lead leaves after 4 s, is ready after 4 + 1.2 + 10 + 1.2 =
/// 16.4 s and was wanted after 6. From the knees getting up takes 1.6 s: at 2 m/s 4 + 1.6 + 6.5 + 1.2 = 13.3 s.
#[test]
fn lateness_is_way_over_pace_and_getting_up() {
    for (name, late_by_s, pace) in [("late", 10.4, 1.3), ("late_from_the_knees", 7.3, 2.0)] {
        let text = remarkable().into_iter().find(|(case, _)| *case == name).unwrap().1;
        let all = hitches(&text);
        let [Hitch { at_s, what: What::Late { late_s, way_m, pace_mps, .. }, .. }] = &all[..] else {
            panic!("{all:?}")
        };
        assert!((at_s - 6.0).abs() < 1e-9, "told at the instant it was wanted: {at_s}");
        assert!((late_s - late_by_s).abs() < 1e-4, "{late_s}");
        assert!((way_m - 13.0).abs() < 1e-4 && (pace_mps - pace).abs() < 1e-4, "{way_m} {pace_mps}");
    }
}

/// 10 m in 10 s with half a second to gather pace and half to stop: 10 / 9.5 m/s in between, so that after 4 s
/// 10 / 9.5 × (4 − 0.25) m are done.
#[test]
fn what_is_left_of_a_walk_that_is_cut_short() {
    let text = remarkable().into_iter().find(|(case, _)| *case == "cut_short").unwrap().1;
    let all = hitches(&text);
    let [Hitch { at_s, what: What::CutShort { left_m, .. }, .. }] = &all[..] else { panic!("{all:?}") };
    assert!((at_s - 4.0).abs() < 1e-6);
    assert!((left_m - (10.0 - 10.0 / 9.5 * 3.75)).abs() < 1e-3, "{left_m}");
}

/// From (−5, 0) to (5, 0) past a camera at (0, 3): nearest half way, 3 m from it.
#[test]
fn how_near_they_come_and_when() {
    let text = &impossible()[0].1;
    let all = hitches(text);
    let told = all.iter().find(|hitch| hitch.what.is_impossible()).expect("a problem").what.to_string();
    assert!(told.contains("no nearer than 3.0 m, 5.0 s into"), "{told}");
}

/// Pythagoras: 3.5 m from the camera is √(3.5² − 3²) = 1.803 m before the middle, 3.197 m from the start. With half a second
/// to gather pace that is 3.197 × 9.5 / 10 + 0.25 = 3.287 s after setting out.
#[test]
fn a_frame_falls_when_they_are_so_near() {
    let text = impossible().into_iter().find(|(name, _)| *name == "standpoint_not_held_then").unwrap().1;
    let all = hitches(&text);
    let after_s = all.iter().find_map(|hitch| match hitch.what {
        What::NotHeld { after_s, .. } => Some(after_s),
        _ => None,
    });
    let expected = (5.0 - (3.5_f64.powi(2) - 9.0).sqrt()) * 0.95 + 0.25;
    assert!((after_s.unwrap() - expected).abs() < 0.01, "{after_s:?} {expected}");
}

/// The example of the reference, with people and seats around it, goes as planned.
#[test]
fn the_example_of_the_reference_goes_as_planned() {
    let reference = include_str!("../src/plan/fields.md");
    let example = reference.split("```ron").nth(1).and_then(|rest| rest.split("```").next()).expect("an example");
    let people = r#"(id: "mira", roles: ["bride"]), (id: "joan"), (id: "ilan", roles: ["groom"], at: (0.45, 0))"#;
    let seats = r#"seats: [(id: "left", front: (-2.6, 3.5), rows: 3, seats_per_row: 6)]"#;
    let text =
        plan(seats, people, "", r#"(id: "far", photographer: "lead", at: (2, 9), during: ["walk-in", "kiss"])"#, "")
            .replace("    marks: [(id: \"gate\", at: (0, 20))],\n    moments: [],\n", example);
    assert!(text.contains("there"), "{text}");
    assert_eq!(hitches(&text), []);
    let done = plan::read(&text).unwrap();
    let run = standpoint::staging::Run::new(&done);
    let last = run.cues.iter().filter(|cue| cue.cue.moment.0 == 0).map(|cue| cue.ends_s).fold(0.0, f64::max);
    assert!(last < done.moments[0].length_s, "{last}");
}
