//! `standpoint new` as a program: files, messages, exit codes.

use assert_cmd::Command;
use std::fs;

fn standpoint() -> Command {
    let mut command = Command::cargo_bin("standpoint").unwrap();
    command.env("NO_COLOR", "1");
    command
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn new_writes_a_valid_plan() {
    let folder = tempfile::tempdir().unwrap();
    let done = standpoint().current_dir(&folder).args(["new", "ours.ron"]).assert().code(0);
    assert_eq!(text(&done.get_output().stdout), "");
    assert_eq!(
        text(&done.get_output().stderr),
        "wrote ours.ron: open it in any text editor; `standpoint frames ours.ron` draws it\n"
    );
    let written = fs::read_to_string(folder.path().join("ours.ron")).unwrap();
    standpoint::plan::read(&written).unwrap_or_else(|problems| panic!("{problems}"));
}

#[test]
fn quiet_says_nothing() {
    let folder = tempfile::tempdir().unwrap();
    for (name, arguments) in
        [("a.ron", vec!["--quiet", "new", "a.ron"]), ("b.ron", vec!["new", "b.ron", "-q", "--from", "oak"])]
    {
        let done = standpoint().current_dir(&folder).args(arguments).assert().code(0);
        assert_eq!(text(&done.get_output().stderr), "");
        assert!(folder.path().join(name).exists());
    }
}

#[test]
fn new_never_overwrites() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("ours.ron"), "months of work").unwrap();
    let done = standpoint().current_dir(&folder).args(["new", "ours.ron"]).assert().code(2);
    let message = "ours.ron exists already and was left as it is; choose another name, or move it away\n";
    assert_eq!(text(&done.get_output().stderr), message);
    assert_eq!(fs::read_to_string(folder.path().join("ours.ron")).unwrap(), "months of work");
}

#[test]
fn wrong_arguments_are_2_and_a_machine_in_trouble_is_3() {
    let folder = tempfile::tempdir().unwrap();
    standpoint().current_dir(&folder).args(["new", "no/such/folder/ours.ron"]).assert().code(2);
    standpoint().current_dir(&folder).args(["new", "ours.ron", "--from", "nowhere"]).assert().code(2);
    standpoint().current_dir(&folder).args(["frobnicate"]).assert().code(2);
    standpoint().current_dir(&folder).args(["new"]).assert().code(2);
    standpoint().assert().code(2);
    standpoint().args(["--help"]).assert().code(0);
    standpoint().args(["--version"]).assert().code(0);
    // A file where a folder should be: the disk refuses.
    fs::write(folder.path().join("file"), "").unwrap();
    standpoint().current_dir(&folder).args(["new", "file/ours.ron"]).assert().code(3);
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 1, "nothing was written");
}

#[test]
fn no_picture_is_written_over_another() {
    let folder = tempfile::tempdir().unwrap();
    let plan = standpoint::plan::STARTER.replace("\"kiss-wide\"", "\"kiss-safe-guides\"");
    fs::write(folder.path().join("ours.ron"), plan).unwrap();
    let done = standpoint().current_dir(&folder).args(["frames", "ours.ron", "--guides"]).assert().code(2);
    let message = "--guides: the copy of `kiss-safe` would be called `kiss-safe-guides`, and a frame of ours.ron has that id; \
                   give it another\nnothing was written\n";
    assert_eq!(text(&done.get_output().stderr), message);
    assert!(!folder.path().join("frames").exists());
}

#[test]
fn a_folder_is_no_plan() {
    let folder = tempfile::tempdir().unwrap();
    let done = standpoint().current_dir(&folder).args(["frames", "."]).assert().code(2);
    assert_eq!(text(&done.get_output().stderr), ". is a folder; name the plan file in it\n");
}

#[test]
fn help_says_what_it_does() {
    let folder = tempfile::tempdir().unwrap();
    let done = standpoint().current_dir(&folder).args(["new", "--help"]).assert().code(0);
    insta::assert_snapshot!(text(&done.get_output().stdout));
}
