//! What lies over the window for a while: commands to search, files, keys, the tour, questions.

use super::note;
use crate::plan::LengthUnit;
use crate::plan::edit::Way;
use crate::window::Shown;
use crate::window::commands::{COMMANDS, matching};
use crate::window::files::{Kept, listed};
use crate::window::sketch::{scaled, value};
use crate::window::style::{self, STEP};
use crate::window::view::{Sheet, Then, View};
use crate::window::wish::Wish;
use egui::{Grid, Id, Key, Modal, RichText, ScrollArea, TextEdit, Ui, vec2};
use glam::Vec2;
use std::path::{Path, PathBuf};

/// Plans that come with the program: their names, and what they are.
pub const TEMPLATES: &[(&str, &str)] = &[
    ("bare", "An empty floor to draw on: a couple, an officiant, and nothing else"),
    ("oak", "A small plan to begin with: a couple, an officiant, two photographers, two blocks of chairs"),
    ("orchard", "Demo: outdoors in June, an aisle between chairs, a low sun"),
    ("chapel", "Demo: a dark chapel in January, columns, candles"),
    ("loft", "Demo: a brick loft at dusk, guests in a circle"),
];

/// The steps of the tour, in the program's own words.
const TOUR: &[(&str, &str)] = &[
    (
        "The floor",
        "The middle shows the place from above. Drag a pair of soles, a person, a block of chairs; with Shift, chairs and things turn. Scroll to come nearer, drag an empty spot to move about.",
    ),
    (
        "The viewfinders",
        "On the right is what each camera sees at this instant. Drag in one to aim, scroll to zoom within the lens, with Shift to raise or lower the camera.",
    ),
    (
        "The run",
        "Along the foot is the whole ceremony to scale. Click to go to an instant, press Space to let it run. A small diamond is a planned picture.",
    ),
    (
        "Findings",
        "On the left stands what will go wrong, the worst first. Click one to go to its place and instant; where a number would mend it, Apply does.",
    ),
    (
        "Nothing is lost",
        "Undo takes everything back, one step after the other. What isn’t saved is kept aside and offered again, should the program end before its time.",
    ),
    (
        "Everything else",
        "Ctrl+K finds every command by a word of it, F1 shows all keys. What has no button stands under Contents, field by field, or in the plan’s own text.",
    ),
];

pub fn show(ui: &mut Ui, view: &View, shown: Option<&Shown>, kept: &Kept, name: &str, wishes: &mut Vec<Wish>) {
    let ctx = ui.ctx().clone();
    let wide = match view.sheet {
        Sheet::Nothing => return,
        Sheet::Keys => 640.0,
        _ => 520.0,
    };
    let modal = Modal::new(Id::new("sheet")).show(&ctx, |ui| {
        ui.set_width(wide);
        match &view.sheet {
            Sheet::Nothing => {}
            Sheet::Commands { search } => commands(ui, view, search, wishes),
            Sheet::Open { folder } => open(ui, view, kept, folder, wishes),
            Sheet::SaveAs { path } => save_as(ui, path, wishes),
            Sheet::Picture { folder } => picture(ui, view, folder, wishes),
            Sheet::Scale { from, to, length } => scale(ui, shown, [*from, *to], length, wishes),
            Sheet::New => new(ui, view, wishes),
            Sheet::Keys => keys(ui, view),
            Sheet::Tour { step } => tour(ui, view, *step, wishes),
            Sheet::Unsaved { then } => unsaved(ui, name, *then, wishes),
            Sheet::ChangedOnDisk => changed(ui, name, wishes),
            Sheet::Recover => recover(ui, name, wishes),
        }
    });
    let must_answer = matches!(view.sheet, Sheet::Recover | Sheet::ChangedOnDisk);
    if modal.should_close() && !must_answer {
        wishes.push(Wish::Show(Sheet::Nothing));
    }
}

fn title(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(style::title()));
    ui.add_space(STEP);
}

fn commands(ui: &mut Ui, view: &View, search: &str, wishes: &mut Vec<Wish>) {
    title(ui, "All commands");
    let mut search = search.to_owned();
    let field = ui.add(TextEdit::singleline(&mut search).hint_text("a word of it").desired_width(f32::INFINITY));
    field.request_focus();
    if field.changed() {
        wishes.push(Wish::Show(Sheet::Commands { search: search.clone() }));
    }
    let found = matching(&search);
    let enter = ui.input(|input| input.key_pressed(Key::Enter));
    if enter && let Some(first) = found.first() {
        wishes.push(Wish::Show(Sheet::Nothing));
        wishes.push(Wish::Do(first.command));
    }
    ScrollArea::vertical().max_height(360.0).show(ui, |ui| {
        for (number, entry) in found.iter().enumerate() {
            ui.horizontal(|ui| {
                if ui.selectable_label(number == 0, entry.label).on_hover_text(entry.tip).clicked() {
                    wishes.push(Wish::Show(Sheet::Nothing));
                    wishes.push(Wish::Do(entry.command));
                }
                let keys = entry.command.keys(ui.ctx());
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    note(ui, view.theme.palette(), keys)
                });
            });
        }
        if found.is_empty() {
            note(ui, view.theme.palette(), "Nothing goes by that word.");
        }
    });
}

fn open(ui: &mut Ui, view: &View, kept: &Kept, folder: &str, wishes: &mut Vec<Wish>) {
    title(ui, "Open a plan");
    if !kept.recent.is_empty() {
        ui.label("Open lately");
        for path in &kept.recent {
            if ui.link(path.display().to_string()).clicked() {
                wishes.push(Wish::OpenFile(path.clone()));
            }
        }
        ui.separator();
    }
    let sheet = |folder: String| Wish::Show(Sheet::Open { folder });
    files(ui, view, folder, &["ron"], sheet, Wish::OpenFile, wishes);
}

fn picture(ui: &mut Ui, view: &View, folder: &str, wishes: &mut Vec<Wish>) {
    title(ui, "Sketch of the floor");
    ui.label("A PNG or JPEG picture of the floor plan: a scan, a photograph, the venue’s own drawing.");
    let sheet = |folder: String| Wish::Show(Sheet::Picture { folder });
    files(ui, view, folder, &["png", "jpg", "jpeg"], sheet, Wish::Sketch, wishes);
}

/// How far apart two spots of the sketch are.
fn scale(ui: &mut Ui, shown: Option<&Shown>, [from, to]: [Vec2; 2], length: &str, wishes: &mut Vec<Wish>) {
    title(ui, "Scale of the sketch");
    let Some(shown) = shown else { return };
    let Some(sketch) = &shown.plan().venue.sketch else { return };
    let units = shown.plan().units;
    ui.label(match units {
        LengthUnit::Metres => "How many metres are these two spots apart?",
        LengthUnit::Feet => "How many feet are these two spots apart?",
    });
    let mut typed = length.to_owned();
    let field = ui.add(TextEdit::singleline(&mut typed).hint_text("4.2").desired_width(120.0));
    field.request_focus();
    if field.changed() {
        wishes.push(Wish::Show(Sheet::Scale { from, to, length: typed.clone() }));
    }
    let length_m = typed.trim().replace(',', ".").parse::<f64>().ok().map(|it| it * units.in_metres());
    let new = length_m.filter(|it| *it > 0.01).map(|it| scaled(sketch, from, to, it as f32));
    let fits = new.filter(|it| (0.5..=1000.0).contains(&it.width_m));
    let enter = ui.input(|input| input.key_pressed(Key::Enter));
    let clicked = ui.add_enabled(fits.is_some(), egui::Button::new("Set")).clicked();
    if let Some(new) = fits
        && (clicked || enter)
    {
        wishes.push(Wish::Show(Sheet::Nothing));
        wishes.push(Wish::set("Scale of the sketch", Way::new().field("venue").field("sketch"), value(&new, units)));
    }
}

/// Files of a kind in a folder, and the folders round it.
fn files(
    ui: &mut Ui,
    view: &View,
    folder: &str,
    kinds: &[&str],
    go_to: impl Fn(String) -> Wish,
    choose: impl Fn(PathBuf) -> Wish,
    wishes: &mut Vec<Wish>,
) {
    let palette = view.theme.palette();
    let mut typed = folder.to_owned();
    ui.label("Folder");
    if ui.add(TextEdit::singleline(&mut typed).desired_width(f32::INFINITY)).changed() {
        wishes.push(go_to(typed.clone()));
    }
    match listed(Path::new(folder), kinds) {
        Ok((folders, plans)) => {
            ScrollArea::vertical().max_height(300.0).show(ui, |ui| {
                let up = Path::new(folder).parent().map(Path::to_owned);
                for path in up.into_iter().chain(folders) {
                    let is_up = Path::new(folder).starts_with(&path);
                    let label = if is_up { "↑ the folder above".to_owned() } else { format!("📁 {}", last(&path)) };
                    if ui.selectable_label(false, label).clicked() {
                        wishes.push(go_to(path.display().to_string()));
                    }
                }
                for path in plans {
                    if ui
                        .selectable_label(false, RichText::new(last(&path)).font(style::strong(style::BODY_PT)))
                        .clicked()
                    {
                        wishes.push(choose(path));
                    }
                }
            });
        }
        Err(error) => {
            ui.label(RichText::new(format!("This folder can’t be read: {error}")).color(palette.lost));
        }
    }
}

fn last(path: &Path) -> String {
    path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}

fn save_as(ui: &mut Ui, path: &str, wishes: &mut Vec<Wish>) {
    title(ui, "Save as");
    let mut path = path.to_owned();
    ui.label("File");
    let field = ui.add(TextEdit::singleline(&mut path).desired_width(f32::INFINITY));
    if field.changed() {
        wishes.push(Wish::Show(Sheet::SaveAs { path: path.clone() }));
    }
    let file = PathBuf::from(path.trim());
    let file = if file.extension().is_none() { file.with_extension("ron") } else { file };
    let exists = file.exists();
    let label = if exists { "Replace it" } else { "Save" };
    if exists {
        ui.label("There is a file of that name.");
    }
    let enter = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    if ui.button(label).clicked() || (enter && !exists) {
        wishes.push(Wish::SaveTo(file));
    }
}

fn new(ui: &mut Ui, view: &View, wishes: &mut Vec<Wish>) {
    title(ui, "A new plan");
    for (name, what) in TEMPLATES {
        if ui
            .add(
                egui::Button::new(RichText::new(*name).font(style::strong(style::BODY_PT)))
                    .min_size(vec2(140.0, style::TARGET)),
            )
            .clicked()
        {
            wishes.push(Wish::NewFrom(name));
        }
        note(ui, view.theme.palette(), *what);
    }
}

fn keys(ui: &mut Ui, view: &View) {
    title(ui, "Keys");
    ScrollArea::vertical().max_height(460.0).show(ui, |ui| {
        Grid::new("keys").num_columns(3).spacing([16.0, 4.0]).show(ui, |ui| {
            for entry in COMMANDS.iter().filter(|entry| entry.keys.is_some()) {
                ui.label(RichText::new(entry.command.keys(ui.ctx())).font(style::strong(style::BODY_PT)));
                ui.label(entry.label);
                note(ui, view.theme.palette(), entry.tip);
                ui.end_row();
            }
        });
        note(
            ui,
            view.theme.palette(),
            "While a drag lasts: Alt lands on the centimetre or degree; Shift, held as it begins, turns.",
        );
    });
}

fn tour(ui: &mut Ui, view: &View, step: usize, wishes: &mut Vec<Wish>) {
    let (head, text) = TOUR[step.min(TOUR.len() - 1)];
    title(ui, head);
    ui.label(text);
    ui.add_space(2.0 * STEP);
    ui.horizontal(|ui| {
        note(ui, view.theme.palette(), format!("{} of {}", step + 1, TOUR.len()));
        if step > 0 && ui.button("Back").clicked() {
            wishes.push(Wish::Show(Sheet::Tour { step: step - 1 }));
        }
        let is_last = step + 1 >= TOUR.len();
        if ui.button(if is_last { "Begin" } else { "On" }).clicked() {
            wishes.push(Wish::Show(if is_last { Sheet::Nothing } else { Sheet::Tour { step: step + 1 } }));
        }
        if !is_last && ui.button("Leave the tour").clicked() {
            wishes.push(Wish::Show(Sheet::Nothing));
        }
    });
}

fn unsaved(ui: &mut Ui, name: &str, then: Then, wishes: &mut Vec<Wish>) {
    title(ui, "Not saved yet");
    ui.label(format!("{name} has changes that aren’t saved."));
    ui.add_space(2.0 * STEP);
    ui.horizontal(|ui| {
        if ui.button("Save and go on").clicked() {
            wishes.push(Wish::SaveAnd(then));
        }
        if ui.button("Go on without saving").clicked() {
            wishes.push(Wish::GoOn(then));
        }
        if ui.button("Stay here").clicked() {
            wishes.push(Wish::Show(Sheet::Nothing));
        }
    });
}

fn changed(ui: &mut Ui, name: &str, wishes: &mut Vec<Wish>) {
    title(ui, "Changed by somebody else");
    ui.label(format!("The file {name} isn’t any more what it was when it was opened or saved here."));
    ui.add_space(2.0 * STEP);
    ui.horizontal(|ui| {
        if ui.button("Take what is in the file").on_hover_text("As one step; undo brings yours back").clicked() {
            wishes.push(Wish::Reload);
        }
        if ui.button("Keep mine").on_hover_text("The next save replaces the file").clicked() {
            wishes.push(Wish::KeepMine);
        }
    });
}

fn recover(ui: &mut Ui, name: &str, wishes: &mut Vec<Wish>) {
    title(ui, "Found again");
    ui.label(format!("The program ended before {name} was saved. A copy was kept of what you had done."));
    ui.add_space(2.0 * STEP);
    ui.horizontal(|ui| {
        if ui.button("Take the copy").on_hover_text("As one step; undo brings the file’s state back").clicked() {
            wishes.push(Wish::Recover(true));
        }
        if ui.button("Take the file as it is").clicked() {
            wishes.push(Wish::Recover(false));
        }
    });
}
