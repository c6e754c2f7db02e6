//! Instants of a ceremony as people type them: `MOMENT`, `MOMENT+SECONDS`, or `+SECONDS` from the start.

use crate::plan::{Frame, Moment, Plan, seconds_of};

/// Seconds into the ceremony. A moment alone is its start; seconds are written as in plans: `90`, `1m30s`.
///
/// # Errors
/// What is wrong with the text and what would do, in words: no such moment, no length of time, past the end.
pub fn instant_at_s(plan: &Plan, text: &str) -> Result<f64, String> {
    let (id, after) = match text.trim().split_once('+') {
        Some((id, after)) => (id.trim(), Some(after.trim())),
        None => (text.trim(), None),
    };
    if after.unwrap_or(id).is_empty() {
        return Err("an instant is `MOMENT`, `MOMENT+SECONDS`, or `+SECONDS` from the start".to_owned());
    }
    let moment = match id {
        "" => None,
        id => Some(plan.moments.iter().find(|moment| moment.id == id).ok_or_else(|| unknown_moment(plan, id))?),
    };
    let after_s = match after {
        None => 0.0,
        Some(after) => read_seconds(after).ok_or_else(|| {
            format!("`{after}` isn't a length of time; write seconds or text: `{id}+90`, `{id}+1m30s`")
        })?,
    };
    let (what, start_s, length_s) = match moment {
        Some(moment) => (format!("`{id}`"), moment.start_s, moment.length_s),
        None => ("the ceremony".to_owned(), 0.0, ceremony_s(plan)),
    };
    if after_s > length_s {
        return Err(format!("{what} has ended by `{}`: it is {} long", text.trim(), length(length_s)));
    }
    Ok(start_s + after_s)
}

/// When a frame is taken, as [`instant_at_s`] reads it.
pub fn instant_of(plan: &Plan, frame: &Frame) -> String {
    let id = &plan.moments[frame.moment.0].id;
    match thousandths(frame.after_s) {
        0.0 => id.clone(),
        after_s => format!("{id}+{after_s}"),
    }
}

/// A second of the ceremony, as [`instant_at_s`] reads it, to a tenth.
pub fn instant_text(plan: &Plan, at_s: f64) -> String {
    match plan.moments.iter().rev().find(|moment| moment.start_s <= at_s + 1e-6) {
        Some(moment) => match ((at_s - moment.start_s).max(0.0) * 10.0).round() / 10.0 {
            0.0 => moment.id.clone(),
            after_s => format!("{}+{after_s}", moment.id),
        },
        None => format!("+{at_s:.1}"),
    }
}

/// Seconds as typed: `90`, `1.5`, `1m30s`.
pub fn read_seconds(text: &str) -> Option<f64> {
    let seconds = text.parse().ok().or_else(|| seconds_of(text))?;
    (seconds >= 0.0 && f64::is_finite(seconds)).then_some(seconds)
}

fn ceremony_s(plan: &Plan) -> f64 {
    plan.moments.last().map_or(0.0, |moment| moment.start_s + moment.length_s)
}

pub fn unknown_moment(plan: &Plan, id: &str) -> String {
    let frame = plan.frames.iter().find(|frame| frame.id == id);
    let hint = match (frame, nearest(&plan.moments, id)) {
        (Some(frame), _) => format!("; the frame `{id}` is taken at `{}`", instant_of(plan, frame)),
        (None, Some(moment)) => format!("; did you mean `{}`?", moment.id),
        (None, None) => String::new(),
    };
    let ids: Vec<&str> = plan.moments.iter().map(|moment| moment.id.as_str()).collect();
    format!("there is no moment `{id}`{hint}\nmoments: {}", ids.join(", "))
}

/// The moment whose id is likely meant, if any is near enough to be worth saying.
fn nearest<'a>(moments: &'a [Moment], id: &str) -> Option<&'a Moment> {
    let distance = |moment: &&Moment| strsim::damerau_levenshtein(id, &moment.id);
    moments.iter().min_by_key(distance).filter(|moment| distance(moment) <= id.chars().count().div_ceil(2))
}

/// `5 s`, and `150 s (2m 30s)` where it takes counting.
pub fn length(seconds: f64) -> String {
    let plain = format!("{} s", thousandths(seconds));
    if seconds < 60.0 {
        return plain;
    }
    format!("{plain} ({:#})", jiff::SignedDuration::from_millis((seconds * 1000.0).round() as i64))
}

fn thousandths(seconds: f64) -> f64 {
    (seconds * 1000.0).round() / 1000.0
}
