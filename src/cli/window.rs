//! `standpoint window`: the program that people sit in front of.

use super::draw::{Subject, open_drawer};
use super::frames::Choice;
use super::{Failure, Voice};
use crate::picture::{Prepared, picture_size};
use crate::window::{self, Draw, Folders};
use clap::Args;
use std::env;
use std::path::PathBuf;

/// Open the window: plan it, look through every camera, fix it
#[derive(Debug, Args)]
pub struct Window {
    /// Plan file; none begins with a small one
    plan: Option<PathBuf>,
}

impl Window {
    pub fn run(&self, _: Voice) -> Result<(), Failure> {
        if let Some(plan) = self.plan.as_deref().filter(|plan| !plan.exists()) {
            return Err(Failure::Wrong(format!(
                "there is no file {}; `standpoint new {0}` writes one to start from",
                plan.display()
            )));
        }
        if !has_screen() {
            return Err(Failure::Machine(
                "there is no screen to open a window on: neither DISPLAY nor WAYLAND_DISPLAY is set".to_owned(),
            ));
        }
        let quiet = Voice { quiet: true, look: super::Look::of_standard_error() };
        let draw = move || -> Draw {
            match open_drawer(Choice::Auto, quiet) {
                Ok(mut drawer) => Box::new(move |ready: &Prepared, long_px| {
                    let size = picture_size(ready.composed.camera.sensor_m, long_px);
                    drawer.draw(&Subject::of(ready), size, |_| ()).map_err(told)
                }),
                Err(failure) => {
                    let why = told(failure);
                    Box::new(move |_, _| Err(why.clone()))
                }
            }
        };
        window::open(folders()?, self.plan.clone(), draw).map_err(Failure::Machine)
    }
}

pub fn has_screen() -> bool {
    let has = |name: &str| env::var_os(name).is_some_and(|value| !value.is_empty());
    !cfg!(target_os = "linux") || has("DISPLAY") || has("WAYLAND_DISPLAY")
}

fn told(failure: Failure) -> String {
    match failure {
        Failure::Wrong(why) | Failure::Machine(why) => why,
        Failure::Lost => String::new(),
    }
}

/// The user's own folder for what programs remember.
fn folders() -> Result<Folders, Failure> {
    let set = |name: &str| env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    let home = || {
        set("HOME").map(|home| {
            home.join(if cfg!(target_os = "macos") { "Library/Application Support" } else { ".local/state" })
        })
    };
    let base = set("XDG_STATE_HOME").or_else(|| set("LOCALAPPDATA")).or_else(home);
    match base {
        Some(base) => Ok(Folders { state: base.join("standpoint") }),
        None => {
            Err(Failure::Machine("there is no folder to keep unsaved work in: set HOME or XDG_STATE_HOME".to_owned()))
        }
    }
}
