//! The people: who they are, how tall, how they look, where they begin.

use super::SeatsIx;
use glam::Vec2;

#[derive(Debug, Clone)]
pub struct Person {
    pub id: String,
    /// As the brief calls them.
    pub name: String,
    /// Free text of the plan's own: "officiant", "bridesmaid", "grandmother".
    pub roles: Vec<String>,
    pub stature_m: f32,
    pub build: Build,
    pub looks: Looks,
    pub clothes: Clothes,
    /// Where they are until a cue says otherwise; `None` is not there yet.
    pub post: Option<Post>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Build {
    Slight,
    Middling,
    Broad,
    /// Child proportions follow from stature.
    Child,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Looks {
    pub skin: Colour,
    pub hair: Hair,
    pub hair_colour: Colour,
    pub glasses: bool,
    pub beard: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hair {
    Short,
    Bob,
    Long,
    Bun,
    Curls,
    Bald,
    Hat,
    Scarf,
    Turban,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clothes {
    pub kind: ClothesKind,
    pub main: Colour,
    pub second: Colour,
    pub veil: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClothesKind {
    /// Jacket, shirt, trousers.
    Suit,
    /// Long tapered dress to the floor.
    Gown,
    /// Dress to the knee.
    Dress,
    /// Long robe with wide sleeves.
    Robe,
    /// Shirt or blouse with trousers.
    Shirt,
    /// Blouse or jacket with a knee skirt.
    Skirt,
    /// Long tunic over trousers.
    Tunic,
    /// Draped cloth from shoulder to floor.
    Wrap,
}

/// sRGB, 0..=1 a channel, as people name colours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Colour(pub [f32; 3]);

#[derive(Debug, Clone)]
pub struct Mark {
    pub id: String,
    pub at: Vec2,
}

/// Where a person is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Post {
    Floor(Vec2),
    /// Row and seat count from 0.
    Seat {
        seats: SeatsIx,
        row: u32,
        seat: u32,
    },
}
