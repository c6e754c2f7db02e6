//! `standpoint sight`: what each planned frame sees, as JSON for scripts and other programs.

use super::frames::{progress_bar, wanted_frames};
use super::{Failure, Voice, load_plan};
use crate::daylight::daylight_at;
use crate::optics::compose;
use crate::picture::picture_size;
use crate::plan::{Frame, Plan};
use crate::sight::{FrameSeen, frame_seen};
use crate::staging::Run;
use clap::Args;
use rayon::prelude::*;
use serde::Serialize;
use std::path::PathBuf;

/// What points a camera doesn't depend on the light; any will do.
const ANY_LUX: f64 = 1000.0;

/// Count what each planned frame sees, as JSON
#[derive(Debug, Args)]
pub struct Sight {
    /// Plan to look at
    plan: PathBuf,
    /// Only these frames
    #[arg(long, value_name = "ID,…", value_delimiter = ',')]
    only: Vec<String>,
    /// Long side of the pictures whose pixels are counted
    #[arg(long, value_name = "PX", default_value = "960", value_parser = clap::value_parser!(u32).range(64..=4096))]
    width: u32,
}

/// What is written.
#[derive(Debug, Serialize)]
struct SightFile {
    format: u32,
    plan: String,
    frames: Vec<FrameSeen>,
}

impl Sight {
    pub fn run(&self, voice: Voice) -> Result<(), Failure> {
        let loaded = load_plan(&self.plan, voice)?;
        let plan = &loaded.plan;
        let frames = wanted_frames(plan, &self.only, &self.plan)?;
        let run = Run::new(plan);
        let bar = progress_bar(frames.len(), voice);
        let seen: Vec<Result<FrameSeen, Failure>> = frames
            .par_iter()
            .map(|frame| {
                let seen = self.look(&run, plan, frame);
                bar.inc(1);
                seen
            })
            .collect();
        bar.finish_and_clear();
        let frames = seen.into_iter().collect::<Result<Vec<_>, _>>()?;
        for frame in frames.iter().filter(|frame| !frame.camera_inside.is_empty()) {
            voice.say(format_args!(
                "{}: the camera is inside {}: no such picture can be taken; move the standpoint or its height",
                frame.id,
                frame.camera_inside.join(", ")
            ));
        }
        let plan = self.plan.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        let text = serde_json::to_string_pretty(&SightFile { format: 1, plan, frames })
            .map_err(|error| Failure::Machine(error.to_string()))?;
        println!("{text}");
        Ok(())
    }

    fn look(&self, run: &Run, plan: &Plan, frame: &Frame) -> Result<FrameSeen, Failure> {
        let at_s = plan.at_s(frame);
        let tableau = run.tableau(at_s);
        let composed = compose(plan, frame, &tableau, ANY_LUX).map_err(|error| Failure::Wrong(error.to_string()))?;
        let daylight = daylight_at(&plan.place, plan.sky, &plan.instant(at_s));
        let size = picture_size(composed.camera.sensor_m, self.width);
        Ok(frame_seen(plan, frame, &tableau, &composed.camera, &daylight, size))
    }
}
