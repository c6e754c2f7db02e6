//! Lines, indentation and comments between the values of a plan.

use crate::plan::locate::Span;

/// Where the line of `at` begins.
pub(super) fn line_start(text: &str, at: usize) -> usize {
    text[..at].rfind('\n').map_or(0, |newline| newline + 1)
}

/// Whether nothing but white space stands before `at` on its line.
pub(super) fn begins_line(text: &str, at: usize) -> bool {
    text[line_start(text, at)..at].trim().is_empty()
}

/// White space that the line of `at` begins with.
pub(super) fn indent_of(text: &str, at: usize) -> &str {
    let line = &text[line_start(text, at)..at];
    &line[..line.len() - line.trim_start().len()]
}

/// One more step of indentation, of the kind that is there.
pub(super) fn one_step(indent: &str) -> &'static str {
    if indent.contains('\t') { "\t" } else { "    " }
}

/// The text's kind of line break.
pub(super) fn line_break(text: &str) -> &'static str {
    match text.find('\n') {
        Some(at) if text[..at].ends_with('\r') => "\r\n",
        _ => "\n",
    }
}

/// The line break that ends the line of `at`, if only white space and comments come before it.
pub(super) fn break_after(text: &str, at: usize) -> Option<Span> {
    let stop = at + text[at..].find('\n')?;
    let start = if text[at..stop].ends_with('\r') { stop - 1 } else { stop };
    let mut here = at;
    for comment in comments(text, at, stop) {
        if !text[here..comment.start].trim().is_empty() || comment.end > stop {
            return None;
        }
        here = comment.end.min(start);
    }
    text[here..start].trim().is_empty().then_some(Span { start, end: stop + 1 })
}

/// Where the next thing stands that is no space, on the same line.
pub(super) fn past_spaces(text: &str, at: usize) -> usize {
    at + text[at..].len() - text[at..].trim_start_matches([' ', '\t']).len()
}

/// Where the comments begin that belong to the item at `item`: those on lines of their own directly above it, up to a heading.
/// Between `gap` and the item there are no other values. The item itself where it has none.
pub(super) fn lead_start(text: &str, gap: usize, item: usize) -> usize {
    let mut start = item;
    if !begins_line(text, item) {
        return start;
    }
    for comment in comments(text, gap, item).collect::<Vec<_>>().into_iter().rev() {
        let between = &text[comment.end..start];
        let directly_above = between.trim().is_empty() && between.matches('\n').count() == 1;
        if !directly_above || !begins_line(text, comment.start) || is_heading(&text[comment.range()]) {
            break;
        }
        start = comment.start;
    }
    start
}

/// A ruled comment (`// ------ Seats`) stands above all that follows, not above one item.
fn is_heading(comment: &str) -> bool {
    ["----", "====", "####", "____", "~~~~"].iter().any(|rule| comment.contains(rule))
}

/// Comments that begin in `from..to`, where no text in quotes is; a line comment ends before its line break.
fn comments(text: &str, from: usize, to: usize) -> impl Iterator<Item = Span> {
    let mut at = from;
    std::iter::from_fn(move || {
        let gap = text.get(at..to)?;
        let start = at + gap.find("//").into_iter().chain(gap.find("/*")).min()?;
        let end = if text[start..].starts_with("//") {
            let line = text[start..].split('\n').next().unwrap_or("");
            start + line.trim_end_matches('\r').len()
        } else {
            end_of_block(text, start).unwrap_or(text.len())
        };
        at = end;
        Some(Span { start, end })
    })
}

/// Block comments nest.
fn end_of_block(text: &str, start: usize) -> Option<usize> {
    let mut depth = 0_usize;
    let mut at = start;
    while let Some(length) = text[at..].find("/*").into_iter().chain(text[at..].find("*/")).min() {
        depth = if text[at + length..].starts_with("/*") { depth + 1 } else { depth.saturating_sub(1) };
        at += length + 2;
        if depth == 0 {
            return Some(at);
        }
    }
    None
}
