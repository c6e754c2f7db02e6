//! The window's panels: each a function of an `egui::Ui`, what is shown, and the view; each says what is wished for.

pub mod finders;
pub mod findings;
pub mod floor;
pub mod head;
pub mod paint;
pub mod record;
pub mod run;
pub mod sheets;
pub mod side;
mod sketch;

use super::commands::Command;
use super::style::Palette;
use super::wish::Wish;
use egui::{Response, RichText, Ui};

/// A button for a command: its label, its tooltip with its keys.
pub fn command_button(ui: &mut Ui, command: Command, text: &str, wishes: &mut Vec<Wish>) -> Response {
    let entry = command.entry();
    let keys = command.keys(ui.ctx());
    let tip = if keys.is_empty() { entry.tip.to_owned() } else { format!("{}  ({keys})", entry.tip) };
    let response = ui.button(text).on_hover_text(tip);
    if response.clicked() {
        wishes.push(Wish::Do(command));
    }
    response
}

/// A heading of a panel.
pub fn heading(ui: &mut Ui, text: &str) {
    ui.heading(text);
}

/// A quiet remark.
pub fn note(ui: &mut Ui, palette: &Palette, text: impl Into<String>) -> Response {
    ui.label(RichText::new(text).small().color(palette.faint))
}
