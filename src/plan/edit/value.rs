//! Values as plan files write them.

use crate::plan::LengthUnit;
use glam::Vec2;
use std::fmt::Write;

/// Text in quotes, with what RON can't have in quotes escaped. Reads back as the same text, whatever is in it.
pub fn text_value(text: &str) -> String {
    let mut value = String::with_capacity(text.len() + 2);
    value.push('"');
    for c in text.chars() {
        match c {
            '"' => value.push_str("\\\""),
            '\\' => value.push_str("\\\\"),
            '\n' => value.push_str("\\n"),
            '\r' => value.push_str("\\r"),
            '\t' => value.push_str("\\t"),
            _ if c.is_control() => {
                let _ = write!(value, "\\u{{{:x}}}", u32::from(c));
            }
            _ => value.push(c),
        }
    }
    value.push('"');
    value
}

/// A number with at most so many decimals, as short as it goes: `1.5`, `-0.25`, `4`; never `-0`, never with an exponent.
/// What is no finite number is `0`.
pub fn number_value(number: f64, decimals: usize) -> String {
    if !number.is_finite() {
        return "0".to_owned();
    }
    let mut value = format!("{number:.*}", decimals.min(MOST_DECIMALS));
    if value.contains('.') {
        value.truncate(value.trim_end_matches('0').trim_end_matches('.').len());
    }
    if value == "-0" { "0".to_owned() } else { value }
}

/// No number of a plan needs more.
const MOST_DECIMALS: usize = 12;

/// A spot on the floor (x, z) in metres as `(x, z)` in the plan's unit, to a hundredth of it.
pub fn spot_value(at_m: Vec2, unit: LengthUnit) -> String {
    format!("({}, {})", length_value(f64::from(at_m.x), unit), length_value(f64::from(at_m.y), unit))
}

/// A length in metres in the plan's unit, to a hundredth of it.
pub fn length_value(length_m: f64, unit: LengthUnit) -> String {
    number_value(length_m / unit.in_metres(), 2)
}

/// An angle in radians as degrees, to a tenth.
pub fn degrees_value(angle_rad: f64) -> String {
    number_value(angle_rad.to_degrees(), 1)
}

/// A time in seconds: below 100 s as a number, to a hundredth; from there on as text, `"1m40s"`, to a tenth. Less than
/// nothing, and what is no number, is `0`.
pub fn time_value(time_s: f64) -> String {
    let time_s = if time_s.is_finite() { time_s.clamp(0.0, MOST_SECONDS) } else { 0.0 };
    if time_s < 99.995 {
        return number_value(time_s, 2);
    }
    let tenths = (time_s * 10.0).round();
    let (hours, minutes, seconds) =
        ((tenths / 36_000.0).floor(), (tenths % 36_000.0 / 600.0).floor(), tenths % 600.0 / 10.0);
    let mut value = String::from("\"");
    for (number, unit) in [(hours, 'h'), (minutes, 'm'), (seconds, 's')] {
        if number > 0.0 {
            let _ = write!(value, "{}{unit}", number_value(number, 1));
        }
    }
    value.push('"');
    value
}

/// A thousand hours, far more than any plan allows.
const MOST_SECONDS: f64 = 3_600_000.0;
