//! The shortest way on the floor: round blocks, through doors, out of rows of seats.

mod builders;

use builders::*;
use glam::{Vec2, Vec3};
use proptest::prelude::*;
use standpoint::plan::*;
use standpoint::staging::route::{Blocker, Obstacles, Route};
use standpoint::staging::{Finish, OwnerKind, Shape, Solid, seat_spot, stage};
use std::cmp::Reverse;
use std::collections::BinaryHeap;
use std::path::Path;

fn orchard() -> Plan {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/orchard.ron");
    load(&path).expect("the demo is a valid plan").plan
}

/// A block of this width and depth, higher than one can step over.
fn solid(at: Vec2, size: Vec2, heading: f32) -> Fixture {
    let size_m = [size.x, 1.0, size.y];
    Fixture { size_m, heading, ..fixture("block", FixtureKind::Block, at) }
}

fn among(fixtures: Vec<Fixture>) -> Obstacles {
    let mut plan = lawn();
    plan.venue.fixtures = fixtures;
    Obstacles::of_venue(&plan.venue)
}

fn length(obstacles: &Obstacles, from: Vec2, to: Vec2, clearance_m: f32) -> f32 {
    obstacles.shortest(from, to, clearance_m).map_or(f32::INFINITY, |route| route.length_m)
}

fn near(found: f32, expected: f32, within: f32, what: &str) {
    assert!((found - expected).abs() <= within, "{what}: {found} m, expected {expected} m");
}

fn opening(kind: OpeningKind, along_m: f32, width_m: f32, sill_m: f32, height_m: f32) -> Opening {
    Opening { kind, along_m, width_m, sill_m, height_m }
}

fn wall(from: Vec2, to: Vec2, openings: Vec<Opening>) -> Wall {
    Wall { id: "wall".into(), from, to, height_m: 3.0, thickness_m: 0.2, surface: Surface::Brick, openings }
}

fn with_walls(walls: Vec<Wall>) -> Obstacles {
    let mut plan = lawn();
    plan.venue.walls = walls;
    Obstacles::of_venue(&plan.venue)
}

/// From (0, 0) to (10, 0) round a block of x 4..6, y −2..2: 2·√20 + 2, closed form.
#[test]
fn a_point_walks_round_a_block() {
    let block = among(vec![solid(Vec2::new(5.0, 0.0), Vec2::new(2.0, 4.0), 0.0)]);
    let route = block.shortest(Vec2::ZERO, Vec2::new(10.0, 0.0), 0.0).expect("there is a way");
    near(route.length_m, 2.0 * 20.0_f32.sqrt() + 2.0, 1e-3, "round the block");
    assert_eq!(route.points.len(), 4, "{:?}", route.points);
}

/// Round a square of half side h with clearance r the way bends at (∓(h + r), h + r): closed form.
#[test]
fn clearance_moves_the_bends_outwards() {
    for half in [0.3_f32, 1.0, 2.5] {
        let square = among(vec![solid(Vec2::ZERO, Vec2::splat(2.0 * half), 0.0)]);
        for r in [0.0_f32, 0.1, 0.25, 0.6] {
            let (from, to) = (Vec2::new(-5.0, 0.0), Vec2::new(5.0, 0.0));
            let bend = half + r;
            let expected = 2.0 * (5.0 - bend).hypot(bend) + 2.0 * bend;
            near(length(&square, from, to, r), expected, 1e-3, &format!("half {half}, clearance {r}"));
        }
    }
}

/// Round an octagon that holds a disc the way is longer than round the disc (closed form: two tangents and an arc) and
/// no longer than round the square about it.
#[test]
fn people_are_walked_round() {
    let person = Obstacles::default().with_people(&[(7, Vec2::ZERO)]);
    let (from, to) = (Vec2::new(-3.0, 0.0), Vec2::new(3.0, 0.0));
    let disc = 0.22_f32 + 0.25;
    let round_disc = 2.0 * (9.0 - disc * disc).sqrt() + disc * 2.0 * (disc / 3.0).asin();
    let round_square = 2.0 * (3.0 - disc).hypot(disc) + 2.0 * disc;
    let found = length(&person, from, to, 0.25);
    assert!(round_disc <= found && found < round_square, "{round_disc} ≤ {found} < {round_square}");
    assert!(found < round_disc * 1.02, "{found} m round a person, {round_disc} m round a disc");
    assert_eq!(person.blocking(Vec2::new(0.4, 0.0), 0.25), Some(Blocker::Person(7)));
    assert_eq!(person.blocking(Vec2::new(0.6, 0.0), 0.25), None);
}

#[test]
fn one_goes_through_a_door_and_not_through_a_window() {
    let window = opening(OpeningKind::Window, 10.0, 2.0, 0.0, 2.2);
    let door = opening(OpeningKind::Door, 16.0, 1.0, 0.0, 2.1);
    let (a, b) = (Vec2::new(-10.0, 0.0), Vec2::new(10.0, 0.0));
    let (from, to) = (Vec2::new(0.0, -3.0), Vec2::new(0.0, 3.0));
    // Along the door's near jamb at x = 5.5, or round the wall's end at x = 10; the wall is 0.2 m thick.
    let past = |x: f32| 2.0 * x.hypot(3.0 - 0.35) + 0.7;
    near(length(&with_walls(vec![wall(a, b, vec![window, door])]), from, to, 0.25), past(5.75), 1e-3, "by the door");
    near(length(&with_walls(vec![wall(a, b, vec![window])]), from, to, 0.25), past(10.25), 1e-3, "round the end");
    // Openings that aren't ways: a hatch over a counter, a flap for the cat. A gap in a low wall is one.
    for (kind, sill_m, height_m, wall_height_m, passed) in [
        (OpeningKind::Open, 0.9, 1.9, 3.0, false),
        (OpeningKind::Open, 0.0, 1.2, 3.0, false),
        (OpeningKind::Open, 0.2, 1.8, 3.0, true),
        (OpeningKind::Open, 0.0, 0.8, 0.8, true),
        (OpeningKind::Window, 0.0, 2.5, 3.0, false),
    ] {
        let hole = opening(kind, 10.0, 1.0, sill_m, height_m);
        let holed = with_walls(vec![Wall { height_m: wall_height_m, ..wall(a, b, vec![hole]) }]);
        assert_eq!(holed.crossing(from, to, 0.25).is_none(), passed, "{kind:?} from {sill_m} m, {height_m} m high");
    }
}

#[test]
fn a_room_is_left_by_its_doors() {
    let mut plan = lawn();
    plan.venue.rooms.push(Room {
        id: "chapel".into(),
        centre: Vec2::new(2.0, 5.0),
        heading: 0.6,
        size_m: Vec2::new(8.0, 14.0),
        height_m: 4.0,
        floor: Surface::Flagstone,
        walls: Surface::Plaster,
        ceiling: None,
        openings: vec![],
    });
    let (inside, outside) = (Vec2::new(2.0, 5.0), Vec2::new(30.0, -20.0));
    let closed = Obstacles::of_venue(&plan.venue);
    assert_eq!(closed.shortest(inside, outside, 0.25), None, "no door");
    assert_eq!(closed.crossing(inside, outside, 0.25), Some(Blocker::Room(0)));
    // A door of 1 m in the middle of each wall in turn: straight out through it, 12 m from the centre.
    let sides = [
        (RoomSide::Front, 4.0, 0.0),
        (RoomSide::Right, 7.0, 0.25),
        (RoomSide::Back, 4.0, 0.5),
        (RoomSide::Left, 7.0, 0.75),
    ];
    for (side, along_m, turn) in sides {
        let opening = opening(OpeningKind::Door, along_m, 1.0, 0.0, 2.1);
        plan.venue.rooms[0].openings = vec![RoomOpening { side, opening }];
        let heading = 0.6 + turn * std::f32::consts::TAU;
        let before_it = inside + Vec2::new(heading.sin(), -heading.cos()) * 12.0;
        let open = Obstacles::of_venue(&plan.venue);
        near(length(&open, inside, before_it, 0.25), 12.0, 1e-4, &format!("{side:?}"));
        assert!(open.shortest(inside, outside, 0.25).is_some(), "{side:?}");
        assert!(open.shortest(inside, outside, 0.55).is_none(), "{side:?} is too narrow");
    }
}

/// 2010 ADA Standards 403.5.1: an accessible route is 36 in (915 mm) wide. Two shoulders of 0.25 m don't fit through half
/// of that.
#[test]
fn an_accessible_passage_is_passed_and_a_gap_is_not() {
    let between = |gap_m: f32| {
        let half = 10.0;
        let side = |x: f32| solid(Vec2::new(x, 0.0), Vec2::new(2.0 * half, 1.0), 0.0);
        among(vec![side(-half - gap_m * 0.5), side(half + gap_m * 0.5)])
    };
    let (from, to) = (Vec2::new(0.0, -2.0), Vec2::new(0.0, 2.0));
    near(length(&between(0.915), from, to, 0.25), 4.0, 1e-4, "through 0.915 m");
    assert!(length(&between(0.45), from, to, 0.25) > 40.0, "round both, not through 0.45 m");
}

#[test]
fn walled_in_there_is_no_way() {
    let ring = |from: usize| -> Vec<Fixture> {
        let turn = |i: usize| i as f32 * std::f32::consts::TAU / 12.0;
        let at = |i: usize| Vec2::new(turn(i).sin(), -turn(i).cos()) * 3.0;
        (from..12).map(|i| solid(at(i), Vec2::new(1.8, 0.3), turn(i))).collect()
    };
    let (inside, outside) = (Vec2::ZERO, Vec2::new(0.0, -9.0));
    assert_eq!(among(ring(0)).shortest(inside, outside, 0.25), None);
    assert_eq!(among(ring(0)).shortest(outside, inside, 0.25), None);
    let open = among(ring(1)).shortest(inside, outside, 0.25);
    near(open.expect("a gap").length_m, 9.0, 1e-4, "straight through the gap");
}

/// Whoever stands close to a wall does not walk through it, and whoever stands in something walks out.
#[test]
fn starting_close_to_a_wall_opens_no_way_through_it() {
    let closed = with_walls(vec![wall(Vec2::new(-4.0, 0.0), Vec2::new(4.0, 0.0), vec![])]);
    let (close, beyond) = (Vec2::new(0.0, 0.15), Vec2::new(0.0, -2.0));
    assert_eq!(closed.blocking(close, 0.25), Some(Blocker::Wall(0)));
    assert!(length(&closed, close, beyond, 0.25) > 8.0, "round its end");
    let table = among(vec![solid(Vec2::ZERO, Vec2::splat(2.0), 0.3)]);
    near(length(&table, Vec2::new(0.3, 0.2), Vec2::new(0.3, 5.2), 0.25), 5.0, 1e-4, "out of a table");
}

/// A walker of no width in a U of 4 × 4 m with walls 1 m thick, open to the north, goes south: out of it and round an arm.
#[test]
fn a_concave_keep_out_is_no_more_than_itself() {
    let corner = |x: f32, z: f32| Vec2::new(x, z);
    let outline = vec![
        corner(-2.0, -2.0),
        corner(-1.0, -2.0),
        corner(-1.0, 1.0),
        corner(1.0, 1.0),
        corner(1.0, -2.0),
        corner(2.0, -2.0),
        corner(2.0, 2.0),
        corner(-2.0, 2.0),
    ];
    let mut plan = lawn();
    for outline in [outline.clone(), outline.iter().rev().copied().collect()] {
        plan.venue.keep_outs = vec![KeepOut { id: "bees".into(), outline, why: String::new() }];
        let everyone = Obstacles::of_venue(&plan.venue);
        let (from, to) = (Vec2::ZERO, Vec2::new(0.0, 4.0));
        near(length(&everyone, from, to, 0.0), 4.0, 1e-4, "for whom it isn't meant");
        let photographers = everyone.with_keep_outs(&plan.venue);
        // (0,0) → (1,−2) → (2,−2) → (2,2) → (0,4).
        let expected = 5.0_f32.sqrt() + 1.0 + 4.0 + 8.0_f32.sqrt();
        near(length(&photographers, from, to, 0.0), expected, 2e-3, "round an arm");
        assert_eq!(photographers.crossing(from, to, 0.25), Some(Blocker::KeepOut(0)));
    }
}

/// Round the tip of a thorn, 6 m long and 0.6 m wide: no shorter than round a disc about the tip, no longer than round the
/// square about that disc (closed forms). A mitred tip alone would reach 5 m further.
#[test]
fn a_sharp_tip_is_walked_round_closely() {
    let mut plan = lawn();
    let outline = vec![Vec2::ZERO, Vec2::new(-6.0, 0.3), Vec2::new(-6.0, -0.3)];
    plan.venue.keep_outs = vec![KeepOut { id: "thorn".into(), outline, why: String::new() }];
    let thorn = Obstacles::default().with_keep_outs(&plan.venue);
    let r = 0.25_f32;
    let found = length(&thorn, Vec2::new(-2.0, 2.0), Vec2::new(-2.0, -2.0), r);
    let away = 8.0_f32.sqrt();
    // Three quarters of a turn lie between the two spots, less what the tangents take at either end.
    let turned = 1.5 * std::f32::consts::PI - 2.0 * (r / away).acos();
    let round_disc = 2.0 * (away * away - r * r).sqrt() + r * turned;
    let round_square = 2.0 * (2.0 + r).hypot(2.0 - r) + 2.0 * r;
    assert!(round_disc <= found && found <= round_square + 1e-3, "{round_disc} ≤ {found} ≤ {round_square}");
}

/// Low ones are stepped onto, high ones are climbed by their steps.
#[test]
fn platforms_are_climbed_where_they_can_be() {
    let mut plan = lawn();
    let stand = |height_m: f32, steps: u32| Platform {
        id: "stage".into(),
        centre: Vec2::ZERO,
        heading: 0.0,
        size_m: Vec2::splat(4.0),
        height_m,
        surface: Surface::OakBoards,
        steps,
        tread_m: 0.3,
    };
    let mut found = |height_m, steps, from, to| {
        plan.venue.platforms = vec![stand(height_m, steps)];
        length(&Obstacles::of_venue(&plan.venue), from, to, 0.0)
    };
    let (beside, across, on) = (Vec2::new(-5.0, 0.0), Vec2::new(5.0, 0.0), Vec2::ZERO);
    near(found(0.2, 0, beside, across), 10.0, 1e-4, "over a low one");
    near(found(0.75, 0, beside, across), 2.0 * 13.0_f32.sqrt() + 4.0, 1e-3, "round a high one");
    // Steps of 0.5 and 0.25 m: the upper one can't be taken from its side, so the way in begins at z = 2 + 0.3.
    let up = 3.0_f32.hypot(2.3) + 0.02 + 1.98_f32.hypot(2.3);
    near(found(0.75, 2, beside, on), up, 2e-3, "up the steps");
    near(found(0.75, 2, Vec2::new(0.0, 6.0), on), 6.0, 1e-4, "straight up the steps");
}

#[test]
fn one_steps_over_and_walks_under_what_one_can() {
    for (kind, _, size_m, _) in FIXTURE_KINDS {
        let blocks = |above_floor_m: f32, height_m: f32| {
            let size_m = [size_m[0], height_m, size_m[2]];
            let thing = Fixture { above_floor_m, size_m, ..fixture("thing", *kind, Vec2::ZERO) };
            among(vec![thing]).crossing(Vec2::new(0.0, -9.0), Vec2::new(0.0, 9.0), 0.25).is_some()
        };
        let walked_through =
            matches!(kind, FixtureKind::Arch | FixtureKind::Canopy | FixtureKind::Tent | FixtureKind::CableCover);
        assert_eq!(blocks(0.0, size_m[1].max(0.5)), !walked_through, "{kind:?} on the floor");
        assert!(!blocks(2.0, size_m[1]), "{kind:?} overhead");
        assert!(!blocks(0.0, 0.15), "{kind:?} as high as a doorstep");
    }
    // An arch has posts, and a big tree is a trunk.
    let arch = among(vec![fixture("arch", FixtureKind::Arch, Vec2::ZERO)]);
    assert_eq!(arch.crossing(Vec2::new(1.17, -2.0), Vec2::new(1.17, 2.0), 0.0), Some(Blocker::Fixture(0)));
    let tree = |height_m: f32| {
        let size_m = [4.0, height_m, 4.0];
        among(vec![Fixture { size_m, ..fixture("tree", FixtureKind::Tree, Vec2::ZERO) }])
    };
    assert_eq!(tree(6.0).blocking(Vec2::new(1.0, 0.0), 0.25), None);
    assert_eq!(tree(2.5).blocking(Vec2::new(1.0, 0.0), 0.25), Some(Blocker::Fixture(0)));
}

/// Knees and backs of every seat, straight or curved, are in the outline of its row and of no other.
#[test]
fn rows_hold_their_seats() {
    for curve_radius_m in [None, Some(1.0), Some(4.0), Some(16.0)] {
        for (kind, ahead_m, behind_m) in
            [(SeatKind::Chair, 0.45, 0.30), (SeatKind::Pew, 0.45, 0.30), (SeatKind::Standing, 0.25, 0.25)]
        {
            let mut plan = lawn();
            plan.venue.seats = vec![SeatBlock { curve_radius_m, kind, heading: 0.4, ..block("guests") }];
            let rows = Obstacles::of_venue(&plan.venue);
            for row in 0..6 {
                for seat in 0..8 {
                    let place = seat_spot(&plan.venue.seats[0], row, seat);
                    let ahead = Vec2::new(place.heading.sin(), -place.heading.cos());
                    // Of a piece of three curved seats the knees of the middle one reach over the chord.
                    let bent_m = curve_radius_m.map_or(0.0, |radius: f32| 0.35 / radius);
                    for at_m in [ahead_m - 0.01 - bent_m, 0.0, 0.01 - behind_m] {
                        let found = rows.blocking(place.at + ahead * at_m, 0.0);
                        assert_eq!(
                            found,
                            Some(Blocker::Row { seats: 0, row }),
                            "{kind:?} {curve_radius_m:?} {row}/{seat} {at_m}"
                        );
                    }
                    if curve_radius_m.is_none() {
                        assert_eq!(rows.blocking(place.at + ahead * (ahead_m + 0.01), 0.0), None);
                    }
                }
            }
        }
    }
}

#[test]
fn rows_far_apart_are_walked_between() {
    let mut plan = lawn();
    plan.venue.seats = vec![SeatBlock { row_pitch_m: 2.0, ..block("guests") }];
    let wide = Obstacles::of_venue(&plan.venue);
    // Between row 1 at z = 3.5 and row 2 at z = 5.5.
    let (from, to) = (Vec2::new(0.0, 4.4), Vec2::new(6.0, 4.4));
    near(length(&wide, from, to, 0.25), 6.0, 1e-4, "between the rows");
    plan.venue.seats[0].row_pitch_m = 0.95;
    let narrow = Obstacles::of_venue(&plan.venue);
    let found = length(&narrow, Vec2::new(0.0, 4.1), Vec2::new(6.0, 4.1), 0.25);
    assert!(found > 6.5, "{found} m: knees are in the way");
}

#[test]
fn one_leaves_a_row_by_its_nearer_free_end() {
    let mut plan = lawn();
    plan.venue.seats = vec![block("guests")];
    let out =
        |plan: &Plan, row, seat| Obstacles::of_venue(&plan.venue).way_to_seat(&plan.venue, SeatsIx(0), row, seat, 0.25);
    let ends = |way: Option<Vec<Vec2>>| {
        let way = way.expect("a way out");
        (way[0], way[way.len() - 1])
    };
    // Row 3 stands at z = 3.5 + 2 × 0.95, its seats reach from x = 0.8 to 5.2; one stands 0.27 m before one's seat.
    let z = 3.5 + 2.0 * 0.95 - 0.27;
    let (up, end) = ends(out(&plan, 2, 1));
    assert!(up.distance(Vec2::new(3.0 - 2.5 * 0.55, z)) < 1e-4, "{up}");
    assert!(end.x < 0.8 - 0.25 && end.x > 0.4 && (end.y - z).abs() < 1e-4, "to the left: {end}");
    let (_, end) = ends(out(&plan, 2, 6));
    assert!(end.x > 5.2 + 0.25 && (end.y - z).abs() < 1e-4, "to the right: {end}");
    // Straight ahead from the front row, until a table stands there.
    let (_, end) = ends(out(&plan, 0, 3));
    assert!((end.x - (3.0 - 0.5 * 0.55)).abs() < 1e-4 && end.y < 3.5 - 0.45 - 0.25, "straight ahead: {end}");
    plan.venue.fixtures = vec![solid(Vec2::new(3.0, 2.2), Vec2::new(4.0, 1.0), 0.0)];
    let (_, end) = ends(out(&plan, 0, 3));
    assert!(end.x < 0.8, "round the table: {end}");
    // A hedge closes the left ends, then another the right ones.
    let hedge = |x: f32| solid(Vec2::new(x, 5.0), Vec2::new(0.3, 9.0), 0.0);
    plan.venue.fixtures.push(hedge(0.5));
    let (_, end) = ends(out(&plan, 2, 1));
    assert!(end.x > 5.2, "to the right, the left is closed: {end}");
    plan.venue.fixtures.push(hedge(5.5));
    assert_eq!(out(&plan, 2, 1), None);
    assert_eq!(out(&plan, 2, 8), None, "no such seat");
    assert_eq!(out(&plan, 6, 0), None, "no such row");
}

fn inside(solid: &Solid, point: Vec3) -> bool {
    match &solid.shape {
        Shape::Block(block) => (solid.turned.inverse() * (point - solid.at)).abs().cmple(block.half_m).all(),
        Shape::Mesh(_) => false,
    }
}

/// Everyone in the orchard gets out, and walks through nothing that is drawn: chairs, walls, things. Leaves and petals give way.
#[test]
fn nobody_walks_through_what_is_drawn() {
    let plan = orchard();
    let everyone = Obstacles::of_venue(&plan.venue);
    let tableau = stage(&plan, 0.0);
    let stands = |solid: &&Solid| {
        let gives_way = matches!(solid.material.finish, Finish::Leaves | Finish::Petals);
        let owner = tableau.owners.get(solid.owner.0 as usize).map(|owner| owner.kind);
        let body = matches!(owner, Some(OwnerKind::Person(_) | OwnerKind::Guest { .. } | OwnerKind::Photographer(_)));
        !gives_way && !body
    };
    let solids: Vec<&Solid> = tableau.solids.iter().filter(stands).collect();
    assert!(solids.len() > 500, "only {} solids", solids.len());
    let goals = [(-8.0, 9.0), (8.0, 3.0), (3.55, -0.2), (-9.0, -5.0), (3.5, -9.0), (0.0, 13.0), (0.0, 0.2)];
    let goals = goals.map(|(x, z)| Vec2::new(x, z));
    let mut routes: Vec<Route> = Vec::new();
    for (ix, from) in goals.iter().enumerate() {
        for to in &goals[ix + 1..] {
            routes.push(everyone.shortest(*from, *to, 0.25).unwrap_or_else(|| panic!("no way from {from} to {to}")));
        }
    }
    for (ix, block) in plan.venue.seats.iter().enumerate() {
        for seat in 0..block.rows * block.seats_per_row {
            let (row, seat) = (seat / block.seats_per_row, seat % block.seats_per_row);
            let out = everyone.way_to_seat(&plan.venue, SeatsIx(ix), row, seat, 0.25);
            let end = out.and_then(|way| way.last().copied());
            let end = end.unwrap_or_else(|| panic!("no way out of {} {row}/{seat}", block.id));
            assert_eq!(everyone.blocking(end, 0.25), None, "{} {row}/{seat}", block.id);
            routes.push(everyone.shortest(end, goals[0], 0.25).expect("a way from the row's end"));
        }
    }
    for route in routes {
        let straight = route.points[0].distance(route.points[route.points.len() - 1]);
        assert!(route.length_m >= straight - 1e-3);
        for leg in route.points.windows(2) {
            assert_eq!(everyone.crossing(leg[0], leg[1], 0.25), None, "{:?}", route.points);
            let steps = (leg[0].distance(leg[1]) / 0.05).ceil().max(1.0) as u32;
            for step in 0..=steps {
                let spot = leg[0].lerp(leg[1], step as f32 / steps as f32);
                for y in [0.3, 0.7, 1.1, 1.5] {
                    let at = Vec3::new(spot.x, y, spot.y);
                    let hit = solids.iter().find(|solid| inside(solid, at));
                    assert!(hit.is_none(), "{at} is in {:?}", hit.map(|s| &tableau.owners[s.owner.0 as usize].id));
                }
            }
        }
    }
}

/// What isn't there, has no size, lies on itself or is no number: an answer, and no panic.
#[test]
fn odd_worlds_are_survived() {
    let (from, to) = (Vec2::new(-3.0, 0.1), Vec2::new(3.0, 0.1));
    for at in [from, to, Vec2::ZERO, Vec2::new(0.0, 0.1)] {
        for size in [Vec2::ZERO, Vec2::new(0.0, 2.0), Vec2::new(2.0, 0.0), Vec2::splat(1e-7), Vec2::splat(500.0)] {
            let odd = among(vec![solid(at, size, 0.3); 3]);
            for route in [odd.shortest(from, to, 0.25), odd.shortest(from, from, 0.25), odd.shortest(to, from, 0.0)] {
                let fine = route.is_none_or(|r| r.length_m.is_finite() && r.points.iter().all(|p| p.is_finite()));
                assert!(fine, "{at} {size}");
            }
        }
    }
    let nothing = Obstacles::default();
    let still = nothing.shortest(from, from, 0.25).expect("one is there already");
    assert_eq!((still.points.len(), still.length_m), (2, 0.0));
    assert_eq!(nothing.shortest(Vec2::NAN, to, 0.25), None);
    assert_eq!(nothing.shortest(from, to, f32::NAN), None);
    // A wall without a thickness stops one all the same.
    let line = with_walls(vec![Wall { thickness_m: 0.0, ..wall(Vec2::new(0.0, -5.0), Vec2::new(0.0, 5.0), vec![]) }]);
    assert_eq!(line.crossing(from, to, 0.0), Some(Blocker::Wall(0)));
    let outlines = [vec![], vec![Vec2::ZERO], vec![Vec2::NAN; 4], vec![Vec2::ZERO; 9]];
    let mut plan = lawn();
    plan.venue.keep_outs =
        outlines.map(|outline| KeepOut { id: "odd".into(), outline, why: String::new() }).into_iter().collect();
    let odd = nothing.with_keep_outs(&plan.venue);
    assert!(odd.shortest(from, to, 0.25).is_some());
}

/// Three thousand posts in a field, more than a plan may hold: there is an answer, and it is free.
#[test]
fn a_forest_of_posts_is_crossed() {
    let at = |i: usize| Vec2::new((i % 50) as f32 * 0.9 + (i / 50 % 2) as f32 * 0.45, (i / 50) as f32 * 0.8);
    let posts: Vec<Fixture> = (0..3000).map(|i| fixture("post", FixtureKind::Post, at(i))).collect();
    let forest = among(posts);
    let route = forest.shortest(Vec2::new(-2.0, 20.0), Vec2::new(47.0, 31.0), 0.25).expect("between the posts");
    assert!(route.points.windows(2).all(|leg| forest.crossing(leg[0], leg[1], 0.25).is_none()));
    assert!(route.length_m < 49.0_f32.hypot(11.0) * 1.1, "{} m", route.length_m);
}

const CELL_M: f32 = 0.05;
const CELLS: i32 = 160;
const CLEARANCE_M: f32 = 0.25;

/// Blocks about the middle of a square of 8 × 8 m.
fn blocks() -> impl Strategy<Value = Vec<(Vec2, Vec2, f32)>> {
    let block = (2.0_f32..6.0, 2.0_f32..6.0, 0.1_f32..1.6, 0.1_f32..1.6, 0.0_f32..6.3);
    prop::collection::vec(block.prop_map(|(x, z, w, d, turn)| (Vec2::new(x, z), Vec2::new(w, d), turn)), 0..14)
}

fn node() -> impl Strategy<Value = (i32, i32)> {
    (0..=CELLS, 0..=CELLS)
}

fn spot((x, z): (i32, i32)) -> Vec2 {
    Vec2::new(x as f32, z as f32) * CELL_M
}

/// Inside a block grown by so much, in the block's own axes.
fn is_in(block: &(Vec2, Vec2, f32), spot: Vec2, grown_m: f32) -> bool {
    let (at, size, turn) = *block;
    let own = Vec2::from_angle(-turn).rotate(spot - at).abs();
    own.cmple(size * 0.5 + Vec2::splat(grown_m)).all()
}

/// Slow twin: Dijkstra on a grid of 5 cm with sixteen neighbours, over all spots that no block grown by so much holds.
fn on_a_grid(blocks: &[(Vec2, Vec2, f32)], from: (i32, i32), to: (i32, i32), grown_m: f32) -> f32 {
    let index = |(x, z): (i32, i32)| (z * (CELLS + 1) + x) as usize;
    let count = index((CELLS, CELLS)) + 1;
    let free: Vec<bool> = (0..count as i32)
        .map(|i| spot((i % (CELLS + 1), i / (CELLS + 1))))
        .map(|spot| !blocks.iter().any(|block| is_in(block, spot, grown_m)))
        .collect();
    let steps: Vec<(i32, i32)> = (-2..=2)
        .flat_map(|x: i32| (-2..=2).map(move |z: i32| (x, z)))
        .filter(|(x, z)| x.abs().max(z.abs()) == 1 || x.abs() + z.abs() == 3)
        .collect();
    assert_eq!(steps.len(), 16);
    let mut best = vec![u64::MAX; count];
    let mut open = BinaryHeap::from([Reverse((0_u64, from))]);
    best[index(from)] = 0;
    while let Some(Reverse((so_far, (x, z)))) = open.pop() {
        if (x, z) == to {
            return so_far as f32 * 1e-6;
        }
        if so_far > best[index((x, z))] {
            continue;
        }
        for (dx, dz) in &steps {
            let next = (x + dx, z + dz);
            if !(0..=CELLS).contains(&next.0) || !(0..=CELLS).contains(&next.1) || !free[index(next)] {
                continue;
            }
            let length = so_far + (f64::from(dx * dx + dz * dz).sqrt() * f64::from(CELL_M) * 1e6) as u64;
            if length < best[index(next)] {
                best[index(next)] = length;
                open.push(Reverse((length, next)));
            }
        }
    }
    f32::INFINITY
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    /// A step of the grid is up to 0.112 m long, so one between two spots that keep 0.06 m more off a corner keeps the
    /// clearance. Any way is followed on the grid within 0.12 m, 2.8 % longer (1/cos 13.3°), and a little at each bend.
    #[test]
    fn the_grid_finds_nothing_shorter(blocks in blocks(), from in node(), to in node()) {
        let taken = |node| blocks.iter().any(|block| is_in(block, spot(node), CLEARANCE_M + 0.06));
        prop_assume!(!taken(from) && !taken(to));
        let world = among(blocks.iter().map(|(at, size, turn)| solid(*at, *size, *turn)).collect());
        let route = world.shortest(spot(from), spot(to), CLEARANCE_M);
        let found = route.as_ref().map_or(f32::INFINITY, |route| route.length_m);
        let careful = on_a_grid(&blocks, from, to, CLEARANCE_M + 0.06);
        prop_assert!(found <= careful + 1e-3, "{} m, on the grid {} m", found, careful);
        if let Some(route) = route {
            let bold = on_a_grid(&blocks, from, to, CLEARANCE_M - 0.12);
            let bends = route.points.len() as f32;
            prop_assert!(bold <= found * 1.028 + 0.05 * bends, "{} m, on the grid {} m", found, bold);
            prop_assert!((careful == f32::INFINITY) || found >= bold / 1.08 - 0.05 * bends);
            for leg in route.points.windows(2) {
                for step in 0..=200 {
                    let at = leg[0].lerp(leg[1], step as f32 / 200.0);
                    prop_assert!(!blocks.iter().any(|block| is_in(block, at, CLEARANCE_M - 1e-4)), "{} is in a block", at);
                }
            }
        }
    }

    /// There and back are as long, the straight line is no longer, and one block more, or a wider walker, shortens nothing.
    #[test]
    fn more_in_the_way_is_never_shorter(
        blocks in blocks(), from in node(), to in node(), one_more in blocks(), person in node(),
    ) {
        let world = |blocks: &[(Vec2, Vec2, f32)]| {
            among(blocks.iter().map(|(at, size, turn)| solid(*at, *size, *turn)).collect())
        };
        let (from, to) = (spot(from), spot(to));
        let fewer = world(&blocks);
        let there = length(&fewer, from, to, CLEARANCE_M);
        let back = length(&fewer, to, from, CLEARANCE_M);
        prop_assert!(there == back || (there - back).abs() < 1e-4, "{} m there, {} m back", there, back);
        prop_assert!(there >= from.distance(to) - 1e-4);
        if fewer.crossing(from, to, CLEARANCE_M + 0.001).is_none() {
            prop_assert!((there - from.distance(to)).abs() < 1e-4, "{} m, nothing is in the way", there);
        }
        prop_assert!(length(&fewer, from, to, CLEARANCE_M + 0.1) >= there - 1e-4);
        prop_assert!(length(&fewer.with_people(&[(0, spot(person))]), from, to, CLEARANCE_M) >= there - 1e-4);
        let more: Vec<_> = blocks.iter().chain(&one_more).copied().collect();
        prop_assert!(length(&world(&more), from, to, CLEARANCE_M) >= there - 1e-4);
    }

    /// An outline cut into convex pieces holds the same spots: even–odd rule, away from its sides.
    #[test]
    fn keep_outs_hold_what_their_outline_holds(
        radii in prop::collection::vec(0.5_f32..4.0, 3..24), spots in prop::collection::vec((-4.0_f32..4.0, -4.0_f32..4.0), 40),
    ) {
        let turn = std::f32::consts::TAU / radii.len() as f32;
        let outline: Vec<Vec2> = radii.iter().enumerate().map(|(i, r)| Vec2::from_angle(turn * i as f32) * *r).collect();
        let mut plan = lawn();
        plan.venue.keep_outs = vec![KeepOut { id: "star".into(), outline: outline.clone(), why: String::new() }];
        let star = Obstacles::default().with_keep_outs(&plan.venue);
        let sides: Vec<(Vec2, Vec2)> = outline.iter().copied().zip(outline.iter().copied().cycle().skip(1)).collect();
        for (x, y) in spots {
            let at = Vec2::new(x, y);
            let off = |(a, b): &(Vec2, Vec2)| {
                let share = ((at - *a).dot(*b - *a) / (*b - *a).length_squared()).clamp(0.0, 1.0);
                at.distance(a.lerp(*b, share))
            };
            if sides.iter().any(|side| off(side) < 1e-3) {
                continue;
            }
            let crossed = sides.iter().filter(|(a, b)| {
                (a.y > at.y) != (b.y > at.y) && at.x < a.x + (at.y - a.y) / (b.y - a.y) * (b.x - a.x)
            });
            let held = crossed.count() % 2 == 1;
            prop_assert_eq!(star.blocking(at, 0.0).is_some(), held, "{} in {:?}", at, &outline);
        }
    }
}
