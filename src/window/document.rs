//! The open plan: its text, what the text means, and every step back.
//!
//! The document is the text of the file. An edit is a new text that still reads as a plan; one that doesn't is refused with
//! its problems, so that a slip of the mouse never leaves a plan that nobody can open. Only the text panel may leave it broken.

use crate::plan::edit::{Way, written};
use crate::plan::{Folder, Plan, Problems, Remark, read_beside};
use crate::staging::{Hitch, rehearse};
use std::cell::RefCell;
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Texts kept for undo; a plan of 500 frames has 200 kB.
const STEPS: usize = 400;

/// A plan that reads, rehearsed.
#[derive(Debug, Clone)]
pub struct Reading {
    pub plan: Plan,
    pub remarks: Vec<Remark>,
    pub hitches: Vec<Hitch>,
}

#[derive(Debug, Clone)]
struct Step {
    label: String,
    /// Before the step.
    text: String,
}

/// Edits with the same key that follow each other are one step back: a drag, a word as it is typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stroke(pub String);

pub struct Document {
    pub path: Option<PathBuf>,
    /// What lies beside it.
    folder: Folder,
    text: String,
    /// As it is on disk; `None` if it never was.
    saved: Option<String>,
    reading: Option<Arc<Reading>>,
    /// Why the text doesn't read.
    problems: Option<Problems>,
    past: Vec<Step>,
    future: Vec<Step>,
    stroke: Option<Stroke>,
    revision: u64,
    /// What was asked of this text already: finding a value means going through the text.
    looked_up: RefCell<HashMap<Way, Option<String>>>,
}

impl Document {
    /// Opens a text, whether it reads or not.
    pub fn open(path: Option<PathBuf>, text: String, saved: bool) -> Self {
        let mut document = Self {
            folder: path.as_deref().map_or_else(Folder::default, Folder::of),
            path,
            saved: saved.then(|| text.clone()),
            text: String::new(),
            reading: None,
            problems: None,
            past: vec![],
            future: vec![],
            stroke: None,
            revision: 0,
            looked_up: RefCell::default(),
        };
        document.take(text);
        document
    }

    /// It is saved there by now. From another folder the files that it names are others.
    pub fn lies_at(&mut self, path: PathBuf) {
        let stays = self.path.as_deref().and_then(Path::parent) == path.parent();
        if !stays {
            self.folder = Folder::of(&path);
            self.take(self.text.clone());
        }
        self.path = Some(path);
    }

    pub fn text(&self) -> &str {
        &self.text
    }

    /// A value as it is written, if it is.
    pub fn written(&self, way: &Way) -> Option<String> {
        if let Some(known) = self.looked_up.borrow().get(way) {
            return known.clone();
        }
        let found = written(&self.text, way).map(str::to_owned);
        self.looked_up.borrow_mut().insert(way.clone(), found.clone());
        found
    }

    /// The plan as it last read.
    pub fn reading(&self) -> Option<&Arc<Reading>> {
        self.reading.as_ref()
    }

    pub fn plan(&self) -> Option<&Plan> {
        self.reading.as_deref().map(|reading| &reading.plan)
    }

    pub fn problems(&self) -> Option<&Problems> {
        self.problems.as_ref()
    }

    /// Comes after another document: no number of its changes was one of that one's, whose answers may still be on their way.
    pub fn follows(mut self, earlier: &Self) -> Self {
        self.revision += earlier.revision;
        self
    }

    /// Another number after every change.
    pub fn revision(&self) -> u64 {
        self.revision
    }

    pub fn is_saved(&self) -> bool {
        self.saved.as_ref() == Some(&self.text)
    }

    pub fn mark_saved(&mut self) {
        self.saved = Some(self.text.clone());
    }

    /// What stood on disk when it was last read or written.
    pub fn text_on_disk(&self) -> Option<&str> {
        self.saved.as_deref()
    }

    /// The file says something else by now; the next save replaces it.
    pub fn on_disk_is(&mut self, text: String) {
        self.saved = Some(text);
    }

    pub fn name(&self) -> String {
        let name = self.path.as_deref().and_then(|path| path.file_name());
        name.map_or_else(|| "A new plan".to_owned(), |name| name.to_string_lossy().into_owned())
    }

    /// Takes a new text as one step back named `label`.
    ///
    /// # Errors
    /// The text doesn't read; the document stays as it was.
    pub fn edit(&mut self, label: &str, stroke: Option<Stroke>, text: String) -> Result<(), Problems> {
        if text == self.text {
            return Ok(());
        }
        let reading = self.read(&text)?;
        self.step(label, stroke);
        self.text = text;
        self.settle(Ok(reading));
        Ok(())
    }

    /// As [`Self::edit`], of a text that may be broken: the plan then stays as it last read, and what is wrong is told.
    pub fn write(&mut self, label: &str, stroke: Option<Stroke>, text: String) {
        if text != self.text {
            self.step(label, stroke);
            self.take(text);
        }
    }

    /// The next edit begins a step of its own.
    pub fn lift(&mut self) {
        self.stroke = None;
    }

    /// What undo and redo would take back or do again.
    pub fn undo_label(&self) -> Option<&str> {
        self.past.last().map(|step| step.label.as_str())
    }

    pub fn redo_label(&self) -> Option<&str> {
        self.future.last().map(|step| step.label.as_str())
    }

    pub fn undo(&mut self) -> bool {
        let Some(step) = self.past.pop() else { return false };
        self.future.push(Step { label: step.label, text: self.text.clone() });
        self.take(step.text);
        self.stroke = None;
        true
    }

    pub fn redo(&mut self) -> bool {
        let Some(step) = self.future.pop() else { return false };
        self.past.push(Step { label: step.label, text: self.text.clone() });
        self.take(step.text);
        self.stroke = None;
        true
    }

    fn step(&mut self, label: &str, stroke: Option<Stroke>) {
        let goes_on = stroke.is_some() && stroke == self.stroke;
        self.stroke = stroke;
        self.future.clear();
        if !goes_on {
            self.past.push(Step { label: label.to_owned(), text: self.text.clone() });
            let too_many = self.past.len().saturating_sub(STEPS);
            self.past.drain(..too_many);
        }
    }

    fn take(&mut self, text: String) {
        let reading = self.read(&text);
        self.text = text;
        self.settle(reading);
    }

    fn read(&self, text: &str) -> Result<Reading, Problems> {
        let (plan, remarks) = read_beside(text, &self.folder)?;
        let (plan, hitches) = rehearse(plan);
        Ok(Reading { plan, remarks, hitches })
    }

    fn settle(&mut self, reading: Result<Reading, Problems>) {
        self.revision += 1;
        self.looked_up.get_mut().clear();
        match reading {
            Ok(reading) => (self.reading, self.problems) = (Some(Arc::new(reading)), None),
            Err(problems) => self.problems = Some(problems),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::STARTER;

    fn retitled(title: &str) -> String {
        STARTER.replacen("Under the oak", title, 1)
    }

    fn stroke(key: &str) -> Option<Stroke> {
        Some(Stroke(key.to_owned()))
    }

    #[test]
    fn edits_of_one_stroke_are_one_step_until_it_is_lifted() {
        let mut document = Document::open(None, STARTER.to_owned(), true);
        for title in ["A", "B", "C"] {
            document.edit("Typing", stroke("title"), retitled(title)).unwrap();
        }
        document.lift();
        document.edit("Typing", stroke("title"), retitled("D")).unwrap();
        assert!(document.undo());
        assert_eq!(document.text(), retitled("C"));
        assert!(document.undo());
        assert_eq!((document.text(), document.is_saved()), (STARTER, true));
        assert!(!document.undo());
        assert!(document.redo() && document.redo() && !document.redo());
        assert_eq!(document.text(), retitled("D"));
    }

    #[test]
    fn an_edit_that_leaves_no_plan_is_refused_and_typing_may_pass_through_it() {
        let mut document = Document::open(None, STARTER.to_owned(), true);
        let broken = STARTER.replacen("format: 1", "format: one", 1);
        assert!(document.edit("Slip", None, broken.clone()).is_err());
        assert_eq!((document.text(), document.undo_label()), (STARTER, None));
        document.write("Typing", None, broken.clone());
        assert_eq!(document.text(), broken);
        assert!(document.problems().is_some() && document.plan().is_some(), "the plan stays as it last read");
    }

    #[test]
    fn no_revision_comes_twice_when_another_plan_is_opened() {
        let mut first = Document::open(None, STARTER.to_owned(), true);
        first.edit("Typing", None, retitled("A")).unwrap();
        let second = Document::open(None, STARTER.to_owned(), true).follows(&first);
        assert!(second.revision() > first.revision());
    }
}
