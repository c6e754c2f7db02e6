//! The window: plan it, look through every camera, fix it.
//!
//! Data flows one way. The [`Document`] is the plan's text; [`Shown`] is what follows from it at the instant looked at;
//! panels draw both, and say what is wished for ([`Wish`]); the [`App`] does it. Panels know egui alone and no engine; the
//! engine draws viewfinders on a thread of its own and is brought in by `shell`.

mod app;
mod commands;
mod document;
mod files;
mod finder;
mod make;
mod panels;
mod shown;
mod sketch;
mod style;
mod view;
mod wish;
mod workers;

#[cfg(feature = "engine")]
mod shell;

pub use app::App;
pub use commands::{COMMANDS, Command, Entry};
pub use document::{Document, Reading, Stroke};
pub use files::{Folders, Recovered};
pub use finder::{Ask, Draw, Finder};
#[cfg(feature = "engine")]
pub use shell::open;
pub use shown::Shown;
pub use style::{Palette, Theme};
pub use view::{Kind, Selected, Sheet, View};
pub use wish::{Change, Wish};
