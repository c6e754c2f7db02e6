//! Text to file types, with every slip of form told in one go.
//!
//! `ron` stops at the first error. So each error is noted, the innermost field or list item around it is blanked
//! out (same length, so places stay true), and the text is read again.

use super::file::PlanFile;
use super::limits;
use super::locate::{Innermost, Located, Node, Span, locate, next_comma};
use super::problem::{Problem, ProblemKind};
use super::slips::{comma_or_colon, describe, unpaired};
use super::words::nearest;
use ron::error::Error;
use ron::extensions::Extensions;
use std::collections::HashSet;

/// What could be read.
pub struct Parsed {
    /// `None` if not even a part of it could be read.
    pub file: Option<PlanFile>,
    /// The text with what couldn't be read blanked out; as long as the original.
    pub seen: String,
    /// Map of `seen`.
    pub root: Node,
    /// Map of the text as it was written.
    pub written: Node,
    pub blanked: Blanked,
    pub problems: Vec<Problem>,
}

/// What was taken out, so that nobody reports it missing.
#[derive(Debug, Default)]
pub struct Blanked {
    /// Start of the record, and the field's name.
    pub fields: HashSet<(usize, String)>,
    /// Starts of lists that lost an item.
    pub lists: HashSet<usize>,
    /// Starts of records with an unknown field that may stand for any that is missing.
    pub misnamed: HashSet<usize>,
}

impl Blanked {
    pub fn is_empty(&self) -> bool {
        self.fields.is_empty() && self.lists.is_empty()
    }
}

/// Reads as much of a plan as can be read. Lists at most [`limits::PROBLEMS`] slips of form.
pub fn parse(text: &str) -> Parsed {
    let nothing = || Node { span: Span { start: 0, end: text.len() }, fields: vec![], items: vec![], is_list: false };
    let mut parsed = Parsed {
        file: None,
        // The byte order mark is none of RON's white space.
        seen: text.replacen('\u{feff}', "   ", usize::from(text.starts_with('\u{feff}'))),
        root: nothing(),
        written: nothing(),
        blanked: Blanked::default(),
        problems: vec![],
    };
    let located = match locate(text, limits::DEPTH) {
        Ok(located) => located,
        Err(alone) => {
            parsed.problems.push(unpaired(&alone, text));
            return parsed;
        }
    };
    parsed.written = located.root.clone();
    parsed.root = located.root;
    if let Some(problem) = wrong_format(&parsed.root, text) {
        parsed.problems.push(problem);
        return parsed;
    }
    for slip in located.slips.into_iter().take(limits::PROBLEMS + 1) {
        parsed.problems.push(comma_or_colon(slip, text));
        slip.mend(&mut parsed.seen);
    }
    let options = ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME).with_recursion_limit(128);
    // What is blanked out stays in this map until the end; it is hardly ever met again.
    let Ok(Located { root: map, .. }) = locate(&parsed.seen, limits::DEPTH) else { return parsed };
    // One more than is listed tells that there are more.
    while parsed.problems.len() <= limits::PROBLEMS {
        let error = match options.from_str::<PlanFile>(&parsed.seen) {
            Ok(file) => {
                parsed.file = Some(file);
                break;
            }
            Err(error) => error,
        };
        let offset = offset(&parsed.seen, error.span.end.line, error.span.end.col);
        let fresh;
        let mut victim = map.innermost(offset).filter(|victim| !parsed.seen[victim.whole.range()].trim().is_empty());
        if victim.is_none() {
            let Ok(located) = locate(&parsed.seen, limits::DEPTH) else { break };
            fresh = located.root;
            victim = fresh.innermost(offset);
        }
        parsed.problems.push(describe(&error.code, offset, victim.as_ref(), &parsed.seen));
        let Some(victim) = victim else { break };
        if let Error::NoSuchStructField { expected, found, .. } = &error.code {
            // A misspelt field stands for the one that was meant.
            let record = victim.inside.span.start;
            match nearest(found, expected.iter().copied()) {
                Some(meant) => parsed.blanked.fields.insert((record, meant.to_owned())),
                None => parsed.blanked.misnamed.insert(record),
            };
        }
        blank_out(victim, &mut parsed.seen, &mut parsed.blanked);
    }
    if let Ok(Located { root, .. }) = locate(&parsed.seen, limits::DEPTH) {
        parsed.root = root;
    }
    parsed
}

/// A plan of a newer version may differ in everything else; then that alone is said.
fn wrong_format(root: &Node, text: &str) -> Option<Problem> {
    let field = root.field("format", text)?;
    let written = &text[field.value.span.range()];
    let format: u64 = written.parse().ok()?;
    if format == u64::from(super::FORMAT) {
        return None;
    }
    let (message, help) = if format > u64::from(super::FORMAT) {
        (
            format!("this plan was written by a newer version: format {format}"),
            format!(
                "this version reads format {}; update the program, or save the plan there as format {}",
                super::FORMAT,
                super::FORMAT
            ),
        )
    } else {
        (format!("there is no plan format {format}"), format!("write `format: {}`", super::FORMAT))
    };
    Some(Problem::new(ProblemKind::Format, field.value.span, message, "this number", help))
}

fn blank_out(victim: Innermost<'_>, seen: &mut String, blanked: &mut Blanked) {
    match victim.name {
        Some(name) => {
            let name = seen[name.range()].trim_matches('"');
            blanked.fields.insert((victim.inside.span.start, name.to_owned()));
        }
        None => {
            blanked.lists.insert(victim.inside.span.start);
        }
    }
    let end = next_comma(seen, victim.whole.end).map_or(victim.whole.end, |comma| comma + 1);
    let blank: String =
        seen[victim.whole.start..end].bytes().map(|byte| if byte == b'\n' { '\n' } else { ' ' }).collect();
    seen.replace_range(victim.whole.start..end, &blank);
}

/// Byte offset of a line and column (from 1, columns in characters).
fn offset(text: &str, line: usize, column: usize) -> usize {
    let start = match line {
        0 | 1 => 0,
        _ => text.match_indices('\n').nth(line - 2).map_or(text.len(), |(at, _)| at + 1),
    };
    text[start..].char_indices().nth(column.saturating_sub(1)).map_or(text.len(), |(at, _)| start + at)
}
