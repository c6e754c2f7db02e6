//! Files round a plan: what was open last, how the window was left, and copies of what isn't saved yet.
//!
//! Every file is written whole or not at all. A copy lies in the user's own folder, never beside the plan; it goes when the plan
//! is saved, and is offered when it is found again.

use super::style::Theme;
use crate::plan::save_text;
use serde::{Deserialize, Serialize};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};
use std::{fs, io};

/// Plans kept in the list of those that were open.
const RECENT: usize = 12;

/// Where the window keeps what is its own.
#[derive(Debug, Clone)]
pub struct Folders {
    pub state: PathBuf,
}

/// A copy of a plan as it was when the program ended without saving it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Recovered {
    pub path: Option<PathBuf>,
    pub text: String,
}

/// How the window was left.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Kept {
    pub dark: bool,
    pub scale: f32,
    pub size_pt: [f32; 2],
    pub toured: bool,
    pub recent: Vec<PathBuf>,
}

impl Default for Kept {
    fn default() -> Self {
        Self { dark: false, scale: 1.0, size_pt: [1280.0, 800.0], toured: false, recent: vec![] }
    }
}

impl Kept {
    pub fn theme(&self) -> Theme {
        if self.dark { Theme::Dark } else { Theme::Light }
    }

    /// Puts a plan first in the list.
    pub fn opened(&mut self, path: &Path) {
        self.recent.retain(|known| known != path);
        self.recent.insert(0, path.to_owned());
        self.recent.truncate(RECENT);
    }
}

impl Folders {
    /// How the window was left; as if it never was, where that can't be read.
    pub fn kept(&self) -> Kept {
        let text = fs::read_to_string(self.state.join("window.json")).unwrap_or_default();
        serde_json::from_str(&text).unwrap_or_default()
    }

    /// # Errors
    /// As the disk has them.
    pub fn keep(&self, kept: &Kept) -> io::Result<()> {
        fs::create_dir_all(&self.state)?;
        save_text(self.state.join("window.json"), &serde_json::to_string_pretty(kept)?)
    }

    /// Keeps a copy of a text that isn't saved yet.
    ///
    /// # Errors
    /// As the disk has them; an older copy is then still there.
    pub fn copy(&self, path: Option<&Path>, text: &str) -> io::Result<()> {
        let copy = Recovered { path: path.map(Path::to_owned), text: text.to_owned() };
        fs::create_dir_all(self.state.join("unsaved"))?;
        save_text(self.copy_of(path), &serde_json::to_string(&copy)?)
    }

    /// Takes the copy of a plan away, because it is saved or isn't wanted.
    pub fn forget(&self, path: Option<&Path>) {
        let _ = fs::remove_file(self.copy_of(path));
    }

    /// The copy of a plan, if there is one that says something else than `on_disk`.
    pub fn recovered(&self, path: Option<&Path>, on_disk: &str) -> Option<Recovered> {
        let text = fs::read_to_string(self.copy_of(path)).ok()?;
        let copy: Recovered = serde_json::from_str(&text).ok()?;
        (copy.text != on_disk && copy.path.as_deref() == path).then_some(copy)
    }

    fn copy_of(&self, path: Option<&Path>) -> PathBuf {
        let mut hasher = DefaultHasher::new();
        path.map(|path| fs::canonicalize(path).unwrap_or_else(|_| path.to_owned())).hash(&mut hasher);
        self.state.join("unsaved").join(format!("{:016x}.json", hasher.finish()))
    }
}

/// Plans and folders in a folder, folders first, by name.
pub fn listed(folder: &Path, kinds: &[&str]) -> io::Result<(Vec<PathBuf>, Vec<PathBuf>)> {
    let is_wanted = |path: &Path| {
        let kind = path.extension().map(|kind| kind.to_string_lossy().to_lowercase());
        kind.is_some_and(|kind| kinds.contains(&kind.as_str()))
    };
    let (mut folders, mut files) = (vec![], vec![]);
    for entry in fs::read_dir(folder)?.flatten() {
        let path = entry.path();
        let hidden = entry.file_name().to_string_lossy().starts_with('.');
        if path.is_dir() && !hidden {
            folders.push(path);
        } else if is_wanted(&path) {
            files.push(path);
        }
    }
    folders.sort();
    files.sort();
    Ok((folders, files))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_copy_comes_back_until_it_is_forgotten_and_only_if_it_says_something_new() {
        let folder = tempfile::tempdir().unwrap();
        let folders = Folders { state: folder.path().join("state") };
        let plan = folder.path().join("plan.ron");
        assert_eq!(folders.recovered(Some(&plan), "old"), None);
        folders.copy(Some(&plan), "new").unwrap();
        let copy = Recovered { path: Some(plan.clone()), text: "new".to_owned() };
        assert_eq!(folders.recovered(Some(&plan), "old"), Some(copy));
        assert_eq!(folders.recovered(Some(&plan), "new"), None, "it is saved already");
        assert_eq!(folders.recovered(None, "old"), None, "another plan’s copy");
        folders.forget(Some(&plan));
        assert_eq!(folders.recovered(Some(&plan), "old"), None);
    }

    #[test]
    fn the_window_comes_back_as_it_was_left_and_broken_notes_do_no_harm() {
        let folder = tempfile::tempdir().unwrap();
        let folders = Folders { state: folder.path().to_owned() };
        assert_eq!(folders.kept(), Kept::default());
        let mut kept = Kept { dark: true, scale: 1.25, ..Kept::default() };
        for name in ["a", "b", "a"] {
            kept.opened(Path::new(name));
        }
        assert_eq!(kept.recent, [PathBuf::from("a"), PathBuf::from("b")]);
        folders.keep(&kept).unwrap();
        assert_eq!(folders.kept(), kept);
        fs::write(folder.path().join("window.json"), "{\"dark\": tr").unwrap();
        assert_eq!(folders.kept(), Kept::default());
    }
}
