//! `standpoint tableau`: everyone and everything at an instant, as a file for other 3D programs.

use super::instant::{instant_at_s, instant_of};
use super::{Failure, Voice, load_plan};
use crate::handout::{PlannedCamera, glb};
use crate::picture::{Prepared, prepare_in};
use crate::plan::{Frame, Plan, save_bytes};
use crate::staging::Run;
use clap::Args;
use std::io::ErrorKind;
use std::path::PathBuf;

/// Frames this near to the instant travel along: nobody moves visibly in that time.
const SAME_INSTANT_S: f64 = 0.05;

/// Write everyone and everything at an instant as glTF 2.0 binary, with the planned cameras
#[derive(Debug, Args)]
pub struct Tableau {
    /// Plan to stage
    plan: PathBuf,
    /// When: MOMENT is its start, MOMENT+SECONDS later, +SECONDS counts from the start of the ceremony
    #[arg(long, value_name = "INSTANT")]
    at: String,
    /// File to write; an existing one is replaced
    #[arg(long, value_name = "FILE.glb")]
    out: PathBuf,
}

impl Tableau {
    pub fn run(&self, voice: Voice) -> Result<(), Failure> {
        let out = self.out.display();
        // A slip of the hand must not replace the plan.
        if !self.out.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("glb")) {
            return Err(Failure::Wrong(format!("--out: {out} doesn't end in .glb\nnothing was written")));
        }
        if self.out.is_dir() {
            return Err(Failure::Wrong(format!("--out: {out} is a folder; name a file in it\nnothing was written")));
        }
        let loaded = load_plan(&self.plan, voice)?;
        let plan = &loaded.plan;
        let at_s = instant_at_s(plan, &self.at)
            .map_err(|message| Failure::Wrong(format!("--at: {message}\nnothing was written")))?;

        let run = Run::new(plan);
        let tableau = run.tableau(at_s);
        let ready = prepared(&run, at_s, voice);
        let cameras: Vec<PlannedCamera> =
            ready.iter().map(|one| PlannedCamera { frame: &one.frame.id, camera: one.composed.camera }).collect();
        save_bytes(&self.out, &glb(plan, &tableau, &cameras)).map_err(|error| match error.kind() {
            ErrorKind::NotFound => Failure::Wrong(format!(
                "{out} can't be written: there is no such folder; make it first, or choose another"
            )),
            _ => Failure::Machine(format!("{out} can't be written: {error}")),
        })?;
        let solids = count(tableau.solids.len(), "solid", "solids");
        let people = count(tableau.figures.len(), "person", "people");
        voice.say(format_args!("wrote {out}: {solids}, {people}, {}", along(plan, at_s, &ready)));
        Ok(())
    }
}

/// The frames of that instant, pointed; says which can't be.
fn prepared<'a>(run: &Run<'a>, at_s: f64, voice: Voice) -> Vec<Prepared<'a>> {
    let plan = run.plan;
    let pointed = |frame| match prepare_in(run, frame) {
        Ok(ready) => Some(ready),
        Err(error) => {
            voice.say(format_args!("left out: {error}"));
            None
        }
    };
    plan.frames.iter().filter(|frame| is_then(plan.at_s(frame) - at_s)).filter_map(pointed).collect()
}

fn is_then(from_now_s: f64) -> bool {
    from_now_s.abs() <= SAME_INSTANT_S
}

/// The cameras, or where some would be.
fn along(plan: &Plan, at_s: f64, ready: &[Prepared]) -> String {
    if !ready.is_empty() {
        let ids: Vec<&str> = ready.iter().map(|one| one.frame.id.as_str()).collect();
        return format!("{} {}", if ids.len() == 1 { "camera" } else { "cameras" }, ids.join(", "));
    }
    if plan.frames.iter().any(|frame| is_then(plan.at_s(frame) - at_s)) {
        return "no camera".to_owned();
    }
    let nearest: Vec<String> = nearest_frames(plan, at_s)
        .into_iter()
        .map(|frame| format!("{} at `{}`", frame.id, instant_of(plan, frame)))
        .collect();
    match nearest.as_slice() {
        [] => "no camera: the plan has no frames".to_owned(),
        [one] => format!("no camera, since no frame is taken then; the nearest is {one}"),
        all => format!("no camera, since no frame is taken then; the nearest are {}", all.join(", ")),
    }
}

/// The last frames before an instant and the first after it, in order of time.
fn nearest_frames(plan: &Plan, at_s: f64) -> Vec<&Frame> {
    let from_now_s = |frame: &Frame| plan.at_s(frame) - at_s;
    let all_s = || plan.frames.iter().map(from_now_s);
    let last_s = all_s().filter(|s| *s < 0.0).fold(f64::NEG_INFINITY, f64::max);
    let next_s = all_s().filter(|s| *s > 0.0).fold(f64::INFINITY, f64::min);
    let at = |s: f64| plan.frames.iter().filter(move |frame| is_then(from_now_s(frame) - s));
    at(last_s).chain(at(next_s)).collect()
}

fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}
