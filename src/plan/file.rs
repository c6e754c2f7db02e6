//! The plan as it is written: the fields of the file, before anything is checked or converted.
//!
//! Everything may be left out here, so that what is missing can be told together with whatever else is
//! wrong. What the fields mean is in `fields.md`.

pub use super::values::*;
use serde::Deserialize;

/// A record of the file: every field may be left out, none may be unknown.
macro_rules! record {
    ($(#[$doc:meta])* $rust:ident as $name:literal { $($(#[$field_doc:meta])* $field:ident: $type:ty,)* }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Default, PartialEq, Deserialize)]
        #[serde(rename = $name, default, deny_unknown_fields)]
        pub struct $rust { $($(#[$field_doc])* pub $field: $type,)* }

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
        variants: Vec<VariantFile>,
        readings: Vec<ReadingFile>,
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
    meshes: Vec<MeshFile>,
    seats: Vec<SeatsFile>,
    aisles: Vec<AisleFile>,
    keep_outs: Vec<KeepOutFile>,
    escape_routes: Vec<EscapeRouteFile>,
    lamps: Vec<LampFile>,
    sketch: Option<SketchFile>,
} }

record! { SketchFile as "Sketch" {
    picture: Option<String>,
    #[serde(alias = "center")]
    centre: Option<SpotFile>,
    width: Option<f64>,
    heading: Option<f64>,
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

record! { MeshFile as "Mesh" {
    id: Option<String>,
    file: Option<String>,
    at: Option<SpotFile>,
    above_floor: Option<f64>,
    heading: Option<f64>,
    scale: Option<f64>,
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
    id: Option<String>,
    who: Option<Names>,
    follows: Option<String>,
    after: Option<TimeFile>,
    from: Option<PlaceOfPerson>,
    by: Option<SpotsFile>,
    at: Option<PlacesFile>,
    steps: Option<StepsFile>,
    circles: Option<String>,
    times: Option<f64>,
    radius: Option<f64>,
    pace: Option<f64>,
    over: Option<TimeFile>,
    abreast: Option<u32>,
    apart: Option<f64>,
    spacing: Option<f64>,
    faces: Option<TowardsFile>,
    looks: Option<TowardsFile>,
    does: Option<Word>,
    gesture: Option<GestureFile>,
    holds: Option<Word>,
    leaves: Option<bool>,
    only_in: Option<String>,
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
    when: Option<WhenFile>,
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

record! { VariantFile as "Variant" {
    id: Option<String>,
    name: Option<String>,
    starts_later: Option<TimeFile>,
    sky: Option<Word>,
    skips: Option<Names>,
    fails: Option<Names>,
    without: Option<Names>,
    venue: Option<VenueFile>,
    marks: Vec<MarkFile>,
    standpoints: Vec<MovedFile>,
} }

record! { MovedFile as "Moved" {
    id: Option<String>,
    at: Option<SpotFile>,
    height: Option<f64>,
} }

record! { ReadingFile as "Reading" {
    at: Option<SpotFile>,
    when: Option<String>,
    sky: Option<Word>,
    height: Option<f64>,
    heading: Option<f64>,
    ev: Option<f64>,
    lux: Option<f64>,
} }

record! { PartFile as "Stretch" {
    moment: Option<String>,
    from: Option<TimeFile>,
    to: Option<TimeFile>,
    by: Option<SpotsFile>,
    pace: Option<f64>,
} }

record! { AimPointFile as "Aim" {
    at: Option<SpotFile>,
    height: Option<f64>,
} }

/// Every record by its name, with its fields in the order of the reference.
pub const RECORDS: &[(&str, &[&str])] = &[
    ("Plan", PlanFile::FIELDS),
    ("Place", PlaceFile::FIELDS),
    ("Venue", VenueFile::FIELDS),
    ("Surround", SurroundFile::FIELDS),
    ("Patch", PatchFile::FIELDS),
    ("Sketch", SketchFile::FIELDS),
    ("Room", RoomFile::FIELDS),
    ("Opening", OpeningFile::FIELDS),
    ("Wall", WallFile::FIELDS),
    ("Platform", PlatformFile::FIELDS),
    ("Fixture", FixtureFile::FIELDS),
    ("Mesh", MeshFile::FIELDS),
    ("Seats", SeatsFile::FIELDS),
    ("Aisle", AisleFile::FIELDS),
    ("KeepOut", KeepOutFile::FIELDS),
    ("EscapeRoute", EscapeRouteFile::FIELDS),
    ("Lamp", LampFile::FIELDS),
    ("Person", PersonFile::FIELDS),
    ("Mark", MarkFile::FIELDS),
    ("Moment", MomentFile::FIELDS),
    ("Cue", CueFile::FIELDS),
    ("Stretch", PartFile::FIELDS),
    ("Kit", KitFile::FIELDS),
    ("Body", BodyFile::FIELDS),
    ("Lens", LensFile::FIELDS),
    ("Photographer", PhotographerFile::FIELDS),
    ("Standpoint", StandpointFile::FIELDS),
    ("Frame", FrameFile::FIELDS),
    ("Aim", AimPointFile::FIELDS),
    ("Variant", VariantFile::FIELDS),
    ("Reading", ReadingFile::FIELDS),
    ("Moved", MovedFile::FIELDS),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reference_and_the_saved_plan_know_every_field() {
        let reference: String = include_str!("fields.md").lines().collect();
        let saved = concat!(
            include_str!("../../tests/fixtures/format-1.ron"),
            include_str!("../../tests/fixtures/format-1-moving.ron"),
            include_str!("../../tests/fixtures/format-1-meshes.ron")
        );
        for field in RECORDS.iter().flat_map(|(_, fields)| fields.iter()) {
            let in_reference = [format!("`{field}`"), format!("`{field}:"), format!(" {field}:"), format!("({field}:")];
            assert!(in_reference.iter().any(|way| reference.contains(way)), "`{field}` is not in the reference");
            let in_saved = [format!(" {field}:"), format!("({field}:")];
            assert!(in_saved.iter().any(|way| saved.contains(way)), "`{field}` is in no saved plan of format 1");
        }
    }
}
