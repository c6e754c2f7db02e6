//! Light as drawn against light as it must be: darkness, walls in even light, and the tone curve.
#![cfg(feature = "engine")]

mod adapter;

use glam::{DVec3, Quat, Vec2, Vec3, vec3};
use image::Rgb;
use standpoint::daylight::{Daylight, SunPosition, daylight_of, linear_from_srgb, srgb_from_linear};
use standpoint::optics::Camera;
use standpoint::picture::engine::{Shot, Studio};
use standpoint::picture::{Metered, WhiteBalance, tone, white_balance};
use standpoint::plan::{Colour, Sky};
use standpoint::staging::{Block, Finish, Material, Owner, OwnerIx, OwnerKind, Part, Shape, Solid, Tableau};

/// 2^EV100 is 1/shutter.
fn camera(shutter_s: f64) -> Camera {
    Camera {
        eye: vec3(0.0, 1.5, 0.0),
        turned: Quat::IDENTITY,
        sensor_m: [0.036, 0.024],
        focal_m: 0.05,
        f_number: 1.0,
        focus_m: 4.0,
        shutter_s,
        iso: 100.0,
    }
}

fn board(centre: Vec3, half_m: Vec3, finish: Finish, colour: [f32; 3]) -> Solid {
    Solid {
        shape: Shape::Block(Block { half_m, top: Vec2::ONE, edge_m: 0.0 }),
        at: centre,
        turned: Quat::IDENTITY,
        owner: OwnerIx(0),
        part: Part::Thing,
        material: Material { finish, colour: Colour(colour) },
    }
}

fn tableau(solids: Vec<Solid>) -> Tableau {
    Tableau { owners: vec![Owner { id: "boards".into(), kind: OwnerKind::Venue }], solids, ..Tableau::default() }
}

fn noon() -> Daylight {
    daylight_of(SunPosition { elevation: 1.0, azimuth: 0.0 }, 0.0, Sky::Overcast)
}

/// The middle of a picture of these solids.
fn middle(studio: &mut Studio, solids: Vec<Solid>, metered: &Metered, shutter_s: f64) -> Rgb<u8> {
    let tableau = tableau(solids);
    let daylight = noon();
    let (camera, lamps) = (camera(shutter_s), []);
    let shot = Shot {
        tableau: &tableau,
        daylight: &daylight,
        lamps: &lamps,
        metered,
        camera: &camera,
        width_px: 48,
        height_px: 32,
    };
    *studio.take(&shot).expect("a picture").get_pixel(24, 16)
}

/// A white room without lamps and windows, at an exposure for moonlight (EV100 −3): black. Even grey light from all
/// round on a matt grey: luminance ρ·L over 1.2 · 2^EV100 (ISO 2720, ISO 12232), within the few per cent that gloss adds.
#[test]
fn a_closed_room_is_dark_and_a_wall_in_even_light_as_bright_as_it_must_be() {
    let test = "a_closed_room_is_dark_and_a_wall_in_even_light_as_bright_as_it_must_be";
    let Some(mut studio) = adapter::studio(test) else { return };
    studio.set_printing(false);
    let room = || {
        [(Vec3::X, 3.0), (Vec3::Y, 3.0), (Vec3::Z, 4.0)]
            .into_iter()
            .flat_map(|(axis, m)| [axis * m, -axis * m])
            .map(|at| {
                let half = vec3(5.0, 5.0, 5.0) - at.abs().signum() * 4.9 * at.abs().min(Vec3::ONE);
                board(at + Vec3::Y * 1.5, half, Finish::Paper, [0.9; 3])
            })
            .collect::<Vec<_>>()
    };
    assert_eq!(middle(&mut studio, room(), &Metered::DARK, 8.0), Rgb([0; 3]));

    let grey = srgb_from_linear(0.4);
    let wall = || vec![board(vec3(0.0, 1.5, -4.0), vec3(9.0, 9.0, 0.1), Finish::Paper, [grey; 3])];
    let even = |nits: [f32; 3]| Metered { bounce_nits: nits, ..Metered::DARK };
    for (nits, shutter_s) in [([10.0, 10.0, 10.0], 1.0 / 8.0), ([200.0, 100.0, 40.0], 1.0 / 120.0)] {
        let drawn = middle(&mut studio, wall(), &even(nits), shutter_s);
        for channel in 0..3 {
            let got = linear_from_srgb(f32::from(drawn.0[channel]) / 255.0);
            let expected = 0.4 * nits[channel] * shutter_s as f32 / 1.2;
            println!("{nits:?}: channel {channel} {got:.4}, expected {expected:.4}");
            assert!((got / expected - 1.0).abs() < 0.12, "{nits:?}: {got} instead of {expected}");
        }
    }
}

/// The shader's tone curve and white balance against the same in Rust, on boards that fill the picture.
#[test]
fn the_card_prints_as_the_tone_curve_says() {
    let Some(mut studio) = adapter::studio("the_card_prints_as_the_tone_curve_says") else { return };
    let lamp = white_balance(DVec3::new(1.6, 0.9, 0.35));
    for (level, colour) in [
        (0.01, [1.0, 1.0, 1.0]),
        (0.05, [1.0, 1.0, 1.0]),
        (0.12, [1.0, 1.0, 1.0]),
        (0.4, [1.0, 1.0, 1.0]),
        (1.2, [1.0, 1.0, 1.0]),
        (0.3, [1.0, 0.5, 0.2]),
        (0.9, [0.2, 0.6, 1.0]),
    ] {
        for white in [WhiteBalance::NONE, lamp] {
            const NITS: u32 = 1000;
            let metered = Metered { white, ..Metered::DARK };
            let shutter_s = 1.2 * level / f64::from(NITS);
            let shines = Finish::Glow { nits: NITS };
            let drawn = middle(
                &mut studio,
                vec![board(vec3(0.0, 1.5, -4.0), vec3(9.0, 9.0, 0.1), shines, colour)],
                &metered,
                shutter_s,
            );
            // Lights keep their colour in bytes.
            let linear = colour.map(|c: f32| linear_from_srgb((c * 255.0).round() / 255.0));
            let printed = tone::print(Vec3::from(linear) * level as f32, white.balanced_from_scene);
            for channel in 0..3 {
                let expected = srgb_from_linear(printed[channel].clamp(0.0, 1.0)) * 255.0;
                let off = f32::from(drawn.0[channel]) - expected;
                assert!(
                    off.abs() <= 2.0,
                    "{level} of {colour:?}, {:.0} K: {drawn:?} instead of {expected:.1}",
                    white.kelvin
                );
            }
        }
    }
}
