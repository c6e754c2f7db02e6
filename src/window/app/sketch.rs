//! The sketch that is drawn over: laid down, read, shown; and ways drawn on the floor.

use super::App;
use crate::plan::edit::{Way, number_value, spot_value, text_value};
use crate::plan::{PersonIx, Sketch};
use crate::staging::{Run, moment_at};
use crate::window::sketch::{FIRST_WIDTH_M, file_of, name_in, read, value};
use crate::window::view::{Kind, Selected, Sheet, Tool};
use crate::window::wish::{Change, Wish};
use crate::window::workers::Worker;
use egui::{ColorImage, TextureHandle, TextureOptions};
use glam::Vec2;
use std::path::{Path, PathBuf};

type Read = (PathBuf, Result<ColorImage, String>);

/// The picture of the sketch, as far as it is there.
#[derive(Default)]
pub(super) struct Shelf {
    reader: Option<Worker<PathBuf, Read>>,
    /// Asked for last.
    file: Option<PathBuf>,
    texture: Option<TextureHandle>,
}

impl Shelf {
    pub fn is_busy(&self) -> bool {
        self.reader.as_ref().is_some_and(Worker::is_busy)
    }

    pub fn texture(&self) -> Option<&TextureHandle> {
        self.texture.as_ref()
    }
}

impl App {
    /// Reads the plan's sketch if it is another one, and takes what was read.
    pub(super) fn catch_up_sketch(&mut self, ctx: &egui::Context) {
        let named = self.document.plan().and_then(|plan| plan.venue.sketch.as_ref());
        let file = named.map(|sketch| file_of(self.document.path.as_deref(), &sketch.picture));
        if file != self.shelf.file {
            (self.shelf.file, self.shelf.texture) = (file.clone(), None);
            if let Some(file) = file {
                let wakes = ctx.clone();
                let reader = self.shelf.reader.take().or_else(|| {
                    Worker::new(
                        "sketch",
                        move || wakes.request_repaint(),
                        || {
                            |file: PathBuf, tell: &dyn Fn(Read)| {
                                let picture = read(&file);
                                tell((file, picture));
                            }
                        },
                    )
                });
                if let Some(reader) = &reader {
                    reader.ask(file);
                }
                self.shelf.reader = reader;
            }
        }
        for (file, picture) in self.shelf.reader.as_ref().map(Worker::answers).unwrap_or_default() {
            if self.shelf.file.as_ref() != Some(&file) {
                continue;
            }
            match picture {
                Ok(picture) => {
                    self.shelf.texture = Some(ctx.load_texture("sketch", picture, TextureOptions::LINEAR));
                }
                Err(why) => self.say(format!("The sketch {} can’t be shown: {why}", file.display())),
            }
        }
    }

    /// Lays a picture down where the floor is looked at; as it lay, if there was one.
    pub(super) fn lay_sketch(&mut self, picture: &Path) {
        let Some(plan) = self.document.plan() else { return };
        let name = name_in(self.document.path.as_deref(), picture);
        let new =
            Sketch { picture: name.clone(), centre: self.view.floor.centre, width_m: FIRST_WIDTH_M, heading: 0.0 };
        let sketch = match &plan.venue.sketch {
            Some(now) => Sketch { picture: name, ..now.clone() },
            None => new,
        };
        let change = Change::Set(Way::new().field("venue").field("sketch"), value(&sketch, plan.units));
        self.edit("Sketch of the floor", None, &change);
        self.view.sheet = Sheet::Nothing;
        self.view.layers.sketch = true;
        self.say("Now its scale: click two spots whose distance you know");
        self.view.tool = Tool::Scale { from: None };
    }

    /// A cue from a way drawn: whoever is chosen walks it from this instant on; who isn't there yet comes in at its first spot.
    pub(super) fn walk(&mut self, spots: &[Vec2]) {
        self.view.tool = Tool::Hand;
        let (Some(plan), Some(Selected { kind: Kind::Person, number })) = (self.document.plan(), self.view.selected)
        else {
            return;
        };
        let (Some(person), Some(moment)) = (plan.people.get(number), moment_at(plan, self.view.at_s)) else { return };
        let is_there = Run::new(plan).spot(PersonIx(number).0, self.view.at_s).is_some();
        let (from, rest) = match spots {
            [first, rest @ ..] if !is_there && !rest.is_empty() => (Some(first), rest),
            all => (None, all),
        };
        let Some((last, by)) = rest.split_last() else { return };
        let spot = |spot: &Vec2| spot_value(*spot, plan.units);
        let after_s = self.view.at_s - plan.moments[moment].start_s;
        let mut cue = format!("(who: {}", text_value(&person.id));
        if after_s > 0.05 {
            cue += &format!(", after: {}", number_value(after_s, 1));
        }
        if let Some(from) = from {
            cue += &format!(", from: {}", spot(from));
        }
        if !by.is_empty() {
            cue += &format!(", by: [{}]", by.iter().map(spot).collect::<Vec<_>>().join(", "));
        }
        cue += &format!(", at: {})", spot(last));
        let list = Selected::new(Kind::Moment, moment).way().field("cues");
        let label = format!("Way of {}", person.id);
        self.fulfil(Wish::Edit { label, stroke: None, change: Change::Add(list, cue) });
    }
}
