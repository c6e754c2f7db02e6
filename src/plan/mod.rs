//! The document: what a plan says, read from RON, checked, and saved.
//!
//! # What stands in a plan file
//!
#![doc = include_str!("fields.md")]

pub mod beside;
mod check;
pub mod edit;
mod file;
mod folder;
pub mod import;
mod limits;
mod locate;
mod model;
mod parse;
mod problem;
mod reference;
mod save;
mod seats;
mod slips;
mod values;
mod words;

pub use beside::Beside;
pub use folder::Folder;
pub use locate::Span;
pub use model::*;
pub use problem::{Problem, ProblemKind, Problems, Remark, line_and_column};
pub use reference::{Ask, asked, fields_of};
pub use save::{LoadError, Loaded, load, save_bytes, save_new_text, save_text};
pub use seats::forward;
pub use values::seconds_of;
pub use words::nearest as nearest_word;

/// Format of plan files that this version reads and writes.
pub const FORMAT: u32 = 1;

/// A small plan to start from, with comments: imagined, valid, under 40 lines without the comments.
pub const STARTER: &str = include_str!("starter.ron");

/// Plans that come with the program, by name.
pub const DEMOS: &[(&str, &str)] = &[
    ("bare", include_str!("bare.ron")),
    ("oak", STARTER),
    ("orchard", include_str!("../../scenes/orchard.ron")),
    ("chapel", include_str!("../../scenes/chapel.ron")),
    ("loft", include_str!("../../scenes/loft.ron")),
];

/// Reads and checks a plan.
///
/// # Errors
/// Everything that is wrong, in one go, up to a limit; each with its place in the text and what to do.
pub fn read(text: &str) -> Result<Plan, Problems> {
    read_with_remarks(text).map(|(plan, _)| plan)
}

/// Like [`read`], with remarks on what was changed while reading, such as an aperture the lens doesn't have.
///
/// # Errors
/// As [`read`]; and a plan that names files has some, for nothing lies beside a text.
pub fn read_with_remarks(text: &str) -> Result<(Plan, Vec<Remark>), Problems> {
    read_beside(text, &beside::Nothing)
}

/// Like [`read_with_remarks`], of a plan that may name files.
///
/// # Errors
/// As [`read`], with what is wrong with the files.
pub fn read_beside(text: &str, beside: &dyn Beside) -> Result<(Plan, Vec<Remark>), Problems> {
    let parsed = parse::parse(text);
    let checked = match &parsed.file {
        Some(file) => check::check(file, &parsed, text, beside),
        None => Err(vec![]),
    };
    checked.map_err(|found| {
        let mut list = parsed.problems;
        list.extend(found);
        Problems::new(list, text)
    })
}
