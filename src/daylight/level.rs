//! How strong sun and sky are, from the sun's height and the weather.
//!
//! Model: Illuminating Engineering Society daylight availability after Gillette, Pierpoint & Treado,
//! *A general illuminance model for daylight availability*, J. IES 13 (1984), coefficients from memory.
//! The tests hold it against published exposure and lux tables within a stop.

use crate::plan::Sky;

/// Illuminance of sunlight above the air on a surface facing the sun, mean over the year.
const SOLAR_CONSTANT_LUX: f64 = 127_500.0;

/// Illuminance by the sun alone on a surface that faces it, lux. `elevation` is apparent, radians.
///
/// Fades as the disc (half a degree wide) sinks behind the horizon; 0 below it and under an overcast sky.
pub fn direct_normal_lux(sky: Sky, elevation: f64) -> f64 {
    let extinction = match sky {
        Sky::Clear => 0.21,
        // Between clear (0.21) and partly cloudy (0.80), towards the stop that exposure tables take off for hazy sun:
        // ours.
        Sky::Hazy => 0.65,
        // The model's 0.80 is a mean over sun and cloud; here the sun counts as out.
        Sky::Broken => 0.28,
        Sky::Overcast => return 0.0,
    };
    let disc_above = ((elevation.to_degrees() + 0.27) / 0.54).clamp(0.0, 1.0);
    SOLAR_CONSTANT_LUX * (-extinction * air_mass(elevation)).exp() * disc_above
}

/// Illuminance by the unobstructed sky alone on level ground, lux. `elevation` is apparent, radians.
///
/// Below the horizon it goes on through twilight by way of 3.4 lx at −6° and 0.008 lx at −12° for a clear
/// sky (the ends of civil and nautical twilight, tables from memory), and rests at 0.001 lx, starlight.
pub fn horizontal_sky_lux(sky: Sky, elevation: f64) -> f64 {
    // A + B·sin^C(elevation), kilolux.
    let (a, b, c) = match sky {
        Sky::Clear => (0.8, 15.5, 0.5),
        // Mean of clear and partly cloudy: ours.
        Sky::Hazy => (0.55, 30.0, 0.75),
        Sky::Broken => (0.3, 45.0, 1.0),
        Sky::Overcast => (0.3, 21.0, 1.0),
    };
    let at_horizon_lux = 1000.0 * a;
    if elevation >= 0.0 {
        return at_horizon_lux + 1000.0 * b * elevation.sin().max(0.0).powf(c);
    }
    // Parabola in log lux through 800 lx at 0°, 3.4 lx at −6°, 0.008 lx at −12°.
    let sixths = -elevation.to_degrees() / 6.0;
    let decades_down = 2.243_3 * sixths + 0.128_3 * sixths * sixths;
    (at_horizon_lux * 10f64.powf(-decades_down)).max(0.001)
}

/// Relative optical air mass: Kasten & Young, Applied Optics 28 (1989), 4735. 1 at the zenith, 38 at the
/// horizon and below.
pub(super) fn air_mass(elevation: f64) -> f64 {
    let degrees = elevation.to_degrees().clamp(0.0, 90.0);
    1.0 / (degrees.to_radians().sin() + 0.505_72 * (degrees + 6.079_95).powf(-1.636_4))
}
