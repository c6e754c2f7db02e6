//! The sun's place, from a zoned date-time and a place to a direction in the plan.

use glam::Vec3;
use standpoint::daylight::{Daylight, daylight_at};
use standpoint::plan::{Place, Sky};

fn sun(latitude_deg: f64, longitude_deg: f64, altitude_m: f64, bearing_deg: f64, instant: &str) -> Daylight {
    let place = Place { latitude_deg, longitude_deg, bearing_of_minus_z: bearing_deg.to_radians(), altitude_m };
    daylight_at(&place, Sky::Clear, &instant.parse().expect("a zoned date-time"))
}

/// Angle between two directions given as elevation and azimuth, degrees.
fn apart_deg(a: (f64, f64), b: (f64, f64)) -> f64 {
    let unit = |(elevation, azimuth): (f64, f64)| {
        let (el, az) = (elevation.to_radians(), azimuth.to_radians());
        [az.sin() * el.cos(), el.sin(), -az.cos() * el.cos()]
    };
    let (a, b) = (unit(a), unit(b));
    let chord: f64 = (0..3).map(|i| (a[i] - b[i]).powi(2)).sum::<f64>().sqrt();
    2.0 * (chord / 2.0).asin().to_degrees()
}

/// Reda & Andreas, NREL/TP-560-34302 (2003), table A5.1 and the program that comes with it: zenith 50.111622°,
/// azimuth 194.340241° for 820 mbar and 11 °C. Our air (standard atmosphere at that altitude) refracts 0.0004° less.
#[test]
fn nrel_worked_example_by_way_of_date_and_zone() {
    // America/Denver is at −07:00 in winter only; the example's clock says −07:00 in October, Phoenix's does so all
    // year.
    let sun = sun(39.742_476, -105.178_6, 1830.14, 0.0, "2003-10-17T12:30:30[America/Phoenix]");
    let zenith = 90.0 - sun.elevation.to_degrees();
    assert!((zenith - 50.111_622).abs() < 0.001, "zenith {zenith}");
    assert!((sun.azimuth.to_degrees() - 194.340_241).abs() < 0.000_5, "azimuth {}", sun.azimuth.to_degrees());
    let (zenith, azimuth) = (50.111_622f64.to_radians(), 194.340_241f64.to_radians());
    let expected =
        Vec3::new((azimuth.sin() * zenith.sin()) as f32, zenith.cos() as f32, (-azimuth.cos() * zenith.sin()) as f32);
    assert!(sun.to_sun.distance(expected) < 3e-5, "{} instead of {expected}", sun.to_sun);
}

/// Apparent elevation and azimuth by an independent implementation (pvlib 0.16.1 `get_solarposition`, 1013.25 hPa, 12
/// °C), each confirmed by astropy 8.0.2 to 0.001° before refraction.
#[test]
fn rows_from_other_programs() {
    let rows = [
        ("Greenwich", 51.4779, -0.0015, "2025-06-21T12:00[Europe/London]", 59.543, 151.152),
        ("New York", 40.7128, -74.0060, "2025-06-21T17:30[America/New_York]", 31.348, 275.196),
        ("Phoenix", 33.4484, -112.0740, "2025-07-05T18:00[America/Phoenix]", 18.902, 285.228),
        ("London, clocks just changed", 51.5074, -0.1278, "2025-03-30T12:00[Europe/London]", 40.577, 158.481),
        ("Sydney", -33.8688, 151.2093, "2025-12-20T16:00[Australia/Sydney]", 47.992, 271.688),
        ("Adelaide", -34.9285, 138.6007, "2025-11-08T17:00[Australia/Adelaide]", 33.725, 272.611),
        ("Cape Town", -33.9249, 18.4241, "2025-03-15T17:00[Africa/Johannesburg]", 24.707, 285.398),
        ("Quito", -0.1807, -78.4678, "2025-03-20T12:00[America/Guayaquil]", 84.700, 86.632),
        ("Honolulu", 21.3069, -157.8583, "2025-07-15T12:37[Pacific/Honolulu]", 89.870, 64.713),
        ("Reykjavik", 64.1466, -21.9426, "2025-06-21T23:00[Atlantic/Reykjavik]", 2.565, 326.073),
        ("Tromso by night", 69.6492, 18.9553, "2025-06-22T00:30[Europe/Oslo]", 3.349, 356.295),
        ("Tromso in winter", 69.6492, 18.9553, "2025-12-21T12:00[Europe/Oslo]", -3.144, 184.056),
        ("Paris, sun down", 48.8566, 2.3522, "2025-09-06T21:15[Europe/Paris]", -9.213, 290.474),
        ("Kathmandu", 27.7172, 85.3240, "2025-11-22T15:00[Asia/Kathmandu]", 23.621, 229.055),
    ];
    for (name, latitude, longitude, instant, elevation, azimuth) in rows {
        let sun = sun(latitude, longitude, 0.0, 0.0, instant);
        let got = (sun.elevation.to_degrees(), sun.azimuth.to_degrees());
        let off = apart_deg(got, (elevation, azimuth));
        assert!(off < 0.02, "{name}: {got:?} instead of ({elevation}, {azimuth}), {off}° apart");
    }
}

/// The summer-time mistake, which would put the sun 11° too low: the same source with the offset forgotten gives
/// 20.170°, 284.091°.
#[test]
fn summer_time_is_not_forgotten() {
    let right = sun(40.7128, -74.0060, 0.0, 0.0, "2025-06-21T17:30[America/New_York]");
    let wrong = sun(40.7128, -74.0060, 0.0, 0.0, "2025-06-21T17:30-05:00[-05:00]");
    let got = (wrong.elevation.to_degrees(), wrong.azimuth.to_degrees());
    assert!(apart_deg(got, (20.170, 284.091)) < 0.02, "{got:?}");
    assert!((right.elevation - wrong.elevation).to_degrees() > 11.0);
}

/// A plan turned by some bearing sees the same sun from another side: by construction, with −z to the west (270°) the
/// New York sun (5.196° north of west, 31.348° up) stands ahead and to the right; direction from the same table.
#[test]
fn the_plan_turns_under_the_sun() {
    let north = sun(40.7128, -74.0060, 0.0, 0.0, "2025-06-21T17:30[America/New_York]");
    let expected = Vec3::new(-0.850_51, 0.520_23, -0.077_34);
    assert!(north.to_sun.distance(expected) < 3e-4, "{} instead of {expected}", north.to_sun);
    let west = sun(40.7128, -74.0060, 0.0, 270.0, "2025-06-21T17:30[America/New_York]");
    let expected = Vec3::new(0.077_34, 0.520_23, -0.850_51);
    assert!(west.to_sun.distance(expected) < 3e-4, "{} instead of {expected}", west.to_sun);
    assert!((west.to_sun.length() - 1.0).abs() < 1e-6);
}

/// Nothing a plan can hold makes it fail: poles, dateline, far years.
#[test]
fn edges_give_finite_light() {
    for (latitude, longitude) in [(90.0, 0.0), (-90.0, 180.0), (0.0, -180.0), (70.0, 180.0)] {
        for instant in
            ["1999-12-31T23:59:59[UTC]", "2027-06-12T00:00[UTC]", "2100-02-28T12:00[UTC]", "9999-01-01T00:00[UTC]"]
        {
            let light = sun(latitude, longitude, 0.0, 33.0, instant);
            assert!(light.to_sun.is_finite() && (light.to_sun.length() - 1.0).abs() < 1e-5, "{latitude} {instant}");
            assert!(light.sun_lux >= 0.0 && light.sky.horizontal_lux() > 0.0);
            assert!(light.sun_colour.iter().all(|channel| channel.is_finite() && *channel >= 0.0));
        }
    }
}
