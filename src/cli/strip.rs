//! `standpoint frames --every`: what a camera sees every so often, as single pictures and on one contact strip.

use super::draw::{Drawer, Subject, open_drawer};
use super::frames::{Choice, Output, exif_of, progress_bar};
use super::instant::{length, read_seconds, unknown_moment};
use super::{Failure, Voice};
use crate::picture::{
    Cell, DrawnBy, FrameRecord, InTheFinder, Overview, RecordedPicture, Seen, Title, brief_exif_block, frame_record,
    in_the_finder, lay_out, overview_record, paint, picture_in_strip, picture_size, prepare_in,
};
use crate::plan::{MomentIx, PhotographerIx, Plan};
use crate::staging::{Run, moment_at};
use clap::Args;
use image::RgbImage;
use std::collections::BTreeSet;
use std::path::Path;
use std::time::Instant;

/// Most pictures of a sequence: ten minutes second by second.
const MOST_PICTURES: usize = 600;
/// Shortest and longest time from one picture to the next, seconds.
const SHORTEST_S: f64 = 0.1;
const LONGEST_S: f64 = 600.0;
/// A planned frame this near to a picture of the sequence is that picture.
const SAME_INSTANT_S: f64 = 0.05;

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

/// When the pictures of a sequence are, and what they are called.
#[derive(Debug, Clone, PartialEq)]
struct Times {
    every_s: f64,
    /// Of the moment, or of the ceremony.
    start_s: f64,
    moment: Option<MomentIx>,
    /// Seconds after the start, to the millisecond.
    after_s: Vec<f64>,
}

/// From where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Eye {
    Finder(PhotographerIx),
    Above,
}

/// One instant of the sequence, as far as it can be told before drawing.
struct Drawn {
    cell: Cell,
    record: Option<FrameRecord>,
    /// Small, for the strip.
    picture: Option<RgbImage>,
    lens: Option<usize>,
}

impl Sequence {
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
        let times = self.times(plan).map_err(wrong)?;
        let from = self.seen_from(plan).map_err(wrong)?;
        let run = Run::new(plan);
        let planned = planned_frames(plan, &times, from);
        if let Eye::Finder(photographer) = from
            && times.all_s().all(|at_s| !matches!(in_the_finder(&run, photographer, at_s), InTheFinder::Frame(_)))
        {
            return Err(wrong(format!(
                "--photographer: `{}` is at no standpoint in this stretch of {}, so there is nothing to draw",
                plan.crew[photographer.0].id,
                times.moment.map_or("the ceremony".to_owned(), |moment| format!("`{}`", plan.moments[moment.0].id)),
            )));
        }

        let began = Instant::now();
        let mut drawer = open_drawer(drawn_by)?;
        output.make_folder()?;
        let prefix = format!("{}-{}", times.name(plan), from.name(plan));
        let overview = (from == Eye::Above).then(|| Overview::new(&run, &times.all_s().collect::<Vec<_>>()));
        let bar = progress_bar(times.after_s.len(), voice);
        let mut drawn = vec![];
        let mut cautioned = false;
        for number in 0..times.after_s.len() {
            let id = format!("{prefix}-{}", times.seconds(number));
            bar.set_message(id.clone());
            let one = Picture { plan, run: &run, times: &times, number, id: &id, width_px, output };
            let (mut done, caution) = match (&overview, from) {
                (Some(overview), _) => (one.from_above(overview, &mut drawer)?, None),
                (None, Eye::Finder(photographer)) => one.from_finder(photographer, &mut drawer)?,
                (None, Eye::Above) => continue,
            };
            if let Some(caution) = caution.filter(|_| !std::mem::replace(&mut cautioned, true)) {
                bar.suspend(|| voice.say(format_args!("{id}: {caution}")));
            }
            done.cell.planned = planned[number].join(", ");
            drawn.push(done);
            bar.inc(1);
        }
        bar.finish_and_clear();

        let title = title(plan, &times, from, &drawn);
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
            "{count} {} and {strip} in {} by the engine on {}: {:.1} s",
            if count == 1 { "picture" } else { "pictures" },
            output.folder.display(),
            drawer.adapter(),
            began.elapsed().as_secs_f64(),
        ));
        Ok(())
    }

    /// The instants, or what is wrong with the options.
    fn times(&self, plan: &Plan) -> Result<Times, String> {
        let every = self.every.as_deref().unwrap_or_default();
        let every_s = read_seconds(every).ok_or_else(|| {
            format!("--every: `{every}` isn't a length of time; write seconds or text: 2, 0.5s, 1m30s")
        })?;
        if !(SHORTEST_S - 1e-9..=LONGEST_S + 1e-9).contains(&every_s) {
            return Err(format!("--every: `{every}` is out of range: from 0.1 s to 10 minutes"));
        }
        let moment = match &self.moment {
            Some(id) => {
                let found = plan.moments.iter().position(|moment| moment.id == *id);
                Some(MomentIx(found.ok_or_else(|| format!("--moment: {}", unknown_moment(plan, id)))?))
            }
            None => None,
        };
        let (what, start_s, length_s) = match moment.and_then(|ix| plan.moments.get(ix.0)) {
            Some(moment) => (format!("`{}`", moment.id), moment.start_s, moment.length_s),
            None => ("the ceremony".to_owned(), 0.0, plan.length_s()),
        };
        let bound = |option: &str, text: &Option<String>, else_s: f64| match text {
            None => Ok(else_s),
            Some(text) => {
                let seconds = read_seconds(text).ok_or_else(|| {
                    format!("{option}: `{text}` isn't a length of time; write seconds or text: 12, 1m30s")
                })?;
                if seconds > length_s {
                    return Err(format!("{option}: {what} has ended by `{text}`: it is {} long", length(length_s)));
                }
                Ok(seconds)
            }
        };
        let (from_s, to_s) = (bound("--from", &self.from, 0.0)?, bound("--to", &self.to, length_s)?);
        if from_s > to_s {
            return Err(format!("--from and --to: {} is after {}", length(from_s), length(to_s)));
        }
        let count = ((to_s - from_s) / every_s + 1e-6).floor() as usize + 1;
        if count > MOST_PICTURES {
            let enough_s = ((to_s - from_s) / (MOST_PICTURES - 1) as f64 * 10.0).ceil() / 10.0;
            return Err(format!(
                "--every: that would be {count} pictures, and {MOST_PICTURES} is the most; \
                 write --every {enough_s} or longer, or a shorter stretch with --moment, --from and --to"
            ));
        }
        let thousandths = |seconds: f64| (seconds * 1000.0).round() / 1000.0;
        let after_s = (0..count).map(|k| thousandths(from_s + k as f64 * every_s)).collect();
        Ok(Times { every_s, start_s, moment, after_s })
    }

    fn seen_from(&self, plan: &Plan) -> Result<Eye, String> {
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

impl Times {
    fn name<'a>(&self, plan: &'a Plan) -> &'a str {
        self.moment.map_or("ceremony", |moment| &plan.moments[moment.0].id)
    }

    /// Seconds into the ceremony.
    fn all_s(&self) -> impl Iterator<Item = f64> + '_ {
        self.after_s.iter().map(|after_s| self.start_s + after_s)
    }

    /// The moment that a picture is of, and seconds into it.
    fn in_moment(&self, plan: &Plan, number: usize) -> (MomentIx, f64) {
        let after_s = self.after_s[number];
        if let Some(moment) = self.moment {
            return (moment, after_s);
        }
        let moment = moment_at(plan, after_s).unwrap_or(0);
        (MomentIx(moment), after_s - plan.moments.get(moment).map_or(0.0, |moment| moment.start_s))
    }

    /// Places behind the point that tell all instants apart.
    fn decimals(&self) -> usize {
        let exact = |places: usize| {
            let unit = 10f64.powi(places as i32);
            self.after_s.iter().all(|after_s| ((after_s * unit).round() / unit - after_s).abs() < 1e-6)
        };
        (0..3).find(|places| exact(*places)).unwrap_or(3)
    }

    /// For a file's name: sorts by time.
    fn seconds(&self, number: usize) -> String {
        let decimals = self.decimals().max(1);
        let last_s = self.after_s.last().copied().unwrap_or(0.0);
        let digits = format!("{last_s:.0}").len().max(3);
        format!("{:0width$.decimals$}", self.after_s[number], width = digits + 1 + decimals)
    }
}

/// `01:05` or `01:05.50`.
fn minutes(seconds: f64, decimals: usize) -> String {
    let unit = 10u64.pow(decimals as u32);
    let all = (seconds * unit as f64).round().max(0.0) as u64;
    let (whole, part) = (all / unit, all % unit);
    let fraction = if decimals == 0 { String::new() } else { format!(".{part:0decimals$}") };
    format!("{:02}:{:02}{fraction}", whole / 60, whole % 60)
}

/// For each picture the planned frames that fall there: each at the picture nearest in time. With their own time where that
/// is another: into the moment, or of day where the sequence is of all moments.
fn planned_frames(plan: &Plan, times: &Times, from: Eye) -> Vec<Vec<String>> {
    let mut planned = vec![vec![]; times.after_s.len()];
    for frame in &plan.frames {
        let other = match from {
            Eye::Finder(photographer) => plan.photographer_of(frame) != photographer,
            Eye::Above => false,
        };
        if other || times.moment.is_some_and(|moment| moment != frame.moment) {
            continue;
        }
        let at_s = plan.at_s(frame);
        let away = |number: &usize| (times.start_s + times.after_s[*number] - at_s).abs();
        let Some(nearest) = (0..times.after_s.len()).min_by(|a, b| away(a).total_cmp(&away(b))) else { continue };
        let off_s = away(&nearest);
        if off_s <= SAME_INSTANT_S {
            planned[nearest].push(frame.id.clone());
        } else if off_s <= times.every_s * 0.5 + 1e-6 {
            let own_time = match times.moment {
                Some(_) => minutes(frame.after_s, usize::from(frame.after_s.fract() > 1e-6)),
                None => plan.instant(at_s).strftime("%H:%M:%S").to_string(),
            };
            planned[nearest].push(format!("{} {own_time}", frame.id));
        }
    }
    planned
}

/// One picture of a sequence on its way.
struct Picture<'a> {
    plan: &'a Plan,
    run: &'a Run<'a>,
    times: &'a Times,
    number: usize,
    id: &'a str,
    width_px: u32,
    output: Output<'a>,
}

impl Picture<'_> {
    fn at_s(&self) -> f64 {
        self.times.start_s + self.times.after_s[self.number]
    }

    fn cell(&self, seen: Seen, focal_m: Option<f64>) -> Cell {
        let decimals = self.times.decimals();
        let (moment, after_s) = self.times.in_moment(self.plan, self.number);
        let clock = self.plan.instant(self.at_s()).strftime("%H:%M:%S").to_string();
        let clock = if decimals == 0 {
            clock
        } else {
            let part = self.at_s().rem_euclid(1.0) + f64::from(self.plan.start.subsec_nanosecond()) * 1e-9;
            let fraction = format!("{:.decimals$}", part.rem_euclid(1.0));
            format!("{clock}{}", fraction.trim_start_matches('0'))
        };
        let mut after = minutes(after_s, decimals);
        if self.times.moment.is_none() {
            after = format!("{after}  {}", self.plan.moments[moment.0].name);
        }
        let note = focal_m.map_or(String::new(), |focal_m| format!("{:.0} mm", focal_m * 1000.0));
        Cell { after, clock, note, planned: String::new(), seen }
    }

    /// Through the finder; with the caution that belongs to it.
    fn from_finder(
        &self,
        photographer: PhotographerIx,
        drawer: &mut Drawer,
    ) -> Result<(Drawn, Option<String>), Failure> {
        let nothing =
            |why: String| Drawn { cell: self.cell(Seen::Nothing(why), None), record: None, picture: None, lens: None };
        let mut frame = match in_the_finder(self.run, photographer, self.at_s()) {
            InTheFinder::Frame(frame) => *frame,
            InTheFinder::Walks(to) => {
                return Ok((nothing(format!("walks to {}", self.plan.standpoints[to.0].id)), None));
            }
            InTheFinder::Away => return Ok((nothing("not at a standpoint".to_owned()), None)),
        };
        frame.id = self.id.to_owned();
        (frame.moment, frame.after_s) = self.times.in_moment(self.plan, self.number);
        let ready = prepare_in(self.run, &frame).map_err(|error| Failure::Wrong(error.to_string()))?;
        let camera = &ready.composed.camera;
        let size = picture_size(camera.sensor_m, self.width_px);
        let picture = drawer.draw(&Subject::of(self.plan, &ready), size)?;
        let file = self.output.save(self.id, &picture, exif_of(self.plan, &ready))?;
        let recorded = recorded(file, &picture, drawer, ready.remarks());
        let record = frame_record(self.plan, &frame, camera, recorded);
        let cell = self.cell(Seen::Picture(size), Some(camera.focal_m));
        Ok((self.drawn(cell, record, &picture, Some(frame.with.lens)), ready.sun.map(|sun| sun.to_string())))
    }

    fn from_above(&self, overview: &Overview, drawer: &mut Drawer) -> Result<Drawn, Failure> {
        let tableau = overview.tableau(self.run, self.at_s());
        let size = picture_size(overview.camera.sensor_m, self.width_px);
        let mut picture = drawer.draw(&Subject::from_above(overview, &tableau), size)?;
        overview.name_crew(self.run, &tableau, &mut picture);
        let (moment, _) = self.times.in_moment(self.plan, self.number);
        let moment = &self.plan.moments[moment.0];
        let description = format!("{}: {} from above, {}", self.id, moment.name, self.plan.title);
        let exif = brief_exif_block(&description, &self.plan.instant(self.at_s()));
        let file = self.output.save(self.id, &picture, exif)?;
        let recorded = recorded(file, &picture, drawer, vec![]);
        let record = overview_record(self.plan, self.id, &moment.id, self.at_s(), &overview.camera, recorded);
        Ok(self.drawn(self.cell(Seen::Picture(size), None), record, &picture, None))
    }

    fn drawn(&self, cell: Cell, record: FrameRecord, picture: &RgbImage, lens: Option<usize>) -> Drawn {
        let picture = picture_in_strip(picture, self.times.after_s.len());
        Drawn { cell, record: Some(record), picture: Some(picture), lens }
    }
}

fn recorded(file: String, picture: &RgbImage, drawer: &Drawer, remarks: Vec<String>) -> RecordedPicture {
    let (width, height) = picture.dimensions();
    RecordedPicture { file, width, height, drawn_by: DrawnBy::Engine, adapter: drawer.adapter().to_owned(), remarks }
}

/// The moment's name; below it who, with which lens at which focal lengths, and how often.
fn title(plan: &Plan, times: &Times, from: Eye, drawn: &[Drawn]) -> Title {
    let what = times.moment.map_or_else(|| plan.title.clone(), |moment| plan.moments[moment.0].name.clone());
    let mut parts = match from {
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
    use crate::plan::{STARTER, read};

    fn sequence(every: &str, moment: Option<&str>) -> Sequence {
        let own = |text: &str| text.to_owned();
        Sequence {
            every: Some(own(every)),
            moment: moment.map(own),
            photographer: None,
            above: true,
            from: None,
            to: None,
        }
    }

    /// Names of the plan's second moment made 5 s long.
    fn names(sequence: &Sequence) -> Vec<String> {
        let mut plan = read(STARTER).expect("the starter is valid");
        plan.moments[1].id = "kiss".into();
        plan.moments[1].length_s = 5.0;
        let times = sequence.times(&plan).unwrap_or_else(|message| panic!("{message}"));
        assert_eq!(times.start_s, plan.moments[1].start_s);
        (0..times.after_s.len()).map(|number| times.seconds(number)).collect()
    }

    #[test]
    fn five_seconds_every_two_are_three_pictures() {
        assert_eq!(names(&sequence("2s", Some("kiss"))), ["000.0", "002.0", "004.0"]);
    }

    /// The end belongs to it, however the interval is written.
    #[test]
    fn the_last_is_at_or_before_the_end() {
        assert_eq!(names(&sequence("2.5", Some("kiss"))), ["000.0", "002.5", "005.0"]);
        assert_eq!(names(&sequence("1m", Some("kiss"))), ["000.0"]);
        let tenths = names(&sequence("0.1", Some("kiss")));
        assert_eq!((tenths.len(), tenths[3].as_str(), tenths[50].as_str()), (51, "000.3", "005.0"));
        assert_eq!(names(&sequence("1.25", Some("kiss")))[1], "001.25");
    }

    #[test]
    fn a_stretch_counts_from_the_moments_start() {
        let stretch = Sequence { from: Some("1.5".into()), to: Some("4".into()), ..sequence("1", Some("kiss")) };
        assert_eq!(names(&stretch), ["001.5", "002.5", "003.5"]);
    }

    #[test]
    fn names_sort_as_time_goes() {
        let mut plan = read(STARTER).expect("the starter is valid");
        plan.moments[0].length_s = 1200.0;
        plan.moments.truncate(1);
        let times = sequence("100", None).times(&plan).expect("times");
        let names: Vec<String> = (0..times.after_s.len()).map(|number| times.seconds(number)).collect();
        assert!(names.is_sorted(), "{names:?}");
        assert_eq!((names[1].as_str(), names.len(), times.name(&plan)), ("0100.0", 13, "ceremony"));
    }

    #[test]
    fn minutes_carry() {
        assert_eq!(minutes(59.96, 1), "01:00.0");
        assert_eq!([minutes(65.0, 0), minutes(65.5, 1), minutes(0.25, 2)], ["01:05", "01:05.5", "00:00.25"]);
        assert_eq!(minutes(6000.0, 0), "100:00");
    }

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
