//! The place: walls with holes, floors, fixtures of every kind.

mod builders;

use builders::*;
use glam::{Vec2, Vec3};
use standpoint::plan::*;
use standpoint::staging::*;

fn volume(solid: &Solid) -> f32 {
    match &solid.shape {
        Shape::Block(block) => 8.0 * block.half_m.x * block.half_m.y * block.half_m.z,
        Shape::Mesh(_) => 0.0,
    }
}

fn inside(solid: &Solid, point: Vec3) -> bool {
    match &solid.shape {
        Shape::Block(block) => {
            let local = (solid.turned.inverse() * (point - solid.at)).abs();
            local.cmple(block.half_m).all()
        }
        Shape::Mesh(_) => false,
    }
}

fn chapel(openings: Vec<RoomOpening>) -> Plan {
    let mut plan = lawn();
    plan.venue.rooms.push(Room {
        id: "chapel".into(),
        centre: Vec2::new(2.0, 5.0),
        heading: 0.6,
        size_m: Vec2::new(8.0, 14.0),
        height_m: 4.0,
        floor: Surface::Flagstone,
        walls: Surface::Plaster,
        ceiling: Some(Surface::Plaster),
        openings,
    });
    plan
}

fn opening(kind: OpeningKind, along_m: f32, width_m: f32, sill_m: f32, height_m: f32) -> Opening {
    Opening { kind, along_m, width_m, sill_m, height_m }
}

/// What a wall loses is exactly its holes: closed form, two overlapping holes included.
#[test]
fn holes_take_their_own_volume_from_a_wall() {
    let walls = |openings: Vec<RoomOpening>| -> f32 {
        let tableau = stage(&chapel(openings), 0.0);
        let wall = Finish::Surface(Surface::Plaster);
        tableau.solids.iter().filter(|s| s.part == Part::Wall && s.material.finish == wall).map(volume).sum()
    };
    let whole = walls(vec![]);
    // Four walls 0.3 m thick about 8 × 14 m inside, 4 m high, and a ceiling of 0.2 m over them.
    let expected = (2.0 * 8.6 + 2.0 * 14.0) * 0.3 * 4.0 + 8.6 * 14.6 * 0.2;
    assert!((whole - expected).abs() < 0.01, "{whole} m³, expected {expected} m³");
    for side in [RoomSide::Front, RoomSide::Back, RoomSide::Left, RoomSide::Right] {
        let one = RoomOpening { side, opening: opening(OpeningKind::Open, 3.0, 1.0, 1.0, 2.0) };
        let over = RoomOpening { side, opening: opening(OpeningKind::Open, 3.5, 1.0, 1.0, 2.0) };
        let lost = whole - walls(vec![one]);
        assert!((lost - 1.0 * 2.0 * 0.3).abs() < 1e-3, "{side:?}: {lost} m³");
        let lost = whole - walls(vec![one, over]);
        assert!((lost - 1.5 * 2.0 * 0.3).abs() < 1e-3, "{side:?}, overlapping: {lost} m³");
    }
}

/// `along_m` counts from the left end seen from inside.
#[test]
fn openings_are_where_the_plan_has_them() {
    for (side, inward) in [
        (RoomSide::Front, Vec2::new(0.0, -1.0)),
        (RoomSide::Back, Vec2::new(0.0, 1.0)),
        (RoomSide::Left, Vec2::new(-1.0, 0.0)),
        (RoomSide::Right, Vec2::new(1.0, 0.0)),
    ] {
        let plan = chapel(vec![RoomOpening { side, opening: opening(OpeningKind::Open, 2.0, 1.0, 0.0, 2.2) }]);
        let tableau = stage(&plan, 0.0);
        let room = &plan.venue.rooms[0];
        let half = room.size_m * 0.5;
        // Looking at the wall from inside, right is the way turned clockwise seen from above.
        let right = Vec2::new(-inward.y, inward.x);
        let left_end = inward * half - right * half;
        let own = left_end + right * 2.0 + inward * 0.15;
        let (sin, cos) = room.heading.sin_cos();
        let world = room.centre + Vec2::new(own.x * cos - own.y * sin, own.x * sin + own.y * cos);
        let walled = |y: f32, spot: Vec2| {
            tableau.solids.iter().any(|s| s.part == Part::Wall && inside(s, Vec3::new(spot.x, y, spot.y)))
        };
        assert!(!walled(1.0, world), "{side:?}: the hole is walled up");
        assert!(walled(3.0, world), "{side:?}: no wall over the hole");
    }
}

#[test]
fn windows_have_panes_and_doors_have_leaves() {
    let window = RoomOpening { side: RoomSide::Left, opening: opening(OpeningKind::Window, 4.0, 1.2, 1.0, 2.0) };
    let tableau = stage(&chapel(vec![window]), 0.0);
    let panes: Vec<_> = tableau.solids.iter().filter(|s| s.part == Part::Glass).collect();
    assert_eq!(panes.len(), 1);
    assert_eq!(panes[0].material.finish, Finish::WindowGlass);
    let door = RoomOpening { side: RoomSide::Back, opening: opening(OpeningKind::Door, 4.0, 1.0, 0.0, 2.1) };
    let plain = stage(&chapel(vec![]), 0.0).solids.len();
    assert!(stage(&chapel(vec![door]), 0.0).solids.len() > plain + 5);
}

/// Every kind of fixture is made to its size: something stands at its top, nothing far outside it, nothing sunk, and
/// all of it grows with it. Cables and guy ropes may leave by 1 m on the floor.
#[test]
fn fixtures_keep_to_their_size() {
    for (kind, name, size, _) in FIXTURE_KINDS {
        for scale in [0.8_f32, 1.0, 1.6] {
            let mut plan = lawn();
            let mut thing = fixture(name, *kind, Vec2::new(3.0, -2.0));
            thing.size_m = size.map(|m| m * scale);
            thing.heading = 0.7;
            plan.venue.fixtures.push(thing.clone());
            let tableau = stage(&plan, 0.0);
            let own: Vec<&Solid> = tableau
                .solids
                .iter()
                .filter(|s| matches!(tableau.owner(s.owner).kind, OwnerKind::Fixture(_)))
                .collect();
            assert!(!own.is_empty(), "{name} is nothing");
            let mut top = f32::NEG_INFINITY;
            for solid in own {
                let Shape::Block(block) = &solid.shape else { panic!("fixtures are blocks") };
                let widest = Vec2::new(block.top.x.max(1.0), block.top.y.max(1.0));
                let half = block.half_m * Vec3::new(widest.x, 1.0, widest.y);
                let axes = glam::Mat3::from_quat(solid.turned);
                let reach = axes.x_axis.abs() * half.x + axes.y_axis.abs() * half.y + axes.z_axis.abs() * half.z;
                assert!(reach.is_finite() && solid.at.is_finite(), "{name}: {solid:?}");
                top = top.max(solid.at.y + reach.y);
                let low = solid.at.y - reach.y;
                assert!(low > -0.12 * scale.max(1.0), "{name} × {scale} sinks to {low} m");
                let out = Vec2::new(solid.at.x - 3.0, solid.at.z + 2.0).length();
                let most = Vec2::new(thing.size_m[0], thing.size_m[2]).length() * 0.75 + 1.0;
                assert!(out < most, "{name} × {scale}: something {out} m from its middle");
            }
            let high = thing.size_m[1];
            assert!(
                top > high * 0.85 && top < high * 1.35 + 0.4,
                "{name} × {scale}: top at {top} m, its height is {high} m"
            );
        }
    }
}

/// Flats that overlap never share a plane.
#[test]
fn flats_lie_over_each_other() {
    let mut plan = chapel(vec![]);
    let square = |x: f32, half: f32| {
        [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(a, b)| Vec2::new(x + a * half, b * half)).to_vec()
    };
    plan.venue.patches.push(Patch { surface: Surface::Gravel, outline: square(0.0, 6.0) });
    plan.venue.patches.push(Patch { surface: Surface::Stone, outline: square(1.0, 2.0) });
    plan.venue.aisles.push(Aisle {
        from: Vec2::new(0.0, 0.0),
        to: Vec2::new(0.0, 8.0),
        width_m: 1.2,
        runner: Some(Colour([0.9; 3])),
    });
    let tableau = stage(&plan, 0.0);
    let mut heights: Vec<f32> = tableau
        .solids
        .iter()
        .filter_map(|s| match &s.shape {
            Shape::Mesh(mesh) => Some(mesh.corners[0].y),
            Shape::Block(_) => None,
        })
        .collect();
    heights.sort_by(f32::total_cmp);
    assert_eq!(heights.len(), 4);
    assert!(heights[0] > 0.004, "the lowest lies {} m over the ground", heights[0]);
    for pair in heights.windows(2) {
        assert!(pair[1] - pair[0] > 0.004, "{heights:?}");
    }
}

/// Every surround closes the view and stays outside its inner rectangle.
#[test]
fn surrounds_stand_round_the_place() {
    use SurroundKind::*;
    for kind in [Hedge, Trees, StoneWall, Houses] {
        let mut plan = lawn();
        plan.venue.surround.kind = kind;
        let surround = plan.venue.surround;
        let tableau = stage(&plan, 0.0);
        let owner = tableau.owners.iter().position(|o| o.id == "surround").expect("a surround");
        let own: Vec<_> = tableau.solids.iter().filter(|s| s.owner.0 as usize == owner).collect();
        assert!(own.len() > 40, "{kind:?} is {} solids", own.len());
        for solid in own {
            let from_middle = (Vec2::new(solid.at.x, solid.at.z) - surround.centre).abs() - surround.half_m;
            assert!(from_middle.max_element() > -1.6, "{kind:?}: something {from_middle} inside");
        }
    }
}
