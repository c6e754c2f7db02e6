//! Exposure against published tables.

use standpoint::optics::*;
use standpoint::plan::{Body, Exposure};

fn near(got: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((got - expected).abs() <= tolerance, "{what}: {got} instead of {expected} ± {tolerance}");
}

fn body() -> Body {
    Body { id: "body".into(), sensor_m: [0.036, 0.024], iso: [100.0, 6400.0], fastest_shutter_s: 1.0 / 8000.0 }
}

fn metered(f_number: f64, shutter_s: f64) -> Exposure {
    Exposure { f_number, shutter_s, iso: None, compensation_ev: 0.0 }
}

/// Worked examples of ISO 2720:1974's equations in an open colour library: f/8, 1 s, ISO 100 is 8.0 cd/m² (K = 12.5)
/// and 160 lx (C = 250); EV 0 at ISO 100 is 0.125 cd/m² or 2.5 lx. The standard allows K 10.6 to 13.4 and C 240 to
/// 400.
#[test]
fn meter_equations() {
    assert!((10.6..=13.4).contains(&REFLECTED_K) && (240.0..=400.0).contains(&INCIDENT_C));
    let ev = ev100(8.0, 1.0, 100.0);
    near(luminance_at_ev100(ev), 8.0, 1e-9, "luminance");
    near(illuminance_at_ev100(ev), 160.0, 1e-9, "illuminance");
    near(luminance_at_ev100(0.0), 0.125, 1e-12, "EV 0");
    near(illuminance_at_ev100(0.0), 2.5, 1e-12, "EV 0");
    near(luminance_at_ev100(15.0), 4096.0, 1e-9, "EV 15");
    near(illuminance_at_ev100(12.0), 10_240.0, 1e-9, "EV 12");
    near(ev100_of_illuminance(81_920.0), 15.0, 1e-12, "back");
}

/// Wikipedia, "Exposure value": 1/125 s at f/16 is EV 15 (14.966 by arithmetic); f/1 for 1 s is 0 by definition; more
/// rows by arithmetic, computed independently.
#[test]
fn exposure_values_of_settings() {
    near(ev(16.0, 1.0 / 125.0), 15.0, 0.05, "f/16 1/125");
    near(ev(1.0, 1.0), 0.0, 0.0, "f/1 1 s");
    for (f_number, denominator, iso, expected) in [
        (2.8, 60.0, 1600.0, 4.878),
        (2.8, 125.0, 3200.0, 4.937),
        (4.0, 250.0, 400.0, 9.966),
        (8.0, 250.0, 100.0, 13.966),
        (1.4, 60.0, 6400.0, 0.878),
        (2.0, 50.0, 800.0, 4.644),
        (16.0, 100.0, 100.0, 14.644),
    ] {
        near(ev100(f_number, 1.0 / denominator, iso), expected, 0.001, "EV100");
    }
}

/// Marked thirds differ from exact ones by at most 0.14 EV (computed from the marks as used on cameras).
#[test]
fn marked_thirds_are_thirds() {
    for (i, mark) in F_NUMBERS.iter().enumerate() {
        near(2.0 * (mark / 2f64.powf(i as f64 / 6.0)).log2(), 0.0, 0.15, &format!("f/{mark}"));
    }
    for (marks, name) in [(ISO_SPEEDS, "ISO"), (SHUTTER_DENOMINATORS, "shutter")] {
        for pair in marks.windows(2) {
            near((pair[1] / pair[0]).log2(), 1.0 / 3.0, 0.13, &format!("{name} {pair:?}"));
        }
    }
    assert_eq!(nearest_marked(ISO_SPEEDS, 1111.0), 1000.0);
    assert_eq!(nearest_marked(F_NUMBERS, 2.7), 2.8);
    near(1.0 / nearest_marked_shutter(1.0 / 240.0), 250.0, 1e-9, "1/240");
}

/// A church at EV 5 (photographers' chart after F. Parker) and full sun at EV 15 (ANSI PH2.7) give the settings one
/// expects: f/2.8 1/125 needs ISO 3200 in the church (EV 4.937), and the sun pushes ISO to its lowest, then the
/// shutter to about 1/4000.
#[test]
fn metered_settings_in_church_and_sun() {
    let church = resolve(&metered(2.8, 1.0 / 125.0), &body(), illuminance_at_ev100(5.0));
    assert_eq!((church.iso, church.shutter_s), (3200.0, 1.0 / 125.0));
    near(church.off_by_stops, 0.0, 1.0 / 6.0, "church");
    let sun = resolve(&metered(2.8, 1.0 / 500.0), &body(), illuminance_at_ev100(15.0));
    assert_eq!((sun.iso, sun.shutter_s), (100.0, 1.0 / 4000.0));
    near(sun.off_by_stops, 0.0, 0.2, "sun");
}

#[test]
fn limits_are_told_in_stops() {
    // Candle light, EV 4 less three stops: f/4 1/250 at ISO 6400 meters EV 5.966, so the face at EV 1 is 4.966 stops
    // short.
    let dark = resolve(&metered(4.0, 1.0 / 250.0), &body(), illuminance_at_ev100(1.0));
    assert_eq!((dark.iso, dark.shutter_s), (6400.0, 1.0 / 250.0));
    near(dark.off_by_stops, -4.966, 0.001, "dark");
    // f/1.4 in full sun: 1/8000 at ISO 100 is EV 13.94, one stop too bright at EV 15.
    let bright = resolve(&metered(1.4, 1.0 / 1000.0), &body(), illuminance_at_ev100(15.0));
    assert_eq!((bright.iso, bright.shutter_s), (100.0, 1.0 / 8000.0));
    near(bright.off_by_stops, 15.0 - ev(1.4, 1.0 / 8000.0), 1e-9, "bright");
    // Compensation asks for brighter or darker and counts as wanted.
    let plus =
        resolve(&Exposure { compensation_ev: 1.0, ..metered(2.8, 1.0 / 125.0) }, &body(), illuminance_at_ev100(6.0));
    assert_eq!(plus.iso, 3200.0);
    near(plus.off_by_stops, 0.0, 1.0 / 6.0, "plus one");
    // Set by hand stays, and tells how far off it is.
    let set = resolve(&Exposure { iso: Some(800.0), ..metered(2.0, 1.0 / 50.0) }, &body(), illuminance_at_ev100(5.644));
    assert_eq!(set.iso, 800.0);
    near(set.off_by_stops, 1.0, 0.001, "set by hand");
}

#[test]
fn any_light_gives_settings_within_the_body() {
    for lux in [-1.0, 0.0, 1e-9, 1.0, 1e3, 1e5, 1e9, f64::NAN, f64::INFINITY] {
        for f_number in [1.0, 2.8, 22.0] {
            for shutter_s in [30.0, 1.0 / 60.0, 1.0 / 8000.0] {
                let got = resolve(&metered(f_number, shutter_s), &body(), lux);
                assert!((100.0..=6400.0).contains(&got.iso), "{lux} lx: {got:?}");
                assert!(got.shutter_s <= shutter_s && got.shutter_s >= 1.0 / 8000.0 - 1e-12, "{lux} lx: {got:?}");
                assert!(got.off_by_stops.is_finite(), "{lux} lx: {got:?}");
            }
        }
    }
}

/// v·t·f/(d−f) computed independently, within 0.5 %; and the rule of thumb for steady hands as published: 200 mm on
/// full frame 1/200, 50 mm on a crop of 1.6 1/80.
#[test]
fn motion_blur_and_steady_hands() {
    for (speed, distance_m, focal_mm, denominator, blur_mm) in [
        (1.4, 5.0, 50.0, 60.0, 0.2357),
        (1.4, 5.0, 50.0, 250.0, 0.0566),
        (1.4, 10.0, 200.0, 125.0, 0.2286),
        (0.5, 4.0, 35.0, 30.0, 0.1471),
    ] {
        let got_mm = 1000.0 * motion_blur(speed, 1.0 / denominator, focal_mm / 1000.0, distance_m);
        near(got_mm, blur_mm, blur_mm * 0.005, "motion blur");
    }
    assert!(motion_blur(1.0, 0.1, 0.05, 0.05).is_infinite());
    near(1.0 / steady_hand_shutter(0.200, [0.036, 0.024]), 200.0, 0.01, "200 mm");
    near(1.0 / steady_hand_shutter(0.050, [0.0223, 0.0149]), 80.0, 1.0, "50 mm on a smaller sensor");
}
