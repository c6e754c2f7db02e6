//! What comes out of a plan that is right: values, defaults, units, words, times.

use glam::Vec2;
use standpoint::plan::*;

const FORMAT_1: &str = include_str!("fixtures/format-1.ron");

fn stretches(standpoint: &Standpoint) -> Vec<(MomentIx, f64, f64)> {
    standpoint.during.iter().map(|stretch| (stretch.moment, stretch.from_s, stretch.to_s)).collect()
}

fn read(text: &str) -> Plan {
    standpoint::plan::read(text).unwrap_or_else(|problems| panic!("{problems}"))
}

/// The smallest plan that has a frame.
fn small(change: impl Fn(String) -> String) -> String {
    change(
        r#"Plan(
            format: 1,
            place: (latitude: 38.57, longitude: -7.91),
            start: "2027-06-12T17:30[Europe/Lisbon]",
            people: [(id: "mira", roles: ["bride"], at: (-0.4, 0)), (id: "ilan", at: (0.4, 0))],
            moments: [(id: "kiss", length: 5)],
            standpoints: [(id: "aisle", photographer: "lead", at: (0, 8))],
            frames: [(id: "kiss", moment: "kiss", standpoint: "aisle", of: ["mira", "ilan"], shot_size: half)],
        )"#
        .to_owned(),
    )
}

fn small_with(from: &str, to: &str) -> String {
    small(|text| {
        assert!(text.contains(from), "{from}");
        text.replacen(from, to, 1)
    })
}

#[test]
fn format_1_is_read_for_ever() {
    let (plan, remarks) = read_with_remarks(FORMAT_1).unwrap_or_else(|problems| panic!("{problems}"));
    assert!(remarks.is_empty(), "{remarks:?}");
    assert_eq!(plan.title, "Harbour chapel");
    assert_eq!(plan.sky, Sky::Broken);
    assert_eq!(plan.seed, 41);
    assert_eq!((plan.place.latitude_deg, plan.place.longitude_deg, plan.place.altitude_m), (57.05, 9.92, 12.0));
    assert!((plan.place.bearing_of_minus_z - 205_f64.to_radians()).abs() < 1e-12);
    assert_eq!(plan.start.to_string(), "2026-08-22T14:00:00+02:00[Europe/Copenhagen]");

    let venue = &plan.venue;
    assert_eq!(venue.ground, Surface::Gravel);
    assert_eq!(venue.surround.kind, SurroundKind::Houses);
    let corners = [(-3.0, 16.0), (3.0, 16.0), (3.0, 25.0), (-3.0, 25.0)].map(Vec2::from);
    assert_eq!(venue.patches[0].outline, corners, "two corners are a rectangle's opposite ones");
    assert_eq!(venue.rooms[0].ceiling, None);
    assert_eq!(venue.rooms[0].openings[0].side, RoomSide::Left);
    assert_eq!(venue.rooms[0].openings[1].opening.height_m, 2.1);
    assert_eq!(venue.walls[0].openings.len(), 1);
    assert_eq!((venue.platforms[0].steps, venue.platforms[0].tread_m), (2, 0.35));
    assert_eq!(venue.fixtures[0].at, Vec2::new(0.0, -1.0), "a mark's spot");
    assert_eq!(venue.fixtures[2].id, "column-1");
    assert_eq!(venue.fixtures[2].size_m, [0.5, 4.0, 0.5]);
    assert!(venue.fixtures[1].clutter && !venue.fixtures[2].clutter);
    assert_eq!((venue.seats[0].kind, venue.seats[0].filled), (SeatKind::Pew, 0.8));
    assert_eq!((venue.seats[1].row_pitch_m, venue.seats[1].curve_radius_m), (0.9, Some(8.0)));
    assert_eq!(venue.aisles[0].runner, Some(Colour([239.0 / 255.0, 227.0 / 255.0, 196.0 / 255.0])));
    assert_eq!(venue.lamps[1].aimed_at, Some(Vec2::new(0.0, -1.0)));

    let runa = &plan.people[0];
    assert_eq!(runa.roles, ["bride", "tall one"]);
    assert_eq!((runa.stature_m, runa.build, runa.post), (1.78, Build::Slight, None));
    assert!(!runa.clothes.veil && runa.looks.glasses);
    assert_eq!(plan.people[3].post, Some(Post::Seat { seats: SeatsIx(0), row: 0, seat: 4 }));

    let entrance = &plan.moments[0];
    assert_eq!((entrance.length_s, entrance.guests_stand), (70.0, true));
    assert_eq!(entrance.guests_look, Some(Facing::Person(PersonIx(0))));
    assert_eq!(entrance.cues[0].faces, Some(Facing::Heading(0.0)));
    assert_eq!(entrance.cues[1].looks, Some(Facing::Photographer(PhotographerIx(0))));
    assert_eq!(entrance.cues[1].gesture, Some(Gesture::Rest));
    assert!(entrance.cues[2].leaves);
    assert_eq!(plan.moments[1].start_s, 70.0);
    assert_eq!(plan.moments[1].cues[0].gesture, Some(Gesture::Kisses(PersonIx(1))));

    assert_eq!(plan.kit.bodies[0].iso, [160.0, 6400.0]);
    assert_eq!(plan.kit.bodies[0].fastest_shutter_s, 1.0 / 4000.0);
    assert!((plan.kit.bodies[0].sensor_m[0] - 0.0235).abs() < 1e-12);
    assert_eq!(plan.kit.lenses[0].widest_f, [3.5, 5.6]);
    assert!((plan.kit.lenses[0].focal_m[1] - 0.055).abs() < 1e-12);
    assert_eq!(plan.crew[0].carries[1], BodyWithLens { body: 1, lens: 1 });

    assert_eq!(stretches(&plan.standpoints[0]), [(MomentIx(0), 0.0, 30.0)]);
    assert_eq!(stretches(&plan.standpoints[1])[0], (MomentIx(0), 50.0, 70.0));
    let walk = &plan.frames[0];
    assert_eq!((walk.after_s, walk.with, walk.focal_m), (10.0, BodyWithLens { body: 1, lens: 1 }, Some(0.05)));
    assert_eq!((walk.orientation, walk.shot_size), (Orientation::Portrait, ShotSize::Full));
    assert_eq!((walk.of.as_slice(), walk.focus_on), ([PersonIx(0)].as_slice(), Some(PersonIx(0))));
    assert_eq!(walk.aim, Some(Aim::Person(PersonIx(0))));
    let helper = KeepOutOf::Photographer(PhotographerIx(1));
    assert_eq!(walk.keep_out, [KeepOutOf::Fixture(FixtureIx(1)), KeepOutOf::Person(PersonIx(2)), helper]);
    let exposure = Exposure { f_number: 1.4, shutter_s: 0.001, iso: Some(800.0), compensation_ev: 0.3 };
    assert_eq!(walk.exposure, exposure);
    assert_eq!(walk.audience, AudienceWish::Unwanted);
    assert_eq!(plan.frames[1].aim, Some(Aim::Point { at: Vec2::new(0.0, -1.0), height_m: 1.5 }));
    assert_eq!(plan.frames[1].exposure.iso, None);
}

#[test]
fn a_plan_in_feet_equals_the_same_plan_in_metres() {
    let metres = format!("{:?}", read(FORMAT_1));
    let feet =
        format!("{:?}", read(include_str!("fixtures/format-1-feet.ron"))).replace("units: Feet", "units: Metres");
    let split = |text: &str| {
        text.split([' ', ',', '(', ')', '[', ']', '{', '}'])
            .filter(|t| !t.is_empty())
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    let (metres, feet) = (split(&metres), split(&feet));
    assert_eq!(metres.len(), feet.len());
    // Where it is in the file differs, and only there.
    let place_in_file = |i: usize| i > 0 && ["start:", "end:"].contains(&metres[i - 1].as_str());
    for (_, (a, b)) in metres.iter().zip(&feet).enumerate().filter(|(i, _)| !place_in_file(*i)) {
        match (a.parse::<f64>(), b.parse::<f64>()) {
            (Ok(a), Ok(b)) => assert!((a - b).abs() < 1e-5 * a.abs().max(1.0), "{a} m in the one, {b} m in the other"),
            _ => assert_eq!(a, b),
        }
    }
}

#[test]
fn the_smallest_plan_has_what_a_photographer_expects() {
    let text = small(|text| text);
    assert!(text.lines().count() < 40);
    let plan = read(&text);
    assert_eq!((plan.sky, plan.units), (Sky::Clear, LengthUnit::Metres));
    assert_eq!(plan.crew.iter().map(|who| who.id.as_str()).collect::<Vec<_>>(), ["lead", "second"]);
    assert_eq!(plan.kit.lenses.iter().map(|lens| lens.id.as_str()).collect::<Vec<_>>(), ["24-70", "70-200"]);
    assert_eq!(plan.kit.bodies[0].sensor_m, [0.036, 0.024]);
    let mira = &plan.people[0];
    assert_eq!((mira.name.as_str(), mira.stature_m), ("Mira", 1.7));
    assert_eq!((mira.clothes.kind, mira.clothes.veil), (ClothesKind::Gown, true));
    let frame = &plan.frames[0];
    assert_eq!(frame.after_s, 2.5, "half the moment");
    assert_eq!(frame.with, BodyWithLens { body: 0, lens: 0 });
    assert_eq!((frame.focal_m, frame.orientation), (None, Orientation::Landscape));
    let exposure = Exposure { f_number: 2.8, shutter_s: 1.0 / 250.0, iso: None, compensation_ev: 0.0 };
    assert_eq!(frame.exposure, exposure);
    // Standing eye height, 0.936 of the stature: Drillis & Contini (1966).
    assert!((plan.standpoints[0].camera_height_m - 0.936 * 1.70).abs() < 1e-4);
    assert_eq!(stretches(&plan.standpoints[0]), [(MomentIx(0), 0.0, 5.0)]);
    assert_eq!(plan.standpoints[0].during[0].pace_mps, 1.3);
}

#[test]
fn numbers_keep_every_digit() {
    let plan = read(&small_with("at: (-0.4, 0)", "at: (-0.1234567, 0)"));
    assert_eq!(plan.people[0].post, Some(Post::Floor(Vec2::new(-0.123_456_7, 0.0))));
    let plan = read(&small_with("38.57", "38.57123456789012"));
    assert_eq!(plan.place.latitude_deg, 38.571_234_567_890_12);
}

#[test]
fn words_may_be_quoted_and_some_and_struct_names_written_out() {
    let plan = read(&small_with("shot_size: half", "shot_size: \"half\", f: Some(4), iso: None"));
    assert_eq!((plan.frames[0].shot_size, plan.frames[0].exposure.f_number), (ShotSize::Half, 4.0));
    let plan = read(&small_with("roles: [\"bride\"]", "roles: [\"bride\"], color: \"#ff0000\", hair_color: blond"));
    assert_eq!(plan.people[0].clothes.main, Colour([1.0, 0.0, 0.0]));
    read(&small_with("(id: \"kiss\", length: 5)", "Moment(id: \"kiss\", length: 5)"));
    read(&small_with("Plan(", "#![enable(implicit_some)]\nPlan("));
    read(&small_with("Plan(", "("));
    read(&small_with("Plan(", "\u{feff}Plan("));
}

#[test]
fn a_role_selects_everyone_who_has_it() {
    let text = small_with("(id: \"ilan\", at: (0.4, 0))", "(id: \"ilan\", roles: \"bride\", at: (0.4, 0))");
    let plan = read(&text.replace("of: [\"mira\", \"ilan\"]", "of: \"bride\""));
    assert_eq!(plan.frames[0].of, [PersonIx(0), PersonIx(1)]);
}

#[test]
fn an_aperture_that_the_lens_lacks_is_announced() {
    let (plan, remarks) = read_with_remarks(&small_with("shot_size: half", "f: 1.4")).unwrap();
    assert_eq!(plan.frames[0].exposure.f_number, 2.8);
    assert_eq!(remarks.len(), 1);
    assert_eq!(remarks[0].message, "`24-70` has no f/1.4; f/2.8 is used");
    assert_eq!(remarks[0].line, 8);
}

#[test]
fn an_hour_that_comes_twice_is_the_first_and_announced() {
    // Clocks in Portugal went back at 02:00 on the last Sunday of October: directive 2000/84/EC.
    let text = small_with("2027-06-12T17:30", "2027-10-31T01:30");
    let (plan, remarks) = read_with_remarks(&text).unwrap();
    assert_eq!(plan.start.to_string(), "2027-10-31T01:30:00+01:00[Europe/Lisbon]");
    assert!(remarks[0].message.contains("comes twice"), "{}", remarks[0].message);
    let (plan, remarks) = read_with_remarks(&text.replace("01:30[", "01:30+00:00[")).unwrap();
    assert_eq!(plan.start.to_string(), "2027-10-31T01:30:00+00:00[Europe/Lisbon]");
    assert!(remarks.is_empty(), "{remarks:?}");
}

#[test]
fn instants_count_from_the_start() {
    let plan = read(&small(|text| text));
    let instant = plan.instant(plan.at_s(&plan.frames[0]));
    assert_eq!(instant.to_string(), "2027-06-12T17:30:02.5+01:00[Europe/Lisbon]");
}

#[test]
fn a_plan_in_which_people_walk() {
    let plan = read(include_str!("fixtures/format-1-moving.ron"));
    let cues = &plan.moments[0].cues;
    assert!(cues[0].guests && cues[0].who.is_empty());
    let pair = cues[1].goes.as_ref().expect("they walk");
    let places = vec![Post::Floor(Vec2::new(-2.0, 0.0)), Post::Floor(Vec2::new(2.0, 0.0))];
    assert_eq!(pair.way, Way::To { places, by: vec![Vec2::new(0.0, 10.0)] });
    assert_eq!((pair.from, pair.tempo), (Some(Post::Floor(Vec2::new(0.0, 14.0))), Tempo::Pace(0.6)));
    assert_eq!((pair.abreast, pair.apart_m, pair.spacing_m), (Some(2), 0.8, 3.0));
    assert_eq!(cues[2].goes.as_ref().expect("they walk").tempo, Tempo::Over(30.0));
    let follows = |cue: usize| Some(CueIx { moment: MomentIx(0), cue });
    assert_eq!([cues[3].follows, cues[4].follows, cues[5].follows], [follows(2), follows(3), follows(3)]);
    assert_eq!((cues[3].after_s, cues[3].looks), (5.0, Some(Facing::Freely)));
    assert_eq!(cues[3].goes.as_ref().expect("they walk").tempo, Tempo::Pace(CEREMONY_PACE_MPS));
    let rite = &plan.moments[1].cues;
    let centre = Centre::Person(PersonIx(1));
    assert_eq!(rite[0].goes.as_ref().expect("round").way, Way::Round { centre, times: 3.0, radius_m: 1.1 });
    assert_eq!(rite[1].goes.as_ref().expect("aside").way, Way::Steps { side: Side::Left, length_m: 0.9 });
    assert_eq!(plan.moments[2].cues[0].posture, Some(Posture::Dancing));
    let stretch = &plan.standpoints[1].during[0];
    assert_eq!((stretch.by.len(), stretch.pace_mps), (2, 1.5));
    let who = PersonIx(0);
    assert_eq!(plan.frames[0].when, Some(When::Within { who, distance_m: 7.0 }));
    assert_eq!(plan.frames[1].when, Some(When::Passing { who, spot: Vec2::new(0.0, -3.0) }));
    assert_eq!(plan.frames[2].when, Some(When::During { who, deed: Deed::ThrowsPetals }));
}

#[test]
fn cues_stay_in_the_order_written() {
    let cues = r#"(id: "kiss", length: 5, cues: [(who: "mira", after: 4, gesture: waves), (who: "ilan", after: 1, gesture: claps)])"#;
    let plan = read(&small_with("(id: \"kiss\", length: 5)", cues));
    let after: Vec<f64> = plan.moments[0].cues.iter().map(|cue| cue.after_s).collect();
    assert_eq!(after, [4.0, 1.0]);
}

#[test]
fn seats_are_where_they_are_drawn() {
    let block = r#"seats: [(id: "left", front: (-2, 3), rows: 2, seats_per_row: 3)]"#;
    let plan = read(&small_with("people:", &format!("venue: ({block}), people:")));
    let seats = &plan.venue.seats[0];
    // Facing −z, the left hand is towards −x, and the second row is behind, towards +z.
    assert_eq!(seats.seat_at(0, 0), (Vec2::new(-2.5, 3.0), 0.0));
    assert_eq!(seats.seat_at(0, 2), (Vec2::new(-1.5, 3.0), 0.0));
    assert_eq!(seats.seat_at(1, 1), (Vec2::new(-2.0, 3.9), 0.0));
}

#[test]
fn curved_rows_keep_their_distances_and_face_one_point() {
    let block = r#"seats: [(id: "round", front: (1, 6), heading: 30, rows: 3, seats_per_row: 7, curve_radius: 6)]"#;
    let plan = read(&small_with("people:", &format!("venue: ({block}), people:")));
    let seats = &plan.venue.seats[0];
    // The point lies one radius ahead of the front row's middle: heading 30° is 30° from −z towards +x.
    let (sin, cos) = 30_f32.to_radians().sin_cos();
    let point = Vec2::new(1.0 + 6.0 * sin, 6.0 - 6.0 * cos);
    for row in 0..3 {
        for seat in 0..7 {
            let (at, heading) = seats.seat_at(row, seat);
            assert!((at.distance(point) - (6.0 + 0.9 * row as f32)).abs() < 1e-4);
            let ahead = forward(heading);
            assert!(ahead.dot((point - at).normalize()) > 0.9999, "row {row} seat {seat} looks past the point");
        }
    }
    let (middle, heading) = seats.seat_at(0, 3);
    assert!(middle.distance(Vec2::new(1.0, 6.0)) < 1e-5 && (heading - 30_f32.to_radians()).abs() < 1e-6);
}

#[test]
fn lines_may_end_as_on_any_system() {
    let text = small(|text| text);
    let plan = read(&text.replace('\n', "\r\n"));
    // But for where in the file things are written: a line's end is one character or two.
    let said = |plan: &Plan| {
        let debug = format!("{plan:?}");
        let (first, rest) = debug.split_once("written: Span {").unwrap_or((&debug, ""));
        let parts = rest.split("written: Span {").map(|part| part.split_once('}').map_or("", |(_, after)| after));
        std::iter::once(first).chain(parts).collect::<String>()
    };
    assert!(said(&plan).ends_with('}') && said(&plan).len() > 2000);
    assert_eq!(said(&plan), said(&read(&text)));
}

#[test]
fn ranges_are_told_in_the_unit_of_the_plan() {
    let text = small_with("format: 1,", "format: 1, units: feet,");
    let problems = standpoint::plan::read(&text.replace("id: \"ilan\"", "id: \"ilan\", stature: 68")).unwrap_err();
    assert_eq!(problems.list.len(), 1, "{problems}");
    assert_eq!(problems.list[0].label, "1.64 ft to 8.2 ft was expected");
    assert!(problems.list[0].help.starts_with("did you mean 5.67? "), "{}", problems.list[0].help);
}

#[test]
fn people_come_and_go() {
    let moments = r#"(id: "kiss", length: 5, cues: [(who: "mira", after: 2, leaves: true), (who: "mira", after: 3, at: (0, 1))])"#;
    let text = small_with("(id: \"kiss\", length: 5)", moments);
    for (after, there) in [("1", true), ("2", false), ("2.5", false), ("3", true), ("5", true)] {
        let text = text.replace("shot_size: half", &format!("after: {after}"));
        match standpoint::plan::read(&text) {
            Ok(_) => assert!(there, "nobody missed Mira after {after} s"),
            Err(problems) => assert!(!there && problems.list.len() == 1, "after {after} s: {problems}"),
        }
    }
}
