//! Numbers: in range or told, and converted to metres, seconds and radians once.

use super::context::{At, Checker};
use crate::plan::file::{ShutterFile, TimeFile};
use crate::plan::limits::{Bounds, Quantity, SHUTTER};
use crate::plan::model::LengthUnit;
use crate::plan::problem::ProblemKind;
use crate::plan::values::seconds_of;

impl Checker<'_> {
    /// A number in range, lengths in metres; the default (in metres) where nothing or nonsense is written.
    pub fn number(&mut self, at: At<'_>, written: Option<f64>, default: f64, bounds: &Bounds) -> f64 {
        self.optional_number(at, written, bounds).unwrap_or(default)
    }

    pub fn optional_number(&mut self, at: At<'_>, written: Option<f64>, bounds: &Bounds) -> Option<f64> {
        let written = written?;
        let value = match bounds.quantity {
            Quantity::Length | Quantity::Pace => written * self.metres_in_unit(),
            _ => written,
        };
        // Half a millionth of slack, so that the ends may be written in feet.
        let slack = 5e-7 * bounds.most.abs().max(bounds.least.abs());
        if value >= bounds.least - slack && value <= bounds.most + slack {
            return Some(value);
        }
        let message = match written.is_finite() {
            true => format!("{written} can't be {}", bounds.what),
            false => format!("{} must be an ordinary number", bounds.what),
        };
        let (least, most) = self.range(bounds);
        let meant = self
            .meant(value, bounds)
            .map_or(String::new(), |meant| format!("did you mean {}? ", self.plain(meant, bounds)));
        let lies = if meant.is_empty() { bounds.what.to_owned() } else { capital(bounds.what) };
        self.report(
            ProblemKind::OutOfRange,
            at.span(),
            message,
            format!("{least} to {most} was expected"),
            format!("{meant}{lies} lies between {least} and {most}: {}", bounds.why),
        );
        None
    }

    /// A number that has no default.
    pub fn needed_number(
        &mut self,
        record: At<'_>,
        field: &str,
        written: Option<f64>,
        bounds: &Bounds,
        help: &str,
    ) -> f64 {
        if written.is_none() {
            self.missing(record, field, format!("{} is missing", bounds.what), help);
        }
        self.number(record.field(field), written, bounds.least.max(0.0), bounds)
    }

    /// Seconds, written as a number or as text such as `"1m30s"`.
    pub fn seconds(&mut self, at: At<'_>, written: Option<&TimeFile>, bounds: &Bounds) -> Option<f64> {
        let seconds = match written? {
            TimeFile::Seconds(seconds) => *seconds,
            TimeFile::Text(text) => match seconds_of(text) {
                Some(seconds) => seconds,
                None => {
                    self.report(
                        ProblemKind::WrongType,
                        at.span(),
                        format!("`{text}` isn't a length of time"),
                        "seconds, or text such as \"1m30s\", was expected",
                        "write `90`, `\"90s\"`, `\"1m30s\"` or `\"1h 5m\"`",
                    );
                    return None;
                }
            },
        };
        self.optional_number(at, Some(seconds), bounds)
    }

    /// Seconds, written as `"1/250"` or as a number.
    pub fn shutter(&mut self, at: At<'_>, written: Option<&ShutterFile>) -> Option<f64> {
        let seconds = match written? {
            ShutterFile::Seconds(seconds) => Some(*seconds),
            ShutterFile::Text(text) => shutter_seconds(text),
        };
        let Some(seconds) = seconds else {
            self.report(
                ProblemKind::WrongType,
                at.span(),
                "this isn't a shutter time",
                "a time such as \"1/250\", or seconds, was expected",
                "write `\"1/250\"` in quotes, or `0.5` for half a second",
            );
            return None;
        };
        if seconds > SHUTTER.most && 1.0 / seconds >= SHUTTER.least {
            self.report(
                ProblemKind::OutOfRange,
                at.span(),
                format!("{seconds} seconds are too long a shutter time"),
                "a time such as \"1/250\", or seconds, was expected",
                format!("did you mean `\"1/{}\"`?", short(seconds)),
            );
            return None;
        }
        self.optional_number(at, Some(seconds), &SHUTTER)
    }

    pub fn metres_in_unit(&self) -> f64 {
        self.unit.in_metres()
    }

    /// A length as the plan would write it.
    pub fn length(&self, metres: f64) -> String {
        let sign = match self.unit {
            LengthUnit::Metres => "m",
            LengthUnit::Feet => "ft",
        };
        format!("{} {sign}", short(metres / self.unit.in_metres()))
    }

    /// A slip of the unit: centimetres or millimetres for metres, inches for feet, kilometres an hour for metres a second,
    /// metres for millimetres, per cent for a share.
    fn meant(&self, value: f64, bounds: &Bounds) -> Option<f64> {
        let factors: &[f64] = match (bounds.quantity, self.unit) {
            (Quantity::Length, LengthUnit::Metres) => &[0.01, 0.001],
            (Quantity::Length, LengthUnit::Feet) => &[1.0 / 12.0],
            (Quantity::Pace, LengthUnit::Metres) => &[1.0 / 3.6],
            (Quantity::Millimetres, _) => &[10.0, 1000.0, 0.1],
            (Quantity::Share, _) => &[0.01],
            _ => &[],
        };
        let in_range = |value: &f64| (bounds.least..=bounds.most).contains(value);
        factors.iter().map(|factor| value * factor).find(in_range).filter(|meant| *meant > 0.0)
    }

    /// A number as the plan would write it, without its unit.
    fn plain(&self, value: f64, bounds: &Bounds) -> String {
        let in_unit = matches!(bounds.quantity, Quantity::Length | Quantity::Pace);
        short(if in_unit { value / self.metres_in_unit() } else { value })
    }

    /// "0.5 m" and "2.5 m"
    fn range(&self, bounds: &Bounds) -> (String, String) {
        let one = |value: f64| match bounds.quantity {
            Quantity::Length => self.length(value),
            Quantity::Pace => format!("{}/s", self.length(value)),
            Quantity::Millimetres => format!("{} mm", short(value)),
            Quantity::Degrees => format!("{}°", short(value)),
            Quantity::Seconds if value > 0.0 && value < 0.1 => format!("1/{} s", short(1.0 / value)),
            Quantity::Seconds => format!("{} s", short(value)),
            Quantity::FNumber => format!("f/{}", short(value)),
            Quantity::Iso => format!("ISO {}", short(value)),
            Quantity::Stops => format!("{} stops", short(value)),
            Quantity::Lumens => format!("{} lm", short(value)),
            Quantity::Kelvin => format!("{} K", short(value)),
            Quantity::Share | Quantity::Plain => short(value),
        };
        (one(bounds.least), one(bounds.most))
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// `1/250`, `0.5`, `0.5s`, `2"`.
fn shutter_seconds(text: &str) -> Option<f64> {
    let text = text.trim().trim_end_matches(['s', '"']).trim_end();
    match text.split_once('/') {
        Some((above, below)) => {
            let below: f64 = below.trim().parse().ok()?;
            (below != 0.0).then_some(above.trim().parse::<f64>().ok()? / below)
        }
        None => text.parse().ok(),
    }
}

/// At most two decimals, none that are zero; more where there would be nothing left.
fn short(value: f64) -> String {
    if value != 0.0 && value.abs() < 0.005 {
        return format!("{value}");
    }
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
