//! Light as a meter found it on a visit: it wins over the model.
//!
//! The model says what a meter at that spot should have shown at that hour, in the venue without people. What it showed over
//! that is how much more light there is than the model knows of (clean windows, a white ceiling, trees that aren't in the plan),
//! and all light of a frame nearby is made so many times as strong. How light falls, and of which colour it is, stays the
//! model's. A dome is taken for a flat meter.

use crate::daylight::{Daylight, daylight_at};
use crate::optics::illuminance_at_ev100;
use crate::plan::{Measured, Plan, Reading, forward};
use crate::sight::{Caster, Light, Sources};
use crate::staging::{OwnerKind, Run, Tableau};
use glam::Vec3;
use serde::Serialize;

/// A reading and the model are held to be about different things when they are further apart, stops: then the reading is
/// followed no further. *Our own.*
const MOST_STOPS: f64 = 5.0;

/// Where the strength of a frame's light comes from.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "lowercase", tag = "by")]
pub enum LightFrom {
    /// No reading is in the same room, or in the open with its subject.
    Model,
    Reading {
        place: String,
        /// Metres from the frame's subject.
        distance_m: f64,
        /// Stops that the meter showed over the model.
        over_model_stops: f64,
        /// What it showed was further from the model than can be true of the same light.
        doubtful: bool,
    },
}

/// Sun, sky and lamps for whoever is at `subject`, by the nearest reading in the same room, or in the open as they are.
pub fn by_readings(run: &Run, subject: Vec3, daylight: Daylight, sources: Sources) -> (Daylight, Sources, LightFrom) {
    let plan = run.plan;
    let room = sources.room_of(subject);
    let spot = |reading: &Reading| Vec3::new(reading.at.x, reading.height_m, reading.at.y);
    let here = plan.readings.iter().filter(|reading| sources.room_of(spot(reading)) == room);
    let nearest = here.min_by(|a, b| spot(a).distance(subject).total_cmp(&spot(b).distance(subject)));
    let Some(reading) = nearest else { return (daylight, sources, LightFrom::Model) };
    let over = over_model_stops(plan, &venue_alone(run), reading, &sources);
    let stops = over.clamp(-MOST_STOPS, MOST_STOPS);
    let from = LightFrom::Reading {
        place: reading.place.clone(),
        distance_m: f64::from(spot(reading).distance(subject)),
        over_model_stops: over,
        doubtful: stops != over,
    };
    (daylight.times(stops.exp2()), sources.times(stops.exp2()), from)
}

/// Stops that a reading lies over what the model says of its spot, hour and weather.
fn over_model_stops(plan: &Plan, venue: &Tableau, reading: &Reading, sources: &Sources) -> f64 {
    let daylight = daylight_at(&plan.place, reading.sky, &reading.when);
    let caster = Caster::new(venue);
    let at = Vec3::new(reading.at.x, reading.height_m, reading.at.y);
    let way = forward(reading.heading);
    let model = Light::new(&caster, &daylight, sources).on_spot(at, Vec3::new(way.x, 0.0, way.y));
    (measured_lux(reading) / model.total_lux().max(1e-3)).log2()
}

fn measured_lux(reading: &Reading) -> f64 {
    match reading.measured {
        Measured::Ev100(ev) => illuminance_at_ev100(ev),
        Measured::Lux(lux) => lux,
    }
}

/// The place as it is on a visit: nobody there.
fn venue_alone(run: &Run) -> Tableau {
    let mut tableau = run.tableau(0.0);
    let Tableau { solids, owners, figures, .. } = &mut tableau;
    let is_person = |kind| matches!(kind, OwnerKind::Person(_) | OwnerKind::Guest { .. } | OwnerKind::Photographer(_));
    solids.retain(|solid| !owners.get(solid.owner.0 as usize).is_some_and(|owner| is_person(owner.kind)));
    figures.clear();
    tableau
}

impl LightFrom {
    /// How sure the light is, in words; `None` where the model alone says it.
    pub fn sentence(&self) -> Option<String> {
        let Self::Reading { place, over_model_stops, doubtful, .. } = self else { return None };
        let much = match over_model_stops.abs() {
            small if small < 0.25 => "as the model has it".to_owned(),
            stops => format!("{stops:.1} stops {} the model", if *over_model_stops > 0.0 { "over" } else { "under" }),
        };
        let doubt = if *doubtful {
            format!("; that is too far apart to be the same light, so {MOST_STOPS:.0} stops are taken: read it again")
        } else {
            String::new()
        };
        Some(format!("light by the reading at {place}, {much}{doubt}"))
    }
}
