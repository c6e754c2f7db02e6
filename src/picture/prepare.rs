//! A planned frame to everything a picture of it needs: who is where, the light, the camera.

use super::caution::{SunAhead, sun_ahead};
use super::meter::{Metered, meter, where_light_matters};
use super::readings::{LightFrom, by_readings};
use crate::daylight::{Daylight, daylight_at};
use crate::optics::{ComposeError, Composed, compose};
use crate::plan::{Frame, Plan};
use crate::sight::Sources;
use crate::staging::{OwnerKind, Run, Tableau};

/// A frame, ready to be drawn.
#[derive(Debug, Clone)]
pub struct Prepared<'a> {
    pub frame: &'a Frame,
    pub tableau: Tableau,
    pub daylight: Daylight,
    /// All that shines besides the sky, and what holds light.
    pub sources: Sources,
    /// Who takes it.
    pub taker: OwnerKind,
    pub composed: Composed,
    pub metered: Metered,
    pub light_from: LightFrom,
    /// A caution, if the frame looks towards the sun.
    pub sun: Option<SunAhead>,
}

impl Prepared<'_> {
    /// What had to give in this frame, whose light it is in if it was measured, and its caution, as sentences.
    pub fn remarks(&self) -> Vec<String> {
        let remarks = self.composed.remarks.iter().map(ToString::to_string);
        remarks.chain(self.light_from.sentence()).chain(self.sun.map(|sun| sun.to_string())).collect()
    }
}

/// Stages the frame's instant, finds its light and points its camera. For many frames of one plan make a [`Run`] and call
/// [`prepare_in`].
///
/// # Errors
/// None of the frame's people is there and the frame has no aim of its own.
pub fn prepare<'a>(plan: &Plan, frame: &'a Frame) -> Result<Prepared<'a>, ComposeError> {
    prepare_in(&Run::new(plan), frame)
}

/// As [`prepare`], with the run of the plan worked out before.
///
/// # Errors
/// None of the frame's people is there and the frame has no aim of its own.
pub fn prepare_in<'a>(run: &Run<'_>, frame: &'a Frame) -> Result<Prepared<'a>, ComposeError> {
    let plan = run.plan;
    let at_s = plan.at_s(frame);
    let tableau = run.tableau(at_s);
    let daylight = daylight_at(&plan.place, plan.sky, &plan.instant(at_s));
    let sources = Sources::of(&plan.venue, &tableau);
    let (daylight, sources, light_from) = match where_light_matters(plan, frame, &tableau) {
        Some(subject) if !plan.readings.is_empty() => by_readings(run, subject, daylight, sources),
        _ => (daylight, sources, LightFrom::Model),
    };
    let metered = meter(plan, frame, &tableau, &daylight, &sources)?;
    let composed = compose(plan, frame, &tableau, metered.lux)?;
    let sun = sun_ahead(&composed.camera, &daylight);
    let taker = OwnerKind::Photographer(plan.photographer_of(frame));
    Ok(Prepared { frame, tableau, daylight, sources, taker, composed, metered, light_from, sun })
}

/// Width and height in pixels of a frame whose long side has `long_px`.
pub fn picture_size(sensor_m: [f64; 2], long_px: u32) -> [u32; 2] {
    let longest = sensor_m[0].max(sensor_m[1]);
    sensor_m.map(|side| ((f64::from(long_px) * side / longest).round() as u32).max(1))
}
