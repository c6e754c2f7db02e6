//! What is worth fixing: the most serious first; each takes you to its place and instant, and where a number would mend it, mends
//! it.

use super::note;
use crate::findings::{Finding, Mend, Severity};
use crate::plan::Plan;
use crate::window::style::{Palette, STEP};
use crate::window::view::View;
use crate::window::wish::{Change, Wish};
use crate::window::{Shown, style};
use egui::{Align, Layout, RichText, ScrollArea, Sense, Ui, UiBuilder};

pub fn show(ui: &mut Ui, shown: &Shown, view: &View, wishes: &mut Vec<Wish>) {
    let palette = view.theme.palette();
    let Some(found) = &shown.found else {
        note(ui, palette, "looking at every frame …");
        return;
    };
    ui.horizontal(|ui| {
        for (severity, count) in
            [(Severity::Lost, found.lost), (Severity::Risk, found.risks), (Severity::Note, found.notes)]
        {
            ui.label(
                RichText::new(format!("{} {count} {}", sign(severity), word(severity, count)))
                    .font(style::strong(style::BODY_PT))
                    .color(colour(palette, severity)),
            );
        }
        if shown.found_is_old {
            note(ui, palette, "checking …");
        }
    });
    let plan = shown.plan();
    ScrollArea::vertical().id_salt("findings").auto_shrink([false, false]).show(ui, |ui| {
        if found.list.is_empty() {
            note(ui, palette, "Nothing found to fix.");
        }
        for severity in Severity::ALL {
            for (number, finding) in found.list.iter().enumerate().filter(|(_, it)| it.severity == severity) {
                let remedy = shown.remedies.get(number).and_then(Option::as_ref).filter(|_| !shown.found_is_old);
                one(ui, plan, finding, remedy, view, wishes);
            }
        }
        ui.add_space(2.0 * STEP);
        note(
            ui,
            palette,
            "Planning aid: people won’t stand quite where a plan puts them, and light changes. Meter on the day.",
        );
    });
}

fn one(ui: &mut Ui, plan: &Plan, finding: &Finding, remedy: Option<&Wish>, view: &View, wishes: &mut Vec<Wish>) {
    let palette = view.theme.palette();
    let frame = egui::Frame::new().fill(palette.well).corner_radius(4).inner_margin(2.0 * STEP);
    // Under what is in it: its button takes clicks of its own.
    let card = ui.scope_builder(UiBuilder::new().sense(Sense::click()), |ui| {
        ui.style_mut().interaction.selectable_labels = false;
        frame.show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal(|ui| {
                ui.label(
                    RichText::new(format!("{} {}", sign(finding.severity), finding.severity.word()))
                        .font(style::strong(style::NOTE_PT))
                        .color(colour(palette, finding.severity)),
                );
                let place = if finding.frame.is_empty() { &finding.moment } else { &finding.frame };
                note(ui, palette, place.clone());
                if let Some(role) = plan.crew.iter().find(|it| it.id == finding.photographer).map(|it| &it.role) {
                    ui.with_layout(Layout::right_to_left(Align::Center), |ui| note(ui, palette, role.clone()));
                }
            });
            ui.label(&finding.sentence);
            if !finding.remedy.is_empty() {
                ui.horizontal_wrapped(|ui| {
                    ui.label(RichText::new(format!("→ {}", finding.remedy)).color(palette.good));
                    if let Some(wish) = remedy
                        && ui.button("Apply").on_hover_text("Change the plan so; undo takes it back").clicked()
                    {
                        wishes.push(wish.clone());
                    }
                });
            }
        })
    });
    let response = card.response;
    let label = format!("{}: {}", finding.severity.word(), finding.sentence);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::WidgetType::Button, true, &label));
    let rule = finding.rule.facts();
    let response = response.on_hover_text(format!("{}: {}", rule.word, rule.looks_for));
    if response.hovered() {
        ui.painter().rect_stroke(response.rect, 4, egui::Stroke::new(1.0, palette.accent), egui::StrokeKind::Inside);
    }
    if response.clicked() {
        wishes.extend(go_to(plan, finding));
    }
    ui.add_space(STEP);
}

/// Where a finding takes one.
pub fn go_to(plan: &Plan, finding: &Finding) -> Vec<Wish> {
    if let Some(number) = plan.frames.iter().position(|frame| frame.id == finding.frame) {
        return vec![Wish::GoToFrame(number)];
    }
    let moment = plan.moments.iter().find(|it| it.id == finding.moment).map(|it| it.start_s);
    finding.at_s.or(moment).map(Wish::GoTo).into_iter().collect()
}

/// The change of the plan that a remedy stands for, where it comes down to numbers of it.
pub fn remedy(plan: &Plan, finding: &Finding) -> Option<Wish> {
    let frame = plan.frames.iter().find(|frame| frame.id == finding.frame)?;
    let change = |mend: &Mend| {
        let (way, value) = mend.field(plan, frame);
        Change::Set(way, value)
    };
    let changes: Vec<Change> = finding.mends.iter().map(change).collect();
    let label = format!("Remedy for {}", finding.frame);
    (!changes.is_empty()).then_some(Wish::Edit { label, stroke: None, change: Change::All(changes) })
}

pub fn sign(severity: Severity) -> &'static str {
    match severity {
        Severity::Lost => "✖",
        Severity::Risk => "⚠",
        Severity::Note => "•",
    }
}

fn word(severity: Severity, count: usize) -> &'static str {
    match (severity, count) {
        (Severity::Lost, _) => "lost",
        (Severity::Risk, 1) => "risk",
        (Severity::Risk, _) => "risks",
        (Severity::Note, 1) => "note",
        (Severity::Note, _) => "notes",
    }
}

pub fn colour(palette: &Palette, severity: Severity) -> egui::Color32 {
    match severity {
        Severity::Lost => palette.lost,
        Severity::Risk => palette.risk,
        Severity::Note => palette.faint,
    }
}
