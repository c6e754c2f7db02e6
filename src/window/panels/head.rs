//! The line along the top: the plan's name, and what one does most.

use super::{command_button, note};
use crate::window::Document;
use crate::window::commands::Command;
use crate::window::style::{self, STEP};
use crate::window::view::View;
use crate::window::wish::Wish;
use egui::{RichText, Ui};

pub fn show(ui: &mut Ui, document: &Document, view: &View, wishes: &mut Vec<Wish>) {
    let palette = view.theme.palette();
    ui.horizontal_wrapped(|ui| {
        let title = document.plan().map_or_else(|| document.name(), |plan| plan.title.clone());
        ui.label(RichText::new(title).font(style::title()).color(palette.ink));
        let file = document.name();
        note(ui, palette, if document.is_saved() { file } else { format!("{file} · not saved") });
        ui.add_space(2.0 * STEP);
        for (command, label) in [
            (Command::New, "New"),
            (Command::Open, "Open"),
            (Command::Save, "Save"),
            (Command::Undo, "Undo"),
            (Command::Redo, "Redo"),
        ] {
            command_button(ui, command, label, wishes);
        }
        ui.separator();
        for (command, label) in [
            (Command::AddStandpoint, "Standpoint"),
            (Command::AddFrame, "Frame"),
            (Command::AddMark, "Mark"),
            (Command::AddFixture, "Fixture"),
            (Command::Tape, "Tape"),
        ] {
            command_button(ui, command, label, wishes);
        }
        ui.separator();
        command_button(ui, Command::Commands, "All commands", wishes);
    });
}
