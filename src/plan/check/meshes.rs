//! Meshes: their files read where they are named, and what is wrong with one told there.

use super::context::{At, Checker};
use crate::plan::file::MeshFile;
use crate::plan::import::{MeshSlip, Wanted};
use crate::plan::limits;
use crate::plan::model::{Mark, Mesh, MeshBody};
use std::sync::Arc;

impl<'p> Checker<'p> {
    pub fn mesh(&mut self, mesh: &MeshFile, record: At<'p>, index: usize, marks: &[Mark]) -> Mesh {
        let scale = self.number(record.field("scale"), mesh.scale, 1.0, &limits::MESH_SCALE);
        let above = record.field("above_floor");
        let above_floor_m = self.number(above, mesh.above_floor, 0.0, &limits::MESH_ABOVE_FLOOR) as f32;
        let file = self.text(record.field("file"), mesh.file.as_deref());
        Mesh {
            id: self.own_id(record, mesh.id.as_deref(), "mesh", index),
            at: self.needed_spot(record, "at", mesh.at.as_ref(), marks),
            above_floor_m,
            heading: self.heading(record, mesh.heading, 0.0),
            colour: self.colour(record.field("colour"), mesh.colour.as_ref()),
            clutter: mesh.clutter.unwrap_or(false),
            body: self.in_file(record, &file, Wanted { scale, above_floor_m }),
            file,
        }
    }

    /// What is in the file; nothing where that is told to be wrong.
    fn in_file(&mut self, record: At<'p>, file: &str, wanted: Wanted) -> Arc<MeshBody> {
        if file.is_empty() {
            let help = "write `file: \"hall.glb\"`, a glTF file beside the plan";
            self.missing(record, "file", "this mesh has no file", help);
            return Arc::default();
        }
        if self.is_full() {
            return Arc::default();
        }
        self.beside.mesh(file, wanted).unwrap_or_else(|slip| {
            self.tell(record, file, &slip);
            Arc::default()
        })
    }

    fn tell(&mut self, record: At<'p>, file: &str, slip: &MeshSlip) {
        let scale = record.field("scale");
        let at = if slip.is_of_scale() && scale.is_written() { scale } else { record.field("file") };
        self.report(slip.kind(), at.span(), slip.message(file), slip.label(), slip.help());
    }
}
