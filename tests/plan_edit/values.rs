//! Values as plan files write them.

use glam::Vec2;
use proptest::prelude::*;
use standpoint::plan::edit::{degrees_value, length_value, number_value, spot_value, text_value, time_value};
use standpoint::plan::{LengthUnit, seconds_of};

#[test]
fn numbers_are_as_short_as_they_go() {
    for (number, decimals, value) in [
        (1.5, 2, "1.5"),
        (-0.25, 2, "-0.25"),
        (-0.001, 2, "0"),
        (100.0, 0, "100"),
        (100.0, 3, "100"),
        (1e-9, 3, "0"),
        (123_456_789_012.0, 1, "123456789012"),
        (0.1 + 0.2, 6, "0.3"),
        (f64::NAN, 2, "0"),
        (f64::INFINITY, 2, "0"),
    ] {
        assert_eq!(number_value(number, decimals), value);
    }
    assert_eq!(spot_value(Vec2::new(1.25, -3.4), LengthUnit::Metres), "(1.25, -3.4)");
    // 3.048 m are 10 ft exactly.
    assert_eq!(spot_value(Vec2::new(3.048, -0.3048), LengthUnit::Feet), "(10, -1)");
    assert_eq!(length_value(0.381, LengthUnit::Feet), "1.25");
    assert_eq!(degrees_value(-std::f64::consts::FRAC_PI_8), "-22.5");
}

#[test]
fn long_times_are_text() {
    for (time_s, value) in [
        (0.0, "0"),
        (-3.0, "0"),
        (f64::NAN, "0"),
        (12.345, "12.35"),
        (99.99, "99.99"),
        (99.999, "\"1m40s\""),
        (100.0, "\"1m40s\""),
        (120.0, "\"2m\""),
        (150.26, "\"2m30.3s\""),
        (3600.0, "\"1h\""),
        (3_905.0, "\"1h5m5s\""),
    ] {
        assert_eq!(time_value(time_s), value, "{time_s} s");
    }
}

proptest! {
    #[test]
    fn any_text_reads_back(text in any::<String>()) {
        prop_assert_eq!(ron::from_str::<String>(&text_value(&text)).expect("it reads"), text);
    }

    #[test]
    fn any_number_reads_back(number in -1e9..1e9, decimals in 0_usize..6) {
        let read: f64 = number_value(number, decimals).parse().expect("it is a number");
        prop_assert!((read - number).abs() <= 0.5 * 10_f64.powi(-(decimals as i32)) + 1e-6, "{number} is {read}");
    }

    #[test]
    fn any_time_reads_back(time_s in 0.0..20_000.0) {
        let value = time_value(time_s);
        let read = value.parse().ok().or_else(|| seconds_of(value.trim_matches('"'))).expect("it is a time");
        let step: f64 = if time_s < 99.995 { 0.01 } else { 0.1 };
        prop_assert!((read - time_s).abs() <= 0.5 * step + 1e-6, "{time_s} s is {value}");
    }
}
