//! The line along the top: the plan's name, what one does most, and what was just said.

use super::{command_button, note};
use crate::window::Document;
use crate::window::commands::Command;
use crate::window::style::{self, STEP};
use crate::window::view::{Tool, View};
use crate::window::wish::Wish;
use egui::{Align, Layout, RichText, Ui};

pub fn show(ui: &mut Ui, document: &Document, view: &View, said: &str, wishes: &mut Vec<Wish>) {
    let palette = view.theme.palette();
    ui.horizontal(|ui| {
        let title = document.plan().map_or_else(|| document.name(), |plan| plan.title.clone());
        ui.label(RichText::new(title).font(style::title()).color(palette.ink));
        let file = document.name();
        note(ui, palette, if document.is_saved() { file } else { format!("{file} · not saved") });
        ui.add_space(2.0 * STEP);
        for (command, label) in [
            (Command::New, "New"),
            (Command::Open, "Open"),
            (Command::Save, "Save"),
            (Command::Undo, "↶ Undo"),
            (Command::Redo, "↷ Redo"),
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
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            command_button(ui, Command::Theme, "Light or dark", wishes);
            let hint = match &view.tool {
                Tool::Hand => said.to_owned(),
                Tool::Tape { from: None, .. } => "Tape: click the first spot".to_owned(),
                Tool::Tape { .. } => "Tape: click the second spot, Esc puts it down".to_owned(),
                Tool::Place(kind) => format!("Click on the floor: {}. Esc puts it down", kind.facts().one.to_lowercase()),
            };
            ui.label(RichText::new(hint).color(palette.accent));
        });
    });
}
