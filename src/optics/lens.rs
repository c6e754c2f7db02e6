//! What a lens does: angle of view, depth of field, blur.
//!
//! Thin lens, no distortion. Lengths in metres, angles in radians.

use crate::plan::Lens;

/// Diagonal of the 36 × 24 mm frame.
pub const FULL_FRAME_DIAGONAL_M: f64 = 0.043_266_615_305_567_87;

/// Blur that still passes for sharp on 36 × 24 mm: 0.030 mm, the usual convention; it goes back to 0.2 mm on
/// a print at reading distance (Ray, *Applied Photographic Optics*).
pub const FULL_FRAME_CIRCLE_OF_CONFUSION_M: f64 = 30e-6;

/// Angle of view across `size_m` of sensor, focused at infinity: 2·atan(size / 2f). π for a focal length of 0.
pub fn angle_of_view(size_m: f64, focal_m: f64) -> f64 {
    2.0 * size_m.atan2(2.0 * focal_m)
}

/// Focal length that sees `angle` across `size_m` of sensor. Infinite for an angle of 0, 0 for π or more.
pub fn focal_for_angle(size_m: f64, angle: f64) -> f64 {
    let half = (angle / 2.0).clamp(0.0, std::f64::consts::FRAC_PI_2);
    if half >= std::f64::consts::FRAC_PI_2 { 0.0 } else { size_m / (2.0 * half.tan()) }
}

/// Length covered at `distance_m` along the axis by `size_m` of sensor: distance · size / f (pinhole).
pub fn covered_at(distance_m: f64, size_m: f64, focal_m: f64) -> f64 {
    distance_m * size_m / focal_m
}

pub fn diagonal(sensor_m: [f64; 2]) -> f64 {
    sensor_m[0].hypot(sensor_m[1])
}

/// How many times smaller than 36 × 24 mm a sensor is, by diagonal.
pub fn crop_factor(sensor_m: [f64; 2]) -> f64 {
    FULL_FRAME_DIAGONAL_M / diagonal(sensor_m)
}

/// Focal length with the same diagonal angle of view on 36 × 24 mm.
pub fn focal_on_full_frame(focal_m: f64, sensor_m: [f64; 2]) -> f64 {
    focal_m * crop_factor(sensor_m)
}

/// 0.030 mm, divided by the crop factor.
pub fn circle_of_confusion(sensor_m: [f64; 2]) -> f64 {
    FULL_FRAME_CIRCLE_OF_CONFUSION_M / crop_factor(sensor_m)
}

/// Nearest focus at which infinity is still sharp: f²/(N·c) + f (Greenleaf, *Photographic Optics*, 1950, p. 25).
pub fn hyperfocal(focal_m: f64, f_number: f64, confusion_m: f64) -> f64 {
    focal_m * focal_m / (f_number * confusion_m) + focal_m
}

/// What is sharp, measured along the axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DepthOfField {
    pub near_m: f64,
    /// Infinite from the hyperfocal distance on.
    pub far_m: f64,
}

/// near = s(H−f)/(H+s−2f), far = s(H−f)/(H−s) (Greenleaf 1950, pp. 25–27). A focus distance at or inside the
/// focal length has no image; there near and far are both the focus distance.
pub fn depth_of_field(focal_m: f64, f_number: f64, confusion_m: f64, focus_m: f64) -> DepthOfField {
    if focus_m <= focal_m {
        return DepthOfField { near_m: focus_m, far_m: focus_m };
    }
    let hyperfocal = hyperfocal(focal_m, f_number, confusion_m);
    if focus_m.is_infinite() {
        return DepthOfField { near_m: hyperfocal - focal_m, far_m: f64::INFINITY };
    }
    let near_m = focus_m * (hyperfocal - focal_m) / (hyperfocal + focus_m - 2.0 * focal_m);
    let far_m =
        if focus_m >= hyperfocal { f64::INFINITY } else { focus_m * (hyperfocal - focal_m) / (hyperfocal - focus_m) };
    DepthOfField { near_m, far_m }
}

/// Diameter on the sensor of the blur of a point at `object_m` with the lens focused at `focus_m`:
/// (f²/N)·|s₂−s₁| / (s₂(s₁−f)), exact for a thin lens. `object_m` may be infinite.
/// Infinite if focus or object lie at or inside the focal length.
pub fn blur_disc(focal_m: f64, f_number: f64, focus_m: f64, object_m: f64) -> f64 {
    if focus_m <= focal_m || object_m <= 0.0 {
        return f64::INFINITY;
    }
    let aperture_m = focal_m / f_number;
    if focus_m.is_infinite() {
        return if object_m.is_infinite() { 0.0 } else { aperture_m * focal_m / object_m };
    }
    let apart = if object_m.is_infinite() { 1.0 } else { (object_m - focus_m).abs() / object_m };
    aperture_m * focal_m * apart / (focus_m - focal_m)
}

/// Widest aperture of a lens at a focal length. Between its ends the f-number rises in even steps with the logarithm
/// of focal length, as makers' tables do roughly; it is exact at both ends.
pub fn widest_f_at(lens: &Lens, focal_m: f64) -> f64 {
    let [short, long] = lens.focal_m;
    let [at_short, at_long] = lens.widest_f;
    if long <= short {
        return at_short;
    }
    let t = ((focal_m / short).ln() / (long / short).ln()).clamp(0.0, 1.0);
    at_short * (at_long / at_short).powf(t)
}
