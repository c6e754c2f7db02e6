//! Why an edit can't be made.

use crate::plan::locate::{Unpaired, locate};
use crate::plan::{limits, line_and_column};

/// Why an edit can't be made; the text is then as it was.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    #[error("there is no {what}{}", meant(nearest))]
    NoSuchPlace {
        what: String,
        /// A name or id that is there and much like it.
        nearest: Option<String>,
    },
    #[error("{what} is not a record: it has no fields")]
    NotARecord { what: String },
    #[error("{what} is not a list: it has no items")]
    NotAList { what: String },
    /// Brackets, quotes or comments don't pair, so nothing can be found in the text.
    #[error("the brackets or quotes don't pair: see line {line}, column {column}")]
    Unpaired { line: usize, column: usize },
    #[error("`{value}` is not one value as plans write it")]
    NotAValue { value: String },
    #[error("`{id}` can't be an id: ids are letters, digits, `-` and `_`, and begin with a letter or digit")]
    NotAnId { id: String },
    #[error("the id `{id}` is taken: {by} has it")]
    Taken {
        id: String,
        /// What has it: "a mark", "a role".
        by: String,
    },
}

impl EditError {
    pub(super) fn unpaired(alone: &Unpaired, text: &str) -> EditError {
        let (Unpaired::NeverClosed { open }
        | Unpaired::WrongCloser { open, .. }
        | Unpaired::TextNeverEnds { open }
        | Unpaired::CommentNeverEnds { open }
        | Unpaired::TooDeep { open }
        | Unpaired::CurlyQuote { open }
        | Unpaired::NeverOpened { close: open }) = alone;
        let (line, column) = line_and_column(text, open.start);
        EditError::Unpaired { line, column }
    }
}

fn meant(nearest: &Option<String>) -> String {
    nearest.as_ref().map_or(String::new(), |nearest| format!("; did you mean `{nearest}`?"))
}

/// The text, if a value was put into it that leaves it in one piece.
pub(super) fn still_whole(text: String, value: &str) -> Result<String, EditError> {
    match locate(&text, limits::DEPTH) {
        Ok(_) => Ok(text),
        Err(_) => Err(EditError::NotAValue { value: value.to_owned() }),
    }
}
