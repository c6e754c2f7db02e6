//! When the pictures of a sequence are, and which planned frames fall there.

use super::Eye;
use crate::cli::instant::{length, read_seconds, unknown_moment};
use crate::plan::{MomentIx, Plan};
use crate::staging::moment_at;

/// Most pictures of a sequence: ten minutes second by second.
const MOST_PICTURES: usize = 600;
/// Shortest and longest time from one picture to the next, seconds.
const SHORTEST_S: f64 = 0.1;
const LONGEST_S: f64 = 600.0;
/// A planned frame this near to a picture of the sequence is that picture.
const SAME_INSTANT_S: f64 = 0.05;

/// The options about time, as typed.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    pub every: &'a str,
    pub moment: Option<&'a str>,
    pub from: Option<&'a str>,
    pub to: Option<&'a str>,
}

/// When the pictures of a sequence are, and what they are called.
#[derive(Debug, Clone, PartialEq)]
pub struct Times {
    pub every_s: f64,
    /// Of the moment, or of the ceremony.
    pub start_s: f64,
    pub moment: Option<MomentIx>,
    /// Seconds after the start, to the millisecond.
    pub after_s: Vec<f64>,
}

impl Times {
    /// The instants, or what is wrong with the options.
    pub fn of(plan: &Plan, asked: &Asked) -> Result<Self, String> {
        let Asked { every, moment, from, to } = *asked;
        let every_s = read_seconds(every).ok_or_else(|| {
            format!("--every: `{every}` isn't a length of time; write seconds or text: 2, 0.5s, 1m30s")
        })?;
        if !(SHORTEST_S - 1e-9..=LONGEST_S + 1e-9).contains(&every_s) {
            return Err(format!("--every: `{every}` is out of range: from 0.1 s to 10 minutes"));
        }
        let moment = match moment {
            Some(id) => {
                let found = plan.moments.iter().position(|moment| moment.id == id);
                Some(MomentIx(found.ok_or_else(|| format!("--moment: {}", unknown_moment(plan, id)))?))
            }
            None => None,
        };
        let (what, start_s, length_s) = match moment.and_then(|ix| plan.moments.get(ix.0)) {
            Some(moment) => (format!("`{}`", moment.id), moment.start_s, moment.length_s),
            None => ("the ceremony".to_owned(), 0.0, plan.length_s()),
        };
        let bound = |option: &str, text: Option<&str>, else_s: f64| match text {
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
        let (from_s, to_s) = (bound("--from", from, 0.0)?, bound("--to", to, length_s)?);
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
        Ok(Self { every_s, start_s, moment, after_s })
    }

    pub fn name<'a>(&self, plan: &'a Plan) -> &'a str {
        self.moment.map_or("ceremony", |moment| &plan.moments[moment.0].id)
    }

    /// Seconds into the ceremony.
    pub fn all_s(&self) -> impl Iterator<Item = f64> + '_ {
        self.after_s.iter().map(|after_s| self.start_s + after_s)
    }

    /// The moment that a picture is of, and seconds into it.
    pub fn in_moment(&self, plan: &Plan, number: usize) -> (MomentIx, f64) {
        let after_s = self.after_s[number];
        if let Some(moment) = self.moment {
            return (moment, after_s);
        }
        let moment = moment_at(plan, after_s).unwrap_or(0);
        (MomentIx(moment), after_s - plan.moments.get(moment).map_or(0.0, |moment| moment.start_s))
    }

    /// Places behind the point that tell all instants apart.
    pub fn decimals(&self) -> usize {
        let exact = |places: usize| {
            let unit = 10f64.powi(places as i32);
            self.after_s.iter().all(|after_s| ((after_s * unit).round() / unit - after_s).abs() < 1e-6)
        };
        (0..3).find(|places| exact(*places)).unwrap_or(3)
    }

    /// For a file's name: sorts by time.
    pub fn seconds(&self, number: usize) -> String {
        let decimals = self.decimals().max(1);
        let last_s = self.after_s.last().copied().unwrap_or(0.0);
        let digits = format!("{last_s:.0}").len().max(3);
        format!("{:0width$.decimals$}", self.after_s[number], width = digits + 1 + decimals)
    }
}

/// `01:05` or `01:05.50`.
pub fn minutes(seconds: f64, decimals: usize) -> String {
    let unit = 10u64.pow(decimals as u32);
    let all = (seconds * unit as f64).round().max(0.0) as u64;
    let (whole, part) = (all / unit, all % unit);
    let fraction = if decimals == 0 { String::new() } else { format!(".{part:0decimals$}") };
    format!("{:02}:{:02}{fraction}", whole / 60, whole % 60)
}

/// For each picture the planned frames that fall there: each at the picture nearest in time. With their own time where that
/// is another: into the moment, or of day where the sequence is of all moments.
pub fn planned_frames(plan: &Plan, times: &Times, eye: Eye) -> Vec<Vec<String>> {
    let mut planned = vec![vec![]; times.after_s.len()];
    for frame in &plan.frames {
        let other = match eye {
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
            // Of several at one time the last one says it.
            let own_time = format!(" {own_time}");
            if let Some(before) = planned[nearest].last_mut()
                && let Some(id) = before.strip_suffix(&own_time)
            {
                *before = id.to_owned();
            }
            planned[nearest].push(format!("{}{own_time}", frame.id));
        }
    }
    planned
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{STARTER, read};

    fn asked<'a>(every: &'a str, moment: Option<&'a str>) -> Asked<'a> {
        Asked { every, moment, from: None, to: None }
    }

    /// Names of the plan's second moment made 5 s long.
    fn names(asked: Asked) -> Vec<String> {
        let mut plan = read(STARTER).expect("the starter is valid");
        plan.moments[1].id = "kiss".into();
        plan.moments[1].length_s = 5.0;
        let times = Times::of(&plan, &asked).unwrap_or_else(|message| panic!("{message}"));
        assert_eq!(times.start_s, plan.moments[1].start_s);
        (0..times.after_s.len()).map(|number| times.seconds(number)).collect()
    }

    #[test]
    fn five_seconds_every_two_are_three_pictures() {
        assert_eq!(names(asked("2s", Some("kiss"))), ["000.0", "002.0", "004.0"]);
    }

    /// The end belongs to it, however the interval is written.
    #[test]
    fn the_last_is_at_or_before_the_end() {
        assert_eq!(names(asked("2.5", Some("kiss"))), ["000.0", "002.5", "005.0"]);
        assert_eq!(names(asked("1m", Some("kiss"))), ["000.0"]);
        let tenths = names(asked("0.1", Some("kiss")));
        assert_eq!((tenths.len(), tenths[3].as_str(), tenths[50].as_str()), (51, "000.3", "005.0"));
        assert_eq!(names(asked("1.25", Some("kiss")))[1], "001.25");
    }

    #[test]
    fn a_stretch_counts_from_the_moments_start() {
        let stretch = Asked { from: Some("1.5"), to: Some("4"), ..asked("1", Some("kiss")) };
        assert_eq!(names(stretch), ["001.5", "002.5", "003.5"]);
    }

    #[test]
    fn names_sort_as_time_goes() {
        let mut plan = read(STARTER).expect("the starter is valid");
        plan.moments[0].length_s = 1200.0;
        plan.moments.truncate(1);
        let times = Times::of(&plan, &asked("100", None)).expect("times");
        let names: Vec<String> = (0..times.after_s.len()).map(|number| times.seconds(number)).collect();
        assert!(names.is_sorted(), "{names:?}");
        assert_eq!((names[1].as_str(), names.len(), times.name(&plan)), ("0100.0", 13, "ceremony"));
    }

    /// The kiss runs from 0 to 5 s; pictures are at 0, 2 and 4 s.
    #[test]
    fn planned_frames_fall_on_the_nearest_picture() {
        let mut plan = read(include_str!("../../../tests/fixtures/whole.ron")).expect("the fixture is valid");
        let kiss = plan.frames[1].clone();
        let taken = |id: &str, after_s: f64| crate::plan::Frame { id: id.into(), after_s, ..kiss.clone() };
        plan.frames.extend([taken("a", 2.0), taken("b", 3.2), taken("c", 3.2), taken("d", 4.0), taken("e", 5.0)]);
        plan.frames.retain(|frame| frame.id != "kiss-half");
        let times = Times::of(&plan, &asked("2s", Some("kiss"))).expect("times");
        let lead = planned_frames(&plan, &times, Eye::Finder(crate::plan::PhotographerIx(0)));
        let expected: [&[&str]; 3] = [&[], &["a"], &["b", "c 00:03.2", "d", "e 00:05"]];
        assert_eq!(lead, expected);
        assert_eq!(planned_frames(&plan, &times, Eye::Above), expected, "the vows' frame is in another moment");
        let second = planned_frames(&plan, &times, Eye::Finder(crate::plan::PhotographerIx(1)));
        assert!(second.iter().all(Vec::is_empty), "{second:?}");
    }

    #[test]
    fn minutes_carry() {
        assert_eq!(minutes(59.96, 1), "01:00.0");
        assert_eq!([minutes(65.0, 0), minutes(65.5, 1), minutes(0.25, 2)], ["01:05", "01:05.5", "00:00.25"]);
        assert_eq!(minutes(6000.0, 0), "100:00");
    }
}
