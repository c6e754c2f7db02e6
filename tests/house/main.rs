//! House rules: what the compiler doesn't check about how this program is built, and a small program can.
//!
//! Each rule is a function from text to what breaks it, tried below on text that does.

mod code;
mod licences;
mod manifest;
mod rooms;
mod unfinished;

use std::fs;
use std::path::{Path, PathBuf};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn read(path: impl AsRef<Path>) -> String {
    let path = root().join(path);
    fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// A source file: its path below `src/` with `/` between folders, and its text.
struct Source {
    path: String,
    text: String,
}

/// All Rust and shader sources, in order of their paths.
fn sources() -> Vec<Source> {
    let src = root().join("src");
    let (mut folders, mut found) = (vec![src.clone()], Vec::<PathBuf>::new());
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|kind| kind == "rs" || kind == "wgsl") {
                found.push(path);
            }
        }
    }
    found.sort();
    assert!(found.len() > 50, "only {} sources found below {}", found.len(), src.display());
    let below = |path: &Path| path.strip_prefix(&src).unwrap().to_string_lossy().replace('\\', "/");
    found.iter().map(|path| Source { path: below(path), text: fs::read_to_string(path).unwrap() }).collect()
}

/// Fails with everything that is wrong, one a line.
fn nothing_breaks(rule: &str, broken: Vec<String>) {
    assert!(broken.is_empty(), "{rule}\n{}", broken.join("\n"));
}
