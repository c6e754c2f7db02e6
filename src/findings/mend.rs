//! What a remedy changes in the plan, where it comes down to a number of it.

use crate::optics::shutter_text;
use crate::plan::edit::{EditError, Way, length_value, number_value, set, spot_value, text_value};
use crate::plan::{Frame, Plan};
use glam::Vec2;

/// One change for one frame, or for the standpoint that it is taken from.
#[derive(Debug, Clone, PartialEq)]
pub enum Mend {
    /// The standpoint elsewhere. Other frames from it move too.
    Stand {
        at: Vec2,
    },
    CameraHeight {
        height_m: f64,
    },
    /// Another lens that the photographer carries, by its id.
    With {
        lens: String,
    },
    Focal {
        focal_m: f64,
    },
    FNumber {
        f_number: f64,
    },
    Shutter {
        shutter_s: f64,
    },
    Iso {
        iso: f64,
    },
    Compensation {
        ev: f64,
    },
}

impl Mend {
    /// Which field of the plan's text, and what it is to say.
    pub fn field(&self, plan: &Plan, frame: &Frame) -> (Way, String) {
        let standpoint = || Way::new().field("standpoints").item(frame.standpoint.0);
        let number = plan.frames.iter().position(|it| it.id == frame.id).unwrap_or_default();
        let own = |name: &str| Way::new().field("frames").item(number).field(name);
        match self {
            Self::Stand { at } => (standpoint().field("at"), spot_value(*at, plan.units)),
            Self::CameraHeight { height_m } => (standpoint().field("height"), length_value(*height_m, plan.units)),
            Self::With { lens } => (own("with"), text_value(lens)),
            Self::Focal { focal_m } => (own("focal_mm"), number_value(focal_m * 1000.0, 0)),
            Self::FNumber { f_number } => (own("f"), number_value(*f_number, 1)),
            Self::Shutter { shutter_s } => (own("shutter"), text_value(&shutter_text(*shutter_s))),
            Self::Iso { iso } => (own("iso"), number_value(*iso, 0)),
            Self::Compensation { ev } => (own("compensation"), number_value(*ev, 1)),
        }
    }
}

/// The plan's text with a frame's mends.
///
/// # Errors
/// The text isn't the plan's: it has no such frame or standpoint.
pub fn mended(text: &str, plan: &Plan, frame: &Frame, mends: &[Mend]) -> Result<String, EditError> {
    mends.iter().try_fold(text.to_owned(), |text, mend| {
        let (way, value) = mend.field(plan, frame);
        set(&text, &way, &value)
    })
}
