//! What panels wish for, done.

use super::App;
use crate::plan::{DEMOS, STARTER};
use crate::window::commands::Command;
use crate::window::document::Document;
use crate::window::make;
use crate::window::view::{Kind, Selected, Sheet, Tab, Tool, View};
use crate::window::wish::{Change, Wish};

impl App {
    pub(super) fn fulfil_all(&mut self, wishes: &mut Vec<Wish>) {
        for wish in std::mem::take(wishes) {
            self.fulfil(wish);
        }
    }

    pub(super) fn say(&mut self, text: impl Into<String>) {
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
            Wish::Sketch(path) => self.lay_sketch(&path),
            Wish::Walk(spots) => self.walk(&spots),
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

    pub(super) fn edit(&mut self, label: &str, stroke: Option<crate::window::Stroke>, change: &Change) {
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

    pub(super) fn take(&mut self, document: Document) {
        let kept = View { theme: self.view.theme, scale: self.view.scale, ..View::default() };
        self.document = document.follows(&self.document);
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

    pub(super) fn go_to_frame(&mut self, number: usize) {
        let Some(plan) = self.document.plan() else { return };
        let Some(frame) = plan.frames.get(number) else { return };
        self.view.at_s = plan.at_s(frame);
        self.view.plays = None;
        self.view.selected = Some(Selected::new(Kind::Frame, number));
    }

    pub(super) fn place(&mut self, kind: Kind, spot: glam::Vec2) {
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
}
