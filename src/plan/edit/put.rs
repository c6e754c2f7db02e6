//! A new entry of a record or list, in the style of its neighbours.

use super::line::{begins_line, break_after, indent_of, lead_start, line_break, line_start, one_step};
use super::record::{Change, Entry, entries};
use crate::plan::locate::{Node, Span};

/// Columns that a list of records on one line may take, before the next one goes on a line of its own: as in the demo plans.
const LINE_COLUMNS: usize = 120;

/// Puts `new` before the `number`-th entry, or last. `own_line` is asked for where no neighbour shows how it is done.
pub(super) fn put(text: &str, node: &Node, number: Option<usize>, new: &str, own_line: bool) -> Option<Vec<Change>> {
    let inside = node.inside(text)?;
    let entries = entries(node, text);
    Some(match (entries.last(), number.filter(|number| *number < entries.len())) {
        (None, _) => only(text, inside, new, own_line),
        (Some(_), Some(number)) => {
            let gap = number.checked_sub(1).map_or(inside.start, |before| entries[before].end());
            before(text, gap, entries[number], new)
        }
        (Some(last), None) => after(text, *last, new, own_line),
    })
}

/// How the entries of a record are indented, if a new one would have a line of its own.
pub(super) fn own_lines<'t>(text: &'t str, node: &Node) -> Option<&'t str> {
    let last = entries(node, text).last()?.span.start;
    begins_line(text, last).then(|| &text[line_start(text, last)..last])
}

fn only(text: &str, inside: Span, new: &str, own_line: bool) -> Vec<Change> {
    let end = inside.end;
    let indent = indent_of(text, end);
    let (step, newline) = (one_step(indent), line_break(text));
    if text[inside.range()].contains('\n') && begins_line(text, end) {
        let start = line_start(text, end);
        return vec![(start..start, format!("{indent}{step}{new},{newline}"))];
    }
    match own_line {
        true => vec![(end..end, format!("{newline}{indent}{step}{new},{newline}{indent}"))],
        false => vec![(end..end, new.to_owned())],
    }
}

fn before(text: &str, gap: usize, next: Entry, new: &str) -> Vec<Change> {
    if begins_line(text, next.span.start) {
        let lead = lead_start(text, gap, next.span.start);
        let start = line_start(text, lead);
        // A line that begins within what is before, such as a comment over several lines, is no place for it.
        if start >= gap {
            let indent = &text[start..lead];
            return vec![(start..start, format!("{indent}{new},{}", line_break(text)))];
        }
    }
    vec![(next.span.start..next.span.start, format!("{new}, "))]
}

fn after(text: &str, last: Entry, new: &str, own_line: bool) -> Vec<Change> {
    let (value_end, end) = (last.span.end, last.end());
    let begins = begins_line(text, last.span.start);
    let mut changes = Vec::new();
    let ends = break_after(text, end);
    let columns = text[line_start(text, end)..end].chars().count() + new.chars().count();
    let too_long = own_line && columns > LINE_COLUMNS && ends.is_none();
    let comma = if last.comma.is_some() { "," } else { "" };
    if begins || too_long {
        if last.comma.is_none() {
            changes.push((value_end..value_end, ",".to_owned()));
        }
        let newline = line_break(text);
        let indent = indent_of(text, last.span.start);
        match ends.filter(|_| begins) {
            Some(line) => changes.push((line.end..line.end, format!("{indent}{new}{comma}{newline}"))),
            None => {
                let step = if begins { "" } else { one_step(indent) };
                changes.push((end..end, format!("{newline}{indent}{step}{new}{comma}")));
            }
        }
    } else if last.comma.is_some() {
        changes.push((end..end, format!(" {new},")));
    } else {
        changes.push((value_end..value_end, format!(", {new}")));
    }
    changes
}
