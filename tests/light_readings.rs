//! Light measured on a visit against the model it corrects.
//!
//! ISO 2720: an incident meter's EV at ISO 100 and lux are E = C·2^EV/100 with C = 250, so EV 9 is 1280 lx. The rest is exact by
//! construction: a reading of so many times the model's light makes all light so many times as strong.

use standpoint::daylight::{Daylight, daylight_at};
use standpoint::findings::findings;
use standpoint::optics::illuminance_at_ev100;
use standpoint::picture::{LightFrom, Prepared, prepare_in};
use standpoint::plan::{Plan, Sky, read};
use standpoint::sight::{Caster, Light, Sources};
use standpoint::staging::Run;

/// A room with a window and a lawn before it; Ada inside, Bo on the lawn.
fn plan(readings: &str) -> Plan {
    let text = format!(
        r#"Plan(format: 1, place: (latitude: 38.57, longitude: -7.91), start: "2027-06-12T17:30[Europe/Lisbon]", sky: overcast,
        venue: (rooms: [(id: "hall", centre: (0, 0), size: (8, 10), height: 4, openings: [(side: left, kind: window, along: 5, width: 3, sill: 1, height: 2)])]),
        marks: [(id: "altar", at: (0, -2)), (id: "lawn", at: (20, 0))],
        people: [(id: "ada", name: "Ada Lind", at: "altar"), (id: "bo", name: "Bo Katz", at: "lawn")],
        moments: [(id: "vows", length: 60)],
        kit: (bodies: [(id: "body")], lenses: [(id: "long", focal_mm: (70, 200), f: 2.8, nearest_focus: 0.9)]),
        crew: [(id: "lead", carries: [("body", "long")]), (id: "second", carries: [("body", "long")])],
        standpoints: [(id: "in", photographer: "lead", at: (0, 3), during: ["vows"]), (id: "out", photographer: "second", at: (20, 6), during: ["vows"])],
        frames: [(id: "ada", moment: "vows", after: 30, standpoint: "in", of: "ada", shot_size: half), (id: "bo", moment: "vows", after: 30, standpoint: "out", of: "bo", shot_size: half)],
        readings: [{readings}])"#
    );
    read(&text).unwrap_or_else(|problems| panic!("{problems}"))
}

fn with<T>(plan: &Plan, frame: &str, ask: impl Fn(&Prepared) -> T) -> T {
    let run = Run::new(plan);
    let frame = plan.frames.iter().find(|it| it.id == frame).unwrap();
    ask(&prepare_in(&run, frame).unwrap())
}

fn lux(plan: &Plan, frame: &str) -> f64 {
    with(plan, frame, |ready| ready.metered.lux)
}

fn over(plan: &Plan, frame: &str) -> Option<f64> {
    with(plan, frame, |ready| match &ready.light_from {
        LightFrom::Model => None,
        LightFrom::Reading { over_model_stops, .. } => Some(*over_model_stops),
    })
}

/// What the model says of a reading's spot: from how far a reading of one lux lies from it.
fn model_lux(of: &str, frame: &str) -> f64 {
    (-over(&plan(&format!("({of}, lux: 1)")), frame).unwrap()).exp2()
}

#[test]
fn a_reading_of_the_models_own_light_changes_nothing() {
    let at = r#"at: "altar", when: "2027-06-12T17:30""#;
    let same = plan(&format!("({at}, lux: {})", model_lux(at, "ada")));
    assert!(over(&same, "ada").unwrap().abs() < 1e-9);
    let off = (lux(&same, "ada") / lux(&plan(""), "ada")).log2();
    assert!(off.abs() < 1e-6, "{off} stops");
}

#[test]
fn three_times_the_light_is_three_times_the_light_on_everything() {
    let at = r#"at: "altar", when: "2027-06-12T17:30""#;
    let thrice = plan(&format!("({at}, lux: {})", 3.0 * model_lux(at, "ada")));
    for ask in [|r: &Prepared| r.metered.lux, |r: &Prepared| r.daylight.sky.horizontal_lux()] {
        let ratio = with(&thrice, "ada", ask) / with(&plan(""), "ada", ask);
        assert!((ratio - 3.0).abs() < 1e-3, "{ratio}");
    }
    let iso = |plan: &Plan| with(plan, "ada", |ready| ready.composed.camera.iso);
    assert!(iso(&thrice) < iso(&plan("")), "{} against {}", iso(&thrice), iso(&plan("")));
}

/// Source: ISO 2720, C = 250.
#[test]
fn ev_9_is_1280_lux() {
    assert!((illuminance_at_ev100(9.0) - 1280.0).abs() < 1e-9);
    let (ev, lux) =
        (r#"(at: "lawn", when: "2027-06-12T17:30", ev: 9)"#, r#"(at: "lawn", when: "2027-06-12T17:30", lux: 1280)"#);
    assert_eq!(over(&plan(ev), "bo"), over(&plan(lux), "bo"));
}

/// By another route: what the sky of the hour gives an upright surface in the open, without the program's metering.
#[test]
fn the_hour_and_the_weather_of_the_visit_count() {
    let at = r#"at: "lawn", when: "2027-03-20T09:10", sky: hazy"#;
    let model = model_lux(at, "bo");
    let here = plan("");
    let visit = "2027-03-20T09:10[Europe/Lisbon]".parse().unwrap();
    let daylight: Daylight = daylight_at(&here.place, Sky::Hazy, &visit);
    let open = daylight.illuminance_on(glam::Vec3::Z);
    assert!((model / open).log2().abs() < 0.3, "{model} lx against {open} lx in the open");
    let by_noon = model_lux(r#"at: "lawn", when: "2027-06-12T13:30", sky: hazy"#, "bo");
    assert!((by_noon / model - 1.0).abs() > 0.1, "the hour makes no difference: {by_noon} lx, {model} lx");
}

#[test]
fn a_reading_counts_in_its_own_room_alone_and_the_nearest_wins() {
    let inside = r#"(at: "altar", when: "2027-06-12T17:30", lux: 40)"#;
    assert_eq!(over(&plan(inside), "bo"), None, "a reading in the hall doesn't say how bright the lawn is");
    let two = plan(&format!(r#"(at: (0, 4), when: "2027-06-12T17:30", lux: 4000), {inside}"#));
    assert_eq!(over(&two, "ada"), over(&plan(inside), "ada"), "the one at the altar is nearer");
}

/// A slip of the pen must not turn night into day.
#[test]
fn a_reading_far_from_the_model_is_doubted() {
    let plan = plan(r#"(at: "lawn", when: "2027-06-12T17:30", lux: 1)"#);
    let found = findings(&Run::new(&plan), || ());
    let light = &found.light.iter().find(|it| it.frame == "bo").unwrap().light;
    assert!(matches!(light, LightFrom::Reading { doubtful: true, .. }), "{light:?}");
    let sentence = light.sentence().unwrap();
    assert!(sentence.contains("at lawn") && sentence.contains("read it again"), "{sentence}");
    let stops = (lux(&plan, "bo") / lux(&self::plan(""), "bo")).log2();
    assert!((stops + 5.0).abs() < 1e-3, "{stops} stops");
}

/// The meter lies in the shade of nobody: people who stand there in the ceremony aren't there on a visit.
#[test]
fn nobody_stands_before_the_meter() {
    let here = plan(r#"(at: "altar", when: "2027-06-12T17:30", lux: 100)"#);
    let run = Run::new(&here);
    let mut alone = run.tableau(0.0);
    let people: Vec<_> = alone.figures.iter().map(|figure| figure.owner).collect();
    alone.solids.retain(|solid| !people.contains(&solid.owner));
    let sources = Sources::of(&here.venue, &alone);
    let daylight = daylight_at(&here.place, here.sky, &here.start);
    let caster = Caster::new(&alone);
    let expected = Light::new(&caster, &daylight, &sources).on_spot(glam::Vec3::new(0.0, 1.6, -2.0), glam::Vec3::Z);
    let stops = (100.0 / expected.total_lux()).log2();
    assert!((over(&here, "ada").unwrap() - stops).abs() < 1e-6);
}
