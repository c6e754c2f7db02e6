//! How each ink looks on light paper, on a dark screen and in black and white.

use super::{Ink, print, screen};

/// Where a drawing is seen. Colours are never all that tells two things apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Style {
    Light,
    Dark,
    /// Black and white: hatches, dashes and outlines instead of hues.
    Print,
}

/// sRGB with opacity, of a filling and of a line. Words are written in the filling, on a rim in the line's colour.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Paint {
    pub fill: Option<[u8; 4]>,
    pub stroke: Option<Stroke>,
    /// Over the filling.
    pub hatch: Option<Hatch>,
}

/// Widths and dashes in points; a dash is its length and the gap after it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    pub colour: [u8; 4],
    pub width_pt: f32,
    pub dash_pt: Option<[f32; 2]>,
}

/// Parallel lines, turned clockwise on the page from level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hatch {
    pub colour: [u8; 4],
    pub width_pt: f32,
    /// From line to line.
    pub every_pt: f32,
    pub turned_deg: f32,
}

impl Style {
    pub fn paint(self, ink: Ink) -> Paint {
        match self {
            Style::Light => screen::paint(&screen::LIGHT, ink),
            Style::Dark => screen::paint(&screen::DARK, ink),
            Style::Print => print::paint(ink),
        }
    }

    pub fn paper(self) -> [u8; 4] {
        match self {
            Style::Light => opaque(screen::LIGHT.paper),
            Style::Dark => opaque(screen::DARK.paper),
            Style::Print => [0xFF; 4],
        }
    }
}

impl Paint {
    pub(super) fn filled(colour: [u8; 4]) -> Self {
        Self { fill: Some(colour), ..Self::default() }
    }

    pub(super) fn lined(colour: [u8; 4], width_pt: f32) -> Self {
        Self::default().edged(colour, width_pt)
    }

    pub(super) fn edged(self, colour: [u8; 4], width_pt: f32) -> Self {
        Self { stroke: Some(Stroke { colour, width_pt, dash_pt: None }), ..self }
    }

    pub(super) fn dashed(self, dash_pt: [f32; 2]) -> Self {
        Self { stroke: self.stroke.map(|stroke| Stroke { dash_pt: Some(dash_pt), ..stroke }), ..self }
    }

    pub(super) fn hatched(self, colour: [u8; 4], every_pt: f32, turned_deg: f32) -> Self {
        Self { hatch: Some(Hatch { colour, width_pt: 0.5, every_pt, turned_deg }), ..self }
    }
}

pub(super) fn opaque([r, g, b]: [u8; 3]) -> [u8; 4] {
    [r, g, b, 0xFF]
}
