//! The place: ground, rooms, walls, fixtures, seats, lamps.

use super::{Colour, Mesh};
use glam::Vec2;

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
    /// From other programs.
    pub meshes: Vec<Mesh>,
    pub seats: Vec<SeatBlock>,
    pub aisles: Vec<Aisle>,
    pub keep_outs: Vec<KeepOut>,
    pub escape_routes: Vec<EscapeRoute>,
    pub lamps: Vec<Lamp>,
    pub sketch: Option<Sketch>,
}

/// A picture of the floor plan, to draw over.
#[derive(Debug, Clone, PartialEq)]
pub struct Sketch {
    /// Its file, from the folder of the plan.
    pub picture: String,
    pub centre: Vec2,
    /// From its left edge to its right.
    pub width_m: f32,
    /// Where its upper edge lies, radians.
    pub heading: f32,
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
