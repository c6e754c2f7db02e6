//! The window without a window: what is open, what is shown of it, and what is done when panels wish for something.

use super::commands::{Command, pressed};
use super::document::{Document, Reading};
use super::files::{Folders, Kept, Recovered};
use super::finder::{Ask, Draw, Finder, answer};
use super::make;
use super::panels::finders::{self, HeldPicture, Live};
use super::panels::{findings, floor, head, run, sheets, side};
use super::shown::Shown;
use super::style;
use super::view::{Kind, Selected, Sheet, Tab, Then, Tool, View};
use super::wish::{Change, Wish};
use super::workers::Worker;
use crate::findings::Findings;
use crate::plan::{DEMOS, PhotographerIx, STARTER, load, save_text};
use crate::staging::Run;
use egui::{CentralPanel, ColorImage, Panel, TextureOptions, Ui};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// After the last change, seconds until everything is drawn in full and checked again.
const CALM_S: f64 = 0.35;
/// Between two copies of what isn't saved, and between two looks at the file, seconds.
const COPY_S: f64 = 5.0;
const DISK_S: f64 = 2.0;
/// What was said stays so long, seconds.
const SAID_S: f64 = 6.0;

/// What the checker found in a text.
struct Checked {
    revision: u64,
    found: Arc<Findings>,
    remedies: Arc<Vec<Option<Wish>>>,
}

/// Something with the revision of the text it is of.
type Revised<T> = (u64, Arc<T>);

pub struct App {
    pub document: Document,
    pub view: View,
    pub kept: Kept,
    /// The window is to be closed.
    pub closes: bool,
    is_new: bool,
    styled: Option<style::Theme>,
    folders: Folders,
    shown: Option<Shown>,
    live: Vec<Live>,
    /// A picture kept to compare the live one with.
    held: Option<HeldPicture>,
    recovered: Option<Recovered>,
    finders: Option<Worker<Ask, Finder>>,
    checker: Option<Worker<Revised<Reading>, Checked>>,
    asked: Option<(u64, u64, Vec<u32>, bool)>,
    checked: u64,
    found: Option<Checked>,
    finder_pt: f32,
    said: (String, f64),
    now_s: f64,
    changed_s: f64,
    copied: (u64, f64),
    looked_s: f64,
}

impl App {
    /// `draw` makes, on the thread that will use it, what draws viewfinders. `ctx` is woken when something is there to be shown.
    pub fn new(
        ctx: &egui::Context,
        folders: Folders,
        draw: impl FnOnce() -> Draw + Send + 'static,
        wake: impl Fn() + Send + Clone + 'static,
    ) -> Self {
        let kept = folders.kept();
        let (wakes, wakes_too) = (wake.clone(), wake);
        let (to_finder, to_checker) = (ctx.clone(), ctx.clone());
        let finders = Worker::new(
            "viewfinders",
            move || {
                to_finder.request_repaint();
                wakes();
            },
            move || {
                let mut draw = draw();
                move |ask: Ask, tell: &dyn Fn(Finder)| answer(&ask, &mut draw, tell)
            },
        );
        let checker = Worker::new(
            "findings",
            move || {
                to_checker.request_repaint();
                wakes_too();
            },
            || {
                |(revision, reading): Revised<Reading>, tell: &dyn Fn(Checked)| {
                    let found = crate::findings::findings(&Run::new(&reading.plan), || ());
                    let remedies = found.list.iter().map(|it| findings::remedy(&reading.plan, it)).collect();
                    tell(Checked { revision, found: Arc::new(found), remedies: Arc::new(remedies) });
                }
            },
        );
        let view = View { theme: kept.theme(), scale: kept.scale.clamp(0.6, 2.5), ..View::default() };
        let mut app = Self {
            document: Document::open(None, STARTER.to_owned(), false),
            view,
            kept,
            closes: false,
            is_new: true,
            styled: None,
            folders,
            shown: None,
            live: vec![],
            held: None,
            recovered: None,
            finders,
            checker,
            asked: None,
            checked: 0,
            found: None,
            finder_pt: 360.0,
            said: (String::new(), 0.0),
            now_s: 0.0,
            changed_s: 0.0,
            copied: (0, 0.0),
            looked_s: 0.0,
        };
        if !app.kept.toured {
            app.view.sheet = Sheet::Tour { step: 0 };
        }
        app
    }

    /// Opens a file, whether it reads as a plan or not.
    ///
    /// # Errors
    /// It can't be read as text.
    pub fn open(&mut self, path: &Path) -> Result<(), String> {
        let text = match load(path) {
            Ok(loaded) => loaded.text,
            Err(crate::plan::LoadError::Wrong { text, .. }) => text,
            Err(error) => return Err(error.to_string()),
        };
        let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        self.recovered = self.folders.recovered(Some(&path), &text);
        self.kept.opened(&path);
        self.take(Document::open(Some(path), text, true));
        if self.recovered.is_some() {
            self.view.sheet = Sheet::Recover;
        }
        Ok(())
    }

    /// Whether something is being worked out, so that the loop should look again soon.
    pub fn is_busy(&self) -> bool {
        self.view.plays.is_some()
            || self.now_s - self.changed_s < CALM_S * 2.0
            || self.finders.as_ref().is_some_and(Worker::is_busy)
            || self.checker.as_ref().is_some_and(Worker::is_busy)
    }

    /// Whether all that was asked for is there.
    pub fn is_settled(&self) -> bool {
        !self.is_busy() && self.asked.as_ref().is_none_or(|asked| asked.3) && self.checked == self.document.revision()
    }

    pub fn shown(&self) -> Option<&Shown> {
        self.shown.as_ref()
    }

    /// One frame of the window, `now_s` on a clock of any beginning.
    pub fn show(&mut self, ui: &mut Ui, now_s: f64) {
        if std::mem::take(&mut self.is_new) {
            // They are there from the next pass on.
            style::install_fonts(ui.ctx());
            ui.ctx().request_repaint();
            return;
        }
        if self.styled != Some(self.view.theme) {
            style::apply(ui.ctx(), self.view.theme);
            self.styled = Some(self.view.theme);
            ui.set_style(ui.ctx().global_style());
        }
        let passed_s = (now_s - self.now_s).clamp(0.0, 0.5);
        self.now_s = now_s;
        let mut wishes: Vec<Wish> = pressed(ui.ctx()).into_iter().map(Wish::Do).collect();
        self.fulfil_all(&mut wishes);
        self.play(passed_s);
        self.catch_up();
        self.take_answers(ui.ctx());
        self.panels(ui, &mut wishes);
        self.fulfil_all(&mut wishes);
        self.catch_up();
        self.ask(ui.ctx().pixels_per_point());
        self.keep_house();
    }

    fn panels(&mut self, ui: &mut Ui, wishes: &mut Vec<Wish>) {
        if let Some(held) = self.held.as_mut().filter(|held| held.texture.is_none()) {
            held.texture = Some(ui.ctx().load_texture("kept", held.image.clone(), TextureOptions::LINEAR));
        }
        let Self { document, view, shown, live, held, kept, said, .. } = self;
        let said = if self.now_s - said.1 < SAID_S { said.0.as_str() } else { "" };
        Panel::top("head").show(ui, |ui| {
            ui.add_space(style::STEP);
            head::show(ui, document, view, wishes);
            ui.add_space(style::STEP);
        });
        if let Some(shown) = shown.as_ref() {
            Panel::bottom("run").show(ui, |ui| {
                ui.add_space(style::STEP);
                run::show(ui, shown, view, wishes);
                ui.add_space(style::STEP);
            });
        }
        let width = ui.available_width();
        Panel::left("side").resizable(true).default_size((width * 0.24).clamp(260.0, 420.0)).show(ui, |ui| {
            side::show(ui, document, shown.as_ref(), view, wishes);
        });
        if let Some(shown) = shown.as_ref() {
            let finder = Panel::right("finders").resizable(true).default_size((width * 0.3).clamp(280.0, 760.0));
            self.finder_pt = finder
                .show(ui, |ui| {
                    ui.add_space(style::STEP);
                    finders::show(ui, shown, view, live, wishes);
                })
                .response
                .rect
                .width();
        }
        CentralPanel::no_frame().show(ui, |ui| match (shown.as_ref(), view.enlarged) {
            (Some(shown), Some(crew)) if crew.0 < live.len() => {
                self.finder_pt = ui.available_width();
                finders::compared(ui, shown, view, crew, &live[crew.0], held.as_ref(), wishes);
            }
            (Some(shown), _) => floor::show(ui, document, shown, view, said, wishes),
            (None, _) => {
                ui.centered_and_justified(|ui| {
                    ui.label("This text doesn’t read as a plan yet. What is wrong stands on the left.")
                });
            }
        });
        sheets::show(ui, view, kept, &document.name(), wishes);
    }

    /// Brings what is shown to the newest text and instant.
    fn catch_up(&mut self) {
        let Some(reading) = self.document.reading() else {
            self.shown = None;
            return;
        };
        let length_s = reading.plan.length_s();
        self.view.at_s = self.view.at_s.clamp(0.0, length_s);
        let revision = self.document.revision();
        let pt_per_m = self.view.floor.pt_per_m;
        match &mut self.shown {
            Some(shown) if shown.revision == revision && (shown.pt_per_m / pt_per_m).ln().abs() < 0.15 => {
                if shown.at_s != self.view.at_s {
                    shown.go_to(self.view.at_s);
                    self.changed_s = self.now_s;
                }
            }
            shown => {
                let (covered, losing) = shown
                    .as_mut()
                    .map(|it| (std::mem::take(&mut it.layers.covered), std::mem::take(&mut it.layers.losing)))
                    .unwrap_or_default();
                let mut new = Shown::new(reading, revision, self.view.at_s, pt_per_m);
                (new.layers.covered, new.layers.losing) = (covered, losing);
                *shown = Some(new);
                self.live.resize_with(reading.plan.crew.len(), Live::default);
                self.changed_s = self.now_s;
            }
        }
        if let (Some(shown), Some(checked)) = (&mut self.shown, &self.found) {
            shown.found = Some(checked.found.clone());
            shown.remedies = checked.remedies.clone();
            shown.found_is_old = checked.revision != revision;
        }
    }

    fn ask(&mut self, px_per_pt: f32) {
        let Some(reading) = self.document.reading().cloned() else { return };
        let revision = self.document.revision();
        let calm = self.now_s - self.changed_s >= CALM_S && self.view.plays.is_none();
        let long_px = (self.finder_pt * px_per_pt * if calm { 1.0 } else { 0.5 }).clamp(64.0, 2400.0) as u32;
        let sizes: Vec<u32> = (0..reading.plan.crew.len())
            .map(|crew| if self.view.enlarged.is_none_or(|it| it.0 == crew) { long_px } else { 320.min(long_px) })
            .collect();
        let question = (revision, self.view.at_s.to_bits(), sizes, calm);
        if self.asked.as_ref() != Some(&question) {
            let (_, _, long_px, floor) = question.clone();
            if let Some(finders) = &self.finders {
                finders.ask(Ask { reading: reading.clone(), revision, at_s: self.view.at_s, long_px, floor });
            }
            self.asked = Some(question);
        }
        if calm && self.checked != revision {
            if let Some(checker) = &self.checker {
                checker.ask((revision, reading));
            }
            self.checked = revision;
        }
    }

    fn take_answers(&mut self, ctx: &egui::Context) {
        for finder in self.finders.as_ref().map(Worker::answers).unwrap_or_default() {
            match finder {
                Finder::Picture { crew, picture, facts, revision, at_s } => {
                    let Some(live) = self.live.get_mut(crew.0) else { continue };
                    let size = [picture.width() as usize, picture.height() as usize];
                    let image = ColorImage::from_rgb(size, picture.as_raw());
                    live.image = Some(image.clone());
                    match &mut live.texture {
                        Some(texture) => texture.set(image, TextureOptions::LINEAR),
                        None => {
                            live.texture =
                                Some(ctx.load_texture(format!("finder {}", crew.0), image, TextureOptions::LINEAR))
                        }
                    }
                    live.facts = Some(facts);
                    live.down.clear();
                    (live.revision, live.at_s) = (revision, at_s);
                }
                Finder::Down { crew, why, .. } => {
                    let Some(live) = self.live.get_mut(crew.0) else { continue };
                    (live.facts, live.down) = (None, why);
                }
                Finder::Floor { covered, seen, tableau, .. } => {
                    if let Some(shown) = &mut self.shown {
                        shown.cover(&covered, &seen, &tableau);
                    }
                }
            }
        }
        if let Some(found) = self.checker.as_ref().and_then(|checker| checker.answers().pop()) {
            self.found = Some(found);
            self.catch_up();
        }
    }

    fn play(&mut self, passed_s: f64) {
        let (Some(times), Some(plan)) = (self.view.plays, self.document.plan()) else { return };
        let end_s = plan.length_s();
        self.view.at_s = (self.view.at_s + passed_s * times).min(end_s);
        if self.view.at_s >= end_s {
            self.view.plays = None;
        }
    }

    fn fulfil_all(&mut self, wishes: &mut Vec<Wish>) {
        for wish in std::mem::take(wishes) {
            self.fulfil(wish);
        }
    }

    fn say(&mut self, text: impl Into<String>) {
        self.said = (text.into(), self.now_s);
    }

    pub fn fulfil(&mut self, wish: Wish) {
        match wish {
            Wish::Do(command) => self.command(command),
            Wish::Edit { label, stroke, change } => self.edit(&label, stroke, &change),
            Wish::Lift => self.document.lift(),
            Wish::Select(selected) => self.view.selected = selected,
            Wish::GoTo(at_s) => {
                self.view.at_s = at_s.max(0.0);
                self.view.plays = None;
            }
            Wish::GoToFrame(number) => self.go_to_frame(number),
            Wish::Play(times) => self.view.plays = times,
            Wish::Show(sheet) => {
                if sheet == Sheet::Nothing && matches!(self.view.sheet, Sheet::Tour { .. }) {
                    self.kept.toured = true;
                    let _ = self.folders.keep(&self.kept);
                }
                self.view.sheet = sheet;
            }
            Wish::Turn(tab) => self.view.tab = tab,
            Wish::Take(tool) => self.view.tool = tool,
            Wish::Enlarge(crew) => self.view.enlarged = crew,
            Wish::Floor(floor) => self.view.floor = floor,
            Wish::Place(kind, spot) => self.place(kind, spot),
            Wish::OpenFile(path) => match self.open(&path) {
                Ok(()) => {}
                Err(why) => self.say(why),
            },
            Wish::SaveTo(path) => {
                if self.save_to(&path) {
                    self.view.sheet = Sheet::Nothing;
                }
            }
            Wish::NewFrom(name) => {
                let text = DEMOS.iter().find(|(known, _)| *known == name).map_or(STARTER, |(_, text)| text);
                self.take(Document::open(None, text.to_owned(), false));
            }
            Wish::GoOn(then) => {
                self.folders.forget(self.document.path.as_deref());
                self.go_on(then);
            }
            Wish::SaveAnd(then) => match self.document.path.clone() {
                Some(path) if self.save_to(&path) => self.go_on(then),
                Some(_) => {}
                None => self.command(Command::SaveAs),
            },
            Wish::Reload => {
                if let Some(text) = self.on_disk() {
                    self.document.write("Take what is in the file", None, text);
                    self.document.mark_saved();
                }
                self.view.sheet = Sheet::Nothing;
            }
            Wish::KeepMine => {
                if let Some(text) = self.on_disk() {
                    self.document.on_disk_is(text);
                }
                self.view.sheet = Sheet::Nothing;
            }
            Wish::Recover(take) => {
                match self.recovered.take() {
                    Some(copy) if take => self.document.write("Take the copy", None, copy.text),
                    _ => self.folders.forget(self.document.path.as_deref()),
                }
                self.view.sheet = Sheet::Nothing;
            }
            Wish::Say(text) => self.say(text),
        }
    }

    fn edit(&mut self, label: &str, stroke: Option<super::Stroke>, change: &Change) {
        let text = match change.of(self.document.text()) {
            Ok(text) => text,
            Err(error) => return self.say(error.to_string()),
        };
        if let Change::Typed(_) = change {
            self.document.write(label, stroke, text);
        } else if let Err(problems) = self.document.edit(label, stroke, text) {
            let first = problems.list.first().map_or_else(String::new, |problem| problem.message.clone());
            self.say(format!("That can’t be: {first}"));
        }
    }

    fn take(&mut self, document: Document) {
        let kept = View { theme: self.view.theme, scale: self.view.scale, ..View::default() };
        self.document = document;
        self.view = kept;
        self.shown = None;
        self.found = None;
        self.live.clear();
        self.asked = None;
        self.checked = u64::MAX;
        if self.document.plan().is_none() {
            self.view.tab = Tab::Text;
        }
    }

    fn go_to_frame(&mut self, number: usize) {
        let Some(plan) = self.document.plan() else { return };
        let Some(frame) = plan.frames.get(number) else { return };
        self.view.at_s = plan.at_s(frame);
        self.view.plays = None;
        self.view.selected = Some(Selected::new(Kind::Frame, number));
    }

    fn place(&mut self, kind: Kind, spot: glam::Vec2) {
        let Some(plan) = self.document.plan() else { return };
        match make::new_thing(plan, self.document.text(), kind, spot, &self.view) {
            Some((label, change)) => {
                let number = make::count(self.document.text(), kind);
                self.edit(&label, None, &change);
                if make::count(self.document.text(), kind) > number {
                    self.view.selected = Some(Selected::new(kind, number));
                }
            }
            None => self.say("Nothing of that kind can be put down here"),
        }
        self.view.tool = Tool::Hand;
    }

    /// Writes down how the window is left.
    pub fn keep(&self) {
        let _ = self.folders.keep(&self.kept);
    }

    // -------------------------------------------------------------- files

    fn on_disk(&self) -> Option<String> {
        fs::read_to_string(self.document.path.as_deref()?).ok()
    }

    fn save_to(&mut self, path: &Path) -> bool {
        let before = self.document.path.clone();
        match save_text(path, self.document.text()) {
            Ok(()) => {
                self.folders.forget(before.as_deref());
                self.document.path = Some(fs::canonicalize(path).unwrap_or_else(|_| path.to_owned()));
                self.document.mark_saved();
                self.kept.opened(path);
                let _ = self.folders.keep(&self.kept);
                self.say(format!("Saved {}", path.display()));
                true
            }
            Err(error) => {
                self.say(format!(
                    "{} can’t be written: {error}; the plan is still here and kept aside",
                    path.display()
                ));
                false
            }
        }
    }

    fn go_on(&mut self, then: Then) {
        self.view.sheet = Sheet::Nothing;
        match then {
            Then::Close => self.closes = true,
            Then::Open => self.view.sheet = Sheet::Open { folder: self.folder() },
            Then::New => self.view.sheet = Sheet::New,
        }
    }

    fn go_on_if_saved(&mut self, then: Then) {
        if self.document.is_saved() || self.document.undo_label().is_none() {
            self.go_on(then);
        } else {
            self.view.sheet = Sheet::Unsaved { then };
        }
    }

    /// Asks what becomes of changes, then closes.
    pub fn close(&mut self) {
        self.go_on_if_saved(Then::Close);
    }

    fn folder(&self) -> String {
        let folder = self.document.path.as_deref().and_then(Path::parent).map(Path::to_owned);
        let folder = folder.or_else(|| fs::canonicalize(".").ok()).unwrap_or_else(|| PathBuf::from("/"));
        folder.display().to_string()
    }

    /// Keeps a copy of what isn't saved, and sees whether somebody else changed the file.
    fn keep_house(&mut self) {
        let revision = self.document.revision();
        let dirty = !self.document.is_saved() && self.document.undo_label().is_some();
        if dirty && self.copied.0 != revision && self.now_s - self.copied.1 >= COPY_S {
            if let Err(error) = self.folders.copy(self.document.path.as_deref(), self.document.text()) {
                self.say(format!("No copy could be kept aside: {error}. Save soon"));
            }
            self.copied = (revision, self.now_s);
        }
        if self.now_s - self.looked_s >= DISK_S && self.view.sheet == Sheet::Nothing {
            self.looked_s = self.now_s;
            let known = self.document.text_on_disk().map(str::to_owned);
            if let (Some(known), Some(now)) = (known, self.on_disk())
                && known != now
            {
                if self.document.text() == now {
                    self.document.mark_saved();
                } else {
                    self.view.sheet = Sheet::ChangedOnDisk;
                }
            }
        }
    }

    // -------------------------------------------------------------- commands

    pub fn command(&mut self, command: Command) {
        match command {
            Command::New => self.go_on_if_saved(Then::New),
            Command::Open => self.go_on_if_saved(Then::Open),
            Command::Save => match self.document.path.clone() {
                Some(path) => _ = self.save_to(&path),
                None => self.command(Command::SaveAs),
            },
            Command::SaveAs => {
                let name = self
                    .document
                    .path
                    .as_deref()
                    .and_then(Path::file_name)
                    .map_or_else(|| "my-plan.ron".into(), |name| name.to_string_lossy().into_owned());
                self.view.sheet = Sheet::SaveAs { path: format!("{}/{name}", self.folder()) };
            }
            Command::Undo => {
                let label = self.document.undo_label().map(str::to_owned);
                self.document.undo();
                self.say(label.map_or_else(|| "Nothing to undo".to_owned(), |label| format!("Undone: {label}")));
            }
            Command::Redo => {
                let label = self.document.redo_label().map(str::to_owned);
                self.document.redo();
                self.say(label.map_or_else(|| "Nothing to redo".to_owned(), |label| format!("Done again: {label}")));
            }
            Command::Delete => self.change_selected(make::delete),
            Command::Duplicate => self.change_selected(make::duplicated),
            Command::Mirror => self.change_selected(make::mirrored),
            Command::AddStandpoint => self.view.tool = Tool::Place(Kind::Standpoint),
            Command::AddMark => self.view.tool = Tool::Place(Kind::Mark),
            Command::AddPerson => self.view.tool = Tool::Place(Kind::Person),
            Command::AddFixture => self.view.tool = Tool::Place(Kind::Fixture),
            Command::AddSeats => self.view.tool = Tool::Place(Kind::Seats),
            Command::AddKeepOut => self.view.tool = Tool::Place(Kind::KeepOut),
            Command::AddFrame => self.place(Kind::Frame, glam::Vec2::ZERO),
            Command::AddMoment => self.place(Kind::Moment, glam::Vec2::ZERO),
            Command::Tape => self.view.tool = Tool::Tape { from: None, to: None },
            Command::PutDown => {
                if self.view.sheet != Sheet::Nothing {
                    if !matches!(self.view.sheet, Sheet::Recover | Sheet::ChangedOnDisk) {
                        self.fulfil(Wish::Show(Sheet::Nothing));
                    }
                } else if self.view.tool != Tool::Hand {
                    self.view.tool = Tool::Hand;
                } else if self.view.enlarged.is_some() {
                    self.view.enlarged = None;
                } else {
                    self.view.selected = None;
                }
            }
            Command::Fit => self.view.floor.fit = true,
            Command::ZoomIn => self.view.floor.pt_per_m *= 1.25,
            Command::ZoomOut => self.view.floor.pt_per_m /= 1.25,
            Command::Covered => self.view.layers.covered ^= true,
            Command::Routes => self.view.layers.routes ^= true,
            Command::Views => self.view.layers.views ^= true,
            Command::Sun => self.view.layers.sun ^= true,
            Command::Names => self.view.layers.names ^= true,
            Command::Grid => self.view.layers.grid ^= true,
            Command::Play => self.view.plays = if self.view.plays.is_some() { None } else { Some(1.0) },
            Command::Slower => self.speed(|now| now / 4.0),
            Command::Faster => self.speed(|now| now * 4.0),
            Command::Back => self.fulfil(Wish::GoTo((self.view.at_s - 1.0).max(0.0))),
            Command::Forward => self.fulfil(Wish::GoTo(self.view.at_s + 1.0)),
            Command::NextFrame => self.step_frame(true),
            Command::PreviousFrame => self.step_frame(false),
            Command::NextFinding => self.next_finding(),
            Command::Enlarge => {
                self.view.enlarged = match self.view.enlarged {
                    Some(_) => None,
                    None => Some(self.chosen_crew()),
                };
            }
            Command::Guides => self.view.guides ^= true,
            Command::KeepFrame => self.hold(),
            Command::Findings => self.view.tab = Tab::Findings,
            Command::Contents => self.view.tab = Tab::Contents,
            Command::Text => self.view.tab = Tab::Text,
            Command::Theme => {
                self.view.theme = self.view.theme.other();
                self.kept.dark = self.view.theme == style::Theme::Dark;
                let _ = self.folders.keep(&self.kept);
            }
            Command::Larger => self.rescale(1.1),
            Command::Smaller => self.rescale(1.0 / 1.1),
            Command::Commands => self.view.sheet = Sheet::Commands { search: String::new() },
            Command::Keys => self.view.sheet = Sheet::Keys,
            Command::Tour => self.view.sheet = Sheet::Tour { step: 0 },
            Command::Quit => self.close(),
        }
    }

    /// Keeps the chosen photographer's picture beside the live one, or lets it go.
    fn hold(&mut self) {
        if self.held.take().is_some() {
            return;
        }
        let crew = self.view.enlarged.unwrap_or_else(|| self.chosen_crew());
        let Some(live) = self.live.get(crew.0) else { return };
        let (Some(image), Some(facts)) = (live.image.clone(), &live.facts) else {
            return self.say("There is no picture to keep yet");
        };
        let plan = self.document.plan();
        let standpoint = plan.and_then(|plan| plan.standpoints.get(facts.standpoint)).map_or("", |it| &it.id);
        let label = format!("kept: {standpoint}, {:.0} mm", facts.focal_m * 1000.0);
        self.held = Some(HeldPicture { image, label, texture: None });
        self.view.enlarged = Some(crew);
    }

    fn rescale(&mut self, factor: f32) {
        self.view.scale = (self.view.scale * factor).clamp(0.6, 2.5);
        self.kept.scale = self.view.scale;
        let _ = self.folders.keep(&self.kept);
    }

    fn speed(&mut self, change: impl Fn(f64) -> f64) {
        let next = change(self.view.plays.unwrap_or(1.0));
        let nearest =
            [1.0, 4.0, 20.0].into_iter().min_by(|a: &f64, b| (a / next).ln().abs().total_cmp(&(b / next).ln().abs()));
        self.view.plays = nearest;
    }

    fn change_selected(&mut self, change: fn(&Document, Selected) -> Option<(String, Change)>) {
        let Some(selected) = self.view.selected else { return self.say("Nothing is chosen") };
        match change(&self.document, selected) {
            Some((label, change)) => {
                let count = make::count(self.document.text(), selected.kind);
                self.edit(&label, None, &change);
                let after = make::count(self.document.text(), selected.kind);
                if after < count {
                    self.view.selected = None;
                } else if after > count {
                    self.view.selected = Some(Selected::new(selected.kind, selected.number + 1));
                }
            }
            None => self.say("That can’t be done with what is chosen"),
        }
    }

    fn step_frame(&mut self, on: bool) {
        let Some(plan) = self.document.plan() else { return };
        let now_s = self.view.at_s;
        let at = |number: &usize| plan.at_s(&plan.frames[*number]);
        // Several at one instant: one after the other, in the plan's order.
        let chosen = self.view.selected.filter(|it| it.kind == Kind::Frame).map(|it| it.number);
        let key = |number: &usize| (at(number), *number);
        let here = (now_s, chosen.unwrap_or(if on { 0 } else { usize::MAX }));
        let mut all: Vec<usize> = (0..plan.frames.len()).collect();
        all.sort_by(|a, b| key(a).partial_cmp(&key(b)).unwrap_or(std::cmp::Ordering::Equal));
        let is_chosen_here = chosen
            .is_some_and(|number| plan.frames.get(number).is_some_and(|frame| (plan.at_s(frame) - now_s).abs() < 1e-6));
        let next = if on {
            all.iter().find(|number| if is_chosen_here { key(number) > here } else { at(number) > now_s + 1e-6 })
        } else {
            all.iter().rfind(|number| if is_chosen_here { key(number) < here } else { at(number) < now_s - 1e-6 })
        };
        if let Some(number) = next.copied() {
            self.go_to_frame(number);
        }
    }

    fn next_finding(&mut self) {
        let (Some(plan), Some(Checked { found, .. })) = (self.document.plan(), &self.found) else { return };
        let mut at: Vec<(f64, Vec<Wish>)> = found
            .list
            .iter()
            .filter(|it| it.severity != crate::findings::Severity::Note)
            .filter_map(|it| Some((it.at_s?, findings::go_to(plan, it))))
            .collect();
        at.sort_by(|a, b| a.0.total_cmp(&b.0));
        let now_s = self.view.at_s;
        let next = at.iter().find(|it| it.0 > now_s + 1e-6).or(at.first()).map(|it| it.1.clone());
        for wish in next.unwrap_or_default() {
            self.fulfil(wish);
        }
    }

    /// The photographer of what is chosen, else the first.
    fn chosen_crew(&self) -> PhotographerIx {
        self.document.plan().map_or(PhotographerIx(0), |plan| make::crew_of(plan, &self.view))
    }
}
