//! The vocabularies of a plan file: one table each, and the nearest word to one that isn't known.

use super::model::*;

/// Words of one vocabulary and what they mean.
pub trait Vocabulary: Copy + 'static {
    /// "a sky", "a surface": for messages.
    const WHAT: &'static str;
    const WORDS: &'static [(&'static str, Self)];

    fn from_word(word: &str) -> Option<Self> {
        Self::WORDS.iter().find(|(known, _)| *known == word).map(|(_, value)| *value)
    }
}

macro_rules! vocabulary {
    ($type:ty, $what:literal, [$($word:literal => $value:expr),* $(,)?]) => {
        impl Vocabulary for $type {
            const WHAT: &'static str = $what;
            const WORDS: &'static [(&'static str, Self)] = &[$(($word, $value)),*];
        }
    };
}

vocabulary!(LengthUnit, "a unit", ["metres" => LengthUnit::Metres, "feet" => LengthUnit::Feet]);
vocabulary!(Sky, "a sky", [
    "clear" => Sky::Clear, "hazy" => Sky::Hazy, "broken" => Sky::Broken, "overcast" => Sky::Overcast,
]);
vocabulary!(Surface, "a surface", [
    "grass" => Surface::Grass, "gravel" => Surface::Gravel, "earth" => Surface::Earth, "sand" => Surface::Sand,
    "stone" => Surface::Stone, "flagstone" => Surface::Flagstone, "brick" => Surface::Brick,
    "plaster" => Surface::Plaster, "concrete" => Surface::Concrete, "tile" => Surface::Tile,
    "oak_boards" => Surface::OakBoards, "dark_boards" => Surface::DarkBoards, "carpet" => Surface::Carpet,
    "linen" => Surface::Linen, "water" => Surface::Water,
]);
vocabulary!(SurroundKind, "a surround", [
    "open" => SurroundKind::Open, "hedge" => SurroundKind::Hedge, "trees" => SurroundKind::Trees,
    "stone_wall" => SurroundKind::StoneWall, "houses" => SurroundKind::Houses,
]);
vocabulary!(RoomSide, "a side of a room", [
    "front" => RoomSide::Front, "back" => RoomSide::Back, "left" => RoomSide::Left, "right" => RoomSide::Right,
]);
vocabulary!(OpeningKind, "an opening", [
    "door" => OpeningKind::Door, "open" => OpeningKind::Open, "window" => OpeningKind::Window,
]);
vocabulary!(SeatKind, "a kind of seat", [
    "chair" => SeatKind::Chair, "pew" => SeatKind::Pew, "bench" => SeatKind::Bench, "stool" => SeatKind::Stool,
    "standing" => SeatKind::Standing,
]);
vocabulary!(LampKind, "a kind of lamp", [
    "bulb" => LampKind::Bulb, "pendant" => LampKind::Pendant, "spot" => LampKind::Spot,
    "candle" => LampKind::Candle, "strings" => LampKind::Strings,
]);
vocabulary!(Build, "a build", [
    "slight" => Build::Slight, "middling" => Build::Middling, "broad" => Build::Broad, "child" => Build::Child,
]);
vocabulary!(Hair, "hair", [
    "short" => Hair::Short, "bob" => Hair::Bob, "long" => Hair::Long, "bun" => Hair::Bun, "curls" => Hair::Curls,
    "bald" => Hair::Bald, "hat" => Hair::Hat, "scarf" => Hair::Scarf, "turban" => Hair::Turban,
]);
vocabulary!(ClothesKind, "clothes", [
    "suit" => ClothesKind::Suit, "gown" => ClothesKind::Gown, "dress" => ClothesKind::Dress,
    "robe" => ClothesKind::Robe, "shirt" => ClothesKind::Shirt, "skirt" => ClothesKind::Skirt,
    "tunic" => ClothesKind::Tunic, "wrap" => ClothesKind::Wrap,
]);
vocabulary!(Posture, "something a person does", [
    "standing" => Posture::Standing, "walking" => Posture::Walking, "sitting" => Posture::Sitting,
    "kneeling" => Posture::Kneeling, "crouching" => Posture::Crouching, "dancing" => Posture::Dancing,
]);
vocabulary!(Deed, "something a person can be seen doing", [
    "walks" => Deed::Walks, "sits" => Deed::Sits, "kneels" => Deed::Kneels, "crouches" => Deed::Crouches,
    "takes_hands" => Deed::TakesHands, "links_arms" => Deed::LinksArms, "holds_hand" => Deed::HoldsHand,
    "gives_ring" => Deed::GivesRing, "kisses" => Deed::Kisses, "embraces" => Deed::Embraces,
    "dances" => Deed::Dances, "holds_up_phone" => Deed::HoldsUpPhone, "reads" => Deed::Reads, "claps" => Deed::Claps,
    "opens_arms" => Deed::OpensArms, "wipes_eyes" => Deed::WipesEyes, "waves" => Deed::Waves,
    "throws_petals" => Deed::ThrowsPetals,
]);
vocabulary!(Held, "something to hold", [
    "nothing" => Held::Nothing, "bouquet" => Held::Bouquet, "posy" => Held::Posy,
    "ring_cushion" => Held::RingCushion, "book" => Held::Book, "basket" => Held::Basket,
    "candle" => Held::Candle, "glass" => Held::Glass,
]);
vocabulary!(Orientation, "an orientation", [
    "landscape" => Orientation::Landscape, "portrait" => Orientation::Portrait,
]);
vocabulary!(ShotSize, "a shot size", [
    "wide" => ShotSize::Wide, "full" => ShotSize::Full, "three_quarter" => ShotSize::ThreeQuarter,
    "half" => ShotSize::Half, "head_and_shoulders" => ShotSize::HeadAndShoulders, "close" => ShotSize::Close,
]);
vocabulary!(AudienceWish, "a wish for the audience", [
    "wanted" => AudienceWish::Wanted, "unwanted" => AudienceWish::Unwanted, "no_matter" => AudienceWish::NoMatter,
]);

/// Sensor width and height in millimetres. Nominal sizes of the trade, from memory; four thirds as in its
/// published standard (17.3 × 13.0 mm).
pub const SENSOR_FORMATS: &[(&str, [f64; 2])] = &[
    ("full_frame", [36.0, 24.0]),
    ("aps_c", [23.5, 15.6]),
    ("aps_c_small", [22.3, 14.9]),
    ("four_thirds", [17.3, 13.0]),
    ("medium_format", [43.8, 32.9]),
];

/// Names for colours of cloth, hair, skin and paint, as sRGB. Chosen by eye.
pub const COLOURS: &[(&str, u32)] = &[
    ("white", 0xf6f5f2),
    ("ivory", 0xf3ecdc),
    ("cream", 0xefe3c4),
    ("champagne", 0xe3d0ae),
    ("blush", 0xe8c4bc),
    ("pink", 0xdc9aa6),
    ("coral", 0xdf7a63),
    ("red", 0xa8322d),
    ("burgundy", 0x6d2231),
    ("plum", 0x5a2f4e),
    ("lavender", 0xa99bc4),
    ("dusty_blue", 0x8aa1b6),
    ("blue", 0x3d6a9e),
    ("navy", 0x232f4b),
    ("teal", 0x2e6a6b),
    ("sage", 0x9caa8b),
    ("green", 0x4c7a4a),
    ("forest", 0x2d4735),
    ("olive", 0x6f6d43),
    ("mustard", 0xc59a3a),
    ("gold", 0xc8a45c),
    ("terracotta", 0xb5623f),
    ("rust", 0x8f4a2b),
    ("sand", 0xcdb694),
    ("tan", 0xb28d63),
    ("brown", 0x5e4130),
    ("dark_brown", 0x38271e),
    ("auburn", 0x70381f),
    ("blond", 0xc9a66b),
    ("light_grey", 0xb9b8b4),
    ("grey", 0x83837f),
    ("silver", 0xc6c8c8),
    ("charcoal", 0x3a3c40),
    ("black", 0x1b1b1d),
    ("fair", 0xeec9b0),
    ("light", 0xe0b394),
    ("medium", 0xc68f69),
    ("deep", 0x8a5a3c),
    ("dark", 0x55362a),
];

/// A colour by name or as `#rrggbb`.
pub fn colour(word: &str) -> Option<Colour> {
    let rgb = match word.strip_prefix('#') {
        Some(hex) if hex.len() == 6 && hex.bytes().all(|b| b.is_ascii_hexdigit()) => {
            u32::from_str_radix(hex, 16).ok()?
        }
        Some(_) => return None,
        None => COLOURS.iter().find(|(name, _)| *name == word)?.1,
    };
    let channel = |shift: u32| ((rgb >> shift) & 0xff) as f32 / 255.0;
    Some(Colour([channel(16), channel(8), channel(0)]))
}

/// What people write, and the word a plan has for it.
const SAID_OTHERWISE: &[(&str, &str)] = &[
    ("persons", "people"),
    ("guests", "people"),
    ("photographers", "crew"),
    ("team", "crew"),
    ("shots", "frames"),
    ("pictures", "frames"),
    ("photos", "frames"),
    ("positions", "standpoints"),
    ("spots", "marks"),
    ("schedule", "moments"),
    ("gear", "kit"),
    ("cameras", "bodies"),
    ("chairs", "seats"),
    ("date", "start"),
    ("time", "start"),
    ("lat", "latitude"),
    ("lon", "longitude"),
    ("lng", "longitude"),
    ("duration", "length"),
    ("focal_length", "focal_mm"),
    ("aperture", "f"),
    ("f_number", "f"),
    ("exposure_time", "shutter"),
    ("lens", "with"),
    ("subject", "of"),
    ("who", "of"),
    ("camera_height", "height"),
    ("position", "at"),
    ("rotation", "heading"),
    ("angle", "heading"),
    ("columns", "seats_per_row"),
    ("dress", "wears"),
    ("meters", "metres"),
    ("m", "metres"),
    ("ft", "feet"),
    ("sunny", "clear"),
    ("cloudy", "overcast"),
    ("lawn", "grass"),
    ("wood", "oak_boards"),
    ("pillar", "column"),
    ("altar", "altar_table"),
    ("podium", "lectern"),
    ("pulpit", "lectern"),
    ("chuppah", "canopy"),
    ("speaker", "loudspeaker"),
    ("trash_can", "bin"),
    ("vase", "urn"),
    ("headshot", "head_and_shoulders"),
    ("full_length", "full"),
    ("medium", "half"),
    ("closeup", "close"),
    ("vertical", "portrait"),
    ("horizontal", "landscape"),
    ("hug", "embraces"),
    ("speed", "pace"),
    ("velocity", "pace"),
    ("duration", "over"),
    ("seconds", "over"),
    ("delay", "after"),
    ("via", "by"),
    ("path", "by"),
    ("waits_for", "follows"),
    ("around", "circles"),
    ("rounds", "times"),
    ("side_by_side", "abreast"),
    ("gap", "spacing"),
    ("exits", "leaves"),
    ("forward", "ahead"),
    ("backwards", "back"),
    ("near", "within"),
    ("at", "passing"),
    ("while", "during"),
    ("everyone", "guests"),
    ("everybody", "guests"),
    ("audience", "guests"),
    ("claps_hands", "claps"),
    ("applauds", "claps"),
    ("confetti", "throws_petals"),
    ("waltz", "dances"),
];

impl Deed {
    /// As plans call it.
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, deed)| *deed == self).map_or("", |(word, _)| word)
    }
}

/// The known word that is likely meant, if any is near enough to be worth saying.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain = |text: &str| text.to_lowercase().replace(['-', ' '], "_");
    let word = plain(word);
    let score = |candidate: &str| strsim::normalized_damerau_levenshtein(&word, &plain(candidate));
    let of_known = |candidate: &'a str| {
        let otherwise = SAID_OTHERWISE.iter().filter(|(_, meant)| *meant == candidate).map(|(said, _)| score(said));
        (otherwise.fold(score(candidate), f64::max), candidate)
    };
    let near = known.into_iter().map(of_known).filter(|(score, _)| *score >= 0.5);
    near.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, candidate)| candidate)
}
