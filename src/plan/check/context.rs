//! What every check works with: the text's map, what is wrong so far, and words for what is missing.

use crate::plan::beside::Beside;
use crate::plan::file::Word;
use crate::plan::limits;
use crate::plan::locate::{Node, Span};
use crate::plan::model::*;
use crate::plan::parse::{Blanked, Parsed};
use crate::plan::problem::{Problem, ProblemKind, Remark, line_and_column};
use crate::plan::slips::list;
use crate::plan::words::{self, Vocabulary, nearest};

use super::ids::Ids;
use glam::Vec2;
use std::collections::{BTreeMap, BTreeSet};

pub struct Checker<'p> {
    /// Files that the plan names.
    pub beside: &'p dyn Beside,
    pub blanked: &'p Blanked,
    /// Map of the text as written, with what was blanked out since.
    pub written: &'p Node,
    pub text: &'p str,
    pub unit: LengthUnit,
    pub ids: Ids,
    /// Named cues of all moments, and where their ids are.
    pub cue_ids: BTreeMap<String, (CueIx, Span)>,
    /// Where each fixture stands.
    pub fixture_spots: Vec<Vec2>,
    /// Blocks of seats whose rows couldn't be read, so that no seat of theirs is told to be missing.
    pub unsure_seats: BTreeSet<usize>,
    /// Standpoints whose times couldn't be read, so that no frame is told to be out of them.
    pub unsure_standpoints: BTreeSet<usize>,
    /// People whose place couldn't be read, so that nobody is told that they aren't there.
    pub unsure_people: BTreeSet<usize>,
    pub problems: Vec<Problem>,
    pub remarks: Vec<Remark>,
}

/// A place in the map: a value, or where it would be.
#[derive(Debug, Clone, Copy)]
pub struct At<'p> {
    node: Option<&'p Node>,
    near: Span,
    seen: &'p str,
}

impl<'p> At<'p> {
    pub fn root(root: &'p Node, seen: &'p str) -> At<'p> {
        At { node: Some(root), near: root.span, seen }
    }

    pub fn field(self, name: &str) -> At<'p> {
        let field = self.node.and_then(|node| node.field(name, self.seen).or_else(|| self.other_spelling(node, name)));
        At { node: field.map(|field| &field.value), near: self.head(), seen: self.seen }
    }

    fn other_spelling(self, node: &'p Node, name: &str) -> Option<&'p crate::plan::locate::Field> {
        let other = match name {
            "centre" => "center",
            "colour" => "color",
            "hair_colour" => "hair_color",
            _ => return None,
        };
        node.field(other, self.seen)
    }

    /// An item of a list or tuple; of a single value that stands for a list, the value.
    pub fn item(self, index: usize) -> At<'p> {
        let node = self.node.and_then(|node| node.items.get(index)).or(self.node);
        At { node, near: self.near, seen: self.seen }
    }

    /// The value, or the head of the record it is missing from.
    pub fn span(self) -> Span {
        self.node.map_or(self.near, |node| node.span)
    }

    pub fn is_written(self) -> bool {
        self.node.is_some()
    }

    /// Where a record begins to be itself: its id, else its opening.
    pub fn head(self) -> Span {
        let Some(node) = self.node else { return self.near };
        match node.field("id", self.seen) {
            Some(id) => id.value.span,
            None => {
                let opening = self.seen[node.span.range()].find(['(', '[']).map_or(1, |at| at + 1);
                Span { start: node.span.start, end: (node.span.start + opening).min(node.span.end) }
            }
        }
    }

    pub fn start(self) -> Option<usize> {
        self.node.map(|node| node.span.start)
    }
}

impl<'p> Checker<'p> {
    pub fn new(parsed: &'p Parsed, text: &'p str, beside: &'p dyn Beside) -> Checker<'p> {
        Checker {
            beside,
            blanked: &parsed.blanked,
            written: &parsed.written,
            text,
            unit: LengthUnit::Metres,
            ids: Ids::default(),
            cue_ids: BTreeMap::new(),
            fixture_spots: vec![],
            unsure_seats: BTreeSet::new(),
            unsure_people: BTreeSet::new(),
            unsure_standpoints: BTreeSet::new(),
            problems: vec![],
            remarks: vec![],
        }
    }

    pub fn report(
        &mut self,
        kind: ProblemKind,
        span: Span,
        message: impl Into<String>,
        label: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.push(Problem::new(kind, span, message, label, help));
    }

    /// Like [`Checker::report`], with another place it has to do with.
    pub fn report_with(
        &mut self,
        kind: ProblemKind,
        span: Span,
        message: impl Into<String>,
        label: impl Into<String>,
        help: impl Into<String>,
        also: (Span, String),
    ) {
        let mut problem = Problem::new(kind, span, message, label, help);
        problem.also = Some(also);
        self.push(problem);
    }

    fn push(&mut self, problem: Problem) {
        // One more than is listed tells that there are more.
        if !self.is_full() {
            self.problems.push(problem);
        }
    }

    pub fn is_full(&self) -> bool {
        self.problems.len() > limits::PROBLEMS
    }

    pub fn remark(&mut self, span: Span, message: String) {
        let (line, column) = line_and_column(self.text, span.start);
        self.remarks.push(Remark { span, line, column, message });
    }

    /// Line of a place, for mentioning it.
    pub fn line(&self, span: Span) -> usize {
        line_and_column(self.text, span.start).0
    }

    /// Tells that a field is missing, unless something was written there that couldn't be read.
    pub fn missing(&mut self, record: At<'_>, field: &str, message: impl Into<String>, help: impl Into<String>) {
        let misnamed = record.start().is_some_and(|start| self.blanked.misnamed.contains(&start));
        if !misnamed && !self.was_blanked(record, field) {
            self.report(ProblemKind::Missing, record.head(), message, format!("`{field}` is missing here"), help);
        }
    }

    pub fn was_blanked(&self, record: At<'_>, field: &str) -> bool {
        record.start().is_some_and(|start| self.blanked.fields.contains(&(start, field.to_owned())))
    }

    /// Whether a list lost items, or was lost, because it couldn't be read.
    pub fn list_was_blanked(&self, record: At<'_>, field: &str) -> bool {
        let list = record.field(field);
        let misnamed = record.start().is_some_and(|start| self.blanked.misnamed.contains(&start));
        self.was_blanked(record, field)
            || (misnamed && !list.is_written())
            || (list.is_written() && list.start().is_some_and(|start| self.blanked.lists.contains(&start)))
    }

    /// A word of a vocabulary, or its default.
    pub fn word<V: Vocabulary>(&mut self, at: At<'_>, word: Option<&Word>, default: V) -> V {
        self.optional_word(at, word).unwrap_or(default)
    }

    pub fn optional_word<V: Vocabulary>(&mut self, at: At<'_>, word: Option<&Word>) -> Option<V> {
        let Word::Word(word) = word?;
        let value = V::from_word(word);
        if value.is_none() {
            let known: Vec<&str> = V::WORDS.iter().map(|(known, _)| *known).collect();
            self.unknown_word(at, word, V::WHAT, &known);
        }
        value
    }

    pub fn unknown_word(&mut self, at: At<'_>, word: &str, what: &str, known: &[&str]) {
        let meant = nearest(word, known.iter().copied());
        let known = list(known);
        let help = meant
            .map_or_else(|| format!("known are {known}"), |meant| format!("did you mean `{meant}`? Known are {known}"));
        let message = format!("`{word}` isn't {what}");
        self.report(ProblemKind::UnknownWord, at.span(), message, "not a word that is known here", help);
    }

    pub fn colour(&mut self, at: At<'_>, word: Option<&Word>) -> Option<Colour> {
        let Word::Word(word) = word?;
        let colour = words::colour(word);
        if colour.is_none() {
            let known: Vec<&str> = words::COLOURS.iter().map(|(name, _)| *name).collect();
            match word.starts_with('#') {
                true => self.report(
                    ProblemKind::UnknownWord,
                    at.span(),
                    format!("`{word}` isn't a colour"),
                    "six hexadecimal digits were expected after the `#`",
                    "write it like `\"#8aa1b6\"`, or use a word such as `ivory`",
                ),
                false => self.unknown_word(at, word, "a colour", &known),
            }
        }
        colour
    }

    /// A name, title or note, of reasonable length.
    pub fn text(&mut self, at: At<'_>, text: Option<&str>) -> String {
        let text = text.unwrap_or_default();
        let length = text.chars().count();
        if length > limits::TEXT_CHARS {
            self.report(
                ProblemKind::TooMuch,
                at.span(),
                format!("this text has {length} characters"),
                "too long",
                format!("names and notes may have up to {} characters", limits::TEXT_CHARS),
            );
        }
        text.to_owned()
    }

    /// Tells if a list is longer than a plan may hold.
    pub fn count(&mut self, at: At<'_>, number: usize, limit: limits::Count) -> bool {
        let fits = number <= limit.most;
        if !fits {
            self.report(
                ProblemKind::TooMuch,
                at.head(),
                format!("there are {number} {}", limit.what),
                "too many",
                format!("a plan may hold up to {} {}", limit.most, limit.what),
            );
        }
        fits
    }
}
