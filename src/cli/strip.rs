//! `standpoint frames --every`: what a camera sees every so often, as single pictures and on one contact strip.

mod one;
mod times;

use self::one::{Drawn, Picture};
use self::times::{Asked, Times, planned_frames};
use super::draw::open_drawer;
use super::frames::{Choice, Output, progress_bar};
use super::{Failure, Voice};
use crate::picture::{
    Cell, FrameRecord, InTheFinder, Overview, Title, brief_exif_block, in_the_finder, lay_out, paint,
};
use crate::plan::{PhotographerIx, Plan};
use crate::staging::Run;
use clap::Args;
use image::RgbImage;
use std::collections::BTreeSet;
use std::path::Path;
use std::time::Instant;

/// Options of a sequence.
#[derive(Debug, Args)]
pub struct Sequence {
    /// Not the planned frames: what a camera sees every so often, such as 2s, and a contact strip of it all
    #[arg(long, value_name = "TIME", conflicts_with_all = ["only", "guides"], requires = "seen_from")]
    every: Option<String>,
    /// The moment of the sequence; all of the ceremony if left out
    #[arg(long, value_name = "ID", requires = "every")]
    moment: Option<String>,
    /// Whose camera: it stays on the frame they work on then, and follows its people
    #[arg(long, value_name = "ID", requires = "every", group = "seen_from")]
    photographer: Option<String>,
    /// From high up instead, roofs and tree crowns taken off, for who is where
    #[arg(long, requires = "every", group = "seen_from")]
    above: bool,
    /// Where in the moment to begin
    #[arg(long, value_name = "TIME", requires = "every")]
    from: Option<String>,
    /// Where in the moment to end
    #[arg(long, value_name = "TIME", requires = "every")]
    to: Option<String>,
}

/// Whose eye sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Eye {
    Finder(PhotographerIx),
    Above,
}

/// The same, ready to look.
enum View {
    Finder(PhotographerIx),
    Above(Box<Overview>),
}

impl Sequence {
    /// Long side of its pictures where none is asked for. From above people are small.
    pub fn usual_px(&self) -> u32 {
        if self.above { 480 } else { 360 }
    }

    pub fn is_wanted(&self) -> bool {
        self.every.is_some()
    }

    pub fn run(
        &self,
        plan: &Plan,
        path: &Path,
        output: Output,
        width_px: u32,
        drawn_by: Choice,
        voice: Voice,
    ) -> Result<(), Failure> {
        let wrong = |message: String| Failure::Wrong(format!("{message}\nnothing was written"));
        let asked = Asked {
            every: self.every.as_deref().unwrap_or_default(),
            moment: self.moment.as_deref(),
            from: self.from.as_deref(),
            to: self.to.as_deref(),
        };
        let times = Times::of(plan, &asked).map_err(wrong)?;
        let eye = self.eye(plan).map_err(wrong)?;
        let run = Run::new(plan);
        let planned = planned_frames(plan, &times, eye);
        if let Eye::Finder(photographer) = eye
            && times.all_s().all(|at_s| !matches!(in_the_finder(&run, photographer, at_s), InTheFinder::Frame(_)))
        {
            return Err(wrong(format!(
                "--photographer: `{}` is at no standpoint in this stretch of {}, so there is nothing to draw",
                plan.crew[photographer.0].id,
                times.moment.map_or("the ceremony".to_owned(), |moment| format!("`{}`", plan.moments[moment.0].id)),
            )));
        }

        let began = Instant::now();
        let mut drawer = open_drawer(drawn_by, voice)?;
        output.make_folder()?;
        let prefix = format!("{}-{}", times.name(plan), eye.name(plan));
        let view = match eye {
            Eye::Finder(photographer) => View::Finder(photographer),
            Eye::Above => View::Above(Box::new(Overview::new(&run, &times.all_s().collect::<Vec<_>>()))),
        };
        let bar = progress_bar(times.after_s.len(), voice);
        let mut drawn = vec![];
        let mut cautioned = false;
        for (number, planned) in planned.iter().enumerate() {
            let id = format!("{prefix}-{}", times.seconds(number));
            bar.set_message(id.clone());
            let one = Picture { plan, run: &run, times: &times, number, id: &id, width_px, output };
            let (mut done, caution) = match &view {
                View::Finder(photographer) => one.through_finder(*photographer, &mut drawer)?,
                View::Above(overview) => (one.looking_down(overview, &mut drawer)?, None),
            };
            if let Some(caution) = caution.filter(|_| !std::mem::replace(&mut cautioned, true)) {
                bar.suspend(|| voice.say(format_args!("{id}: {caution}")));
            }
            done.cell.planned = planned.join(", ");
            drawn.push(done);
            bar.inc(1);
        }
        bar.finish_and_clear();

        let title = title(plan, &times, eye, &drawn);
        let (cells, pictures): (Vec<Cell>, Vec<Option<RgbImage>>) =
            drawn.iter_mut().map(|one| (one.cell.clone(), one.picture.take())).unzip();
        let sheet = paint(&lay_out(&title, &cells), pictures.iter().flatten());
        let description = format!("{}, {}", title.what, plan.title);
        let first = plan.instant(times.all_s().next().unwrap_or(0.0));
        let strip = output.save(&format!("{prefix}-strip"), &sheet, brief_exif_block(&description, &first))?;
        let records: Vec<FrameRecord> = drawn.into_iter().filter_map(|one| one.record).collect();
        let count = records.len();
        output.write_record(&format!("{prefix}-strip.json"), path, records)?;
        voice.say(format_args!(
            "{count} {} and {strip} in {} by {}: {:.1} s",
            if count == 1 { "picture" } else { "pictures" },
            output.folder.display(),
            drawer.name(),
            began.elapsed().as_secs_f64(),
        ));
        Ok(())
    }

    fn eye(&self, plan: &Plan) -> Result<Eye, String> {
        let Some(id) = &self.photographer else { return Ok(Eye::Above) };
        if let Some(found) = plan.crew.iter().position(|person| person.id == *id) {
            return Ok(Eye::Finder(PhotographerIx(found)));
        }
        let ids: Vec<&str> = plan.crew.iter().map(|person| person.id.as_str()).collect();
        let distance = |known: &&&str| strsim::damerau_levenshtein(id, known);
        let nearest = ids.iter().min_by_key(distance).filter(|known| distance(known) <= id.chars().count().div_ceil(2));
        let hint = nearest.map_or(String::new(), |known| format!("; did you mean `{known}`?"));
        Err(format!("--photographer: there is no photographer `{id}`{hint}\nphotographers: {}", ids.join(", ")))
    }
}

impl Eye {
    fn name(self, plan: &Plan) -> &str {
        match self {
            Eye::Finder(photographer) => &plan.crew[photographer.0].id,
            Eye::Above => "above",
        }
    }
}

/// The moment's name; below it who, with which lens at which focal lengths, and how often.
fn title(plan: &Plan, times: &Times, eye: Eye, drawn: &[Drawn]) -> Title {
    let what = times.moment.map_or_else(|| plan.title.clone(), |moment| plan.moments[moment.0].name.clone());
    let mut parts = match eye {
        Eye::Above => vec!["from above".to_owned()],
        Eye::Finder(photographer) => {
            let person = &plan.crew[photographer.0];
            let lenses: BTreeSet<usize> = drawn.iter().filter_map(|one| one.lens).collect();
            let focal = |lens: usize| {
                let used = drawn.iter().filter(|one| one.lens == Some(lens)).filter_map(|one| one.record.as_ref());
                let used: BTreeSet<u32> = used.map(|record| record.focal_mm.round().max(0.0) as u32).collect();
                lens_text(plan.kit.lenses[lens].focal_m, used.first().copied(), used.last().copied())
            };
            let mut parts = vec![format!("{}, {}", person.name, person.role)];
            parts.extend(lenses.into_iter().map(focal));
            parts
        }
    };
    let start = plan.instant(times.all_s().next().unwrap_or(0.0));
    parts.push(format!("every {} from {}", interval(times.every_s), start.strftime("%-d %B %Y, %H:%M:%S")));
    Title { what, how: parts.join("  ·  ") }
}

/// `2 s`, `1 min 30 s`.
fn interval(seconds: f64) -> String {
    let (whole, rest) = ((seconds / 60.0 + 1e-9).floor(), (seconds % 60.0 * 1000.0).round() / 1000.0);
    match (whole as u32, rest) {
        (0, rest) => format!("{rest} s"),
        (minutes, 0.0) => format!("{minutes} min"),
        (minutes, rest) => format!("{minutes} min {rest} s"),
    }
}

/// `70–200 mm at 85–135 mm`; a prime says it once.
fn lens_text(focal_m: [f64; 2], least_mm: Option<u32>, most_mm: Option<u32>) -> String {
    let [short_mm, long_mm] = focal_m.map(|focal_m| (focal_m * 1000.0).round() as u32);
    let range = |a: u32, b: u32| if a == b { format!("{a} mm") } else { format!("{a}–{b} mm") };
    match (least_mm, most_mm) {
        (Some(least), Some(most)) if short_mm != long_mm => {
            format!("{} at {}", range(short_mm, long_mm), range(least, most))
        }
        _ => range(short_mm, long_mm),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn intervals_are_short() {
        assert_eq!([2.0, 0.5, 60.0, 90.0, 600.0].map(interval), ["2 s", "0.5 s", "1 min", "1 min 30 s", "10 min"]);
    }

    #[test]
    fn a_lens_says_what_it_was_set_to() {
        assert_eq!(lens_text([0.070, 0.200], Some(85), Some(135)), "70–200 mm at 85–135 mm");
        assert_eq!(lens_text([0.070, 0.200], Some(85), Some(85)), "70–200 mm at 85 mm");
        assert_eq!(lens_text([0.035, 0.035], Some(35), Some(35)), "35 mm");
    }
}
