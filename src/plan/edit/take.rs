//! An entry of a record or list taken out, with its comma, its line and its comments.

use super::line::{begins_line, break_after, lead_start, line_start, past_spaces};
use super::record::{Change, Entry, entries};
use crate::plan::locate::{Node, Span};
use std::ops::Range;

/// Takes out the entry that begins at `start`; of an item the comments directly above go with it.
pub(super) fn take(text: &str, node: &Node, start: usize, is_item: bool) -> Option<Vec<Change>> {
    let inside = node.inside(text)?;
    let entries = entries(node, text);
    let number = entries.iter().position(|entry| entry.span.start == start)?;
    let own = entries[number];
    let before = number.checked_sub(1).map(|before| entries[before]);
    let is_last = number + 1 == entries.len();
    let mut changes = Vec::new();
    // The one before becomes the last, and has a comma if the last has one here.
    if let Some(comma) = before.and_then(|before| before.comma).filter(|_| is_last && own.comma.is_none()) {
        changes.push((comma..comma + 1, String::new()));
    }
    let range = match break_after(text, own.end()).filter(|_| begins_line(text, start)) {
        Some(line) => {
            let gap = before.map_or(inside.start, Entry::end);
            let first = if is_item { lead_start(text, gap, start) } else { start };
            let lines = line_start(text, first).max(gap)..line.end;
            if entries.len() == 1 { closed_up(text, inside, lines) } else { without_gaps(text, gap, inside, lines) }
        }
        None if is_last => from_the_end(text, inside, before, own),
        None => from_a_shared_line(text, before, own),
    };
    changes.push((range, String::new()));
    Some(changes)
}

/// Lines that leave an empty list close it up again.
fn closed_up(text: &str, inside: Span, lines: Range<usize>) -> Range<usize> {
    let (above, below) = (&text[inside.start..lines.start], &text[lines.end..inside.end]);
    match above.trim().is_empty() && below.trim().is_empty() {
        true => {
            let first = above.find('\n').unwrap_or(above.len());
            inside.start + above[..first].trim_end_matches('\r').len()..inside.end
        }
        false => lines,
    }
}

/// Lines with the empty ones that would be left double, or at the very beginning or end.
fn without_gaps(text: &str, gap: usize, inside: Span, lines: Range<usize>) -> Range<usize> {
    let (above, below) = (&text[gap..lines.start], &text[lines.end..inside.end]);
    let blank_above = ends_blank(above);
    let blank_below = blank_lines(below);
    let is_first = gap == inside.start && above.trim().is_empty();
    if below.trim().is_empty() && blank_above {
        let kept = above.trim_end();
        let kept = kept.len() + above[kept.len()..].find('\n').map_or(0, |newline| newline + 1);
        return gap + kept..lines.end;
    }
    if blank_above || is_first { lines.start..lines.end + blank_below } else { lines }
}

/// Whether the last whole line is empty.
fn ends_blank(text: &str) -> bool {
    let whole = text.strip_suffix('\n').unwrap_or(text);
    whole.rfind('\n').is_some_and(|newline| whole[newline + 1..].trim().is_empty())
}

/// Bytes of empty lines that the text begins with.
fn blank_lines(text: &str) -> usize {
    let lines = text.split_inclusive('\n').take_while(|line| line.ends_with('\n') && line.trim().is_empty());
    lines.map(str::len).sum()
}

/// The last one, where its line goes on with the closing bracket or began with others.
fn from_the_end(text: &str, inside: Span, before: Option<Entry>, own: Entry) -> Range<usize> {
    let (start, end) = (own.span.start, own.end());
    let gap = before.map_or(inside.start, Entry::end);
    let from = match text[gap..start].trim().is_empty() {
        true if before.is_some() || begins_line(text, start) => gap,
        true => start,
        // A comment before it stays, with the break that ends it.
        false if begins_line(text, start) => start,
        false => gap + text[gap..start].trim_end_matches([' ', '\t']).len(),
    };
    from..end
}

/// One with others on its line.
fn from_a_shared_line(text: &str, before: Option<Entry>, own: Entry) -> Range<usize> {
    let (start, end) = (own.span.start, own.end());
    if break_after(text, end).is_none() {
        return start..past_spaces(text, end);
    }
    // The last one on its line; the comment that ends the line is about the others as well.
    let line = line_start(text, start).max(before.map_or(0, Entry::end));
    line + text[line..start].trim_end_matches([' ', '\t']).len()..end
}
