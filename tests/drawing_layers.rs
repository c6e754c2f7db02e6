//! The floor plan's layers against lengths, areas and counts by hand.

mod builders;
mod common;

use builders::{block, lawn, person};
use glam::{Vec2, vec2};
use standpoint::drawing::{
    Align, Drawing, Form, Ink, Subject, extent, hit, labels, names, north, people, scale_bar, standpoints, sun, venue,
};
use standpoint::plan::{
    KeepOut, LengthUnit, Mark, Opening, OpeningKind, Plan, Room, RoomOpening, RoomSide, StandpointIx, Surface,
};
use standpoint::staging::Run;

/// By the shoelace formula.
fn area_m2(ring: &[Vec2]) -> f32 {
    let next = ring.iter().cycle().skip(1);
    (ring.iter().zip(next).map(|(a, b)| a.perp_dot(*b)).sum::<f32>() / 2.0).abs()
}

fn areas(drawing: &Drawing, ink: Ink) -> Vec<&Vec<Vec<Vec2>>> {
    let rings = drawing.shapes.iter().filter(|shape| shape.ink == ink).filter_map(|shape| match &shape.form {
        Form::Area(rings) => Some(rings),
        _ => None,
    });
    rings.collect()
}

fn texts(drawing: &Drawing) -> Vec<&str> {
    let text = drawing.shapes.iter().filter_map(|shape| match &shape.form {
        Form::Text { text, .. } => Some(text.as_str()),
        _ => None,
    });
    text.collect()
}

/// 2 m wide and 3 m deep, turned by 30°.
fn room(openings: Vec<RoomOpening>) -> Room {
    Room {
        id: "vestry".into(),
        centre: vec2(3.0, -2.0),
        heading: std::f32::consts::FRAC_PI_6,
        size_m: vec2(2.0, 3.0),
        height_m: 2.5,
        floor: Surface::OakBoards,
        walls: Surface::Plaster,
        ceiling: None,
        openings,
    }
}

fn with_room(openings: Vec<RoomOpening>) -> Plan {
    let mut plan = lawn();
    plan.venue.rooms = vec![room(openings)];
    plan
}

#[test]
fn a_room_has_its_inner_floor_and_walls_round_it() {
    let drawing = venue(&with_room(vec![]));
    let floors = areas(&drawing, Ink::Floor(Surface::OakBoards));
    assert_eq!(floors.len(), 1);
    assert!((area_m2(&floors[0][0]) - 6.0).abs() < 1e-4, "{floors:?}");
    // 2.6 by 3.6 m outside, less the 6 m² within.
    let walls_m2: f32 = areas(&drawing, Ink::Wall).into_iter().flatten().map(|ring| area_m2(ring)).sum();
    assert!((walls_m2 - (2.6 * 3.6 - 6.0)).abs() < 1e-3, "{walls_m2}");
}

#[test]
fn openings_are_gaps_of_their_width() {
    let opening = |kind, along_m| Opening { kind, along_m, width_m: 0.8, sill_m: 0.0, height_m: 2.0 };
    let at = |side, opening| RoomOpening { side, opening };
    let drawing = venue(&with_room(vec![
        at(RoomSide::Left, opening(OpeningKind::Open, 1.5)),
        at(RoomSide::Back, opening(OpeningKind::Window, 1.0)),
    ]));
    let walls_m2: f32 = areas(&drawing, Ink::Wall).into_iter().flatten().map(|ring| area_m2(ring)).sum();
    assert!((walls_m2 - (2.6 * 3.6 - 6.0 - 2.0 * 0.8 * 0.3)).abs() < 1e-3, "{walls_m2}");
    let panes: Vec<f32> = drawing
        .shapes
        .iter()
        .filter(|shape| shape.ink == Ink::Opening)
        .map(|shape| match &shape.form {
            Form::Line { points, .. } => points[0].distance(points[1]),
            _ => f32::NAN,
        })
        .collect();
    assert_eq!(panes.len(), 2, "a window is two lines, an open doorway none");
    assert!(panes.iter().all(|m| (m - 0.8).abs() < 1e-4), "{panes:?}");
}

#[test]
fn every_seat_is_drawn() {
    let mut plan = lawn();
    plan.venue.seats = vec![block("left"), block("right")];
    plan.venue.seats[1].front.x += 20.0;
    let wanted: u32 = plan.venue.seats.iter().map(|block| block.rows * block.seats_per_row).sum();
    assert_eq!(areas(&venue(&plan), Ink::Seat).len(), wanted as usize);
}

#[test]
fn marks_rooms_and_keep_outs_are_called_by_name() {
    let mut plan = with_room(vec![]);
    plan.marks = ["top-of-aisle", "font"].map(|id| Mark { id: id.into(), at: vec2(1.0, 2.0) }).to_vec();
    let outline = vec![vec2(0.0, 0.0), vec2(1.0, 0.0), vec2(1.0, 1.0)];
    plan.venue.keep_outs = vec![KeepOut { id: "choir".into(), outline, why: "the choir sings here".into() }];
    let drawing = labels(&plan);
    let mut written = texts(&drawing);
    written.sort_unstable();
    assert_eq!(written, ["font", "the choir sings here", "top of aisle", "vestry"]);
}

#[test]
fn the_scale_bar_is_as_long_as_it_says() {
    let mut plan = lawn();
    for (unit, metres) in [(LengthUnit::Metres, 1.0), (LengthUnit::Feet, 0.3048)] {
        plan.units = unit;
        for wide_m in [4.0, 11.0, 30.0, 170.0] {
            let bar = scale_bar(&plan, Vec2::ZERO, vec2(wide_m, 20.0));
            let spots = bar.shapes.iter().filter_map(|shape| match &shape.form {
                Form::Area(rings) => Some(rings.iter().flatten().map(|spot| spot.x)),
                _ => None,
            });
            let spots: Vec<f32> = spots.flatten().collect();
            let long_m =
                spots.iter().copied().fold(f32::MIN, f32::max) - spots.iter().copied().fold(f32::MAX, f32::min);
            let said: f32 = texts(&bar)[1].split(' ').next().and_then(|number| number.parse().ok()).expect("a number");
            assert!((long_m - said * metres).abs() < 1e-3, "{long_m} m instead of {said} × {metres}");
            assert!(long_m < wide_m * 0.5, "{long_m} of {wide_m}");
        }
    }
}

#[test]
fn north_and_the_sun_lie_where_they_are() {
    let mut plan = lawn();
    // −z looks east: north is to the left, and the morning's sun is at the top.
    plan.place.bearing_of_minus_z = std::f64::consts::FRAC_PI_2;
    plan.place.latitude_deg = 48.0;
    let (low, high) = (vec2(-10.0, -10.0), vec2(10.0, 10.0));
    let tip = |drawing: &Drawing| match &drawing.shapes[0].form {
        Form::Area(rings) => rings[0][0] - (rings[0][1] + rings[0][2]) * 0.5,
        other => panic!("{other:?}"),
    };
    let needle = tip(&north(&plan, low, high));
    assert!(needle.x < 0.0 && needle.y.abs() < 0.4 * needle.x.abs(), "{needle}");
    plan.start = "2026-06-21T06:00:00[Europe/Paris]".parse().expect("a time");
    let morning = sun(&plan, 7200.0, low, high);
    let disc = morning.shapes.iter().find(|shape| shape.ink == Ink::Sun).map(|shape| shape.form.clone());
    let Some(Form::Dot { at, .. }) = disc else { panic!("{morning:?}") };
    assert!(at.y < -8.0, "{at}");
    plan.start = "2026-06-21T00:00:00[Europe/Paris]".parse().expect("a time");
    assert_eq!(texts(&sun(&plan, 0.0, low, high)), ["sun down"]);
}

#[test]
fn a_standpoint_is_hit_on_its_soles_and_not_beside_them() {
    let plan = common::plan_with([0.05, 0.05], vec2(4.0, 6.0), 1.6);
    let run = Run::new(&plan);
    let drawing = standpoints(&run, 0.0);
    let layers = [&drawing];
    assert_eq!(hit(&layers, vec2(4.0, 6.0), 0.0), Some(Subject::Standpoint(StandpointIx(0))));
    assert_eq!(hit(&layers, vec2(4.5, 6.0), 0.0), None);
    assert_eq!(hit(&layers, vec2(4.5, 6.0), 0.1), Some(Subject::Standpoint(StandpointIx(0))));
    assert!(texts(&drawing)[0].contains("1.6 m"), "{:?}", texts(&drawing));
}

#[test]
fn the_topmost_is_hit_and_holes_are_not() {
    let square =
        |half: f32| [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(x, z)| vec2(x, z) * half).to_vec();
    let shape = |form, of| standpoint::drawing::Shape { form, ink: Ink::Fixture, of };
    let below = Drawing { shapes: vec![shape(Form::Area(vec![square(5.0)]), Some(Subject::Room(0)))] };
    let ring = shape(Form::Area(vec![square(3.0), square(2.0)]), Some(Subject::Mark(1)));
    let words = Form::Text { at: Vec2::ZERO, text: "here".into(), size_pt: 9.0, align: Align::Left, below_pt: 0.0 };
    let above = Drawing {
        shapes: vec![ring, shape(words, Some(Subject::Mark(2))), shape(Form::Area(vec![square(3.0)]), None)],
    };
    let layers = [&below, &above];
    assert_eq!(hit(&layers, vec2(2.5, 0.0), 0.0), Some(Subject::Mark(1)));
    assert_eq!(hit(&layers, Vec2::ZERO, 0.0), Some(Subject::Room(0)));
    assert_eq!(hit(&layers, vec2(6.0, 0.0), 0.5), None);
}

#[test]
fn people_are_where_they_stand_and_carry_their_names() {
    let mut plan = lawn();
    plan.people = vec![person("bride", 1.7, vec2(0.4, 0.0))];
    plan.people[0].name = "Perpetua Vane".into();
    let tableau = Run::new(&plan).tableau(0.0);
    let drawing = people(&plan, &tableau);
    for figure in &tableau.figures {
        let at = vec2(figure.hip.x, figure.hip.z);
        assert!(hit(&[&drawing], at, 0.0).is_some(), "{at}");
        let own = tableau.owner(figure.owner).kind;
        if let standpoint::staging::OwnerKind::Person(ix) = own {
            let nose = drawing.shapes.iter().filter(|s| s.ink == Ink::Nose && s.of == Some(Subject::Person(ix)));
            assert_eq!(nose.count(), 1, "{own:?}");
        }
    }
    assert!(texts(&names(&plan, &tableau)).contains(&"Perpetua"));
}

#[test]
fn the_extent_holds_rooms_and_standpoints() {
    let mut plan = with_room(vec![]);
    plan.venue.rooms[0].heading = 0.0;
    let (low, high) = extent(&plan);
    assert!(low.x <= 1.7 && low.y <= -3.8 && high.x >= 4.3 && high.y >= -0.2, "{low} {high}");
    plan.marks.push(Mark { id: "gate".into(), at: vec2(0.0, 90.0) });
    assert!(extent(&plan).1.y >= 90.0);
}
