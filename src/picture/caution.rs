//! The caution that goes with a frame that looks towards the sun.

use crate::daylight::Daylight;
use crate::optics::{Camera, focal_on_full_frame};
use std::fmt;

/// From this focal length on (as on full frame) a sun just outside the frame counts too. *Our own.*
const LONG_LENS_M: f64 = 0.050;
/// How far outside, degrees. *Our own.*
const NEAR_THE_EDGE_DEG: f64 = 5.0;
/// The sun's upper edge is up while its centre is higher than this: its radius of 16′ and half a degree of refraction,
/// the convention of the US Naval Observatory.
const SUNRISE_DEG: f64 = -0.833;

/// The sun in a frame, or beside it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SunAhead {
    /// How far outside the frame's edge, degrees; 0 inside.
    pub outside_deg: f64,
}

/// Says so if the sun is in the picture, or near its edge with a long lens. Clouds or walls before it don't count: they may
/// be gone on the day.
pub fn sun_ahead(camera: &Camera, daylight: &Daylight) -> Option<SunAhead> {
    if daylight.elevation.to_degrees() < SUNRISE_DEG {
        return None;
    }
    let seen = (camera.turned.inverse() * daylight.to_sun).as_dvec3();
    if seen.z >= 0.0 {
        return None;
    }
    let outside = |across: f64, side_m: f64| {
        (across / -seen.z).abs().atan().to_degrees() - (side_m / (2.0 * camera.focal_m)).atan().to_degrees()
    };
    let outside_deg = outside(seen.x, camera.sensor_m[0]).max(outside(seen.y, camera.sensor_m[1])).max(0.0);
    let long_lens = focal_on_full_frame(camera.focal_m, camera.sensor_m) >= LONG_LENS_M;
    let near_deg = if long_lens { NEAR_THE_EDGE_DEG } else { 0.0 };
    (outside_deg <= near_deg).then_some(SunAhead { outside_deg })
}

impl fmt::Display for SunAhead {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.outside_deg > 0.0 {
            write!(f, "the sun stands {:.0}° outside this frame", self.outside_deg.max(1.0))?;
        } else {
            write!(f, "the sun stands in this frame")?;
        }
        write!(f, ": never look at it through an optical finder or a long lens")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glam::{Quat, Vec3};

    /// New York, 2025-06-21 17:30 (pvlib 0.16.1: azimuth 275.196°, apparent elevation 31.348°), the plan's −z to the north.
    fn daylight() -> Daylight {
        let place = crate::plan::Place {
            latitude_deg: 40.7128,
            longitude_deg: -74.0060,
            bearing_of_minus_z: 0.0,
            altitude_m: 0.0,
        };
        let instant = "2025-06-21T17:30[America/New_York]".parse().expect("a valid instant");
        crate::daylight::daylight_at(&place, crate::plan::Sky::Clear, &instant)
    }

    fn camera(heading_deg: f32, pitch_deg: f32, focal_mm: f64) -> Camera {
        Camera {
            eye: Vec3::ZERO,
            turned: Quat::from_rotation_y(-heading_deg.to_radians()) * Quat::from_rotation_x(pitch_deg.to_radians()),
            sensor_m: [0.036, 0.024],
            focal_m: focal_mm / 1000.0,
            f_number: 8.0,
            focus_m: 5.0,
            shutter_s: 0.004,
            iso: 100.0,
        }
    }

    /// Worked with pvlib and a pinhole: heading 270°, 24 mm; pitched up by 20° the sun falls on pixel (1061.3, 380.7) of
    /// 1920 × 1280, level it falls 142.9 pixels above the picture.
    #[test]
    fn the_sun_over_new_york_is_in_the_tilted_frame_only() {
        assert_eq!(sun_ahead(&camera(270.0, 20.0, 24.0), &daylight()), Some(SunAhead { outside_deg: 0.0 }));
        assert_eq!(sun_ahead(&camera(270.0, 0.0, 24.0), &daylight()), None);
        assert_eq!(sun_ahead(&camera(90.0, -20.0, 24.0), &daylight()), None, "behind the camera");
    }

    #[test]
    fn a_long_lens_is_warned_a_little_earlier() {
        // 85 mm sees 8.04° up from its axis; pitched up by 20° the sun is about 11.5° above the axis.
        let warned = sun_ahead(&camera(270.0, 20.0, 85.0), &daylight()).expect("within five degrees");
        assert!((2.0..4.5).contains(&warned.outside_deg), "{warned:?}");
        assert!(warned.to_string().contains("never look at it"), "{warned}");
        assert_eq!(sun_ahead(&camera(270.0, 10.0, 85.0), &daylight()), None);
    }
}
