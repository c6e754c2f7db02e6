//! What is seen from somewhere in a tableau, by casting rays at its solids.

mod cast;
mod caster;
mod covered;
mod guests;
mod ids;
mod interior;
mod lamps;
mod light;
pub(crate) mod octet;
mod reflects;
mod seen;
pub(crate) mod tree;
mod within;

pub use cast::{Hit, PlainCaster, blocked, first_hit};
pub use caster::Caster;
pub(crate) use caster::corners_of;
pub(crate) use covered::hull;
pub use covered::{Covered, Patch, covered};
pub use guests::{
    FaceView, GuestLoss, GuestView, GuestsSeen, InstantLoss, MomentLoss, StandpointLoss, Stretch, ViewsLost,
    guests_seen, views_lost,
};
pub use ids::{IdImage, Pane};
pub use interior::{Interior, Portal, interiors};
pub use lamps::{LampPoint, SPOT_EDGE, lamp_points, light_points};
pub use light::{FaceLight, Light, SceneLight, Sources, face_light};
pub use reflects::{reflects, sum_of};
pub use seen::{
    AudienceSeen, Beside, CutJoint, FrameSeen, HeadRing, Merger, PartSeen, PersonSeen, SunSeen, ThingSeen, frame_seen,
};
