//! Findings against published values and the trade's own rules, which must come out of the computation.

use glam::{Vec2, Vec3};
use standpoint::findings::{Finding, Rule, findings};
use standpoint::optics::{Camera, depth_of_field};
use standpoint::picture::{picture_size, prepare_in};
use standpoint::plan::{Plan, load, read};
use standpoint::sight::{frame_seen, guests_seen};
use standpoint::staging::{Figure, OwnerKind, Run, Tableau, rehearse};

/// Ada and Bo, and one camera.
fn plan(bo: &str, cues: &str, at: &str, frame: &str) -> Plan {
    let text = format!(
        r#"Plan(format: 1, place: (latitude: 38.57, longitude: -7.91), start: "2027-06-12T17:30[Europe/Lisbon]", sky: overcast,
        people: [(id: "ada", name: "Ada Lind", stature: 1.7, wears: suit, at: (0, 0)), (id: "bo", name: "Bo Katz", stature: 1.7, wears: suit, at: {bo})],
        moments: [(id: "vows", length: 120, cues: [(who: ["ada", "bo"], faces: (0, 50), looks: (0, 50)), {cues}])],
        kit: (bodies: [(id: "body", sensor: full_frame, iso: (100, 12800))], lenses: [(id: "zoom", f: 2.8, focal_mm: (16, 200), nearest_focus: 0.4)]),
        crew: [(id: "lead", name: "Lena Moor", role: "lead", carries: [("body", "zoom")])],
        standpoints: [(id: "aisle-end", photographer: "lead", at: {at}, height: 1.6, during: ["vows"])],
        frames: [(id: "frame", moment: "vows", after: 30, standpoint: "aisle-end", {frame})])"#
    );
    rehearse(read(&text).unwrap_or_else(|problems| panic!("{:#?}", problems.list))).0
}

fn found(plan: &Plan, rule: Rule) -> Option<Finding> {
    findings(&Run::new(plan), || ()).list.into_iter().find(|it| it.rule == rule)
}

/// *Common practice, no source*: 200 mm f/2.8 at 12 m holds two faces only if they differ by less than about 0.6 m in depth.
/// By Greenleaf (1950), pp. 25–27, with 0.030 mm it is 11.71 to 12.31 m.
#[test]
fn two_faces_at_200_mm() {
    let dof = depth_of_field(0.2, 2.8, 30e-6, 12.0);
    assert!((dof.far_m - dof.near_m - 0.6).abs() < 0.01, "{dof:?}");
    let at = |apart_m: f64| {
        let frame = r#"of: ["ada", "bo"], focal_mm: 200, shot_size: half, f: 2.8, shutter: "1/1000""#;
        found(&plan(&format!("(0.5, -{apart_m})"), "", "(0, 12)", frame), Rule::OutOfFocus)
    };
    assert_eq!(at(0.28), None);
    let half = at(0.5).expect("beyond the far limit");
    assert!(half.remedy.starts_with("focus between"), "{half:?}");
    let most = at(0.75).expect("farther");
    assert!(!most.remedy.contains("between"), "{most:?}");
}

/// The row of the handbook formula b = v·t·f/(d−f): 1.4 m/s across, 5 m away, 50 mm, 1/60 s smear by 0.2357 mm.
#[test]
fn a_walk_smears_as_the_formula_says() {
    // She sets out 5 s before, so that she walks evenly by then; the camera is where she passes.
    let cues = r#"(who: "ada", after: 25, at: (14, 0), pace: 1.4, looks: (0, 50)),"#;
    let frame = r#"of: "ada", focal_mm: 50, shot_size: full, f: 22, shutter: "1/60", iso: 400"#;
    let moves = plan("(30, 0)", cues, "(7, 5)", frame);
    let blur = found(&moves, Rule::SubjectBlur).expect("it shows");
    // Way over time is 1.4 m/s; setting off and stopping take half a second of it, so that she goes at 1.47 in the middle.
    let expected_mm = 0.2357 * blur.numbers["across_mps"] / 1.4;
    assert!((blur.numbers["across_mps"] - 1.47).abs() < 0.1, "{blur:?}");
    assert!((blur.numbers["smear_mm"] / expected_mm - 1.0).abs() < 0.06, "{blur:?} {expected_mm}");
}

/// A small sphere off the axis of a central projection comes out 1/cos θ longer than wide: by its tangent cone, projected
/// point by point.
#[test]
fn a_face_is_stretched_as_a_sphere_is() {
    let frame = r#"of: "ada", focal_mm: 16, shot_size: wide, aim: (at: (3.2, 0), height: 1.5)"#;
    let plan = plan("(30, 0)", "", "(0, 4)", frame);
    let finding = found(&plan, Rule::FaceStretched).expect("far off the middle");
    let ready = prepare_in(&Run::new(&plan), &plan.frames[0]).expect("ready").composed.camera;
    let figure = Run::new(&plan)
        .tableau(30.0)
        .figures
        .into_iter()
        .find(|it| it.stature_m == 1.7 && it.sole.x.abs() < 1.0)
        .expect("Ada");
    let ratio = sphere_stretch(&ready, figure.eyes.midpoint(figure.chin), 0.08);
    assert!((finding.numbers["stretch"] / ratio - 1.0).abs() < 0.01, "{finding:?} {ratio}");
}

/// Length over width of a sphere's outline.
fn sphere_stretch(camera: &Camera, middle: Vec3, radius_m: f32) -> f64 {
    let way = middle - camera.eye;
    let distance_m = way.length();
    // The outline is where the tangent cone touches.
    let (sin, cos) = (radius_m / distance_m, (1.0 - (radius_m / distance_m).powi(2)).sqrt());
    let (a, b) = way.normalize().any_orthonormal_pair();
    let outline: Vec<(f64, f64)> = (0..3600)
        .map(|k| {
            let angle = k as f32 / 3600.0 * std::f32::consts::TAU;
            let at = camera.eye + (way.normalize() * cos + (a * angle.cos() + b * angle.sin()) * sin) * distance_m;
            camera.image_from_world(at, 1e4).map(|(u, v, _)| (u, v)).expect("ahead")
        })
        .collect();
    let count = outline.len() as f64;
    let centre = outline.iter().fold((0.0, 0.0), |sum, it| (sum.0 + it.0 / count, sum.1 + it.1 / count));
    let radii = outline.iter().map(|it| (it.0 - centre.0).hypot(it.1 - centre.1));
    let (least, most) = radii.fold((f64::INFINITY, 0.0_f64), |(low, high), it| (low.min(it), high.max(it)));
    most / least
}

const DEMOS: [&str; 3] = ["orchard", "chapel", "loft"];

fn demo(name: &str) -> Plan {
    let path = format!("{}/scenes/{name}.ron", env!("CARGO_MANIFEST_DIR"));
    rehearse(load(path).expect("a demo").plan).0
}

/// The couple's middle in the kiss, and the way from there to the middle of the guests.
fn couple_and_guests(tableau: &Tableau, run: &Run) -> (Vec3, Vec3) {
    let middle = |figures: Vec<&Figure>| figures.iter().map(|it| it.eyes).sum::<Vec3>() / figures.len() as f32;
    let of = |wanted: &dyn Fn(OwnerKind) -> bool| {
        tableau.figures.iter().filter(|it| wanted(tableau.owner(it.owner).kind)).collect()
    };
    let couple = middle(of(&|kind| matches!(kind, OwnerKind::Person(ix) if run.couple.contains(&ix))));
    let guests = middle(of(&|kind| matches!(kind, OwnerKind::Guest { .. })));
    (couple, (guests - couple).with_y(0.0).normalize())
}

/// *Common practice, no source*: from the altar side the kiss has more guests' faces behind it than from the aisle's end, with
/// the same lens from as far away.
#[test]
fn the_kiss_from_the_altar_has_the_guests_faces() {
    for name in DEMOS {
        let plan = demo(name);
        let run = Run::new(&plan);
        let frame = plan.frames.iter().find(|frame| plan.moments[frame.moment.0].id == "kiss").expect("a frame of it");
        let ready = prepare_in(&run, frame).expect("ready");
        let (couple, to_guests) = couple_and_guests(&ready.tableau, &run);
        let faces = |away_m: f32| {
            let eye = couple + to_guests * away_m;
            let camera = Camera {
                eye,
                turned: Camera::look_at(eye, couple),
                focal_m: 0.035,
                sensor_m: [0.036, 0.024],
                ..ready.composed.camera
            };
            frame_seen(&plan, frame, &ready.tableau, &camera, &ready.daylight, picture_size(camera.sensor_m, 960))
                .audience
                .faces
        };
        assert!(faces(-2.0) >= 10 && faces(2.0) == 0, "{name}: {} and {}", faces(-2.0), faces(2.0));
    }
}

/// *Common practice, no source*: the middle of the aisle in front takes the view of more guests than any place at the edges: a
/// step before the couple, standing, against the outer ends of the rows.
#[test]
fn the_middle_of_the_aisle_costs_most_views() {
    for name in DEMOS {
        let plan = demo(name);
        let run = Run::new(&plan);
        // Half a minute into the first vow, both of them in profile.
        let at_s = plan.moments.iter().find(|moment| moment.id.starts_with("vows")).expect("a vow").start_s + 30.0;
        let tableau = run.tableau(at_s);
        let (couple, to_guests) = couple_and_guests(&tableau, &run);
        let across = to_guests.cross(Vec3::Y);
        let guests =
            tableau.figures.iter().filter(|it| matches!(tableau.owner(it.owner).kind, OwnerKind::Guest { .. }));
        let widest_m = guests.map(|it| (it.eyes - couple).dot(across).abs()).fold(0.0, f32::max);
        let lost = |side_m: f32| {
            let mut plan = plan.clone();
            let spot = couple + to_guests * 1.0 + across * side_m;
            for standpoint in plan.standpoints.iter_mut().filter(|it| it.photographer.0 == 0) {
                (standpoint.at, standpoint.camera_height_m) = (Vec2::new(spot.x, spot.z), 1.55);
            }
            for standpoint in plan.standpoints.iter_mut().filter(|it| it.photographer.0 != 0) {
                standpoint.during.clear();
            }
            let run = Run::new(&plan);
            guests_seen(&plan, &run.tableau(at_s)).lost_views
        };
        let edges = [-1.0, -0.85, 0.85, 1.0].map(|share| lost(share * widest_m));
        assert!(edges.iter().all(|edge| lost(0.0) > 2.0 * edge), "{name}: {} and {edges:?}", lost(0.0));
    }
}

/// A lamp's light falls with the square of the distance and the cosine (Lambert): in the dark, under one lamp, a face twice as
/// far from it is two stops darker.
#[test]
fn one_lamp_twice_as_far_is_two_stops() {
    let dark = |z: f64| {
        let text = format!(
            r#"Plan(format: 1, place: (latitude: 38.57, longitude: -7.91), start: "2027-06-12T03:00[Europe/Lisbon]", sky: overcast,
            venue: (lamps: [(id: "bulb", kind: bulb, at: (0, {z}), height: 1.53, lumens: 4000, kelvin: 3000)]),
            people: [(id: "ada", name: "Ada Lind", stature: 1.7, wears: suit, at: (0, 0))],
            moments: [(id: "vows", length: 120, cues: [(who: "ada", faces: (0, 50), looks: (0, 50))])],
            standpoints: [(id: "aisle-end", photographer: "lead", at: (0.8, 6), height: 1.6, during: ["vows"])],
            frames: [(id: "frame", moment: "vows", after: 30, standpoint: "aisle-end", of: "ada", with: "70-200", shot_size: half, f: 11, shutter: "1/500", iso: 100)])"#
        );
        let plan = rehearse(read(&text).unwrap_or_else(|problems| panic!("{:#?}", problems.list))).0;
        found(&plan, Rule::FaceDark).expect("dark").numbers["face_lux"]
    };
    // The meter's point lies a hand before the face, the lamp's middle at the height of the face: distances by the difference.
    let (near, far) = (dark(2.0), dark(4.0));
    let offset_m = 0.12 + 0.1;
    let expected = ((4.0 - offset_m) / (2.0 - offset_m)) * ((4.0 - offset_m) / (2.0 - offset_m));
    assert!((near / far / expected - 1.0).abs() < 0.08, "{near} {far} {expected}");
}

/// Beyond the polar circle (pvlib 0.16.1: Tromsø, 22 June 2025, 00:30, apparent elevation 3.349°, azimuth 356.295°; on 21 December at
/// noon −3.144°): the midnight sun stands in a frame that looks north, and in none in winter.
#[test]
fn the_midnight_sun_is_ahead_and_the_polar_night_has_none() {
    let ahead = |start: &str, bearing: f64| {
        let text = format!(
            r#"Plan(format: 1, place: (latitude: 69.6492, longitude: 18.9553, bearing: {bearing}), start: "{start}[Europe/Oslo]", sky: clear,
            people: [(id: "ada", name: "Ada Lind", stature: 1.7, at: (0, 0))],
            moments: [(id: "vows", length: 120, cues: [(who: "ada", faces: (0, 50), looks: (0, 50))])],
            standpoints: [(id: "aisle-end", photographer: "lead", at: (0, 5), height: 1.2, during: ["vows"])],
            frames: [(id: "frame", moment: "vows", after: 0, standpoint: "aisle-end", of: "ada", with: "24-70", focal_mm: 35, shot_size: full)])"#
        );
        let plan = rehearse(read(&text).unwrap_or_else(|problems| panic!("{:#?}", problems.list))).0;
        found(&plan, Rule::SunAhead)
    };
    let north = ahead("2025-06-22T00:30", 356.3).expect("the midnight sun");
    assert_eq!(north.numbers["outside_deg"], 0.0, "{north:?}");
    assert!(north.sentence.contains("never look at it"), "{}", north.sentence);
    assert_eq!(ahead("2025-06-22T00:30", 176.3), None);
    assert_eq!(ahead("2025-12-21T12:00", 184.1), None);
}
