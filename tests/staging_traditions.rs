//! A small plan for each way people marry: the language has words for it, it can be walked, and it ends as it should.

use glam::Vec2;
use standpoint::plan::*;
use standpoint::staging::*;

/// Reads a plan of these people, marks and cues in a moment of two minutes, and insists that nothing is in its way.
fn ceremony(venue: &str, people: &str, marks: &str, cues: &str) -> Plan {
    let text = format!(
        "Plan(format: 1, place: (latitude: 50, longitude: 8), start: \"2027-05-08T15:00[Europe/Berlin]\",
            venue: (name: \"A field\", {venue}), people: [{people}], marks: [{marks}],
            moments: [(id: \"all\", length: \"3m\", cues: [{cues}])])"
    );
    let plan = standpoint::plan::read(&text);
    let (plan, hitches) = rehearse(plan.unwrap_or_else(|problems| panic!("{problems}\n{text}")));
    let told: Vec<String> = hitches.iter().map(|hitch| format!("{:.1} s: {}", hitch.at_s, hitch.what)).collect();
    assert!(told.is_empty(), "{}", told.join("\n"));
    plan
}

/// Where somebody is, and that nobody jumped on the way there.
struct Watched<'p> {
    run: Run<'p>,
}

impl<'p> Watched<'p> {
    fn new(plan: &'p Plan) -> Self {
        let run = Run::new(plan);
        for who in 0..plan.people.len() {
            for k in 0..1800 {
                let at_s = f64::from(k) * 0.1;
                if let (Some(a), Some(b)) = (run.spot(who, at_s), run.spot(who, at_s + 0.1)) {
                    assert!(a.distance(b) < 0.2, "{} jumps from {a} to {b} at {at_s} s", plan.people[who].id);
                }
            }
        }
        Self { run }
    }

    fn who(&self, id: &str) -> usize {
        self.run.plan.people.iter().position(|person| person.id == id).unwrap_or_else(|| panic!("no `{id}`"))
    }

    fn at(&self, id: &str, at_s: f64) -> Option<Vec2> {
        self.run.spot(self.who(id), at_s)
    }

    fn ends_at(&self, id: &str, spot: [f32; 2]) {
        let there = self.at(id, 179.0).unwrap_or_else(|| panic!("`{id}` isn't there"));
        assert!(there.distance(Vec2::from(spot)) < 0.05, "`{id}` ends at {there}");
    }

    fn heading_deg(&self, id: &str, at_s: f64) -> f32 {
        self.run.heading(self.who(id), at_s).expect("they are there").to_degrees().rem_euclid(360.0)
    }

    fn posture(&self, id: &str, at_s: f64) -> Posture {
        self.run.posture(self.who(id), at_s).now
    }
}

const ROWS: &str = r#"seats: [(id: "left", front: (-3, 4), rows: 3, seats_per_row: 6), (id: "right", front: (3, 4), rows: 3, seats_per_row: 6)]"#;
const COUPLE: &str = r#"(id: "ada", roles: ["bride"], stature: 1.68), (id: "bo", roles: ["groom"], stature: 1.80)"#;
const MARKS: &str = r#"(id: "gate", at: (0, 16)), (id: "aisle", at: (0, 9)), (id: "ada-stands", at: (-0.4, 0)), (id: "bo-stands", at: (0.4, 0))"#;

#[test]
fn one_waits_and_one_walks_on_an_arm() {
    let people = format!(r#"{COUPLE}, (id: "father", roles: ["escort"])"#);
    let plan = ceremony(
        ROWS,
        &people,
        MARKS,
        r#"
        (who: "bo", at: "bo-stands", faces: 180),
        (who: "guests", after: 4, does: standing, looks: "ada"),
        (id: "in", who: ["ada", "father"], after: 5, from: "gate", by: "aisle", at: [(-0.4, 1.2), (0.25, 1.2)], pace: 0.55, gesture: links_arms("father")),
        (id: "hugs", who: "ada", follows: "in", faces: "father", gesture: embraces("father")),
        (id: "lets-go", who: "ada", follows: "hugs", after: 3, gesture: rest, at: "ada-stands", faces: "bo"),
        (who: "father", follows: "lets-go", at: seat("left", 1, 6)),
        (who: "guests", follows: "lets-go", does: sitting)"#,
    );
    let watched = Watched::new(&plan);
    watched.ends_at("ada", [-0.4, 0.0]);
    // Arm in arm all the way: within reach of each other from the gate to the front.
    for at_s in [8.0, 15.0, 25.0, 32.0] {
        let apart = watched.at("ada", at_s).expect("there").distance(watched.at("father", at_s).expect("there"));
        assert!(apart < 0.75, "{apart} m apart at {at_s} s");
    }
    assert_eq!(watched.posture("father", 170.0), Posture::Sitting);
    assert!(!watched.run.guests.stand.at(170.0) && watched.run.guests.stand.at(20.0));
    // She faces him, to her right: the guests' right is +x, and that is 90 degrees.
    assert!((watched.heading_deg("ada", 170.0) - 90.0).abs() < 5.0, "{}", watched.heading_deg("ada", 170.0));
}

#[test]
fn both_walk_in_together_hand_in_hand() {
    let plan = ceremony(
        ROWS,
        COUPLE,
        MARKS,
        r#"
        (id: "in", who: ["ada", "bo"], from: "gate", by: "aisle", at: ["ada-stands", "bo-stands"], pace: 0.7, gesture: holds_hand("bo")),
        (who: "ada", follows: "in", faces: "bo", gesture: takes_hands("bo")),
        (who: "bo", follows: "in", faces: "ada")"#,
    );
    let watched = Watched::new(&plan);
    // 16 m and a little for the corners at 0.7 m/s.
    let arrives_s = watched.run.cues[0].ends_s;
    assert!((16.0 / 0.7..16.5 / 0.7 + 1.0).contains(&arrives_s), "{arrives_s} s");
    for at_s in [3.0, 10.0, 18.0] {
        let (a, b) = (watched.at("ada", at_s).expect("there"), watched.at("bo", at_s).expect("there"));
        assert!(a.x < b.x && (a.y - b.y).abs() < 0.1 && (0.4..0.75).contains(&a.distance(b)), "{a} {b}");
    }
}

#[test]
fn each_comes_from_another_side() {
    let plan = ceremony(
        ROWS,
        COUPLE,
        MARKS,
        r#"
        (who: "ada", from: (-12, -1), at: "ada-stands", pace: 0.8, faces: "bo"),
        (who: "bo", from: (12, -1), at: "bo-stands", pace: 0.8, faces: "ada")"#,
    );
    let watched = Watched::new(&plan);
    watched.ends_at("ada", [-0.4, 0.0]);
    watched.ends_at("bo", [0.4, 0.0]);
    assert!((watched.heading_deg("bo", 170.0) - 270.0).abs() < 5.0);
}

#[test]
fn parents_on_both_sides() {
    let people = format!(r#"{COUPLE}, (id: "mother", roles: ["parent"]), (id: "father", roles: ["parent"])"#);
    let plan = ceremony(
        ROWS,
        &people,
        MARKS,
        r#"
        (id: "in", who: ["mother", "ada", "father"], abreast: 3, from: "gate", by: "aisle",
            at: [(-1.1, 1), (-0.4, 1), (0.3, 1)], pace: 0.6),
        (who: "mother", gesture: links_arms("ada")),
        (who: "father", gesture: links_arms("ada"))"#,
    );
    let watched = Watched::new(&plan);
    let [m, a, f] = ["mother", "ada", "father"].map(|id| watched.at(id, 12.0).expect("there"));
    assert!(m.x < a.x && a.x < f.x, "{m} {a} {f}");
    assert!((m.x + f.x - 2.0 * a.x).abs() < 0.15, "she is in the middle: {m} {a} {f}");
}

#[test]
fn a_party_in_pairs_with_children_before() {
    let people = format!(
        r#"{COUPLE}, (id: "m1", roles: ["maid"]), (id: "u1", roles: ["usher"]), (id: "m2", roles: ["maid"]), (id: "u2", roles: ["usher"]),
        (id: "lil", roles: ["flower_girl"], stature: 1.05), (id: "max", roles: ["ring_bearer"], stature: 1.10)"#
    );
    let plan = ceremony(
        ROWS,
        &people,
        MARKS,
        r#"
        (who: ["lil", "max"], from: "gate", by: "aisle", at: [(-1.2, 0.4), (1.2, 0.4)], pace: 0.7, apart: 0.7),
        (who: "lil", holds: basket), (who: "max", holds: ring_cushion),
        (who: ["m1", "u1", "m2", "u2"], after: 8, from: "gate", by: "aisle", abreast: 2, spacing: 3, pace: 0.65,
            at: [(-1.8, 0), (1.8, 0), (-2.6, 0.2), (2.6, 0.2)], faces: 180)"#,
    );
    let watched = Watched::new(&plan);
    for (id, spot) in
        [("m1", [-1.8, 0.0]), ("u1", [1.8, 0.0]), ("m2", [-2.6, 0.2]), ("u2", [2.6, 0.2]), ("lil", [-1.2, 0.4])]
    {
        watched.ends_at(id, spot);
    }
    // The second pair comes in three metres behind the first: at 0.65 m/s 4.6 s later.
    assert!(watched.at("m2", 8.0 + 4.5).is_none() && watched.at("m2", 8.0 + 4.7).is_some());
    let gap = watched.at("m1", 20.0).expect("there").distance(watched.at("m2", 20.0).expect("there"));
    assert!((gap - 3.0).abs() < 0.15, "{gap} m between the pairs");
}

#[test]
fn a_party_on_one_side_only_and_no_party_at_all() {
    let people = format!(
        r#"{COUPLE}, (id: "w1", roles: ["witness"]), (id: "w2", roles: ["witness"]), (id: "w3", roles: ["witness"])"#
    );
    let plan = ceremony(
        ROWS,
        &people,
        MARKS,
        r#"
        (who: "witness", from: "gate", by: "aisle", at: [(-1.4, 0), (-2.1, 0.2), (-2.8, 0.4)], pace: 0.8, spacing: 1.6)"#,
    );
    let watched = Watched::new(&plan);
    assert!(["w1", "w2", "w3"].iter().all(|id| watched.at(id, 170.0).is_some_and(|spot| spot.x < -1.0)));
    let alone = ceremony(ROWS, COUPLE, MARKS, r#"(who: ["ada", "bo"], from: "gate", at: ["ada-stands", "bo-stands"])"#);
    assert_eq!(couple(&alone), [PersonIx(0), PersonIx(1)]);
}

#[test]
fn under_a_canopy_she_circles_him_seven_times() {
    let venue = format!(r#"{ROWS}, fixtures: [(id: "canopy", kind: canopy, at: (0, 0), size: (3.2, 2.6, 3.2))]"#);
    let plan = ceremony(
        &venue,
        COUPLE,
        MARKS,
        r#"
        (who: "bo", at: (0, 0), faces: 180),
        (id: "in", who: "ada", from: "gate", by: "aisle", at: (0, 1), pace: 0.8),
        (id: "round", who: "ada", follows: "in", circles: "bo", times: 7, radius: 0.9, pace: 0.7, looks: "bo"),
        (who: "ada", follows: "round", at: (-0.7, 0.1), faces: "bo")"#,
    );
    let watched = Watched::new(&plan);
    let round = watched
        .run
        .cues
        .iter()
        .max_by(|a, b| (a.ends_s - a.begins_s).total_cmp(&(b.ends_s - b.begins_s)))
        .expect("cues");
    // Seven circles of 2π · 0.9 m at 0.7 m/s, and 0.1 m to the first: closed form.
    let expected_s = (7.0 * std::f64::consts::TAU * 0.9 + 0.1) / 0.7;
    assert!(
        (round.ends_s - round.begins_s - expected_s).abs() < 1.0,
        "{} s, {expected_s} s",
        round.ends_s - round.begins_s
    );
    for k in 0..40 {
        let at_s = round.begins_s + 1.0 + f64::from(k);
        let apart = watched.at("ada", at_s).expect("there").distance(Vec2::ZERO);
        assert!((apart - 0.9).abs() < 0.05, "{apart} m from him at {at_s} s");
    }
    // Clockwise seen from above: from the guests' side (+z) towards the guests' left (−x).
    let early = watched.at("ada", round.begins_s + 2.0).expect("there");
    assert!(early.x < -0.2, "{early}");
}

#[test]
fn seven_steps_round_a_fire_one_behind_the_other() {
    let venue = format!(r#"{ROWS}, fixtures: [(id: "fire", kind: urn, at: (0, -2), size: (0.7, 0.5, 0.7))]"#);
    let plan = ceremony(
        &venue,
        COUPLE,
        MARKS,
        r#"
        (id: "near", who: ["ada", "bo"], from: (0, 6), at: [(0.3, -0.6), (-0.5, -0.6)], pace: 0.8),
        (id: "round", who: ["ada", "bo"], follows: "near", circles: "fire", times: 4, radius: 1.4, pace: 0.8)"#,
    );
    let watched = Watched::new(&plan);
    let begins_s = watched.run.cues[1].begins_s;
    for k in 1..30 {
        let (a, b) = (watched.at("ada", begins_s + f64::from(k)), watched.at("bo", begins_s + f64::from(k)));
        let apart = a.expect("there").distance(b.expect("there"));
        assert!((0.45..1.2).contains(&apart), "{apart} m apart after {k} s");
    }
}

#[test]
fn guests_all_round_and_guests_who_stand() {
    let round = r#"seats: [
        (id: "north", front: (0, -4), heading: 180, rows: 2, seats_per_row: 8, curve_radius: 4),
        (id: "south", front: (0, 4), heading: 0, rows: 2, seats_per_row: 8, curve_radius: 4),
        (id: "east", front: (4.2, 0), heading: 270, rows: 1, seats_per_row: 5, kind: standing)]"#;
    let plan = ceremony(
        round,
        COUPLE,
        MARKS,
        r#"
        (who: ["ada", "bo"], from: (-9, 0), at: ["ada-stands", "bo-stands"], abreast: 1, spacing: 1.5),
        (who: "guests", after: 30, does: standing, gesture: claps)"#,
    );
    let run = Run::new(&plan);
    let eyes = |at_s: f64, block: usize| -> Vec<f32> {
        let figures = run.figures(at_s).into_iter();
        figures
            .filter(|(kind, _)| matches!(kind, OwnerKind::Guest { seats, .. } if seats.0 == block))
            .map(|it| it.1.eyes.y)
            .collect()
    };
    let mean = |values: Vec<f32>| values.iter().sum::<f32>() / values.len() as f32;
    // Seated and standing eyes: 1226 and 1581 mm, means of men and women (ANSUR II, on a seat of 450 mm).
    assert!((mean(eyes(20.0, 0)) - 1.226).abs() < 0.06 && (mean(eyes(40.0, 0)) - 1.581).abs() < 0.06);
    assert!((mean(eyes(20.0, 2)) - 1.581).abs() < 0.08, "those who stand stand all the time");
    let figures = run.figures(20.0);
    let turned = figures.iter().filter(|(kind, figure)| {
        matches!(kind, OwnerKind::Guest { .. })
            && figure.face_forward.dot(-figure.eyes.with_y(0.0).normalize_or_zero()) > 0.7
    });
    let guests = figures.iter().filter(|(kind, _)| matches!(kind, OwnerKind::Guest { .. })).count();
    assert!(turned.count() * 10 > guests * 8, "from all sides they look to the middle");
}

#[test]
fn one_kneels_one_sits_and_both_step_aside_and_dance() {
    let people = format!(r#"{COUPLE}, (id: "celebrant", roles: ["officiant"])"#);
    let venue = format!(r#"{ROWS}, fixtures: [(id: "stool", kind: chair, at: (1.6, -1), heading: 180)]"#);
    let plan = ceremony(
        &venue,
        &people,
        MARKS,
        r#"
        (who: "celebrant", at: (0, -0.9), faces: 180),
        (who: ["ada", "bo"], at: ["ada-stands", "bo-stands"], faces: 0),
        (who: "ada", after: 5, does: kneeling), (who: "bo", after: 5, at: (1.6, -1), does: sitting),
        (who: "ada", after: 20, does: standing), (who: "bo", after: 20, at: "bo-stands", faces: "ada"),
        (who: "celebrant", after: 30, steps: left(0.9)),
        (who: "ada", after: 40, gesture: dances("bo"), faces: "bo"), (who: "bo", after: 40, faces: "ada"),
        (who: "ada", after: 80, gesture: rest)"#,
    );
    let watched = Watched::new(&plan);
    assert_eq!([watched.posture("ada", 15.0), watched.posture("bo", 15.0)], [Posture::Kneeling, Posture::Sitting]);
    // The celebrant faces the guests, so the left hand is at the guests' right: +x.
    watched.ends_at("celebrant", [0.9, -0.9]);
    let hip = |at_s: f64| watched.run.figures(at_s)[0].1.hip;
    let sways: Vec<f32> = (0..40).map(|k| hip(50.0 + f64::from(k) * 0.25)).map(|hip| hip.x.hypot(hip.z)).collect();
    let moved = sways.iter().copied().fold(0.0, f32::max) - sways.iter().copied().fold(f32::INFINITY, f32::min);
    assert!(moved > 0.05, "they dance: {moved} m");
}
