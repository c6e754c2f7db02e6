//! Nothing unfinished: what isn't there yet is left out and said in the README, not marked in the code.

use super::{nothing_breaks, sources};

/// Put together from halves, so that this file can be searched for them too.
const MARKS: &[(&str, &str)] =
    &[("TO", "DO"), ("FIX", "ME"), ("XX", "X"), ("todo", "!("), ("unimplemented", "!("), ("dbg", "!(")];

#[test]
fn nothing_in_the_sources_is_marked_unfinished() {
    let broken = sources().iter().flat_map(|source| marks(&source.path, &source.text)).collect();
    nothing_breaks("finish it, or leave it out and say so", broken);
}

fn marks(path: &str, text: &str) -> Vec<String> {
    let marked = |line: &str| MARKS.iter().any(|(a, b)| line.contains(&format!("{a}{b}")));
    let lines = text.lines().enumerate().filter(|(_, line)| marked(line));
    lines.map(|(number, line)| format!("src/{path}:{}: {}", number + 1, line.trim())).collect()
}

#[test]
fn a_mark_is_seen() {
    let text = MARKS.iter().map(|(a, b)| format!("ok\n// {a}{b} later\n")).collect::<String>();
    assert_eq!(marks("plan/mod.rs", &text).len(), MARKS.len());
    assert!(marks("plan/mod.rs", "let todo = methods.debug();").is_empty());
}
