//! The sun as a frame has it.

use super::{Scene, thousandths};
use crate::daylight::Daylight;
use serde::Serialize;

/// Where the sun stands in a frame, or beside it. Never look at it through an optical finder or a long lens.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SunSeen {
    /// Between the lens's axis and the sun's middle.
    pub off_axis_deg: f64,
    pub in_frame: bool,
    /// Nothing of the tableau stands before it.
    pub clear: bool,
}

/// `None` while the sun is down.
pub fn sun(scene: &Scene, daylight: &Daylight) -> Option<SunSeen> {
    if daylight.elevation <= 0.0 {
        return None;
    }
    let to_sun = daylight.to_sun;
    let pane = scene.picture.pane;
    let on_picture = scene.camera.image_from_world(scene.camera.eye + to_sun, f64::from(pane.width));
    let within = |(u, v, _)| (0.0..f64::from(pane.width)).contains(&u) && (0.0..f64::from(pane.height)).contains(&v);
    let off_axis = f64::from(scene.camera.forward().dot(to_sun).clamp(-1.0, 1.0)).acos();
    Some(SunSeen {
        off_axis_deg: thousandths(off_axis.to_degrees()),
        in_frame: on_picture.is_some_and(within),
        clear: !scene.caster.blocked(scene.camera.eye, to_sun, 2000.0, |_| false),
    })
}
