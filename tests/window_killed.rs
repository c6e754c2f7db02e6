//! The program killed while it saves, and while it keeps a copy aside: the plan is the old one or the new one, never neither.
#![cfg(feature = "panels")]

use standpoint::plan::{STARTER, read, save_text};
use standpoint::window::Folders;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;
use std::{env, fs, thread};

const KILLS: u32 = 200;
const FOLDER: &str = "STANDPOINT_TEST_SAVES_IN";

/// Texts of very different length, each of which reads.
fn version(number: u32) -> String {
    format!("{STARTER}{}", format!("// version {number}\n").repeat(1 + (number as usize % 7) * 2000))
}

fn number_of(text: &str) -> u32 {
    let note = text.strip_prefix(STARTER).expect("the starter and a note");
    let number = note.lines().next().unwrap_or_default().trim_start_matches("// version ").parse().expect("a number");
    assert_eq!(text, version(number), "neither whole");
    number
}

fn plan_in(folder: &Path) -> PathBuf {
    folder.join("plan.ron")
}

/// What the killed program does: called by the test below in a process of its own.
#[test]
fn saves_until_it_is_killed() {
    let Some(folder) = env::var_os(FOLDER).map(PathBuf::from) else { return };
    let folders = Folders { state: folder.join("state") };
    let plan = plan_in(&folder);
    let first = number_of(&fs::read_to_string(&plan).expect("a plan"));
    for number in first + 1.. {
        folders.copy(Some(&plan), &version(number)).expect("a copy");
        save_text(&plan, &version(number)).expect("saved");
    }
}

#[test]
fn killed_two_hundred_times_it_leaves_the_old_plan_or_the_new_one() {
    let folder = tempfile::tempdir().expect("a folder");
    let plan = plan_in(folder.path());
    let folders = Folders { state: folder.path().join("state") };
    fs::write(&plan, version(0)).expect("written");
    let (mut last, mut recovered) = (0, 0);
    for kill in 0..KILLS {
        let mut child = Command::new(env::current_exe().expect("itself"))
            .args(["--exact", "saves_until_it_is_killed"])
            .env(FOLDER, folder.path())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("a process");
        // A little later every time, so that each step of a save is met.
        thread::sleep(Duration::from_micros(9_000 + u64::from(kill) * 61));
        child.kill().expect("killed");
        child.wait().expect("gone");
        let text = fs::read_to_string(&plan).expect("the plan is there");
        let number = number_of(&text);
        assert!(number >= last && read(&text).is_ok(), "{number} after {last}");
        // What is offered back is whole, and as new as the file or one step newer.
        if let Some(copy) = folders.recovered(Some(&plan), &text) {
            let copied = number_of(&copy.text);
            assert!(copied == number + 1, "{copied} beside {number}");
            recovered += 1;
        }
        last = number;
    }
    assert!(last > KILLS && recovered > 0, "it saved {last} times, and {recovered} copies were newer than the file");
    let left: Vec<_> = fs::read_dir(folder.path()).expect("the folder").flatten().map(|it| it.file_name()).collect();
    println!("{last} saves, {recovered} newer copies; {} files in the folder", left.len());
}
