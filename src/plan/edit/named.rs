//! What has an id, and which ids may not be alike.

use super::way::Way;

/// What has an id.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Named {
    Person,
    Photographer,
    Fixture,
    Mesh,
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

use Named::*;

impl Named {
    pub const ALL: [Named; 19] = [
        Person,
        Photographer,
        Fixture,
        Mesh,
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
    ];

    /// A word for it in a sentence.
    pub const fn noun(self) -> &'static str {
        match self {
            Person => "person",
            Photographer => "photographer",
            Fixture => "fixture",
            Mesh => "mesh",
            Mark => "mark",
            Seats => "block of seats",
            Moment => "moment",
            Cue => "cue",
            Standpoint => "standpoint",
            Frame => "frame",
            Body => "body",
            Lens => "lens",
            Variant => "variant",
            Room => "room",
            Wall => "wall",
            Platform => "platform",
            Lamp => "lamp",
            KeepOut => "keep-out",
            EscapeRoute => "escape route",
        }
    }

    /// The way to the list of them. `None` for cues: each moment has a list of its own.
    pub fn list(self) -> Option<Way> {
        let (holder, list) = match self {
            Person => (None, "people"),
            Photographer => (None, "crew"),
            Fixture => (Some("venue"), "fixtures"),
            Mesh => (Some("venue"), "meshes"),
            Mark => (None, "marks"),
            Seats => (Some("venue"), "seats"),
            Moment => (None, "moments"),
            Cue => return None,
            Standpoint => (None, "standpoints"),
            Frame => (None, "frames"),
            Body => (Some("kit"), "bodies"),
            Lens => (Some("kit"), "lenses"),
            Variant => (None, "variants"),
            Room => (Some("venue"), "rooms"),
            Wall => (Some("venue"), "walls"),
            Platform => (Some("venue"), "platforms"),
            Lamp => (Some("venue"), "lamps"),
            KeepOut => (Some("venue"), "keep_outs"),
            EscapeRoute => (Some("venue"), "escape_routes"),
        };
        Some(holder.map_or(Way::new(), |holder| Way::new().field(holder)).field(list))
    }

    /// Those whose ids must differ from its own, itself among them: what can be looked at, stood at or seen has one set of ids, and
    /// a variant's `fails` names bodies and lenses alike.
    pub(super) fn kin(self) -> &'static [Named] {
        const FLOOR: &[Named] = &[Person, Photographer, Fixture, Mark, Seats];
        match self {
            Person | Photographer | Fixture | Mark | Seats => FLOOR,
            Body | Lens => &[Body, Lens],
            Moment => &[Moment],
            Cue => &[Cue],
            Standpoint => &[Standpoint],
            Frame => &[Frame],
            Variant => &[Variant],
            Mesh => &[Mesh],
            Room => &[Room],
            Wall => &[Wall],
            Platform => &[Platform],
            Lamp => &[Lamp],
            KeepOut => &[KeepOut],
            EscapeRoute => &[EscapeRoute],
        }
    }

    /// Whether the venue of a variant has the same one under the same id.
    pub(super) fn is_the_same_elsewhere(self) -> bool {
        matches!(self, Fixture | Seats)
    }
}
