//! What a light meter said on a visit.

use super::context::{At, Checker};
use crate::plan::file::*;
use crate::plan::limits;
use crate::plan::model::*;
use crate::plan::problem::ProblemKind;

const EXAMPLE: &str =
    "write `(at: \"altar\", when: \"2027-05-08T15:40\", ev: 9.3)`: where, when, and what the meter said";

/// Where a meter is held unless the reading says otherwise: before a standing face.
const FACE_HEIGHT_M: f64 = 1.6;
/// Towards the guests, where cameras are.
const TOWARDS_GUESTS_DEG: f64 = 180.0;

impl<'p> Checker<'p> {
    pub fn readings(&mut self, file: &PlanFile, top: At<'p>, plan: &Plan) -> Vec<Reading> {
        let list = top.field("readings");
        file.readings.iter().enumerate().map(|(index, it)| self.reading(it, list.item(index), plan)).collect()
    }

    fn reading(&mut self, file: &ReadingFile, record: At<'p>, plan: &Plan) -> Reading {
        let at = self.needed_spot(record, "at", file.at.as_ref(), &plan.marks);
        let place = match &file.at {
            Some(SpotFile::Mark(id)) => id.clone(),
            Some(SpotFile::Xz(x, z)) => format!("({x}, {z})"),
            None => String::new(),
        };
        let height = self.number(record.field("height"), file.height, FACE_HEIGHT_M, &limits::CAMERA_HEIGHT);
        let heading = self.number(record.field("heading"), file.heading, TOWARDS_GUESTS_DEG, &limits::ANGLE);
        let when = self.when_read(file.when.as_deref(), record, plan);
        let ev = self.optional_number(record.field("ev"), file.ev, &limits::EV).map(Measured::Ev100);
        let lux = self.optional_number(record.field("lux"), file.lux, &limits::LUX).map(Measured::Lux);
        if file.ev.is_some() && file.lux.is_some() {
            self.report(
                ProblemKind::Contradiction,
                record.field("lux").span(),
                "this reading is given twice, in EV and in lux",
                "`ev` says it already",
                "keep the one that the meter showed",
            );
        } else if file.ev.is_none() && file.lux.is_none() && !self.was_blanked(record, "ev") {
            self.missing(record, "lux", "this reading doesn't say what the meter showed", EXAMPLE);
        }
        Reading {
            place,
            at,
            height_m: height as f32,
            heading: heading.to_radians() as f32,
            when,
            sky: self.word(record.field("sky"), file.sky.as_ref(), plan.sky),
            measured: ev.or(lux).unwrap_or(Measured::Lux(1.0)),
        }
    }

    /// On the clocks of the plan's own zone if the reading names none.
    fn when_read(&mut self, written: Option<&str>, record: At<'p>, plan: &Plan) -> jiff::ZonedDateTime {
        let at = record.field("when");
        let Some(text) = written else {
            self.missing(record, "when", "this reading doesn't say when it was taken", EXAMPLE);
            return plan.start.clone();
        };
        let zone = plan.start.time_zone().iana_name().unwrap_or("UTC");
        let text = if text.contains('[') { text.to_owned() } else { format!("{}[{zone}]", text.trim()) };
        self.date_time(&text, at, "the reading", EXAMPLE).unwrap_or_else(|| plan.start.clone())
    }
}
