//! Light as drawn against light as it must be: darkness, walls in even light, and the tone curve.
#![cfg(feature = "engine")]

mod adapter;

use glam::{DVec3, Quat, Vec2, Vec3, vec2, vec3};
use image::Rgb;
use standpoint::daylight::{Daylight, SunPosition, daylight_of, linear_from_srgb, luminance, srgb_from_linear};
use standpoint::optics::Camera;
use standpoint::picture::engine::{Shot, Studio};
use standpoint::picture::{Metered, WhiteBalance, tone, white_balance};
use standpoint::plan::{Colour, Lamp, LampKind, Sky, Venue};
use standpoint::sight::{LampPoint, SPOT_EDGE, Sources, face_light, lamp_points, sum_of};
use standpoint::staging::{Block, Figure, Finish, Material, Owner, OwnerIx, OwnerKind, Part, Shape, Solid, Tableau};
use std::f64::consts::PI;

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
    middle_under(studio, solids, &[], metered, camera(shutter_s))
}

fn middle_under(
    studio: &mut Studio,
    solids: Vec<Solid>,
    lamps: &[LampPoint],
    metered: &Metered,
    camera: Camera,
) -> Rgb<u8> {
    let tableau = tableau(solids);
    let daylight = noon();
    let shot =
        Shot { tableau: &tableau, daylight: &daylight, lamps, metered, camera: &camera, width_px: 48, height_px: 32 };
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

/// A card of 40 % grey, 4 m before the camera, in the light of one lamp and nothing else.
///
/// Closed forms: E = I·cosθ/d², the card's luminance ρE/π, and what a picture makes of it (as above). I is Φ/4π of a bulb;
/// of a spot whose beam goes with s², s from 1 to 0 evenly in the cosine to c₀ at its edge, it is Φ·3/(2π(1 − c₀)) straight
/// ahead; a string is its bulbs one by one, here integrated along the cable in 2000 steps. The drawn card and the light
/// that is metered on a face there must both be that.
#[test]
fn a_grey_card_under_a_lamp_is_as_bright_as_it_must_be_and_as_metered() {
    let test = "a_grey_card_under_a_lamp_is_as_bright_as_it_must_be_and_as_metered";
    let Some(mut studio) = adapter::studio(test) else { return };
    studio.set_printing(false);
    let card = vec3(0.0, 1.5, -4.0);
    let venue = empty_venue();
    let lamp = |kind, at: Vec2, lumens, aimed_at, to| Lamp {
        id: "lamp".into(),
        kind,
        at,
        height_m: 3.0,
        lumens,
        kelvin: 6500.0,
        to,
        aimed_at,
    };
    // Lamps hang 1.5 m above the card's middle and 3 m before it: where their beams go is a spot on the floor.
    let at = vec2(0.0, -1.0);
    let way = card - vec3(at.x, 3.0, at.y);
    let cos_facing = f64::from(-way.normalize().z);
    let lux_of = |candela: f64| candela * cos_facing / f64::from(way.length_squared());
    // Straight down the way to the card the floor is 3 m away, as high as the lamp.
    let aimed = at + vec2(way.x, way.z) * 3.0 / 1.5;
    let aimed_off = |degrees: f32| at + Vec2::from_angle(degrees.to_radians()).rotate(aimed - at);
    // Turned about the vertical, the beam makes a smaller angle with the way to the card.
    let cos_off = |degrees: f32| {
        let spot = aimed_off(degrees);
        f64::from((vec3(spot.x, 0.0, spot.y) - vec3(at.x, 3.0, at.y)).normalize().dot(way.normalize()))
    };
    let edge = f64::from(SPOT_EDGE).cos();
    let spot_lux = |degrees: f32| {
        let share = (cos_off(degrees) - edge) / (1.0 - edge);
        lux_of(1500.0 * 3.0 / (2.0 * PI * (1.0 - edge)) * share * share)
    };
    let string_lux = {
        let (from, to) = (vec3(-2.0, 3.0, -1.0), vec3(2.0, 3.0, -1.0));
        let steps = 2000;
        (0..steps)
            .map(|i| {
                let share = (i as f32 + 0.5) / steps as f32;
                let hangs = from.lerp(to, share) - Vec3::Y * (4.0 * 4.0 / 30.0 * share * (1.0 - share) + 0.055);
                let way = card - hangs;
                4000.0 / (4.0 * PI * f64::from(steps)) * f64::from(-way.z) / f64::from(way.length()).powi(3)
            })
            .sum()
    };
    let cases: [(&str, Lamp, f64); 6] = [
        ("bulb", lamp(LampKind::Bulb, at, 2000.0, None, None), lux_of(2000.0 / (4.0 * PI))),
        ("pendant", lamp(LampKind::Pendant, at, 3000.0, None, None), lux_of(3000.0 / (4.0 * PI))),
        ("spot on axis", lamp(LampKind::Spot, at, 1500.0, Some(aimed), None), spot_lux(0.0)),
        ("spot, turned 11°", lamp(LampKind::Spot, at, 1500.0, Some(aimed_off(11.0)), None), spot_lux(11.0)),
        ("spot, turned 22°", lamp(LampKind::Spot, at, 1500.0, Some(aimed_off(22.0)), None), spot_lux(22.0)),
        ("string", lamp(LampKind::Strings, vec2(-2.0, -1.0), 4000.0, None, Some(vec2(2.0, -1.0))), string_lux),
    ];
    let grey = srgb_from_linear(0.4);
    let board = board(card - Vec3::Z * 0.1, vec3(9.0, 9.0, 0.1), Finish::Paper, [grey; 3]);
    for (name, lamp, lux) in cases {
        let lamps = lamp_points(&venue, &lamp);
        let face = face_at(card);
        let nowhere = Tableau::default();
        let sources = Sources { lamps: lamps.clone(), rooms: vec![] };
        let metered = sum_of(face_light(&nowhere, &noon(), &face, &sources).lamps);
        // An exposure that leaves the card at a third.
        let shutter_s = 1.2 * PI / (3.0 * 0.4 * lux);
        println!("{name}: {lux:.1} lx; metered {metered:.1}");
        assert!((metered / lux - 1.0).abs() < 0.05, "{name}: metered {metered:.1} lx instead of {lux:.1}");
        // From nearby and through a long lens from far off, as from the end of a nave.
        for (back_m, focal_m) in [(0.0, 0.05), (14.0, 0.2)] {
            let camera =
                Camera { eye: vec3(0.0, 1.5, back_m), focal_m, focus_m: 4.0 + f64::from(back_m), ..camera(shutter_s) };
            let drawn = middle_under(&mut studio, vec![board.clone()], &lamps, &Metered::DARK, camera);
            let linear = drawn.0.map(|byte| linear_from_srgb(f32::from(byte) / 255.0));
            let drawn = f64::from(luminance(linear)) * 3.0 * lux;
            println!("{name}, from {back_m} m back: {lux:.1} lx; drawn {drawn:.1}");
            assert!((drawn / lux - 1.0).abs() < 0.15, "{name}, {back_m} m: drawn {drawn:.1} lx instead of {lux:.1}");
        }
    }
}

fn empty_venue() -> Venue {
    let mut venue = standpoint::plan::read(standpoint::plan::STARTER).expect("the starter is valid").venue;
    (venue.platforms, venue.rooms, venue.lamps) = (vec![], vec![], vec![]);
    venue
}

/// Somebody whose face is metered flat at a spot, towards +z.
fn face_at(spot: Vec3) -> Figure {
    let middle = spot - Vec3::Z * 0.12;
    Figure {
        owner: OwnerIx(0),
        stature_m: 1.7,
        sole: Vec3::ZERO,
        knee: middle,
        mid_thigh: middle,
        hip: middle,
        waist: middle,
        chest: middle,
        shoulder: middle,
        chin: middle,
        eyes: middle,
        crown: middle,
        face_forward: Vec3::Z,
        hands: [middle; 2],
        half_width_m: 0.2,
    }
}
