//! Broken plans, one file each, named for what is wrong with it; and the whole message each of them gives.
//!
//! All are `fixtures/whole.ron`, or `fixtures/walking.ron` where people walk, with one thing changed, so a message about anything else is noise.

use standpoint::cli::{Look, problem_report};
use standpoint::plan;
use std::fs;
use std::path::{Path, PathBuf};

/// Files with more than one slip, or a slip that shows in more than one place.
const MORE_THAN_ONE: &[(&str, usize)] = &[
    ("colon_missing", 2),
    ("comma_missing", 2),
    ("definitions_broken_only_there", 4),
    ("lists_that_are_no_lists", 2),
    ("many_at_once", 6),
    ("not_a_number", 2),
    ("number_in_quotes", 2),
    ("pace_with_unit", 2),
    ("seats_in_the_aisle", 2),
    ("seats_over_seats", 2),
    ("seats_through_a_wall", 2),
    ("unknown_colour", 2),
    ("window_past_the_wall", 2),
];

fn broken() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/broken");
    let mut files: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|file| file.extension().is_some_and(|extension| extension == "ron"));
    files.sort();
    files
}

#[test]
fn the_plan_they_were_made_from_is_whole() {
    for text in [include_str!("fixtures/whole.ron"), include_str!("fixtures/walking.ron")] {
        let (_, remarks) = plan::read_with_remarks(text).unwrap_or_else(|p| panic!("{p}"));
        assert!(remarks.is_empty(), "{remarks:?}");
    }
}

#[test]
fn each_broken_plan_has_its_message() {
    let files = broken();
    assert!(files.len() >= 40, "only {} broken plans", files.len());
    for file in files {
        let name = file.file_stem().unwrap().to_string_lossy().into_owned();
        let text = fs::read_to_string(&file).unwrap();
        let problems = plan::read(&text).map(|_| panic!("{name} is read without complaint")).unwrap_err();
        let expected = MORE_THAN_ONE.iter().find(|(file, _)| *file == name).map_or(1, |(_, number)| *number);
        assert_eq!(problems.list.len(), expected, "{name}: one slip, one problem, and no noise\n{problems}");
        let report = problem_report(&problems, &text, &format!("{name}.ron"), Look::Plain);
        insta::with_settings!({ snapshot_path => "broken", prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(name, report);
        });
    }
}
