//! Every crate we build on may be used under a licence that `deny.toml` allows.
//!
//! `cargo deny` says the same and more, where it is installed; this needs nothing but Cargo. Licence expressions follow the
//! SPDX specification 2.3, annex D: `WITH` binds tighter than `AND`, `AND` tighter than `OR`; older crates write `/` for `OR`.

use super::manifest::cargo;
use super::{nothing_breaks, read};

#[test]
fn every_crate_has_an_allowed_licence() {
    let allowed = allow_list(&read("deny.toml"));
    assert!(allowed.iter().any(|licence| licence == "MIT"), "{allowed:?}");
    // This machine's crates: Cargo has no others at hand after a build.
    let Some(version) = cargo(&["-vV"]) else { return };
    let host = version.lines().find_map(|line| line.strip_prefix("host: ")).expect("cargo says where it runs");
    let arguments = ["metadata", "--format-version", "1", "--locked", "--offline", "--filter-platform", host];
    let Some(metadata) = cargo(&arguments) else { return };
    let metadata: serde_json::Value = serde_json::from_str(&metadata).expect("cargo speaks JSON");
    let packages = metadata["packages"].as_array().expect("cargo lists packages");
    assert!(packages.len() > 100, "only {} packages", packages.len());
    let broken = packages.iter().filter_map(|package| {
        let licence = package["license"].as_str().unwrap_or("");
        let fits = satisfied(licence, &allowed).unwrap_or(false);
        (!fits).then(|| format!("{} {}: {licence:?}", package["name"], package["version"]))
    });
    nothing_breaks("licences that deny.toml does not allow", broken.collect());
}

/// The quoted words between `allow = [` and `]`.
fn allow_list(deny: &str) -> Vec<String> {
    let list = deny.split_once("allow = [").and_then(|(_, rest)| rest.split_once(']')).map_or("", |(list, _)| list);
    list.split('"').skip(1).step_by(2).map(str::to_owned).collect()
}

/// Can the expression be met with these licences? `None` if it can't be read.
fn satisfied(expression: &str, allowed: &[String]) -> Option<bool> {
    let spaced = expression.replace('/', " OR ").replace('(', " ( ").replace(')', " ) ");
    let mut words = spaced.split_whitespace().peekable();
    let answer = any_of(&mut words, allowed)?;
    words.next().is_none().then_some(answer)
}

type Words<'a> = std::iter::Peekable<std::str::SplitWhitespace<'a>>;

fn any_of(words: &mut Words, allowed: &[String]) -> Option<bool> {
    let mut answer = all_of(words, allowed)?;
    while words.next_if_eq(&"OR").is_some() {
        answer |= all_of(words, allowed)?;
    }
    Some(answer)
}

fn all_of(words: &mut Words, allowed: &[String]) -> Option<bool> {
    let mut answer = one(words, allowed)?;
    while words.next_if_eq(&"AND").is_some() {
        answer &= one(words, allowed)?;
    }
    Some(answer)
}

fn one(words: &mut Words, allowed: &[String]) -> Option<bool> {
    let first = words.next()?;
    if first == "(" {
        let answer = any_of(words, allowed)?;
        return (words.next()? == ")").then_some(answer);
    }
    if ["OR", "AND", "WITH", ")"].contains(&first) {
        return None;
    }
    let licence = match words.next_if_eq(&"WITH") {
        Some(_) => format!("{first} WITH {}", words.next()?),
        None => first.to_owned(),
    };
    Some(allowed.contains(&licence))
}

#[test]
fn expressions_are_read_as_spdx_means_them() {
    let allowed =
        allow_list("[licenses]\nallow = [\n    \"MIT\",\n    \"Zlib\", \"A WITH x\",\n]\nother = [\"GPL-3.0-only\"]\n");
    assert_eq!(allowed, ["MIT", "Zlib", "A WITH x"]);
    for (expression, answer) in [
        ("MIT", Some(true)),
        ("GPL-3.0-only", Some(false)),
        ("GPL-3.0-only OR MIT", Some(true)),
        ("GPL-3.0-only/MIT", Some(true)),
        ("GPL-3.0-only AND MIT", Some(false)),
        ("MIT OR GPL-3.0-only AND GPL-2.0-only", Some(true)),
        ("(MIT OR GPL-3.0-only) AND GPL-2.0-only", Some(false)),
        ("(MIT OR B) AND Zlib", Some(true)),
        ("A", Some(false)),
        ("A WITH x", Some(true)),
        ("A WITH y OR B", Some(false)),
        ("", None),
        ("MIT OR", None),
        ("(MIT", None),
        ("MIT Zlib", None),
    ] {
        assert_eq!(satisfied(expression, &allowed), answer, "{expression}");
    }
}
