//! Which fields of a plan hold ids, of what, and which refer to them: one table a record.

use super::named::Named::{self, *};

/// What a field holds.
#[derive(Debug, Clone, Copy)]
pub(super) enum Holds {
    /// The id of the record itself.
    Own(Named),
    /// Ids of these, one or a list; the first kind that has the id counts.
    Ids(&'static [Named]),
    /// People, by id or role, or else one of these; one or a list.
    Whom(&'static [Named]),
    /// Degrees, a spot, or an id; `freely` is none.
    Towards,
    /// Spots or seats, one or a list: `(x, z)`, a mark's id, `seat("block", 1, 2)`.
    Places,
    /// `word("id", …)`: for each place in the brackets the kinds of its id.
    Word(&'static [&'static [Named]]),
    Record(Table),
    /// A list of records or ids.
    List(Table, &'static [Named]),
    /// A list of tuples, with the kinds of each place in them.
    Tuples(&'static [&'static [Named]]),
    /// An id, or a record.
    IdOr(&'static [Named], Table),
}

pub(super) type Table = &'static [(&'static str, Holds)];

use Holds::*;

pub(super) const PLAN: Table = &[
    ("venue", Record(VENUE)),
    ("people", List(&[("id", Own(Person)), ("at", Places)], &[])),
    ("marks", List(&[("id", Own(Mark))], &[])),
    ("moments", List(MOMENT, &[])),
    ("kit", Record(KIT)),
    ("crew", List(&[("id", Own(Photographer)), ("carries", Tuples(&[&[Body], &[Lens]]))], &[])),
    ("standpoints", List(STANDPOINT, &[])),
    ("frames", List(FRAME, &[])),
    ("variants", List(VARIANT, &[])),
    ("readings", List(&[("at", Places)], &[])),
];

const VENUE: Table = &[
    ("surround", Record(&[("centre", Places)])),
    ("patches", List(&[("outline", Places)], &[])),
    ("sketch", Record(&[("centre", Places)])),
    ("rooms", List(&[("id", Own(Room)), ("centre", Places)], &[])),
    ("walls", List(&[("id", Own(Wall)), ("from", Places), ("to", Places)], &[])),
    ("platforms", List(&[("id", Own(Platform)), ("centre", Places)], &[])),
    ("fixtures", List(&[("id", Own(Fixture)), ("at", Places)], &[])),
    ("meshes", List(&[("id", Own(Mesh)), ("at", Places)], &[])),
    ("seats", List(&[("id", Own(Seats)), ("front", Places)], &[])),
    ("aisles", List(&[("from", Places), ("to", Places)], &[])),
    ("keep_outs", List(&[("id", Own(KeepOut)), ("outline", Places)], &[])),
    ("escape_routes", List(&[("id", Own(EscapeRoute)), ("path", Places)], &[])),
    ("lamps", List(&[("id", Own(Lamp)), ("at", Places), ("to", Places), ("aimed_at", Places)], &[])),
];

const MOMENT: Table = &[("id", Own(Moment)), ("cues", List(CUE, &[])), ("guests_look", Towards)];

const CUE: Table = &[
    ("id", Own(Cue)),
    ("who", Whom(&[])),
    ("follows", Ids(&[Cue])),
    ("from", Places),
    ("by", Places),
    ("at", Places),
    ("circles", Ids(&[Person, Fixture, Mark])),
    ("faces", Towards),
    ("looks", Towards),
    ("gesture", Word(&[&[Person]])),
    ("only_in", Ids(&[Variant])),
];

/// What one can look towards.
pub(super) const SEEN: &[Named] = &[Person, Mark, Fixture, Photographer];

const KIT: Table = &[("bodies", List(&[("id", Own(Body))], &[])), ("lenses", List(&[("id", Own(Lens))], &[]))];

const STANDPOINT: Table = &[
    ("id", Own(Standpoint)),
    ("photographer", Ids(&[Photographer])),
    ("at", Places),
    ("during", List(&[("moment", Ids(&[Moment])), ("by", Places)], &[Moment])),
];

const FRAME: Table = &[
    ("id", Own(Frame)),
    ("moment", Ids(&[Moment])),
    ("when", Word(&[&[Person], &[Mark, Fixture]])),
    ("standpoint", Ids(&[Standpoint])),
    ("with", Ids(&[Lens])),
    ("of", Whom(&[])),
    ("aim", IdOr(&[Person, Fixture], &[("at", Places)])),
    ("focus_on", Ids(&[Person])),
    ("keep_out", Whom(&[Fixture, Photographer])),
];

const VARIANT: Table = &[
    ("id", Own(Variant)),
    ("skips", Ids(&[Cue])),
    ("fails", Ids(&[Body, Lens])),
    ("without", Ids(&[Photographer])),
    ("venue", Record(VENUE)),
    ("marks", List(&[("id", Ids(&[Mark]))], &[])),
    ("standpoints", List(&[("id", Ids(&[Standpoint])), ("at", Places)], &[])),
];
