//! How light falls on a face, in words, where geometry alone says which word it is.
//!
//! Front, side and rim by the sun's bearing from the face: *common practice, no source*. Where the sun stands is taken from the
//! program's own sun, which `daylight_sun.rs` holds against published tables.

use standpoint::daylight::daylight_at;
use standpoint::findings::{Falls, findings};
use standpoint::plan::{Plan, read};
use standpoint::staging::Run;

/// Ada looks at the camera, which stands `from_deg` clockwise of −z seen from her; a low evening sun.
fn plan(from_deg: f64, start: &str, sky: &str, fixtures: &str) -> Plan {
    let turn = from_deg.to_radians();
    let (x, z) = (6.0 * turn.sin(), -6.0 * turn.cos());
    let text = format!(
        r#"Plan(format: 1, place: (latitude: 38.57, longitude: -7.91), start: "{start}[Europe/Lisbon]", sky: {sky},
        venue: (fixtures: [{fixtures}]),
        people: [(id: "ada", name: "Ada Lind", hair: short, at: (0, 0))],
        moments: [(id: "vows", length: 60, cues: [(who: "ada", faces: ({x}, {z}), looks: ({x}, {z}))])],
        kit: (bodies: [(id: "body")], lenses: [(id: "long", focal_mm: (70, 200), f: 2.8, nearest_focus: 0.9)]),
        crew: [(id: "lead", carries: [("body", "long")])],
        standpoints: [(id: "here", photographer: "lead", at: ({x}, {z}), during: ["vows"])],
        frames: [(id: "ada", moment: "vows", after: 30, standpoint: "here", of: "ada", shot_size: half)])"#
    );
    read(&text).unwrap_or_else(|problems| panic!("{problems}"))
}

fn how(plan: &Plan) -> Falls {
    let found = findings(&Run::new(plan), || ());
    found.light[0].on.first().unwrap_or_else(|| panic!("no face shows: {:#?}", found.list)).falls
}

const EVENING: &str = "2027-06-12T19:30";

/// Bearing of the sun in the plan, degrees clockwise from −z; its height.
fn sun(start: &str) -> (f64, f64) {
    let plan = plan(0.0, start, "clear", "");
    let daylight = daylight_at(&plan.place, plan.sky, &plan.start);
    (daylight.azimuth.to_degrees(), daylight.elevation.to_degrees())
}

#[test]
fn the_sun_goes_round_from_the_front_to_the_side_to_the_rim() {
    let (sun_deg, height_deg) = sun(EVENING);
    assert!((5.0..30.0).contains(&height_deg), "{height_deg}");
    for (off_deg, expected) in
        [(0.0, Falls::Front), (35.0, Falls::Front), (-35.0, Falls::Front), (70.0, Falls::Side), (-70.0, Falls::Side)]
    {
        let found = how(&plan(sun_deg + off_deg, EVENING, "clear", ""));
        assert_eq!(found, expected, "camera {off_deg}° from the sun");
    }
    for off_deg in [180.0, 150.0, -150.0] {
        assert_eq!(how(&plan(sun_deg + off_deg, EVENING, "clear", "")), Falls::Rim, "camera {off_deg}° from the sun");
    }
}

#[test]
fn no_sun_is_soft_and_a_wall_before_the_sun_too() {
    let (sun_deg, _) = sun(EVENING);
    assert_eq!(how(&plan(sun_deg, EVENING, "overcast", "")), Falls::Soft);
    let turn = sun_deg.to_radians();
    let (x, z) = (2.0 * turn.sin(), -2.0 * turn.cos());
    let wall = format!(r#"(kind: block, id: "wall", at: ({x}, {z}), heading: {sun_deg}, size: (4, 4, 0.2))"#);
    // The camera at a right angle, so that the wall isn't in its way.
    assert_eq!(how(&plan(sun_deg + 60.0, EVENING, "clear", &wall)), Falls::Soft);
    assert_eq!(how(&plan(sun_deg + 60.0, EVENING, "clear", "")), Falls::Side);
}

/// A June noon at 38.6° north: the sun stands over 70° high (90° − latitude + declination).
#[test]
fn at_noon_it_comes_from_the_top() {
    let noon = "2027-06-12T13:30";
    let (sun_deg, height_deg) = sun(noon);
    assert!(height_deg > 70.0, "{height_deg}");
    assert!(
        matches!(how(&plan(sun_deg, noon, "clear", "")), Falls::Top | Falls::Split),
        "{:?}",
        how(&plan(sun_deg, noon, "clear", ""))
    );
}

/// A post between sun and half the face; then lattice work of many.
#[test]
fn one_edge_splits_and_many_dapple() {
    let (sun_deg, height_deg) = sun(EVENING);
    let turn = sun_deg.to_radians();
    let (ahead, across) = ((turn.sin(), -turn.cos()), (turn.cos(), turn.sin()));
    let camera = sun_deg + 40.0;
    let at = |away_m: f64, aside_m: f64| (away_m * ahead.0 + aside_m * across.0, away_m * ahead.1 + aside_m * across.1);
    let words: Vec<Falls> = (-12..=12)
        .map(|step| {
            let (x, z) = at(1.2, f64::from(step) * 0.03 - 0.5);
            how(&plan(
                camera,
                EVENING,
                "clear",
                &format!(r#"(kind: block, id: "post", at: ({x}, {z}), heading: {sun_deg}, size: (0.9, 3, 0.05))"#),
            ))
        })
        .collect();
    assert!(words.contains(&Falls::Split), "height {height_deg}: {words:?}");
    assert!(!words.contains(&Falls::Dappled), "one edge isn't many: {words:?}");
    let slats: Vec<String> = (0..24)
        .map(|n| {
            let (x, z) = at(1.2, f64::from(n) * 0.05 - 0.6);
            format!(r#"(kind: block, id: "slat-{n}", at: ({x}, {z}), heading: {sun_deg}, size: (0.025, 3, 0.02))"#)
        })
        .collect();
    assert_eq!(how(&plan(camera, EVENING, "clear", &slats.join(", "))), Falls::Dappled);
}
