//! Colours of the floor plan on light paper and on a dark screen, sRGB.

use crate::plan::{PhotographerIx, Surface};

/// Okabe & Ito's orange, sky blue, bluish green, reddish purple and yellow (M. Okabe, K. Ito, Color Universal Design, 2008), in
/// the order of the plan's crew. They repeat from the sixth on.
const CREW: [[u8; 3]; 5] =
    [[0xE6, 0x9F, 0x00], [0x56, 0xB4, 0xE9], [0x00, 0x9E, 0x73], [0xCC, 0x79, 0xA7], [0xF0, 0xE4, 0x42]];
/// The same hues, dark enough to be read on light paper, and light enough on a dark screen.
const CREW_DARK: [[u8; 3]; 5] =
    [[0x8A, 0x57, 0x00], [0x0A, 0x5F, 0x94], [0x00, 0x69, 0x4D], [0x8F, 0x3C, 0x6B], [0x6B, 0x62, 0x00]];
const CREW_PALE: [[u8; 3]; 5] =
    [[0xF2, 0xB5, 0x33], [0x7C, 0xC6, 0xF0], [0x3F, 0xC9, 0x9F], [0xE3, 0xA0, 0xC6], [0xF0, 0xE4, 0x42]];
/// Okabe & Ito's vermilion: what is lost or forbidden.
pub const VERMILION: [u8; 3] = [0xD5, 0x5E, 0x00];

pub fn crew(photographer: PhotographerIx) -> [u8; 3] {
    CREW[photographer.0 % CREW.len()]
}

pub fn crew_dark(photographer: PhotographerIx) -> [u8; 3] {
    CREW_DARK[photographer.0 % CREW.len()]
}

pub fn crew_pale(photographer: PhotographerIx) -> [u8; 3] {
    CREW_PALE[photographer.0 % CREW.len()]
}

/// A surface on light paper: a breath of its own colour. *Judged by eye.*
pub fn surface(of: Surface) -> [u8; 3] {
    match of {
        Surface::Grass => [0xE6, 0xEC, 0xD8],
        Surface::Gravel => [0xEE, 0xE9, 0xDE],
        Surface::Earth => [0xE9, 0xDF, 0xD0],
        Surface::Sand => [0xF3, 0xEB, 0xD6],
        Surface::Stone => [0xEA, 0xE7, 0xE0],
        Surface::Flagstone => [0xE6, 0xE3, 0xDC],
        Surface::Brick => [0xEF, 0xDD, 0xD4],
        Surface::Plaster => [0xF5, 0xF1, 0xE9],
        Surface::Concrete => [0xE8, 0xE7, 0xE6],
        Surface::Tile => [0xEC, 0xEA, 0xE5],
        Surface::OakBoards => [0xF2, 0xE7, 0xD4],
        Surface::DarkBoards => [0xE2, 0xD4, 0xC4],
        Surface::Carpet => [0xEB, 0xDF, 0xE2],
        Surface::Linen => [0xF6, 0xF0, 0xE5],
        Surface::Water => [0xD9, 0xE7, 0xEC],
    }
}

/// From one colour to the other.
pub fn mix(a: [u8; 3], b: [u8; 3], share: f32) -> [u8; 3] {
    std::array::from_fn(|i| (f32::from(a[i]) + (f32::from(b[i]) - f32::from(a[i])) * share).round() as u8)
}

/// A grey as light as a colour: luma by ITU-R BT.709.
pub fn grey(colour: [u8; 3]) -> [u8; 3] {
    let [r, g, b] = colour.map(f32::from);
    [(0.2126 * r + 0.7152 * g + 0.0722 * b).round() as u8; 3]
}
