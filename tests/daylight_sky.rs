//! How bright and what colour sun and sky are.

use glam::Vec3;
use standpoint::daylight::{
    CieSky, Daylight, SunPosition, daylight_of, direct_normal_lux, horizontal_sky_lux, luminance,
};
use standpoint::plan::Sky;
use std::f32::consts::{FRAC_PI_2, PI};

const SKIES: [Sky; 4] = [Sky::Clear, Sky::Hazy, Sky::Broken, Sky::Overcast];

fn light(sky: Sky, elevation_deg: f64) -> Daylight {
    daylight_of(SunPosition { elevation: elevation_deg.to_radians(), azimuth: 0.6 }, 0.0, sky)
}

fn level_lux(sky: Sky, elevation_deg: f64) -> f64 {
    let elevation = elevation_deg.to_radians();
    direct_normal_lux(sky, elevation) * elevation.sin().max(0.0) + horizontal_sky_lux(sky, elevation)
}

/// Moon & Spencer's overcast sky, the older closed form: zenith three times the horizon, (1 + 2 sin γ)/3 between
/// (Trans. IES 37, 1942). CIE type 1 follows it, but is
/// flatter just above the horizon: within 0.07.
#[test]
fn overcast_sky_is_three_times_brighter_overhead() {
    let sky = CieSky::OVERCAST;
    let zenith = sky.relative(1.0, 1.0);
    assert!((zenith / sky.relative(0.0, 1.0) - 3.0).abs() < 0.03, "{zenith}");
    for up in [0.1f32, 0.3, 0.5, 0.8] {
        let (got, expected) = (sky.relative(up, 0.4) / zenith, (1.0 + 2.0 * up) / 3.0);
        assert!((got - expected).abs() < 0.07, "{got} instead of {expected} at {up}");
    }
}

/// Closed forms of ISO 15469: the indicatrix is 1 at 90° from the sun (c and e drop out), the gradation is 1 at the
/// horizon, type 5 is the same everywhere, and clear skies are darkest about a right angle away from the sun.
#[test]
fn standard_skies_keep_their_closed_forms() {
    for sky in [CieSky::OVERCAST, CieSky::UNIFORM, CieSky::PARTLY_CLOUDY, CieSky::CLEAR, CieSky::CLEAR_HAZY] {
        assert!((sky.relative(0.0, FRAC_PI_2) - 1.0).abs() < 1e-5, "{sky:?}");
        let zenith = 1.0 + sky.a * sky.b.exp();
        assert!((sky.relative(1.0, FRAC_PI_2) - zenith).abs() < 1e-5, "{sky:?}");
    }
    assert_eq!(CieSky::UNIFORM.relative(0.7, 0.2), 1.0);
    let clear = CieSky::CLEAR;
    assert!(clear.relative(0.7, 0.1) > 5.0 * clear.relative(0.7, FRAC_PI_2));
    assert!(clear.relative(0.7, FRAC_PI_2) < clear.relative(0.7, PI));
}

/// Scaled as the level model says, whatever its shape; integrated by a grid of its own (elevation × azimuth,
/// midpoints).
#[test]
fn the_dome_lights_level_ground_as_the_level_model_says() {
    for sky in SKIES {
        for elevation_deg in [60.0, 25.0, 3.0, -3.0, -9.0] {
            let light = light(sky, elevation_deg);
            let (rings, spokes) = (180, 360);
            let mut lux = 0.0;
            for ring in 0..rings {
                let elevation = (ring as f32 + 0.5) / rings as f32 * FRAC_PI_2;
                for spoke in 0..spokes {
                    let azimuth = (spoke as f32 + 0.5) / spokes as f32 * 2.0 * PI;
                    let direction =
                        Vec3::new(azimuth.sin() * elevation.cos(), elevation.sin(), -azimuth.cos() * elevation.cos());
                    let patch = elevation.cos() * (FRAC_PI_2 / rings as f32) * (2.0 * PI / spokes as f32);
                    lux += f64::from(luminance(light.sky.radiance(direction)) * elevation.sin() * patch);
                }
            }
            let expected = horizontal_sky_lux(sky, elevation_deg.to_radians());
            assert!((lux / expected - 1.0).abs() < 0.015, "{sky:?} {elevation_deg}: {lux} instead of {expected}");
            let got = light.sky.illuminance_on(Vec3::Y);
            assert!((got / expected - 1.0).abs() < 0.01, "{sky:?} {elevation_deg}: {got} instead of {expected}");
        }
    }
}

/// Lux tables as carried in engine documentation after Wikipedia, "Lux": direct sun 32 000 to 100 000, daylight
/// without it 10 000 to 25 000, overcast day 1000 and more, sunrise or sunset 400; within a factor of 2. End of civil
/// twilight 3.4 lx (from memory).
#[test]
fn levels_match_published_lux() {
    for elevation_deg in [30.0, 45.0, 60.0, 75.0] {
        let sun = direct_normal_lux(Sky::Clear, f64::to_radians(elevation_deg));
        assert!((32_000.0..=110_000.0).contains(&sun), "sun {sun} at {elevation_deg}");
        let sky = horizontal_sky_lux(Sky::Clear, f64::to_radians(elevation_deg));
        assert!((10_000.0..=25_000.0).contains(&sky), "sky {sky} at {elevation_deg}");
    }
    for elevation_deg in [5.0, 20.0, 40.0] {
        assert!(level_lux(Sky::Overcast, elevation_deg) > 1000.0);
    }
    let sunset = level_lux(Sky::Clear, 0.0);
    assert!((200.0..=805.0).contains(&sunset), "{sunset}");
    let civil = level_lux(Sky::Clear, -6.0);
    assert!((civil - 3.4).abs() < 0.1, "{civil}");
}

/// ANSI PH2.7-1986 by way of Wikipedia's table: full sun EV 15, hazy sun 14, cloudy bright 13, heavy overcast or open
/// shade 12, from two hours after sunrise; within one stop. EV = log₂(E/2.5) at ISO 100 (ISO 2720, C = 250).
#[test]
fn levels_match_published_exposure_values() {
    let ev = |lux: f64| (lux / 2.5).log2();
    for elevation_deg in [30.0, 45.0, 60.0] {
        let elevation = f64::to_radians(elevation_deg);
        let facing_sun = |sky| direct_normal_lux(sky, elevation) + 0.5 * horizontal_sky_lux(sky, elevation);
        let rows = [
            ("sun", ev(facing_sun(Sky::Clear)), 15.0),
            ("hazy sun", ev(facing_sun(Sky::Hazy)), 14.0),
            ("overcast", ev(level_lux(Sky::Overcast, elevation_deg)), 12.5),
            ("open shade", ev(horizontal_sky_lux(Sky::Clear, elevation)), 12.0),
        ];
        for (name, got, expected) in rows {
            assert!((got - expected).abs() < 1.01, "{name} at {elevation_deg}: EV {got} instead of {expected}");
        }
    }
}

/// Light falls steadily as the sun sinks, without a step anywhere, down to −12°.
#[test]
fn dusk_is_smooth() {
    for sky in SKIES {
        let mut before = f64::INFINITY;
        for step in 0..=4000 {
            let elevation_deg = 28.0 - 0.01 * f64::from(step);
            let lux = level_lux(sky, elevation_deg);
            assert!(lux < before, "{sky:?}: brighter at {elevation_deg}");
            // The clear sky's √sin is steep just above the horizon: half as much again in a hundredth of a degree.
            assert!(before.is_infinite() || before / lux < 1.5, "{sky:?}: {before} to {lux} at {elevation_deg}");
            before = lux;
        }
    }
}

/// The look that everyone knows: blue away from the sun, warm sunlight when low, grey under cloud, and no seam at the
/// horizon.
#[test]
fn colours_are_those_of_a_day() {
    let noon = light(Sky::Clear, 50.0);
    let away = noon.sky.radiance(Vec3::new(-noon.to_sun.x, 0.6, -noon.to_sun.z).normalize());
    assert!(away[2] > 1.5 * away[0], "blue sky {away:?}");
    assert!((luminance(noon.sun_colour) - 1.0).abs() < 1e-4);
    // Published colour temperatures: noon sun about 5000 to 5800 K; a blackbody's red to blue there is 1 : 0.63 to 1
    // : 0.79.
    let blue_to_red = noon.sun_colour[2] / noon.sun_colour[0];
    assert!((0.6..0.85).contains(&blue_to_red), "noon sun {:?}", noon.sun_colour);
    let evening = light(Sky::Clear, 3.0);
    assert!(evening.sun_colour[0] > 4.0 * evening.sun_colour[2], "evening sun {:?}", evening.sun_colour);
    let grey = light(Sky::Overcast, 40.0).sky.radiance(Vec3::Y);
    assert!((grey[0] / grey[2] - 1.0).abs() < 0.15, "overcast {grey:?}");
    for sky in SKIES {
        for azimuth in [0.0f32, 0.6, 2.0, 4.0] {
            let light = light(sky, 8.0);
            let at = |up: f32| luminance(light.sky.radiance(Vec3::new(azimuth.sin(), up, -azimuth.cos()).normalize()));
            assert!((at(1e-4) / at(-1e-4) - 1.0).abs() < 0.01, "{sky:?} seam at {azimuth}");
        }
    }
}

/// Every direction at every hour gives finite light that isn't negative.
#[test]
fn radiance_is_finite_everywhere() {
    for sky in SKIES {
        for elevation_deg in [-90.0, -30.0, -12.0, -0.5, 0.0, 0.1, 45.0, 90.0] {
            let light = light(sky, elevation_deg);
            for direction in [Vec3::Y, Vec3::NEG_Y, Vec3::X, Vec3::NEG_Z, light.to_sun, -light.to_sun, Vec3::ZERO] {
                let colour = light.sky.radiance(direction);
                assert!(
                    colour.iter().all(|channel| channel.is_finite() && *channel >= 0.0),
                    "{sky:?} {elevation_deg} {direction}: {colour:?}"
                );
            }
        }
    }
}

/// A wall in the open sees half the sky and half the ground: exact for a uniform dome, π·L/2 of each. Here by
/// symmetry: opposite walls under an overcast sky (which has no preferred side) get the same.
#[test]
fn walls_under_an_overcast_sky_get_the_same_from_every_side() {
    let light = light(Sky::Overcast, 40.0);
    let north = light.illuminance_on(Vec3::NEG_Z);
    for side in [Vec3::X, Vec3::Z, Vec3::NEG_X] {
        assert!((light.illuminance_on(side) / north - 1.0).abs() < 0.02);
    }
    // Closed form for Moon & Spencer's sky: a wall gets 0.396 of what level ground gets from the sky (3/7·(1/2 +
    // 4/(3π))), and half of the ground's luminance times π.
    let ground = f64::from(luminance(light.sky.ground())) * std::f64::consts::PI / 2.0;
    let from_sky = (north - ground) / light.sky.horizontal_lux();
    assert!((from_sky - 3.0 / 7.0 * (0.5 + 4.0 / (3.0 * std::f64::consts::PI))).abs() < 0.02, "{from_sky}");
}
