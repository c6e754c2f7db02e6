//! The checked plan: what a team measured and decided, in metres, radians and seconds.
//!
//! A [`Plan`] only comes out of the checks in this room, so code elsewhere need not ask again: every
//! reference is an index that exists, every length is finite and in range, ids are unique.
//! On the floor `x` runs across and `z` along; the couple stands near the origin, guests sit towards
//! `+z` and look towards `−z`. A *heading* is an angle in radians from `−z`, clockwise seen from above
//! (0 faces the altar end, +π/2 faces `+x`).

mod cameras;
mod ceremony;
mod mesh;
mod people;
mod place;
mod readings;
mod variants;

pub use cameras::*;
pub use ceremony::*;
pub use mesh::*;
pub use people::*;
pub use place::*;
pub use readings::*;
pub use variants::*;

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
/// Index of a mesh in [`Venue::meshes`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct MeshIx(pub usize);
/// Index of a block of seats in [`Venue::seats`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SeatsIx(pub usize);
/// Index of a standpoint in [`Plan::standpoints`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct StandpointIx(pub usize);

/// A cue in [`Moment::cues`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct CueIx {
    pub moment: MomentIx,
    pub cue: usize,
}

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
    /// What may come differently on the day; none of it is in the rest of the plan.
    pub variants: Vec<Variant>,
    /// What a light meter said on a visit.
    pub readings: Vec<Reading>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthUnit {
    Metres,
    Feet,
}

impl LengthUnit {
    /// Metres in one: a foot has been 0.3048 m exactly since 1959 (international yard and pound agreement).
    pub const fn in_metres(self) -> f64 {
        match self {
            LengthUnit::Metres => 1.0,
            LengthUnit::Feet => 0.3048,
        }
    }
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

impl Plan {
    /// Every cue of the ceremony, in the order written.
    pub fn cues(&self) -> impl Iterator<Item = (CueIx, &Cue)> {
        self.moments.iter().enumerate().flat_map(|(m, moment)| {
            moment.cues.iter().enumerate().map(move |(cue, it)| (CueIx { moment: MomentIx(m), cue }, it))
        })
    }

    /// Length of the whole ceremony.
    pub fn length_s(&self) -> f64 {
        self.moments.last().map_or(0.0, |moment| moment.start_s + moment.length_s)
    }

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
