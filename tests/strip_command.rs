//! `standpoint frames --every` as a program: what it says when it can't; nothing of this needs an adapter.

use assert_cmd::Command;
use std::fs;
use tempfile::TempDir;

fn folder_with_plan() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("ours.ron"), include_str!("fixtures/whole.ron")).unwrap();
    folder
}

/// What it says on standard error; standard output must be empty.
fn said(folder: &TempDir, arguments: &[&str]) -> String {
    let mut command = Command::cargo_bin("standpoint").unwrap();
    command.env("NO_COLOR", "1").current_dir(folder).args(["frames", "ours.ron"]).args(arguments);
    let done = command.assert().code(2);
    assert_eq!(done.get_output().stdout, b"");
    String::from_utf8(done.get_output().stderr.clone()).unwrap()
}

#[test]
fn what_cannot_be_drawn_is_told_and_nothing_is_written() {
    let folder = folder_with_plan();
    let wrong = [
        "--every 2s",
        "--every 2s --photographer lead --above",
        "--every 2s --photographer lead --only kiss-half",
        "--every 2s --above --guides",
        "--moment kiss --above",
        "--every soon --above",
        "--every 0.05 --above",
        "--every 11m --above",
        "--every -2 --above",
        "--every 2s --above --moment kis",
        "--every 2s --above --moment recessional",
        "--every 2s --moment kiss --photographer lede",
        "--every 2s --moment kiss --photographer Marit",
        // In the plan, but at no standpoint by then.
        "--every 2s --moment kiss --from 1 --photographer second",
        "--every 2s --above --moment kiss --from 6",
        "--every 2s --above --moment kiss --from 4 --to 2",
        "--every 2s --above --to later",
        // 125 s at ten a second.
        "--every 0.1 --above",
    ];
    let told: Vec<String> = wrong
        .iter()
        .map(|line| {
            let arguments: Vec<&str> = line.split(' ').collect();
            format!("$ {line}\n{}", said(&folder, &arguments))
        })
        .collect();
    insta::assert_snapshot!(told.join("\n"));
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 1, "nothing was written");
}

#[test]
fn help_lists_its_options() {
    let help = Command::cargo_bin("standpoint").unwrap().args(["frames", "--help"]).output().unwrap();
    insta::assert_snapshot!(String::from_utf8(help.stdout).unwrap());
}
