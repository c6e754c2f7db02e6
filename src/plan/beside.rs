//! What lies beside a plan file and is named in it. The core asks; only [`Folder`](super::Folder) looks.

use super::import::{MeshSlip, Wanted};
use super::model::MeshBody;
use std::sync::Arc;

pub trait Beside {
    /// The mesh in a file, by its way from the plan's folder.
    ///
    /// # Errors
    /// What is wrong with the file.
    fn mesh(&self, file: &str, wanted: Wanted) -> Result<Arc<MeshBody>, MeshSlip>;
}

/// Of a plan that is only a text.
#[derive(Debug, Clone, Copy)]
pub struct Nothing;

impl Beside for Nothing {
    fn mesh(&self, _: &str, _: Wanted) -> Result<Arc<MeshBody>, MeshSlip> {
        Err(MeshSlip::NowhereToLook)
    }
}
