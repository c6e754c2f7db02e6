//! A live viewfinder for each photographer: drag in it to aim, scroll to zoom within the lens, with Shift to raise and lower the
//! camera.

use super::note;
use crate::optics::shutter_text;
use crate::plan::edit::{length_value, number_value, spot_value, text_value};
use crate::plan::{PhotographerIx, Plan};
use crate::window::finder::Facts;
use crate::window::style::{self, STEP, crew_colour};
use crate::window::view::{Kind, Selected, View};
use crate::window::wish::{Change, Wish};
use crate::window::{Shown, Stroke};
use egui::{Align2, Color32, ColorImage, DragValue, Rect, RichText, Sense, TextureHandle, Ui, pos2, vec2};
use glam::{Vec2, Vec3};

/// A photographer's viewfinder as it was last drawn.
#[derive(Default)]
pub struct Live {
    pub texture: Option<TextureHandle>,
    pub facts: Option<Facts>,
    pub image: Option<ColorImage>,
    /// Why there is no picture.
    pub down: String,
    /// Which text and instant it is of.
    pub revision: u64,
    pub at_s: f64,
}

/// A picture kept to compare with.
pub struct HeldPicture {
    pub image: ColorImage,
    pub label: String,
    pub texture: Option<TextureHandle>,
}

/// One viewfinder, and beside it the picture that is kept, if one is.
pub fn compared(
    ui: &mut Ui,
    shown: &Shown,
    view: &View,
    crew: PhotographerIx,
    live: &Live,
    held: Option<&HeldPicture>,
    wishes: &mut Vec<Wish>,
) {
    let Some(held) = held else { return one(ui, shown, view, crew, live, wishes) };
    ui.columns(2, |columns| {
        let ui = &mut columns[0];
        note(ui, view.theme.palette(), &held.label);
        let room = vec2(ui.available_width(), (ui.available_height() - style::TARGET - STEP).max(60.0));
        let (area, _) = ui.allocate_exact_size(room, Sense::hover());
        if let Some(texture) = &held.texture {
            let uv = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
            ui.painter().image(texture.id(), fitted(area, texture.size_vec2()), uv, Color32::WHITE);
        }
        one(&mut columns[1], shown, view, crew, live, wishes);
    });
}

pub fn show(ui: &mut Ui, shown: &Shown, view: &View, live: &[Live], wishes: &mut Vec<Wish>) {
    let count = live.len().max(1) as f32;
    let each = (ui.available_height() / count - STEP).max(120.0);
    for (number, finder) in live.iter().enumerate() {
        let size = vec2(ui.available_width(), each);
        ui.allocate_ui(size, |ui| one(ui, shown, view, PhotographerIx(number), finder, wishes));
    }
}

/// One viewfinder with its line of settings, as large as there is room.
pub fn one(ui: &mut Ui, shown: &Shown, view: &View, crew: PhotographerIx, live: &Live, wishes: &mut Vec<Wish>) {
    let plan = shown.plan();
    let palette = view.theme.palette();
    let Some(photographer) = plan.crew.get(crew.0) else { return };
    let facts = live.facts.as_ref().filter(|facts| facts.fit(plan));
    ui.horizontal(|ui| {
        let (dot, _) = ui.allocate_exact_size(vec2(12.0, 12.0), Sense::hover());
        ui.painter().circle_filled(dot.center(), 5.0, crew_colour(crew));
        let role = if photographer.role.is_empty() { &photographer.id } else { &photographer.role };
        ui.label(RichText::new(role).font(style::strong(style::BODY_PT)));
        if let Some(facts) = facts {
            let frame = facts.frame.and_then(|ix| plan.frames.get(ix)).map(|frame| frame.id.clone());
            let what = match (frame, facts.is_its_instant) {
                (Some(id), true) => id,
                (Some(id), false) => format!("on the way to {id}"),
                (None, _) => "nothing planned".to_owned(),
            };
            note(ui, palette, format!("{what} · {}", plan.standpoints.get(facts.standpoint).map_or("", |it| &it.id)));
        }
        let label = if view.enlarged == Some(crew) { "smaller" } else { "larger" };
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if ui.small_button(label).clicked() {
                wishes.push(Wish::Enlarge(if view.enlarged == Some(crew) { None } else { Some(crew) }));
            }
        });
    });
    let room = vec2(ui.available_width(), (ui.available_height() - style::TARGET - STEP).max(60.0));
    let (area, response) = ui.allocate_exact_size(room, Sense::click_and_drag());
    let name = format!("Viewfinder of {}", photographer.role);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::WidgetType::Image, true, &name));
    ui.painter().rect_filled(area, 2, Color32::from_gray(18));
    match (&live.texture, live.down.is_empty()) {
        (Some(texture), true) => {
            let picture = fitted(area, texture.size_vec2());
            let uv = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
            ui.painter().image(texture.id(), picture, uv, Color32::WHITE);
            if view.guides {
                thirds(ui, picture);
            }
            if (live.revision, live.at_s) != (shown.revision, shown.at_s) {
                being_drawn(ui, picture);
            }
            if let Some(facts) = facts {
                aim(ui, plan, picture, &response, facts, wishes);
                zoom(ui, plan, &response, facts, wishes);
            }
        }
        (_, false) => {
            ui.painter().text(
                area.center(),
                Align2::CENTER_CENTER,
                &live.down,
                egui::FontId::proportional(style::BODY_PT),
                Color32::from_gray(200),
            );
        }
        _ => {
            ui.painter().text(
                area.center(),
                Align2::CENTER_CENTER,
                "drawing …",
                egui::FontId::proportional(style::BODY_PT),
                Color32::from_gray(160),
            );
        }
    }
    if let Some(facts) = facts {
        settings(ui, plan, facts, wishes);
    }
}

fn fitted(area: Rect, size: egui::Vec2) -> Rect {
    let scale = (area.width() / size.x.max(1.0)).min(area.height() / size.y.max(1.0));
    Rect::from_center_size(area.center(), size * scale)
}

/// Says that the picture isn't that of now yet.
fn being_drawn(ui: &Ui, picture: Rect) {
    ui.painter().rect_filled(picture, 0, Color32::from_black_alpha(90));
    let at = picture.left_bottom() + vec2(8.0, -8.0);
    ui.painter().text(at, Align2::LEFT_BOTTOM, "drawing …", egui::FontId::proportional(style::NOTE_PT), Color32::WHITE);
}

fn thirds(ui: &Ui, picture: Rect) {
    let stroke = egui::Stroke::new(1.0, Color32::from_white_alpha(70));
    for third in [1.0 / 3.0, 2.0 / 3.0] {
        ui.painter().vline(egui::lerp(picture.x_range(), third), picture.y_range(), stroke);
        ui.painter().hline(picture.x_range(), egui::lerp(picture.y_range(), third), stroke);
    }
}

/// Dragging the picture turns the camera, so that what was under the pointer stays there.
fn aim(ui: &Ui, plan: &Plan, picture: Rect, response: &egui::Response, facts: &Facts, wishes: &mut Vec<Wish>) {
    let Some(frame) = facts.frame else { return };
    let _ = ui;
    if response.dragged() && response.drag_delta() != egui::Vec2::ZERO {
        let moved = response.drag_delta();
        let right = -moved.x / picture.width() * 2.0 * facts.half[0];
        let up = moved.y / picture.height() * 2.0 * facts.half[1];
        let way = facts.turned * Vec3::new(right, up, -1.0).normalize_or(Vec3::NEG_Z);
        let spot = facts.eye + way * facts.focus_m.min(100.0) as f32;
        let value = format!(
            "(at: {}, height: {})",
            spot_value(Vec2::new(spot.x, spot.z), plan.units),
            length_value(f64::from(spot.y), plan.units)
        );
        wishes.push(edit(format!("Aim of {}", plan.frames[frame].id), Kind::Frame, frame, "aim", value));
    }
    if response.drag_stopped() {
        wishes.push(Wish::Lift);
    }
}

fn zoom(ui: &Ui, plan: &Plan, response: &egui::Response, facts: &Facts, wishes: &mut Vec<Wish>) {
    if !response.hovered() {
        return;
    }
    let (scrolled, shift) = ui.input(|input| (input.smooth_scroll_delta(), input.modifiers.shift));
    // With Shift the wheel may come as sideways scrolling.
    let scrolled = if scrolled.y == 0.0 { scrolled.x } else { scrolled.y };
    if scrolled == 0.0 {
        return;
    }
    if shift {
        let standpoint = &plan.standpoints[facts.standpoint];
        let height_m = (f64::from(standpoint.camera_height_m) + f64::from(scrolled) * 0.002).clamp(0.1, 12.0);
        let value = length_value(height_m, plan.units);
        wishes.push(edit(
            format!("Camera height at {}", standpoint.id),
            Kind::Standpoint,
            facts.standpoint,
            "height",
            value,
        ));
    } else if let Some(frame) = facts.frame {
        let lens = &plan.kit.lenses[plan.frames[frame].with.lens];
        let focal_m = (facts.focal_m * f64::from(scrolled * 0.002).exp()).clamp(lens.focal_m[0], lens.focal_m[1]);
        let value = number_value(focal_m * 1000.0, 0);
        wishes.push(edit(format!("Focal length of {}", plan.frames[frame].id), Kind::Frame, frame, "focal_mm", value));
    }
}

fn edit(label: String, kind: Kind, number: usize, field: &str, value: String) -> Wish {
    let way = Selected::new(kind, number).way().field(field);
    Wish::Edit { label, stroke: Some(Stroke(format!("{kind:?} {number} {field}"))), change: Change::Set(way, value) }
}

/// Focal length, aperture, shutter, ISO of the frame worked on, to be dragged.
fn settings(ui: &mut Ui, plan: &Plan, facts: &Facts, wishes: &mut Vec<Wish>) {
    ui.horizontal(|ui| {
        let Some(number) = facts.frame else {
            ui.label(format!(
                "{:.0} mm  f/{:.1}  {}  ISO {:.0}",
                facts.focal_m * 1000.0,
                facts.f_number,
                shutter_text(facts.shutter_s),
                facts.iso
            ));
            return;
        };
        let frame = &plan.frames[number];
        let lens = &plan.kit.lenses[frame.with.lens];
        let mut focal_mm = facts.focal_m * 1000.0;
        let range = lens.focal_m[0] * 1000.0..=lens.focal_m[1] * 1000.0;
        if ui.add(DragValue::new(&mut focal_mm).range(range).suffix(" mm").speed(0.5).max_decimals(0)).changed() {
            wishes.push(edit(
                format!("Focal length of {}", frame.id),
                Kind::Frame,
                number,
                "focal_mm",
                number_value(focal_mm, 0),
            ));
        }
        let mut f = facts.f_number;
        let widest = lens.widest_f[0].min(lens.widest_f[1]);
        if ui
            .add(DragValue::new(&mut f).range(widest..=lens.narrowest_f).prefix("f/").speed(0.05).max_decimals(1))
            .changed()
        {
            wishes.push(edit(format!("Aperture of {}", frame.id), Kind::Frame, number, "f", number_value(f, 1)));
        }
        let mut per_second = (1.0 / facts.shutter_s).round();
        if ui.add(DragValue::new(&mut per_second).range(1.0..=8000.0).prefix("1/").speed(2.0).max_decimals(0)).changed()
        {
            let value = text_value(&format!("1/{per_second:.0}"));
            wishes.push(edit(format!("Shutter of {}", frame.id), Kind::Frame, number, "shutter", value));
        }
        let mut iso = facts.iso;
        if ui.add(DragValue::new(&mut iso).range(50.0..=102_400.0).prefix("ISO ").speed(5.0).max_decimals(0)).changed()
        {
            wishes.push(edit(format!("ISO of {}", frame.id), Kind::Frame, number, "iso", number_value(iso, 0)));
        }
        let mut portrait = frame.orientation == crate::plan::Orientation::Portrait;
        if ui.checkbox(&mut portrait, "portrait").changed() {
            let word = if portrait { "portrait" } else { "landscape" };
            wishes.push(edit(
                format!("Orientation of {}", frame.id),
                Kind::Frame,
                number,
                "orientation",
                word.to_owned(),
            ));
        }
    });
}
