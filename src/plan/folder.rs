//! The folder of a plan file: files that the plan names, read with a size limit, and anew only when they change.

use super::beside::Beside;
use super::import::{MeshSlip, Wanted, mesh_of};
use super::limits;
use super::model::MeshBody;
use std::cell::RefCell;
use std::fs::{self, File, Metadata};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError, Weak};

/// Where a plan lies, with the meshes that were read for it as long as a plan has them.
#[derive(Debug, Default)]
pub struct Folder {
    /// `None`: the plan isn't saved yet.
    path: Option<PathBuf>,
    kept: Mutex<Vec<Kept>>,
}

#[derive(Debug)]
struct Kept {
    file: String,
    wanted: Wanted,
    /// All files that were read, as they were.
    stamps: Vec<(PathBuf, Metadata)>,
    body: Weak<MeshBody>,
}

impl Folder {
    /// The folder that a plan file lies in.
    pub fn of(plan_file: &Path) -> Self {
        let folder = plan_file.parent().filter(|folder| !folder.as_os_str().is_empty());
        Self { path: Some(folder.unwrap_or(Path::new(".")).to_owned()), kept: Mutex::default() }
    }

    /// The mesh as it was read before, if its files haven't changed since.
    fn known(&self, file: &str, wanted: Wanted) -> Option<Arc<MeshBody>> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.retain(|it| it.body.strong_count() > 0);
        let found = kept.iter().find(|it| it.file == file && it.wanted == wanted)?;
        let unchanged = found.stamps.iter().all(|(path, then)| {
            fs::metadata(path).is_ok_and(|now| now.len() == then.len() && now.modified().ok() == then.modified().ok())
        });
        found.body.upgrade().filter(|_| unchanged)
    }

    fn keep(&self, file: &str, wanted: Wanted, stamps: Vec<(PathBuf, Metadata)>, body: &Arc<MeshBody>) {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.retain(|it| !(it.file == file && it.wanted == wanted));
        kept.push(Kept { file: file.to_owned(), wanted, stamps, body: Arc::downgrade(body) });
    }
}

impl Beside for Folder {
    fn mesh(&self, file: &str, wanted: Wanted) -> Result<Arc<MeshBody>, MeshSlip> {
        if let Some(body) = self.known(file, wanted) {
            return Ok(body);
        }
        let path = self.path.as_deref().ok_or(MeshSlip::NowhereToLook)?.join(file);
        let stamps = RefCell::new(Vec::new());
        let bytes = read(&path, &stamps)?;
        let beside_it = path.parent().unwrap_or(Path::new("."));
        let body = Arc::new(mesh_of(&bytes, wanted, &|buffer| read(&beside_it.join(buffer), &stamps))?);
        self.keep(file, wanted, stamps.into_inner(), &body);
        Ok(body)
    }
}

/// A whole file, noted with when it was written. Pipes and devices, which may never end, are no files.
fn read(path: &Path, stamps: &RefCell<Vec<(PathBuf, Metadata)>>) -> Result<Vec<u8>, MeshSlip> {
    let unreadable = |error: io::Error| match error.kind() {
        io::ErrorKind::NotFound => MeshSlip::Missing,
        _ => MeshSlip::Unreadable(error.to_string()),
    };
    let stamp = fs::metadata(path).map_err(unreadable)?;
    if !stamp.is_file() {
        return Err(MeshSlip::NoFile);
    }
    if stamp.len() > limits::MESH_BYTES {
        return Err(MeshSlip::TooLarge);
    }
    let mut bytes = Vec::new();
    // One byte more than allowed tells that there is more.
    File::open(path).and_then(|file| file.take(limits::MESH_BYTES + 1).read_to_end(&mut bytes)).map_err(unreadable)?;
    stamps.borrow_mut().push((path.to_owned(), stamp));
    Ok(bytes)
}
