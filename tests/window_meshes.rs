//! The window's document with files beside it, and its panels with a mesh chosen.
#![cfg(feature = "panels")]

mod models;

use egui::vec2;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use glam::{Vec2, Vec3};
use models::{Model, box_of};
use standpoint::plan::STARTER;
use standpoint::window::{App, Document, Draw, Folders, Kind, Selected, Wish};
use std::fs;
use std::sync::Arc;
use tempfile::TempDir;

/// The starter with a box beside it.
fn text() -> String {
    let text =
        STARTER.replacen("venue: (", "venue: (\n        meshes: [(id: \"box\", file: \"box.glb\", at: (6, -6))],", 1);
    assert_ne!(text, STARTER);
    text
}

fn folder_with_a_box() -> TempDir {
    let dir = TempDir::new().unwrap();
    fs::write(dir.path().join("box.glb"), Model::of(&box_of(Vec3::ZERO, Vec3::ONE)).glb()).unwrap();
    dir
}

#[test]
fn a_document_finds_what_lies_beside_it() {
    let [here, elsewhere] = [folder_with_a_box(), TempDir::new().unwrap()];
    let mut unsaved = Document::open(None, text(), false);
    assert!(unsaved.problems().is_some() && unsaved.plan().is_none());
    unsaved.lies_at(here.path().join("plan.ron"));
    assert!(unsaved.problems().is_none() && unsaved.plan().is_some_and(|plan| plan.venue.meshes.len() == 1));

    let mut document = Document::open(Some(here.path().join("plan.ron")), text(), true);
    let body = |document: &Document| Arc::clone(&document.plan().unwrap().venue.meshes[0].body);
    let read = body(&document);
    document.edit("Move box", None, text().replace("(6, -6)", "(7, -6)")).unwrap();
    assert_eq!(document.plan().unwrap().venue.meshes[0].at, Vec2::new(7.0, -6.0));
    assert!(Arc::ptr_eq(&read, &body(&document)), "the file was read once");
    let revision = document.revision();
    document.lies_at(here.path().join("another.ron"));
    assert_eq!(document.revision(), revision, "the same folder");
    document.lies_at(elsewhere.path().join("plan.ron"));
    assert!(document.problems().is_some() && document.revision() > revision);
}

#[test]
fn a_mesh_is_chosen_and_its_fields_are_shown() {
    let dir = folder_with_a_box();
    let plan = dir.path().join("plan.ron");
    fs::write(&plan, text()).unwrap();
    let draw = || -> Draw { Box::new(|_, long_px| Ok(image::RgbImage::new(long_px, long_px * 2 / 3))) };
    let mut app = App::new(&egui::Context::default(), Folders { state: dir.path().join("state") }, draw, || ());
    app.open(&plan).unwrap();
    app.fulfil(Wish::Select(Some(Selected::new(Kind::Mesh, 0))));
    let mut harness = Harness::builder().with_size(vec2(1280.0, 720.0)).build_ui_state(
        |ui, app: &mut App| {
            let now_s = ui.input(|input| input.time);
            app.show(ui, now_s);
        },
        app,
    );
    harness.run_steps(8);
    for field in ["file", "at", "above floor", "scale", "clutter"] {
        assert!(harness.query_all_by_label_contains(field).next().is_some(), "{field}");
    }
}
