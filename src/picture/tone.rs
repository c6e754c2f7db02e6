//! How light becomes a print: the tone curve that every way of making a picture shares.
//!
//! `engine/blur.wgsl` has the same curve for the graphics card.

use glam::{Mat3, Vec3};

/// Lifts a metered mid-grey to where cameras put it. The engine's exposure leaves a grey of 18 % at 0.119 after metering
/// with an incident constant of 250 (ISO 2720); prints want about 0.18.
pub const LIFT: f32 = 1.6;

/// Print white, slope of the middle, where the straight middle begins, how long it is, how soft the toe is.
const WHITE: f32 = 1.0;
const SLOPE: f32 = 1.08;
const FROM: f32 = 0.20;
const LENGTH: f32 = 0.36;
const TOE: f32 = 1.18;

/// Scene light (exposed linear sRGB, mid-grey 0.119) to print light (linear sRGB, 0..1).
///
/// Toe, straight middle and shoulder after H. Uchimura, "HDR theory and practice" (CEDEC 2017, from memory), on each
/// channel, after white has been balanced and a little of each channel's light has spilled into the others so that
/// bright colours turn to white.
pub fn print(scene: Vec3, balanced_from_scene: Mat3) -> Vec3 {
    let lifted = (balanced_from_scene * scene).max(Vec3::ZERO) * LIFT;
    let grey = Vec3::splat(lifted.dot(Vec3::new(0.2126, 0.7152, 0.0722)));
    let spill = (grey.x / (grey.x + 4.0)).min(0.5);
    lifted.lerp(grey, spill).to_array().map(channel).into()
}

fn channel(x: f32) -> f32 {
    let straight = (WHITE - FROM) * LENGTH / SLOPE;
    let shoulder_from = FROM + straight;
    let shoulder_value = FROM + SLOPE * straight;
    let steep = SLOPE * WHITE / (WHITE - shoulder_value);
    let toe_share = 1.0 - smoothstep(0.0, FROM, x);
    let shoulder_share = if x < shoulder_from { 0.0 } else { 1.0 };
    let toe = FROM * (x / FROM).powf(TOE);
    let middle = FROM + SLOPE * (x - FROM);
    let shoulder = WHITE - (WHITE - shoulder_value) * (-steep * (x - shoulder_from) / WHITE).exp();
    toe * toe_share + middle * (1.0 - toe_share - shoulder_share) + shoulder * shoulder_share
}

fn smoothstep(from: f32, to: f32, x: f32) -> f32 {
    let t = ((x - from) / (to - from)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn black_stays_black_and_more_light_is_never_darker() {
        assert!(print(Vec3::ZERO, Mat3::IDENTITY).max_element() < 1e-6);
        let mut before = 0.0;
        for step in 0..4000 {
            let now = print(Vec3::splat(step as f32 * 0.005), Mat3::IDENTITY).x;
            assert!(now >= before - 1e-6, "at {step}: {now} after {before}");
            before = now;
        }
        assert!(before > 0.97 && before <= 1.0, "white ends at {before}");
    }

    /// A grey card metered by the light on it prints near the middle grey of sRGB pictures (about 118 of 255, linear 0.18).
    /// *Common practice, no source.*
    #[test]
    fn a_grey_card_prints_mid_grey() {
        let printed = print(Vec3::splat(0.119), Mat3::IDENTITY).x;
        assert!((0.14..0.21).contains(&printed), "grey card prints at {printed}");
    }
}
