//! The ceremony: moments and the cues in them.

use super::{CueIx, FixtureIx, PersonIx, PhotographerIx, Post};
use crate::plan::Span;
use glam::Vec2;

#[derive(Debug, Clone)]
pub struct Moment {
    pub id: String,
    pub name: String,
    /// Seconds after [`Plan::start`](super::Plan::start); the sum of the lengths before it.
    pub start_s: f64,
    pub length_s: f64,
    /// As written; when each begins is staging's to work out.
    pub cues: Vec<Cue>,
    /// Guests in blocks of seats stand during this moment.
    pub guests_stand: bool,
    /// What guests turn their heads to; `None` is what happens: whoever walks, else the couple.
    pub guests_look: Option<Facing>,
}

/// What people do from an instant on. What a cue leaves out continues.
#[derive(Debug, Clone, Default)]
pub struct Cue {
    /// Its name, if another cue waits for it.
    pub id: Option<String>,
    pub who: Vec<PersonIx>,
    /// Everyone in the blocks of seats does it, but for the named people among them.
    pub guests: bool,
    /// Begins when this one has ended.
    pub follows: Option<CueIx>,
    /// Seconds after the moment starts or, with `follows`, after that cue has ended.
    pub after_s: f64,
    /// Where they go.
    pub goes: Option<Going>,
    /// Where the body turns once it is there.
    pub faces: Option<Facing>,
    /// Where the head turns, as far as a neck can.
    pub looks: Option<Facing>,
    pub posture: Option<Posture>,
    pub gesture: Option<Gesture>,
    pub holds: Option<Held>,
    /// Leaves the place, once they are where they go: no longer there.
    pub leaves: bool,
    /// Where it stands in the file, for messages about it.
    pub written: Span,
}

/// The way of one or several people to other places.
#[derive(Debug, Clone, PartialEq)]
pub struct Going {
    pub way: Way,
    /// Where those come in who aren't there yet; whoever is there sets out from where they are.
    pub from: Option<Post>,
    pub tempo: Tempo,
    /// How many walk side by side; `None` is two of two, else one.
    pub abreast: Option<u32>,
    /// Side by side, middle to middle.
    pub apart_m: f32,
    /// From one rank to the next.
    pub spacing_m: f32,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Way {
    /// By way of spots to one place, or to a place for each. Who isn't there yet and comes from nowhere appears there.
    To { places: Vec<Post>, by: Vec<Vec2> },
    /// So far to a side of their own, without turning.
    Steps { side: Side, length_m: f32 },
    /// Round somebody or something, this often clockwise seen from above; negative is the other way.
    Round { centre: Centre, times: f32, radius_m: f32 },
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Centre {
    Person(PersonIx),
    Spot(Vec2),
}

/// A side of whoever does it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    Left,
    Right,
    Ahead,
    Back,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tempo {
    /// Metres a second, way over time.
    Pace(f32),
    /// Seconds for the whole way.
    Over(f64),
}

/// Pace of a walk in the ceremony when none is given, metres a second: unhurried, slower than the 1.3 to 1.5 m/s of people
/// on their way (Bohannon 1997). *Chosen, no source*.
pub const CEREMONY_PACE_MPS: f32 = 1.0;

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Facing {
    /// As it comes: a body the way it walks or to what it does, a head to what happens.
    Freely,
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
    /// Two steps to and fro in place.
    Dancing,
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
    Waves,
    /// A handful at a time.
    ThrowsPetals,
    /// Holds the other as dancers do.
    Dances(PersonIx),
}

impl Gesture {
    /// With whom.
    pub fn other(self) -> Option<PersonIx> {
        match self {
            Gesture::TakesHands(other)
            | Gesture::LinksArms(other)
            | Gesture::HoldsHand(other)
            | Gesture::GivesRing(other)
            | Gesture::Kisses(other)
            | Gesture::Embraces(other)
            | Gesture::Dances(other) => Some(other),
            _ => None,
        }
    }
}

/// What somebody can be seen doing: a gesture, whoever it is with, or a posture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Deed {
    Walks,
    Sits,
    Kneels,
    Crouches,
    TakesHands,
    LinksArms,
    HoldsHand,
    GivesRing,
    Kisses,
    Embraces,
    Dances,
    HoldsUpPhone,
    Reads,
    Claps,
    OpensArms,
    WipesEyes,
    Waves,
    ThrowsPetals,
}

impl Gesture {
    /// `None` at rest.
    pub fn deed(self) -> Option<Deed> {
        Some(match self {
            Gesture::Rest => return None,
            Gesture::TakesHands(_) => Deed::TakesHands,
            Gesture::LinksArms(_) => Deed::LinksArms,
            Gesture::HoldsHand(_) => Deed::HoldsHand,
            Gesture::GivesRing(_) => Deed::GivesRing,
            Gesture::Kisses(_) => Deed::Kisses,
            Gesture::Embraces(_) => Deed::Embraces,
            Gesture::Dances(_) => Deed::Dances,
            Gesture::HoldsUpPhone => Deed::HoldsUpPhone,
            Gesture::Reads => Deed::Reads,
            Gesture::Claps => Deed::Claps,
            Gesture::OpensArms => Deed::OpensArms,
            Gesture::WipesEyes => Deed::WipesEyes,
            Gesture::Waves => Deed::Waves,
            Gesture::ThrowsPetals => Deed::ThrowsPetals,
        })
    }
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
