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

mod census;
mod change;
mod copy;
mod error;
mod fields;
mod line;
mod named;
mod put;
mod record;
mod rename;
mod shift;
mod take;
mod value;
mod way;

pub use census::way_to;
pub use change::{add, set, unset, written};
pub use copy::duplicate;
pub use error::EditError;
pub use named::Named;
pub use rename::{free_id, rename};
pub use shift::move_item;
pub use value::{degrees_value, length_value, number_value, spot_value, text_value, time_value};
pub use way::{Step, Way};
