//! Variants: what comes differently, and the cues that belong to one of them alone.

use super::context::{At, Checker};
use super::ids::Kin;
use crate::plan::file::*;
use crate::plan::limits;
use crate::plan::model::*;
use crate::plan::problem::ProblemKind;
use crate::plan::words::nearest;

impl<'p> Checker<'p> {
    /// The plan's variants. Cues of one variant alone are taken out of the moments and into it.
    pub fn variants(&mut self, file: &PlanFile, top: At<'p>, moments: &mut [Moment]) -> Vec<Variant> {
        let list = top.field("variants");
        let mut variants: Vec<Variant> =
            file.variants.iter().enumerate().map(|(index, it)| self.variant(it, list.item(index), index)).collect();
        for (m, moment) in file.moments.iter().enumerate() {
            for (c, cue) in moment.cues.iter().enumerate() {
                let Some(id) = &cue.only_in else { continue };
                let at = top.field("moments").item(m).field("cues").item(c).field("only_in");
                let Some(variant) = self.refer_one(at, id, Kin::Variants) else { continue };
                let ix = CueIx { moment: MomentIx(m), cue: c };
                let (Some(variant), Some(cue)) =
                    (variants.get_mut(variant), moments.get_mut(m).and_then(|it| it.cues.get_mut(c)))
                else {
                    continue;
                };
                let alone = idle(cue);
                variant.adds.push((ix, std::mem::replace(cue, alone)));
            }
        }
        for (index, variant) in variants.iter().enumerate() {
            let Variant { starts_later_s, sky, skips, adds, fails, without, .. } = variant;
            let written = &file.variants[index];
            let nothing = *starts_later_s == 0.0
                && sky.is_none()
                && skips.is_empty()
                && adds.is_empty()
                && fails.is_empty()
                && without.is_empty()
                && written.venue.is_none()
                && written.marks.is_empty()
                && written.standpoints.is_empty();
            if nothing && self.problems.is_empty() {
                self.report(
                    ProblemKind::Contradiction,
                    list.item(index).head(),
                    format!("nothing comes differently in the variant `{}`", variant.id),
                    "it says nothing else than its name",
                    "say what does: `starts_later`, `sky`, `skips`, `fails`, `without`, `venue`, or a cue with `only_in`",
                );
            }
        }
        variants
    }

    fn variant(&mut self, file: &VariantFile, record: At<'p>, index: usize) -> Variant {
        let name = self.text(record.field("name"), file.name.as_deref());
        let list = |names: &Option<Names>| names.as_ref().map_or(vec![], |names| names.as_slice().to_vec());
        let mut skips = Vec::new();
        for (place, id) in list(&file.skips).iter().enumerate() {
            match self.cue_ids.get(id) {
                Some((ix, _)) => skips.push(*ix),
                None => self.unknown_cue(record.field("skips").item(place), id),
            }
        }
        let mut fails = Vec::new();
        for (place, id) in list(&file.fails).iter().enumerate() {
            fails.extend(match self.refer(record.field("fails").item(place), id, &[Kin::Bodies, Kin::Lenses]) {
                Some((Kin::Bodies, index)) => Some(Failing::Body(index)),
                Some((_, index)) => Some(Failing::Lens(index)),
                None => None,
            });
        }
        let mut without = Vec::new();
        for (place, id) in list(&file.without).iter().enumerate() {
            without.extend(self.refer_one(record.field("without").item(place), id, Kin::Crew).map(PhotographerIx));
        }
        Variant {
            id: self.ids.name(Kin::Variants, index),
            name,
            starts_later_s: self
                .seconds(record.field("starts_later"), file.starts_later.as_ref(), &limits::TIME)
                .unwrap_or(0.0),
            sky: self.optional_word(record.field("sky"), file.sky.as_ref()),
            skips,
            adds: vec![],
            fails,
            without,
            elsewhere: None,
        }
    }

    fn unknown_cue(&mut self, at: At<'_>, id: &str) {
        let meant = nearest(id, self.cue_ids.keys().map(String::as_str));
        let help = meant.map_or_else(
            || "give the cue an `id` and write it here".to_owned(),
            |meant| format!("did you mean `{meant}`? Only cues with an `id` can be skipped"),
        );
        self.report(
            ProblemKind::UnknownReference,
            at.span(),
            format!("there is no cue `{id}`"),
            "no cue has this id",
            help,
        );
    }
}
