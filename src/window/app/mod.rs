//! The window without a window: what is open, what is shown of it, and what is done when panels wish for something.

mod files;
mod fulfil;
mod give;
mod sketch;

use crate::findings::Findings;
use crate::plan::STARTER;
use crate::staging::Run;
use crate::window::commands::pressed;
use crate::window::document::{Document, Reading};
use crate::window::files::{Folders, Kept, Recovered};
use crate::window::finder::{Ask, Draw, Finder, answer};
use crate::window::panels::finders::{self, HeldPicture, Live};
use crate::window::panels::{findings, floor, head, run, sheets, side};
use crate::window::shown::Shown;
use crate::window::style;
use crate::window::view::{Sheet, View};
use crate::window::wish::Wish;
use crate::window::workers::Worker;
use egui::{CentralPanel, ColorImage, Panel, TextureOptions, Ui};
use std::sync::Arc;

/// After the last change, seconds until everything is drawn in full and checked again.
const CALM_S: f64 = 0.35;
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
    shelf: sketch::Shelf,
    finders: Option<Worker<Ask, Finder>>,
    checker: Option<Worker<Revised<Reading>, Checked>>,
    asked: Option<(u64, u64, Vec<u32>, bool, bool)>,
    checked: u64,
    found: Option<Checked>,
    finder_pt: f32,
    floor_area: Option<egui::Rect>,
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
            shelf: sketch::Shelf::default(),
            finders,
            checker,
            asked: None,
            checked: 0,
            found: None,
            finder_pt: 360.0,
            floor_area: None,
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

    /// Whether something is being worked out, so that the loop should look again soon.
    pub fn is_busy(&self) -> bool {
        self.view.plays.is_some()
            || self.now_s - self.changed_s < CALM_S * 2.0
            || self.shelf.is_busy()
            || self.finders.as_ref().is_some_and(Worker::is_busy)
            || self.checker.as_ref().is_some_and(Worker::is_busy)
    }

    /// Whether all that was asked for is there.
    pub fn is_settled(&self) -> bool {
        !self.is_busy() && self.asked.as_ref().is_none_or(|asked| asked.3) && self.checked == self.document.revision()
    }

    /// Where the floor was last drawn, points.
    pub fn floor_area(&self) -> Option<egui::Rect> {
        self.floor_area
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
        self.catch_up_sketch(ui.ctx());
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
        let Self { document, view, shown, live, held, kept, said, shelf, .. } = self;
        let said = if self.now_s - said.1 < SAID_S { said.0.as_str() } else { "" };
        Panel::top("head").show(ui, |ui| {
            ui.add_space(style::STEP);
            head::show(ui, document, view, wishes);
            ui.add_space(style::STEP);
        });
        if let Some(shown) = shown.as_ref() {
            Panel::bottom("run").show(ui, |ui| {
                ui.add_space(style::STEP);
                run::show(ui, document, shown, view, wishes);
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
        let ground = egui::Frame::NONE.fill(view.theme.palette().panel);
        CentralPanel::no_frame().frame(ground).show(ui, |ui| match (shown.as_ref(), view.enlarged) {
            (Some(shown), Some(crew)) if crew.0 < live.len() => {
                self.finder_pt = ui.available_width();
                finders::compared(ui, shown, view, crew, &live[crew.0], held.as_ref(), wishes);
            }
            (Some(shown), _) => {
                self.floor_area = Some(ui.available_rect_before_wrap());
                floor::show(ui, document, shown, view, shelf.texture(), said, wishes);
            }
            (None, _) => {
                ui.centered_and_justified(|ui| {
                    ui.label("This text doesn’t read as a plan yet. What is wrong stands on the left.")
                });
            }
        });
        sheets::show(ui, view, shown.as_ref(), kept, &document.name(), wishes);
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
                let bodies = shown.as_mut().map(|it| std::mem::take(&mut it.bodies)).unwrap_or_default();
                let mut new = Shown::new(reading, revision, self.view.at_s, pt_per_m, bodies);
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
        let question = (revision, self.view.at_s.to_bits(), sizes, calm, self.view.checked);
        if self.asked.as_ref() != Some(&question) {
            let (_, _, long_px, floor, checked) = question.clone();
            if let Some(finders) = &self.finders {
                finders.ask(Ask { reading: reading.clone(), revision, at_s: self.view.at_s, long_px, floor, checked });
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
}
