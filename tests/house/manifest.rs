//! The engine can be left out: the core builds and tests in seconds without it.

use super::{nothing_breaks, read};
use std::process::Command;

/// What must not come along with the core.
const ENGINE: &[&str] = &["bevy", "bevy_egui", "wgpu", "winit"];

#[test]
fn the_engine_is_optional_and_on_by_default() {
    nothing_breaks("Cargo.toml", engine_not_optional(&read("Cargo.toml")));
}

/// What Cargo itself would compile, whichever crate asks for it.
#[test]
fn without_the_engine_no_crate_brings_it_along() {
    let arguments = ["tree", "--no-default-features", "-e", "normal", "--prefix", "none", "--locked", "--offline"];
    let Some(tree) = cargo(&arguments) else { return };
    let crates: Vec<&str> = tree.lines().filter_map(|line| line.split(' ').next()).collect();
    assert!(crates.contains(&"ron") && crates.contains(&"glam"), "{tree}");
    let brought = crates.into_iter().filter(|name| ENGINE.contains(name) || name.starts_with("bevy_"));
    nothing_breaks("the core brings the engine along", brought.map(str::to_owned).collect());
}

fn engine_not_optional(manifest: &str) -> Vec<String> {
    let mut broken = Vec::new();
    for name in ENGINE {
        let own_table = manifest.split("\n[").find(|table| table.starts_with(&format!("dependencies.{name}]")));
        let one_line = manifest.lines().find(|line| line.starts_with(&format!("{name} =")));
        if !own_table.or(one_line).is_some_and(|text| text.contains("optional = true")) {
            broken.push(format!("{name} is not optional"));
        }
        if !line_of(manifest, "engine =").contains(&format!("\"dep:{name}\"")) {
            broken.push(format!("feature engine leaves {name} out"));
        }
    }
    if line_of(manifest, "default =") != "default = [\"engine\"]" {
        broken.push("the engine is not the one default feature".to_owned());
    }
    broken
}

fn line_of<'m>(manifest: &'m str, start: &str) -> &'m str {
    manifest.lines().find(|line| line.starts_with(start)).unwrap_or("")
}

/// What Cargo answers about this package. `None`, with a line that says so, where there is no Cargo to ask.
///
/// # Panics
/// Cargo is there and refuses.
pub fn cargo(arguments: &[&str]) -> Option<String> {
    let program = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let asked = Command::new(program).args(arguments).current_dir(super::root()).output();
    match asked {
        Err(error) => {
            println!("skipped: cargo can't be asked here ({error})");
            None
        }
        Ok(answer) if answer.status.success() => Some(String::from_utf8_lossy(&answer.stdout).into_owned()),
        Ok(answer) => panic!("cargo {}: {}", arguments.join(" "), String::from_utf8_lossy(&answer.stderr)),
    }
}

#[test]
fn an_engine_that_is_not_optional_is_seen() {
    let good = "[features]\ndefault = [\"engine\"]\nengine = [\"dep:bevy\", \"dep:bevy_egui\", \"dep:wgpu\", \"dep:winit\"]\n\
        [dependencies]\nbevy_egui = { version = \"1\", optional = true }\nwgpu = { version = \"1\", optional = true }\n\
        winit = { version = \"1\", optional = true }\n[dependencies.bevy]\nversion = \"1\"\noptional = true\n";
    assert_eq!(engine_not_optional(good), Vec::<String>::new());
    assert_eq!(engine_not_optional(&good.replacen(", optional = true", "", 1)), ["bevy_egui is not optional"]);
    assert_eq!(engine_not_optional(&good.replace("\noptional = true", "")), ["bevy is not optional"]);
    assert_eq!(engine_not_optional(&good.replace("\"dep:winit\"", "")), ["feature engine leaves winit out"]);
    assert_eq!(engine_not_optional(&good.replace("default = [\"engine\"]", "default = []")).len(), 1);
}
