//! Standpoints and the frames taken from them.

use super::context::{At, Checker};
use super::ids::Kin;
use crate::plan::file::*;
use crate::plan::limits;
use crate::plan::locate::Span;
use crate::plan::model::*;
use crate::plan::problem::ProblemKind;

/// Eye height over stature: 0.936, Drillis & Contini (1966), body segment parameters.
const EYE_OVER_STATURE: f64 = 0.936;

impl<'p> Checker<'p> {
    pub fn standpoints(
        &mut self,
        file: &PlanFile,
        top: At<'p>,
        marks: &[Mark],
        crew: &[Photographer],
        moments: &[Moment],
    ) -> Vec<Standpoint> {
        let list = top.field("standpoints");
        let mut standpoints = Vec::new();
        for (index, standpoint) in file.standpoints.iter().enumerate() {
            let record = list.item(index);
            let photographer = match &standpoint.photographer {
                Some(id) => self.refer_one(record.field("photographer"), id, Kin::Crew),
                None => {
                    self.missing(
                        record,
                        "photographer",
                        "nobody is said to stand here",
                        "write `photographer: \"lead\"` or another of the crew",
                    );
                    None
                }
            };
            let stature_m = photographer.and_then(|index| crew.get(index)).map_or(1.70, |who| f64::from(who.stature_m));
            let usual = EYE_OVER_STATURE * stature_m;
            standpoints.push(Standpoint {
                id: self.ids.name(Kin::Standpoints, index),
                photographer: PhotographerIx(photographer.unwrap_or(usize::MAX)),
                at: self.needed_spot(record, "at", standpoint.at.as_ref(), marks),
                camera_height_m: self.number(record.field("height"), standpoint.height, usual, &limits::CAMERA_HEIGHT)
                    as f32,
                during: self.presences(standpoint, record, index, moments, marks),
            });
        }
        standpoints
    }

    fn presences(
        &mut self,
        standpoint: &StandpointFile,
        record: At<'p>,
        place: usize,
        moments: &[Moment],
        marks: &[Mark],
    ) -> Vec<Presence> {
        let list = record.field("during");
        let before = self.problems.len();
        let mut during = Vec::new();
        for (index, presence) in standpoint.during.iter().enumerate() {
            let at = list.item(index);
            let mut way = (None, None);
            let (id, id_at, from, to) = match presence {
                PresenceFile::Moment(id) => (Some(id), at, None, None),
                PresenceFile::Part(part) => {
                    way = (part.by.as_ref(), part.pace);
                    (part.moment.as_ref(), at.field("moment"), part.from.as_ref(), part.to.as_ref())
                }
            };
            let from_s = self.seconds(at.field("from"), from, &limits::TIME);
            let to_s = self.seconds(at.field("to"), to, &limits::TIME);
            let Some(id) = id else {
                self.missing(at, "moment", "this stretch belongs to no moment", "write `moment: \"id\"`");
                continue;
            };
            let Some(moment) = self.refer_one(id_at, id, Kin::Moments) else { continue };
            let Some(length_s) = moments.get(moment).map(|moment| moment.length_s) else { continue };
            let (from_s, to_s) = (from_s.unwrap_or(0.0), to_s.unwrap_or(length_s));
            if to_s > length_s {
                self.report(
                    ProblemKind::Timing,
                    at.field("to").span(),
                    format!("`{id}` ends before this"),
                    format!("`{id}` is {length_s} s long"),
                    "leave `to` out for the end of the moment",
                );
            } else if from_s >= to_s {
                self.report(
                    ProblemKind::Timing,
                    at.field("from").span(),
                    "this stretch ends before it begins",
                    format!("from {from_s} s to {to_s} s"),
                    "write the earlier time as `from`",
                );
            }
            let by = self.spots(at.field("by"), way.0, marks);
            let pace = self.number(at.field("pace"), way.1, f64::from(CREW_PACE_MPS), &limits::PACE);
            let (pace_mps, written) = (pace as f32, at.span());
            during.push(Presence { moment: MomentIx(moment), from_s, to_s, by, pace_mps, written });
        }
        if self.problems.len() > before
            || during.len() < standpoint.during.len()
            || self.list_was_blanked(record, "during")
        {
            self.unsure_standpoints.insert(place);
        }
        during
    }

    /// Standpoints without times of their own are held in the moments of their frames.
    pub fn fill_standpoints(&mut self, standpoints: &mut [Standpoint], frames: &[Frame], moments: &[Moment]) {
        for (index, standpoint) in standpoints.iter_mut().enumerate() {
            if !standpoint.during.is_empty() {
                continue;
            }
            let mut used: Vec<MomentIx> =
                frames.iter().filter(|frame| frame.standpoint.0 == index).map(|frame| frame.moment).collect();
            used.sort();
            used.dedup();
            let written =
                frames.iter().find(|frame| frame.standpoint.0 == index).map_or(Span::default(), |f| f.written);
            let whole = |moment: MomentIx| {
                let to_s = moments.get(moment.0)?.length_s;
                Some(Presence { moment, from_s: 0.0, to_s, by: vec![], pace_mps: CREW_PACE_MPS, written })
            };
            standpoint.during = used.into_iter().filter_map(whole).collect();
        }
    }

    #[allow(clippy::too_many_arguments)]
    pub fn frames(
        &mut self,
        file: &PlanFile,
        top: At<'p>,
        kit: &Kit,
        crew: &[Photographer],
        moments: &[Moment],
        standpoints: &[Standpoint],
        marks: &[Mark],
    ) -> Vec<Frame> {
        let list = top.field("frames");
        let mut frames = Vec::new();
        for (index, frame) in file.frames.iter().enumerate() {
            frames.push(self.frame(frame, list.item(index), index, kit, crew, moments, standpoints, marks));
        }
        frames
    }

    #[allow(clippy::too_many_arguments)]
    fn frame(
        &mut self,
        frame: &FrameFile,
        record: At<'p>,
        index: usize,
        kit: &Kit,
        crew: &[Photographer],
        moments: &[Moment],
        standpoints: &[Standpoint],
        marks: &[Mark],
    ) -> Frame {
        let moment = self.needed_reference(record, "moment", frame.moment.as_deref(), Kin::Moments);
        let standpoint = self.needed_reference(record, "standpoint", frame.standpoint.as_deref(), Kin::Standpoints);
        let after_s = self.after(frame, record, moment.and_then(|moment| moments.get(moment)));
        let stand = standpoint.and_then(|standpoint| standpoints.get(standpoint));
        let photographer = stand.and_then(|stand| crew.get(stand.photographer.0));
        let with = self.body_with_lens(frame, record, photographer, kit);
        let lens = with.and_then(|with| kit.lenses.get(with.lens));
        let of = self.whom(record.field("of"), frame.of.as_ref());
        let aim = frame.aim.as_ref().and_then(|aim| self.aim(record.field("aim"), aim, marks));
        if of.is_empty()
            && frame.aim.is_none()
            && frame.of.as_ref().is_none_or(|of| of.as_slice().is_empty())
            && !self.was_blanked(record, "aim")
        {
            self.missing(
                record,
                "of",
                "this frame is of nobody",
                "write `of: [\"id or role\"]`, or `aim` for a picture of the place",
            );
        }
        let focus_on =
            frame.focus_on.as_deref().and_then(|id| self.refer_one(record.field("focus_on"), id, Kin::People));
        let keep_out = self.whom_or_what(record.field("keep_out"), frame.keep_out.as_ref());
        for (kin, person) in &keep_out {
            if *kin == Kin::People && of.contains(person) {
                let id = self.ids.name(Kin::People, *person);
                self.report(
                    ProblemKind::Contradiction,
                    record.field("keep_out").span(),
                    format!("this frame is of `{id}` and should keep them out"),
                    "also in `of`",
                    "take them out of one of the two",
                );
            }
        }
        if let Some(stand) = stand
            && keep_out.contains(&(Kin::Crew, stand.photographer.0))
        {
            let id = self.ids.name(Kin::Crew, stand.photographer.0);
            let message = format!("`{id}` takes this frame and can't be in it");
            self.report(
                ProblemKind::Contradiction,
                record.field("keep_out").span(),
                message,
                "the one behind the camera",
                "write the id of the other photographer",
            );
        }
        let when = frame.when.as_ref().and_then(|when| self.when(record, frame, when, marks));
        Frame {
            id: self.ids.name(Kin::Frames, index),
            moment: MomentIx(moment.unwrap_or(usize::MAX)),
            after_s,
            when,
            standpoint: StandpointIx(standpoint.unwrap_or(usize::MAX)),
            with: with.unwrap_or(BodyWithLens { body: 0, lens: 0 }),
            focal_m: self.optional_number(record.field("focal_mm"), frame.focal_mm, &limits::FOCAL).map(|mm| mm * 1e-3),
            orientation: self.word(record.field("orientation"), frame.orientation.as_ref(), Orientation::Landscape),
            of: of.into_iter().map(PersonIx).collect(),
            shot_size: self.word(record.field("shot_size"), frame.shot_size.as_ref(), ShotSize::Half),
            aim,
            exposure: self.exposure(frame, record, lens),
            focus_on: focus_on.map(PersonIx),
            audience: self.word(record.field("audience"), frame.audience.as_ref(), AudienceWish::NoMatter),
            keep_out: keep_out
                .into_iter()
                .map(|(kin, index)| match kin {
                    Kin::Fixtures => KeepOutOf::Fixture(FixtureIx(index)),
                    Kin::Crew => KeepOutOf::Photographer(PhotographerIx(index)),
                    _ => KeepOutOf::Person(PersonIx(index)),
                })
                .collect(),
            note: self.text(record.field("note"), frame.note.as_deref()),
            written: record.head(),
        }
    }

    /// What the photographer waits for, instead of seconds.
    fn when(&mut self, record: At<'_>, frame: &FrameFile, when: &WhenFile, marks: &[Mark]) -> Option<When> {
        let at = record.field("when");
        if frame.after.is_some() {
            self.report(
                ProblemKind::Contradiction,
                at.span(),
                "a frame has `after` or `when`, not both",
                "`after` is given as well",
                "take one of them out",
            );
        }
        let (WhenFile::Within(id, _) | WhenFile::Passing(id, _) | WhenFile::During(id, _)) = when;
        let who = PersonIx(self.refer_one(at.item(0), id, Kin::People)?);
        Some(match when {
            WhenFile::Within(_, distance) => {
                let distance = self.optional_number(at.item(1), Some(*distance), &limits::WITHIN)?;
                When::Within { who, distance_m: distance as f32 }
            }
            WhenFile::Passing(_, what) => {
                let spot = match self.refer(at.item(1), what, &[Kin::Marks, Kin::Fixtures])? {
                    (Kin::Fixtures, index) => self.fixture_spots.get(index).copied()?,
                    (_, index) => marks.get(index)?.at,
                };
                When::Passing { who, spot }
            }
            WhenFile::During(_, deed) => When::During { who, deed: self.optional_word(at.item(1), Some(deed))? },
        })
    }

    fn needed_reference(&mut self, record: At<'_>, field: &str, id: Option<&str>, kin: Kin) -> Option<usize> {
        match id {
            Some(id) => self.refer_one(record.field(field), id, kin),
            None => {
                self.missing(record, field, format!("this frame has no {field}"), format!("write `{field}: \"id\"`"));
                None
            }
        }
    }

    fn after(&mut self, frame: &FrameFile, record: At<'_>, moment: Option<&Moment>) -> f64 {
        let half = moment.map_or(0.0, |moment| moment.length_s / 2.0);
        let after_s = self.seconds(record.field("after"), frame.after.as_ref(), &limits::TIME).unwrap_or(half);
        if let Some(moment) = moment
            && after_s > moment.length_s
        {
            let (id, length_s) = (&moment.id, moment.length_s);
            self.report(
                ProblemKind::Timing,
                record.field("after").span(),
                format!("`{id}` has ended by then"),
                format!("`{id}` is {length_s} s long"),
                "take the picture earlier, in a later moment, or lengthen the moment",
            );
        }
        after_s
    }

    fn body_with_lens(
        &mut self,
        frame: &FrameFile,
        record: At<'_>,
        photographer: Option<&Photographer>,
        kit: &Kit,
    ) -> Option<BodyWithLens> {
        let lens = match &frame.with {
            Some(id) => Some(self.refer_one(record.field("with"), id, Kin::Lenses)?),
            None => None,
        };
        let photographer = photographer?;
        let Some(lens) = lens else { return photographer.carries.first().copied() };
        let pair = photographer.carries.iter().find(|pair| pair.lens == lens).copied();
        if pair.is_none() && !photographer.carries.is_empty() {
            let carried: Vec<&str> = photographer
                .carries
                .iter()
                .filter_map(|pair| kit.lenses.get(pair.lens))
                .map(|lens| lens.id.as_str())
                .collect();
            let (who, lens) = (&photographer.id, &kit.lenses[lens].id);
            self.report(
                ProblemKind::Contradiction,
                record.field("with").span(),
                format!("`{who}` doesn't carry `{lens}`"),
                format!("`{who}` carries {}", crate::plan::slips::list(&carried)),
                format!("choose a lens they carry, or add `{lens}` to what `{who}` carries"),
            );
        }
        pair
    }

    fn aim(&mut self, at: At<'_>, aim: &AimFile, marks: &[Mark]) -> Option<Aim> {
        match aim {
            AimFile::Id(id) => match self.refer(at, id, &[Kin::People, Kin::Fixtures])? {
                (Kin::Fixtures, index) => Some(Aim::Fixture(FixtureIx(index))),
                (_, index) => Some(Aim::Person(PersonIx(index))),
            },
            AimFile::Point(point) => {
                let height_m = self.number(at.field("height"), point.height, 1.5, &limits::ABOVE_FLOOR) as f32;
                Some(Aim::Point { at: self.needed_spot(at, "at", point.at.as_ref(), marks), height_m })
            }
        }
    }

    /// f/2.8 and 1/250 s with automatic ISO, or the nearest the lens has: common practice, no source.
    fn exposure(&mut self, frame: &FrameFile, record: At<'_>, lens: Option<&Lens>) -> Exposure {
        let asked = self.optional_number(record.field("f"), frame.f, &limits::F_NUMBER);
        let mut f_number = asked.unwrap_or(2.8);
        if let Some(lens) = lens {
            let possible =
                f_number.clamp(lens.widest_f[0].min(lens.widest_f[1]), lens.narrowest_f.max(lens.widest_f[0]));
            if asked.is_some() && possible != f_number {
                let message = format!("`{}` has no f/{f_number}; f/{possible} is used", lens.id);
                self.remark(record.field("f").span(), message);
            }
            f_number = possible;
        }
        let iso = match &frame.iso {
            None => None,
            Some(IsoFile::Number(iso)) => self.optional_number(record.field("iso"), Some(*iso), &limits::ISO),
            Some(IsoFile::Word(word)) if word == "auto" => None,
            Some(IsoFile::Word(word)) => {
                self.unknown_word(record.field("iso"), word, "an ISO", &["auto"]);
                None
            }
        };
        Exposure {
            f_number,
            shutter_s: self.shutter(record.field("shutter"), frame.shutter.as_ref()).unwrap_or(1.0 / 250.0),
            iso,
            compensation_ev: self.number(record.field("compensation"), frame.compensation, 0.0, &limits::COMPENSATION),
        }
    }
}
