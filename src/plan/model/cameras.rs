//! The cameras: kit, crew, standpoints and frames.

use super::{Deed, FixtureIx, Looks, MomentIx, PersonIx, PhotographerIx, StandpointIx};
use crate::plan::Span;
use glam::Vec2;

#[derive(Debug, Clone, Default)]
pub struct Kit {
    pub bodies: Vec<Body>,
    pub lenses: Vec<Lens>,
}

#[derive(Debug, Clone)]
pub struct Body {
    pub id: String,
    /// Sensor width and height in landscape, metres.
    pub sensor_m: [f64; 2],
    /// Lowest and highest ISO the photographer will use.
    pub iso: [f64; 2],
    /// Shortest shutter time.
    pub fastest_shutter_s: f64,
}

#[derive(Debug, Clone)]
pub struct Lens {
    pub id: String,
    /// Shortest and longest focal length, metres; equal for a prime.
    pub focal_m: [f64; 2],
    /// Widest aperture (f-number) at the short and at the long end.
    pub widest_f: [f64; 2],
    pub narrowest_f: f64,
    pub nearest_focus_m: f64,
}

#[derive(Debug, Clone)]
pub struct Photographer {
    pub id: String,
    pub name: String,
    /// "lead", "second": the plan's own text.
    pub role: String,
    pub stature_m: f32,
    pub looks: Looks,
    /// Bodies with the lens on them: indices into the kit.
    pub carries: Vec<BodyWithLens>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BodyWithLens {
    pub body: usize,
    pub lens: usize,
}

/// Where a photographer is, how high the camera is, and when.
#[derive(Debug, Clone)]
pub struct Standpoint {
    pub id: String,
    pub photographer: PhotographerIx,
    pub at: Vec2,
    /// Height of the lens above the floor there.
    pub camera_height_m: f32,
    pub during: Vec<Presence>,
}

/// A stretch of a moment, and the way to be there by then.
#[derive(Debug, Clone, PartialEq)]
pub struct Presence {
    pub moment: MomentIx,
    /// Seconds after the moment starts.
    pub from_s: f64,
    pub to_s: f64,
    /// Spots on the way from the standpoint before.
    pub by: Vec<Vec2>,
    pub pace_mps: f32,
    /// Where it stands in the file, for messages about it.
    pub written: Span,
}

/// How fast photographers change places when the plan doesn't say: an ordinary brisk walk, the slowest of the comfortable
/// speeds of men in R. W. Bohannon, Age and Ageing 26:15–19 (1997): 1.33 m/s, rounded down.
pub const CREW_PACE_MPS: f32 = 1.3;

/// One planned picture.
#[derive(Debug, Clone)]
pub struct Frame {
    pub id: String,
    pub moment: MomentIx,
    /// Seconds after the moment starts. With `when`, half the moment until staging has found the instant.
    pub after_s: f64,
    /// What the photographer waits for.
    pub when: Option<When>,
    pub standpoint: StandpointIx,
    pub with: BodyWithLens,
    /// As asked for; `None` follows from the shot size.
    pub focal_m: Option<f64>,
    pub orientation: Orientation,
    /// Whom it is of. Never empty unless `aim` is given.
    pub of: Vec<PersonIx>,
    pub shot_size: ShotSize,
    /// Overrides where the camera points.
    pub aim: Option<Aim>,
    pub exposure: Exposure,
    /// What is in focus; `None` is the first of `of`.
    pub focus_on: Option<PersonIx>,
    pub audience: AudienceWish,
    /// Who or what should not be seen.
    pub keep_out: Vec<KeepOutOf>,
    /// For the brief.
    pub note: String,
    /// Where it stands in the file, for messages about it.
    pub written: Span,
}

/// An instant by what happens in the frame's moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum When {
    /// Somebody first comes so near to the camera.
    Within { who: PersonIx, distance_m: f32 },
    /// Somebody is nearest to a spot.
    Passing { who: PersonIx, spot: Vec2 },
    /// The middle of the first stretch in which somebody does this.
    During { who: PersonIx, deed: Deed },
}

/// Who or what a frame should not show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeepOutOf {
    Person(PersonIx),
    Fixture(FixtureIx),
    Photographer(PhotographerIx),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Orientation {
    Landscape,
    Portrait,
}

/// How much of a person the frame holds: trade usage, no standard (`optics::framing` has the fractions).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ShotSize {
    Wide,
    Full,
    ThreeQuarter,
    Half,
    HeadAndShoulders,
    Close,
}

/// Where a camera points when that does not follow from `of`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Aim {
    /// A point: on the floor, and its height.
    Point {
        at: Vec2,
        height_m: f32,
    },
    Person(PersonIx),
    Fixture(FixtureIx),
}

/// Aperture, shutter, ISO as set on the camera.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exposure {
    pub f_number: f64,
    pub shutter_s: f64,
    /// `None`: the camera meters on the subject's face, moves ISO first, then shortens the shutter.
    pub iso: Option<f64>,
    /// Brighter (+) or darker (−) than metered, in stops.
    pub compensation_ev: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AudienceWish {
    Wanted,
    Unwanted,
    NoMatter,
}
