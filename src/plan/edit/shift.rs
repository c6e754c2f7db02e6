//! An item moved to another place in its list.

use super::error::{EditError, still_whole};
use super::line::{begins_line, break_after, lead_start};
use super::record::{Change, Entry, apply, entries, map};
use super::way::Way;

/// Moves an item so that its number is `to` afterwards. Its comments go with it: those directly above, and the one that ends its
/// line. Commas, indentation, empty lines and headings stay where they are; moving it back restores the text.
///
/// # Errors
/// The way leads to no list, the list has no such items, or the brackets don't pair.
pub fn move_item(text: &str, list: &Way, from: usize, to: usize) -> Result<String, EditError> {
    let map = map(text)?;
    let node = list.find(&map.root, text)?;
    let Some(inside) = node.inside(text).filter(|_| node.is_list) else {
        return Err(EditError::NotAList { what: list.to_string() });
    };
    let entries = entries(node, text);
    if let Some(number) = [from, to].into_iter().find(|number| *number >= entries.len()) {
        return Err(EditError::NoSuchPlace { what: format!("item {} in {list}", number + 1), nearest: None });
    }
    let (low, high) = (from.min(to), from.max(to));
    let slots = &entries[low..=high];
    let has_lines = |entry: &Entry| begins_line(text, entry.span.start) && break_after(text, entry.end()).is_some();
    let own_lines = slots.iter().all(has_lines);
    // What stands in each slot: the item with the comments above it, and the comment after it.
    let bodies: Vec<_> = (low..=high)
        .map(|number| {
            let gap = number.checked_sub(1).map_or(inside.start, |before| entries[before].end());
            let span = entries[number].span;
            let start = if own_lines { lead_start(text, gap, span.start) } else { span.start };
            start..span.end
        })
        .collect();
    let tails: Vec<_> = slots
        .iter()
        .map(|slot| {
            let end = break_after(text, slot.end()).filter(|_| own_lines).map_or(slot.end(), |line| line.start);
            slot.end()..end
        })
        .collect();
    let mut order: Vec<usize> = (0..slots.len()).collect();
    let moved = order.remove(from - low);
    order.insert(to - low, moved);
    let changes: Vec<Change> = [&bodies, &tails]
        .into_iter()
        .flat_map(|parts| {
            parts.iter().zip(&order).map(|(slot, from)| (slot.clone(), text[parts[*from].clone()].to_owned()))
        })
        .collect();
    still_whole(apply(text, changes), "")
}
