//! Plan files on disk: read with a size limit, written whole or not at all.

use super::limits;
use super::problem::{Problems, Remark};
use super::{Folder, Plan, read_beside};
use std::fs::{File, Permissions};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use tempfile::NamedTempFile;

/// A plan with the text it was read from.
#[derive(Debug, Clone)]
pub struct Loaded {
    pub plan: Plan,
    pub remarks: Vec<Remark>,
    pub text: String,
}

#[derive(Debug, thiserror::Error)]
pub enum LoadError {
    #[error("{} can't be read: {source}", path.display())]
    Unreadable { path: PathBuf, source: io::Error },
    #[error("{} is larger than {} MB, far more than any plan; is it the right file?", path.display(), limits::FILE_BYTES / 1024 / 1024)]
    TooLarge { path: PathBuf },
    #[error("{} isn't text (byte {at} isn't UTF-8); is it the right file?", path.display())]
    NotText { path: PathBuf, at: usize },
    #[error("{problems}")]
    Wrong { problems: Problems, text: String },
}

/// Reads and checks a plan file, with the files it names.
///
/// # Errors
/// The file can't be read, is too large, isn't UTF-8, or its plan has problems.
pub fn load(path: impl AsRef<Path>) -> Result<Loaded, LoadError> {
    let path = path.as_ref();
    let text = read_text(path)?;
    match read_beside(&text, &Folder::of(path)) {
        Ok((plan, remarks)) => Ok(Loaded { plan, remarks, text }),
        Err(problems) => Err(LoadError::Wrong { problems, text }),
    }
}

fn read_text(path: &Path) -> Result<String, LoadError> {
    let unreadable = |source| LoadError::Unreadable { path: path.to_owned(), source };
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(unreadable)?;
    // One byte more than allowed tells that there is more.
    file.take(limits::FILE_BYTES + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() as u64 > limits::FILE_BYTES {
        return Err(LoadError::TooLarge { path: path.to_owned() });
    }
    String::from_utf8(bytes)
        .map_err(|error| LoadError::NotText { path: path.to_owned(), at: error.utf8_error().valid_up_to() })
}

/// Writes a text file whole or not at all: beside it first, flushed to disk, then put in its place. Keeps the permissions of
/// the file it replaces, and follows a link to the file it stands for.
///
/// # Errors
/// As the disk has them; the old file is then untouched.
pub fn save_text(path: impl AsRef<Path>, text: &str) -> io::Result<()> {
    save_bytes(path, text.as_bytes())
}

/// [`save_text`] for any file: pictures and records are whole or not there either.
///
/// # Errors
/// As the disk has them; the old file is then untouched.
pub fn save_bytes(path: impl AsRef<Path>, bytes: &[u8]) -> io::Result<()> {
    let asked = path.as_ref();
    let path = std::fs::canonicalize(asked).unwrap_or_else(|_| asked.to_owned());
    let folder = folder_of(&path);
    let permissions = match std::fs::metadata(&path) {
        Ok(old) => Some(old.permissions()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => None,
        Err(error) => return Err(error),
    };
    let beside = written_beside(folder, bytes, permissions)?;
    beside.persist(&path).map_err(|error| error.error)?;
    settle(folder);
    Ok(())
}

/// Writes a new text file whole or not at all, and never over one that exists.
///
/// # Errors
/// [`io::ErrorKind::AlreadyExists`] if there is something of that name; else as the disk has them.
pub fn save_new_text(path: impl AsRef<Path>, text: &str) -> io::Result<()> {
    let path = path.as_ref();
    let folder = folder_of(path);
    let beside = written_beside(folder, text.as_bytes(), None)?;
    beside.persist_noclobber(path).map_err(|error| error.error)?;
    settle(folder);
    Ok(())
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

fn written_beside(folder: &Path, bytes: &[u8], permissions: Option<Permissions>) -> io::Result<NamedTempFile> {
    let mut beside = tempfile::Builder::new().prefix(".standpoint-").suffix(".tmp").tempfile_in(folder)?;
    beside.write_all(bytes)?;
    match permissions {
        Some(permissions) => beside.as_file().set_permissions(permissions)?,
        None => let_others_read(beside.as_file())?,
    }
    beside.as_file().sync_all()?;
    Ok(beside)
}

/// The new name itself must reach the disk; not every system lets a folder be opened for that.
fn settle(folder: &Path) {
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}

/// A new file is readable like any other; temporary ones begin private.
#[cfg(unix)]
fn let_others_read(file: &File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn let_others_read(_: &File) -> io::Result<()> {
    Ok(())
}
