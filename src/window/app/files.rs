//! Opening, saving, closing, and what is kept aside meanwhile.

use super::App;
use crate::plan::{load, save_text};
use crate::window::document::Document;
use crate::window::view::{Sheet, Then};
use std::fs;
use std::path::{Path, PathBuf};

/// Between two copies of what isn't saved, and between two looks at the file, seconds.
const COPY_S: f64 = 5.0;
const DISK_S: f64 = 2.0;

impl App {
    /// Opens a file, whether it reads as a plan or not.
    ///
    /// # Errors
    /// It can't be read as text.
    pub fn open(&mut self, path: &Path) -> Result<(), String> {
        let text = match load(path) {
            Ok(loaded) => loaded.text,
            Err(crate::plan::LoadError::Wrong { text, .. }) => text,
            Err(error) => return Err(error.to_string()),
        };
        let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        self.recovered = self.folders.recovered(Some(&path), &text);
        self.kept.opened(&path);
        self.take(Document::open(Some(path), text, true));
        if self.recovered.is_some() {
            self.view.sheet = Sheet::Recover;
        }
        Ok(())
    }

    /// Writes down how the window is left.
    pub fn keep(&self) {
        let _ = self.folders.keep(&self.kept);
    }

    pub(super) fn on_disk(&self) -> Option<String> {
        fs::read_to_string(self.document.path.as_deref()?).ok()
    }

    pub(super) fn save_to(&mut self, path: &Path) -> bool {
        let before = self.document.path.clone();
        match save_text(path, self.document.text()) {
            Ok(()) => {
                self.folders.forget(before.as_deref());
                self.document.lies_at(fs::canonicalize(path).unwrap_or_else(|_| path.to_owned()));
                self.document.mark_saved();
                self.kept.opened(path);
                let _ = self.folders.keep(&self.kept);
                self.say(format!("Saved {}", path.display()));
                true
            }
            Err(error) => {
                self.say(format!(
                    "{} can’t be written: {error}; the plan is still here and kept aside",
                    path.display()
                ));
                false
            }
        }
    }

    pub(super) fn go_on(&mut self, then: Then) {
        self.view.sheet = Sheet::Nothing;
        match then {
            Then::Close => self.closes = true,
            Then::Open => self.view.sheet = Sheet::Open { folder: self.folder() },
            Then::New => self.view.sheet = Sheet::New,
        }
    }

    pub(super) fn go_on_if_saved(&mut self, then: Then) {
        if self.document.is_saved() || self.document.undo_label().is_none() {
            self.go_on(then);
        } else {
            self.view.sheet = Sheet::Unsaved { then };
        }
    }

    /// Asks what becomes of changes, then closes.
    pub fn close(&mut self) {
        self.go_on_if_saved(Then::Close);
    }

    pub(super) fn folder(&self) -> String {
        let folder = self.document.path.as_deref().and_then(Path::parent).map(Path::to_owned);
        let folder = folder.or_else(|| fs::canonicalize(".").ok()).unwrap_or_else(|| PathBuf::from("/"));
        folder.display().to_string()
    }

    /// Keeps a copy of what isn't saved, and sees whether somebody else changed the file.
    pub(super) fn keep_house(&mut self) {
        let revision = self.document.revision();
        let dirty = !self.document.is_saved() && self.document.undo_label().is_some();
        if dirty && self.copied.0 != revision && self.now_s - self.copied.1 >= COPY_S {
            if let Err(error) = self.folders.copy(self.document.path.as_deref(), self.document.text()) {
                self.say(format!("No copy could be kept aside: {error}. Save soon"));
            }
            self.copied = (revision, self.now_s);
        }
        if self.now_s - self.looked_s >= DISK_S && self.view.sheet == Sheet::Nothing {
            self.looked_s = self.now_s;
            let known = self.document.text_on_disk().map(str::to_owned);
            if let (Some(known), Some(now)) = (known, self.on_disk())
                && known != now
            {
                if self.document.text() == now {
                    self.document.mark_saved();
                } else {
                    self.view.sheet = Sheet::ChangedOnDisk;
                }
            }
        }
    }
}
