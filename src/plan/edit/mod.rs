//! Edits of a plan's text that leave everything else in it byte for byte as it was.
//!
//! The plan file is its owner's: with comments, an order and a layout of their own. So the document is the text, an edit is a
//! function from text to text, and it touches nothing but what it says. Only the brackets must pair; a plan with problems can be
//! edited too. No edit panics, whatever the text.
//!
//! ```
//! use standpoint::plan::{STARTER, edit::{self, Way}};
//! let height = Way::new().field("standpoints").id("aisle-end").field("height");
//! let text = edit::set(STARTER, &height, "1.2")?;
//! assert!(text.contains(r#"(id: "aisle-end", photographer: "lead", at: (0, 8), height: 1.2),"#));
//! assert_eq!(edit::unset(&text, &height)?, STARTER);
//! # Ok::<(), edit::EditError>(())
//! ```

mod error;
mod names;
mod record;
mod value;
mod way;

pub use error::EditError;
pub use names::Named;
pub use value::{degrees_value, length_value, number_value, spot_value, text_value, time_value};
pub use way::{Step, Way};

pub fn written<'t>(text: &'t str, way: &Way) -> Option<&'t str> {
    let map = crate::plan::locate::locate(text, crate::plan::limits::DEPTH).ok()?;
    way.find(&map.root, text).ok().map(|node| &text[node.span.range()])
}
fn later<T>() -> Result<T, EditError> {
    Err(EditError::Unpaired { line: 1, column: 1 })
}
pub fn set(_text: &str, _way: &Way, _value: &str) -> Result<String, EditError> {
    later()
}
pub fn unset(_text: &str, _way: &Way) -> Result<String, EditError> {
    later()
}
pub fn add(_text: &str, _list: &Way, _at: Option<usize>, _item: &str) -> Result<String, EditError> {
    later()
}
pub fn move_item(_text: &str, _list: &Way, _from: usize, _to: usize) -> Result<String, EditError> {
    later()
}
pub fn duplicate(_text: &str, _list: &Way, _id: &str, _new_id: &str) -> Result<String, EditError> {
    later()
}
pub fn rename(_text: &str, _kind: Named, _old: &str, _new: &str) -> Result<String, EditError> {
    later()
}
/// The way to whatever of a kind has an id.
pub fn way_to(_text: &str, _kind: Named, _id: &str) -> Option<Way> {
    None
}
/// An id that is free for something of a kind.
pub fn free_id(_text: &str, _kind: Named, wanted: &str) -> String {
    wanted.to_owned()
}
