//! How much of the floor is shown: everything, or where the ceremony happens.

mod builders;

use builders::{block, lawn};
use glam::vec2;
use standpoint::drawing::{ceremony_extent, extent};
use standpoint::plan::{Lamp, LampKind, Mark, Room, Surface};

#[test]
fn a_lamp_far_off_is_in_the_place_and_not_in_the_ceremony() {
    let mut plan = lawn();
    plan.venue.seats = vec![block("left")];
    let far = Lamp {
        id: "gate".into(),
        kind: LampKind::Bulb,
        at: vec2(0.0, 80.0),
        height_m: 3.0,
        lumens: 800.0,
        kelvin: 2700.0,
        to: None,
        aimed_at: None,
    };
    plan.venue.lamps = vec![far];
    let (low, high) = extent(&plan);
    assert!(low.y < 80.0 && high.y >= 80.0, "{low} {high}");
    let (low, high) = ceremony_extent(&plan);
    assert!(high.y < 40.0, "{high}");
    let seats = &plan.venue.seats[0];
    for seat in seats.seat_centres() {
        assert!(seat.cmpge(low).all() && seat.cmple(high).all(), "{seat} is outside {low} to {high}");
    }
}

#[test]
fn marks_are_in_the_ceremony_with_a_margin() {
    let mut plan = lawn();
    plan.marks = vec![Mark { id: "gate".into(), at: vec2(-30.0, 4.0) }];
    let (low, _) = ceremony_extent(&plan);
    assert!((-33.0..-31.0).contains(&low.x), "{low}");
}

#[test]
fn a_room_is_shown_whole_if_anything_happens_in_it() {
    let mut plan = lawn();
    let room = |id: &str, centre| Room {
        id: id.into(),
        centre,
        heading: 0.0,
        size_m: vec2(10.0, 40.0),
        height_m: 4.0,
        floor: Surface::OakBoards,
        walls: Surface::Plaster,
        ceiling: None,
        openings: vec![],
    };
    plan.marks = vec![Mark { id: "altar".into(), at: vec2(0.0, 0.0) }];
    plan.venue.rooms = vec![room("hall", vec2(0.0, 10.0)), room("stable", vec2(60.0, 10.0))];
    let (low, high) = ceremony_extent(&plan);
    // 20 m before and behind the hall's middle, and its walls.
    assert!(low.y <= -10.3 && high.y >= 30.3, "{low} {high}");
    assert!(high.x < 55.0, "the stable is shown too: {high}");
}

#[test]
fn an_empty_place_still_has_some_floor() {
    let mut plan = lawn();
    plan.people.clear();
    plan.standpoints.clear();
    plan.marks.clear();
    plan.venue.seats.clear();
    for (low, high) in [extent(&plan), ceremony_extent(&plan)] {
        assert!((high - low).min_element() >= 6.0 && low.is_finite() && high.is_finite(), "{low} {high}");
    }
}
