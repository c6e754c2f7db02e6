//! The checked plan: what a team measured and decided, in metres, radians and seconds.
//!
//! A [`Plan`] only comes out of the checks in this room, so code elsewhere need not ask again: every
//! reference is an index that exists, every length is finite and in range, ids are unique.
//! On the floor `x` runs across and `z` along; the couple stands near the origin, guests sit towards
//! `+z` and look towards `−z`. A *heading* is an angle in radians from `−z`, clockwise seen from above
//! (0 faces the altar end, +π/2 faces `+x`).

use glam::Vec2;
use jiff::ZonedDateTime;

/// Index of a person in [`Plan::people`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PersonIx(pub usize);
/// Index of a photographer in [`Plan::crew`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PhotographerIx(pub usize);
/// Index of a moment in [`Plan::moments`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct MomentIx(pub usize);
/// Index of a fixture in [`Venue::fixtures`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FixtureIx(pub usize);
/// Index of a block of seats in [`Venue::seats`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SeatsIx(pub usize);
/// Index of a standpoint in [`Plan::standpoints`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct StandpointIx(pub usize);

/// The document, checked.
#[derive(Debug, Clone)]
pub struct Plan {
    pub title: String,
    /// What lengths were written in; only labels need it.
    pub units: LengthUnit,
    pub place: Place,
    /// Second 0 of the ceremony.
    pub start: ZonedDateTime,
    pub sky: Sky,
    /// Chooses the guests' heights, clothes and looks. Same seed, same guests.
    pub seed: u64,
    pub venue: Venue,
    /// Named people in plan order, without the crew.
    pub people: Vec<Person>,
    pub marks: Vec<Mark>,
    /// In order; each begins when the one before it ends.
    pub moments: Vec<Moment>,
    pub kit: Kit,
    pub crew: Vec<Photographer>,
    pub standpoints: Vec<Standpoint>,
    pub frames: Vec<Frame>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthUnit {
    Metres,
    Feet,
}

/// Where on earth the venue lies and how it is turned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Degrees, north positive.
    pub latitude_deg: f64,
    /// Degrees, east positive.
    pub longitude_deg: f64,
    /// Compass bearing of the plan's `−z`, radians clockwise from true north.
    pub bearing_of_minus_z: f64,
    pub altitude_m: f64,
}

/// Weather, as coarse as a forecast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sky {
    Clear,
    /// Thin haze: a sun with soft strength.
    Hazy,
    /// Sun between clouds; the sun counts as out.
    Broken,
    /// No sun disc.
    Overcast,
}

// ------------------------------------------------------------------ the place

#[derive(Debug, Clone)]
pub struct Venue {
    pub name: String,
    /// What everything stands on where no patch lies.
    pub ground: Surface,
    /// Paths, lawns, carpets: flat areas on the ground, later ones on top.
    pub patches: Vec<Patch>,
    pub surround: Surround,
    pub rooms: Vec<Room>,
    pub walls: Vec<Wall>,
    pub platforms: Vec<Platform>,
    pub fixtures: Vec<Fixture>,
    pub seats: Vec<SeatBlock>,
    pub aisles: Vec<Aisle>,
    pub keep_outs: Vec<KeepOut>,
    pub escape_routes: Vec<EscapeRoute>,
    pub lamps: Vec<Lamp>,
}

/// What a flat or a wall is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Surface {
    Grass,
    Gravel,
    Earth,
    Sand,
    Stone,
    Flagstone,
    Brick,
    Plaster,
    Concrete,
    Tile,
    OakBoards,
    DarkBoards,
    Carpet,
    Linen,
    Water,
}

#[derive(Debug, Clone)]
pub struct Patch {
    pub surface: Surface,
    pub outline: Vec<Vec2>,
}

/// What closes the view beyond the modelled place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surround {
    pub kind: SurroundKind,
    /// Inner half size of the rectangle the surround stands on, about [`Surround::centre`].
    pub half_m: Vec2,
    pub centre: Vec2,
    pub height_m: f32,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SurroundKind {
    /// Nothing but the horizon.
    Open,
    Hedge,
    /// A row of trees with undergrowth.
    Trees,
    StoneWall,
    Houses,
}

/// A room is a rectangle with four walls and, usually, a ceiling.
#[derive(Debug, Clone)]
pub struct Room {
    pub id: String,
    pub centre: Vec2,
    pub heading: f32,
    /// Inside width (across, along its own x) and depth (its own z).
    pub size_m: Vec2,
    pub height_m: f32,
    pub floor: Surface,
    pub walls: Surface,
    /// `None` is open to the sky.
    pub ceiling: Option<Surface>,
    pub openings: Vec<RoomOpening>,
}

/// Which wall of a room, seen from above before the room is turned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RoomSide {
    /// The wall at the room's own `−z`: the altar end.
    Front,
    Back,
    /// At the room's own `−x`.
    Left,
    Right,
}

#[derive(Debug, Clone, Copy)]
pub struct RoomOpening {
    pub side: RoomSide,
    pub opening: Opening,
}

/// A straight wall standing free.
#[derive(Debug, Clone)]
pub struct Wall {
    pub id: String,
    pub from: Vec2,
    pub to: Vec2,
    pub height_m: f32,
    pub thickness_m: f32,
    pub surface: Surface,
    pub openings: Vec<Opening>,
}

/// A hole in a wall, measured along it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opening {
    pub kind: OpeningKind,
    /// Middle of the opening: metres from the wall's `from` end (for rooms: from its left end, seen from inside).
    pub along_m: f32,
    pub width_m: f32,
    /// Bottom edge above the floor.
    pub sill_m: f32,
    pub height_m: f32,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OpeningKind {
    /// Closed door leaf.
    Door,
    /// Nothing in it.
    Open,
    Window,
}

/// A raised rectangle people can stand on; with `steps` towards its own `+z`.
#[derive(Debug, Clone)]
pub struct Platform {
    pub id: String,
    pub centre: Vec2,
    pub heading: f32,
    pub size_m: Vec2,
    pub height_m: f32,
    pub surface: Surface,
    /// Equal steps in front of it; 0 for a plain edge.
    pub steps: u32,
    /// Depth of one step.
    pub tread_m: f32,
}

/// Anything that stands in the place.
#[derive(Debug, Clone)]
pub struct Fixture {
    pub id: String,
    pub kind: FixtureKind,
    pub at: Vec2,
    /// Bottom of the fixture above the floor it stands on (wall signs hang).
    pub above_floor_m: f32,
    pub heading: f32,
    /// Width, height, depth.
    pub size_m: [f32; 3],
    /// Linear tint, if the plan names a colour.
    pub colour: Option<Colour>,
    /// Spoils a picture.
    pub clutter: bool,
}

/// Kinds of fixture. Names in plan files, default sizes and defaults of `clutter` are in [`FIXTURE_KINDS`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FixtureKind {
    Arch,
    Canopy,
    AltarTable,
    Lectern,
    Column,
    Tree,
    Bush,
    HedgeRow,
    FlowerStand,
    Urn,
    CandleStand,
    Table,
    Chair,
    Bench,
    MusicStand,
    Piano,
    MicrophoneStand,
    Loudspeaker,
    ExitSign,
    FireExtinguisher,
    Bin,
    Noticeboard,
    LightStand,
    CableCover,
    Generator,
    Van,
    Tent,
    Post,
    Block,
}

/// Name in plan files, width × height × depth in metres, spoils pictures unless said otherwise.
/// Sizes are everyday ones: *common practice, no source*.
pub const FIXTURE_KINDS: &[(FixtureKind, &str, [f32; 3], bool)] = &[
    (FixtureKind::Arch, "arch", [2.4, 2.5, 0.5], false),
    (FixtureKind::Canopy, "canopy", [2.6, 2.5, 2.6], false),
    (FixtureKind::AltarTable, "altar_table", [1.8, 0.95, 0.8], false),
    (FixtureKind::Lectern, "lectern", [0.55, 1.2, 0.45], false),
    (FixtureKind::Column, "column", [0.5, 4.0, 0.5], false),
    (FixtureKind::Tree, "tree", [4.0, 5.0, 4.0], false),
    (FixtureKind::Bush, "bush", [1.2, 1.1, 1.2], false),
    (FixtureKind::HedgeRow, "hedge_row", [6.0, 2.0, 0.8], false),
    (FixtureKind::FlowerStand, "flower_stand", [0.5, 1.3, 0.5], false),
    (FixtureKind::Urn, "urn", [0.5, 0.9, 0.5], false),
    (FixtureKind::CandleStand, "candle_stand", [0.3, 1.4, 0.3], false),
    (FixtureKind::Table, "table", [1.2, 0.75, 0.7], false),
    (FixtureKind::Chair, "chair", [0.45, 0.9, 0.48], false),
    (FixtureKind::Bench, "bench", [1.6, 0.85, 0.5], false),
    (FixtureKind::MusicStand, "music_stand", [0.5, 1.2, 0.4], false),
    (FixtureKind::Piano, "piano", [1.5, 1.2, 0.65], false),
    (FixtureKind::MicrophoneStand, "microphone_stand", [0.3, 1.5, 0.3], true),
    (FixtureKind::Loudspeaker, "loudspeaker", [0.4, 1.9, 0.4], true),
    (FixtureKind::ExitSign, "exit_sign", [0.4, 0.2, 0.05], true),
    (FixtureKind::FireExtinguisher, "fire_extinguisher", [0.18, 0.5, 0.18], true),
    (FixtureKind::Bin, "bin", [0.5, 0.95, 0.5], true),
    (FixtureKind::Noticeboard, "noticeboard", [1.2, 0.9, 0.06], true),
    (FixtureKind::LightStand, "light_stand", [0.6, 2.4, 0.6], true),
    (FixtureKind::CableCover, "cable_cover", [0.25, 0.04, 3.0], true),
    (FixtureKind::Generator, "generator", [1.2, 0.9, 0.7], true),
    (FixtureKind::Van, "van", [2.0, 2.3, 5.2], true),
    (FixtureKind::Tent, "tent", [6.0, 3.2, 6.0], false),
    (FixtureKind::Post, "post", [0.12, 2.2, 0.12], false),
    (FixtureKind::Block, "block", [1.0, 1.0, 1.0], false),
];

/// Rows of seats. Row 1 is nearest the front; seat 1 is at the block's left, seen by those who sit.
#[derive(Debug, Clone)]
pub struct SeatBlock {
    pub id: String,
    /// Middle of the front row, at the seats' centres.
    pub front: Vec2,
    /// Direction the middle seat faces.
    pub heading: f32,
    pub rows: u32,
    pub seats_per_row: u32,
    /// Row to row.
    pub row_pitch_m: f32,
    /// Seat centre to seat centre.
    pub seat_pitch_m: f32,
    pub kind: SeatKind,
    /// Radius of the front row about the point it faces; `None` is straight.
    pub curve_radius_m: Option<f32>,
    /// Share of seats taken, 0..=1.
    pub filled: f32,
    /// Share of the guests here who are children, 0..=1.
    pub children: f32,
    /// Seat height above the floor.
    pub seat_height_m: f32,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeatKind {
    Chair,
    Pew,
    Bench,
    Stool,
    /// Nobody sits: guests stand in rows.
    Standing,
}

#[derive(Debug, Clone)]
pub struct Aisle {
    pub from: Vec2,
    pub to: Vec2,
    pub width_m: f32,
    /// A runner laid along it.
    pub runner: Option<Colour>,
}

/// Where no photographer may go.
#[derive(Debug, Clone)]
pub struct KeepOut {
    pub id: String,
    pub outline: Vec<Vec2>,
    pub why: String,
}

#[derive(Debug, Clone)]
pub struct EscapeRoute {
    pub id: String,
    pub path: Vec<Vec2>,
    pub width_m: f32,
}

#[derive(Debug, Clone)]
pub struct Lamp {
    pub id: String,
    pub kind: LampKind,
    pub at: Vec2,
    /// Light source above the floor.
    pub height_m: f32,
    /// Luminous flux of the lamp.
    pub lumens: f32,
    pub kelvin: f32,
    /// For [`LampKind::Strings`]: the other end.
    pub to: Option<Vec2>,
    /// For [`LampKind::Spot`]: what it is pointed at, on the floor.
    pub aimed_at: Option<Vec2>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LampKind {
    Bulb,
    Pendant,
    Spot,
    Candle,
    /// A string of small bulbs from `at` to `to`.
    Strings,
}

// ------------------------------------------------------------------ the people

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

// ------------------------------------------------------------------ the ceremony

#[derive(Debug, Clone)]
pub struct Moment {
    pub id: String,
    pub name: String,
    /// Seconds after [`Plan::start`]; the sum of the lengths before it.
    pub start_s: f64,
    pub length_s: f64,
    /// In order of `after_s`.
    pub cues: Vec<Cue>,
    /// Guests in blocks of seats stand during this moment.
    pub guests_stand: bool,
    /// What seated guests turn their heads to; `None` is the couple's mark or the front.
    pub guests_look: Option<Facing>,
}

/// What people do from an instant on. What a cue leaves out continues.
#[derive(Debug, Clone)]
pub struct Cue {
    pub who: Vec<PersonIx>,
    /// Seconds after the moment starts.
    pub after_s: f64,
    pub post: Option<Post>,
    /// Where the body turns.
    pub faces: Option<Facing>,
    /// Where the head turns, as far as a neck can.
    pub looks: Option<Facing>,
    pub posture: Option<Posture>,
    pub gesture: Option<Gesture>,
    pub holds: Option<Held>,
    /// Leaves the place: no longer there.
    pub leaves: bool,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Facing {
    Heading(f32),
    Spot(Vec2),
    Person(PersonIx),
    Fixture(FixtureIx),
    Photographer(PhotographerIx),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Posture {
    Standing,
    Walking,
    Sitting,
    Kneeling,
    Crouching,
}

/// What the arms and hands do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Gesture {
    /// Arms at rest, or carrying what is held.
    Rest,
    /// Both hands in the other's hands.
    TakesHands(PersonIx),
    /// Arm in arm at the side where the other stands.
    LinksArms(PersonIx),
    /// Walks or stands hand in hand.
    HoldsHand(PersonIx),
    /// One hand puts a ring on the other's hand.
    GivesRing(PersonIx),
    Kisses(PersonIx),
    Embraces(PersonIx),
    /// Both hands up with a phone or tablet before the face.
    HoldsUpPhone,
    /// Holds a book or sheet and reads.
    Reads,
    Claps,
    /// Open arms, as for a blessing or a welcome.
    OpensArms,
    /// A hand to the eyes.
    WipesEyes,
    /// An arm up, petals or a wave.
    Waves,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Held {
    Nothing,
    Bouquet,
    Posy,
    RingCushion,
    Book,
    Basket,
    Candle,
    Glass,
}

// ------------------------------------------------------------------ the cameras

#[derive(Debug, Clone, Default)]
pub struct Kit {
    pub bodies: Vec<Body>,
    pub lenses: Vec<Lens>,
}

#[derive(Debug, Clone)]
pub struct Body {
    pub id: String,
    /// Sensor width and height in landscape, metres.
    pub sensor_m: [f64; 2],
    /// Lowest and highest ISO the photographer will use.
    pub iso: [f64; 2],
    /// Shortest shutter time.
    pub fastest_shutter_s: f64,
}

#[derive(Debug, Clone)]
pub struct Lens {
    pub id: String,
    /// Shortest and longest focal length, metres; equal for a prime.
    pub focal_m: [f64; 2],
    /// Widest aperture (f-number) at the short and at the long end.
    pub widest_f: [f64; 2],
    pub narrowest_f: f64,
    pub nearest_focus_m: f64,
}

#[derive(Debug, Clone)]
pub struct Photographer {
    pub id: String,
    pub name: String,
    /// "lead", "second": the plan's own text.
    pub role: String,
    pub stature_m: f32,
    pub looks: Looks,
    /// Bodies with the lens on them: indices into the kit.
    pub carries: Vec<BodyWithLens>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BodyWithLens {
    pub body: usize,
    pub lens: usize,
}

/// Where a photographer is, how high the camera is, and when.
#[derive(Debug, Clone)]
pub struct Standpoint {
    pub id: String,
    pub photographer: PhotographerIx,
    pub at: Vec2,
    /// Height of the lens above the floor there.
    pub camera_height_m: f32,
    pub during: Vec<Presence>,
}

/// A stretch of a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Presence {
    pub moment: MomentIx,
    /// Seconds after the moment starts.
    pub from_s: f64,
    pub to_s: f64,
}

/// One planned picture.
#[derive(Debug, Clone)]
pub struct Frame {
    pub id: String,
    pub moment: MomentIx,
    /// Seconds after the moment starts.
    pub after_s: f64,
    pub standpoint: StandpointIx,
    pub with: BodyWithLens,
    /// As asked for; `None` follows from the shot size.
    pub focal_m: Option<f64>,
    pub orientation: Orientation,
    /// Whom it is of. Never empty unless `aim` is given.
    pub of: Vec<PersonIx>,
    pub shot_size: ShotSize,
    /// Overrides where the camera points.
    pub aim: Option<Aim>,
    pub exposure: Exposure,
    /// What is in focus; `None` is the first of `of`.
    pub focus_on: Option<PersonIx>,
    pub audience: AudienceWish,
    /// Who or what should not be seen.
    pub keep_out: Vec<KeepOutOf>,
    /// For the brief.
    pub note: String,
}

/// Who or what a frame should not show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeepOutOf {
    Person(PersonIx),
    Fixture(FixtureIx),
    Photographer(PhotographerIx),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Orientation {
    Landscape,
    Portrait,
}

/// How much of a person the frame holds: trade usage, no standard (`optics::framing` has the fractions).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ShotSize {
    Wide,
    Full,
    ThreeQuarter,
    Half,
    HeadAndShoulders,
    Close,
}

/// Where a camera points when that does not follow from `of`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Aim {
    /// A point: on the floor, and its height.
    Point {
        at: Vec2,
        height_m: f32,
    },
    Person(PersonIx),
    Fixture(FixtureIx),
}

/// Aperture, shutter, ISO as set on the camera.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exposure {
    pub f_number: f64,
    pub shutter_s: f64,
    /// `None`: the camera meters on the subject's face, moves ISO first, then shortens the shutter.
    pub iso: Option<f64>,
    /// Brighter (+) or darker (−) than metered, in stops.
    pub compensation_ev: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AudienceWish {
    Wanted,
    Unwanted,
    NoMatter,
}

impl Plan {
    /// Seconds into the ceremony of a frame.
    pub fn at_s(&self, frame: &Frame) -> f64 {
        self.moments[frame.moment.0].start_s + frame.after_s
    }

    /// The photographer who takes a frame.
    pub fn photographer_of(&self, frame: &Frame) -> PhotographerIx {
        self.standpoints[frame.standpoint.0].photographer
    }

    /// Zoned date-time of a second into the ceremony, rounded to the millisecond.
    pub fn instant(&self, at_s: f64) -> ZonedDateTime {
        &self.start + jiff::SignedDuration::from_millis((at_s * 1000.0).round() as i64)
    }
}
