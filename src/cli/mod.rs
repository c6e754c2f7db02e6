//! The command line: parse, call, report.
//!
//! Results go to standard output, messages to standard error. Exit codes: 0 done, 1 done but a
//! picture is lost (only `findings --strict`), 2 the plan or the arguments are wrong
//! (nothing was written), 3 something on this machine is missing or failed.

mod draw;
mod findings;
mod frames;
mod guests;
mod instant;
mod new;
mod report;
mod sight;
mod strip;
mod tableau;
#[cfg(feature = "engine")]
mod window;

pub use report::{Look, problem_report};

use crate::plan::{self, LoadError, Loaded, Problem, ProblemKind, Problems, line_and_column};
use crate::staging::{Hitch, rehearse};
use clap::{Parser, Subcommand};
use instant::instant_text;
use std::ffi::OsString;
use std::path::Path;
use std::process::ExitCode;

/// Plan where two wedding photographers stand, and see every frame before the day.
#[derive(Debug, Parser)]
#[command(name = "standpoint", version, arg_required_else_help = true)]
struct Arguments {
    /// Say nothing but results and errors
    #[arg(long, short, global = true)]
    quiet: bool,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    New(new::New),
    Frames(frames::Frames),
    Sight(sight::Sight),
    Guests(guests::Guests),
    Findings(findings::Findings),
    Tableau(tableau::Tableau),
    #[cfg(feature = "engine")]
    Window(window::Window),
}

/// Why a command stopped; the text is ready to be shown.
#[derive(Debug)]
pub enum Failure {
    /// The plan or the arguments are wrong; nothing was written.
    Wrong(String),
    /// Something on this machine is missing or failed.
    Machine(String),
    /// All is done and told, and a picture is lost.
    Lost,
}

/// How to speak: what to leave out, and how messages look.
#[derive(Debug, Clone, Copy)]
pub struct Voice {
    pub quiet: bool,
    pub look: Look,
}

/// Runs the program on its arguments, the program's name first.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    #[cfg_attr(not(feature = "engine"), expect(unused_mut, reason = "there is no window to open"))]
    let mut arguments: Vec<OsString> = arguments.into_iter().collect();
    // Alone it opens the window, where there is a screen for one; else it says what it can do.
    #[cfg(feature = "engine")]
    if arguments.len() == 1 && window::has_screen() {
        arguments.push("window".into());
    }
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(error) => {
            let _ = error.print();
            return if error.use_stderr() { ExitCode::from(2) } else { ExitCode::SUCCESS };
        }
    };
    let voice = Voice { quiet: arguments.quiet, look: Look::of_standard_error() };
    let done = match arguments.command {
        None => Ok(()),
        Some(Command::New(command)) => command.run(voice),
        Some(Command::Frames(command)) => command.run(voice),
        Some(Command::Sight(command)) => command.run(voice),
        Some(Command::Guests(command)) => command.run(voice),
        Some(Command::Findings(command)) => command.run(voice),
        Some(Command::Tableau(command)) => command.run(voice),
        #[cfg(feature = "engine")]
        Some(Command::Window(command)) => command.run(voice),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(Failure::Wrong(message)) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
        Err(Failure::Lost) => ExitCode::from(1),
        Err(Failure::Machine(message)) => {
            eprintln!("{message}");
            ExitCode::from(3)
        }
    }
}

impl Voice {
    /// A message on the way.
    pub fn say(self, message: impl std::fmt::Display) {
        if !self.quiet {
            eprintln!("{message}");
        }
    }
}

/// Reads a plan and says what was changed on the way.
///
/// # Errors
/// All problems of the plan as one text, or why it can't be read.
pub fn load_plan(path: &Path, voice: Voice) -> Result<Loaded, Failure> {
    let name = path.file_name().map_or_else(|| path.to_string_lossy(), |name| name.to_string_lossy());
    let mut loaded = plan::load(path).map_err(|error| match error {
        LoadError::Wrong { problems, text } => Failure::Wrong(problem_report(&problems, &text, &name, voice.look)),
        LoadError::Unreadable { .. } if !path.exists() => Failure::Wrong(format!(
            "there is no file {}; `standpoint new {0}` writes one to start from",
            path.display()
        )),
        LoadError::Unreadable { .. } if path.is_dir() => {
            Failure::Wrong(format!("{} is a folder; name the plan file in it", path.display()))
        }
        LoadError::Unreadable { .. } => Failure::Machine(error.to_string()),
        LoadError::TooLarge { .. } | LoadError::NotText { .. } => Failure::Wrong(error.to_string()),
    })?;
    for remark in &loaded.remarks {
        voice.say(format_args!("{name}:{}:{}: {}", remark.line, remark.column, remark.message));
    }
    let (plan, hitches) = rehearse(loaded.plan);
    loaded.plan = plan;
    tell_hitches(&loaded, &hitches, &name, voice)?;
    Ok(loaded)
}

/// Says what won't go as planned; what is impossible stops the command.
fn tell_hitches(loaded: &Loaded, hitches: &[Hitch], name: &str, voice: Voice) -> Result<(), Failure> {
    let at = |hitch: &Hitch| instant_text(&loaded.plan, hitch.at_s);
    let impossible: Vec<Problem> = hitches
        .iter()
        .filter(|hitch| hitch.what.is_impossible())
        .map(|hitch| {
            let label = format!("found at {}", at(hitch));
            Problem::new(ProblemKind::Timing, hitch.written, hitch.what.to_string(), label, hitch.what.help())
        })
        .collect();
    if !impossible.is_empty() {
        let problems = Problems::new(impossible, &loaded.text);
        return Err(Failure::Wrong(problem_report(&problems, &loaded.text, name, voice.look)));
    }
    for hitch in hitches {
        let (line, column) = line_and_column(&loaded.text, hitch.written.start);
        let (at, what, help) = (at(hitch), &hitch.what, hitch.what.help());
        voice.say(format_args!("{name}:{line}:{column}: at {at} {what}\n    to do: {help}"));
    }
    Ok(())
}
