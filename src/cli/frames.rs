//! `standpoint frames`: every planned frame as its camera will see it.

use super::draw::{Drawer, Subject, open_drawer};
use super::strip::Sequence;
use super::{Failure, Voice, load_plan};
use crate::picture::{
    ExifFacts, FrameLabel, FrameRecord, FramesFile, PictureError, Prepared, RecordedPicture, exif_block, frame_record,
    jpeg_bytes, picture_size, png_bytes, prepare_in, with_guides,
};
use crate::plan::{Frame, Plan, save_bytes};
use crate::staging::Run;
use clap::{Args, ValueEnum};
use image::RgbImage;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// Quality of JPEG files, 1..=100: no blocks to be seen, about 400 kB for the default size.
const JPEG_QUALITY: u8 = 92;

/// Long side of planned frames where none is asked for.
const USUAL_PX: u32 = 1500;

/// Draw the planned frames as their cameras will see them, or the sequence of a moment
#[derive(Debug, Args)]
pub struct Frames {
    /// Plan to draw
    plan: PathBuf,
    /// Folder for the pictures and their record
    #[arg(long, value_name = "DIR", default_value = "frames")]
    out: PathBuf,
    /// Only these frames
    #[arg(long, value_name = "ID,…", value_delimiter = ',')]
    only: Vec<String>,
    /// Long side of the pictures in pixels; 1500 if left out, 360 with --every, 480 with --above
    #[arg(long, value_name = "PX", value_parser = clap::value_parser!(u32).range(64..=16_384))]
    width: Option<u32>,
    /// What draws the pictures
    #[arg(long, value_name = "WHAT", default_value = "auto")]
    drawn_by: Choice,
    /// Kind of picture file
    #[arg(long = "as", value_name = "KIND", default_value = "jpg")]
    kind: Kind,
    /// Also draw a copy with thirds, print crops and a label
    #[arg(long)]
    guides: bool,
    #[command(flatten)]
    sequence: Sequence,
}

/// Where files go, and which.
#[derive(Debug, Clone, Copy)]
pub struct Output<'a> {
    pub folder: &'a Path,
    pub kind: Kind,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum Choice {
    /// The best there is on this machine
    Auto,
    /// The graphics engine
    Engine,
    /// The built-in tracer: no graphics driver needed, slower
    Tracer,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Kind {
    Jpg,
    Png,
}

/// Where the time went.
#[derive(Debug, Default)]
struct Clock {
    start: Duration,
    first: Duration,
    others: Duration,
    writing: Duration,
}

impl Frames {
    pub fn run(&self, voice: Voice) -> Result<(), Failure> {
        let loaded = load_plan(&self.plan, voice)?;
        let plan = &loaded.plan;
        let output = Output { folder: &self.out, kind: self.kind };
        if self.sequence.is_wanted() {
            let width_px = self.width.unwrap_or(self.sequence.usual_px());
            return self.sequence.run(plan, &self.plan, output, width_px, self.drawn_by, voice);
        }
        let width_px = self.width.unwrap_or(USUAL_PX);
        let prepared = self.prepared(plan)?;
        if prepared.is_empty() {
            return Err(Failure::Wrong(format!(
                "{} plans no frames; add some under `frames: [...]` and try again",
                self.plan.display()
            )));
        }

        let began = Instant::now();
        let mut clock = Clock::default();
        let mut drawer = open_drawer(self.drawn_by, voice)?;
        clock.start = began.elapsed();
        output.make_folder()?;

        let bar = progress_bar(prepared.len(), voice);
        let mut records = Vec::new();
        for (number, ready) in prepared.iter().enumerate() {
            bar.set_message(ready.frame.id.clone());
            let drawing = Instant::now();
            let size = picture_size(ready.composed.camera.sensor_m, width_px);
            let picture = drawer.draw(&Subject::of(ready), size, |share| show_share(&bar, &ready.frame.id, share))?;
            *(if number == 0 { &mut clock.first } else { &mut clock.others }) += drawing.elapsed();
            let writing = Instant::now();
            records.push(self.write(plan, ready, &picture, &drawer, output)?);
            clock.writing += writing.elapsed();
            for remark in ready.remarks() {
                bar.suspend(|| voice.say(format_args!("{}: {remark}", ready.frame.id)));
            }
            bar.inc(1);
        }
        bar.finish_and_clear();
        output.write_record("frames.json", &self.plan, records)?;
        voice.say(format_args!("{}", summary(prepared.len(), &clock, &drawer, &self.out)));
        Ok(())
    }

    /// All wanted frames, ready to draw; nothing is written if one can't be.
    fn prepared<'a>(&self, plan: &'a Plan) -> Result<Vec<Prepared<'a>>, Failure> {
        let wanted = wanted_frames(plan, &self.only, &self.plan)?;
        let known: Vec<&str> = plan.frames.iter().map(|frame| frame.id.as_str()).collect();
        if let Some(taken) =
            self.guides.then(|| known.iter().find(|id| known.contains(&guides_name(id).as_str()))).flatten()
        {
            return Err(Failure::Wrong(format!(
                "--guides: the copy of `{taken}` would be called `{0}`, and a frame of {1} has that id; give it another\n\
                 nothing was written",
                guides_name(taken),
                self.plan.display()
            )));
        }
        let run = Run::new(plan);
        let (ready, failed): (Vec<_>, Vec<_>) =
            wanted.into_iter().map(|frame| prepare_in(&run, frame)).partition(Result::is_ok);
        if failed.is_empty() {
            return Ok(ready.into_iter().filter_map(Result::ok).collect());
        }
        let messages: Vec<String> = failed.into_iter().filter_map(Result::err).map(|error| error.to_string()).collect();
        Err(Failure::Wrong(format!("{}\nnothing was written", messages.join("\n"))))
    }

    /// Writes the picture, and its copy with guides if wanted.
    fn write(
        &self,
        plan: &Plan,
        ready: &Prepared,
        picture: &RgbImage,
        drawer: &Drawer,
        output: Output,
    ) -> Result<FrameRecord, Failure> {
        let frame = ready.frame;
        let camera = &ready.composed.camera;
        let file = output.save(&frame.id, picture, exif_of(plan, ready))?;
        if self.guides {
            let marked = with_guides(picture, &FrameLabel::of(plan, frame, camera));
            output.save(&guides_name(&frame.id), &marked, exif_of(plan, ready))?;
        }
        let recorded = RecordedPicture {
            file,
            width: picture.width(),
            height: picture.height(),
            drawn_by: drawer.drawn_by(),
            adapter: drawer.adapter().to_owned(),
            white_balance_kelvin: ready.metered.white.kelvin,
            remarks: ready.remarks(),
        };
        Ok(frame_record(plan, frame, camera, recorded))
    }
}

/// What the camera would have written.
pub fn exif_of(plan: &Plan, ready: &Prepared) -> Result<Vec<u8>, PictureError> {
    let frame = ready.frame;
    let moment = &plan.moments[frame.moment.0];
    exif_block(&ExifFacts {
        description: &format!("{}: {}, {}", frame.id, moment.name, plan.title),
        photographer: &plan.crew[plan.photographer_of(frame).0].name,
        place: &plan.place,
        instant: &plan.instant(plan.at_s(frame)),
        lens: &plan.kit.lenses[frame.with.lens],
        camera: &ready.composed.camera,
        compensation_ev: frame.exposure.compensation_ev,
        metered: frame.exposure.iso.is_none(),
    })
}

impl Output<'_> {
    pub fn make_folder(self) -> Result<(), Failure> {
        std::fs::create_dir_all(self.folder)
            .map_err(|error| Failure::Machine(format!("{} can't be made: {error}", self.folder.display())))
    }

    /// Writes a picture whole; returns the file's name.
    pub fn save(self, name: &str, picture: &RgbImage, exif: Result<Vec<u8>, PictureError>) -> Result<String, Failure> {
        let (file, bytes) = match self.kind {
            Kind::Jpg => (format!("{name}.jpg"), exif.and_then(|exif| jpeg_bytes(picture, JPEG_QUALITY, exif))),
            Kind::Png => (format!("{name}.png"), exif.and_then(|exif| png_bytes(picture, exif))),
        };
        let path = self.folder.join(&file);
        let bytes = bytes.map_err(|error| Failure::Machine(format!("{}: {error}", path.display())))?;
        save_bytes(&path, &bytes)
            .map_err(|error| Failure::Machine(format!("{} can't be written: {error}", path.display())))?;
        Ok(file)
    }

    pub fn write_record(self, file: &str, plan: &Path, records: Vec<FrameRecord>) -> Result<(), Failure> {
        let plan = plan.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        let path = self.folder.join(file);
        let failed =
            |error: &dyn std::fmt::Display| Failure::Machine(format!("{} can't be written: {error}", path.display()));
        let mut text = serde_json::to_string_pretty(&FramesFile::new(plan, records)).map_err(|error| failed(&error))?;
        text.push('\n');
        save_bytes(&path, text.as_bytes()).map_err(|error| failed(&error))
    }
}

/// Name of the copy with guides, without its ending.
fn guides_name(id: &str) -> String {
    format!("{id}-guides")
}

/// The frames of a plan that `only` names, all if it names none, in the plan's order.
///
/// # Errors
/// It names one that isn't there.
pub fn wanted_frames<'a>(plan: &'a Plan, only: &[String], path: &Path) -> Result<Vec<&'a Frame>, Failure> {
    let known: Vec<&str> = plan.frames.iter().map(|frame| frame.id.as_str()).collect();
    if let Some(unknown) = only.iter().find(|id| !id.is_empty() && !known.contains(&id.as_str())) {
        return Err(Failure::Wrong(unknown_frame(unknown, &known, path)));
    }
    Ok(plan.frames.iter().filter(|frame| only.is_empty() || only.contains(&frame.id)).collect())
}

fn unknown_frame(wanted: &str, known: &[&str], plan: &Path) -> String {
    let nearest = known
        .iter()
        .map(|id| (strsim::damerau_levenshtein(wanted, id), id))
        .min()
        .filter(|(distance, _)| *distance <= wanted.len().div_ceil(2))
        .map_or(String::new(), |(_, id)| format!("; did you mean `{id}`?"));
    format!(
        "--only: there is no frame `{wanted}` in {}{nearest}\nframes: {}\nnothing was written",
        plan.display(),
        known.join(", ")
    )
}

/// Tells how much of one frame is done.
pub fn show_share(bar: &ProgressBar, frame: &str, share: f32) {
    bar.set_message(if share < 1.0 { format!("{frame} {:.0} %", share * 100.0) } else { frame.to_owned() });
}

/// On a terminal only.
pub fn progress_bar(frames: usize, voice: Voice) -> ProgressBar {
    let target = if voice.quiet { ProgressDrawTarget::hidden() } else { ProgressDrawTarget::stderr() };
    let style = ProgressStyle::with_template("{bar:30} {pos}/{len}  {msg}  {eta} left")
        .unwrap_or_else(|_| ProgressStyle::default_bar());
    ProgressBar::with_draw_target(Some(frames as u64), target).with_style(style)
}

fn summary(frames: usize, clock: &Clock, drawer: &Drawer, out: &Path) -> String {
    let each = match frames {
        1 => String::new(),
        _ => format!(", then {:.2} s a frame", clock.others.as_secs_f64() / (frames - 1) as f64),
    };
    format!(
        "{frames} {} in {} by {}: start {:.1} s, first frame {:.1} s{each}, writing {:.1} s",
        if frames == 1 { "frame" } else { "frames" },
        out.display(),
        drawer.name(),
        clock.start.as_secs_f64(),
        clock.first.as_secs_f64(),
        clock.writing.as_secs_f64(),
    )
}
