//! An item once more, under another id.

use super::change::{add, set};
use super::error::EditError;
use super::record::map;
use super::value::text_value;
use super::way::Way;

/// Puts a copy of an item directly after it, with a new id and everything else as it is written there. Whether the id is free is
/// for [`free_id`](super::free_id) to say.
///
/// # Errors
/// The way leads to no list, nothing in it has the id, or the brackets don't pair.
pub fn duplicate(text: &str, list: &Way, id: &str, new_id: &str) -> Result<String, EditError> {
    let map = map(text)?;
    let items = list.items(list.find(&map.root, text)?)?;
    let item = list.clone().id(id).find(&map.root, text)?;
    let number = items.iter().position(|other| std::ptr::eq(other, item)).unwrap_or_default();
    let copy = set(&text[item.span.range()], &Way::new().field("id"), &text_value(new_id))?;
    add(text, list, Some(number + 1), &copy)
}
