//! From whom a frame is of, and how large, to a camera.

mod common;

use common::{person_at, photographer_at, plan_with, tableau_of};
use glam::{Vec2, Vec3, vec2, vec3};
use proptest::prelude::*;
use standpoint::optics::Remark;
use standpoint::optics::*;
use standpoint::plan::*;

const PX: f64 = 1500.0;

/// Pixel row of a point as a share of the frame's height from the top, and column as a share of its width.
fn place_in_frame(camera: &Camera, point: Vec3) -> (f64, f64) {
    let (u, v, _) = camera.image_from_world(point, PX).expect("in front of the camera");
    (u / PX, v / (PX * camera.sensor_m[1] / camera.sensor_m[0]))
}

fn frame_of(plan: &Plan) -> Frame {
    plan.frames[0].clone()
}

fn composed(plan: &Plan, frame: &Frame, people: &[(usize, Vec2)]) -> Composed {
    let figures: Vec<_> = people.iter().map(|&(ix, at)| person_at(ix, 1.75, at, Vec3::Z)).collect();
    compose(plan, frame, &tableau_of(figures), 5000.0).expect("someone is there")
}

/// By hand: a half length holds 0.40 of stature and 0.02 of hair in 93 % of the height, 0.42·1.75/0.93 = 0.790 m; at
/// 6 m that takes 24 mm · 6/0.790 = 182 mm.
#[test]
fn half_length_by_hand_calculation() {
    let plan = plan_with([0.070, 0.200], vec2(0.0, 6.0), 1.5);
    let frame = Frame { of: vec![PersonIx(0)], shot_size: ShotSize::Half, ..frame_of(&plan) };
    let got = composed(&plan, &frame, &[(0, Vec2::ZERO)]);
    assert!((got.camera.focal_m - 0.1822).abs() < 0.002, "{}", got.camera.focal_m);
    assert_eq!(got.remarks, vec![]);
    let (_, hair) = place_in_frame(&got.camera, vec3(0.0, 1.02 * 1.75, 0.0));
    assert!((hair - 0.07).abs() < 0.005, "headroom {hair}");
    let (_, waist) = place_in_frame(&got.camera, vec3(0.0, 0.60 * 1.75, 0.0));
    assert!((waist - 1.0).abs() < 0.005, "waist {waist}");
    // Sharp where the eyes are: 6 m less what the face stands forward, along an axis that dips a little.
    assert!((got.camera.focus_m - 5.9).abs() < 0.1, "{}", got.camera.focus_m);
}

#[test]
fn every_shot_size_in_both_orientations_holds_the_person() {
    for shot in FRAMINGS {
        for orientation in [Orientation::Landscape, Orientation::Portrait] {
            for (at, height_m) in [(vec2(0.0, 9.0), 1.55), (vec2(4.0, 5.0), 0.9), (vec2(-3.0, -6.0), 2.4)] {
                let plan = plan_with([0.010, 1.200], at, height_m);
                let frame = Frame { of: vec![PersonIx(0)], shot_size: shot.size, orientation, ..frame_of(&plan) };
                let got = composed(&plan, &frame, &[(0, Vec2::ZERO)]);
                assert_eq!(got.remarks, vec![], "{:?} {orientation:?}", shot.size);
                let (u, crown) = place_in_frame(&got.camera, vec3(0.0, 1.75, 0.0));
                let (_, low) = place_in_frame(&got.camera, vec3(0.0, shot.lower_line as f32 * 1.75, 0.0));
                assert!(crown > 0.02 && low < 1.01 && low > crown, "{:?} {orientation:?}: {crown} {low}", shot.size);
                assert!((0.2..0.8).contains(&u), "{:?} {orientation:?}: {u}", shot.size);
                let (_, sole) = place_in_frame(&got.camera, Vec3::ZERO);
                let edge_share = (sole - 1.0) / (sole - crown);
                assert!(!cuts_a_joint(edge_share), "{:?} {orientation:?} cuts at {edge_share}", shot.size);
            }
        }
    }
}

#[test]
fn several_people_are_all_held() {
    let people = [(0, vec2(-1.4, 0.0)), (1, vec2(-0.3, 0.2)), (2, vec2(1.1, -0.8)), (3, vec2(2.4, 0.5))];
    for shot in [ShotSize::Wide, ShotSize::Full, ShotSize::ThreeQuarter, ShotSize::Half] {
        for at in [vec2(0.0, 9.0), vec2(-6.0, 5.0), vec2(7.0, -4.0)] {
            let plan = plan_with([0.012, 0.300], at, 1.6);
            let frame = Frame { of: (0..4).map(PersonIx).collect(), shot_size: shot, ..frame_of(&plan) };
            let got = composed(&plan, &frame, &people);
            assert_eq!(got.remarks, vec![], "{shot:?} from {at}");
            // As tight as that allows: someone is within the side margin, or head and lower line fill the height.
            let spots = people.map(|(_, at)| place_in_frame(&got.camera, vec3(at.x, 1.4, at.y)).0);
            let side = spots.iter().map(|u| u.min(1.0 - u)).fold(1.0, f64::min);
            let tops = people.map(|(_, at)| place_in_frame(&got.camera, vec3(at.x, 1.75, at.y)).1);
            let lows = people
                .map(|(_, at)| place_in_frame(&got.camera, vec3(at.x, framing(shot).lower_line as f32 * 1.75, at.y)).1);
            let filled = lows.iter().copied().fold(0.0, f64::max) - tops.iter().copied().fold(1.0, f64::min);
            let room = 1.0 - framing(shot).above - framing(shot).below;
            // Up to a millimetre shorter than the tightest: zooms are set to whole ones.
            let whole_mm = 1.0 - 0.001 / got.camera.focal_m;
            assert!(side < 0.16 || filled > room * whole_mm - 0.01, "{shot:?} from {at}: {side} {filled}");
            for (_, at) in people {
                for height in [framing(shot).lower_line as f32 * 1.75, 1.75] {
                    let (u, v) = place_in_frame(&got.camera, vec3(at.x, height, at.y));
                    assert!((0.02..=0.98).contains(&u) && (0.0..=1.01).contains(&v), "{shot:?}: {u} {v}");
                }
            }
        }
    }
}

/// The lens can't: nearest focal length, and the sentence says what would do. A close-up at 20 m needs 24 mm ·
/// 20/(1.75·0.18/0.94) = 1432 mm by the shot size's own fractions; 200 mm gives a frame of 2.4 m at 20 m, 1.37
/// statures: nearest to a full length.
#[test]
fn a_lens_too_short_is_drawn_at_its_end_and_says_so() {
    let plan = plan_with([0.070, 0.200], vec2(0.0, 20.0), 1.6);
    let frame = Frame { of: vec![PersonIx(0)], shot_size: ShotSize::Close, ..frame_of(&plan) };
    let got = composed(&plan, &frame, &[(0, Vec2::ZERO)]);
    assert_eq!(got.camera.focal_m, 0.200);
    let [Remark::FocalNotOnLens { wanted_m, becomes, would_do_at_m, .. }] = &got.remarks[..] else {
        panic!("{:?}", got.remarks)
    };
    assert!((wanted_m - 1.399).abs() < 0.01, "{wanted_m}");
    assert_eq!(*becomes, ShotSize::Full);
    assert!((would_do_at_m - 20.0 * 0.2 / 1.399).abs() < 0.05, "{would_do_at_m}");
    assert_eq!(
        got.remarks[0].to_string(),
        "a close-up from here takes 1399 mm; the 70–200 mm lens ends at 200 mm, which gives a full length. It would do from 2.8 m instead of 19.9 m"
    );
}

#[test]
fn a_focal_length_as_asked_is_kept_and_only_aimed() {
    let plan = plan_with([0.024, 0.070], vec2(0.0, 6.0), 1.5);
    let frame = Frame { of: vec![PersonIx(0)], focal_m: Some(0.035), shot_size: ShotSize::Half, ..frame_of(&plan) };
    let got = composed(&plan, &frame, &[(0, vec2(2.0, 0.0))]);
    assert_eq!(got.camera.focal_m, 0.035);
    let (u, _) = place_in_frame(&got.camera, vec3(2.0, 1.64, 0.0));
    assert!((0.35..0.65).contains(&u), "{u}");
    let off_lens = composed(&plan, &Frame { focal_m: Some(0.135), ..frame }, &[(0, Vec2::ZERO)]);
    assert_eq!(off_lens.camera.focal_m, 0.070);
    assert_eq!(off_lens.remarks[0].to_string(), "135 mm is not on the 24–70 mm lens; drawn at 70 mm");
}

#[test]
fn an_aim_of_its_own_is_looked_at() {
    let plan = plan_with([0.024, 0.070], vec2(1.0, 8.0), 1.5);
    let target = vec3(-1.0, 2.2, -3.0);
    let aim = Some(Aim::Point { at: vec2(target.x, target.z), height_m: target.y });
    let frame = Frame { aim, of: vec![], shot_size: ShotSize::Wide, ..frame_of(&plan) };
    let got = compose(&plan, &frame, &tableau_of(vec![]), 1000.0).expect("aimed");
    let (u, v) = place_in_frame(&got.camera, target);
    assert!((u - 0.5).abs() < 1e-4 && (v - 0.5).abs() < 1e-4, "{u} {v}");
    assert!((got.camera.focus_m - f64::from(target.distance(got.camera.eye))).abs() < 1e-3);
    // Aimed at a place, and someone is to be in it: the angle opens until they are.
    let both = Frame { of: vec![PersonIx(0)], shot_size: ShotSize::Full, ..frame };
    let got = composed(&plan, &both, &[(0, vec2(1.5, 0.0))]);
    let (u, v) = place_in_frame(&got.camera, vec3(1.5, 1.75, 0.0));
    assert!((0.0..1.0).contains(&u) && (0.0..1.0).contains(&v), "{u} {v}");
    // Aimed at a person: that one is in the frame as the shot size has it.
    let one = Frame {
        aim: Some(Aim::Person(PersonIx(1))),
        of: vec![PersonIx(1)],
        shot_size: ShotSize::ThreeQuarter,
        ..frame_of(&plan)
    };
    let got = composed(&plan, &one, &[(0, vec2(1.5, 0.0)), (1, vec2(-2.0, 1.0))]);
    let (u, v) = place_in_frame(&got.camera, vec3(-2.0, 1.64, 1.0));
    assert!((0.4..0.6).contains(&u) && (0.1..0.4).contains(&v), "{u} {v}");
}

/// By construction: the middle of a fixture 1 m high on a platform of 0.6 m, 0.2 m above its floor, is at 1.3 m.
#[test]
fn a_fixture_that_is_aimed_at_stands_on_its_platform() {
    let mut plan = plan_with([0.024, 0.070], vec2(0.0, 6.0), 1.3);
    plan.venue.platforms = vec![Platform {
        id: "stage".into(),
        centre: vec2(0.0, -2.0),
        heading: 0.0,
        size_m: vec2(4.0, 2.0),
        height_m: 0.6,
        surface: Surface::OakBoards,
        steps: 0,
        tread_m: 0.3,
    }];
    plan.venue.fixtures = vec![Fixture {
        id: "altar".into(),
        kind: FixtureKind::AltarTable,
        at: vec2(0.0, -2.0),
        above_floor_m: 0.2,
        heading: 0.0,
        size_m: [2.0, 1.0, 0.8],
        colour: None,
        clutter: false,
    }];
    let frame = Frame { of: vec![], aim: Some(Aim::Fixture(FixtureIx(0))), ..frame_of(&plan) };
    let camera = composed(&plan, &frame, &[(0, Vec2::ZERO)]).camera;
    let (u, v) = place_in_frame(&camera, vec3(0.0, 1.3, -2.0));
    assert!((u - 0.5).abs() < 1e-3 && (v - 0.5).abs() < 1e-3, "{u} {v}");
}

#[test]
fn who_is_missing_is_told() {
    let plan = plan_with([0.024, 0.070], vec2(0.0, 5.0), 1.5);
    let frame = Frame { of: vec![PersonIx(0), PersonIx(2)], shot_size: ShotSize::Full, ..frame_of(&plan) };
    let got = composed(&plan, &frame, &[(0, Vec2::ZERO)]);
    assert_eq!(got.remarks, vec![Remark::NotThere { name: "Person 2".into() }]);
    let nobody = compose(&plan, &frame, &tableau_of(vec![]), 100.0).expect_err("nobody is there");
    assert_eq!(
        nobody.to_string(),
        "frame `frame` is of Person 0, Person 2, and nobody of them is there at that moment"
    );
}

#[test]
fn lens_and_body_have_the_last_word() {
    let plan = plan_with([0.024, 0.070], vec2(0.0, 0.5), 1.6);
    let frame = Frame {
        of: vec![PersonIx(0)],
        shot_size: ShotSize::Close,
        exposure: Exposure { f_number: 1.4, shutter_s: 1.0 / 32_000.0, iso: Some(51_200.0), compensation_ev: 0.0 },
        ..frame_of(&plan)
    };
    // 0.3 m from the eyes; the lens focuses from 0.38 m, opens to f/2.8, the body stops at 1/8000 s and ISO 6400.
    let got = composed(&plan, &frame, &[(0, vec2(0.0, 0.1))]);
    let words: Vec<String> = got.remarks.iter().map(ToString::to_string).collect();
    assert!(words.iter().any(|word| word.starts_with("the lens has no f/1.4")), "{words:#?}");
    assert!(words.contains(&"the body has no 1/32000 s; drawn at 1/8000 s".to_owned()), "{words:#?}");
    assert!(
        words.contains(&"ISO 51200 is outside what this body is used at; drawn at ISO 6400".to_owned()),
        "{words:#?}"
    );
    assert!(words.iter().any(|word| word.contains("and the lens focuses from 0.38 m")), "{words:#?}");
    assert_eq!((got.camera.f_number, got.camera.iso, got.camera.focus_m), (2.8, 6400.0, 0.38));
}

#[test]
fn the_camera_stands_on_the_platform_its_photographer_stands_on() {
    let plan = plan_with([0.024, 0.070], vec2(0.0, 5.0), 1.5);
    let frame = Frame { of: vec![PersonIx(0)], shot_size: ShotSize::Full, ..frame_of(&plan) };
    let mut figures = vec![person_at(0, 1.75, Vec2::ZERO, Vec3::Z)];
    figures.push(photographer_at(0, vec3(0.0, 0.4, 5.0)));
    let got = compose(&plan, &frame, &tableau_of(figures), 100.0).expect("there");
    assert!((got.camera.eye - vec3(0.0, 1.9, 5.0)).length() < 1e-6, "{}", got.camera.eye);
}

#[test]
fn metering_follows_the_light_on_the_face() {
    let plan = plan_with([0.024, 0.070], vec2(0.0, 5.0), 1.5);
    let frame = Frame {
        of: vec![PersonIx(0)],
        shot_size: ShotSize::Full,
        exposure: Exposure { f_number: 2.8, shutter_s: 1.0 / 250.0, iso: None, compensation_ev: 0.0 },
        ..frame_of(&plan)
    };
    let tableau = tableau_of(vec![person_at(0, 1.75, Vec2::ZERO, Vec3::Z)]);
    let at = |lux| compose(&plan, &frame, &tableau, lux).expect("there");
    // C·N²/(t·E) = 250·7.84·250/320 lx (an office, EV 7) = 1531: nearest mark 1600.
    assert_eq!(at(320.0).camera.iso, 1600.0);
    assert!(matches!(at(5.0).remarks[..], [Remark::TooDark { stops, .. }] if (stops - 3.94).abs() < 0.01));
    assert!(at(80_000.0).camera.shutter_s < 1.0 / 1000.0);
}

proptest! {
    /// Wherever camera and people are, one on top of the other included: a camera with finite numbers on the lens,
    /// never a panic.
    #[test]
    fn composing_never_fails_on_odd_places(
        eye in (-30.0..30.0f32, -30.0..30.0f32), height_m in 0.05..12.0f32,
        a in (-30.0..30.0f32, -30.0..30.0f32), b in (-30.0..30.0f32, -30.0..30.0f32),
        shot in 0usize..6, portrait: bool, same_spot: bool, focal_mm in prop::option::of(8.0..900.0f64),
    ) {
        let plan = plan_with([0.024, 0.070], vec2(eye.0, eye.1), height_m);
        let orientation = if portrait { Orientation::Portrait } else { Orientation::Landscape };
        let frame = Frame {
            of: vec![PersonIx(0), PersonIx(1)], shot_size: FRAMINGS[shot].size, orientation,
            focal_m: focal_mm.map(|mm| mm / 1000.0), ..frame_of(&plan)
        };
        let first = if same_spot { vec2(eye.0, eye.1) } else { vec2(a.0, a.1) };
        let got = composed(&plan, &frame, &[(0, first), (1, vec2(b.0, b.1))]);
        let camera = got.camera;
        prop_assert!(camera.turned.is_finite() && (camera.turned.length() - 1.0).abs() < 1e-3);
        prop_assert!((0.024..=0.070).contains(&camera.focal_m), "{}", camera.focal_m);
        prop_assert!(camera.focus_m.is_finite() && camera.focus_m >= 0.38);
        for remark in &got.remarks {
            let words = remark.to_string();
            prop_assert!(!words.contains("NaN") && !words.contains("inf "), "{words}");
        }
    }
}
