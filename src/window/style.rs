//! Type scale, grid and palette: the one place where the window's looks are decided.

use crate::plan::PhotographerIx;
use egui::epaint::text::{FontData, FontDefinitions, FontFamily};
use egui::{Color32, CornerRadius, FontId, Stroke, TextStyle, Visuals};
use std::sync::Arc;

/// Everything stands on steps of four points.
pub const STEP: f32 = 4.0;
/// The smallest thing one is meant to hit with a pointer, points.
pub const TARGET: f32 = 28.0;

/// Points: notes, body, headings of panels, titles.
pub const NOTE_PT: f32 = 12.0;
pub const BODY_PT: f32 = 14.0;
pub const HEAD_PT: f32 = 17.0;
pub const TITLE_PT: f32 = 22.0;

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Theme {
    #[default]
    Light,
    Dark,
}

/// Colours by what they are for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Palette {
    pub paper: Color32,
    /// Panels, a little off the paper.
    pub panel: Color32,
    /// Fields one writes in, the ground of lanes.
    pub well: Color32,
    pub ink: Color32,
    /// Still 4.5 to 1 against panel and paper.
    pub faint: Color32,
    pub line: Color32,
    /// What is chosen, and what a key would press.
    pub accent: Color32,
    pub on_accent: Color32,
    pub lost: Color32,
    pub risk: Color32,
    pub good: Color32,
}

const fn rgb(hex: u32) -> Color32 {
    Color32::from_rgb((hex >> 16) as u8, (hex >> 8) as u8, hex as u8)
}

const LIGHT: Palette = Palette {
    paper: rgb(0xfb_f8f2),
    panel: rgb(0xf3_eee5),
    well: rgb(0xff_fefb),
    ink: rgb(0x2b_2430),
    faint: rgb(0x6a_6070),
    line: rgb(0xd8_cfc2),
    accent: rgb(0x5b_3a6b),
    on_accent: rgb(0xff_ffff),
    lost: rgb(0xa8_2a1c),
    risk: rgb(0x8a_5a00),
    good: rgb(0x0b_6b50),
};

const DARK: Palette = Palette {
    paper: rgb(0x1d_1822),
    panel: rgb(0x26_202c),
    well: rgb(0x18_141c),
    ink: rgb(0xee_e7df),
    faint: rgb(0xb0_a5b5),
    line: rgb(0x43_3a4b),
    accent: rgb(0xd0_a8e4),
    on_accent: rgb(0x1d_1822),
    lost: rgb(0xff_8a76),
    risk: rgb(0xf0_b95a),
    good: rgb(0x5f_d3ae),
};

impl Theme {
    pub fn palette(self) -> &'static Palette {
        match self {
            Self::Light => &LIGHT,
            Self::Dark => &DARK,
        }
    }

    pub fn other(self) -> Self {
        match self {
            Self::Light => Self::Dark,
            Self::Dark => Self::Light,
        }
    }
}

/// A photographer's own colour for areas and lines: Okabe and Ito's orange, sky blue, bluish green, and so on round.
pub fn crew_colour(photographer: PhotographerIx) -> Color32 {
    [rgb(0xe6_9f00), rgb(0x56_b4e9), rgb(0x00_9e73), rgb(0xcc_79a7)][photographer.0 % 4]
}

/// The serif of titles.
pub fn title() -> FontId {
    FontId::new(TITLE_PT, FontFamily::Name("title".into()))
}

pub fn strong(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name("strong".into()))
}

/// Fonts, sizes, spacing and colours of every widget.
pub fn apply(ctx: &egui::Context, theme: Theme) {
    let palette = theme.palette();
    ctx.set_theme(match theme {
        Theme::Light => egui::Theme::Light,
        Theme::Dark => egui::Theme::Dark,
    });
    ctx.all_styles_mut(|style| {
        style.text_styles = [
            (TextStyle::Small, FontId::proportional(NOTE_PT)),
            (TextStyle::Body, FontId::proportional(BODY_PT)),
            (TextStyle::Button, FontId::proportional(BODY_PT)),
            (TextStyle::Heading, strong(HEAD_PT)),
            (TextStyle::Monospace, FontId::monospace(BODY_PT - 1.0)),
        ]
        .into();
        style.spacing.item_spacing = egui::vec2(2.0 * STEP, STEP);
        style.spacing.button_padding = egui::vec2(2.0 * STEP, STEP);
        style.spacing.interact_size = egui::vec2(TARGET, TARGET - STEP);
        style.visuals = visuals(theme, palette);
        style.interaction.tooltip_delay = 0.35;
    });
}

pub fn install_fonts(ctx: &egui::Context) {
    let mut fonts = FontDefinitions::default();
    for (name, bytes) in [
        ("lato", &include_bytes!("../../assets/fonts/Lato-Regular.ttf")[..]),
        ("lato-bold", &include_bytes!("../../assets/fonts/Lato-Bold.ttf")[..]),
    ] {
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
    }
    let fallback = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    let with =
        |first: &str| -> Vec<String> { [first.to_owned()].into_iter().chain(fallback.iter().cloned()).collect() };
    fonts.families.insert(FontFamily::Proportional, with("lato"));
    fonts.families.insert(FontFamily::Name("strong".into()), with("lato-bold"));
    fonts.families.insert(FontFamily::Name("title".into()), with("lato-bold"));
    ctx.set_fonts(fonts);
}

fn visuals(theme: Theme, palette: &Palette) -> Visuals {
    let mut visuals = match theme {
        Theme::Light => Visuals::light(),
        Theme::Dark => Visuals::dark(),
    };
    visuals.panel_fill = palette.panel;
    visuals.window_fill = palette.panel;
    visuals.extreme_bg_color = palette.well;
    visuals.faint_bg_color = palette.paper;
    visuals.window_stroke = Stroke::new(1.0, palette.line);
    visuals.override_text_color = None;
    visuals.selection.bg_fill = palette.accent.gamma_multiply(0.35);
    visuals.selection.stroke = Stroke::new(1.5, palette.accent);
    visuals.hyperlink_color = palette.accent;
    visuals.window_corner_radius = CornerRadius::same(6);
    let round = CornerRadius::same(4);
    let widgets = &mut visuals.widgets;
    for (widget, fill, edge, text) in [
        (&mut widgets.noninteractive, palette.panel, palette.line, palette.ink),
        (&mut widgets.inactive, palette.well, palette.line, palette.ink),
        (&mut widgets.hovered, palette.paper, palette.accent, palette.ink),
        (&mut widgets.active, palette.accent, palette.accent, palette.on_accent),
        (&mut widgets.open, palette.well, palette.accent, palette.ink),
    ] {
        widget.bg_fill = fill;
        widget.weak_bg_fill = fill;
        widget.bg_stroke = Stroke::new(1.0, edge);
        widget.fg_stroke = Stroke::new(1.0, text);
        widget.corner_radius = round;
        widget.expansion = 0.0;
    }
    visuals
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance and contrast ratio: Web Content Accessibility Guidelines 2.1, definitions; 4.5 to 1 is its level AA for
    /// text.
    fn contrast(a: Color32, b: Color32) -> f64 {
        let luminance = |colour: Color32| {
            let linear = |byte: u8| {
                let c = f64::from(byte) / 255.0;
                if c <= 0.040_45 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
            };
            0.2126 * linear(colour.r()) + 0.7152 * linear(colour.g()) + 0.0722 * linear(colour.b())
        };
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn text_can_be_read_on_every_ground() {
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
        for theme in [Theme::Light, Theme::Dark] {
            let palette = theme.palette();
            for ground in [palette.paper, palette.panel, palette.well] {
                for ink in [palette.ink, palette.faint, palette.accent, palette.lost, palette.risk, palette.good] {
                    let ratio = contrast(ink, ground);
                    assert!(ratio >= 4.5, "{theme:?}: {ink:?} on {ground:?} is {ratio:.2} to 1");
                }
            }
            assert!(contrast(palette.on_accent, palette.accent) >= 4.5);
        }
    }
}
