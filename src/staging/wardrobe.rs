//! The guests' wardrobe: small tables of skins, hair, cloth, in muted middle tones, so that guests read as audience.

use super::carve::{mix, rgb, shade};
use super::chance::Chance;
use crate::plan::{Clothes, ClothesKind, Colour, Hair, Looks};

/// Ten skins from light to dark.
pub const SKINS: [Colour; 10] = [
    rgb(0.94, 0.80, 0.70),
    rgb(0.91, 0.75, 0.63),
    rgb(0.87, 0.69, 0.55),
    rgb(0.82, 0.63, 0.48),
    rgb(0.76, 0.57, 0.42),
    rgb(0.68, 0.49, 0.35),
    rgb(0.58, 0.40, 0.28),
    rgb(0.49, 0.33, 0.23),
    rgb(0.40, 0.27, 0.19),
    rgb(0.32, 0.21, 0.15),
];

const LIGHT_HAIR: [Colour; 8] = [
    rgb(0.17, 0.12, 0.09),
    rgb(0.27, 0.18, 0.12),
    rgb(0.36, 0.24, 0.15),
    rgb(0.47, 0.32, 0.19),
    rgb(0.66, 0.49, 0.29),
    rgb(0.78, 0.62, 0.40),
    rgb(0.53, 0.26, 0.14),
    rgb(0.66, 0.64, 0.61),
];

const DARK_HAIR: [Colour; 5] =
    [rgb(0.09, 0.07, 0.06), rgb(0.12, 0.09, 0.08), rgb(0.16, 0.11, 0.08), rgb(0.22, 0.15, 0.11), rgb(0.50, 0.48, 0.46)];

/// Suits and trousers.
const DARK_CLOTH: [Colour; 8] = [
    rgb(0.21, 0.24, 0.31),
    rgb(0.27, 0.28, 0.31),
    rgb(0.36, 0.36, 0.38),
    rgb(0.31, 0.27, 0.25),
    rgb(0.40, 0.36, 0.31),
    rgb(0.29, 0.34, 0.34),
    rgb(0.52, 0.49, 0.44),
    rgb(0.24, 0.20, 0.24),
];

/// Dresses, shirts, blouses: muted.
const CLOTH: [Colour; 16] = [
    rgb(0.48, 0.56, 0.63),
    rgb(0.61, 0.66, 0.60),
    rgb(0.49, 0.57, 0.47),
    rgb(0.70, 0.60, 0.55),
    rgb(0.66, 0.48, 0.46),
    rgb(0.55, 0.39, 0.43),
    rgb(0.60, 0.56, 0.66),
    rgb(0.45, 0.44, 0.56),
    rgb(0.73, 0.67, 0.56),
    rgb(0.66, 0.57, 0.40),
    rgb(0.38, 0.49, 0.50),
    rgb(0.57, 0.45, 0.36),
    rgb(0.74, 0.71, 0.67),
    rgb(0.36, 0.42, 0.51),
    rgb(0.63, 0.41, 0.35),
    rgb(0.52, 0.60, 0.62),
];

/// Looks and clothes of a guest.
pub fn guest(chance: Chance, man: bool, child: bool) -> (Looks, Clothes) {
    (looks(chance, man, child), clothes(chance, man, child))
}

fn looks(chance: Chance, man: bool, child: bool) -> Looks {
    let tone = chance.unit("skin");
    let skin = SKINS[((tone * SKINS.len() as f32) as usize).min(SKINS.len() - 1)];
    let mut hair_colour = if tone < 0.5 { chance.pick("hair", &LIGHT_HAIR) } else { chance.pick("hair", &DARK_HAIR) };
    if child {
        hair_colour = mix(hair_colour, rgb(0.30, 0.20, 0.13), 0.4);
    }
    let table: &[Hair] = match (man, child) {
        (true, true) => &[Hair::Short, Hair::Short, Hair::Short, Hair::Curls],
        (false, true) => &[Hair::Bob, Hair::Long, Hair::Bun, Hair::Curls],
        (true, false) => &[
            Hair::Short,
            Hair::Short,
            Hair::Short,
            Hair::Short,
            Hair::Short,
            Hair::Short,
            Hair::Curls,
            Hair::Bald,
            Hair::Bald,
            Hair::Bun,
            Hair::Hat,
            Hair::Turban,
        ],
        (false, false) => &[
            Hair::Bob,
            Hair::Bob,
            Hair::Bob,
            Hair::Long,
            Hair::Long,
            Hair::Long,
            Hair::Bun,
            Hair::Bun,
            Hair::Bun,
            Hair::Curls,
            Hair::Curls,
            Hair::Short,
            Hair::Short,
            Hair::Hat,
            Hair::Scarf,
        ],
    };
    let hair = chance.pick("cut", table);
    if matches!(hair, Hair::Scarf | Hair::Turban) {
        // These take the colour of their cloth.
        hair_colour = chance.pick("cloth of the head", &CLOTH);
    }
    Looks {
        skin,
        hair,
        hair_colour,
        glasses: chance.unit("glasses") < if child { 0.08 } else { 0.22 },
        beard: man && !child && chance.unit("beard") < 0.30,
    }
}

fn clothes(chance: Chance, man: bool, child: bool) -> Clothes {
    use ClothesKind::*;
    let kinds: &[ClothesKind] = match (man, child) {
        (true, true) => &[Shirt, Shirt, Suit],
        (false, true) => &[Dress, Dress, Dress, Skirt, Shirt],
        (true, false) => &[Suit, Suit, Suit, Suit, Suit, Shirt, Shirt, Shirt, Tunic],
        (false, false) => &[Dress, Dress, Dress, Dress, Skirt, Skirt, Shirt, Suit, Gown, Wrap, Tunic],
    };
    let kind = chance.pick("clothes", kinds);
    let tint = chance.between("tint", 0.90, 1.08);
    let cloth = shade(chance.pick("cloth", &CLOTH), tint);
    let dark = shade(chance.pick("dark cloth", &DARK_CLOTH), tint);
    let accent = chance.pick("accent", &CLOTH);
    let (main, second) = match kind {
        Suit => (dark, mix(accent, shade(accent, 0.7), chance.unit("deep accent"))),
        Shirt => (mix(cloth, rgb(0.85, 0.84, 0.81), 0.35), dark),
        Skirt => (cloth, mix(dark, accent, 0.5)),
        Tunic => (cloth, mix(dark, cloth, 0.3)),
        Gown | Dress | Robe | Wrap => (cloth, mix(accent, cloth, 0.5)),
    };
    Clothes { kind, main, second, veil: false }
}
