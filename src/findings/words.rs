//! Numbers and names as a colleague says them.

use crate::optics::tidy;
use crate::plan::{LengthUnit, Plan};

const FOOT_M: f64 = 0.3048;

/// `0.9 m`, `12 m`; in feet where the plan is.
pub fn length(plan: &Plan, metres: f64) -> String {
    let (value, unit) = match plan.units {
        LengthUnit::Metres => (metres, "m"),
        LengthUnit::Feet => (metres / FOOT_M, "ft"),
    };
    format!("{} {unit}", tidy(value, usize::from(value.abs() < 10.0)))
}

pub fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

pub fn mm(metres: f64) -> String {
    format!("{:.0} mm", metres * 1000.0)
}

/// `Noor`, `Noor and Ilan`, `Noor, Ilan and Teo`.
pub fn and(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// `Noor’s`.
pub fn owns(name: &str) -> String {
    format!("{name}’s")
}

pub fn guests(count: usize) -> String {
    format!("{count} {}", if count == 1 { "guest" } else { "guests" })
}
