//! The plan as it is written: the fields of the file, before anything is checked or converted.
//!
//! Everything may be left out here, so that what is missing can be told together with whatever else is
//! wrong. Lengths are in the plan's unit (`units: metres` or `feet`), focal lengths in millimetres, angles
//! in degrees clockwise seen from above from the altar end (0 looks to `−z`, 90 to `+x`), times in seconds
//! or as text (`"1m30s"`).
//!
//! A *spot* is `(x, z)` or a mark's id. A *place* is a spot or `seat("left", 2, 5)`: row and seat counted
//! from 1. *Towards* is degrees, a spot, or the id of a person, fixture or photographer. *Whom* is ids of people or
//! role words (a role selects everyone who has it), one or a list. Words of a vocabulary are written bare.
//! `colour` and `centre` may be written `color` and `center`.
//!
//! | in | fields (what is left out) |
//! | --- | --- |
//! | `Plan` | `format: 1`, `title`, `units` (metres), `place`, `start: "2027-06-12T15:30[Europe/Lisbon]"`, `sky` (clear), `seed` (1), `venue`, `people`, `marks`, `moments`, `kit`, `crew` (lead and second), `standpoints`, `frames` |
//! | `place` | `latitude`, `longitude` in degrees, `bearing`: compass bearing the guests look towards (0), `altitude` (0) |
//! | `venue` | `name`, `ground` (grass), `surround`, `patches`, `rooms`, `walls`, `platforms`, `fixtures`, `seats`, `aisles`, `keep_outs`, `escape_routes`, `lamps` |
//! | `surround` | `kind` (open), `half: (x, z)` (30, 30 m), `centre` (0, 0), `height` (2.5 m) |
//! | `patches` | `surface`, `outline`: corners, two are a rectangle's opposite ones |
//! | `rooms` | `id`, `centre` (0, 0), `heading` (0), `size: (width, depth)`, `height` (3.5 m), `floor` (oak_boards), `walls` (plaster), `ceiling` (plaster; `open` is the sky), `openings` |
//! | `openings` | `side` (rooms only: front, back, left, right), `kind` (open), `along`, `width` (0.9 m; windows 1.2 m), `sill` (0; windows 0.9 m), `height` (2.1 m; windows 1.4 m) |
//! | `walls` | `id`, `from`, `to`, `height` (2.5 m), `thickness` (0.2 m), `surface` (plaster), `openings` |
//! | `platforms` | `id`, `centre`, `heading` (0), `size`, `height` (0.3 m), `surface` (oak_boards), `steps` (0), `tread` (0.3 m) |
//! | `fixtures` | `id` (its kind with a number), `kind`, `at`, `heading` (180: it faces the guests), `size: (width, height, depth)` and `clutter` (as the kind's), `above_floor` (0), `colour` |
//! | `seats` | `id`, `front`: middle of the front row, `heading` (0), `rows`, `seats_per_row`, `row_pitch` (0.9 m), `seat_pitch` (0.5 m), `kind` (chair), `curve_radius`, `filled` (1), `children` (0), `seat_height` (0.45 m) |
//! | `aisles` | `from`, `to`, `width` (1.5 m), `runner`: a colour |
//! | `keep_outs` | `id`, `outline`, `why` |
//! | `escape_routes` | `id`, `path`, `width` (1.2 m) |
//! | `lamps` | `id`, `kind` (bulb), `at`, `height` (2.2 m), `lumens` (800; candle 13), `kelvin` (2700; candle 1900), `to` (strings), `aimed_at` (spot) |
//! | `people` | `id`, `name` (from the id), `roles`, `stature` (1.70 m; children 1.20 m), `build` (middling), `skin`, `hair`, `hair_colour` (from the seed), `glasses`, `beard` (false), `wears`, `colour`, `trim`, `veil` (from the roles), `at`: a place; left out, not there yet |
//! | `marks` | `id`, `at: (x, z)` |
//! | `moments` | `id`, `name` (from the id), `length`, `cues`, `guests_stand` (false), `guests_look`: towards |
//! | `cues` | `who`: whom, `after` (0), `at`: a place, `faces`, `looks`: towards, `does`, `gesture`, `holds`, `leaves` (false) |
//! | `kit` | `bodies`, `lenses` (a full-frame body, 24–70 mm and 70–200 mm f/2.8) |
//! | `bodies` | `id`, `sensor` (full_frame) or `(width, height)` in mm, `iso: (100, 12800)`, `fastest_shutter: "1/8000"` |
//! | `lenses` | `id`, `focal_mm: 85` or `(70, 200)`, `f: 2.8` or `(3.5, 5.6)`, `narrowest_f` (22), `nearest_focus` |
//! | `crew` | `id`, `name`, `role` (its id), `stature` (1.70 m), `skin`, `hair`, `hair_colour`, `glasses`, `beard`, `carries: [("body", "lens")]` (the first body with each of the first two lenses) |
//! | `standpoints` | `id`, `photographer`, `at`: a spot, `height` of the lens (standing eye height), `during: ["kiss", (moment: "walk", from: 0, to: 20)]` (the moments of its frames) |
//! | `frames` | `id`, `moment`, `after` (half the moment), `standpoint`, `with`: a lens they carry (the first), `focal_mm` (from the shot size), `orientation` (landscape), `of`: whom, `shot_size` (half), `aim: "id"` or `(at: (x, z), height: 1.5)`, `f` (2.8), `shutter` ("1/250"), `iso` (auto), `compensation` (0), `focus_on` (the first of `of`), `audience` (no_matter), `keep_out`: people, roles, fixtures, `note` |

use serde::de::value::MapAccessDeserializer;
use serde::de::{Error, MapAccess, Visitor};
use serde::{Deserialize, Deserializer};

/// A bare or quoted word; which words are known is checked later, all in one way.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "a word")]
pub enum Word {
    Word(String),
}

/// `(x, z)`, or the id of a mark.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "a spot: (x, z), or a mark's id in quotes")]
pub enum SpotFile {
    Mark(String),
    Xz(f64, f64),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "a place: (x, z), a mark's id in quotes, or seat(\"block\", row, seat)")]
pub enum PlaceOfPerson {
    Mark(String),
    Xz(f64, f64),
    Seat(SeatFile),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SeatFile {
    /// Block, row and seat, counted from 1.
    Seat(String, u32, u32),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "degrees, (x, z), or the id of a person, mark, fixture or photographer in quotes")]
pub enum TowardsFile {
    Degrees(f64),
    Id(String),
    Xz(f64, f64),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "an id or role in quotes, or a list of them: [\"…\", \"…\"]")]
pub enum Names {
    One(String),
    Many(Vec<String>),
}

impl Names {
    pub fn as_slice(&self) -> &[String] {
        match self {
            Names::One(name) => std::slice::from_ref(name),
            Names::Many(names) => names,
        }
    }
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "a number, or two in brackets: (70, 200)")]
pub enum OneOrTwo {
    One(f64),
    Two(f64, f64),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "seconds, or text such as \"1m30s\"")]
pub enum TimeFile {
    Seconds(f64),
    Text(String),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "a shutter time such as \"1/250\", or seconds")]
pub enum ShutterFile {
    Seconds(f64),
    Text(String),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "a sensor format such as full_frame, or (width, height) in millimetres")]
pub enum SensorFile {
    Word(String),
    Mm(f64, f64),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "an ISO number, or auto")]
pub enum IsoFile {
    Number(f64),
    Word(String),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum GestureFile {
    Rest,
    TakesHands(String),
    LinksArms(String),
    HoldsHand(String),
    GivesRing(String),
    Kisses(String),
    Embraces(String),
    HoldsUpPhone,
    Reads,
    Claps,
    OpensArms,
    WipesEyes,
    Waves,
}

/// Text, or a record of its own fields.
macro_rules! text_or_record {
    ($rust:ident { $text:ident, $part:ident($record:ty) }, $expecting:literal) => {
        #[derive(Debug, Clone, PartialEq)]
        pub enum $rust {
            $text(String),
            $part($record),
        }

        impl<'de> Deserialize<'de> for $rust {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                struct Either;
                impl<'de> Visitor<'de> for Either {
                    type Value = $rust;
                    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                        f.write_str($expecting)
                    }
                    fn visit_str<E: Error>(self, text: &str) -> Result<$rust, E> {
                        Ok($rust::$text(text.to_owned()))
                    }
                    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<$rust, A::Error> {
                        <$record>::deserialize(MapAccessDeserializer::new(map)).map($rust::$part)
                    }
                }
                deserializer.deserialize_any(Either)
            }
        }
    };
}

text_or_record!(AimFile { Id, Point(AimPointFile) }, "an id in quotes, or (at: (x, z), height: 1.5)");
text_or_record!(PresenceFile { Moment, Part(PartFile) }, "a moment's id in quotes, or (moment: \"…\", from: 0, to: 20)");

/// A record of the file: every field may be left out, none may be unknown.
macro_rules! record {
    ($(#[$doc:meta])* $rust:ident as $name:literal { $($(#[$field_doc:meta])* $field:ident: $type:ty,)* }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Default, PartialEq, Deserialize)]
        #[serde(rename = $name, default, deny_unknown_fields)]
        pub struct $rust { $($(#[$field_doc])* pub $field: $type,)* }

        #[cfg(test)]
        impl $rust {
            const FIELDS: &'static [&'static str] = &[$(stringify!($field)),*];
        }
    };
}

record! {
    /// The whole file.
    PlanFile as "Plan" {
        format: Option<u32>,
        title: Option<String>,
        units: Option<Word>,
        place: Option<PlaceFile>,
        start: Option<String>,
        sky: Option<Word>,
        seed: Option<u64>,
        venue: Option<VenueFile>,
        people: Vec<PersonFile>,
        marks: Vec<MarkFile>,
        moments: Vec<MomentFile>,
        kit: Option<KitFile>,
        crew: Vec<PhotographerFile>,
        standpoints: Vec<StandpointFile>,
        frames: Vec<FrameFile>,
    }
}

record! { PlaceFile as "Place" {
    latitude: Option<f64>,
    longitude: Option<f64>,
    bearing: Option<f64>,
    altitude: Option<f64>,
} }

record! { VenueFile as "Venue" {
    name: Option<String>,
    ground: Option<Word>,
    surround: Option<SurroundFile>,
    patches: Vec<PatchFile>,
    rooms: Vec<RoomFile>,
    walls: Vec<WallFile>,
    platforms: Vec<PlatformFile>,
    fixtures: Vec<FixtureFile>,
    seats: Vec<SeatsFile>,
    aisles: Vec<AisleFile>,
    keep_outs: Vec<KeepOutFile>,
    escape_routes: Vec<EscapeRouteFile>,
    lamps: Vec<LampFile>,
} }

record! { SurroundFile as "Surround" {
    kind: Option<Word>,
    half: Option<(f64, f64)>,
    #[serde(alias = "center")]
    centre: Option<SpotFile>,
    height: Option<f64>,
} }

record! { PatchFile as "Patch" {
    surface: Option<Word>,
    outline: Vec<SpotFile>,
} }

record! { RoomFile as "Room" {
    id: Option<String>,
    #[serde(alias = "center")]
    centre: Option<SpotFile>,
    heading: Option<f64>,
    size: Option<(f64, f64)>,
    height: Option<f64>,
    floor: Option<Word>,
    walls: Option<Word>,
    ceiling: Option<Word>,
    openings: Vec<OpeningFile>,
} }

record! { OpeningFile as "Opening" {
    side: Option<Word>,
    kind: Option<Word>,
    along: Option<f64>,
    width: Option<f64>,
    sill: Option<f64>,
    height: Option<f64>,
} }

record! { WallFile as "Wall" {
    id: Option<String>,
    from: Option<SpotFile>,
    to: Option<SpotFile>,
    height: Option<f64>,
    thickness: Option<f64>,
    surface: Option<Word>,
    openings: Vec<OpeningFile>,
} }

record! { PlatformFile as "Platform" {
    id: Option<String>,
    #[serde(alias = "center")]
    centre: Option<SpotFile>,
    heading: Option<f64>,
    size: Option<(f64, f64)>,
    height: Option<f64>,
    surface: Option<Word>,
    steps: Option<u32>,
    tread: Option<f64>,
} }

record! { FixtureFile as "Fixture" {
    id: Option<String>,
    kind: Option<Word>,
    at: Option<SpotFile>,
    above_floor: Option<f64>,
    heading: Option<f64>,
    size: Option<(f64, f64, f64)>,
    #[serde(alias = "color")]
    colour: Option<Word>,
    clutter: Option<bool>,
} }

record! { SeatsFile as "Seats" {
    id: Option<String>,
    front: Option<SpotFile>,
    heading: Option<f64>,
    rows: Option<u32>,
    seats_per_row: Option<u32>,
    row_pitch: Option<f64>,
    seat_pitch: Option<f64>,
    kind: Option<Word>,
    curve_radius: Option<f64>,
    filled: Option<f64>,
    children: Option<f64>,
    seat_height: Option<f64>,
} }

record! { AisleFile as "Aisle" {
    from: Option<SpotFile>,
    to: Option<SpotFile>,
    width: Option<f64>,
    runner: Option<Word>,
} }

record! { KeepOutFile as "KeepOut" {
    id: Option<String>,
    outline: Vec<SpotFile>,
    why: Option<String>,
} }

record! { EscapeRouteFile as "EscapeRoute" {
    id: Option<String>,
    path: Vec<SpotFile>,
    width: Option<f64>,
} }

record! { LampFile as "Lamp" {
    id: Option<String>,
    kind: Option<Word>,
    at: Option<SpotFile>,
    height: Option<f64>,
    lumens: Option<f64>,
    kelvin: Option<f64>,
    to: Option<SpotFile>,
    aimed_at: Option<SpotFile>,
} }

record! { PersonFile as "Person" {
    id: Option<String>,
    name: Option<String>,
    roles: Option<Names>,
    stature: Option<f64>,
    build: Option<Word>,
    skin: Option<Word>,
    hair: Option<Word>,
    #[serde(alias = "hair_color")]
    hair_colour: Option<Word>,
    glasses: Option<bool>,
    beard: Option<bool>,
    wears: Option<Word>,
    #[serde(alias = "color")]
    colour: Option<Word>,
    trim: Option<Word>,
    veil: Option<bool>,
    at: Option<PlaceOfPerson>,
} }

record! { MarkFile as "Mark" {
    id: Option<String>,
    at: Option<(f64, f64)>,
} }

record! { MomentFile as "Moment" {
    id: Option<String>,
    name: Option<String>,
    length: Option<TimeFile>,
    cues: Vec<CueFile>,
    guests_stand: Option<bool>,
    guests_look: Option<TowardsFile>,
} }

record! { CueFile as "Cue" {
    who: Option<Names>,
    after: Option<TimeFile>,
    at: Option<PlaceOfPerson>,
    faces: Option<TowardsFile>,
    looks: Option<TowardsFile>,
    does: Option<Word>,
    gesture: Option<GestureFile>,
    holds: Option<Word>,
    leaves: Option<bool>,
} }

record! { KitFile as "Kit" {
    bodies: Vec<BodyFile>,
    lenses: Vec<LensFile>,
} }

record! { BodyFile as "Body" {
    id: Option<String>,
    sensor: Option<SensorFile>,
    iso: Option<(f64, f64)>,
    fastest_shutter: Option<ShutterFile>,
} }

record! { LensFile as "Lens" {
    id: Option<String>,
    focal_mm: Option<OneOrTwo>,
    f: Option<OneOrTwo>,
    narrowest_f: Option<f64>,
    nearest_focus: Option<f64>,
} }

record! { PhotographerFile as "Photographer" {
    id: Option<String>,
    name: Option<String>,
    role: Option<String>,
    stature: Option<f64>,
    skin: Option<Word>,
    hair: Option<Word>,
    #[serde(alias = "hair_color")]
    hair_colour: Option<Word>,
    glasses: Option<bool>,
    beard: Option<bool>,
    carries: Vec<(String, String)>,
} }

record! { StandpointFile as "Standpoint" {
    id: Option<String>,
    photographer: Option<String>,
    at: Option<SpotFile>,
    height: Option<f64>,
    during: Vec<PresenceFile>,
} }

record! { FrameFile as "Frame" {
    id: Option<String>,
    moment: Option<String>,
    after: Option<TimeFile>,
    standpoint: Option<String>,
    with: Option<String>,
    focal_mm: Option<f64>,
    orientation: Option<Word>,
    of: Option<Names>,
    shot_size: Option<Word>,
    aim: Option<AimFile>,
    f: Option<f64>,
    shutter: Option<ShutterFile>,
    iso: Option<IsoFile>,
    compensation: Option<f64>,
    focus_on: Option<String>,
    audience: Option<Word>,
    keep_out: Option<Names>,
    note: Option<String>,
} }

record! { PartFile as "Stretch" {
    moment: Option<String>,
    from: Option<TimeFile>,
    to: Option<TimeFile>,
} }

record! { AimPointFile as "Aim" {
    at: Option<SpotFile>,
    height: Option<f64>,
} }

#[cfg(test)]
mod tests {
    use super::*;

    const RECORDS: &[&[&str]] = &[
        PlanFile::FIELDS,
        PlaceFile::FIELDS,
        VenueFile::FIELDS,
        SurroundFile::FIELDS,
        PatchFile::FIELDS,
        RoomFile::FIELDS,
        OpeningFile::FIELDS,
        WallFile::FIELDS,
        PlatformFile::FIELDS,
        FixtureFile::FIELDS,
        SeatsFile::FIELDS,
        AisleFile::FIELDS,
        KeepOutFile::FIELDS,
        EscapeRouteFile::FIELDS,
        LampFile::FIELDS,
        PersonFile::FIELDS,
        MarkFile::FIELDS,
        MomentFile::FIELDS,
        CueFile::FIELDS,
        PartFile::FIELDS,
        KitFile::FIELDS,
        BodyFile::FIELDS,
        LensFile::FIELDS,
        PhotographerFile::FIELDS,
        StandpointFile::FIELDS,
        FrameFile::FIELDS,
        AimPointFile::FIELDS,
    ];

    #[test]
    fn the_reference_and_the_saved_plan_know_every_field() {
        let reference: String = include_str!("file.rs").lines().filter(|line| line.starts_with("//!")).collect();
        let saved = include_str!("../../tests/fixtures/format-1.ron");
        for field in RECORDS.iter().flat_map(|record| record.iter()) {
            let in_reference = [format!("`{field}`"), format!("`{field}:"), format!(" {field}:"), format!("({field}:")];
            assert!(in_reference.iter().any(|way| reference.contains(way)), "`{field}` is not in the reference");
            let in_saved = [format!(" {field}:"), format!("({field}:")];
            assert!(in_saved.iter().any(|way| saved.contains(way)), "`{field}` is not in format-1.ron");
        }
    }
}
