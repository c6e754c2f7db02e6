//! What composing a frame had to change or could not do, as data and in a colleague's words.

use super::framing::framing;
use crate::plan::ShotSize;
use std::fmt;

/// Something to tell whoever planned the frame. The picture is drawn all the same.
#[derive(Debug, Clone, PartialEq)]
pub enum Remark {
    /// The shot size needs a focal length that the lens does not have.
    FocalNotOnLens {
        size: ShotSize,
        wanted_m: f64,
        drawn_m: f64,
        lens_m: [f64; 2],
        /// What the drawn focal length gives of the nearest person.
        becomes: ShotSize,
        /// Where the lens would do, distance along the axis; now `distance_m`.
        would_do_at_m: f64,
        distance_m: f64,
    },
    /// The focal length asked for is not on the lens.
    AskedFocalNotOnLens { asked_m: f64, drawn_m: f64, lens_m: [f64; 2] },
    /// The focal length asked for is too long to hold everyone as far as the shot size wants.
    FocalTooLong { asked_m: f64, would_hold_m: f64, size: ShotSize },
    /// Someone the frame is of is not in the picture.
    OutOfFrame { name: String },
    /// Someone the frame is of is not in the place at that instant.
    NotThere { name: String },
    /// Focus lies nearer than the lens can focus; drawn at its nearest.
    NearerThanFocus { name: String, distance_m: f64, nearest_m: f64 },
    /// The lens does not open (or close) that far.
    ApertureNotOnLens { asked: f64, drawn: f64, focal_m: f64 },
    /// The body has no such short shutter.
    ShutterNotOnBody { asked_s: f64, drawn_s: f64 },
    /// The ISO as set lies outside what the photographer will use.
    IsoNotOnBody { asked: f64, drawn: f64 },
    /// Even the highest usable ISO leaves the face this much too dark.
    TooDark { stops: f64, iso: f64 },
    /// Even the lowest ISO and the shortest shutter leave the face this much too bright.
    TooBright { stops: f64, iso: f64, shutter_s: f64 },
}

impl fmt::Display for Remark {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::FocalNotOnLens { size, wanted_m, drawn_m, lens_m, becomes, would_do_at_m, distance_m } => {
                let end = if wanted_m > drawn_m { "ends at" } else { "starts at" };
                write!(
                    out,
                    "{} from here takes {} mm; the {} lens {end} {} mm",
                    framing(*size).words,
                    mm(*wanted_m),
                    lens_range(*lens_m),
                    mm(*drawn_m)
                )?;
                if becomes == size {
                    write!(out, ", so it comes out a little {}", if wanted_m > drawn_m { "wider" } else { "tighter" })?;
                } else {
                    write!(out, ", which gives {}", framing(*becomes).words)?;
                }
                write!(out, ". It would do from {would_do_at_m:.1} m instead of {distance_m:.1} m")
            }
            Self::AskedFocalNotOnLens { asked_m, drawn_m, lens_m } => write!(
                out,
                "{} mm is not on the {} lens; drawn at {} mm",
                mm(*asked_m),
                lens_range(*lens_m),
                mm(*drawn_m)
            ),
            Self::FocalTooLong { asked_m, would_hold_m, size } => write!(
                out,
                "{} mm is too long to hold {} of everyone; {} mm would do it",
                mm(*asked_m),
                framing(*size).words,
                mm(*would_hold_m)
            ),
            Self::OutOfFrame { name } => write!(out, "{name} falls outside the frame"),
            Self::NotThere { name } => write!(out, "{name} is not there at that moment"),
            Self::NearerThanFocus { name, distance_m, nearest_m } => {
                write!(out, "{name} is {distance_m:.2} m away and the lens focuses from {nearest_m:.2} m")
            }
            Self::ApertureNotOnLens { asked, drawn, focal_m } => {
                write!(
                    out,
                    "the lens has no f/{} at {} mm; drawn at f/{}",
                    tidy(*asked, 1),
                    mm(*focal_m),
                    tidy(*drawn, 1)
                )
            }
            Self::ShutterNotOnBody { asked_s, drawn_s } => {
                write!(out, "the body has no {} s; drawn at {} s", shutter_text(*asked_s), shutter_text(*drawn_s))
            }
            Self::IsoNotOnBody { asked, drawn } => {
                write!(out, "ISO {asked:.0} is outside what this body is used at; drawn at ISO {drawn:.0}")
            }
            Self::TooDark { stops, iso } => write!(
                out,
                "the face is {stops:.1} stops too dark even at ISO {iso:.0}: open the aperture, slow the shutter or bring light"
            ),
            Self::TooBright { stops, iso, shutter_s } => write!(
                out,
                "the face is {stops:.1} stops too bright even at ISO {iso:.0} and {} s: close the aperture",
                shutter_text(*shutter_s)
            ),
        }
    }
}

/// `1/250`, `0.5`, `2`: a shutter time as photographers write it, without the unit.
pub fn shutter_text(shutter_s: f64) -> String {
    if shutter_s < 0.3 { format!("1/{:.0}", 1.0 / shutter_s) } else { tidy(shutter_s, 1) }
}

fn lens_range([short_m, long_m]: [f64; 2]) -> String {
    if long_m > short_m { format!("{}–{} mm", mm(short_m), mm(long_m)) } else { format!("{} mm", mm(short_m)) }
}

fn mm(length_m: f64) -> String {
    format!("{:.0}", length_m * 1000.0)
}

/// At most `places` decimals, none that are zero.
pub fn tidy(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}
