//! Aperture, shutter, ISO and the light they need.

use crate::plan::{Body, Exposure};

/// Reflected-light calibration K, cd/m²: 12.5, within ISO 2720:1974's 10.6 to 13.4.
pub const REFLECTED_K: f64 = 12.5;
/// Incident-light calibration C, lux: 250 for a flat receptor, within ISO 2720:1974's 240 to 400.
pub const INCIDENT_C: f64 = 250.0;

/// Marked third-stop apertures.
pub const F_NUMBERS: &[f64] = &[
    1.0, 1.1, 1.2, 1.4, 1.6, 1.8, 2.0, 2.2, 2.5, 2.8, 3.2, 3.5, 4.0, 4.5, 5.0, 5.6, 6.3, 7.1, 8.0, 9.0, 10.0, 11.0,
    13.0, 14.0, 16.0, 18.0, 20.0, 22.0, 25.0, 29.0, 32.0,
];

/// Marked third-stop ISO speeds.
pub const ISO_SPEEDS: &[f64] = &[
    50.0, 64.0, 80.0, 100.0, 125.0, 160.0, 200.0, 250.0, 320.0, 400.0, 500.0, 640.0, 800.0, 1000.0, 1250.0, 1600.0,
    2000.0, 2500.0, 3200.0, 4000.0, 5000.0, 6400.0, 8000.0, 10_000.0, 12_800.0, 16_000.0, 20_000.0, 25_600.0, 32_000.0,
    40_000.0, 51_200.0, 64_000.0, 80_000.0, 102_400.0,
];

/// Marked third-stop shutter times as one over the number; 1 s and longer are whole stops' business and not listed.
pub const SHUTTER_DENOMINATORS: &[f64] = &[
    1.0, 1.3, 1.6, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 13.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 80.0,
    100.0, 125.0, 160.0, 200.0, 250.0, 320.0, 400.0, 500.0, 640.0, 800.0, 1000.0, 1250.0, 1600.0, 2000.0, 2500.0,
    3200.0, 4000.0, 5000.0, 6400.0, 8000.0, 10_000.0, 12_800.0, 16_000.0, 20_000.0, 25_600.0, 32_000.0,
];

/// Exposure value of settings: log₂(N²/t).
pub fn ev(f_number: f64, shutter_s: f64) -> f64 {
    (f_number * f_number / shutter_s).log2()
}

/// The same light at ISO 100: EV − log₂(ISO/100).
pub fn ev100(f_number: f64, shutter_s: f64, iso: f64) -> f64 {
    ev(f_number, shutter_s) - (iso / 100.0).log2()
}

/// Luminance that a reflected-light meter turns into this EV100: N²/t = L·S/K (ISO 2720). cd/m².
pub fn luminance_at_ev100(ev100: f64) -> f64 {
    ev100.exp2() * REFLECTED_K / 100.0
}

/// Illuminance that an incident-light meter turns into this EV100: N²/t = E·S/C (ISO 2720). Lux.
pub fn illuminance_at_ev100(ev100: f64) -> f64 {
    ev100.exp2() * INCIDENT_C / 100.0
}

/// EV100 that an incident-light meter gives; −∞ in the dark.
pub fn ev100_of_illuminance(lux: f64) -> f64 {
    (lux * 100.0 / INCIDENT_C).log2()
}

/// The settings a camera ends up with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resolved {
    pub f_number: f64,
    pub shutter_s: f64,
    pub iso: f64,
    /// Stops by which the face comes out brighter (+) or darker (−) than asked for. Within a sixth where the camera
    /// meters and nothing is at its limit.
    pub off_by_stops: f64,
}

impl Resolved {
    pub fn ev100(&self) -> f64 {
        ev100(self.f_number, self.shutter_s, self.iso)
    }
}

/// Settings of an exposure on a body, with `face_lux` falling on the subject's face.
///
/// ISO as set stays, whatever the light. A metered exposure keeps aperture and shutter and moves ISO to the nearest
/// marked third; where the lowest ISO is still too bright it shortens the shutter, down to the body's fastest. The
/// shutter is never lengthened: that is for whoever planned it to decide. In the dark the highest ISO is used and the
/// light taken as a thousandth of a lux, so that the shortfall stays a number.
pub fn resolve(exposure: &Exposure, body: &Body, face_lux: f64) -> Resolved {
    let Exposure { f_number, mut shutter_s, iso: set_iso, compensation_ev } = *exposure;
    let face_lux = if face_lux.is_finite() { face_lux.max(1e-3) } else { 1e-3 };
    let brightness = compensation_ev.exp2();
    let iso = match set_iso {
        Some(iso) => iso,
        None => {
            let [lowest, highest] = body.iso;
            let needed = brightness * INCIDENT_C * f_number * f_number / (shutter_s * face_lux);
            let iso = nearest_marked(ISO_SPEEDS, needed).clamp(lowest, highest);
            if needed < lowest {
                let needed_s = brightness * INCIDENT_C * f_number * f_number / (lowest * face_lux);
                shutter_s = nearest_marked_shutter(needed_s).clamp(body.fastest_shutter_s.min(shutter_s), shutter_s);
            }
            iso
        }
    };
    let off_by_stops = (face_lux * iso * shutter_s / (INCIDENT_C * f_number * f_number)).log2() - compensation_ev;
    Resolved { f_number, shutter_s, iso, off_by_stops }
}

/// Marked shutter time nearest in stops.
pub fn nearest_marked_shutter(shutter_s: f64) -> f64 {
    1.0 / nearest_marked(SHUTTER_DENOMINATORS, 1.0 / shutter_s)
}

/// Entry of `marks` nearest in stops; `value` itself where the table is empty or the value is not positive.
pub fn nearest_marked(marks: &[f64], value: f64) -> f64 {
    let stops = |mark: f64| (mark / value).log2().abs();
    marks.iter().copied().min_by(|&a, &b| stops(a).total_cmp(&stops(b))).filter(|_| value > 0.0).unwrap_or(value)
}

/// Length on the sensor that a subject smears in one exposure: v·sinθ·t·f/(d−f), with speed `across_m_per_s` already
/// taken across the line of sight. Infinite at or inside the focal length.
pub fn motion_blur(across_m_per_s: f64, shutter_s: f64, focal_m: f64, distance_m: f64) -> f64 {
    if distance_m <= focal_m {
        return f64::INFINITY;
    }
    across_m_per_s.abs() * shutter_s * focal_m / (distance_m - focal_m)
}

/// Longest shutter time for steady hands without stabilisation: 1/(focal length on full frame in mm). A rule of thumb
/// of the trade; the subject's own motion is another matter.
pub fn steady_hand_shutter(focal_m: f64, sensor_m: [f64; 2]) -> f64 {
    1.0 / (1000.0 * super::focal_on_full_frame(focal_m, sensor_m))
}
