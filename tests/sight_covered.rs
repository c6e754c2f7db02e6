//! What a camera covers, against areas and corners by hand and against rays.

mod common;

use common::block;
use glam::{Quat, Vec2, Vec3, vec2, vec3};
use standpoint::optics::Camera;
use standpoint::picture::prepare_in;
use standpoint::plan::load;
use standpoint::sight::{Covered, Patch, PlainCaster, covered};
use standpoint::staging::{
    Block, Finish, OwnerIx, OwnerKind, Part, Run, Shape, Solid, Tableau, TriangleMesh, rehearse,
};
use std::f64::consts::FRAC_PI_4;
use std::path::Path;
use std::sync::Arc;

/// The picture reaches to `focal` sensor widths' halves: 18 mm has 45° to either side and 33.7° up and down.
fn camera(eye: Vec3, target: Vec3, focal_mm: f64) -> Camera {
    Camera {
        eye,
        turned: Camera::look_at(eye, target),
        sensor_m: [0.036, 0.024],
        focal_m: focal_mm / 1000.0,
        f_number: 8.0,
        focus_m: 5.0,
        shutter_s: 0.01,
        iso: 100.0,
    }
}

/// From 3 m over the floor straight down: 6 m by 4 m of floor.
fn down() -> Camera {
    camera(vec3(0.0, 3.0, 0.0), Vec3::ZERO, 18.0)
}

/// From 1.5 m level along −z: the floor begins at 2.25 m, 45° to either side.
fn level() -> Camera {
    camera(vec3(0.0, 1.5, 0.0), vec3(0.0, 1.5, -9.0), 18.0)
}

const REACH_M: f32 = 10.0;
/// A quarter of a disc, less the triangle before the floor begins.
const LEVEL_M2: f64 = 100.0 * FRAC_PI_4 - 2.25 * 2.25;

fn with(solids: Vec<Solid>) -> Tableau {
    Tableau { solids, ..Tableau::default() }
}

fn floor_of(tableau: &Tableau, camera: &Camera) -> Covered {
    covered(tableau, camera, 0.0, REACH_M, None)
}

#[track_caller]
fn is_area(covered: &Covered, expected_m2: f64, slack_m2: f64) {
    let got = covered.area_m2();
    assert!((got - expected_m2).abs() <= slack_m2, "{got} m² instead of {expected_m2} m²: {covered:?}");
}

/// Whether exactly these are a ring's corners, wherever it begins.
#[track_caller]
fn is_ring(ring: &[Vec2], expected: &[Vec2]) {
    let near = |spot: &Vec2| ring.iter().any(|corner| corner.distance(*spot) < 1e-5);
    assert!(ring.len() == expected.len() && expected.iter().all(near), "{ring:?} instead of {expected:?}");
}

fn signed_area_m2(ring: &[Vec2]) -> f32 {
    (0..ring.len()).map(|i| ring[i].perp_dot(ring[(i + 1) % ring.len()])).sum::<f32>() / 2.0
}

/// By hand: a box 1 × 1 × 1 m from 1 m beside the foot of a camera 3 m up. Its top's shadow is half as large again:
/// 1.5 to 3 m aside and 1.5 m wide.
#[test]
fn a_box_seen_from_above() {
    let tableau = with(vec![block(0, vec3(1.5, 0.5, 0.0), vec3(0.5, 0.5, 0.5))]);
    let shadow = [(1.0, -0.5), (1.5, -0.75), (3.0, -0.75), (3.0, 0.75), (1.5, 0.75), (1.0, 0.5)];
    let shadow = shadow.map(|(x, z)| vec2(x, z));
    let all = [(-3.0, -2.0), (3.0, -2.0), (3.0, 2.0), (-3.0, 2.0)].map(|(x, z)| vec2(x, z));
    let open = floor_of(&with(vec![]), &down());
    is_area(&open, 24.0, 1e-5);
    is_ring(&open.patches[0].outline, &all);
    let here = floor_of(&tableau, &down());
    is_area(&here, 24.0 - (1.5 * 1.5 + 0.5 * 1.25), 1e-5);
    // Its end lies on the picture's edge: a notch.
    let [patch] = &here.patches[..] else { panic!("{here:?}") };
    is_ring(&patch.outline, &[&all[..], &shadow[..]].concat());
    // Seen from farther off it is a hole.
    let up = camera(vec3(0.0, 3.0, 0.0), Vec3::ZERO, 15.0);
    let hole = floor_of(&tableau, &up);
    let [Patch { outline, holes }] = &hole.patches[..] else { panic!("{hole:?}") };
    is_ring(&holes[0], &shadow);
    assert!(signed_area_m2(outline) > 0.0 && signed_area_m2(&holes[0]) < 0.0 && holes.len() == 1, "{hole:?}");
    assert!(hole.holds(vec2(0.9, 0.0)) && !hole.holds(vec2(1.1, 0.0)) && !hole.holds(vec2(2.9, 0.7)));
    assert!(hole.holds(vec2(3.1, 0.0)) && !hole.holds(vec2(3.7, 0.0)) && hole.holds(vec2(1.2, 0.65)));
    assert_eq!(hole, floor_of(&tableau, &up), "the same again");
}

/// The same upside down: a ceiling at 4.5 m, seen from 3 m below, with a box of 1 m that hangs from it.
#[test]
fn a_ceiling_is_a_floor_upside_down() {
    let up = camera(vec3(0.0, 1.5, 0.0), vec3(0.0, 9.0, 0.0), 18.0);
    let hanging = block(0, vec3(1.5, 4.0, 0.0), vec3(0.5, 0.5, 0.5));
    // What stands below the eye hides nothing of it.
    let standing = block(0, vec3(0.0, 0.0, 0.0), vec3(3.0, 1.0, 3.0));
    let ceiling = covered(&with(vec![hanging, standing]), &up, 4.5, REACH_M, None);
    is_area(&ceiling, 24.0 - 2.875, 1e-5);
    is_area(&floor_of(&with(vec![]), &up), 0.0, 0.0);
}

/// By hand: what is taller than the eye hides all behind it, between the rays past its near corners, 1 : 8 to either side;
/// what is lower only as far as a ray over its far upper edge goes: 1 m high 5 m off, 15 m.
#[test]
fn boxes_taller_and_lower_than_the_eye() {
    is_area(&floor_of(&with(vec![]), &level()), LEVEL_M2, 0.02);
    let tall = floor_of(&with(vec![block(0, vec3(0.0, 2.0, -4.5), vec3(0.5, 2.0, 0.5))]), &level());
    is_area(&tall, LEVEL_M2 - (100.0 * 0.125f64.atan() - 4.0 * 0.5), 0.02);
    let far = covered(&with(vec![block(0, vec3(0.0, 0.5, -4.5), vec3(0.5, 0.5, 0.5))]), &level(), 0.0, 100.0, None);
    let alone = covered(&with(vec![]), &level(), 0.0, 100.0, None);
    // Near corners' rays to z = −12 (three times as far), then straight back to the far upper corners' shadow at −15, 1.5 to
    // either side.
    let shadow_m2 = (1.0 + 3.0) / 2.0 * 8.0 + 3.0 * 3.0;
    assert!((alone.area_m2() - far.area_m2() - shadow_m2).abs() < 1e-3, "{} m²", alone.area_m2() - far.area_m2());
    for (spot, free) in [((0.0, -14.9), false), ((0.0, -15.1), true), ((1.4, -14.0), false), ((1.4, -11.0), true)] {
        assert_eq!(far.holds(vec2(spot.0, spot.1)), free, "{spot:?}");
    }
}

/// By hand: 2 m up, 45° down, 26.6° to either side, 18.4° up and down: the lower edge meets the floor 1 m ahead and the
/// upper one 4 m ahead, √2 · ½ · 1.5 and √2 · ½ · 3 to either side.
#[test]
fn a_tilted_camera_covers_a_trapezoid() {
    let tilted = camera(vec3(0.0, 2.0, 0.0), vec3(0.0, 0.0, -2.0), 36.0);
    let floor = floor_of(&with(vec![]), &tilted);
    let half = std::f32::consts::FRAC_1_SQRT_2;
    let corners = [(-1.5 * half, -1.0), (1.5 * half, -1.0), (3.0 * half, -4.0), (-3.0 * half, -4.0)];
    is_ring(&floor.patches[0].outline, &corners.map(|(x, z)| vec2(x, z)));
    is_area(&floor, 4.5 * 3.0 * f64::from(half), 1e-4);
    // The same of a table top of 1 m, half as large, and turned round and moved with the camera.
    let turn = Quat::from_rotation_y(2.0);
    let moved = Camera { eye: vec3(7.0, 3.0, -8.0), turned: turn * tilted.turned, ..tilted };
    let floor = covered(&with(vec![]), &moved, 1.0, REACH_M, None);
    let corners = corners.map(|(x, z)| turn * vec3(x, 0.0, z)).map(|at| vec2(at.x + 7.0, at.z - 8.0));
    is_ring(&floor.patches[0].outline, &corners);
}

/// A wall 0.2 m thick along the view, from before the floor begins to beyond the reach: 1 : 20 to either side.
#[test]
fn a_wall_cuts_the_view_in_two() {
    let wall = block(0, vec3(0.0, 2.0, -11.0), vec3(0.1, 2.0, 9.0));
    let floor = floor_of(&with(vec![wall]), &level());
    assert_eq!(floor.patches.len(), 2, "{floor:?}");
    is_area(&floor, LEVEL_M2 - (100.0 * 0.05f64.atan() - 2.25 * 2.25 * 0.05), 0.02);
    assert!(floor.holds(vec2(-1.0, -5.0)) && floor.holds(vec2(1.0, -5.0)) && !floor.holds(vec2(0.2, -5.0)));
    // One across leaves what is before it.
    let across = floor_of(&with(vec![block(0, vec3(0.0, 2.0, -4.1), vec3(20.0, 2.0, 0.1))]), &level());
    is_area(&across, 16.0 - 2.25 * 2.25, 1e-4);
}

/// Closed forms: all corners of a tapered, turned block on rays of their own, by a caster; and the same as triangles.
#[test]
fn tapered_blocks_and_meshes_hide_what_rays_say() {
    let mut solid = block(0, vec3(0.4, 0.8, -5.0), vec3(0.6, 0.8, 0.3));
    solid.shape = Shape::Block(Block { half_m: vec3(0.6, 0.8, 0.3), top: vec2(0.3, 1.8), edge_m: 0.0 });
    solid.turned = Quat::from_euler(glam::EulerRot::YXZ, 0.7, 0.2, -0.1);
    let corners: Vec<Vec3> = (0..8)
        .map(|i| {
            let sign = |bit: usize| (i >> bit & 1) as f32 * 2.0 - 1.0;
            let wide = if i >> 1 & 1 == 0 { Vec2::ONE } else { vec2(0.3, 1.8) };
            vec3(0.6, 0.8, 0.3) * vec3(sign(0) * wide.x, sign(1), sign(2) * wide.y)
        })
        .collect();
    let faces = [[0, 1, 3, 2], [4, 5, 7, 6], [0, 1, 5, 4], [2, 3, 7, 6], [0, 2, 6, 4], [1, 3, 7, 5]];
    let triangles = faces.iter().flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]]).collect();
    let mesh = Solid { shape: Shape::Mesh(Arc::new(TriangleMesh { corners, triangles })), ..solid.clone() };
    let (by_block, by_mesh) = (floor_of(&with(vec![solid.clone()]), &level()), floor_of(&with(vec![mesh]), &level()));
    assert!(LEVEL_M2 - by_block.area_m2() > 3.0, "{} m²", by_block.area_m2());
    is_area(&by_mesh, by_block.area_m2(), 1e-3);
    let tableau = with(vec![solid]);
    let (same, asked) = agree(&tableau, &level(), 0.0, &by_block, &|_| false, 4000);
    assert!(same == asked && asked > 3000, "{same} of {asked}");
}

#[test]
fn what_hides_nothing() {
    let wall = block(0, vec3(0.0, 2.0, -4.1), vec3(20.0, 2.0, 0.1));
    let open = floor_of(&with(vec![]), &level());
    let mut glass = wall.clone();
    glass.material.finish = Finish::WindowGlass;
    let mut veil = wall.clone();
    veil.material.finish = Finish::Veil;
    let mut ground = block(0, vec3(0.0, -0.25, 0.0), vec3(300.0, 0.25, 300.0));
    ground.part = Part::Ground;
    let mut runner = block(0, vec3(0.0, 0.01, 0.0), vec3(300.0, 0.01, 300.0));
    runner.part = Part::Ground;
    let round_the_eye = block(0, vec3(0.0, 1.0, 0.5), vec3(1.0, 1.0, 1.0));
    let behind = block(0, vec3(0.0, 1.0, 3.0), vec3(1.0, 1.0, 1.0));
    let over_the_eye = block(0, vec3(0.0, 2.0, -5.0), vec3(9.0, 0.4, 9.0));
    for solid in [glass, veil, ground, runner, round_the_eye, behind, over_the_eye] {
        assert_eq!(floor_of(&with(vec![solid.clone()]), &level()), open, "{solid:?}");
    }
    assert_eq!(covered(&with(vec![wall.clone()]), &level(), 0.0, REACH_M, Some(OwnerIx(0))), open);
    assert_ne!(covered(&with(vec![wall]), &level(), 0.0, REACH_M, Some(OwnerIx(1))), open);
    // A platform of 0.3 m hides the floor under it, and none of the plane at its own height.
    let mut platform = block(0, vec3(0.0, 0.15, -5.0), vec3(50.0, 0.15, 2.0));
    platform.part = Part::Ground;
    let platform = with(vec![platform]);
    assert!(!floor_of(&platform, &level()).holds(vec2(0.0, -5.0)));
    assert!(covered(&platform, &level(), 0.3, REACH_M, None).holds(vec2(0.0, -5.0)));
}

/// People at the height of heads: free up to their near side, nothing behind.
#[test]
fn somebody_in_the_plane_is_seen_up_to_their_near_side() {
    let person = block(0, vec3(0.0, 0.9, -4.1), vec3(0.2, 0.9, 0.1));
    for eye_m in [1.5, 1.6, 1.7] {
        let camera = camera(vec3(0.0, eye_m, 0.0), vec3(0.0, eye_m, -9.0), 18.0);
        let heads = covered(&with(vec![person.clone()]), &camera, 1.6, REACH_M, None);
        for (z, free) in [(-3.9, true), (-3.99, true), (-4.01, false), (-4.1, false), (-8.0, false)] {
            assert_eq!(heads.holds(vec2(0.0, z)), free, "eye at {eye_m}: {z}");
        }
        // The rays past the near corners, 1 : 20 to either side; the plane begins 1.5 · 0.1 m ahead, if not in the eye.
        let begins_m = f64::from((eye_m - 1.6f32).abs()) * 1.5;
        let wedge_m2 = 100.0 * FRAC_PI_4 - begins_m * begins_m;
        is_area(&heads, wedge_m2 - (100.0 * 0.05f64.atan() - 4.0 * 0.2), 0.02);
    }
    // A plane through the eye is taken a millimetre off, and says so.
    assert_eq!(covered(&with(vec![]), &level(), 1.5, REACH_M, None).height_m, 1.499);
    assert_eq!(covered(&with(vec![]), &level(), 1.6, REACH_M, None).height_m, 1.6);
}

#[test]
fn odd_numbers_do_not_fail() {
    let mut tableau = with(vec![]);
    for odd in [f32::NAN, f32::INFINITY, -1.0, 0.0, 1e30] {
        tableau.solids.push(block(0, vec3(0.0, odd, -4.0), Vec3::ONE));
        tableau.solids.push(block(0, vec3(0.0, 0.0, -4.0), vec3(1.0, odd, 1.0)));
        let mut solid = block(0, vec3(0.0, 0.0, -4.0), Vec3::ONE);
        solid.shape = Shape::Block(Block { half_m: vec3(0.01, 0.5, 0.01), top: vec2(odd, 0.0), edge_m: odd });
        tableau.solids.push(solid.clone());
        let corners = vec![Vec3::ZERO, vec3(odd, 1.0, odd), vec3(0.0, 1.0, -3.0), vec3(1.0, 0.5, -3.0)];
        let triangles = vec![[0, 1, 2], [0, 0, 2], [0, 2, 9], [2, 3, 0]];
        solid.shape = Shape::Mesh(Arc::new(TriangleMesh { corners, triangles }));
        tableau.solids.push(solid.clone());
        solid.turned = Quat::from_xyzw(odd, 0.0, 0.0, 1.0);
        tableau.solids.push(solid);
    }
    let _ = floor_of(&tableau, &level()).area_m2();
    for odd in [f32::NAN, f32::INFINITY, f32::NEG_INFINITY] {
        let none = Covered { height_m: odd, patches: vec![] };
        assert_eq!(format!("{:?}", covered(&tableau, &level(), odd, REACH_M, None)), format!("{none:?}"));
        let lost = Camera { eye: vec3(0.0, odd, 0.0), ..level() };
        is_area(&floor_of(&tableau, &lost), 0.0, 0.0);
        let without = Camera { focal_m: f64::from(odd), ..level() };
        is_area(&floor_of(&tableau, &without), 0.0, 0.0);
    }
    is_area(&floor_of(&tableau, &Camera { focal_m: 0.0, ..level() }), 0.0, 0.0);
    for reach_m in [0.0, -1.0, f32::NAN] {
        is_area(&covered(&tableau, &level(), 0.0, reach_m, None), 0.0, 0.0);
    }
    // At most a kilometre.
    is_area(&covered(&with(vec![]), &level(), 0.0, f32::INFINITY, None), 1e6 * FRAC_PI_4, 10.0);
    // Flat sheets hide, threads and points do not.
    let open = floor_of(&with(vec![]), &level());
    let flat = |half: Vec3| floor_of(&with(vec![block(0, vec3(0.0, 1.0, -4.0), half)]), &level());
    assert!(!flat(vec3(1.0, 1.0, 0.0)).holds(vec2(0.0, -5.0)) && !flat(vec3(1.0, 0.0, 0.1)).holds(vec2(0.0, -12.0)));
    for half in [Vec3::ZERO, vec3(0.0, 0.5, 0.0), vec3(0.5, 0.0, 0.0)] {
        assert_eq!(flat(half), open, "{half}");
    }
}

// ------------------------------------------------------------------ against rays

/// Of a few thousand spots of the plane, half of them anywhere in reach and half in the picture, how many are covered
/// exactly if a ray from the eye gets there through the picture; and how many were asked, farther than a centimetre from any
/// border.
fn agree(
    tableau: &Tableau,
    camera: &Camera,
    height_m: f32,
    covered: &Covered,
    skip: &dyn Fn(usize) -> bool,
    spots: u32,
) -> (usize, usize) {
    let caster = PlainCaster::new(tableau);
    let (mut same, mut asked) = (0, 0);
    for i in 0..spots {
        let (a, b) = (share(2 * i), share(2 * i + 1));
        let spot = if i % 2 == 0 {
            let flat = Vec2::from_angle(a * std::f32::consts::TAU) * b.sqrt() * REACH_M;
            vec3(camera.eye.x + flat.x, height_m, camera.eye.z + flat.y)
        } else {
            let way = camera.direction_through([f64::from(a), f64::from(b)]);
            camera.eye + way * ((height_m - camera.eye.y) / way.y)
        };
        let to = spot - camera.eye;
        let (on_plane, distance_m) = (vec2(spot.x, spot.z), to.length());
        let flat_m = vec2(to.x, to.z).length();
        if !to.is_finite() || flat_m > REACH_M - 0.01 || border_m(covered, on_plane) < 0.01 {
            continue;
        }
        let in_picture = camera.image_from_world(spot, 3.0).is_some_and(|(u, v, _)| {
            let high = 3.0 * camera.sensor_m[1] / camera.sensor_m[0];
            (0.0..=3.0).contains(&u) && (0.0..=high).contains(&v)
        });
        let seen = in_picture && !caster.blocked(camera.eye, to / distance_m, distance_m * 0.999_99, skip);
        asked += 1;
        same += usize::from(seen == covered.holds(on_plane));
    }
    (same, asked)
}

/// Evenly spread from 0 to 1 (finaliser of MurmurHash3).
fn share(i: u32) -> f32 {
    let mut h = i.wrapping_add(1).wrapping_mul(0x9E37_79B9);
    h ^= h >> 16;
    h = h.wrapping_mul(0x85EB_CA6B);
    h ^= h >> 13;
    h = h.wrapping_mul(0xC2B2_AE35);
    h ^= h >> 16;
    (h >> 8) as f32 / (1u32 << 24) as f32
}

fn border_m(covered: &Covered, spot: Vec2) -> f32 {
    let rings = covered.patches.iter().flat_map(Patch::rings);
    let sides = rings.flat_map(|ring| (0..ring.len()).map(move |i| (ring[i], ring[(i + 1) % ring.len()])));
    let off = |(a, b): (Vec2, Vec2)| {
        let along = ((spot - a).dot(b - a) / (b - a).length_squared()).clamp(0.0, 1.0);
        spot.distance(a + (b - a) * along)
    };
    sides.map(off).fold(f32::INFINITY, f32::min)
}

/// Every frame of the demos, the floor and heads at 1.6 m: at least 999 spots of a thousand as rays see them.
#[test]
fn demos_as_rays_see_them() {
    let (mut all_same, mut all_asked) = (0, 0);
    for name in ["orchard", "chapel", "loft"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("scenes/{name}.ron"));
        let (plan, _) = rehearse(load(&path).expect("a valid plan").plan);
        let run = Run::new(&plan);
        for frame in &plan.frames {
            let ready = prepare_in(&run, frame).expect("a frame");
            let (tableau, camera) = (&ready.tableau, &ready.composed.camera);
            let taker = OwnerKind::Photographer(plan.photographer_of(frame));
            let owner = tableau.owners.iter().position(|owner| owner.kind == taker).map(|ix| OwnerIx(ix as u32));
            for height_m in [0.0, 1.6f32] {
                let here = covered(tableau, camera, height_m, REACH_M, owner);
                let skip = |index: usize| {
                    let solid = &tableau.solids[index];
                    solid.is_seen_through() || Some(solid.owner) == owner || lies_flat(solid, height_m)
                };
                let (same, asked) = agree(tableau, camera, here.height_m, &here, &skip, 400);
                if same < asked {
                    println!("{name} {} at {height_m} m: {same} of {asked}", frame.id);
                }
                all_same += same;
                all_asked += asked;
            }
        }
    }
    println!("{all_same} of {all_asked} spots as rays see them");
    assert!(all_asked > 5000 && all_same * 1000 >= all_asked * 999, "{all_same} of {all_asked}");
}

/// Flats of ground within 5 cm over the plane.
fn lies_flat(solid: &Solid, height_m: f32) -> bool {
    solid.part == Part::Ground
        && match &solid.shape {
            Shape::Mesh(mesh) => mesh.corners.iter().all(|corner| (solid.at + *corner).y < height_m + 0.05),
            Shape::Block(block) => solid.at.y + block.half_m.y < height_m + 0.05,
        }
}
