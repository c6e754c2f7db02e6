//! Commands, given.

use super::{App, Checked};
use crate::plan::PhotographerIx;
use crate::window::commands::Command;
use crate::window::document::Document;
use crate::window::panels::finders::HeldPicture;
use crate::window::panels::findings;
use crate::window::view::{Kind, Selected, Sheet, Tab, Then, Tool};
use crate::window::wish::{Change, Wish};
use crate::window::{make, style};
use std::path::Path;

impl App {
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
            Command::AddRoom => self.view.tool = Tool::Place(Kind::Room),
            Command::AddWall => self.view.tool = Tool::Place(Kind::Wall),
            Command::AddPlatform => self.view.tool = Tool::Place(Kind::Platform),
            Command::AddAisle => self.view.tool = Tool::Place(Kind::Aisle),
            Command::AddLamp => self.view.tool = Tool::Place(Kind::Lamp),
            Command::DrawWay => match self.view.selected {
                Some(Selected { kind: Kind::Person, .. }) => self.view.tool = Tool::Way { spots: vec![] },
                _ => self.say("Choose who walks first"),
            },
            Command::Picture => self.view.sheet = Sheet::Picture { folder: self.folder() },
            Command::MoveSketch => self.take_for_sketch(Tool::Sketch),
            Command::ScaleSketch => self.take_for_sketch(Tool::Scale { from: None }),
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
            Command::Sketch => self.view.layers.sketch ^= true,
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
            Command::Checked => self.view.checked ^= true,
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

    fn take_for_sketch(&mut self, tool: Tool) {
        match self.document.plan().is_some_and(|plan| plan.venue.sketch.is_some()) {
            true => (self.view.layers.sketch, self.view.tool) = (true, tool),
            false => self.say("There is no sketch yet: “Sketch of the floor …” lays one down"),
        }
    }

    /// Keeps the chosen photographer's picture beside the live one, or lets it go.
    pub(super) fn hold(&mut self) {
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

    pub(super) fn rescale(&mut self, factor: f32) {
        self.view.scale = (self.view.scale * factor).clamp(0.6, 2.5);
        self.kept.scale = self.view.scale;
        let _ = self.folders.keep(&self.kept);
    }

    pub(super) fn speed(&mut self, change: impl Fn(f64) -> f64) {
        let next = change(self.view.plays.unwrap_or(1.0));
        let nearest =
            [1.0, 4.0, 20.0].into_iter().min_by(|a: &f64, b| (a / next).ln().abs().total_cmp(&(b / next).ln().abs()));
        self.view.plays = nearest;
    }

    pub(super) fn change_selected(&mut self, change: fn(&Document, Selected) -> Option<(String, Change)>) {
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

    pub(super) fn step_frame(&mut self, on: bool) {
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

    pub(super) fn next_finding(&mut self) {
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
    pub(super) fn chosen_crew(&self) -> PhotographerIx {
        self.document.plan().map_or(PhotographerIx(0), |plan| make::crew_of(plan, &self.view))
    }
}
