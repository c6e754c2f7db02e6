//! The ceremony: moments and the cues in them.

use super::{FixtureIx, PersonIx, PhotographerIx, Post};
use glam::Vec2;

#[derive(Debug, Clone)]
pub struct Moment {
    pub id: String,
    pub name: String,
    /// Seconds after [`Plan::start`](super::Plan::start); the sum of the lengths before it.
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
