//! When the ceremony starts, or a meter was read: a date-time with its zone, on the clocks of the place.

use super::context::{At, Checker};
use crate::plan::problem::ProblemKind;
use crate::plan::words::nearest;
use jiff::ZonedDateTime;
use jiff::civil::DateTime;
use jiff::tz::{AmbiguousOffset, TimeZone};

const EXAMPLE: &str =
    "write `start: \"2027-06-12T15:30[Europe/Lisbon]\"`: date, time, and the zone's city in square brackets";

impl Checker<'_> {
    pub fn start(&mut self, written: Option<&str>, top: At<'_>) -> ZonedDateTime {
        let never = ZonedDateTime::new(jiff::Timestamp::UNIX_EPOCH, TimeZone::UTC);
        match written {
            Some(text) => self.date_time(text, top.field("start"), "the start", EXAMPLE).unwrap_or(never),
            None => {
                self.missing(top, "start", "the plan doesn't say when the ceremony starts", EXAMPLE);
                never
            }
        }
    }

    /// A date-time with its zone; `what` is told of it, and `example` of how to write it.
    pub fn date_time(&mut self, text: &str, at: At<'_>, what: &str, example: &str) -> Option<ZonedDateTime> {
        let (when, zone) = match text.split_once('[') {
            Some((when, rest)) => (when.trim(), rest.trim_end().strip_suffix(']')),
            None => (text.trim(), None),
        };
        let Some(zone_name) = zone else {
            self.report(
                ProblemKind::WrongType,
                at.span(),
                format!("{what} doesn't say its time zone"),
                "`[Europe/Lisbon]` or the like was expected at its end",
                example,
            );
            return None;
        };
        let Ok(zone) = TimeZone::get(zone_name) else {
            let known: Vec<String> = jiff::tz::db().available().map(|name| name.to_string()).collect();
            // People write the city; zones are named continent/city.
            let by_city = known.iter().find(|name| {
                let city = name.rsplit('/').next().unwrap_or(name);
                city.eq_ignore_ascii_case(zone_name.rsplit('/').next().unwrap_or(zone_name).replace(' ', "_").as_str())
            });
            let meant = by_city.map(String::as_str).or_else(|| nearest(zone_name, known.iter().map(String::as_str)));
            let help = match meant {
                Some(meant) => {
                    format!("did you mean `{meant}`? Zones are named continent/city, such as `Europe/Lisbon`")
                }
                None => "zones are named continent/city, such as `Europe/Lisbon` or `America/New_York`".to_owned(),
            };
            self.report(
                ProblemKind::UnknownReference,
                at.span(),
                format!("there is no time zone `{zone_name}`"),
                "not a zone of the time zone database",
                help,
            );
            return None;
        };
        let Ok(civil) = when.parse::<DateTime>() else {
            self.report(
                ProblemKind::WrongType,
                at.span(),
                format!("`{when}` isn't a date with a time"),
                "year-month-dayThour:minute was expected",
                example,
            );
            return None;
        };
        if !when.contains(['T', 't', ' ']) {
            self.report(
                ProblemKind::WrongType,
                at.span(),
                format!("{what} has a date but no time"),
                "the hour was expected after the date",
                example,
            );
            return None;
        }
        if !(1970..=2200).contains(&civil.year()) {
            self.report(
                ProblemKind::OutOfRange,
                at.span(),
                format!("{what} is in the year {}", civil.year()),
                "1970 to 2200 was expected",
                example,
            );
            return None;
        }
        // An offset (+01:00) settles which of two equal clock times is meant.
        if let Ok(zoned) = text.parse::<ZonedDateTime>()
            && has_offset(when)
        {
            return Some(zoned);
        }
        if has_offset(when) {
            self.report(
                ProblemKind::Contradiction,
                at.span(),
                format!("the clocks of {zone_name} don't show that offset then"),
                "offset and zone disagree",
                "leave the offset out; the zone is enough",
            );
            return None;
        }
        let ambiguous = zone.to_ambiguous_zoned_datetime(civil);
        match ambiguous.offset() {
            AmbiguousOffset::Gap { .. } => {
                self.report(
                    ProblemKind::Timing,
                    at.span(),
                    format!("{when} doesn't exist in {zone_name}: the clocks go forward over it"),
                    "a time that no clock shows",
                    "choose a time before or after the change",
                );
                None
            }
            AmbiguousOffset::Fold { .. } => {
                self.remark(at.span(), format!("{when} comes twice in {zone_name} that night; the first is taken. Write an offset, such as +01:00, to choose"));
                ambiguous.earlier().ok()
            }
            AmbiguousOffset::Unambiguous { .. } => ambiguous.compatible().ok(),
        }
    }
}

/// `…T15:30+01:00` or `…Z`.
fn has_offset(when: &str) -> bool {
    let time = when.split_once(['T', 't', ' ']).map_or("", |(_, time)| time);
    time.contains(['+', '-', 'Z', 'z'])
}
