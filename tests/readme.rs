//! What the pages for people show is true: plans read, files are there, commands exist.

use std::fs;
use std::path::Path;

const PAGES: &[&str] = &["README.md", "DEVELOPERS.md"];

fn page(name: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name))
        .unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// The text of all code blocks of one language.
fn blocks<'p>(page: &'p str, language: &str) -> Vec<&'p str> {
    let open = format!("```{language}\n");
    page.split(&open).skip(1).map(|rest| rest.split("```").next().unwrap_or("")).collect()
}

#[test]
fn the_plan_it_shows_reads_without_complaint() {
    let readme = page("README.md");
    let plans = blocks(&readme, "ron");
    assert!(!plans.is_empty());
    for plan in plans {
        let (plan, remarks) = standpoint::plan::read_with_remarks(plan).unwrap_or_else(|problems| panic!("{problems}"));
        assert!(remarks.is_empty(), "{remarks:?}");
        for frame in &plan.frames {
            let ready = standpoint::picture::prepare(&plan, frame).unwrap_or_else(|error| panic!("{error}"));
            assert!(ready.composed.remarks.is_empty(), "{}: {:?}", frame.id, ready.composed.remarks);
        }
    }
}

#[test]
fn files_it_links_to_are_there() {
    for name in PAGES {
        let text = page(name);
        let links: Vec<&str> = text.split("](").skip(1).filter_map(|rest| rest.split(')').next()).collect();
        assert!(!links.is_empty(), "{name} links to nothing");
        for link in links.into_iter().filter(|link| !link.starts_with("https://") && !link.starts_with('#')) {
            assert!(Path::new(env!("CARGO_MANIFEST_DIR")).join(link).exists(), "{name} links to {link}");
        }
    }
}

#[test]
fn pictures_are_light_enough_to_carry() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/readme");
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let bytes = entry.metadata().unwrap().len();
        assert!(bytes <= 250 * 1024, "{} has {bytes} bytes; draw it smaller", entry.path().display());
    }
}

/// Every option that the program knows has its line, and no line is about one it doesn't know.
#[test]
fn options_of_frames_are_the_programs_own() {
    let help = assert_cmd::Command::cargo_bin("standpoint").unwrap().args(["frames", "--help"]).output().unwrap();
    let help = String::from_utf8(help.stdout).unwrap();
    let long = |text: &str| -> Vec<String> {
        let name = |word: &str| word.chars().take_while(|c| c.is_alphanumeric() || *c == '-').collect::<String>();
        text.split("--").skip(1).map(name).filter(|name| !name.is_empty() && name != "help" && name != "-").collect()
    };
    let known: std::collections::BTreeSet<String> =
        help.lines().map(str::trim).filter(|line| line.starts_with('-')).flat_map(long).collect();
    let readme = page("README.md");
    let rows = readme.lines().filter(|line| line.starts_with("| `--"));
    let shown = rows.flat_map(|row| long(row.split('|').nth(1).unwrap_or(""))).collect();
    assert_eq!(known, shown, "options of `frames --help`, and rows of the README");
}
