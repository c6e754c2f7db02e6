//! Cues: who does what from when on, and where they go.

use super::context::{At, Checker};
use super::ids::Kin;
use crate::plan::file::*;
use crate::plan::limits;
use crate::plan::model::*;
use crate::plan::problem::ProblemKind;
use crate::plan::words::Vocabulary;
use glam::Vec2;

/// The word for everyone in the blocks of seats.
const GUESTS: &str = "guests";

impl<'p> Checker<'p> {
    /// Tells if more people walk more often than can be worked out in reasonable time.
    pub fn walks(&mut self, moments: &[Moment], list: At<'p>) {
        let cues = moments.iter().flat_map(|moment| &moment.cues);
        let walks = cues.filter(|cue| cue.goes.is_some()).map(|cue| cue.who.len()).sum();
        self.count(list, walks, limits::WALKS);
    }

    /// Ids of cues, so that a cue may follow one that is written after it.
    pub fn collect_cue_ids(&mut self, file: &PlanFile, list: At<'p>) {
        for (index, moment) in file.moments.iter().enumerate() {
            let cues = list.item(index).field("cues");
            for (place, cue) in moment.cues.iter().enumerate() {
                let Some(id) = &cue.id else { continue };
                let span = cues.item(place).field("id").span();
                self.fit_for_a_file_name(span, id);
                let ix = CueIx { moment: MomentIx(index), cue: place };
                match self.cue_ids.get(id) {
                    Some((_, first)) => {
                        let first = *first;
                        self.report_with(
                            ProblemKind::DuplicateId,
                            span,
                            format!("the id `{id}` is taken: a cue on line {} has it", self.line(first)),
                            "the second one",
                            "give one of the two another id",
                            (first, "the first one".to_owned()),
                        );
                    }
                    None => {
                        self.cue_ids.insert(id.clone(), (ix, span));
                    }
                }
            }
        }
    }

    pub fn cues(
        &mut self,
        moment: &MomentFile,
        record: At<'p>,
        index: usize,
        length_s: f64,
        marks: &[Mark],
        venue: &Venue,
    ) -> Vec<Cue> {
        let list = record.field("cues");
        let mut cues = Vec::new();
        for (place, cue) in moment.cues.iter().enumerate() {
            let ix = CueIx { moment: MomentIx(index), cue: place };
            cues.push(self.cue(cue, list.item(place), ix, length_s, marks, venue));
        }
        cues
    }

    fn cue(&mut self, cue: &CueFile, record: At<'p>, ix: CueIx, length_s: f64, marks: &[Mark], venue: &Venue) -> Cue {
        if cue.who.as_ref().is_none_or(|who| who.as_slice().is_empty()) {
            self.missing(record, "who", "this cue doesn't say whose it is", "write `who: [\"id or role\"]`");
        }
        let guests = self.names_guests(cue);
        let who = self.whom_or(record.field("who"), cue.who.as_ref(), Some(GUESTS));
        if guests {
            self.fit_for_guests(cue, record);
        }
        let follows = cue.follows.as_ref().and_then(|id| self.follows(record.field("follows"), id, ix));
        let after_s = self.seconds(record.field("after"), cue.after.as_ref(), &limits::TIME).unwrap_or(0.0);
        if cue.follows.is_none() && after_s > length_s {
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
        if let Some(other) = gesture.and_then(Gesture::other) {
            self.not_oneself(record.field("gesture"), &who, other.0, "does this with");
        }
        let goes = self.goes(cue, record, &who, marks, venue);
        // Nobody is told not to be there whose way here couldn't be read.
        let unsure = ["at", "from", "by", "steps", "circles"].iter().any(|field| self.was_blanked(record, field))
            || (goes.is_none() && [cue.at.is_some(), cue.steps.is_some(), cue.circles.is_some()].contains(&true));
        if unsure {
            self.unsure_people.extend(who.iter().copied());
        }
        Cue {
            id: cue.id.clone(),
            who: who.into_iter().map(PersonIx).collect(),
            guests,
            follows,
            after_s,
            goes,
            faces,
            looks,
            posture: self.optional_word(record.field("does"), cue.does.as_ref()),
            gesture,
            holds: self.optional_word(record.field("holds"), cue.holds.as_ref()),
            leaves: cue.leaves.unwrap_or(false),
            written: record.head(),
        }
    }

    /// Whether a cue is for everyone in the blocks of seats, and not for people of the plan who are called so.
    fn names_guests(&self, cue: &CueFile) -> bool {
        let names = cue.who.as_ref().map_or(&[][..], Names::as_slice);
        names.iter().any(|name| name == GUESTS) && !self.ids.is_whom(GUESTS)
    }

    fn fit_for_guests(&mut self, cue: &CueFile, record: At<'p>) {
        let fields = [
            ("at", cue.at.is_some()),
            ("from", cue.from.is_some()),
            ("by", cue.by.is_some()),
            ("steps", cue.steps.is_some()),
            ("circles", cue.circles.is_some()),
            ("faces", cue.faces.is_some()),
            ("holds", cue.holds.is_some()),
            ("leaves", cue.leaves.is_some()),
        ];
        for (field, _) in fields.into_iter().filter(|(_, written)| *written) {
            self.report(
                ProblemKind::Contradiction,
                record.field(field).span(),
                format!("`{field}` is not for all guests at once"),
                "not for `guests`",
                "guests stand, sit, look, clap, throw petals or hold up phones; name people one by one for anything else",
            );
        }
        let postures = ["standing", "sitting"];
        if let Some(Word::Word(word)) = &cue.does
            && Posture::from_word(word).is_some()
            && !postures.contains(&word.as_str())
        {
            self.report(
                ProblemKind::Contradiction,
                record.field("does").span(),
                format!("`{word}` is not for all guests at once"),
                "not for `guests`",
                "write `standing` or `sitting`, or name the people who do this",
            );
        }
        let gestures = ["rest", "claps", "waves", "throws_petals", "holds_up_phone"];
        let fits = matches!(
            cue.gesture,
            None | Some(
                GestureFile::Rest
                    | GestureFile::Claps
                    | GestureFile::Waves
                    | GestureFile::ThrowsPetals
                    | GestureFile::HoldsUpPhone
            )
        );
        if !fits {
            self.report(
                ProblemKind::Contradiction,
                record.field("gesture").span(),
                "this gesture is not for all guests at once",
                "not for `guests`",
                format!("guests can do {}; name the people who do anything else", crate::plan::slips::list(&gestures)),
            );
        }
    }

    fn follows(&mut self, at: At<'p>, id: &str, own: CueIx) -> Option<CueIx> {
        let Some((ix, span)) = self.cue_ids.get(id).copied() else {
            if self.blanked.is_empty() {
                let known: Vec<&str> = self.cue_ids.keys().map(String::as_str).collect();
                let help = match crate::plan::words::nearest(id, known.iter().copied()) {
                    Some(meant) => format!("did you mean `\"{meant}\"`?"),
                    None if known.is_empty() => format!("give the cue to wait for a name: `id: \"{id}\"`"),
                    None => format!("cues with an id are {}", crate::plan::slips::list(&known)),
                };
                let message = format!("there is no cue `{id}`");
                self.report(ProblemKind::UnknownReference, at.span(), message, "nothing has this id", help);
            }
            return None;
        };
        if ix == own || ix.moment > own.moment {
            let message = match ix == own {
                true => format!("the cue `{id}` can't wait for itself"),
                false => format!("the cue `{id}` comes in a later moment"),
            };
            self.report_with(
                ProblemKind::Timing,
                at.span(),
                message,
                "this would never begin",
                "follow a cue of the same moment or of one before it",
                (span, "the cue to wait for".to_owned()),
            );
            return None;
        }
        Some(ix)
    }

    /// Tells of cues that wait for each other in a circle; they'd never begin.
    pub fn cues_that_wait_in_circles(&mut self, moments: &mut [Moment], list: At<'p>) {
        let follows = |moments: &[Moment], ix: CueIx| moments.get(ix.moment.0)?.cues.get(ix.cue)?.follows;
        let all: Vec<CueIx> = moments
            .iter()
            .enumerate()
            .flat_map(|(m, moment)| (0..moment.cues.len()).map(move |cue| CueIx { moment: MomentIx(m), cue }))
            .collect();
        for ix in &all {
            let mut next = follows(moments, *ix);
            for _ in 0..=all.len() {
                let Some(step) = next else { break };
                if step == *ix {
                    let cue = |ix: CueIx| list.item(ix.moment.0).field("cues").item(ix.cue);
                    let before = follows(moments, *ix).unwrap_or(*ix);
                    let name = |ix: CueIx| moments[ix.moment.0].cues[ix.cue].id.clone().unwrap_or_default();
                    self.report_with(
                        ProblemKind::Timing,
                        cue(*ix).field("follows").span(),
                        format!("the cues `{}` and `{}` wait for each other", name(*ix), name(before)),
                        "so that none of them ever begins",
                        "let one of them begin after seconds of its moment: take out its `follows`",
                        (cue(before).field("follows").span(), "and this one waits in turn".to_owned()),
                    );
                    // Told once for the circle.
                    moments[ix.moment.0].cues[ix.cue].follows = None;
                    break;
                }
                next = follows(moments, step);
            }
        }
    }

    /// Where a cue sends people, if anywhere.
    fn goes(&mut self, cue: &CueFile, record: At<'p>, who: &[usize], marks: &[Mark], venue: &Venue) -> Option<Going> {
        let ways = [("at", cue.at.is_some()), ("steps", cue.steps.is_some()), ("circles", cue.circles.is_some())];
        let written: Vec<&str> = ways.iter().filter(|(_, written)| *written).map(|(field, _)| *field).collect();
        if let [first, second, ..] = written[..] {
            self.report(
                ProblemKind::Contradiction,
                record.field(second).span(),
                format!("`{first}` and `{second}` can't both say where they go"),
                format!("`{first}` is given as well"),
                "write two cues, the second with `follows`",
            );
        }
        match written[..] {
            [] => {
                self.loose_ways(cue, record);
                return None;
            }
            [way] => self.unfit_ways(cue, record, way),
            _ => {}
        }
        let way = self.way(cue, record, who, marks, venue)?;
        let from = cue.from.as_ref().and_then(|place| self.post(record.field("from"), place, marks, &venue.seats));
        let tempo = self.tempo(cue, record);
        let abreast = cue.abreast.map(f64::from);
        let abreast = self.optional_number(record.field("abreast"), abreast, &limits::ABREAST);
        Some(Going {
            way,
            from,
            tempo,
            abreast: abreast.map(|number| number as u32),
            apart_m: self.number(record.field("apart"), cue.apart, 0.6, &limits::APART) as f32,
            spacing_m: self.number(record.field("spacing"), cue.spacing, 1.5, &limits::SPACING) as f32,
        })
    }

    /// Fields that say how one goes, of a cue that says nowhere to go.
    fn loose_ways(&mut self, cue: &CueFile, record: At<'p>) {
        let fields = [
            ("from", cue.from.is_some()),
            ("by", cue.by.is_some()),
            ("pace", cue.pace.is_some()),
            ("over", cue.over.is_some()),
            ("abreast", cue.abreast.is_some()),
            ("apart", cue.apart.is_some()),
            ("spacing", cue.spacing.is_some()),
            ("times", cue.times.is_some()),
            ("radius", cue.radius.is_some()),
        ];
        let blanked = ["at", "steps", "circles"].iter().any(|field| self.was_blanked(record, field));
        if let Some((field, _)) = fields.into_iter().find(|(_, written)| *written).filter(|_| !blanked) {
            self.report(
                ProblemKind::Missing,
                record.field(field).span(),
                format!("`{field}` says how they go, but not where"),
                "no `at`, `steps` or `circles` in this cue",
                "add where they go: `at: \"mark\"`, `steps: left(0.9)` or `circles: \"id\"`",
            );
        }
    }

    /// Fields that say how one goes another way than this cue's.
    fn unfit_ways(&mut self, cue: &CueFile, record: At<'p>, way: &str) {
        let fields: [(&str, bool, &[&str]); 7] = [
            ("from", cue.from.is_some(), &["at"]),
            ("by", cue.by.is_some(), &["at"]),
            ("abreast", cue.abreast.is_some(), &["at"]),
            ("apart", cue.apart.is_some(), &["at"]),
            ("spacing", cue.spacing.is_some(), &["at"]),
            ("times", cue.times.is_some(), &["circles"]),
            ("radius", cue.radius.is_some(), &["circles"]),
        ];
        for (field, _, goes_with) in fields.into_iter().filter(|(_, written, ways)| *written && !ways.contains(&way)) {
            let with = crate::plan::slips::list(goes_with);
            self.report(
                ProblemKind::Contradiction,
                record.field(field).span(),
                format!("`{field}` says nothing about `{way}`"),
                format!("goes with {with}"),
                format!("take it out, or write it in a cue with {with}"),
            );
        }
    }

    fn way(&mut self, cue: &CueFile, record: At<'p>, who: &[usize], marks: &[Mark], venue: &Venue) -> Option<Way> {
        if let Some(steps) = &cue.steps {
            let (side, length) = match *steps {
                StepsFile::Left(length) => (Side::Left, length),
                StepsFile::Right(length) => (Side::Right, length),
                StepsFile::Ahead(length) => (Side::Ahead, length),
                StepsFile::Back(length) => (Side::Back, length),
            };
            let length_m = self.optional_number(record.field("steps"), Some(length), &limits::STEPS_ASIDE)? as f32;
            return Some(Way::Steps { side, length_m });
        }
        if let Some(id) = &cue.circles {
            let centre = match self.refer(record.field("circles"), id, &[Kin::People, Kin::Fixtures, Kin::Marks])? {
                (Kin::People, index) => {
                    self.circles_another(record.field("circles"), who, index);
                    Centre::Person(PersonIx(index))
                }
                (Kin::Fixtures, index) => Centre::Spot(venue.fixtures.get(index)?.at),
                (_, index) => Centre::Spot(marks.get(index)?.at),
            };
            let times = self.number(record.field("times"), cue.times, 1.0, &limits::TIMES_ROUND) as f32;
            if times.abs() < 0.01 {
                self.report(
                    ProblemKind::OutOfRange,
                    record.field("times").span(),
                    "no round at all",
                    "a number other than 0 was expected",
                    "leave it out for once round; `0.5` is half a round, `-1` the other way round",
                );
            }
            let radius_m = self.number(record.field("radius"), cue.radius, 0.9, &limits::ROUND_RADIUS) as f32;
            return Some(Way::Round { centre, times, radius_m });
        }
        let at = record.field("at");
        let written = cue.at.as_ref()?;
        let list = written.as_slice();
        let mut places = Vec::new();
        for (index, place) in list.iter().enumerate().take(limits::PEOPLE.most) {
            let here = if matches!(written, PlacesFile::Each(_)) { at.item(index) } else { at };
            places.push(self.post(here, place, marks, &venue.seats)?);
        }
        if list.len() != 1 && list.len() != who.len() {
            let people = if who.len() == 1 { "1 person".to_owned() } else { format!("{} people", who.len()) };
            self.report(
                ProblemKind::Contradiction,
                at.span(),
                format!("{} places for {people}", list.len()),
                "one place, or one for each, was expected",
                "write as many places as people, in their order; a role stands for its people in the order of the plan",
            );
            return None;
        }
        for (index, place) in places.iter().enumerate() {
            let Post::Seat { seat, row, .. } = place else { continue };
            if let Some(first) = places[..index].iter().position(|other| other == place) {
                let name = |who: &[usize], index: usize| {
                    who.get(index).map_or(String::new(), |person| self.ids.name(Kin::People, *person))
                };
                let message = format!(
                    "`{}` and `{}` can't sit on one seat: row {}, seat {}",
                    name(who, first),
                    name(who, index),
                    row + 1,
                    seat + 1
                );
                let also = (at.item(first).span(), "the first one".to_owned());
                self.report_with(
                    ProblemKind::Overlap,
                    at.item(index).span(),
                    message,
                    "the second one",
                    "give one of the two another seat",
                    also,
                );
                return None;
            }
        }
        if let ([Post::Seat { .. }], true) = (&places[..], who.len() > 1) {
            self.report(
                ProblemKind::Overlap,
                at.span(),
                format!("{} people can't sit on one seat", who.len()),
                "one seat",
                "write a list with a seat for each of them",
            );
            return None;
        }
        let by = self.spots(record.field("by"), cue.by.as_ref(), marks);
        Some(Way::To { places, by })
    }

    /// A list of spots on the way; what can't be found is told and left out.
    pub fn spots(&mut self, at: At<'p>, written: Option<&SpotsFile>, marks: &[Mark]) -> Vec<Vec2> {
        let Some(written) = written else { return vec![] };
        let list = written.as_slice();
        if list.len() > limits::WAY_SPOTS {
            self.report(
                ProblemKind::TooMuch,
                at.span(),
                format!("this way has {} spots", list.len()),
                "too many",
                format!("a way may go by up to {} spots; it finds its way round things by itself", limits::WAY_SPOTS),
            );
            return vec![];
        }
        let one = |index: usize| if matches!(written, SpotsFile::Many(_)) { at.item(index) } else { at };
        list.iter().enumerate().filter_map(|(index, spot)| self.spot(one(index), spot, marks)).collect()
    }

    fn tempo(&mut self, cue: &CueFile, record: At<'p>) -> Tempo {
        if cue.pace.is_some() && cue.over.is_some() {
            self.report(
                ProblemKind::Contradiction,
                record.field("over").span(),
                "a walk has a pace or a length of time, not both",
                "`pace` is given as well",
                "take one of them out: the other follows from the way",
            );
        }
        let over = self.seconds(record.field("over"), cue.over.as_ref(), &limits::TAKES);
        let pace = self.number(record.field("pace"), cue.pace, f64::from(CEREMONY_PACE_MPS), &limits::PACE);
        over.map_or(Tempo::Pace(pace as f32), Tempo::Over)
    }

    /// Nobody of those who go round is the one who is gone round.
    fn circles_another(&mut self, at: At<'_>, who: &[usize], other: usize) {
        if who.contains(&other) {
            let id = self.ids.name(Kin::People, other);
            let help = match who.len() {
                1 => "write the id of somebody or something else".to_owned(),
                _ => format!("take `{id}` out of `who`, or let them go round something else"),
            };
            let message = format!("`{id}` can't go round themselves");
            self.report(ProblemKind::Contradiction, at.span(), message, "the same person", help);
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
            TowardsFile::Id(id) if id == "freely" => Some(Facing::Freely),
            TowardsFile::Id(id) => {
                let kins = [Kin::People, Kin::Marks, Kin::Fixtures, Kin::Crew];
                match self.refer_or(at, id, &kins, Some("freely"))? {
                    (Kin::People, index) => Some(Facing::Person(PersonIx(index))),
                    (Kin::Fixtures, index) => Some(Facing::Fixture(FixtureIx(index))),
                    (Kin::Crew, index) => Some(Facing::Photographer(PhotographerIx(index))),
                    (_, index) => marks.get(index).map(|mark| Facing::Spot(mark.at)),
                }
            }
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
            GestureFile::ThrowsPetals => Gesture::ThrowsPetals,
            GestureFile::Dances(id) => Gesture::Dances(with(id)?),
        })
    }
}
