//! What a plan's records may hold, for programs that help to write them.

use super::file;
use super::model::*;
use super::words::{COLOURS, Vocabulary};

/// What is written in a field.
#[derive(Debug, Clone, PartialEq)]
pub enum Ask {
    /// One of these words.
    Word(Vec<&'static str>),
    /// The id of something in these lists of the plan; several are allowed where `many`.
    Id {
        of: &'static [&'static str],
        many: bool,
    },
    Number,
    YesNo,
    Text,
    /// Anything else, as the plan writes it.
    Written,
}

/// The fields of a record by its name (`Standpoint`, `Frame`, `Fixture` …), in the order of the reference; none for a name that
/// no record has.
pub fn fields_of(record: &str) -> &'static [&'static str] {
    file::RECORDS.iter().find(|(name, _)| *name == record).map_or(&[], |(_, fields)| fields)
}

/// What is written in a record's field.
pub fn asked(record: &str, field: &str) -> Ask {
    match (record, field) {
        (_, "id" | "name" | "title" | "note" | "why" | "role" | "file") => Ask::Text,
        ("Plan" | "Variant" | "Reading", "sky") => words::<Sky>(),
        ("Plan", "units") => words::<LengthUnit>(),
        ("Frame", "orientation") => words::<Orientation>(),
        ("Frame", "shot_size") => words::<ShotSize>(),
        ("Frame", "audience") => words::<AudienceWish>(),
        ("Frame", "standpoint") => Ask::Id { of: &["standpoints"], many: false },
        ("Frame" | "Standpoint", "moment") => Ask::Id { of: &["moments"], many: false },
        ("Frame", "with") => Ask::Id { of: &["kit.lenses"], many: false },
        ("Frame", "of") => Ask::Id { of: &["people"], many: true },
        ("Frame", "focus_on") => Ask::Id { of: &["people"], many: false },
        ("Frame", "keep_out") => Ask::Id { of: &["venue.fixtures", "people", "crew"], many: true },
        ("Standpoint", "photographer") => Ask::Id { of: &["crew"], many: false },
        ("Variant", "fails") => Ask::Id { of: &["kit.bodies", "kit.lenses"], many: true },
        ("Variant", "without") => Ask::Id { of: &["crew"], many: true },
        ("Person", "build") => words::<Build>(),
        ("Person" | "Photographer", "hair") => words::<Hair>(),
        ("Person", "wears") => words::<ClothesKind>(),
        (_, "colour" | "trim" | "skin" | "hair_colour") => Ask::Word(COLOURS.iter().map(|(name, _)| *name).collect()),
        ("Fixture", "kind") => Ask::Word(FIXTURE_KINDS.iter().map(|facts| facts.1).collect()),
        ("Seats", "kind") => words::<SeatKind>(),
        ("Lamp", "kind") => words::<LampKind>(),
        ("Surround", "kind") => words::<SurroundKind>(),
        ("Venue", "ground") | ("Patch" | "Wall" | "Platform", "surface") | ("Room", "floor" | "walls") => {
            words::<Surface>()
        }
        (_, "glasses" | "beard" | "veil" | "clutter" | "guests_stand") => Ask::YesNo,
        (_, "height" | "heading" | "stature" | "focal_mm" | "f" | "compensation" | "width" | "thickness" | "rows")
        | (_, "seats_per_row" | "row_pitch" | "seat_pitch" | "filled" | "children" | "curve_radius" | "seat_height")
        | (
            _,
            "lumens" | "kelvin" | "latitude" | "longitude" | "bearing" | "altitude" | "above_floor" | "steps" | "scale",
        )
        | (_, "tread" | "narrowest_f" | "nearest_focus" | "ev" | "lux" | "seed")
            if !matches!((record, field), ("Lens", "focal_mm" | "f")) =>
        {
            Ask::Number
        }
        _ => Ask::Written,
    }
}

fn words<V: Vocabulary>() -> Ask {
    Ask::Word(V::WORDS.iter().map(|(word, _)| *word).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each answer is one that a record has a field for: no rule above is dead.
    #[test]
    fn every_record_has_fields_and_words_are_in_order() {
        assert!(fields_of("Standpoint").contains(&"height"));
        assert!(fields_of("Nothing").is_empty());
        for (record, fields) in file::RECORDS {
            for field in *fields {
                if let Ask::Word(words) = asked(record, field) {
                    assert!(words.len() > 1, "{record}.{field}");
                }
            }
        }
        assert_eq!(asked("Frame", "shot_size"), words::<ShotSize>());
        assert_eq!(asked("Lens", "f"), Ask::Written);
        assert_eq!(asked("Frame", "f"), Ask::Number);
    }
}
