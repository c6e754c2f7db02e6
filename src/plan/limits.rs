//! How much a plan may hold and between what its numbers lie: one table each, with the reason.
//!
//! Counts guard memory and time; ranges catch slips of the pen (a decimal point, millimetres for metres). They are
//! chosen, wide enough that no real wedding meets them: *no source*.

/// Bytes of a plan file. A plan of 500 frames has about 200 kB.
pub const FILE_BYTES: u64 = 4 * 1024 * 1024;
/// Brackets in brackets. A plan needs seven.
pub const DEPTH: usize = 32;
/// Problems listed at once; more than a person mends in one go.
pub const PROBLEMS: usize = 60;
/// Characters of a name or note.
pub const TEXT_CHARS: usize = 300;
/// Characters of an id: it becomes a file name.
pub const ID_CHARS: usize = 60;
/// Corners of an outline or path.
pub const OUTLINE_POINTS: usize = 200;
/// Spots that one walk goes by.
pub const WAY_SPOTS: usize = 40;

/// Bytes of a mesh's file with its buffers.
pub const MESH_BYTES: u64 = 64_000_000;
/// In one file, each as often as it is put about.
pub const MESH_TRIANGLES: usize = 500_000;
/// Longest side of a mesh after scaling, and how far it may reach from its origin: beyond these its unit is wrong.
pub const MESH_WIDEST_M: f64 = 500.0;
pub const MESH_SMALLEST_M: f64 = 0.01;
pub const MESH_FARTHEST_M: f64 = 1000.0;

/// Most entries of a list.
#[derive(Debug, Clone, Copy)]
pub struct Count {
    pub what: &'static str,
    pub most: usize,
}

pub const PEOPLE: Count = Count { what: "people", most: 500 };
/// In all blocks together; every one may become a figure.
pub const SEATS: Count = Count { what: "seats", most: 5000 };
pub const FRAMES: Count = Count { what: "frames", most: 500 };
pub const VARIANTS: Count = Count { what: "variants", most: 20 };
pub const READINGS: Count = Count { what: "meter readings", most: 100 };
pub const STANDPOINTS: Count = Count { what: "standpoints", most: 500 };
pub const MOMENTS: Count = Count { what: "moments", most: 100 };
/// In all moments together.
pub const CUES: Count = Count { what: "cues", most: 5000 };
/// In all cues together, each person's counted.
pub const WALKS: Count = Count { what: "walks", most: 5000 };
pub const MARKS: Count = Count { what: "marks", most: 500 };
pub const MESHES: Count = Count { what: "meshes", most: 30 };
pub const FIXTURES: Count = Count { what: "fixtures", most: 1000 };
pub const NAMES: Count = Count { what: "names in one list", most: 500 };
pub const ROLES: Count = Count { what: "roles of one person", most: 20 };
pub const CARRIED: Count = Count { what: "bodies carried by one photographer", most: 10 };
pub const STRETCHES: Count = Count { what: "stretches of one standpoint", most: 40 };
pub const SEAT_BLOCKS: Count = Count { what: "blocks of seats", most: 100 };
pub const PATCHES: Count = Count { what: "patches", most: 200 };
pub const ROOMS: Count = Count { what: "rooms", most: 50 };
pub const WALLS: Count = Count { what: "walls", most: 300 };
pub const PLATFORMS: Count = Count { what: "platforms", most: 100 };
pub const AISLES: Count = Count { what: "aisles", most: 50 };
pub const KEEP_OUTS: Count = Count { what: "keep-outs", most: 100 };
pub const ESCAPE_ROUTES: Count = Count { what: "escape routes", most: 50 };
pub const LAMPS: Count = Count { what: "lamps", most: 300 };
pub const OPENINGS: Count = Count { what: "openings in a wall", most: 60 };
pub const CREW: Count = Count { what: "photographers", most: 12 };
pub const BODIES: Count = Count { what: "bodies", most: 60 };
pub const LENSES: Count = Count { what: "lenses", most: 60 };

/// What a number counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Metres; written in the plan's unit.
    Length,
    /// Metres a second; written in the plan's unit.
    Pace,
    Millimetres,
    Degrees,
    Seconds,
    FNumber,
    Iso,
    Stops,
    Lumens,
    Kelvin,
    /// 0 to 1.
    Share,
    Plain,
}

/// A number's name, range (in metres for lengths and paces, both ends allowed) and the reason for it.
#[derive(Debug, Clone, Copy)]
pub struct Bounds {
    pub what: &'static str,
    pub quantity: Quantity,
    pub least: f64,
    pub most: f64,
    pub why: &'static str,
}

const fn bounds(what: &'static str, quantity: Quantity, least: f64, most: f64, why: &'static str) -> Bounds {
    Bounds { what, quantity, least, most, why }
}

use Quantity::*;

pub const COORDINATE: Bounds =
    bounds("a coordinate", Length, -500.0, 500.0, "the couple stands near (0, 0), and a lens sees no further");
pub const LATITUDE: Bounds = bounds("a latitude", Degrees, -90.0, 90.0, "north is positive, the poles are at ±90");
pub const LONGITUDE: Bounds = bounds("a longitude", Degrees, -180.0, 180.0, "east is positive, west negative");
pub const ANGLE: Bounds = bounds("an angle", Degrees, -360.0, 360.0, "one turn either way");
pub const ALTITUDE: Bounds = bounds("an altitude", Length, -450.0, 6000.0, "from the lowest shore to the highest town");
pub const STATURE: Bounds = bounds("a stature", Length, 0.5, 2.5, "from a baby to the tallest people");
pub const HEIGHT: Bounds = bounds("a height", Length, 0.01, 60.0, "up to a tall tree or nave");
pub const ABOVE_FLOOR: Bounds = bounds("a height above the floor", Length, 0.0, 60.0, "up to a tall nave");
pub const MESH_ABOVE_FLOOR: Bounds =
    bounds("the height of a mesh's origin", Length, -60.0, 60.0, "up to a tall nave, down to its crypt");
pub const MESH_SCALE: Bounds =
    bounds("a scale", Plain, 0.001, 1000.0, "1 for metres, 0.01 for centimetres, 0.001 for millimetres");
pub const CAMERA_HEIGHT: Bounds =
    bounds("a camera height", Length, 0.1, 12.0, "from the ground to a gallery or a raised pole");
pub const SIZE: Bounds = bounds("a size", Length, 0.01, 300.0, "up to a long field");
pub const SKETCH_WIDTH: Bounds =
    bounds("a sketch's width", Length, 0.5, 1000.0, "what the picture shows from its left edge to its right");
pub const HALF_SURROUND: Bounds = bounds("half a surround", Length, 3.0, 1000.0, "it stands round the whole place");
pub const WALL_THICKNESS: Bounds = bounds("a wall's thickness", Length, 0.01, 5.0, "up to an old tower's");
pub const ROOM_HEIGHT: Bounds = bounds("a room's height", Length, 1.8, 60.0, "people stand in it");
pub const PLATFORM_HEIGHT: Bounds = bounds("a platform's height", Length, 0.02, 10.0, "people stand on it");
pub const TREAD: Bounds = bounds("a tread", Length, 0.15, 2.0, "a foot fits on it");
pub const STEPS: Bounds = bounds("a number of steps", Plain, 0.0, 60.0, "one flight");
pub const ROWS: Bounds = bounds("a number of rows", Plain, 1.0, 200.0, "one block of seats");
pub const SEATS_PER_ROW: Bounds = bounds("a number of seats in a row", Plain, 1.0, 200.0, "one block of seats");
pub const ROW_PITCH: Bounds = bounds("a row pitch", Length, 0.4, 5.0, "knees fit between the rows");
pub const SEAT_PITCH: Bounds = bounds("a seat pitch", Length, 0.3, 3.0, "shoulders fit side by side");
pub const SEAT_HEIGHT: Bounds = bounds("a seat height", Length, 0.2, 1.0, "people sit on it");
pub const CURVE_RADIUS: Bounds = bounds("a curve radius", Length, 1.0, 500.0, "the front row bends round a point");
pub const SHARE: Bounds = bounds("a share", Share, 0.0, 1.0, "0 is none, 1 is all");
pub const AISLE_WIDTH: Bounds = bounds("an aisle's width", Length, 0.3, 20.0, "one person to a whole square");
pub const LUX: Bounds = bounds("a reading in lux", Plain, 0.01, 200_000.0, "from a moonlit path to the brightest noon");
pub const EV: Bounds =
    bounds("a reading in EV", Plain, -8.0, 18.0, "from a moonlit path to the brightest noon, at ISO 100");
pub const LUMENS: Bounds = bounds("a lamp's light", Lumens, 0.1, 500_000.0, "from a night light to a floodlight");
pub const KELVIN: Bounds =
    bounds("a colour temperature", Kelvin, 1000.0, 20_000.0, "candles are near 1900, daylight near 5500");
pub const MOMENT_LENGTH: Bounds = bounds("a moment's length", Seconds, 0.5, 14_400.0, "half a second to four hours");
pub const TIME: Bounds = bounds("a time", Seconds, 0.0, 14_400.0, "seconds after the moment starts");
pub const PACE: Bounds =
    bounds("a pace", Pace, 0.1, 2.6, "from a hesitating step to the fastest walk (2.53 m/s, Bohannon 1997)");
pub const TAKES: Bounds = bounds("a time for a walk", Seconds, 0.2, 3600.0, "from one step to a long procession");
pub const ABREAST: Bounds = bounds("a number side by side", Plain, 1.0, 12.0, "a row of people across an aisle");
pub const APART: Bounds = bounds("a distance side by side", Length, 0.3, 5.0, "shoulders fit side by side");
pub const SPACING: Bounds = bounds("a distance between ranks", Length, 0.4, 30.0, "one step to the length of an aisle");
pub const STEPS_ASIDE: Bounds =
    bounds("a distance to step", Length, 0.05, 5.0, "farther than that one turns and walks, `at: (x, z)`");
pub const TIMES_ROUND: Bounds = bounds("a number of rounds", Plain, -20.0, 20.0, "negative goes the other way round");
pub const ROUND_RADIUS: Bounds =
    bounds("a radius", Length, 0.5, 20.0, "an arm's length or more from the middle of whom or what is circled");
pub const WITHIN: Bounds = bounds("a distance to the camera", Length, 0.3, 200.0, "as near as a lens focuses, or far");
pub const SENSOR: Bounds = bounds("a sensor's side", Millimetres, 3.0, 110.0, "from a phone to a sheet-film back");
pub const ISO: Bounds = bounds("an ISO", Iso, 25.0, 4_000_000.0, "what cameras can be set to");
pub const SHUTTER: Bounds = bounds("a shutter time", Seconds, 1.0 / 64_000.0, 60.0, "what cameras can be set to");
pub const FOCAL: Bounds = bounds("a focal length", Millimetres, 4.0, 1200.0, "from a fisheye to the longest lens");
pub const F_NUMBER: Bounds = bounds("an f-number", FNumber, 0.7, 64.0, "from the fastest lens to a view camera's");
pub const NEAREST_FOCUS: Bounds = bounds("a nearest focus", Length, 0.02, 20.0, "from macro to the longest lens");
pub const COMPENSATION: Bounds = bounds("a compensation", Stops, -6.0, 6.0, "what cameras can be set to");
