//! What panels wish for: they change nothing themselves, so that drawing them twice does nothing twice.

use super::commands::Command;
use super::document::Stroke;
use super::view::{FloorView, Kind, Selected, Sheet, Tab, Then, Tool};
use crate::plan::PhotographerIx;
use crate::plan::edit::{EditError, Way, add, set, unset};
use glam::Vec2;
use std::path::PathBuf;

/// A change to the plan's text.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    Set(Way, String),
    Unset(Way),
    /// A new item at the end of a list.
    Add(Way, String),
    /// One after the other.
    All(Vec<Change>),
    /// The whole text.
    Text(String),
    /// The whole text as somebody types it: it may be broken for a while.
    Typed(String),
}

impl Change {
    /// # Errors
    /// There is no such place in the text.
    pub fn of(&self, text: &str) -> Result<String, EditError> {
        match self {
            Self::Set(way, value) => set(text, way, value),
            Self::Unset(way) => unset(text, way),
            Self::Add(list, item) => add(text, list, None, item),
            Self::All(changes) => changes.iter().try_fold(text.to_owned(), |text, change| change.of(&text)),
            Self::Text(text) | Self::Typed(text) => Ok(text.clone()),
        }
    }
}

#[derive(Debug, Clone, PartialEq)]
pub enum Wish {
    Do(Command),
    /// Named as undo will call it.
    Edit {
        label: String,
        stroke: Option<Stroke>,
        change: Change,
    },
    /// A drag ended: the next edit is a step of its own.
    Lift,
    Select(Option<Selected>),
    GoTo(f64),
    /// A frame's instant, and the frame chosen.
    GoToFrame(usize),
    Play(Option<f64>),
    Show(Sheet),
    Turn(Tab),
    Take(Tool),
    Enlarge(Option<PhotographerIx>),
    Floor(FloorView),
    /// A picture to draw over.
    Sketch(PathBuf),
    /// The way drawn is at its end.
    Walk(Vec<Vec2>),
    /// A new thing at a spot of the floor.
    Place(Kind, Vec2),
    OpenFile(PathBuf),
    SaveTo(PathBuf),
    /// A new plan from one of those that come with the program, by its name.
    NewFrom(&'static str),
    /// Changes may be lost: go on.
    GoOn(Then),
    SaveAnd(Then),
    Reload,
    KeepMine,
    Recover(bool),
    Say(String),
}

impl Wish {
    pub fn set(label: impl Into<String>, way: Way, value: impl Into<String>) -> Self {
        Self::Edit { label: label.into(), stroke: None, change: Change::Set(way, value.into()) }
    }
}
