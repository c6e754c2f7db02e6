//! What a shape is inked as: its part in the drawing, not its colour. Colours are the styles'.

use crate::plan::{PhotographerIx, Surface};

/// The part a shape plays. sRGB bytes are colours of the plan's own: cloth, skin, hair.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ink {
    Ground(Surface),
    Floor(Surface),
    Wall,
    /// Glass, door leaves and what else fills or crosses an opening.
    Opening,
    Platform,
    /// Edges of steps.
    Step,
    Seat,
    SeatBack,
    Aisle,
    Runner([u8; 3]),
    Fixture,
    Plant,
    /// Of a tree; one walks under it.
    Crown,
    /// Arches, canopies and tents, which one walks under.
    Overhead,
    Clutter,
    ClutterCross,
    KeepOut,
    EscapeBand,
    EscapeRoute,
    EscapeHead,
    Lamp,
    /// Between the ends of a string of lamps, overhead.
    Cable,
    MarkSpot,
    /// People's blocks in their own colours.
    Cloth([u8; 3]),
    /// Cloth that one sees through.
    Veil([u8; 3]),
    /// Round somebody, below their blocks.
    PersonEdge,
    CrewEdge(PhotographerIx),
    /// A nose, so that one sees where somebody faces.
    Nose,
    Guest([u8; 3]),
    GuestEdge,
    /// Round a guest whose view the crew takes.
    GuestLosing,
    Covered(PhotographerIx),
    /// The field under a standpoint's soles.
    StandpointField(PhotographerIx),
    StandpointFieldAway(PhotographerIx),
    Standpoint(PhotographerIx),
    /// Not held at the instant.
    StandpointAway(PhotographerIx),
    /// Words about a photographer's standpoint or way.
    CrewLabel(PhotographerIx),
    CrewLabelAway(PhotographerIx),
    Route(PhotographerIx),
    RouteHead(PhotographerIx),
    Sun,
    SunRay,
    /// Of a person, on the ground.
    Shadow,
    Label,
    FaintLabel,
    Measure,
    MeasureField,
}
