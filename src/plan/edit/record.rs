//! Records, lists and the words in them, as the text has them.

use crate::plan::locate::Node;

/// The text that a value says: in quotes of any kind, or a bare word.
pub(super) fn word_of(node: &Node, text: &str) -> Option<String> {
    let node = bare(node, text);
    let written = &text[node.span.range()];
    if written.starts_with(['"', 'r']) && written.ends_with(['"', '#']) {
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
