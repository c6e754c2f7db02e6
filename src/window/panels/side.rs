//! The left side: what is chosen, and below it findings, contents, or the plan's text.

use super::{findings, record};
use crate::window::view::{KINDS, Kind, Selected, Tab, View};
use crate::window::wish::{Change, Wish};
use crate::window::{Document, Shown, Stroke};
use egui::{Panel, RichText, ScrollArea, TextEdit, Ui};

pub fn show(ui: &mut Ui, document: &Document, shown: Option<&Shown>, view: &View, wishes: &mut Vec<Wish>) {
    if let Some(selected) = view.selected {
        Panel::top("chosen").resizable(true).default_size(ui.available_height() * 0.45).show(ui, |ui| {
            ScrollArea::vertical().id_salt("record").auto_shrink([false, false]).show(ui, |ui| {
                record::show(ui, document, view, selected, wishes);
            });
        });
    }
    ui.horizontal(|ui| {
        for (tab, label) in [(Tab::Findings, "Findings"), (Tab::Contents, "Contents"), (Tab::Text, "Text")] {
            if ui.selectable_label(view.tab == tab, label).clicked() {
                wishes.push(Wish::Turn(tab));
            }
        }
    });
    ui.separator();
    if let Some(problems) = document.problems() {
        let palette = view.theme.palette();
        ui.label(
            RichText::new(format!("The text doesn’t read as a plan: {} to mend", problems.list.len()))
                .color(palette.lost),
        );
        ScrollArea::vertical().id_salt("problems").max_height(220.0).show(ui, |ui| {
            for problem in &problems.list {
                let text = format!("line {}: {}. {}", problem.line, problem.message, problem.help);
                if ui.link(text).clicked() {
                    wishes.push(Wish::Turn(Tab::Text));
                }
            }
        });
        ui.separator();
    }
    match (view.tab, shown) {
        (Tab::Findings, Some(shown)) => findings::show(ui, shown, view, wishes),
        (Tab::Contents, Some(_)) => contents(ui, document, view, wishes),
        (Tab::Text, _) | (_, None) => text(ui, document, wishes),
    }
}

/// Every list of the plan with what is in it.
fn contents(ui: &mut Ui, document: &Document, view: &View, wishes: &mut Vec<Wish>) {
    ScrollArea::vertical().id_salt("contents").auto_shrink([false, false]).show(ui, |ui| {
        let itself = Selected::new(Kind::Plan, 0);
        if ui.selectable_label(view.selected == Some(itself), Kind::Plan.facts().one).clicked() {
            wishes.push(Wish::Select(Some(itself)));
        }
        for facts in KINDS.iter().filter(|facts| facts.kind != Kind::Plan) {
            let list = facts.kind.list();
            let ids: Vec<String> = (0..)
                .map_while(|number| {
                    let item = document.written(&list.clone().item(number))?;
                    let id = document.written(&list.clone().item(number).field("id"));
                    let short = || item.chars().take(36).collect::<String>().replace('\n', " ");
                    Some(id.map_or_else(short, |id| id.trim_matches('"').to_owned()))
                })
                .collect();
            let title = format!("{} ({})", facts.many, ids.len());
            ui.collapsing(title, |ui| {
                for (number, id) in ids.iter().enumerate() {
                    let selected = Selected::new(facts.kind, number);
                    if ui.selectable_label(view.selected == Some(selected), id).clicked() {
                        wishes.push(Wish::Select(Some(selected)));
                    }
                }
            });
        }
    });
}

/// The plan's own text; here it may be broken for a while.
fn text(ui: &mut Ui, document: &Document, wishes: &mut Vec<Wish>) {
    let mut text = document.text().to_owned();
    ScrollArea::both().id_salt("text").auto_shrink([false, false]).show(ui, |ui| {
        let edit = TextEdit::multiline(&mut text).code_editor().desired_width(f32::INFINITY).desired_rows(30);
        let response = ui.add(edit);
        response.widget_info(|| egui::WidgetInfo::labeled(egui::WidgetType::TextEdit, true, "Text of the plan"));
        if response.changed() {
            wishes.push(Wish::Edit {
                label: "Typing".to_owned(),
                stroke: Some(Stroke("typing".to_owned())),
                change: Change::Typed(text),
            });
        }
        if response.lost_focus() {
            wishes.push(Wish::Lift);
        }
    });
}
