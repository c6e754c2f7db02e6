//! The sketch on the floor: painted, dragged, turned.

use super::paint::Lie;
use crate::plan::edit::Way;
use crate::plan::{Plan, Sketch};
use crate::window::Stroke;
use crate::window::sketch::value;
use crate::window::wish::{Change, Wish};
use egui::epaint::{Mesh, Vertex};
use egui::{Color32, TextureHandle, Ui, pos2};
use glam::Vec2;

/// White so thin that what is drawn stays legible under it; the engine blends light, not numbers, hence the brighter white.
const SKETCH_TINT: Color32 = Color32::from_rgba_premultiplied(200, 200, 200, 150);

/// The sketch follows the pointer, or turns about its middle.
pub fn drag_sketch(ui: &Ui, plan: &Plan, response: &egui::Response, lie: &Lie, wishes: &mut Vec<Wish>) {
    let Some(sketch) = &plan.venue.sketch else { return };
    let held_at = response.id.with("sketch");
    let (shift, alt) = ui.input(|input| (input.modifiers.shift, input.modifiers.alt));
    let heading_of = |spot: Vec2| (spot.x - sketch.centre.x).atan2(sketch.centre.y - spot.y);
    if response.drag_started_by(egui::PointerButton::Primary)
        && let Some(origin) = ui.input(|input| input.pointer.press_origin())
    {
        let spot = lie.spot(origin);
        let grip = (sketch.centre - spot, sketch.heading - heading_of(spot), shift);
        ui.data_mut(|data| data.insert_temp(held_at, grip));
    }
    let held = ui.data(|data| data.get_temp::<(Vec2, f32, bool)>(held_at));
    if let (Some((grip, turned, turns)), Some(pointer)) = (held, response.interact_pointer_pos())
        && response.drag_delta() != egui::Vec2::ZERO
    {
        let spot = lie.spot(pointer);
        let step = if alt { 0.1_f32 } else { 1.0 }.to_radians();
        let new = match turns {
            true => Sketch { heading: wrapped(((heading_of(spot) + turned) / step).round() * step), ..sketch.clone() },
            false => Sketch { centre: spot + grip, ..sketch.clone() },
        };
        wishes.push(Wish::Edit {
            label: "Move the sketch".to_owned(),
            stroke: Some(Stroke("sketch".to_owned())),
            change: Change::Set(Way::new().field("venue").field("sketch"), value(&new, plan.units)),
        });
    }
    if response.drag_stopped() {
        ui.data_mut(|data| data.remove::<(Vec2, f32, bool)>(held_at));
        wishes.push(Wish::Lift);
    }
}

/// Between half a turn either way.
fn wrapped(angle: f32) -> f32 {
    use std::f32::consts::{PI, TAU};
    (angle + PI).rem_euclid(TAU) - PI
}

/// A picture between four corners: upper left, upper right, lower right, lower left.
pub fn lay(painter: &egui::Painter, texture: &TextureHandle, corners: &[egui::Pos2; 4]) {
    let mut mesh = Mesh::with_texture(texture.id());
    let uvs = [pos2(0.0, 0.0), pos2(1.0, 0.0), pos2(1.0, 1.0), pos2(0.0, 1.0)];
    mesh.vertices = corners.iter().zip(uvs).map(|(&pos, uv)| Vertex { pos, uv, color: SKETCH_TINT }).collect();
    mesh.indices = vec![0, 1, 2, 0, 2, 3];
    painter.add(mesh);
}
