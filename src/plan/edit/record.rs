//! Records, lists and the words in them, as the text has them.

use super::error::EditError;
use crate::plan::limits;
use crate::plan::locate::{Located, Node, Span, locate, next_comma};
use std::ops::Range;

/// A field with its name, or an item.
#[derive(Debug, Clone, Copy)]
pub(super) struct Entry {
    pub span: Span,
    pub comma: Option<usize>,
}

impl Entry {
    /// After its comma, or after itself.
    pub fn end(self) -> usize {
        self.comma.map_or(self.span.end, |comma| comma + 1)
    }
}

/// Fields and items in the order of the text.
pub(super) fn entries(node: &Node, text: &str) -> Vec<Entry> {
    let fields = node.fields.iter().map(|field| {
        // What has no value yet ends with its colon.
        let value = field.value.span;
        let end = if text[value.range()].trim().is_empty() { value.start } else { value.end };
        Span { start: field.name.start, end }
    });
    let mut spans: Vec<Span> = fields.chain(node.items.iter().map(|item| item.span)).collect();
    spans.sort();
    spans.into_iter().map(|span| Entry { span, comma: next_comma(text, span.end) }).collect()
}

/// The map of a text.
pub(super) fn map(text: &str) -> Result<Located, EditError> {
    locate(text, limits::DEPTH).map_err(|alone| EditError::unpaired(&alone, text))
}

/// What is to be put where.
pub(super) type Change = (Range<usize>, String);

/// The text with all changes made; they don't overlap.
pub(super) fn apply(text: &str, mut changes: Vec<Change>) -> String {
    // Stable, so that what goes into one place keeps its order.
    changes.sort_by_key(|(range, _)| (range.start, range.end));
    let mut changed = String::with_capacity(text.len() + 64);
    let mut at = 0;
    for (range, new) in changes {
        changed.push_str(&text[at..range.start.max(at)]);
        changed.push_str(&new);
        at = range.end.max(at);
    }
    changed.push_str(&text[at..]);
    changed
}

/// A value without the white space round it, if it is one and whole.
pub(super) fn one_value(value: &str) -> Result<(&str, Node), EditError> {
    let refused = || EditError::NotAValue { value: value.to_owned() };
    let trimmed = value.trim();
    let located = locate(trimmed, limits::DEPTH).map_err(|_| refused())?;
    let whole = located.root.span == Span { start: 0, end: trimmed.len() } && located.slips.is_empty();
    match whole && !trimmed.is_empty() && is_ron(trimmed) {
        true => Ok((trimmed, located.root)),
        false => Err(refused()),
    }
}

fn is_ron(value: &str) -> bool {
    ron::from_str::<ron::Value>(value).is_ok()
}

/// The text that a value says: in quotes of any kind, or a bare word.
pub(super) fn word_of(node: &Node, text: &str) -> Option<String> {
    let node = bare(node, text);
    let written = &text[node.span.range()];
    if written.ends_with(['"', '#']) {
        return ron::from_str(written).ok();
    }
    let is_word = written.starts_with(|c: char| c.is_alphabetic() || c == '_')
        && written.chars().all(|c| c.is_alphanumeric() || c == '_');
    is_word.then(|| written.to_owned())
}

/// What stands in `Some(…)`, where somebody wrote that.
pub(super) fn bare<'n>(node: &'n Node, text: &str) -> &'n Node {
    match node.items.as_slice() {
        [inner] if text[node.span.range()].starts_with("Some") => inner,
        _ => node,
    }
}

/// Whether a field has been given no value yet: what is between its colon and what follows.
pub(super) fn is_nothing(node: &Node, text: &str) -> bool {
    let written = text[node.span.range()].trim_start();
    written.is_empty() || written.starts_with("//") || written.starts_with("/*")
}
