//! How each ink looks on light paper, on a dark screen and in black and white.

use super::Ink;

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
    pub fn paint(self, _ink: Ink) -> Paint {
        Paint::default()
    }
    pub fn paper(self) -> [u8; 4] {
        [0; 4]
    }
}
