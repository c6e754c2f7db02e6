//! Spots, sizes, outlines and headings, and ids that nothing refers to.

use super::context::{At, Checker};
use crate::plan::file::{SpotFile, Word};
use crate::plan::limits;
use crate::plan::model::*;
use crate::plan::problem::ProblemKind;
use crate::plan::slips::list;
use crate::plan::words::Vocabulary;
use glam::Vec2;

impl Checker<'_> {
    pub fn heading(&mut self, record: At<'_>, degrees: Option<f64>, default_deg: f64) -> f32 {
        self.number(record.field("heading"), degrees, default_deg, &limits::ANGLE).to_radians() as f32
    }

    pub fn needed_word<V: Vocabulary>(&mut self, record: At<'_>, field: &str, word: Option<&Word>, default: V) -> V {
        if word.is_none() {
            let known: Vec<&str> = V::WORDS.iter().map(|(word, _)| *word).collect();
            self.missing(record, field, format!("{} is missing", V::WHAT), format!("known are {}", list(&known)));
        }
        self.word(record.field(field), word, default)
    }

    pub fn needed_spot(&mut self, record: At<'_>, field: &str, spot: Option<&SpotFile>, marks: &[Mark]) -> Vec2 {
        let Some(spot) = spot else {
            self.missing(
                record,
                field,
                format!("`{field}` is missing"),
                format!("write `{field}: (x, z)`, or a mark's id in quotes"),
            );
            return Vec2::ZERO;
        };
        self.spot(record.field(field), spot, marks).unwrap_or(Vec2::ZERO)
    }

    pub fn needed_size(&mut self, record: At<'_>, size: Option<(f64, f64)>) -> Vec2 {
        let Some((width, depth)) = size else {
            self.missing(record, "size", "the size is missing", "write `size: (width, depth)`");
            return Vec2::ONE;
        };
        let at = record.field("size");
        Vec2::new(
            self.number(at.item(0), Some(width), 1.0, &limits::SIZE) as f32,
            self.number(at.item(1), Some(depth), 1.0, &limits::SIZE) as f32,
        )
    }

    /// Three or more corners; two are opposite corners of a rectangle.
    pub fn outline(&mut self, record: At<'_>, field: &str, corners: &[SpotFile], marks: &[Mark]) -> Vec<Vec2> {
        let points =
            self.points(record, field, corners, marks, 2, "an outline has two opposite corners, or three and more");
        match points.as_slice() {
            [a, c] => vec![*a, Vec2::new(c.x, a.y), *c, Vec2::new(a.x, c.y)],
            _ => points,
        }
    }

    pub fn points(
        &mut self,
        record: At<'_>,
        field: &str,
        spots: &[SpotFile],
        marks: &[Mark],
        least: usize,
        rule: &str,
    ) -> Vec<Vec2> {
        let list = record.field(field);
        if spots.is_empty() && !list.is_written() {
            self.missing(
                record,
                field,
                format!("`{field}` is missing"),
                format!("write `{field}: [(x, z), …]`: {rule}"),
            );
        } else if spots.len() < least && !self.list_was_blanked(record, field) {
            self.report(
                ProblemKind::OutOfRange,
                list.span(),
                format!("`{field}` has {} points", spots.len()),
                format!("at least {least} were expected"),
                rule,
            );
        } else if spots.len() > limits::OUTLINE_POINTS {
            self.report(
                ProblemKind::TooMuch,
                list.head(),
                format!("`{field}` has {} points", spots.len()),
                "too many",
                format!("up to {} are possible", limits::OUTLINE_POINTS),
            );
            return vec![];
        }
        spots.iter().enumerate().filter_map(|(index, spot)| self.spot(list.item(index), spot, marks)).collect()
    }

    /// An id that nothing refers to: made up where it is left out.
    pub fn own_id(&mut self, record: At<'_>, id: Option<&str>, stem: &str, index: usize) -> String {
        match id {
            Some(id) => {
                self.fit_for_a_file_name(record.field("id").span(), id);
                id.to_owned()
            }
            None => format!("{stem}-{}", index + 1),
        }
    }

    pub fn same_ids_in(&mut self, list: At<'_>, ids: Vec<&str>) {
        for (index, id) in ids.iter().enumerate() {
            if let Some(first) = ids[..index].iter().position(|other| other == id) {
                let first = list.item(first).head();
                let line = self.line(first);
                self.report_with(
                    ProblemKind::DuplicateId,
                    list.item(index).head(),
                    format!("the id `{id}` is taken: line {line} has it"),
                    "the second one",
                    "give one of the two another id",
                    (first, "the first one".to_owned()),
                );
            }
        }
    }
}
