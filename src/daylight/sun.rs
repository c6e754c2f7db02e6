//! Date, zone and place to the sun's direction.

use crate::plan::Place;
use glam::Vec3;
use jiff::ZonedDateTime;
use solar_positioning::{Location, RefractionCorrection, SolarPositions, delta_t, time::JulianDate};

/// Where the sun's centre appears in the sky.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SunPosition {
    /// Above the horizon with refraction, radians; negative below it.
    pub elevation: f64,
    /// From true north, clockwise, radians in 0..2π.
    pub azimuth: f64,
}

impl SunPosition {
    /// Unit vector to the sun in plan space, where −z points to compass bearing `bearing_of_minus_z` (radians).
    pub fn direction(&self, bearing_of_minus_z: f64) -> Vec3 {
        let heading = self.azimuth - bearing_of_minus_z;
        let flat = self.elevation.cos();
        Vec3::new((heading.sin() * flat) as f32, self.elevation.sin() as f32, (-heading.cos() * flat) as f32)
    }
}

/// The sun over `place` at an instant.
///
/// Solar Position Algorithm (Reda & Andreas, NREL/TP-560-34302, 2003), good to 0.0003° before refraction.
/// Air pressure follows from altitude by the International Standard Atmosphere (ISO 2533), air is at 15 °C;
/// a real day differs by up to some 0.1° at the horizon and by nothing that matters above 10°.
/// A place or year outside the algorithm's range (a plan can't hold one) gives a sun at the nadir.
pub fn sun_position(place: &Place, instant: &ZonedDateTime) -> SunPosition {
    let pressure_hpa = 1013.25 * (1.0 - 2.25577e-5 * place.altitude_m.clamp(-500.0, 9000.0)).powf(5.25588);
    let air = RefractionCorrection::new(pressure_hpa, 15.0).ok();
    solve(place, instant, air).unwrap_or(SunPosition { elevation: -std::f64::consts::FRAC_PI_2, azimuth: 0.0 })
}

fn solve(
    place: &Place,
    instant: &ZonedDateTime,
    air: Option<RefractionCorrection>,
) -> solar_positioning::Result<SunPosition> {
    let utc = instant.with_time_zone(jiff::tz::TimeZone::UTC);
    let decimal_year = f64::from(utc.year()) + (f64::from(utc.day_of_year()) - 0.5) / f64::from(utc.days_in_year());
    let time = JulianDate::from_utc(
        i32::from(utc.year()),
        utc.month() as u32,
        utc.day() as u32,
        utc.hour() as u32,
        utc.minute() as u32,
        f64::from(utc.second()) + f64::from(utc.subsec_nanosecond()) * 1e-9,
        delta_t::estimate(decimal_year)?,
    )?;
    let location = Location { latitude: place.latitude_deg, longitude: place.longitude_deg };
    let position = SolarPositions::new().at_from_julian(time, location, place.altitude_m, air)?;
    Ok(SunPosition {
        elevation: position.elevation_angle().to_radians(),
        azimuth: position.azimuth().to_radians().rem_euclid(std::f64::consts::TAU),
    })
}
