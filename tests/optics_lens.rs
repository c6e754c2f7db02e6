//! Lens formulas against published tables.

use proptest::prelude::*;
use standpoint::optics::*;
use standpoint::plan::Lens;

const MM: f64 = 1e-3;

fn near(got: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((got - expected).abs() <= tolerance, "{what}: {got} instead of {expected} ± {tolerance}");
}

/// 36 × 24 mm: table posted by T. Bryant, 1999 (24, 35, 50, 135, 200 mm), and a maker's specification of a 70–200 mm
/// f/2.8, which gives 34°20' and 12°20' to the nearest 10'.
#[test]
fn published_angles_of_view() {
    let degrees = |size_mm: f64, focal_mm: f64| angle_of_view(size_mm * MM, focal_mm * MM).to_degrees();
    let diagonal_mm = FULL_FRAME_DIAGONAL_M / MM;
    near(degrees(36.0, 24.0), 73.740, 0.001, "24 mm across");
    near(degrees(24.0, 24.0), 53.130, 0.001, "24 mm up");
    for (focal_mm, expected) in [(24.0, 84.062), (35.0, 63.440), (50.0, 46.793), (135.0, 18.208), (200.0, 12.347)] {
        near(degrees(diagonal_mm, focal_mm), expected, 0.001, &format!("{focal_mm} mm diagonal"));
    }
    near(degrees(diagonal_mm, 70.0), 34.0 + 20.0 / 60.0, 0.02, "70 mm diagonal, maker");
    near(degrees(diagonal_mm, 200.0), 12.0 + 20.0 / 60.0, 0.02, "200 mm diagonal, maker");
}

/// Four sensor sizes by the textbook identity, computed independently; horizontal, vertical, diagonal in degrees.
#[test]
fn angles_of_view_of_four_formats() {
    let sensors = [[36.0, 24.0], [23.5, 15.6], [22.3, 14.9], [17.3, 13.0]];
    let rows = [
        (
            16.0,
            [[96.733, 73.740, 107.027], [72.585, 51.978, 82.789], [69.743, 49.936, 79.934], [56.794, 44.219, 68.137]],
        ),
        (
            35.0,
            [[54.432, 37.849, 63.440], [37.115, 25.127, 43.894], [35.341, 24.033, 41.928], [27.764, 21.042, 34.357]],
        ),
        (85.0, [[23.913, 16.071, 28.558], [15.741, 10.486, 18.841], [14.946, 10.018, 17.931], [11.621, 8.746, 14.509]]),
        (200.0, [[10.286, 6.867, 12.347], [6.725, 4.467, 8.067], [6.382, 4.267, 7.672], [4.953, 3.723, 6.193]]),
    ];
    for (focal_mm, angles) in rows {
        for (sensor, [across, up, diagonal_deg]) in sensors.iter().zip(angles) {
            let sensor_m = sensor.map(|side| side * MM);
            let degrees = |size_m: f64| angle_of_view(size_m, focal_mm * MM).to_degrees();
            near(degrees(sensor_m[0]), across, 0.001, "across");
            near(degrees(sensor_m[1]), up, 0.001, "up");
            near(degrees(diagonal(sensor_m)), diagonal_deg, 0.001, "diagonal");
            near(focal_for_angle(sensor_m[0], angle_of_view(sensor_m[0], focal_mm * MM)), focal_mm * MM, 1e-12, "back");
        }
    }
    for (sensor, factor) in sensors.iter().zip([1.000, 1.534, 1.613, 1.999]) {
        near(crop_factor(sensor.map(|side| side * MM)), factor, 0.0006, "crop factor");
    }
}

/// A person of 1.75 m exactly fills the height of a 36 × 24 mm frame (pinhole), and what a frame covers at 5 m.
#[test]
fn a_person_fills_the_frame() {
    for (focal_mm, distance_m) in
        [(24.0, 1.750), (35.0, 2.552), (50.0, 3.646), (70.0, 5.104), (85.0, 6.198), (135.0, 9.844), (200.0, 14.583)]
    {
        near(covered_at(distance_m, 24.0 * MM, focal_mm * MM), 1.75, 0.001 * 1.75, &format!("{focal_mm} mm"));
    }
    near(covered_at(5.0, 36.0 * MM, 50.0 * MM), 3.600, 1e-9, "50 mm across");
    near(covered_at(5.0, 24.0 * MM, 200.0 * MM), 0.600, 1e-9, "200 mm up");
}

/// Wikipedia, "Hyperfocal distance": 50 mm, f/8, 0.03 mm gives 10 467 mm, and 5 233 mm near limit focused there.
#[test]
fn published_hyperfocal_example() {
    let hyperfocal_m = hyperfocal(0.050, 8.0, 30e-6);
    near(hyperfocal_m, 10.467, 0.000_5, "hyperfocal");
    let field = depth_of_field(0.050, 8.0, 30e-6, hyperfocal_m);
    near(field.near_m, 5.233, 0.000_6, "near");
    assert!(field.far_m.is_infinite());
    // Focused at half of it the exact forms give 3494.5 to 10 416.7 mm (the page's short forms: 3489 to 10 467).
    let field = depth_of_field(0.050, 8.0, 30e-6, hyperfocal_m / 2.0);
    near(field.near_m, 3.494_5, 0.000_1, "near at half");
    near(field.far_m, 10.416_7, 0.000_1, "far at half");
}

/// Exact thin-lens limits (Greenleaf 1950), computed independently, within 0.1 %; and the blur at either limit is the
/// circle of confusion.
#[test]
fn depth_of_field_rows() {
    let rows = [
        (50.0, 2.8, 0.03, 3000.0, 2729.5, 3330.1),
        (35.0, 2.8, 0.03, 4000.0, 3144.9, 5493.6),
        (85.0, 1.8, 0.03, 3000.0, 2936.0, 3066.8),
        (85.0, 2.8, 0.03, 5000.0, 4729.7, 5303.0),
        (200.0, 2.8, 0.03, 10000.0, 9798.3, 10210.1),
        (200.0, 4.0, 0.03, 20000.0, 18878.6, 21263.0),
        (24.0, 5.6, 0.03, 3000.0, 1606.0, 22727.3),
        (35.0, 4.0, 0.02, 4000.0, 3177.3, 5397.7),
    ];
    for (focal, f_number, confusion, focus, near_mm, far_mm) in rows {
        let (focal_m, confusion_m, focus_m) = (focal * MM, confusion * MM, focus * MM);
        let field = depth_of_field(focal_m, f_number, confusion_m, focus_m);
        near(field.near_m, near_mm * MM, near_mm * MM * 1e-3, "near");
        near(field.far_m, far_mm * MM, far_mm * MM * 1e-3, "far");
        for limit_m in [field.near_m, field.far_m] {
            near(blur_disc(focal_m, f_number, focus_m, limit_m), confusion_m, confusion_m * 1e-6, "blur at limit");
        }
    }
}

/// Blur of a point out of focus: formula values, and diameters measured in pictures of a bright disc by another
/// renderer (Mitsuba 3.9.1, `thinlens`), which the formula meets within 0.2 %.
#[test]
fn blur_disc_rows() {
    let rows = [
        (50.0, 1.4, 2.0, 4.0, 0.457_88, 0.4583),
        (50.0, 2.8, 3.0, 6.0, 0.151_33, 0.1515),
        (85.0, 1.8, 3.0, 2.5, 0.275_40, 0.2757),
        (85.0, 2.8, 5.0, 15.0, 0.350_00, 0.3501),
        (200.0, 2.8, 10.0, 30.0, 0.971_82, 0.9724),
        (24.0, 5.6, 3.0, 1.0, 0.069_12, 0.0692),
    ];
    for (focal_mm, f_number, focus_m, object_m, expected_mm, measured_mm) in rows {
        let blur_mm = blur_disc(focal_mm * MM, f_number, focus_m, object_m) / MM;
        near(blur_mm, expected_mm, 1e-5, "blur");
        near(blur_mm, measured_mm, measured_mm * 0.002, "measured blur");
    }
    near(blur_disc(0.135, 2.0, 6.0, f64::INFINITY) / MM, 1.553_71, 1e-5, "blur at infinity");
}

#[test]
fn edges_of_the_lens() {
    assert_eq!(blur_disc(0.05, 2.0, f64::INFINITY, f64::INFINITY), 0.0);
    assert_eq!(blur_disc(0.05, 2.0, 0.05, 3.0), f64::INFINITY);
    let at_infinity = depth_of_field(0.05, 8.0, 30e-6, f64::INFINITY);
    near(at_infinity.near_m, 10.4167, 1e-4, "near, focused at infinity");
    assert!(at_infinity.far_m.is_infinite());
    assert_eq!(depth_of_field(0.05, 8.0, 30e-6, 0.01), DepthOfField { near_m: 0.01, far_m: 0.01 });
    assert_eq!(focal_for_angle(0.036, 4.0), 0.0);
    assert!(focal_for_angle(0.036, 0.0).is_infinite());
}

#[test]
fn variable_aperture_is_exact_at_both_ends() {
    let lens =
        Lens { id: "tele".into(), focal_m: [0.1, 0.4], widest_f: [4.5, 5.6], narrowest_f: 32.0, nearest_focus_m: 1.0 };
    near(widest_f_at(&lens, 0.1), 4.5, 1e-12, "short end");
    near(widest_f_at(&lens, 0.4), 5.6, 1e-12, "long end");
    near(widest_f_at(&lens, 0.2), (4.5f64 * 5.6).sqrt(), 1e-12, "half way in stops");
    near(widest_f_at(&lens, 0.01), 4.5, 1e-12, "beyond");
}

proptest! {
    /// Nearer than the focus is nearer, farther is farther, and stopping down never takes sharpness away.
    #[test]
    fn depth_of_field_is_ordered(focal_mm in 14.0..400.0, stop in 0usize..30, focus_m in 0.6..80.0f64) {
        let f_number = F_NUMBERS[stop];
        let field = depth_of_field(focal_mm * MM, f_number, 30e-6, focus_m);
        prop_assert!(field.near_m <= focus_m && focus_m <= field.far_m);
        let closed = depth_of_field(focal_mm * MM, f_number * 1.4, 30e-6, focus_m);
        prop_assert!(closed.near_m <= field.near_m && closed.far_m >= field.far_m);
        prop_assert!(blur_disc(focal_mm * MM, f_number, focus_m, focus_m * 3.0) >= 0.0);
    }
}
