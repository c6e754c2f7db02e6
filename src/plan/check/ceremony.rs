//! Moments one after the other, and the cues in them.

use super::context::{At, Checker};
use super::ids::Kin;
use super::people::spoken;
use crate::plan::file::*;
use crate::plan::limits;
use crate::plan::model::*;
use crate::plan::problem::ProblemKind;

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
                cues: self.cues(moment, record, length_s, marks, venue),
                guests_stand: moment.guests_stand.unwrap_or(false),
                guests_look,
            });
            start_s += length_s;
        }
        moments
    }

    fn cues(&mut self, moment: &MomentFile, record: At<'p>, length_s: f64, marks: &[Mark], venue: &Venue) -> Vec<Cue> {
        let list = record.field("cues");
        let mut cues = Vec::new();
        for (index, cue) in moment.cues.iter().enumerate() {
            cues.push((index, self.cue(cue, list.item(index), length_s, marks, venue)));
        }
        cues.sort_by(|a, b| a.1.after_s.total_cmp(&b.1.after_s));
        self.cue_order.push(cues.iter().map(|(index, _)| *index).collect());
        cues.into_iter().map(|(_, cue)| cue).collect()
    }

    fn cue(&mut self, cue: &CueFile, record: At<'p>, length_s: f64, marks: &[Mark], venue: &Venue) -> Cue {
        if cue.who.as_ref().is_none_or(|who| who.as_slice().is_empty()) {
            self.missing(record, "who", "this cue doesn't say whose it is", "write `who: [\"id or role\"]`");
        }
        let who = self.whom(record.field("who"), cue.who.as_ref());
        let after_s = self.seconds(record.field("after"), cue.after.as_ref(), &limits::TIME).unwrap_or(0.0);
        if after_s > length_s {
            self.report(
                ProblemKind::Timing,
                record.field("after").span(),
                "this cue comes after its moment has ended",
                format!("the moment is {length_s} s long"),
                "move the cue, or lengthen the moment",
            );
        }
        let faces = cue.faces.as_ref().and_then(|towards| self.towards(record.field("faces"), towards, marks));
        let looks = cue.looks.as_ref().and_then(|towards| self.towards(record.field("looks"), towards, marks));
        let gesture = cue.gesture.as_ref().and_then(|gesture| self.gesture(record.field("gesture"), gesture));
        for (field, towards) in [("faces", faces), ("looks", looks)] {
            if let Some(Facing::Person(person)) = towards {
                self.not_oneself(record.field(field), &who, person.0, field);
            }
        }
        if let Some(other) = gesture.and_then(partner) {
            self.not_oneself(record.field("gesture"), &who, other.0, "does this with");
        }
        if cue.leaves == Some(true) && cue.at.is_some() {
            self.report(
                ProblemKind::Contradiction,
                record.field("leaves").span(),
                "someone who leaves can't be somewhere too",
                "`at` is given as well",
                "take out `at` or `leaves`",
            );
        }
        let post = cue.at.as_ref().and_then(|place| self.post(record.field("at"), place, marks, &venue.seats));
        if self.was_blanked(record, "at") || (cue.at.is_some() && post.is_none()) {
            self.unsure_people.extend(who.iter().copied());
        }
        if let (Some(Post::Seat { .. }), true) = (post, who.len() > 1) {
            self.report(
                ProblemKind::Overlap,
                record.field("at").span(),
                format!("{} people can't sit on one seat", who.len()),
                "one seat",
                "write one cue for each of them",
            );
        }
        Cue {
            who: who.into_iter().map(PersonIx).collect(),
            after_s,
            post,
            faces,
            looks,
            posture: self.optional_word(record.field("does"), cue.does.as_ref()),
            gesture,
            holds: self.optional_word(record.field("holds"), cue.holds.as_ref()),
            leaves: cue.leaves.unwrap_or(false),
        }
    }

    fn not_oneself(&mut self, at: At<'_>, who: &[usize], other: usize, verb: &str) {
        // In a role with others, each faces the one; the one faces nobody new.
        if who == [other] {
            let id = self.ids.name(Kin::People, other);
            let message = match verb {
                "faces" | "looks" => format!("`{id}` can't turn to themselves"),
                _ => format!("`{id}` can't do this with themselves"),
            };
            self.report(
                ProblemKind::Contradiction,
                at.span(),
                message,
                "the same person",
                "write the id of the other one",
            );
        }
    }

    pub fn towards(&mut self, at: At<'_>, towards: &TowardsFile, marks: &[Mark]) -> Option<Facing> {
        match towards {
            TowardsFile::Degrees(degrees) => self
                .optional_number(at, Some(*degrees), &limits::ANGLE)
                .map(|degrees| Facing::Heading(degrees.to_radians() as f32)),
            TowardsFile::Xz(x, z) => Some(Facing::Spot(self.xz(at, *x, *z))),
            TowardsFile::Id(id) => match self.refer(at, id, &[Kin::People, Kin::Marks, Kin::Fixtures, Kin::Crew])? {
                (Kin::People, index) => Some(Facing::Person(PersonIx(index))),
                (Kin::Fixtures, index) => Some(Facing::Fixture(FixtureIx(index))),
                (Kin::Crew, index) => Some(Facing::Photographer(PhotographerIx(index))),
                (_, index) => marks.get(index).map(|mark| Facing::Spot(mark.at)),
            },
        }
    }

    fn gesture(&mut self, at: At<'_>, gesture: &GestureFile) -> Option<Gesture> {
        let mut with = |id: &str| self.refer_one(at, id, Kin::People).map(PersonIx);
        Some(match gesture {
            GestureFile::Rest => Gesture::Rest,
            GestureFile::TakesHands(id) => Gesture::TakesHands(with(id)?),
            GestureFile::LinksArms(id) => Gesture::LinksArms(with(id)?),
            GestureFile::HoldsHand(id) => Gesture::HoldsHand(with(id)?),
            GestureFile::GivesRing(id) => Gesture::GivesRing(with(id)?),
            GestureFile::Kisses(id) => Gesture::Kisses(with(id)?),
            GestureFile::Embraces(id) => Gesture::Embraces(with(id)?),
            GestureFile::HoldsUpPhone => Gesture::HoldsUpPhone,
            GestureFile::Reads => Gesture::Reads,
            GestureFile::Claps => Gesture::Claps,
            GestureFile::OpensArms => Gesture::OpensArms,
            GestureFile::WipesEyes => Gesture::WipesEyes,
            GestureFile::Waves => Gesture::Waves,
        })
    }
}

fn partner(gesture: Gesture) -> Option<PersonIx> {
    match gesture {
        Gesture::TakesHands(other)
        | Gesture::LinksArms(other)
        | Gesture::HoldsHand(other)
        | Gesture::GivesRing(other)
        | Gesture::Kisses(other)
        | Gesture::Embraces(other) => Some(other),
        _ => None,
    }
}
