//! What can go wrong in time, said so that one knows what to do.

use super::times::Never;
use crate::plan::Span;

/// One thing that won't go as planned.
#[derive(Debug, Clone, PartialEq)]
pub struct Hitch {
    /// Seconds into the ceremony.
    pub at_s: f64,
    /// The cue, stretch or frame it comes from.
    pub written: Span,
    pub what: What,
}

#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// There is no free way; they go straight.
    NoWay { who: String },
    /// Somebody walks into something.
    IntoThing { who: String, thing: String },
    /// Two come closer than bodies can.
    IntoEachOther { who: String, other: String, apart_m: f32 },
    /// Somebody walks into a photographer who stands there.
    IntoPhotographer { who: String, photographer: String, apart_m: f32 },
    /// A walk begins before the one before it has ended.
    CutShort { who: String, left_m: f32 },
    /// A photographer isn't ready when the stretch begins.
    Late { who: String, standpoint: String, late_s: f64, way_m: f32, pace_mps: f32 },
    /// A photographer stands where somebody is.
    InTheWay { who: String, standpoint: String, other: String, apart_m: f32 },
    /// A photographer has no free way to a standpoint.
    NoWayTo { who: String, standpoint: String },
    /// A cue begins when its moment is over, because of those it follows.
    AfterItsMoment { moment: String, late_s: f64 },
    /// A cue lets somebody come in who is there.
    ThereAlready { who: String },
    /// A cue lets somebody step aside or go round something who isn't there.
    NotThereToGo { who: String },
    /// Whom they should go round isn't there.
    NobodyToCircle { who: String, other: String },
    /// There are more ways through each other than are looked at.
    NotAllLookedAt,
    /// What a frame waits for never happens; the frame can't be taken.
    Never { frame: String, waits_for: String, why: String, never: Never },
    /// When it happens, the standpoint isn't held.
    NotHeld { frame: String, standpoint: String, after_s: f64 },
    /// When it happens, somebody of the frame isn't there.
    NotThere { frame: String, who: String, after_s: f64 },
}

impl What {
    /// The plan contradicts itself: there is nothing to draw.
    pub fn is_impossible(&self) -> bool {
        matches!(self, What::Never { .. } | What::NotHeld { .. } | What::NotThere { .. })
    }

    /// What to do about it.
    pub fn help(&self) -> String {
        match self {
            What::NoWay { .. } => "move what stands in the way, or give spots to walk by: `by: [(x, z)]`".to_owned(),
            What::IntoThing { thing, .. } => format!("lead them round it with `by`, or move `{thing}`"),
            What::IntoEachOther { .. } => {
                "let one of them wait (`follows`, or a later `after`), or give them ways apart with `by`".to_owned()
            }
            What::IntoPhotographer { who, photographer, .. } => {
                format!(
                    "move the standpoint of `{photographer}`, let it end before (`to`), or lead `{who}` round with `by`"
                )
            }
            What::CutShort { .. } => "begin later, let it follow the first walk, or walk faster: `pace`".to_owned(),
            What::Late { .. } => {
                "leave the standpoint before earlier (`to`), begin here later (`from`), or walk faster (`pace`)"
                    .to_owned()
            }
            What::InTheWay { other, .. } => format!("move the standpoint, or `{other}`"),
            What::NoWayTo { .. } => "give spots to walk by, `by: [(x, z)]`, or choose another standpoint".to_owned(),
            What::AfterItsMoment { moment, .. } => {
                format!("lengthen `{moment}`, walk faster (`pace`), or move the cue to the next moment")
            }
            What::ThereAlready { who } => {
                format!(
                    "take out `from`; or, so that they come in, give `{who}` no `at` under people, or let them leave before"
                )
            }
            What::NotThereToGo { who } | What::NobodyToCircle { other: who, .. } => {
                format!("let `{who}` come first: `at` under people, or an earlier cue with `at`")
            }
            What::NotAllLookedAt => "mend what is told here, and look again".to_owned(),
            What::Never { never, .. } => match never {
                Never::Absent => "let them be there in that moment, or take the frame in another",
                Never::TooFar { .. } => {
                    "choose a greater distance, another standpoint or another mark, or `after` seconds"
                }
                Never::NotDone => {
                    "give them a cue for it in that moment, or take the frame in another, or `after` seconds"
                }
            }
            .to_owned(),
            What::NotHeld { standpoint, .. } => {
                format!("hold `{standpoint}` then (`during`), or take the frame otherwise")
            }
            What::NotThere { who, .. } => format!("let `{who}` be there by then, or take the frame at another time"),
        }
    }
}

impl std::fmt::Display for What {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            What::NoWay { who } => {
                write!(f, "`{who}` finds no free way there and walks straight through what is in it")
            }
            What::IntoThing { who, thing } => write!(f, "`{who}` walks into `{thing}`"),
            What::IntoEachOther { who, other, apart_m } => {
                write!(f, "`{who}` and `{other}` walk into each other: {apart_m:.2} m from middle to middle")
            }
            What::IntoPhotographer { who, photographer, apart_m } => {
                write!(f, "`{who}` walks into `{photographer}`, who stands there: {apart_m:.2} m from middle to middle")
            }
            What::CutShort { who, left_m } => {
                write!(f, "`{who}` has {left_m:.1} m left to walk when this walk begins")
            }
            What::Late { who, standpoint, late_s, way_m, pace_mps } => write!(
                f,
                "`{who}` is ready at `{standpoint}` {late_s:.1} s late: {way_m:.1} m to walk at {pace_mps:.1} m/s"
            ),
            What::InTheWay { who, standpoint, other, apart_m } => {
                write!(f, "`{who}` at `{standpoint}` stands where `{other}` is: {apart_m:.2} m from middle to middle")
            }
            What::NoWayTo { who, standpoint } => write!(f, "`{who}` finds no free way to `{standpoint}`"),
            What::AfterItsMoment { moment, late_s } => {
                write!(f, "this cue begins {late_s:.1} s after the end of `{moment}`: the cue it follows takes so long")
            }
            What::ThereAlready { who } => {
                write!(f, "`{who}` is there already and sets out from where they are, not from `from`")
            }
            What::NotThereToGo { who } => write!(f, "`{who}` isn't there and can't go anywhere from there"),
            What::NobodyToCircle { who, other } => write!(f, "`{who}` can't go round `{other}`, who isn't there"),
            What::NotAllLookedAt => {
                write!(f, "so many walk so long that not all of their ways were looked at")
            }
            What::Never { frame, waits_for, why, .. } => write!(f, "`{frame}` waits until {waits_for}, but {why}"),
            What::NotHeld { frame, standpoint, after_s } => {
                write!(f, "`{frame}` falls {after_s:.1} s into its moment, when `{standpoint}` isn't held")
            }
            What::NotThere { frame, who, after_s } => {
                write!(f, "`{frame}` falls {after_s:.1} s into its moment, when `{who}` isn't there")
            }
        }
    }
}
