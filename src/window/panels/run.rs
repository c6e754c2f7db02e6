//! The run of the ceremony along the foot, to scale: moments, a lane for each photographer with standpoints, ways and frames.

use super::{command_button, note};
use crate::plan::edit::{text_value, time_value};
use crate::plan::{MomentIx, PhotographerIx, Plan};
use crate::staging::Run;
use crate::window::commands::Command;
use crate::window::style::{self, STEP, crew_colour};
use crate::window::view::{Kind, Selected, View};
use crate::window::wish::{Change, Wish};
use crate::window::{Document, Shown, Stroke};
use egui::{Align2, Color32, CornerRadius, CursorIcon, FontId, Pos2, Rect, Sense, StrokeKind, Ui, pos2, vec2};

const HEAD: f32 = 26.0;
const LANE: f32 = 34.0;
/// Left of the lanes, for their names.
const NAMES: f32 = 92.0;
/// Pointer's distance to an edge that still takes hold of it, points.
const GRIP: f32 = 5.0;

pub fn show(ui: &mut Ui, document: &Document, shown: &Shown, view: &View, wishes: &mut Vec<Wish>) {
    let plan = shown.plan();
    controls(ui, shown, view, wishes);
    let height = HEAD + LANE * plan.crew.len() as f32 + STEP;
    let (area, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::click_and_drag());
    response.widget_info(|| {
        egui::WidgetInfo::labeled(
            egui::WidgetType::Slider,
            true,
            format!("Run of the ceremony, at {}", time_text(plan, view.at_s)),
        )
    });
    let scale = Scale { left: area.left() + NAMES, right: area.right() - 8.0, length_s: plan.length_s().max(1.0) };
    moments(ui, shown, view, area, &scale, wishes);
    for lane in 0..plan.crew.len() {
        let top = area.top() + HEAD + LANE * lane as f32;
        let row = Rect::from_min_max(pos2(area.left(), top), pos2(area.right(), top + LANE - 2.0));
        lane_of(ui, document, shown, view, PhotographerIx(lane), row, &scale, wishes);
    }
    let now = scale.x(view.at_s);
    let palette = view.theme.palette();
    let painter = ui.painter();
    painter.vline(now, area.y_range(), egui::Stroke::new(2.0, palette.ink));
    painter.circle_filled(pos2(now, area.top() + 3.0), 4.0, palette.ink);
    if (response.dragged() || response.clicked())
        && let Some(pointer) = response.interact_pointer_pos()
        && pointer.x >= scale.left - GRIP
    {
        wishes.push(Wish::GoTo(scale.at_s(pointer.x)));
    }
}

/// Seconds across the panel.
struct Scale {
    left: f32,
    right: f32,
    length_s: f64,
}

impl Scale {
    fn x(&self, at_s: f64) -> f32 {
        self.left + (self.right - self.left) * (at_s / self.length_s) as f32
    }

    fn at_s(&self, x: f32) -> f64 {
        (f64::from((x - self.left) / (self.right - self.left).max(1.0)) * self.length_s).clamp(0.0, self.length_s)
    }
}

fn controls(ui: &mut Ui, shown: &Shown, view: &View, wishes: &mut Vec<Wish>) {
    let plan = shown.plan();
    ui.horizontal(|ui| {
        command_button(ui, Command::PreviousFrame, "⏮", wishes);
        command_button(ui, Command::Play, if view.plays.is_some() { "⏸ Stop" } else { "▶ Play" }, wishes);
        command_button(ui, Command::NextFrame, "⏭", wishes);
        for speed in [1.0, 4.0, 20.0] {
            let is_on = view.plays == Some(speed);
            if ui.selectable_label(is_on, format!("{speed}×")).on_hover_text("So many times as fast as life").clicked()
            {
                wishes.push(Wish::Play(if is_on { None } else { Some(speed) }));
            }
        }
        ui.add_space(STEP);
        ui.label(egui::RichText::new(time_text(plan, view.at_s)).font(style::strong(style::BODY_PT)));
        let moment = shown.moment().map(|ix| &plan.moments[ix]);
        if let Some(moment) = moment {
            let name = if moment.name.is_empty() { &moment.id } else { &moment.name };
            note(ui, view.theme.palette(), format!("{name}, {:.0} s into it", view.at_s - moment.start_s));
        }
    });
}

/// Clock on the wall and seconds of the ceremony.
pub fn time_text(plan: &Plan, at_s: f64) -> String {
    let clock = plan.instant(at_s);
    let all = at_s.max(0.0) as u64;
    format!("{:02}:{:02}:{:02}   +{}:{:02}", clock.hour(), clock.minute(), clock.second(), all / 60, all % 60)
}

fn moments(ui: &mut Ui, shown: &Shown, view: &View, area: Rect, scale: &Scale, wishes: &mut Vec<Wish>) {
    let plan = shown.plan();
    let palette = view.theme.palette();
    for (number, moment) in plan.moments.iter().enumerate() {
        let (from, to) = (scale.x(moment.start_s), scale.x(moment.start_s + moment.length_s));
        let rect = Rect::from_min_max(pos2(from, area.top()), pos2(to.max(from + 1.0), area.top() + HEAD - 3.0));
        let selected = Selected::new(Kind::Moment, number);
        let is_chosen = view.selected == Some(selected);
        let fill = if number % 2 == 0 { palette.well } else { palette.paper };
        ui.painter().rect_filled(
            rect,
            CornerRadius::same(2),
            if is_chosen { palette.accent.gamma_multiply(0.3) } else { fill },
        );
        ui.painter().rect_stroke(rect, CornerRadius::same(2), egui::Stroke::new(1.0, palette.line), StrokeKind::Inside);
        let name = if moment.name.is_empty() { &moment.id } else { &moment.name };
        fitting_text(ui, rect.shrink2(vec2(4.0, 0.0)), name, palette.ink);
        let body = ui.interact(rect, ui.id().with(("moment", number)), Sense::click());
        let body = body.on_hover_text(format!("{name}: {:.0} s", moment.length_s));
        if body.clicked() {
            wishes.push(Wish::Select(Some(selected)));
            if let Some(pointer) = body.interact_pointer_pos() {
                wishes.push(Wish::GoTo(scale.at_s(pointer.x)));
            }
        }
        edge(ui, plan, number, rect, scale, wishes);
    }
}

/// The end of a moment, to be dragged: it makes this moment longer or shorter, and all later ones begin later or sooner.
fn edge(ui: &mut Ui, plan: &Plan, number: usize, rect: Rect, scale: &Scale, wishes: &mut Vec<Wish>) {
    let grip = Rect::from_center_size(pos2(rect.right(), rect.center().y), vec2(2.0 * GRIP, rect.height()));
    let response = ui.interact(grip, ui.id().with(("moment-end", number)), Sense::drag());
    let moment = &plan.moments[number];
    let response = response.on_hover_cursor(CursorIcon::ResizeHorizontal);
    if response.dragged()
        && let Some(pointer) = response.interact_pointer_pos()
    {
        // Whole seconds; the scale is that of before the drag, as near as makes no difference.
        let length_s = (scale.at_s(pointer.x) - moment.start_s).round().max(1.0);
        let way = Selected::new(Kind::Moment, number).way().field("length");
        wishes.push(Wish::Edit {
            label: format!("Length of {}", moment.id),
            stroke: Some(Stroke(format!("length {number}"))),
            change: Change::Set(way, time_value(length_s)),
        });
    }
    if response.drag_stopped() {
        wishes.push(Wish::Lift);
    }
}

#[allow(clippy::too_many_arguments, reason = "a row of a table is told by its table and its place")]
fn lane_of(
    ui: &mut Ui,
    document: &Document,
    shown: &Shown,
    view: &View,
    crew: PhotographerIx,
    row: Rect,
    scale: &Scale,
    wishes: &mut Vec<Wish>,
) {
    let plan = shown.plan();
    let palette = view.theme.palette();
    let colour = crew_colour(crew);
    let photographer = &plan.crew[crew.0];
    let lane = Rect::from_min_max(pos2(scale.left, row.top()), pos2(scale.right, row.bottom()));
    ui.painter().rect_filled(lane, CornerRadius::same(2), palette.well);
    ui.painter().circle_filled(pos2(row.left() + 8.0, row.center().y), 5.0, colour);
    let role = if photographer.role.is_empty() { &photographer.id } else { &photographer.role };
    ui.painter().text(
        pos2(row.left() + 18.0, row.center().y),
        Align2::LEFT_CENTER,
        role,
        style::strong(style::NOTE_PT),
        palette.ink,
    );
    for (number, standpoint) in plan.standpoints.iter().enumerate().filter(|(_, it)| it.photographer == crew) {
        for (place, stretch) in standpoint.during.iter().enumerate() {
            let start_s = plan.moments[stretch.moment.0].start_s;
            let (from, to) = (scale.x(start_s + stretch.from_s), scale.x(start_s + stretch.to_s));
            let rect = Rect::from_min_max(pos2(from, row.top() + 2.0), pos2(to.max(from + 2.0), row.bottom() - 12.0));
            let selected = Selected::new(Kind::Standpoint, number);
            let is_chosen = view.selected == Some(selected);
            ui.painter().rect_filled(
                rect,
                CornerRadius::same(3),
                colour.gamma_multiply(if is_chosen { 0.9 } else { 0.45 }),
            );
            let edge = if is_chosen { palette.ink } else { colour };
            ui.painter().rect_stroke(rect, CornerRadius::same(3), egui::Stroke::new(1.0, edge), StrokeKind::Inside);
            let on = if is_chosen { Color32::BLACK } else { palette.ink };
            fitting_text(ui, rect.shrink2(vec2(3.0, 0.0)), &standpoint.id, on);
            let response =
                ui.interact(rect, ui.id().with(("stretch", number, stretch.moment.0, from as i32)), Sense::click());
            if response.on_hover_text(format!("{}: {:.0} s", standpoint.id, stretch.to_s - stretch.from_s)).clicked() {
                wishes.push(Wish::Select(Some(selected)));
            }
            for is_end in [false, true] {
                held_edge(ui, document, plan, Stretch { number, place, is_end }, rect, scale, wishes);
            }
        }
    }
    ways(ui, shown.run_moves(crew), row, scale, palette.ink);
    frames(ui, plan, view, crew, row, scale, wishes);
}

/// One end of one stretch over which a standpoint is held.
#[derive(Debug, Clone, Copy, Hash)]
struct Stretch {
    number: usize,
    place: usize,
    is_end: bool,
}

/// Where a stretch begins or ends, to be dragged within its moment.
fn held_edge(
    ui: &mut Ui,
    document: &Document,
    plan: &Plan,
    which: Stretch,
    rect: Rect,
    scale: &Scale,
    wishes: &mut Vec<Wish>,
) {
    // Of a short one its middle stays to be chosen by.
    let grip = GRIP.min(rect.width() / 4.0);
    let x = if which.is_end { rect.right() - grip / 2.0 } else { rect.left() + grip / 2.0 };
    let area = Rect::from_center_size(pos2(x, rect.center().y), vec2(grip, rect.height()));
    let response = ui.interact(area, ui.id().with(which), Sense::drag()).on_hover_cursor(CursorIcon::ResizeHorizontal);
    if response.dragged()
        && let Some(pointer) = response.interact_pointer_pos()
    {
        let standpoint = &plan.standpoints[which.number];
        let stretch = &standpoint.during[which.place];
        let moment = &plan.moments[stretch.moment.0];
        let at_s = (scale.at_s(pointer.x) - moment.start_s).round();
        let (from_s, to_s) = match which.is_end {
            true => (stretch.from_s, at_s.clamp(stretch.from_s + 1.0, moment.length_s)),
            false => (at_s.clamp(0.0, (stretch.to_s - 1.0).max(0.0)), stretch.to_s),
        };
        wishes.push(Wish::Edit {
            label: format!("Stay at {}", standpoint.id),
            stroke: Some(Stroke(format!("{which:?}"))),
            change: held_from_to(document, plan, which, from_s, to_s),
        });
    }
    if response.drag_stopped() {
        wishes.push(Wish::Lift);
    }
}

/// The change that makes a stretch last from one second of its moment to another; all else about it stays as it is written.
fn held_from_to(document: &Document, plan: &Plan, which: Stretch, from_s: f64, to_s: f64) -> Change {
    let list = Selected::new(Kind::Standpoint, which.number).way().field("during");
    let during = &plan.standpoints[which.number].during;
    let text = |place: usize| {
        let stretch = &during[place];
        let moment = &plan.moments[stretch.moment.0];
        let (from_s, to_s) = if place == which.place { (from_s, to_s) } else { (stretch.from_s, stretch.to_s) };
        match from_s == 0.0 && to_s == moment.length_s {
            true => text_value(&moment.id),
            false => {
                format!("(moment: {}, from: {}, to: {})", text_value(&moment.id), time_value(from_s), time_value(to_s))
            }
        }
    };
    let item = list.clone().item(which.place);
    match document.written(&item) {
        Some(written) if written.starts_with('(') => Change::All(vec![
            Change::Set(item.clone().field("from"), time_value(from_s)),
            Change::Set(item.field("to"), time_value(to_s)),
        ]),
        Some(_) => Change::Set(item, text(which.place)),
        // Left out, it is held in the moments of its frames: now they are said.
        None => Change::Set(list, format!("[{}]", (0..during.len()).map(text).collect::<Vec<_>>().join(", "))),
    }
}

/// Walks between standpoints, as a thin broken line.
fn ways(ui: &Ui, moves: &[(f64, f64)], row: Rect, scale: &Scale, ink: Color32) {
    for (from_s, to_s) in moves {
        let y = row.bottom() - 16.0;
        let points = [pos2(scale.x(*from_s), y), pos2(scale.x(*to_s), y)];
        ui.painter().extend(egui::Shape::dashed_line(&points, egui::Stroke::new(1.5, ink), 3.0, 2.0));
    }
}

fn frames(
    ui: &mut Ui,
    plan: &Plan,
    view: &View,
    crew: PhotographerIx,
    row: Rect,
    scale: &Scale,
    wishes: &mut Vec<Wish>,
) {
    let palette = view.theme.palette();
    for (number, frame) in plan.frames.iter().enumerate().filter(|(_, it)| plan.photographer_of(it) == crew) {
        let at = pos2(scale.x(plan.at_s(frame)), row.bottom() - 6.0);
        let is_chosen = view.selected == Some(Selected::new(Kind::Frame, number));
        diamond(ui, at, if is_chosen { 6.0 } else { 4.5 }, if is_chosen { palette.accent } else { palette.ink });
        let rect = Rect::from_center_size(at, vec2(10.0, 14.0));
        let response = ui.interact(rect, ui.id().with(("frame", number)), Sense::click_and_drag());
        if response.dragged()
            && frame.when.is_none()
            && let Some(pointer) = response.interact_pointer_pos()
        {
            let moment = &plan.moments[frame.moment.0];
            let after_s = (scale.at_s(pointer.x) - moment.start_s).round().clamp(0.0, moment.length_s);
            wishes.push(Wish::Edit {
                label: format!("Instant of {}", frame.id),
                stroke: Some(Stroke(format!("after {number}"))),
                change: Change::Set(Selected::new(Kind::Frame, number).way().field("after"), time_value(after_s)),
            });
            wishes.push(Wish::GoTo(moment.start_s + after_s));
        }
        if response.drag_stopped() {
            wishes.push(Wish::Lift);
        }
        let label = format!("Frame {}", frame.id);
        response.widget_info(|| egui::WidgetInfo::labeled(egui::WidgetType::Button, true, &label));
        if response.on_hover_text(&frame.id).clicked() {
            wishes.push(Wish::GoToFrame(number));
        }
    }
}

fn diamond(ui: &Ui, at: Pos2, half: f32, fill: Color32) {
    let points = [vec2(0.0, -half), vec2(half, 0.0), vec2(0.0, half), vec2(-half, 0.0)].map(|corner| at + corner);
    ui.painter().add(egui::Shape::convex_polygon(points.to_vec(), fill, egui::Stroke::NONE));
}

/// As much of a text as there is room for, from its beginning; nothing where not even three letters fit.
fn fitting_text(ui: &Ui, rect: Rect, text: &str, colour: Color32) {
    if rect.width() < 18.0 {
        return;
    }
    let font = FontId::proportional(style::NOTE_PT);
    let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font, colour);
    job.wrap = egui::text::TextWrapping::truncate_at_width(rect.width());
    let galley = ui.painter().layout_job(job);
    let at = pos2(rect.left(), rect.center().y - galley.size().y / 2.0);
    ui.painter().with_clip_rect(rect.expand(1.0)).galley(at, galley, colour);
}

/// From when to when each photographer walks.
pub fn moves_of(run: &Run, crew: PhotographerIx) -> Vec<(f64, f64)> {
    let moves = run.moves.iter().filter(|way| way.photographer == crew);
    moves.map(|way| (way.walk_begins_s, way.walk_ends_s)).collect()
}

/// The moment at an instant.
pub fn moment_of(plan: &Plan, at_s: f64) -> Option<MomentIx> {
    crate::staging::moment_at(plan, at_s).map(MomentIx)
}
