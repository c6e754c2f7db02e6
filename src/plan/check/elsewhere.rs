//! Variants in another venue: the whole plan is checked again with its venue, marks and standpoints put in place of the plan's
//! own, and everything that is wrong is told where it is written.

use super::check_at;
use super::context::At;
use crate::plan::beside::Beside;
use crate::plan::file::*;
use crate::plan::locate::{Field, Node, Span};
use crate::plan::model::Plan;
use crate::plan::parse::Parsed;
use crate::plan::problem::{Problem, ProblemKind};
use crate::plan::words::nearest;

/// Fills in `elsewhere` of each variant that moves something.
pub fn check_all(
    plan: &mut Plan,
    file: &PlanFile,
    parsed: &Parsed,
    text: &str,
    beside: &dyn Beside,
) -> Result<(), Vec<Problem>> {
    let mut problems = Vec::new();
    for (index, variant) in file.variants.iter().enumerate() {
        if variant.venue.is_none() && variant.marks.is_empty() && variant.standpoints.is_empty() {
            continue;
        }
        let mut moved = Moved { file: file.clone(), root: parsed.root.clone(), seen: &parsed.seen, problems: vec![] };
        moved.put_in(variant, index);
        if !moved.problems.is_empty() {
            problems.append(&mut moved.problems);
            continue;
        }
        match check_at(&moved.file, At::root(&moved.root, &parsed.seen), parsed, text, beside) {
            Ok((elsewhere, _)) => plan.variants[index].elsewhere = Some(Box::new(elsewhere)),
            Err(found) => {
                let id = variant.id.as_deref().unwrap_or_default();
                problems.extend(found.into_iter().map(|mut problem| {
                    problem.message = format!("in the variant `{id}`: {}", problem.message);
                    problem
                }));
            }
        }
    }
    if problems.is_empty() { Ok(()) } else { Err(problems) }
}

/// A plan's file and its map, with things put in their places.
struct Moved<'p> {
    file: PlanFile,
    root: Node,
    seen: &'p str,
    problems: Vec<Problem>,
}

impl Moved<'_> {
    fn put_in(&mut self, variant: &VariantFile, index: usize) {
        let here = self.root.field("variants", self.seen).and_then(|list| list.value.items.get(index)).cloned();
        let Some(here) = here else { return };
        let node = |name: &str| here.field(name, self.seen).map(|field| field.value.clone());
        let (venue, marks, standpoints) = (node("venue"), node("marks"), node("standpoints"));
        if let Some(venue_file) = &variant.venue {
            self.file.venue = Some(venue_file.clone());
            set_field(&mut self.root, "venue", venue, self.seen);
        }
        for (k, mark) in variant.marks.iter().enumerate() {
            let node = marks.as_ref().and_then(|list| list.items.get(k)).cloned();
            let known: Vec<&str> = self.file.marks.iter().filter_map(|it| it.id.as_deref()).collect();
            let place = match place_of(mark.id.as_deref(), &known, "mark", node.as_ref(), self.seen) {
                Ok(place) => place,
                Err(problem) => {
                    self.problems.push(*problem);
                    continue;
                }
            };
            self.file.marks[place] = mark.clone();
            if let (Some(slot), Some(node)) = (item(&mut self.root, "marks", place, self.seen), node) {
                *slot = node;
            }
        }
        for (k, moved) in variant.standpoints.iter().enumerate() {
            let node = standpoints.as_ref().and_then(|list| list.items.get(k)).cloned();
            let known: Vec<&str> = self.file.standpoints.iter().filter_map(|it| it.id.as_deref()).collect();
            let place = match place_of(moved.id.as_deref(), &known, "standpoint", node.as_ref(), self.seen) {
                Ok(place) => place,
                Err(problem) => {
                    self.problems.push(*problem);
                    continue;
                }
            };
            let standpoint = &mut self.file.standpoints[place];
            standpoint.at = moved.at.clone().or(standpoint.at.take());
            standpoint.height = moved.height.or(standpoint.height);
            let (Some(slot), Some(node)) = (item(&mut self.root, "standpoints", place, self.seen), node) else {
                continue;
            };
            for name in ["at", "height"] {
                let value = node.field(name, self.seen).map(|field| field.value.clone());
                set_field(slot, name, value, self.seen);
            }
        }
    }
}

/// Which of the plan's marks or standpoints is moved.
fn place_of(
    id: Option<&str>,
    known: &[&str],
    what: &str,
    node: Option<&Node>,
    seen: &str,
) -> Result<usize, Box<Problem>> {
    let written = node.and_then(|node| node.field("id", seen)).map(|field| field.value.span);
    let span = written.or(node.map(|node| node.span)).unwrap_or_default();
    let Some(id) = id else {
        return Err(Box::new(Problem::new(
            ProblemKind::Missing,
            span,
            format!("this doesn't say which {what} is moved"),
            "`id` is missing here",
            format!("write the id of a {what} of the plan and where it is in this venue"),
        )));
    };
    known.iter().position(|it| *it == id).ok_or_else(|| {
        let help = match nearest(id, known.iter().copied()) {
            Some(meant) => format!("did you mean `{meant}`? A variant moves what the plan has"),
            None => format!("a variant moves what the plan has; add the {what} there first"),
        };
        Box::new(Problem::new(
            ProblemKind::UnknownReference,
            span,
            format!("there is no {what} `{id}` to move"),
            format!("no {what} has this id"),
            help,
        ))
    })
}

fn item<'n>(root: &'n mut Node, list: &str, place: usize, seen: &str) -> Option<&'n mut Node> {
    let list = root.fields.iter_mut().find(|field| &seen[field.name.range()] == list)?;
    list.value.items.get_mut(place)
}

/// Puts a value in a record's map; a field that the record doesn't have gets a name from where the value stands.
fn set_field(record: &mut Node, name: &str, value: Option<Node>, seen: &str) {
    let Some(value) = value else { return };
    match record.fields.iter_mut().find(|field| &seen[field.name.range()] == name) {
        Some(field) => field.value = value,
        None => {
            let before = seen[..value.span.start].rfind(name).unwrap_or(value.span.start);
            record.fields.push(Field { name: Span { start: before, end: before + name.len() }, value });
        }
    }
}
