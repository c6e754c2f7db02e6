//! Who may know whom: rooms use rooms above them, and only the shell knows an engine, a clock, a file.

use super::code::{code_only, words};
use super::{nothing_breaks, read, sources};

/// The engine's crates, and what draws and opens windows below it.
const ENGINE: &[&str] = &["bevy", "bevy_egui", "wgpu", "winit"];
/// Where the engine is known.
const ENGINE_ROOMS: &[&str] = &["picture/engine/", "window/shell.rs"];
/// What only the shell may ask the machine for.
const MACHINE: &[&str] = &["time", "env", "fs", "net", "process", "thread"];
/// Where it may, and for what.
const SHELL: &[(&str, &[&str])] = &[
    ("cli/", MACHINE),
    ("main.rs", &["env", "process"]),
    ("picture/engine/", MACHINE),
    ("plan/folder.rs", &["fs"]),
    ("plan/save.rs", &["fs"]),
    ("window/app/files.rs", &["fs"]),
    ("window/files.rs", &["fs"]),
    ("window/sketch.rs", &["fs"]),
    ("window/shell.rs", &["thread", "time"]),
    ("window/workers.rs", &["thread"]),
];

#[test]
fn only_the_engine_room_knows_the_engine() {
    let broken = sources().iter().flat_map(|source| engine_words(&source.path, &source.text)).collect();
    nothing_breaks("the core knows no engine and no window; draw in src/picture/engine", broken);
}

#[test]
fn rooms_use_rooms_above_them_only() {
    let order = room_order(&read("src/lib.rs"));
    assert!(order.len() >= 7 && order.first().is_some_and(|room| room == "plan"), "{order:?}");
    let broken = sources().iter().flat_map(|source| uses_below(&source.path, &source.text, &order)).collect();
    nothing_breaks(&format!("rooms use rooms above them only, in this order: {}", order.join(", ")), broken);
}

#[test]
fn only_the_shell_asks_the_machine() {
    let broken = sources().iter().flat_map(|source| machine_words(&source.path, &source.text)).collect();
    nothing_breaks("the core asks no clock, file, environment or thread; pass the answer in", broken);
}

/// Names of the rooms, in the order of `lib.rs`.
fn room_order(lib: &str) -> Vec<String> {
    let code = code_only(lib);
    let named = |line: &str| Some(line.trim().strip_prefix("pub mod ")?.trim_end_matches(';').to_owned());
    code.lines().filter_map(named).collect()
}

fn engine_words(path: &str, text: &str) -> Vec<String> {
    if ENGINE_ROOMS.iter().any(|room| path.starts_with(room)) {
        return vec![];
    }
    let code = code_only(text);
    let engine = words(&code).filter(|(_, word)| ENGINE.contains(word) || word.starts_with("bevy_"));
    engine.map(|(line, word)| format!("src/{path}:{line}: {word}")).collect()
}

fn uses_below(path: &str, text: &str, order: &[String]) -> Vec<String> {
    let place = |name: &str| order.iter().position(|room| room == name);
    let Some((own, _)) = path.split_once('/').filter(|(room, _)| place(room).is_some()) else {
        // `lib.rs` and `main.rs` stand outside the rooms; a new one must be listed.
        let outside = path == "lib.rs" || path == "main.rs";
        return if outside { vec![] } else { vec![format!("src/{path} is in no room of src/lib.rs")] };
    };
    let below = |(line, name): (usize, String)| match place(&name) {
        Some(there) if there > place(own)? => Some(format!("src/{path}:{line}: {own} uses {name}, which is below it")),
        None if name == "*" => Some(format!("src/{path}:{line}: says not which rooms it uses")),
        _ => None,
    };
    named_from_the_root(path, &code_only(text)).into_iter().filter_map(below).collect()
}

/// First names of all paths that begin at the crate: `crate::…`, and `super::…` that climbs all the way.
fn named_from_the_root(path: &str, code: &str) -> Vec<(usize, String)> {
    let file = path.trim_end_matches(".rs").trim_end_matches("/mod");
    let climb = "super::".repeat(file.split('/').count());
    ["crate::".to_owned(), climb].iter().flat_map(|start| after(code, start)).collect()
}

/// Names that follow `start`, also those in braces, each with its line. Spaces inside paths are not expected: the code is
/// formatted.
fn after(code: &str, start: &str) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    for (at, _) in code.match_indices(start) {
        let goes_on = code[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_' || c == ':');
        if goes_on {
            continue;
        }
        let line = 1 + code[..at].matches('\n').count();
        let rest = &code[at + start.len()..];
        let names = if rest.starts_with('{') { in_braces(rest) } else { vec![first_name(rest)] };
        found.extend(names.into_iter().map(|name| (line, name)));
    }
    found
}

fn first_name(text: &str) -> String {
    let text = text.trim_start();
    match text.strip_prefix('*') {
        Some(_) => "*".to_owned(),
        None => text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect(),
    }
}

/// First names of the entries of `{a::b, c::{d, e}}`.
fn in_braces(text: &str) -> Vec<String> {
    let mut depth = 0;
    let mut names = Vec::new();
    for (at, c) in text.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            break;
        }
        if depth == 1 && (c == ',' || c == '{') {
            names.push(first_name(&text[at + 1..]));
        }
    }
    names.retain(|name| !name.is_empty());
    names
}

fn machine_words(path: &str, text: &str) -> Vec<String> {
    let allowed = SHELL.iter().find(|(place, _)| path.starts_with(place)).map_or(&[][..], |(_, what)| *what);
    let code = code_only(text);
    let std = after(&code, "std::").into_iter();
    let asked =
        std.filter(|(_, name)| name == "*" || MACHINE.contains(&name.as_str()) && !allowed.contains(&name.as_str()));
    let mut broken: Vec<String> = asked.map(|(line, name)| format!("src/{path}:{line}: std::{name}")).collect();
    if !allowed.contains(&"time") {
        // `Zoned::now()` and its like, of whatever crate.
        let clocks = code.match_indices("::now(").map(|(at, _)| 1 + code[..at].matches('\n').count());
        broken.extend(clocks.map(|line| format!("src/{path}:{line}: asks a clock")));
    }
    broken
}

#[test]
fn an_engine_in_the_core_is_seen() {
    assert_eq!(engine_words("sight/cast.rs", "// bevy\nuse bevy::prelude::*;"), ["src/sight/cast.rs:2: bevy"]);
    assert_eq!(engine_words("plan/mod.rs", "fn f(a: bevy_math::A) {}").len(), 1);
    assert_eq!(engine_words("picture/mesh.rs", "pub use wgpu;").len(), 1);
    assert!(engine_words("picture/engine/scene.rs", "use bevy::prelude::*;").is_empty());
}

#[test]
fn a_room_that_uses_one_below_is_seen() {
    let order = room_order("pub mod plan;\n// pub mod never;\npub mod staging;\npub mod sight;\npub mod cli;\n");
    assert_eq!(order, ["plan", "staging", "sight", "cli"]);
    let broken = |path: &str, text: &str| uses_below(path, text, &order).len();
    assert_eq!(broken("plan/save.rs", "use crate::staging::stage;"), 1);
    assert_eq!(broken("staging/stage.rs", "use crate::{plan::Plan, sight::{cast, light}, cli};"), 2);
    assert_eq!(broken("staging/stage.rs", "fn f() { crate::sight::cast() }"), 1);
    assert_eq!(broken("staging/figure/mod.rs", "use super::super::sight::Hit;"), 1);
    assert_eq!(broken("staging/stage.rs", "use crate::*;"), 1);
    assert_eq!(broken("attic/mod.rs", ""), 1);
    assert_eq!(broken("sight/cast.rs", "use crate::{plan::{Plan, cli}, staging::Tableau}; use super::light;"), 0);
    assert_eq!(broken("staging/figure/mod.rs", "use super::plan::Plan; // crate::cli"), 0);
}

#[test]
fn a_clock_in_the_core_is_seen() {
    let broken = |path: &str, text: &str| machine_words(path, text).len();
    assert_eq!(broken("plan/check/mod.rs", "use std::fs;"), 1);
    assert_eq!(broken("plan/save.rs", "use std::fs::File; use std::env;"), 1);
    assert_eq!(broken("optics/lens.rs", "use std::{fmt, time::Instant};"), 1);
    assert_eq!(broken("daylight/sun.rs", "let now = jiff::Zoned::now();"), 1);
    assert_eq!(broken("staging/stage.rs", "std::thread::spawn(f); // std::fs"), 1);
    assert_eq!(broken("cli/frames.rs", "use std::time::Instant; let began = Instant::now();"), 0);
    assert_eq!(broken("plan/mod.rs", "use std::f64::consts::PI; env!(\"CARGO_PKG_VERSION\")"), 0);
}
