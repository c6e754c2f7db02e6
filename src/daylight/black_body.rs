//! The colour of lamps and flames.

/// Colour of a black body in linear sRGB with luminance 1; negative channels are clipped.
///
/// Chromaticity by the cubic fit of Kim et al. (US patent 7 024 034, 2006; coefficients from memory), valid from
/// 1667 to 25 000 K, held at the ends; sRGB primaries after IEC 61966-2-1.
pub fn kelvin_colour(kelvin: f32) -> [f32; 3] {
    let t = f64::from(kelvin).clamp(1667.0, 25_000.0);
    let i = 1e3 / t;
    let x = if t <= 4000.0 {
        -0.2661239 * i.powi(3) - 0.2343589 * i.powi(2) + 0.8776956 * i + 0.179910
    } else {
        -3.0258469 * i.powi(3) + 2.1070379 * i.powi(2) + 0.2226347 * i + 0.240390
    };
    let y = if t <= 2222.0 {
        -1.1063814 * x.powi(3) - 1.34811020 * x.powi(2) + 2.18555832 * x - 0.20219683
    } else if t <= 4000.0 {
        -0.9549476 * x.powi(3) - 1.37418593 * x.powi(2) + 2.09137015 * x - 0.16748867
    } else {
        3.0817580 * x.powi(3) - 5.87338670 * x.powi(2) + 3.75112997 * x - 0.37001483
    };
    let (big_x, big_z) = (x / y, (1.0 - x - y) / y);
    let rgb = [
        3.2406 * big_x - 1.5372 - 0.4986 * big_z,
        -0.9689 * big_x + 1.8758 + 0.0415 * big_z,
        0.0557 * big_x - 0.2040 + 1.0570 * big_z,
    ]
    .map(|channel| channel.max(0.0));
    let luminance = 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2];
    rgb.map(|channel| (channel / luminance) as f32)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Black bodies computed with colour-science 0.4.7 (`sd_blackbody`, CIE 1931 2° observer): linear sRGB
    /// over its largest channel.
    #[test]
    fn black_bodies_have_their_colours() {
        let rows = [
            (1900.0, [1.0, 0.2326, 0.0]),
            (2856.0, [1.0, 0.4479, 0.1265]),
            (3200.0, [1.0, 0.5157, 0.1940]),
            (4000.0, [1.0, 0.6537, 0.3773]),
            (5000.0, [1.0, 0.7917, 0.6283]),
            (6504.0, [1.0, 0.9433, 0.9931]),
            (10_000.0, [0.6093, 0.6952, 1.0]),
        ];
        for (kelvin, expected) in rows {
            let colour = kelvin_colour(kelvin);
            let most = colour.iter().copied().fold(0.0, f32::max);
            for (channel, wanted) in colour.iter().zip(expected) {
                assert!(
                    (channel / most - wanted).abs() < 0.02,
                    "{kelvin} K: {colour:?} over {most}, expected {expected:?}"
                );
            }
        }
    }
}
