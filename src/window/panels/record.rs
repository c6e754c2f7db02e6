//! What is chosen, field by field: every field that the plan may hold for it, as the plan writes it, with words, ids and
//! numbers to pick where there are only so many.

use super::note;
use crate::plan::edit::{Way, number_value, text_value};
use crate::plan::{Ask, asked, fields_of};
use crate::window::style::STEP;
use crate::window::view::{KINDS, Kind, Selected, View};
use crate::window::wish::{Change, Wish};
use crate::window::{Document, Stroke};
use egui::{ComboBox, DragValue, Grid, RichText, TextEdit, Ui};

/// Fields of the plan that are no lists.
const OF_THE_PLAN: [&str; 6] = ["title", "units", "place", "start", "sky", "seed"];

pub fn show(ui: &mut Ui, document: &Document, view: &View, selected: Selected, wishes: &mut Vec<Wish>) {
    let facts = selected.kind.facts();
    let way = selected.way();
    let palette = view.theme.palette();
    if selected.kind != Kind::Plan && document.written(&way).is_none() {
        note(ui, palette, "It isn’t in the plan any more.");
        return;
    }
    let id = document.written(&way.clone().field("id")).map(|id| bare(&id));
    ui.horizontal(|ui| {
        super::heading(ui, facts.one);
        ui.label(RichText::new(id.unwrap_or_default()).color(palette.faint));
    });
    Grid::new(("record", facts.record, selected.number)).num_columns(2).spacing([2.0 * STEP, STEP]).show(ui, |ui| {
        // Lists of the plan have places of their own.
        let is_own = |name: &&&str| selected.kind != Kind::Plan || OF_THE_PLAN.contains(*name);
        for name in fields_of(facts.record).iter().filter(is_own) {
            let value = document.written(&way.clone().field(*name));
            let label = RichText::new(name.replace('_', " "));
            ui.label(if value.is_some() { label } else { label.color(palette.faint) });
            field(ui, document, &way, (facts.record, name), value.as_deref(), wishes);
            ui.end_row();
        }
    });
}

/// A text without its quotes.
fn bare(written: &str) -> String {
    written.trim().trim_matches('"').to_owned()
}

fn field(
    ui: &mut Ui,
    document: &Document,
    record: &Way,
    (kind, name): (&str, &str),
    value: Option<&str>,
    wishes: &mut Vec<Wish>,
) {
    let way = record.clone().field(name);
    let label = format!("{name} of {}", kind.to_lowercase());
    let set = |value: String, stroke: bool| Wish::Edit {
        label: label.clone(),
        stroke: stroke.then(|| Stroke(format!("{way:?}"))),
        change: Change::Set(way.clone(), value),
    };
    let unset = || Wish::Edit { label: label.clone(), stroke: None, change: Change::Unset(way.clone()) };
    match asked(kind, name) {
        Ask::Word(words) => {
            let now = value.map(bare).unwrap_or_default();
            let chosen = pick(ui, &way, &now, &words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>());
            match chosen {
                Some(word) if word.is_empty() => wishes.push(unset()),
                Some(word) => wishes.push(set(word, false)),
                None => {}
            }
        }
        Ask::Id { of, many: false } => {
            let chosen = pick(ui, &way, &value.map(bare).unwrap_or_default(), &ids_of(document, of));
            match chosen {
                Some(id) if id.is_empty() => wishes.push(unset()),
                Some(id) => wishes.push(set(text_value(&id), false)),
                None => {}
            }
        }
        Ask::Number if value.is_none_or(|value| value.trim().parse::<f64>().is_ok()) => {
            let mut number = value.and_then(|value| value.trim().parse().ok()).unwrap_or(0.0);
            ui.horizontal(|ui| {
                if value.is_none() {
                    if ui.small_button("set").clicked() {
                        wishes.push(set(number_value(default_of(name), 2), false));
                    }
                    return;
                }
                let response = ui.add(DragValue::new(&mut number).speed(step_of(name)).max_decimals(2));
                if response.changed() {
                    wishes.push(set(number_value(number, 2), true));
                }
                if response.drag_stopped() || response.lost_focus() {
                    wishes.push(Wish::Lift);
                }
                if ui.small_button("✖").on_hover_text("Leave it to the plan’s own value").clicked() {
                    wishes.push(unset());
                }
            });
        }
        Ask::YesNo => {
            let mut on = value == Some("true");
            if ui.checkbox(&mut on, "").changed() {
                wishes.push(set(on.to_string(), false));
            }
        }
        asked => typed(ui, &way, value, asked == Ask::Text, |text| match text {
            Some(text) => wishes.push(set(text, false)),
            None => wishes.push(unset()),
        }),
    }
}

/// A field one types in; taken when it is left or Enter is pressed. Emptied, it is taken out.
fn typed(ui: &mut Ui, way: &Way, value: Option<&str>, is_text: bool, mut done: impl FnMut(Option<String>)) {
    let id = ui.id().with(format!("{way:?}"));
    let now = value.map(|value| if is_text { bare(value) } else { value.to_owned() }).unwrap_or_default();
    let mut text = ui.data_mut(|data| data.get_temp::<String>(id)).unwrap_or_else(|| now.clone());
    let edit = if text.contains('\n') || text.len() > 60 {
        TextEdit::multiline(&mut text).desired_rows(3).desired_width(f32::INFINITY)
    } else {
        TextEdit::singleline(&mut text).desired_width(f32::INFINITY)
    };
    let response = ui.add(edit);
    if response.has_focus() {
        ui.data_mut(|data| data.insert_temp(id, text));
        return;
    }
    ui.data_mut(|data| data.remove::<String>(id));
    if response.lost_focus() && text != now {
        let text = text.trim();
        done(match (text.is_empty(), is_text) {
            (true, _) => None,
            (false, true) => Some(text_value(text)),
            (false, false) => Some(text.to_owned()),
        });
    }
}

/// One of some words; the first leaves it to the plan.
fn pick(ui: &mut Ui, way: &Way, now: &str, words: &[String]) -> Option<String> {
    let mut chosen = None;
    ComboBox::from_id_salt(format!("{way:?}")).selected_text(if now.is_empty() { "–" } else { now }).show_ui(
        ui,
        |ui| {
            for word in [String::new()].iter().chain(words) {
                let label = if word.is_empty() { "–" } else { word };
                if ui.selectable_label(word == now, label).clicked() && word != now {
                    chosen = Some(word.clone());
                }
            }
        },
    );
    chosen
}

/// Ids of everything in lists such as `kit.lenses`.
fn ids_of(document: &Document, lists: &[&str]) -> Vec<String> {
    let mut ids = Vec::new();
    for list in lists {
        let Some(kind) = KINDS.iter().find(|facts| facts.list.join(".") == **list) else { continue };
        let way = kind.kind.list();
        for number in 0.. {
            if document.written(&way.clone().item(number)).is_none() {
                break;
            }
            ids.extend(document.written(&way.clone().item(number).field("id")).map(|id| bare(&id)));
        }
        if ids.is_empty() {
            ids.extend(unwritten(document, kind.kind));
        }
    }
    ids
}

/// A plan that leaves out crew or kit has the usual ones.
fn unwritten(document: &Document, kind: Kind) -> Vec<String> {
    let Some(plan) = document.plan() else { return vec![] };
    match kind {
        Kind::Photographer => plan.crew.iter().map(|it| it.id.clone()).collect(),
        Kind::Body => plan.kit.bodies.iter().map(|it| it.id.clone()).collect(),
        Kind::Lens => plan.kit.lenses.iter().map(|it| it.id.clone()).collect(),
        _ => vec![],
    }
}

fn step_of(name: &str) -> f64 {
    match name {
        "heading" | "bearing" => 1.0,
        "focal_mm" | "rows" | "seats_per_row" | "steps" | "seed" => 1.0,
        "lumens" | "kelvin" | "lux" => 20.0,
        "latitude" | "longitude" => 0.01,
        _ => 0.05,
    }
}

/// Where dragging begins for a number that wasn't written.
fn default_of(name: &str) -> f64 {
    match name {
        "height" => 1.6,
        "focal_mm" => 50.0,
        "f" => 2.8,
        "stature" => 1.7,
        "filled" => 1.0,
        "kelvin" => 2700.0,
        "lumens" => 800.0,
        "rows" | "seats_per_row" => 4.0,
        _ => 0.0,
    }
}
