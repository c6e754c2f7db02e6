//! What the window looks at: the instant, what is chosen, how the floor lies, what is shown of it. Kept between sessions.

use super::style::Theme;
use crate::plan::PhotographerIx;
use crate::plan::edit::Way;
use glam::Vec2;

/// Lists of a plan that one can choose from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    Standpoint,
    Frame,
    Moment,
    Person,
    Mark,
    Photographer,
    Body,
    Lens,
    Fixture,
    Mesh,
    Seats,
    Aisle,
    KeepOut,
    EscapeRoute,
    Lamp,
    Room,
    Wall,
    Platform,
    Patch,
    Reading,
    Variant,
    /// What the plan says about itself.
    Plan,
}

/// A row of the table of kinds.
#[derive(Debug, Clone, Copy)]
pub struct KindFacts {
    pub kind: Kind,
    pub one: &'static str,
    pub many: &'static str,
    /// Where the plan lists them.
    pub list: &'static [&'static str],
    /// As the reference calls the record.
    pub record: &'static str,
}

const fn facts(
    kind: Kind,
    one: &'static str,
    many: &'static str,
    list: &'static [&'static str],
    record: &'static str,
) -> KindFacts {
    KindFacts { kind, one, many, list, record }
}

pub const KINDS: &[KindFacts] = &[
    facts(Kind::Standpoint, "Standpoint", "Standpoints", &["standpoints"], "Standpoint"),
    facts(Kind::Frame, "Frame", "Frames", &["frames"], "Frame"),
    facts(Kind::Moment, "Moment", "Moments", &["moments"], "Moment"),
    facts(Kind::Person, "Person", "People", &["people"], "Person"),
    facts(Kind::Mark, "Mark", "Marks", &["marks"], "Mark"),
    facts(Kind::Photographer, "Photographer", "Photographers", &["crew"], "Photographer"),
    facts(Kind::Body, "Body", "Bodies", &["kit", "bodies"], "Body"),
    facts(Kind::Lens, "Lens", "Lenses", &["kit", "lenses"], "Lens"),
    facts(Kind::Fixture, "Fixture", "Fixtures", &["venue", "fixtures"], "Fixture"),
    facts(Kind::Mesh, "Mesh", "Meshes", &["venue", "meshes"], "Mesh"),
    facts(Kind::Seats, "Block of seats", "Blocks of seats", &["venue", "seats"], "Seats"),
    facts(Kind::Aisle, "Aisle", "Aisles", &["venue", "aisles"], "Aisle"),
    facts(Kind::KeepOut, "Keep-out", "Keep-outs", &["venue", "keep_outs"], "KeepOut"),
    facts(Kind::EscapeRoute, "Escape route", "Escape routes", &["venue", "escape_routes"], "EscapeRoute"),
    facts(Kind::Lamp, "Lamp", "Lamps", &["venue", "lamps"], "Lamp"),
    facts(Kind::Room, "Room", "Rooms", &["venue", "rooms"], "Room"),
    facts(Kind::Wall, "Wall", "Walls", &["venue", "walls"], "Wall"),
    facts(Kind::Platform, "Platform", "Platforms", &["venue", "platforms"], "Platform"),
    facts(Kind::Patch, "Patch of ground", "Patches of ground", &["venue", "patches"], "Patch"),
    facts(Kind::Reading, "Meter reading", "Meter readings", &["readings"], "Reading"),
    facts(Kind::Variant, "Variant", "Variants", &["variants"], "Variant"),
    facts(Kind::Plan, "The plan itself", "The plan itself", &[], "Plan"),
];

impl Kind {
    pub fn facts(self) -> &'static KindFacts {
        KINDS.iter().find(|facts| facts.kind == self).unwrap_or(&KINDS[0])
    }

    pub fn list(self) -> Way {
        self.facts().list.iter().fold(Way::new(), |way, field| way.field(*field))
    }
}

/// Something of the plan, by its place in its list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Selected {
    pub kind: Kind,
    pub number: usize,
}

impl Selected {
    pub fn new(kind: Kind, number: usize) -> Self {
        Self { kind, number }
    }

    pub fn way(self) -> Way {
        match self.kind {
            Kind::Plan => Way::new(),
            kind => kind.list().item(self.number),
        }
    }
}

/// How the floor lies in its panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloorView {
    /// Floor spot in the middle of the panel.
    pub centre: Vec2,
    /// Points on screen a metre.
    pub pt_per_m: f32,
    /// To be fitted to the plan before it is next drawn.
    pub fit: bool,
}

/// What is drawn on the floor besides place and people.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Layers {
    pub covered: bool,
    pub routes: bool,
    pub views: bool,
    pub sun: bool,
    pub names: bool,
    pub grid: bool,
    pub sketch: bool,
}

/// What lies over the rest of the window.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Sheet {
    #[default]
    Nothing,
    /// Every command, to be searched.
    Commands {
        search: String,
    },
    Open {
        folder: String,
    },
    SaveAs {
        path: String,
    },
    /// Which picture is drawn over.
    Picture {
        folder: String,
    },
    /// How far apart two spots of the sketch are, as it is typed.
    Scale {
        from: Vec2,
        to: Vec2,
        length: String,
    },
    /// From which plan a new one is made.
    New,
    Keys,
    Tour {
        step: usize,
    },
    /// Closing, or opening another plan, with changes that aren't saved.
    Unsaved {
        then: Then,
    },
    /// The file was changed by somebody else.
    ChangedOnDisk,
    Recover,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Then {
    Close,
    Open,
    New,
}

/// A tool in hand.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Tool {
    /// Choose, drag, turn.
    #[default]
    Hand,
    /// Measure between two spots.
    Tape { from: Option<Vec2>, to: Option<Vec2> },
    /// Put down a new thing where one clicks.
    Place(Kind),
    /// Move the sketch, with Shift turn it.
    Sketch,
    /// Two spots of the sketch whose distance is known.
    Scale { from: Option<Vec2> },
    /// The way of whoever is chosen, spot by spot.
    Way { spots: Vec<Vec2> },
}

/// The tab of the left panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Tab {
    #[default]
    Findings,
    Contents,
    Text,
}

#[derive(Debug, Clone, PartialEq)]
pub struct View {
    pub at_s: f64,
    /// Times as fast as life, while it plays.
    pub plays: Option<f64>,
    pub selected: Option<Selected>,
    pub floor: FloorView,
    pub layers: Layers,
    pub theme: Theme,
    /// Of everything on screen.
    pub scale: f32,
    pub tab: Tab,
    pub tool: Tool,
    pub sheet: Sheet,
    /// Whose viewfinder fills the middle.
    pub enlarged: Option<PhotographerIx>,
    pub guides: bool,
    /// Viewfinders show whose each pixel is.
    pub checked: bool,
}

impl Default for View {
    fn default() -> Self {
        Self {
            at_s: 0.0,
            plays: None,
            selected: None,
            floor: FloorView { centre: Vec2::ZERO, pt_per_m: 40.0, fit: true },
            layers: Layers {
                covered: true,
                routes: true,
                views: true,
                sun: true,
                names: true,
                grid: false,
                sketch: true,
            },
            theme: Theme::Light,
            scale: 1.0,
            tab: Tab::Findings,
            tool: Tool::Hand,
            sheet: Sheet::Nothing,
            enlarged: None,
            guides: true,
            checked: false,
        }
    }
}
