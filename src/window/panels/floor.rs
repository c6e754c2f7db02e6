//! The floor plan in the middle: everything from above, to be dragged, turned and measured.

use super::paint::{Layer, Lie, paint};
use super::sketch::{drag_sketch, lay};
use crate::drawing::{Drawing, Style, Subject, hit};
use crate::plan::Plan;
use crate::plan::edit::{Way, number_value, spot_value, written};
use crate::staging::Run;
use crate::window::sketch::corners;
use crate::window::style::{self, Theme};
use crate::window::view::{FloorView, Kind, Selected, Sheet, Tool, View};
use crate::window::wish::{Change, Wish};
use crate::window::{Document, Shown, Stroke};
use egui::{Align2, Color32, CursorIcon, Key, Rect, Sense, TextureHandle, Ui, pos2};
use glam::Vec2;

/// Spots land on this grid, with Alt on the centimetre.
const SNAP_M: f32 = 0.05;
const FINE_SNAP_M: f32 = 0.01;
/// Things turn by so much, with Alt by one degree.
const TURN_DEG: f32 = 5.0;
/// Points about the pointer in which something is still hit.
const SLACK_PT: f32 = 6.0;
const NEAREST_PT_PER_M: f32 = 400.0;
/// Where there is hardly anything, so much of the floor is shown.
const SMALLEST_M: f32 = 9.0;
const FARTHEST_PT_PER_M: f32 = 4.0;

/// What the pointer holds.
#[derive(Debug, Clone, PartialEq)]
struct Held {
    what: Selected,
    /// From the pointer to the thing's own spot.
    grip: Vec2,
    turns: bool,
}

pub fn show(
    ui: &mut Ui,
    document: &Document,
    shown: &Shown,
    view: &View,
    sketch: Option<&TextureHandle>,
    said: &str,
    wishes: &mut Vec<Wish>,
) {
    let (area, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::WidgetType::Image, true, "Floor plan"));
    let floor = if view.floor.fit { fitted(area, shown) } else { view.floor };
    let lie = Lie { area, centre: floor.centre, pt_per_m: floor.pt_per_m };
    let ink = match view.theme {
        Theme::Light => Style::Light,
        Theme::Dark => Style::Dark,
    };
    let palette = view.theme.palette();
    let painter = ui.painter().with_clip_rect(area);
    let [r, g, b, _] = ink.paper();
    painter.rect_filled(area, 0, Color32::from_rgb(r, g, b));
    if view.layers.grid {
        grid(&painter, &lie, palette.line);
    }
    for (number, layer) in layers(shown, view).into_iter().enumerate() {
        paint(&painter, layer, &lie, ink);
        // Over the ground, under everything else.
        if let (0, Some(texture), Some(sketch), true) = (number, sketch, &shown.plan().venue.sketch, view.layers.sketch)
        {
            lay(&painter, texture, &corners(sketch, texture.size()).map(|spot| lie.at(spot)));
        }
    }
    if let Tool::Way { spots } = &view.tool {
        way(&painter, shown, view, spots, &lie, response.hover_pos());
    }
    if let Tool::Scale { from: Some(from) } = view.tool {
        painter.circle_stroke(lie.at(from), 5.0, egui::Stroke::new(2.0, palette.accent));
    }
    if let Some(spot) = view.selected.and_then(|it| spot_of(shown.plan(), it)) {
        painter.circle_stroke(lie.at(spot), 16.0, egui::Stroke::new(2.0, palette.accent));
    }
    rulers(&painter, shown, &lie, palette.faint, palette.panel);
    tape(&painter, shown, view, &lie, palette.ink);
    status(&painter, shown, view, area, palette.ink);
    hint(&painter, view, area, said);
    // First what is taken hold of: a drag of nothing moves the floor.
    touch(ui, document, shown, view, &response, &lie, wishes);
    let moved = look_round(ui, &response, &lie, floor, view, wishes);
    if floor != view.floor && !moved {
        wishes.push(Wish::Floor(floor));
    }
}

/// Layers that are shown, lowest first.
fn layers<'a>(shown: &'a Shown, view: &View) -> Vec<&'a Layer> {
    let on = &view.layers;
    let all = &shown.layers;
    [
        (true, &all.venue),
        (on.covered, &all.covered),
        (on.routes, &all.routes),
        (true, &all.people),
        (true, &all.standpoints),
        (on.views, &all.losing),
        (on.names, &all.labels),
        (on.names, &all.names),
        (on.sun, &all.sun),
    ]
    .into_iter()
    .filter(|(is_on, _)| *is_on)
    .map(|(_, layer)| layer)
    .collect()
}

fn fitted(area: Rect, shown: &Shown) -> FloorView {
    let (low, high) = shown.middle;
    let size = (high - low).max(Vec2::splat(SMALLEST_M));
    let room = area.size() - egui::vec2(60.0, 60.0);
    let pt_per_m = (room.x / size.x).min(room.y / size.y).clamp(FARTHEST_PT_PER_M, NEAREST_PT_PER_M);
    FloorView { centre: (low + high) * 0.5, pt_per_m, fit: false }
}

/// Wheel and pinch for nearer and farther, the middle button or an empty spot to move. Whether it was.
fn look_round(
    ui: &Ui,
    response: &egui::Response,
    lie: &Lie,
    floor: FloorView,
    view: &View,
    wishes: &mut Vec<Wish>,
) -> bool {
    let mut next = floor;
    if let Some(pointer) = response.hover_pos() {
        let (scrolled, pinched) = ui.input(|input| (input.smooth_scroll_delta().y, input.zoom_delta()));
        let factor = (scrolled * 0.0025).exp() * pinched;
        if (factor - 1.0).abs() > 1e-4 {
            let under = lie.spot(pointer);
            next.pt_per_m = (floor.pt_per_m * factor).clamp(FARTHEST_PT_PER_M, NEAREST_PT_PER_M);
            let off = pointer - lie.area.center();
            next.centre = under - Vec2::new(off.x, off.y) / next.pt_per_m;
        }
    }
    let holds = ui.data(|data| data.get_temp::<Held>(held_id(response)).is_some());
    let pans = response.dragged_by(egui::PointerButton::Middle)
        || (response.dragged_by(egui::PointerButton::Primary) && !holds && view.tool == Tool::Hand);
    if pans {
        let moved = response.drag_delta();
        next.centre -= Vec2::new(moved.x, moved.y) / next.pt_per_m;
    }
    if next != floor {
        wishes.push(Wish::Floor(next));
    }
    next != floor
}

fn held_id(response: &egui::Response) -> egui::Id {
    response.id.with("held")
}

/// Choosing, dragging, turning, measuring, putting down.
fn touch(
    ui: &Ui,
    document: &Document,
    shown: &Shown,
    view: &View,
    response: &egui::Response,
    lie: &Lie,
    wishes: &mut Vec<Wish>,
) {
    let held_at = held_id(response);
    let (alt, shift) = ui.input(|input| (input.modifiers.alt, input.modifiers.shift));
    let snapped = |spot: Vec2| {
        let step = if alt { FINE_SNAP_M } else { SNAP_M };
        (spot / step).round() * step
    };
    let under = |at: egui::Pos2| {
        let drawings: Vec<&Drawing> = layers(shown, view).iter().map(|layer| &layer.drawing).collect();
        hit(&drawings, lie.spot(at), SLACK_PT / lie.pt_per_m).and_then(chosen_by)
    };
    if response.clicked()
        && let Some(pointer) = response.interact_pointer_pos()
    {
        match &view.tool {
            Tool::Hand => wishes.push(Wish::Select(under(pointer))),
            Tool::Tape { from: Some(from), to: None } => {
                wishes.push(Wish::Take(Tool::Tape { from: Some(*from), to: Some(snapped(lie.spot(pointer))) }));
            }
            Tool::Tape { .. } => {
                wishes.push(Wish::Take(Tool::Tape { from: Some(snapped(lie.spot(pointer))), to: None }));
            }
            Tool::Place(kind) => wishes.push(Wish::Place(*kind, snapped(lie.spot(pointer)))),
            Tool::Scale { from: None } => wishes.push(Wish::Take(Tool::Scale { from: Some(lie.spot(pointer)) })),
            Tool::Scale { from: Some(from) } => {
                wishes.push(Wish::Take(Tool::Hand));
                let to = lie.spot(pointer);
                wishes.push(Wish::Show(Sheet::Scale { from: *from, to, length: String::new() }));
            }
            Tool::Way { spots } => {
                let spots = spots.iter().copied().chain([snapped(lie.spot(pointer))]).collect();
                wishes.push(Wish::Take(Tool::Way { spots }));
            }
            Tool::Sketch => {}
        }
    }
    if let Tool::Way { spots } = &view.tool
        && !spots.is_empty()
        && ui.input(|input| input.key_pressed(Key::Enter))
    {
        wishes.push(Wish::Walk(spots.clone()));
    }
    if view.tool == Tool::Sketch {
        drag_sketch(ui, shown.plan(), response, lie, wishes);
    }
    if view.tool != Tool::Hand {
        if response.hovered() {
            ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
        }
        return;
    }
    if response.drag_started_by(egui::PointerButton::Primary)
        && let Some(origin) = ui.input(|input| input.pointer.press_origin())
        && let Some(what) = under(origin)
        && let Some(spot) = spot_of(shown.plan(), what)
    {
        wishes.push(Wish::Select(Some(what)));
        let held = Held { what, grip: spot - lie.spot(origin), turns: shift };
        ui.data_mut(|data| data.insert_temp(held_at, held));
    }
    let held = ui.data(|data| data.get_temp::<Held>(held_at));
    if let (Some(held), Some(pointer)) = (&held, response.interact_pointer_pos())
        && (response.drag_stopped() || response.drag_delta() != egui::Vec2::ZERO)
    {
        let wish = if held.turns {
            turned(document, shown.plan(), held.what, lie.spot(pointer), if alt { 1.0 } else { TURN_DEG })
        } else {
            moved(document, shown.plan(), held.what, snapped(lie.spot(pointer) + held.grip))
        };
        wishes.extend(wish);
    }
    if response.drag_stopped() {
        ui.data_mut(|data| data.remove::<Held>(held_at));
        wishes.push(Wish::Lift);
    }
    if held.is_none()
        && let Some(pointer) = response.hover_pos()
    {
        if under(pointer).is_some() {
            ui.ctx().set_cursor_icon(CursorIcon::PointingHand);
        }
        let spot = lie.spot(pointer);
        let palette = view.theme.palette();
        let text = format!("{} across, {} along", shown.length(spot.x), shown.length(spot.y));
        let at = pos2(lie.area.right() - 8.0, lie.area.bottom() - 6.0);
        ui.painter().text(at, Align2::RIGHT_BOTTOM, text, egui::FontId::proportional(style::NOTE_PT), palette.faint);
    }
}

/// What of the plan a shape on the floor stands for.
fn chosen_by(subject: Subject) -> Option<Selected> {
    let (kind, number) = match subject {
        Subject::Person(ix) => (Kind::Person, ix.0),
        Subject::Mark(number) => (Kind::Mark, number),
        Subject::Fixture(ix) => (Kind::Fixture, ix.0),
        Subject::Mesh(ix) => (Kind::Mesh, ix.0),
        Subject::Seats(ix) => (Kind::Seats, ix.0),
        Subject::Standpoint(ix) => (Kind::Standpoint, ix.0),
        Subject::Room(number) => (Kind::Room, number),
        Subject::Wall(number) => (Kind::Wall, number),
        Subject::Platform(number) => (Kind::Platform, number),
        Subject::Aisle(number) => (Kind::Aisle, number),
        Subject::KeepOut(number) => (Kind::KeepOut, number),
        Subject::EscapeRoute(number) => (Kind::EscapeRoute, number),
        Subject::Lamp(number) => (Kind::Lamp, number),
        Subject::Patch(number) => (Kind::Patch, number),
        Subject::Photographer(ix) => (Kind::Photographer, ix.0),
        Subject::Guest(_) => return None,
    };
    Some(Selected::new(kind, number))
}

/// The spot that something is dragged by.
pub fn spot_of(plan: &Plan, what: Selected) -> Option<Vec2> {
    let venue = &plan.venue;
    match what.kind {
        Kind::Standpoint => plan.standpoints.get(what.number).map(|it| it.at),
        Kind::Mark => plan.marks.get(what.number).map(|it| it.at),
        Kind::Fixture => venue.fixtures.get(what.number).map(|it| it.at),
        Kind::Mesh => venue.meshes.get(what.number).map(|it| it.at),
        Kind::Seats => venue.seats.get(what.number).map(|it| it.front),
        Kind::Room => venue.rooms.get(what.number).map(|it| it.centre),
        Kind::Platform => venue.platforms.get(what.number).map(|it| it.centre),
        Kind::Lamp => venue.lamps.get(what.number).map(|it| it.at),
        Kind::Person => match plan.people.get(what.number)?.post {
            Some(crate::plan::Post::Floor(at)) => Some(at),
            _ => None,
        },
        _ => spots_of(plan, what).first().and_then(|(_, spots, _)| spots.first().copied()),
    }
}

/// Of what has several spots: each field with them, and whether the field is a list.
fn spots_of(plan: &Plan, what: Selected) -> Vec<(&'static str, Vec<Vec2>, bool)> {
    let venue = &plan.venue;
    let (list, number) = (|name, spots: &[Vec2]| vec![(name, spots.to_vec(), true)], what.number);
    let ends = |from: Vec2, to: Vec2| vec![("from", vec![from], false), ("to", vec![to], false)];
    match what.kind {
        Kind::Wall => venue.walls.get(number).map(|it| ends(it.from, it.to)),
        Kind::Aisle => venue.aisles.get(number).map(|it| ends(it.from, it.to)),
        Kind::KeepOut => venue.keep_outs.get(number).map(|it| list("outline", &it.outline)),
        Kind::EscapeRoute => venue.escape_routes.get(number).map(|it| list("path", &it.path)),
        Kind::Patch => venue.patches.get(number).map(|it| list("outline", &it.outline)),
        _ => None,
    }
    .unwrap_or_default()
}

/// The field that holds that spot.
pub fn spot_field(kind: Kind) -> Option<&'static str> {
    match kind {
        Kind::Seats => Some("front"),
        Kind::Room | Kind::Platform => Some("centre"),
        Kind::Standpoint | Kind::Mark | Kind::Fixture | Kind::Mesh | Kind::Lamp | Kind::Person => Some("at"),
        _ => None,
    }
}

/// Something put elsewhere. What stands at a mark moves the mark, and whoever else stands there with it.
pub fn moved(document: &Document, plan: &Plan, what: Selected, spot: Vec2) -> Option<Wish> {
    let id = || written(document.text(), &what.way().field("id")).unwrap_or("it").trim_matches('"').to_owned();
    let several = spots_of(plan, what);
    if let Some(by) = several.first().and_then(|(_, spots, _)| Some(spot - *spots.first()?)) {
        let change = |(name, spots, is_list): (&'static str, Vec<Vec2>, bool)| {
            let each: Vec<String> = spots.iter().map(|it| spot_value(*it + by, plan.units)).collect();
            let value = if is_list { format!("[{}]", each.join(", ")) } else { each.concat() };
            Change::Set(what.way().field(name), value)
        };
        return Some(Wish::Edit {
            label: format!("Move {}", id()),
            stroke: Some(Stroke(format!("move {what:?}"))),
            change: Change::All(several.into_iter().map(change).collect()),
        });
    }
    let way = what.way().field(spot_field(what.kind)?);
    let now = written(document.text(), &way);
    let mark = now.filter(|value| value.starts_with('"')).map(|value| value.trim_matches('"'));
    let way: Way = match mark.and_then(|id| plan.marks.iter().position(|mark| mark.id == id)) {
        Some(number) => Selected::new(Kind::Mark, number).way().field("at"),
        None => way,
    };
    Some(Wish::Edit {
        label: format!("Move {}", id()),
        stroke: Some(Stroke(format!("move {what:?}"))),
        change: Change::Set(way, spot_value(spot, plan.units)),
    })
}

/// Something turned to face a spot.
fn turned(document: &Document, plan: &Plan, what: Selected, towards: Vec2, step_deg: f32) -> Option<Wish> {
    if !matches!(what.kind, Kind::Fixture | Kind::Mesh | Kind::Seats | Kind::Room | Kind::Platform) {
        return None;
    }
    let way = towards - spot_of(plan, what)?;
    if way.length() < 0.1 {
        return None;
    }
    let heading_deg = (way.x.atan2(-way.y).to_degrees() / step_deg).round() * step_deg;
    let id = written(document.text(), &what.way().field("id")).unwrap_or("it").trim_matches('"');
    Some(Wish::Edit {
        label: format!("Turn {id}"),
        stroke: Some(Stroke(format!("turn {what:?}"))),
        change: Change::Set(what.way().field("heading"), number_value(f64::from(heading_deg), 1)),
    })
}

/// A way as it is drawn: from where they are through its spots to the pointer.
fn way(painter: &egui::Painter, shown: &Shown, view: &View, spots: &[Vec2], lie: &Lie, pointer: Option<egui::Pos2>) {
    let now = view
        .selected
        .filter(|it| it.kind == Kind::Person)
        .and_then(|it| Run::new(shown.plan()).spot(it.number, shown.at_s));
    let points: Vec<egui::Pos2> = now.iter().chain(spots).map(|spot| lie.at(*spot)).chain(pointer).collect();
    let ink = view.theme.palette().accent;
    painter.extend(egui::Shape::dashed_line(&points, egui::Stroke::new(2.0, ink), 6.0, 4.0));
    for spot in spots {
        painter.circle_filled(lie.at(*spot), 4.0, ink);
    }
}

fn grid(painter: &egui::Painter, lie: &Lie, colour: Color32) {
    let stroke = egui::Stroke::new(0.5, colour);
    let (low, high) = (lie.spot(lie.area.min), lie.spot(lie.area.max));
    for x in (low.x.floor() as i32)..=(high.x.ceil() as i32) {
        painter.vline(lie.at(Vec2::new(x as f32, 0.0)).x, lie.area.y_range(), stroke);
    }
    for z in (low.y.floor() as i32)..=(high.y.ceil() as i32) {
        painter.hline(lie.area.x_range(), lie.at(Vec2::new(0.0, z as f32)).y, stroke);
    }
}

/// Marks along the upper and left edge, in the plan's unit.
fn rulers(painter: &egui::Painter, shown: &Shown, lie: &Lie, ink: Color32, ground: Color32) {
    let unit_m = shown.plan().units.in_metres() as f32;
    let least_pt = 34.0;
    let step = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0]
        .into_iter()
        .find(|step| step * unit_m * lie.pt_per_m >= least_pt)
        .unwrap_or(200.0);
    let font = egui::FontId::proportional(10.0);
    let area = lie.area;
    painter.rect_filled(
        Rect::from_min_max(area.min, pos2(area.right(), area.top() + 14.0)),
        0,
        ground.gamma_multiply(0.8),
    );
    painter.rect_filled(
        Rect::from_min_max(area.min, pos2(area.left() + 22.0, area.bottom())),
        0,
        ground.gamma_multiply(0.8),
    );
    let (low, high) = (lie.spot(area.min) / unit_m, lie.spot(area.max) / unit_m);
    let marks =
        |low: f32, high: f32| ((low / step).ceil() as i32..=(high / step).floor() as i32).map(move |n| n as f32 * step);
    for x in marks(low.x, high.x) {
        let at = pos2(lie.at(Vec2::new(x * unit_m, 0.0)).x, area.top() + 7.0);
        painter.text(at, Align2::CENTER_CENTER, format!("{x:.0}"), font.clone(), ink);
    }
    for z in marks(low.y, high.y) {
        let at = pos2(area.left() + 11.0, lie.at(Vec2::new(0.0, z * unit_m)).y);
        painter.text(at, Align2::CENTER_CENTER, format!("{z:.0}"), font.clone(), ink);
    }
}

fn tape(painter: &egui::Painter, shown: &Shown, view: &View, lie: &Lie, ink: Color32) {
    let Tool::Tape { from: Some(from), to: Some(to) } = &view.tool else { return };
    let ends = [lie.at(*from), lie.at(*to)];
    painter.line_segment(ends, egui::Stroke::new(2.0, ink));
    for end in ends {
        painter.circle_filled(end, 3.0, ink);
    }
    let middle = ends[0] + (ends[1] - ends[0]) * 0.5;
    let text = shown.length(from.distance(*to));
    let galley = painter.layout_no_wrap(text, style::strong(style::BODY_PT), ink);
    let ground = Rect::from_center_size(middle, galley.size() + egui::vec2(10.0, 6.0));
    painter.rect_filled(ground, 3, view.theme.palette().paper);
    painter.galley(ground.min + egui::vec2(5.0, 3.0), galley, ink);
}

/// What the tool in hand waits for, else what was just said.
fn hint(painter: &egui::Painter, view: &View, area: Rect, said: &str) {
    let text = match &view.tool {
        Tool::Hand => said.to_owned(),
        Tool::Tape { from: None, .. } => "Tape: click the first spot".to_owned(),
        Tool::Tape { .. } => "Tape: click the second spot; Esc puts it down".to_owned(),
        Tool::Sketch => "Drag the sketch; with Shift it turns; Esc puts it down".to_owned(),
        Tool::Scale { from: None } => "Click one of two spots of the sketch whose distance you know".to_owned(),
        Tool::Scale { .. } => "Click the other spot".to_owned(),
        Tool::Way { spots } if spots.is_empty() => "Way: click the first spot; Esc gives it up".to_owned(),
        Tool::Way { .. } => "Way: click the next spot; Enter ends it, Esc gives it up".to_owned(),
        Tool::Place(kind) => format!("{}: click on the floor; Esc puts it down", kind.facts().one),
    };
    if text.is_empty() {
        return;
    }
    let palette = view.theme.palette();
    let galley = painter.layout(text, style::strong(style::BODY_PT), palette.on_accent, area.width() * 0.8);
    let size = galley.size() + egui::vec2(20.0, 10.0);
    let ground = Rect::from_center_size(pos2(area.center().x, area.top() + 18.0 + size.y / 2.0), size);
    painter.rect_filled(ground, 4, palette.accent);
    painter.galley(ground.min + egui::vec2(10.0, 5.0), galley, palette.on_accent);
}

fn status(painter: &egui::Painter, shown: &Shown, view: &View, area: Rect, ink: Color32) {
    if !view.layers.views || shown.losing == 0 {
        return;
    }
    let guests = if shown.losing == 1 { "guest loses" } else { "guests lose" };
    let text = format!("{} {guests} a quarter or more of their view", shown.losing);
    painter.text(
        pos2(area.left() + 30.0, area.bottom() - 6.0),
        Align2::LEFT_BOTTOM,
        text,
        egui::FontId::proportional(style::NOTE_PT),
        ink,
    );
}
