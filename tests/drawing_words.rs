//! Words of several layers beside each other, shadows and focal lengths on the floor plan.

mod builders;

use builders::lawn;
use glam::{Quat, Vec2, Vec3, vec2};
use standpoint::drawing::{Align, Drawing, Form, Ink, Shape, Subject, apart, extent, focal_length, shadow, shadow_m};
use standpoint::optics::Camera;
use standpoint::plan::{LengthUnit, PhotographerIx, Sky};

const SCALE: f32 = 30.0;

/// Words of one layer, of a subject so that they may move.
fn words(at: Vec2, text: &str, ink: Ink) -> Drawing {
    let form = Form::Text { at, text: text.into(), size_pt: 8.0, align: Align::Centre, below_pt: 0.0 };
    Drawing { shapes: vec![Shape { form, ink, of: Some(Subject::Mark(0)) }] }
}

/// Middle of the baseline on the page, points.
fn spot(drawing: &Drawing) -> Vec2 {
    match &drawing.shapes[0].form {
        Form::Text { at, below_pt, .. } => *at * SCALE + vec2(0.0, *below_pt),
        other => panic!("{other:?}"),
    }
}

#[test]
fn words_on_the_same_spot_come_apart_and_the_photographers_stay() {
    let (name, crew) =
        (words(Vec2::ZERO, "Anna", Ink::Label), words(Vec2::ZERO, "lead", Ink::CrewLabel(PhotographerIx(0))));
    let moved = apart(&[&name, &crew], SCALE);
    assert_eq!(spot(&moved[1]), Vec2::ZERO);
    // Capitals and descenders of 8 pt are at least 7 pt high.
    let off = (spot(&moved[0]) - spot(&moved[1])).abs();
    assert!(off.y >= 7.0 || off.x >= 8.0, "{off}");
}

#[test]
fn words_with_room_stay_where_they_are() {
    let layers = [words(Vec2::ZERO, "Anna", Ink::Label), words(vec2(4.0, 0.0), "Berta", Ink::FaintLabel)];
    assert_eq!(apart(&[&layers[0], &layers[1]], SCALE), layers);
}

#[test]
fn faint_words_without_room_are_left_out_and_others_never() {
    let crowd = |ink| -> Vec<Drawing> { (0..40).map(|_| words(Vec2::ZERO, "everybody here", ink)).collect() };
    for (ink, all) in [(Ink::Label, true), (Ink::FaintLabel, false)] {
        let layers = crowd(ink);
        let moved = apart(&layers.iter().collect::<Vec<_>>(), SCALE);
        let left: usize = moved.iter().map(|layer| layer.shapes.len()).sum();
        assert_eq!(left == 40, all, "{ink:?}: {left}");
        assert!(left >= 5, "{ink:?}: {left}");
    }
}

#[test]
fn no_scale_moves_nothing() {
    let layer = words(Vec2::ZERO, "Anna", Ink::Label);
    for scale in [0.0, -1.0, f32::NAN, f32::INFINITY] {
        assert_eq!(apart(&[&layer, &layer], scale), [layer.clone(), layer.clone()], "{scale}");
    }
}

#[test]
fn shadows_are_as_long_as_their_tangent_says() {
    // tan 45° is 1, tan 30° is 1/√3, tan 60° is √3.
    for (degrees, wanted) in [(45.0_f64, 1.7_f32), (30.0, 1.7 * 3.0_f32.sqrt()), (60.0, 1.7 / 3.0_f32.sqrt())] {
        let found = shadow_m(1.7, degrees.to_radians()).expect("the sun is up");
        assert!((found - wanted).abs() < 1e-4, "{degrees}: {found} instead of {wanted}");
    }
    assert_eq!(shadow_m(1.7, 0.0), None);
    assert_eq!(shadow_m(1.7, -0.2), None);
}

#[test]
fn a_shadow_falls_away_from_the_sun_in_the_plans_unit() {
    let mut plan = lawn();
    plan.sky = Sky::Clear;
    plan.place.latitude_deg = 48.0;
    plan.place.longitude_deg = 2.0;
    plan.place.bearing_of_minus_z = 0.0;
    // Solar noon, nearly: the sun stands in the south, towards +z, and shadows fall to −z.
    plan.start = "2026-06-21T13:50:00[Europe/Paris]".parse().expect("a time");
    let (low, high) = extent(&plan);
    let rings = |drawing: &Drawing| -> Vec<Vec2> {
        let area = drawing.shapes.iter().find(|shape| shape.ink == Ink::Shadow).expect("a shadow");
        match &area.form {
            Form::Area(rings) => rings.concat(),
            other => panic!("{other:?}"),
        }
    };
    let text = |drawing: &Drawing| {
        let words = drawing.shapes.iter().find_map(|shape| match &shape.form {
            Form::Text { text, .. } => Some(text.clone()),
            _ => None,
        });
        words.expect("words")
    };
    let drawing = shadow(&plan, 0.0, low, high);
    let ring = rings(&drawing);
    let span = |part: fn(&Vec2) -> f32| {
        ring.iter().map(part).fold(f32::MIN, f32::max) - ring.iter().map(part).fold(f32::MAX, f32::min)
    };
    // At noon of the solstice the sun is 90° − 48° + 23.44° = 65.4° high: 1.7 m over its tangent is 0.777 m, 2.55 ft.
    assert!((span(|it| it.y) - 0.78).abs() < 0.02, "{ring:?}");
    assert_eq!(text(&drawing), "shadow 0.8 m");
    plan.units = LengthUnit::Feet;
    assert_eq!(text(&shadow(&plan, 0.0, low, high)), "shadow 2.5 ft");
    plan.sky = Sky::Overcast;
    assert_eq!(shadow(&plan, 0.0, low, high), Drawing::default());
}

#[test]
fn a_focal_length_stands_before_its_lens() {
    let camera = Camera {
        eye: Vec3::new(2.0, 1.6, 5.0),
        turned: Quat::IDENTITY,
        sensor_m: [0.036, 0.024],
        focal_m: 0.085,
        f_number: 2.8,
        focus_m: 4.0,
        shutter_s: 0.005,
        iso: 400.0,
    };
    let drawing = focal_length(&camera, PhotographerIx(1));
    let Form::Text { at, text, .. } = &drawing.shapes[0].form else { panic!("{drawing:?}") };
    assert_eq!(text, "85 mm");
    // It looks along −z.
    assert!(at.x == 2.0 && (3.0..5.0).contains(&at.y), "{at}");
    let straight_down = Camera { turned: Quat::from_rotation_x(-std::f32::consts::FRAC_PI_2), ..camera };
    assert_eq!(focal_length(&straight_down, PhotographerIx(1)).shapes.len(), 1);
    assert!(focal_length(&Camera { focal_m: f64::NAN, ..camera }, PhotographerIx(1)).shapes.is_empty());
}
