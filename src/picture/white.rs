//! White balance: what light a picture takes for white, and how that changes its colours.

use glam::{DMat3, DVec3, Mat3};

/// How far a camera follows the light it finds, 0 not at all, 1 until grey is grey. Eyes go 0.82 of the way in the dark
/// and nearly all of it in daylight (CIECAM02's degree of adaptation, CIE 159:2004); cameras leave a little more, so that
/// candles stay warm and dusk blue. *Our own.*
const FOLLOWS: f64 = 0.8;

/// CIE XYZ of linear sRGB (IEC 61966-2-1), rows.
const XYZ_FROM_SRGB: [[f64; 3]; 3] = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]];
/// Cone responses of the Bradford transform (ICC.1:2010, annex E), rows.
const CONES_FROM_XYZ: [[f64; 3]; 3] = [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]];

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WhiteBalance {
    /// Correlated colour temperature of the light that comes out grey: what a camera's display would say.
    pub kelvin: f64,
    /// To be applied to exposed linear sRGB. The light that comes out grey keeps its luminance.
    pub balanced_from_scene: Mat3,
}

impl WhiteBalance {
    /// Colours as they are, in light of 6504 K.
    pub const NONE: Self = Self { kelvin: 6504.0, balanced_from_scene: Mat3::IDENTITY };
}

/// Balance that a camera finds for light of a colour (linear sRGB, any strength): after von Kries, each cone response
/// scaled by white over the light's, by most of the way.
pub fn white_balance(light: DVec3) -> WhiteBalance {
    balance_by(light, FOLLOWS)
}

fn balance_by(light: DVec3, follows: f64) -> WhiteBalance {
    let xyz_from_srgb = matrix(XYZ_FROM_SRGB);
    let cones_from_srgb = matrix(CONES_FROM_XYZ) * xyz_from_srgb;
    let white = cones_from_srgb * DVec3::ONE;
    let found = cones_from_srgb * light.max(DVec3::ZERO);
    if !(found.is_finite() && found.min_element() > 1e-12) {
        return WhiteBalance::NONE;
    }
    // What is taken for white, between the display's white and the light.
    let taken = DVec3::from_array(std::array::from_fn(|i| white[i] * (found[i] / white[i]).powf(follows)));
    let srgb_from_cones = cones_from_srgb.inverse();
    let taken_xyz = xyz_from_srgb * srgb_from_cones * taken;
    // Of luminance 1, as the display's white is.
    let gains = white / taken * taken_xyz.y;
    WhiteBalance {
        kelvin: correlated_kelvin(taken_xyz),
        balanced_from_scene: (srgb_from_cones * DMat3::from_diagonal(gains) * cones_from_srgb).as_mat3(),
    }
}

fn matrix(rows: [[f64; 3]; 3]) -> DMat3 {
    DMat3::from_cols_array_2d(&rows).transpose()
}

/// C. S. McCamy, "Correlated color temperature as an explicit function of chromaticity coordinates", Color Research and
/// Application 17 (1992), 142. Within a few kelvin from 2800 to 6500 K, a few per cent from 2000 to 12 500 K; held there.
fn correlated_kelvin(xyz: DVec3) -> f64 {
    let sum = xyz.element_sum().max(1e-12);
    let (x, y) = (xyz.x / sum, xyz.y / sum);
    let n = (x - 0.3320) / (0.1858 - y);
    (449.0 * n.powi(3) + 3525.0 * n.powi(2) + 6823.3 * n + 5520.33).clamp(1500.0, 25_000.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::daylight::kelvin_colour;
    use glam::Vec3;

    fn lamp(kelvin: f32) -> DVec3 {
        Vec3::from(kelvin_colour(kelvin)).as_dvec3()
    }

    /// The published Bradford matrix from illuminant A (XYZ 1.09850, 1, 0.35585) to D65 (B. Lindbloom's tables; from
    /// memory).
    #[test]
    fn full_adaptation_is_bradfords() {
        let xyz_from_srgb = matrix(XYZ_FROM_SRGB);
        let light = xyz_from_srgb.inverse() * DVec3::new(1.098_50, 1.0, 0.355_85);
        let in_srgb = balance_by(light, 1.0).balanced_from_scene.as_dmat3();
        let in_xyz = xyz_from_srgb * in_srgb * xyz_from_srgb.inverse();
        let published = matrix([
            [0.844_696_5, -0.117_922_5, 0.394_810_8],
            [-0.136_630_3, 1.104_122_6, 0.129_171_8],
            [0.079_848_9, -0.134_899_9, 3.192_400_9],
        ]);
        let apart = (in_xyz - published).to_cols_array().iter().fold(0.0_f64, |most, x| most.max(x.abs()));
        assert!(apart < 2e-3, "{in_xyz:?}");
    }

    /// McCamy's own checks are the CIE's illuminants: A 2856 K, D50 5003 K, D65 6504 K (CIE 15).
    #[test]
    fn colour_temperatures_of_the_cies_illuminants() {
        for (x, y, kelvin) in [(0.447_58, 0.407_45, 2856.0), (0.345_67, 0.358_50, 5003.0), (0.312_72, 0.329_03, 6504.0)]
        {
            let got = correlated_kelvin(DVec3::new(x, y, 1.0 - x - y));
            assert!((got - kelvin).abs() < 10.0, "{got} K instead of {kelvin} K");
        }
    }

    /// Laws: followed all the way the light itself comes out grey; as far as cameras go, it keeps its side and loses most
    /// of its colour; its luminance stays within a fifth; the display's own white stays.
    #[test]
    fn lamps_come_out_nearly_white_and_a_little_warm() {
        for kelvin in [1900.0, 2700.0, 4000.0, 9000.0, 15_000.0] {
            let light = lamp(kelvin);
            let grey = balance_by(light, 1.0).balanced_from_scene.as_dmat3() * light;
            assert!((grey - DVec3::splat(grey.x)).length() < 0.05, "{kelvin}: {grey}");
            let balance = white_balance(light);
            let left = balance.balanced_from_scene.as_dmat3() * light;
            let warmth = |c: DVec3| (c.x / c.z.max(0.01)).ln();
            assert_eq!(warmth(left) > 0.0, kelvin < 6504.0, "{kelvin}: {left}");
            assert!(warmth(left).abs() < 0.35 * warmth(light).abs(), "{kelvin}: {left}");
            let luminance = left.dot(DVec3::new(0.2126, 0.7152, 0.0722));
            assert!((0.8..1.2).contains(&luminance), "{kelvin}: {luminance}");
            let between = if kelvin < 6504.0 { f64::from(kelvin)..6504.0 } else { 6504.0..f64::from(kelvin) };
            assert!(between.contains(&balance.kelvin), "{kelvin}: {}", balance.kelvin);
        }
        let none = white_balance(DVec3::ONE * 300.0);
        assert!(none.balanced_from_scene.abs_diff_eq(Mat3::IDENTITY, 1e-5), "{none:?}");
        assert!((none.kelvin - 6504.0).abs() < 15.0, "{none:?}");
        assert_eq!(white_balance(DVec3::ZERO), WhiteBalance::NONE);
    }
}
