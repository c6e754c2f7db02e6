//! Values of a plan file that may be written in more than one way: a spot or a mark, one name or several.

use super::file::{AimPointFile, PartFile};
use serde::de::value::MapAccessDeserializer;
use serde::de::{Error, MapAccess, Visitor};
use serde::{Deserialize, Deserializer};

/// A bare or quoted word; which words are known is checked later, all in one way.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "a word")]
pub enum Word {
    Word(String),
}

/// `(x, z)`, or the id of a mark.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "a spot: (x, z), or a mark's id in quotes")]
pub enum SpotFile {
    Mark(String),
    Xz(f64, f64),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "a place: (x, z), a mark's id in quotes, or seat(\"block\", row, seat)")]
pub enum PlaceOfPerson {
    Mark(String),
    Xz(f64, f64),
    Seat(SeatFile),
}

/// One place for all, or one for each.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(
    untagged,
    expecting = "a place, or a list with one for each: (x, z), a mark's id in quotes, or seat(\"block\", row, seat)"
)]
pub enum PlacesFile {
    One(PlaceOfPerson),
    Each(Vec<PlaceOfPerson>),
}

impl PlacesFile {
    pub fn as_slice(&self) -> &[PlaceOfPerson] {
        match self {
            PlacesFile::One(place) => std::slice::from_ref(place),
            PlacesFile::Each(places) => places,
        }
    }
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "a spot or a list of spots: (x, z), or a mark's id in quotes")]
pub enum SpotsFile {
    One(SpotFile),
    Many(Vec<SpotFile>),
}

impl SpotsFile {
    pub fn as_slice(&self) -> &[SpotFile] {
        match self {
            SpotsFile::One(spot) => std::slice::from_ref(spot),
            SpotsFile::Many(spots) => spots,
        }
    }
}

/// So far to a side.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StepsFile {
    Left(f64),
    Right(f64),
    Ahead(f64),
    Back(f64),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WhenFile {
    /// Who, and how near to the camera.
    Within(String, f64),
    /// Who, and a mark, fixture or person.
    Passing(String, String),
    /// Who, and a gesture or posture.
    During(String, Word),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SeatFile {
    /// Block, row and seat, counted from 1.
    Seat(String, u32, u32),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "degrees, (x, z), or the id of a person, mark, fixture or photographer in quotes")]
pub enum TowardsFile {
    Degrees(f64),
    Id(String),
    Xz(f64, f64),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "an id or role in quotes, or a list of them: [\"…\", \"…\"]")]
pub enum Names {
    One(String),
    Many(Vec<String>),
}

impl Names {
    pub fn as_slice(&self) -> &[String] {
        match self {
            Names::One(name) => std::slice::from_ref(name),
            Names::Many(names) => names,
        }
    }
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "a number, or two in brackets: (70, 200)")]
pub enum OneOrTwo {
    One(f64),
    Two(f64, f64),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "seconds, or text such as \"1m30s\"")]
pub enum TimeFile {
    Seconds(f64),
    Text(String),
}

/// Seconds of a length of time written as text: `"90s"`, `"1m30s"`, `"1h 5m"`.
pub fn seconds_of(text: &str) -> Option<f64> {
    text.parse::<jiff::SignedDuration>().ok().map(|length| length.as_secs_f64())
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "a shutter time such as \"1/250\", or seconds")]
pub enum ShutterFile {
    Seconds(f64),
    Text(String),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "a sensor format such as full_frame, or (width, height) in millimetres")]
pub enum SensorFile {
    Word(String),
    Mm(f64, f64),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged, expecting = "an ISO number, or auto")]
pub enum IsoFile {
    Number(f64),
    Word(String),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum GestureFile {
    Rest,
    TakesHands(String),
    LinksArms(String),
    HoldsHand(String),
    GivesRing(String),
    Kisses(String),
    Embraces(String),
    HoldsUpPhone,
    Reads,
    Claps,
    OpensArms,
    WipesEyes,
    Waves,
    ThrowsPetals,
    Dances(String),
}

/// Text, or a record of its own fields.
macro_rules! text_or_record {
    ($rust:ident { $text:ident, $part:ident($record:ty) }, $expecting:literal) => {
        #[derive(Debug, Clone, PartialEq)]
        pub enum $rust {
            $text(String),
            $part($record),
        }

        impl<'de> Deserialize<'de> for $rust {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                struct Either;
                impl<'de> Visitor<'de> for Either {
                    type Value = $rust;
                    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                        f.write_str($expecting)
                    }
                    fn visit_str<E: Error>(self, text: &str) -> Result<$rust, E> {
                        Ok($rust::$text(text.to_owned()))
                    }
                    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<$rust, A::Error> {
                        <$record>::deserialize(MapAccessDeserializer::new(map)).map($rust::$part)
                    }
                }
                deserializer.deserialize_any(Either)
            }
        }
    };
}

text_or_record!(AimFile { Id, Point(AimPointFile) }, "an id in quotes, or (at: (x, z), height: 1.5)");
text_or_record!(PresenceFile { Moment, Part(PartFile) }, "a moment's id in quotes, or (moment: \"…\", from: 0, to: 20)");
