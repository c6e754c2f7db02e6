//! `standpoint guests`: whose view of the couple the crew takes, and how long, as JSON and as a picture from above.

use super::frames::progress_bar;
use super::instant::{instant_at_s, instant_text, length, read_seconds, unknown_moment};
use super::{Failure, Voice, load_plan};
use crate::picture::{TopView, Views, brief_exif_block, jpeg_bytes, png_bytes, top_view};
use crate::plan::{Plan, save_bytes};
use crate::sight::{GuestsSeen, Stretch, ViewsLost, guests_seen, views_lost};
use crate::staging::{Run, couple};
use clap::Args;
use serde::Serialize;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// How near to each other and how far apart instants may be looked at, seconds.
const EVERY_S: std::ops::RangeInclusive<f64> = 0.1..=600.0;

const JPEG_QUALITY: u8 = 90;

/// Count whose view of the couple the crew takes, and how long, as JSON
#[derive(Debug, Args)]
pub struct Guests {
    /// Plan to look at
    plan: PathBuf,
    /// Only this instant: MOMENT is its start, MOMENT+SECONDS later, +SECONDS counts from the start; the whole ceremony if left out
    #[arg(long, value_name = "INSTANT", conflicts_with_all = ["moment", "every"])]
    at: Option<String>,
    /// Only this moment
    #[arg(long, value_name = "ID")]
    moment: Option<String>,
    /// How often to look: 2, 0.5s or 1m
    #[arg(long, value_name = "TIME", default_value = "1")]
    every: String,
    /// Also draw it from above; an existing file is replaced
    #[arg(long, value_name = "FILE.png|FILE.jpg")]
    picture: Option<PathBuf>,
    /// Width of the picture in pixels
    #[arg(long, value_name = "PX", default_value = "1600", requires = "picture", value_parser = clap::value_parser!(u32).range(400..=6000))]
    width: u32,
}

/// What is written of an instant.
#[derive(Debug, Serialize)]
struct InstantFile {
    format: u32,
    plan: String,
    instant: String,
    #[serde(flatten)]
    seen: GuestsSeen,
}

/// What is written of a stretch.
#[derive(Debug, Serialize)]
struct StretchFile {
    format: u32,
    plan: String,
    from: String,
    to: String,
    couple: Vec<String>,
    #[serde(flatten)]
    lost: ViewsLost,
}

impl Guests {
    pub fn run(&self, voice: Voice) -> Result<(), Failure> {
        let picture = self.picture.as_deref().map(PictureFile::asked).transpose()?;
        let loaded = load_plan(&self.plan, voice)?;
        let plan = &loaded.plan;
        let run = Run::new(plan);
        let name = file_name(&self.plan);
        if let Some(at) = &self.at {
            let at_s = instant_at_s(plan, at).map_err(|message| Failure::Wrong(format!("--at: {message}")))?;
            let seen = guests_seen(plan, &run.tableau(at_s));
            say_seen(plan, &seen, voice);
            if let Some(file) = picture {
                let subtitle = format!("{}, {}", instant_text(plan, at_s), plan.title);
                file.draw(
                    &run,
                    at_s,
                    &self.view(Views::At(&seen), &title(plan, "sees", |id| seen.couple.contains(id)), &subtitle),
                    voice,
                )?;
            }
            return print(&InstantFile { format: 1, plan: name, instant: plan.instant(at_s).to_string(), seen });
        }
        let stretch = self.stretch(plan)?;
        let looks = ((stretch.to_s - stretch.from_s) / stretch.every_s).ceil() as usize;
        let bar = progress_bar(looks, voice);
        let lost = views_lost(&run, stretch, || bar.inc(1));
        bar.finish_and_clear();
        say_lost(plan, &lost, voice);
        if let Some(file) = picture {
            let at_s = lost.worst_instant.as_ref().map_or(stretch.from_s, |worst| worst.at_s);
            let subtitle = self.stretch_in_words(plan, &lost, at_s);
            file.draw(
                &run,
                at_s,
                &self.view(Views::Over(&lost), &title(plan, "loses sight of", |_| true), &subtitle),
                voice,
            )?;
        }
        let [from, to] = [stretch.from_s, stretch.to_s].map(|at_s| plan.instant(at_s).to_string());
        print(&StretchFile { format: 1, plan: name, from, to, couple: couple_ids(plan), lost })
    }

    fn view<'a>(&self, views: Views<'a>, title: &'a str, subtitle: &'a str) -> TopView<'a> {
        TopView { views, title, subtitle, width_px: self.width }
    }

    fn stretch_in_words(&self, plan: &Plan, lost: &ViewsLost, at_s: f64) -> String {
        let moment = plan.moments.iter().find(|moment| Some(&moment.id) == self.moment.as_ref());
        let what = moment.map_or("the whole ceremony", |moment| moment.name.as_str());
        let Stretch { from_s, to_s, every_s } = lost.stretch;
        let long = length(to_s - from_s);
        format!("{what}, {long}, every {every_s} s; people as at {}", instant_text(plan, at_s))
    }

    fn stretch(&self, plan: &Plan) -> Result<Stretch, Failure> {
        let every_s = read_seconds(&self.every).filter(|every_s| EVERY_S.contains(every_s)).ok_or_else(|| {
            let (least, most) = (EVERY_S.start(), EVERY_S.end() / 60.0);
            Failure::Wrong(format!("--every: `{}` isn't a time from {least} s to {most} minutes; try `1`", self.every))
        })?;
        let (from_s, to_s) = match &self.moment {
            None => (plan.moments.first().map_or(0.0, |moment| moment.start_s), plan.length_s()),
            Some(id) => {
                let moment = plan.moments.iter().find(|moment| moment.id == *id);
                let moment = moment.ok_or_else(|| Failure::Wrong(format!("--moment: {}", unknown_moment(plan, id))))?;
                (moment.start_s, moment.start_s + moment.length_s)
            }
        };
        Ok(Stretch { from_s, to_s, every_s })
    }
}

/// A picture to be written.
struct PictureFile<'a> {
    path: &'a Path,
    png: bool,
}

impl<'a> PictureFile<'a> {
    /// Checks its name before any work is done: a slip of the hand must not replace the plan.
    fn asked(path: &'a Path) -> Result<Self, Failure> {
        let shown = path.display();
        let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
        let png = match ending.as_deref() {
            Some("png") => true,
            Some("jpg" | "jpeg") => false,
            _ => {
                return Err(Failure::Wrong(format!(
                    "--picture: {shown} ends in neither .png nor .jpg; name the file with one of them\nnothing was written"
                )));
            }
        };
        if path.is_dir() {
            return Err(Failure::Wrong(format!(
                "--picture: {shown} is a folder; name a file in it\nnothing was written"
            )));
        }
        Ok(Self { path, png })
    }

    fn draw(&self, run: &Run, at_s: f64, view: &TopView, voice: Voice) -> Result<(), Failure> {
        let shown = self.path.display();
        let picture = top_view(run, at_s, view);
        let exif = brief_exif_block(view.title, &run.plan.instant(at_s));
        let encoded = exif.and_then(|exif| match self.png {
            true => png_bytes(&picture, exif),
            false => jpeg_bytes(&picture, JPEG_QUALITY, exif),
        });
        let bytes = encoded.map_err(|error| Failure::Machine(format!("{shown} can't be written: {error}")))?;
        save_bytes(self.path, &bytes).map_err(|error| match error.kind() {
            ErrorKind::NotFound => Failure::Wrong(format!(
                "{shown} can't be written: there is no such folder; make it first, or choose another"
            )),
            _ => Failure::Machine(format!("{shown} can't be written: {error}")),
        })?;
        voice.say(format_args!("wrote {shown}: {} × {} pixels", picture.width(), picture.height()));
        Ok(())
    }
}

/// `Who sees Noor and Ilan`.
fn title(plan: &Plan, does: &str, is_there: impl Fn(&String) -> bool) -> String {
    let people = couple(plan).into_iter().map(|ix| &plan.people[ix.0]).filter(|person| is_there(&person.id));
    let names: Vec<&str> = people.map(|person| person.name.as_str()).collect();
    match names.join(" and ") {
        nobody if nobody.is_empty() => format!("Who {does} the couple"),
        both => format!("Who {does} {both}"),
    }
}

fn file_name(path: &Path) -> String {
    path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}

fn couple_ids(plan: &Plan) -> Vec<String> {
    couple(plan).into_iter().map(|ix| plan.people[ix.0].id.clone()).collect()
}

fn print(what: &impl Serialize) -> Result<(), Failure> {
    let text = serde_json::to_string_pretty(what).map_err(|error| Failure::Machine(error.to_string()))?;
    println!("{text}");
    Ok(())
}

/// An instant in a few lines.
fn say_seen(plan: &Plan, seen: &GuestsSeen, voice: Voice) {
    let at = instant_text(plan, seen.at_s);
    let all = seen.guests.len();
    if all == 0 || seen.couple.is_empty() {
        let nobody = if all == 0 { "no guest is there" } else { "none of the couple is there" };
        return voice.say(format_args!("{at}: {nobody}"));
    }
    let of = seen.couple.join(" and ");
    let losing = seen.guests.iter().filter(|guest| guest.lost_share > 0.0).count();
    if losing == 0 {
        return voice.say(format_args!("{at}: the crew takes nothing of {of} from {}", guests_in_words(all)));
    }
    let views = seen.lost_views;
    let by = most_first(seen.by_photographer.iter(), |lost| format!("{lost:.1}"));
    voice.say(format_args!(
        "{at}: {losing} of {} lose sight of {of} to the crew, in part or wholly",
        guests_in_words(all)
    ));
    voice.say(format_args!("{views:.1} whole views in all: {by}"));
    let worst = seen.guests.iter().max_by(|a, b| a.lost_share.total_cmp(&b.lost_share));
    if let Some(worst) = worst {
        voice.say(format_args!("worst for {}: {:.0} % of their faces", worst.id, worst.lost_share * 100.0));
    }
}

/// A stretch in a few lines.
fn say_lost(plan: &Plan, lost: &ViewsLost, voice: Voice) {
    let guests = guests_in_words(lost.guests.len());
    if lost.lost_guest_s <= 0.0 {
        return voice.say(format_args!("the crew takes no view of the couple from {guests}"));
    }
    let by = most_first(lost.by_photographer.iter(), |lost_s| format!("{lost_s:.0}"));
    voice.say(format_args!("{guests} lose {:.0} guest-seconds of their view of the couple: {by}", lost.lost_guest_s));
    let places: Vec<String> = lost
        .by_standpoint
        .iter()
        .take(3)
        .map(|place| {
            let way = if place.walking { "on the way to " } else { "" };
            format!("{} {way}`{}` {:.0}", place.photographer, place.standpoint, place.lost_guest_s)
        })
        .collect();
    voice.say(format_args!("most from: {}", places.join(", ")));
    let moments = lost.by_moment.iter().map(|moment| (&moment.moment, &moment.lost_guest_s));
    voice.say(format_args!("by moment: {}", most_first(moments, |lost_s| format!("{lost_s:.0}"))));
    if let Some(worst) = lost.guests.first() {
        let much = lost.guests_losing_much;
        voice.say(format_args!(
            "worst for {}: {:.1} s; {much} {} more than a third of the view for 2 s or longer",
            worst.id,
            worst.lost_s,
            if much == 1 { "guest loses" } else { "guests lose" },
        ));
    }
    if let Some(worst) = &lost.worst_instant {
        let at = instant_text(plan, worst.at_s);
        voice.say(format_args!("worst instant: {at}, {:.1} whole views at once", worst.lost_views));
    }
}

/// The first few that lose anything worth a figure, most first.
fn most_first<'a>(losses: impl Iterator<Item = (&'a String, &'a f64)>, figure: impl Fn(f64) -> String) -> String {
    let mut losses: Vec<(&String, f64)> =
        losses.map(|(id, lost)| (id, *lost)).filter(|(_, lost)| *lost > 0.0).collect();
    losses.sort_by(|a, b| b.1.total_cmp(&a.1));
    let shown = losses.iter().take(4).map(|(id, lost)| (id, figure(*lost))).filter(|(_, figure)| figure != "0");
    shown.map(|(id, figure)| format!("{id} {figure}")).collect::<Vec<_>>().join(", ")
}

fn guests_in_words(count: usize) -> String {
    format!("{count} {}", if count == 1 { "guest" } else { "guests" })
}
