//! Moments one after the other.

use super::context::{At, Checker};
use super::ids::Kin;
use super::people::spoken;
use crate::plan::file::*;
use crate::plan::limits;
use crate::plan::model::*;

impl<'p> Checker<'p> {
    pub fn moments(&mut self, file: &PlanFile, top: At<'p>, marks: &[Mark], venue: &Venue) -> Vec<Moment> {
        let list = top.field("moments");
        if file.moments.is_empty() && !self.list_was_blanked(top, "moments") {
            self.missing(
                top,
                "moments",
                "the plan has no moments",
                "add at least one: `moments: [(id: \"kiss\", length: 5)]`",
            );
        }
        self.collect_cue_ids(file, list);
        let mut start_s = 0.0;
        let mut moments = Vec::new();
        for (index, moment) in file.moments.iter().enumerate() {
            let record = list.item(index);
            let id = self.ids.name(Kin::Moments, index);
            if moment.length.is_none() {
                self.missing(
                    record,
                    "length",
                    "this moment has no length",
                    "write seconds, `length: 40`, or text, `length: \"1m30s\"`",
                );
            }
            // Long enough that nothing else in it is told to be too late, if the length itself is wrong.
            let length_s = self
                .seconds(record.field("length"), moment.length.as_ref(), &limits::MOMENT_LENGTH)
                .unwrap_or(limits::MOMENT_LENGTH.most);
            let name = self.text(record.field("name"), moment.name.as_deref());
            let guests_look = moment
                .guests_look
                .as_ref()
                .and_then(|towards| self.towards(record.field("guests_look"), towards, marks));
            moments.push(Moment {
                name: if name.is_empty() { spoken(&id) } else { name },
                id,
                start_s,
                length_s,
                cues: self.cues(moment, record, index, length_s, marks, venue),
                guests_stand: moment.guests_stand.unwrap_or(false),
                guests_look,
            });
            start_s += length_s;
        }
        moments
    }
}
