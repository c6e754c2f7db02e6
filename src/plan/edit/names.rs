//! Ids and whatever refers to them.

use super::error::EditError;

/// What has an id.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Named {
    Person,
    Photographer,
    Fixture,
    Mark,
    Seats,
    Moment,
    Cue,
    Standpoint,
    Frame,
    Body,
    Lens,
    Variant,
    Room,
    Wall,
    Platform,
    Lamp,
    KeepOut,
    EscapeRoute,
}
