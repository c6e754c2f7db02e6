//! `standpoint new`: a plan to start from.

use super::{Failure, Voice};
use crate::plan::{self, DEMOS};
use clap::Args;
use clap::builder::PossibleValuesParser;
use std::io::ErrorKind;
use std::path::PathBuf;

/// Write a small plan with comments, to change into yours
#[derive(Debug, Args)]
pub struct New {
    /// File to write, such as smith.ron; an existing one is never overwritten
    file: PathBuf,
    /// Start from one of the plans that come with the program
    #[arg(long, value_name = "DEMO", value_parser = PossibleValuesParser::new(DEMOS.iter().map(|(name, _)| *name)))]
    from: Option<String>,
}

impl New {
    pub fn run(&self, voice: Voice) -> Result<(), Failure> {
        let wanted = self.from.as_deref();
        let text = DEMOS.iter().find(|(name, _)| Some(*name) == wanted).map_or(plan::STARTER, |(_, text)| text);
        let file = self.file.display();
        plan::save_new_text(&self.file, text).map_err(|error| match error.kind() {
            ErrorKind::AlreadyExists => Failure::Wrong(format!(
                "{file} exists already and was left as it is; choose another name, or move it away"
            )),
            ErrorKind::NotFound => Failure::Wrong(format!(
                "{file} can't be written: there is no such folder; make it first, or choose another"
            )),
            _ => Failure::Machine(format!("{file} can't be written: {error}")),
        })?;
        voice.say(format_args!("wrote {file}: open it in any text editor; `standpoint frames {file}` draws it"));
        Ok(())
    }
}
