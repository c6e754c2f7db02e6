//! Meshes of other programs in a plan: what they hide, where one walks, how they are drawn and handed out.

mod common;
mod models;

use glam::{Quat, Vec2, Vec3, vec2, vec3};
use models::{Model, Triangles, box_of, joined, wall_with_a_door};
use standpoint::daylight::{Daylight, SunPosition, daylight_of};
use standpoint::drawing::{Drawing, Form, Ink, Subject, extent, venue};
use standpoint::handout::glb;
use standpoint::optics::Camera;
use standpoint::picture::tracer::{Samples, Shot, Tracer};
use standpoint::picture::{Metered, Overview};
use standpoint::plan::{Folder, MeshIx, Plan, Sky, read_beside};
use standpoint::sight::{Caster, IdImage, Pane, PlainCaster, Sources, frame_seen, sum_of};
use standpoint::staging::route::{Blocker, Obstacles};
use standpoint::staging::{OwnerKind, Run, Shape, Solid, Tableau, stage};
use std::fs;
use tempfile::TempDir;

/// A plan with these meshes in files, and this in its venue besides.
fn plan_with(files: &[(&str, Triangles)], venue: &str) -> Plan {
    let dir = TempDir::new().unwrap();
    for (name, mesh) in files {
        fs::write(dir.path().join(name), Model::of(mesh).glb()).unwrap();
    }
    let text = format!(
        "Plan(format: 1, place: (latitude: 38.57, longitude: -7.91), start: \"2027-06-12T15:30[Europe/Lisbon]\",\n\
         venue: ({venue}), people: [(id: \"mira\", roles: [\"bride\"], at: (12, 12))],\n\
         moments: [(id: \"vows\", length: 60)],\n\
         standpoints: [(id: \"here\", photographer: \"lead\", at: (0, 6))],\n\
         frames: [(id: \"one\", moment: \"vows\", standpoint: \"here\", of: \"mira\", shot_size: wide)])"
    );
    read_beside(&text, &Folder::of(&dir.path().join("plan.ron"))).unwrap_or_else(|problems| panic!("{problems}")).0
}

fn camera(eye: Vec3, target: Vec3) -> Camera {
    Camera {
        eye,
        turned: Camera::look_at(eye, target),
        sensor_m: [0.036, 0.024],
        focal_m: 0.035,
        f_number: 8.0,
        focus_m: 5.0,
        shutter_s: 0.005,
        iso: 100.0,
    }
}

/// Of an id picture, which owner each pixel shows.
fn owners(tableau: &Tableau, image: &IdImage) -> Vec<Option<String>> {
    let owner = |solid: &u32| tableau.solids.get(*solid as usize).map(|solid| tableau.owner(solid.owner).id.clone());
    image.solids.iter().map(owner).collect()
}

/// The same turned box over the floor, once as a block of the plan's and once from a file: the same pixels.
#[test]
fn a_box_is_a_block() {
    let size = vec3(1.2, 0.9, 0.5);
    let half = vec2(size.x, size.z) / 2.0;
    let file = ("box.glb", box_of(vec3(-half.x, 0.0, -half.y), vec3(half.x, size.y, half.y)));
    let where_it_is = "at: (0.4, -1), above_floor: 0.3, heading: 25";
    let block = plan_with(&[], &format!("fixtures: [(id: \"it\", kind: block, size: (1.2, 0.9, 0.5), {where_it_is})]"));
    let mesh = plan_with(&[file], &format!("meshes: [(id: \"it\", file: \"box.glb\", {where_it_is})]"));
    for (eye, target) in [
        (vec3(0.0, 1.5, 4.0), vec3(0.4, 0.7, -1.0)),
        (vec3(-3.0, 0.2, -2.0), vec3(0.4, 0.7, -1.0)),
        (vec3(1.0, 5.0, 0.0), vec3(0.4, 0.7, -1.0)),
    ] {
        let camera = camera(eye, target);
        let seen = [&block, &mesh].map(|plan| {
            let tableau = stage(plan, 0.0);
            let caster = Caster::new(&tableau);
            caster.validate().expect("a sound tree");
            owners(&tableau, &caster.ids(Pane::picture(&camera, [300, 200]), |_| false))
        });
        let of_it = seen[0].iter().filter(|owner| owner.as_deref() == Some("it")).count();
        let differ = seen[0].iter().zip(&seen[1]).filter(|(a, b)| a != b).count();
        assert!(of_it > 1000 && differ <= of_it / 1000 + 3, "from {eye}: {differ} of {of_it} pixels differ");
    }
}

/// Closed form: a tilted square of 800 triangles, turned and moved by the plan, met where its plane is, and only within it.
#[test]
fn rays_meet_a_plane_where_it_is() {
    const STEPS: u32 = 20;
    let (across, along) = (vec3(0.8, 0.6, 0.0), vec3(0.0, 0.0, 1.0));
    let spot = |u: f32, v: f32| (across * (u - 0.5) + along * (v - 0.5)) * 4.0;
    let corners = (0..=STEPS).flat_map(|v| (0..=STEPS).map(move |u| (u, v)));
    let corners: Vec<Vec3> = corners.map(|(u, v)| spot(u as f32 / STEPS as f32, v as f32 / STEPS as f32)).collect();
    let squares = (0..STEPS).flat_map(|v| (0..STEPS).map(move |u| v * (STEPS + 1) + u));
    let indices = squares.flat_map(|a| [a, a + 1, a + STEPS + 1, a + 1, a + STEPS + 2, a + STEPS + 1]).collect();
    let plan = plan_with(
        &[("sheet.glb", (corners, indices))],
        "meshes: [(file: \"sheet.glb\", at: (1, -2), above_floor: 3, heading: 30)]",
    );
    let tableau = stage(&plan, 0.0);
    let of_mesh = |index: &usize| matches!(tableau.owner(tableau.solids[*index].owner).kind, OwnerKind::Mesh(_));
    let caster = Caster::of(&tableau, (0..tableau.solids.len()).filter(of_mesh));
    let (middle, turned) = (vec3(1.0, 3.0, -2.0), Quat::from_rotation_y(-30f32.to_radians()));
    let [u, v] = [across, along].map(|axis| turned * axis);
    let normal = u.cross(v);
    let (mut met, mut missed) = (0, 0);
    for i in 0..4000u32 {
        // Fractional parts of multiples of irrational numbers.
        let share = |k: f32| (i as f32 * k).fract() - 0.5;
        let origin = vec3(share(0.754_877), share(0.569_840), share(0.618_034)) * 12.0 + middle;
        let target = middle + (u * share(0.414_214) + v * share(0.732_051)) * 6.0;
        let direction = (target - origin).normalize();
        let expected_m = (middle - origin).dot(normal) / direction.dot(normal);
        let on_it = origin + direction * expected_m - middle;
        let reach = on_it.dot(u).abs().max(on_it.dot(v).abs());
        if (reach - 2.0).abs() < 1e-3 || direction.dot(normal).abs() < 0.02 {
            continue;
        }
        let hit = caster.first_hit(origin, direction, 100.0, |_| false);
        if reach < 2.0 && expected_m > 0.0 {
            let hit = hit.unwrap_or_else(|| panic!("ray {i} misses"));
            assert!(
                (hit.distance_m - expected_m).abs() < 1e-4 * expected_m.max(1.0),
                "ray {i}: {hit:?}, not {expected_m}"
            );
            assert!(hit.normal.dot(normal).abs() > 0.999_9 && hit.normal.dot(direction) < 0.0, "ray {i}: {hit:?}");
            met += 1;
        } else {
            assert_eq!(hit, None, "ray {i}");
            missed += 1;
        }
    }
    assert!(met > 1000 && missed > 300, "{met} {missed}");
}

/// One sees and walks through the door of a wall, and nowhere else.
#[test]
fn a_door_in_a_wall() {
    let with_a_door = ("wall.glb", wall_with_a_door(30.0, 3.0, 0.2, [-0.5, 0.5], 2.1));
    let closed = ("wall.glb", box_of(vec3(-15.0, 0.0, -0.1), vec3(15.0, 3.0, 0.1)));
    let meshes = "meshes: [(id: \"wall\", file: \"wall.glb\", at: (0, 0))]";
    let [open, closed] = [with_a_door, closed].map(|file| plan_with(&[file], meshes));
    let tableau = stage(&open, 0.0);
    let caster = Caster::new(&tableau);
    let sees = |x: f32, y: f32| !caster.blocked(vec3(x, y, 4.0), Vec3::NEG_Z, 8.0, |_| false);
    assert!(sees(0.0, 1.5) && sees(0.49, 2.09) && sees(0.0, 3.01));
    assert!(!sees(0.51, 1.5) && !sees(0.0, 2.11) && !sees(-7.0, 0.1));
    let way = |plan: &Plan| Obstacles::of_venue(&plan.venue).shortest(vec2(3.0, 3.0), vec2(3.0, -3.0), 0.25);
    // From (3, 3) to the door's jamb, 0.25 m off it, through the wall, and back the same: 2·√(2.75² + 2.65²) + 0.7.
    let through = way(&open).expect("a way").length_m;
    assert!((through - 8.338).abs() < 0.02, "{through}");
    // Round the end: 2·√(12.25² + 2.65²) + 0.7.
    let round = way(&closed).expect("a way").length_m;
    assert!((round - 25.767).abs() < 0.02, "{round}");
    let obstacles = Obstacles::of_venue(&open.venue);
    assert_eq!(obstacles.blocking(vec2(5.0, 0.2), 0.25), Some(Blocker::Mesh(0)));
    assert_eq!(obstacles.blocking(vec2(0.0, 0.0), 0.25), None);
}

/// A dais in a mesh is in the way unless the plan has a platform of its height; beams overhead and kerbs never are.
#[test]
fn what_one_steps_on_and_walks_under() {
    let hall = joined([
        box_of(vec3(-2.0, 0.0, -2.0), vec3(2.0, 0.45, 2.0)),
        box_of(vec3(-6.0, 2.0, 4.0), vec3(6.0, 2.3, 4.3)),
        box_of(vec3(-6.0, 0.0, 6.0), vec3(6.0, 0.15, 6.3)),
        box_of(vec3(-0.3, 0.45, -1.0), vec3(0.3, 1.4, -0.6)),
    ]);
    let meshes = "meshes: [(id: \"hall\", file: \"hall.glb\", at: (0, 0))]";
    let platform = "platforms: [(centre: (0, 0), size: (4, 4), height: 0.45, steps: 1)]";
    let plain = plan_with(&[("hall.glb", hall.clone())], meshes);
    let raised = plan_with(&[("hall.glb", hall)], &format!("{meshes}, {platform}"));
    let blocks =
        |plan: &Plan, spot: Vec2| Obstacles::of_venue(&plan.venue).blocking(spot, 0.1) == Some(Blocker::Mesh(0));
    for spot in [vec2(0.0, 4.1), vec2(0.0, 6.1), vec2(4.0, 0.0)] {
        assert!(!blocks(&plain, spot) && !blocks(&raised, spot), "{spot}");
    }
    assert!(blocks(&plain, vec2(1.0, 1.0)) && !blocks(&raised, vec2(1.0, 1.0)));
    // Its front is climbed by the platform's step, whatever the mesh has there.
    assert!(Obstacles::of_venue(&raised.venue).crossing(vec2(1.0, 4.0), vec2(1.0, 1.0), 0.1).is_none());
    assert!(blocks(&plain, vec2(0.0, -0.8)) && blocks(&raised, vec2(0.0, -0.8)), "what stands on the dais");
}

/// Three sheets at one edge and a hole beside them: seen from either side, and the fast caster as the slow one sees them.
#[test]
fn an_open_mesh_that_encloses_nothing() {
    let sheet = |end: Vec3| {
        let corners = vec![Vec3::ZERO, Vec3::Y * 2.0, Vec3::Y * 2.0 + end, end];
        (corners, vec![0, 1, 2, 0, 2, 3])
    };
    let fan = joined([sheet(Vec3::X * 2.0), sheet(vec3(-1.0, 0.0, 1.7)), sheet(vec3(-1.0, 0.0, -1.7))]);
    let plan = plan_with(&[("fan.glb", fan)], "meshes: [(file: \"fan.glb\", at: (0, 0))]");
    let tableau = stage(&plan, 0.0);
    let (fast, plain) = (Caster::new(&tableau), PlainCaster::new(&tableau));
    fast.validate().expect("a sound tree");
    for side in [1.0, -1.0] {
        let hit = fast.first_hit(vec3(1.0, 1.0, 3.0 * side), Vec3::NEG_Z * side, 10.0, |_| false).expect("a hit");
        assert!((hit.distance_m - 3.0).abs() < 1e-5 && (hit.normal - Vec3::Z * side).length() < 1e-5, "{hit:?}");
    }
    assert!(!fast.blocked(vec3(2.1, 1.0, 3.0), Vec3::NEG_Z, 6.0, |_| false));
    for i in 0..2000 {
        let angle = i as f32 * 2.399_963;
        let origin = vec3(angle.cos() * 4.0, 0.2 + 0.001 * i as f32, angle.sin() * 4.0);
        let direction = (vec3((i as f32 * 0.37).sin(), 1.0, (i as f32 * 0.71).cos()) - origin).normalize();
        let [a, b] =
            [fast.first_hit(origin, direction, 50.0, |_| false), plain.first_hit(origin, direction, 50.0, |_| false)];
        let same = match (a, b) {
            (Some(a), Some(b)) => (a.distance_m - b.distance_m).abs() < 1e-4,
            (a, b) => a.is_none() && b.is_none(),
        };
        assert!(same, "ray {i}: {a:?} instead of {b:?}");
    }
}

/// Twenty boxes, each in a file of its own, 300 × 200 rays: the counts of Embree 4 and of a numpy slab test, within 3 pixels
/// or 1 %.
#[test]
fn counts_of_another_ray_caster() {
    let read = |name: &str| -> serde_json::Value {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(name);
        serde_json::from_str(&fs::read_to_string(path).expect("a data file")).expect("JSON")
    };
    let (boxes, counts) = (read("boxes.json"), read("boxes_counts.json"));
    let vector = |value: &serde_json::Value| {
        let number = |i: usize| value[i].as_f64().expect("a number") as f32;
        vec3(number(0), number(1), number(2))
    };
    let files: Vec<(String, Triangles)> = boxes["boxes"]
        .as_array()
        .expect("boxes")
        .iter()
        .enumerate()
        .map(|(i, it)| (format!("{}.glb", i + 1), box_of(vector(&it["min"]), vector(&it["max"]))))
        .collect();
    let meshes: Vec<String> =
        (1..=files.len()).map(|i| format!("(id: \"{i}\", file: \"{i}.glb\", at: (0, 0))")).collect();
    let named: Vec<(&str, Triangles)> = files.iter().map(|(name, mesh)| (name.as_str(), mesh.clone())).collect();
    let tableau = stage(&plan_with(&named, &format!("meshes: [{}]", meshes.join(", "))), 0.0);
    let camera = camera(vector(&boxes["camera"]["eye"]), vector(&boxes["camera"]["target"]));
    let pane = Pane::picture(&camera, [300, 200]);
    let box_of_solid = |index: usize| match tableau.owner(tableau.solids[index].owner).kind {
        OwnerKind::Mesh(MeshIx(ix)) => Some(ix + 1),
        _ => None,
    };
    let of_boxes = |wanted: Option<usize>| {
        let solids: Vec<usize> = (0..tableau.solids.len())
            .filter(|index| box_of_solid(*index).is_some_and(|it| wanted.is_none_or(|wanted| it == wanted)))
            .collect();
        let image = Caster::of(&tableau, solids.into_iter()).ids(pane, |_| false);
        let mut seen = [0i64; 21];
        for solid in image.solids {
            seen[if solid == IdImage::NOTHING { 0 } else { box_of_solid(solid as usize).unwrap_or(0) }] += 1;
        }
        seen
    };
    let mut worst = 0.0f64;
    let mut close = |got: i64, expected: i64, what: &str| {
        assert!((got - expected).abs() <= 3.max(expected / 100), "{what}: {got} instead of {expected}");
        worst = worst.max((got - expected).abs() as f64);
    };
    let seen = of_boxes(None);
    close(seen[0], counts["background_pixels"].as_i64().expect("a count"), "background");
    for (ix, first) in seen.iter().enumerate().skip(1) {
        let expected = |key: &str| counts[key][ix.to_string()].as_i64().expect("a count");
        close(*first, expected("first_hit_pixels"), &format!("box {ix}"));
        close(of_boxes(Some(ix))[ix], expected("alone_pixels"), &format!("box {ix} alone"));
    }
    println!("{worst} pixels off at most");
}

static DARK: Metered = Metered::DARK;

fn shot<'a>(
    tableau: &'a Tableau,
    camera: &'a Camera,
    daylight: &'a Daylight,
    sources: &'a Sources,
    [width_px, height_px]: [u32; 2],
) -> Shot<'a> {
    Shot { tableau, daylight, sources, metered: &DARK, camera, taker: None, width_px, height_px }
}

/// The tracer draws what rays see, and a sheet as bright from its back as from its front.
#[test]
fn the_tracer_draws_meshes() {
    let hall = wall_with_a_door(6.0, 3.0, 0.2, [-0.5, 0.5], 2.1);
    let plan = plan_with(&[("wall.glb", hall)], "meshes: [(file: \"wall.glb\", at: (0.5, 0), heading: 20)]");
    let daylight = daylight_of(SunPosition { elevation: 0.9, azimuth: 1.0 }, 0.0, Sky::Overcast);
    let sources = Sources::default();
    let tableau = stage(&plan, 0.0);
    let through_lens = camera(vec3(1.0, 1.6, 5.0), vec3(0.0, 1.4, 0.0));
    let drawn = Tracer::new().ids(&shot(&tableau, &through_lens, &daylight, &sources, [150, 100]));
    let cast = Caster::new(&tableau).ids(Pane::picture(&through_lens, [150, 100]), |_| false);
    let of_mesh = |solid: u32| {
        let solid = tableau.solids.get(solid as usize);
        solid.is_some_and(|solid| matches!(tableau.owner(solid.owner).kind, OwnerKind::Mesh(_)))
    };
    let differ = drawn.iter().zip(&cast.solids).filter(|(a, b)| of_mesh(**a) != of_mesh(**b)).count();
    let seen = cast.solids.iter().filter(|solid| of_mesh(**solid)).count();
    assert!(
        seen > 1000 && differ <= drawn.len() / 200,
        "{differ} of {} pixels differ, {seen} of the mesh",
        drawn.len()
    );

    let sheet = (
        vec![vec3(-2.0, 0.0, 0.0), vec3(2.0, 0.0, 0.0), vec3(2.0, 4.0, 0.0), vec3(-2.0, 4.0, 0.0)],
        vec![0, 1, 2, 0, 2, 3],
    );
    let plan = plan_with(&[("sheet.glb", sheet)], "meshes: [(file: \"sheet.glb\", at: (0, 0))]");
    let tableau = stage(&plan, 0.0);
    let nits = [1.0, -1.0].map(|side| {
        let camera = Camera { focal_m: 0.2, ..camera(vec3(0.0, 2.0, 3.0 * side), vec3(0.0, 2.0, 0.0)) };
        let light = Tracer::new().light(
            &shot(&tableau, &camera, &daylight, &sources, [12, 8]),
            Samples { each: 64, most: 64 },
            |_| (),
        );
        light.iter().map(|light| sum_of(light.as_dvec3())).sum::<f64>() / light.len() as f64
    });
    // An overcast sky is the same all round.
    assert!(nits[0] > 10.0 && (nits[0] / nits[1] - 1.0).abs() < 0.05, "{nits:?}");
}

/// A mesh goes out as a node of its own with all its triangles; the floor plan shows its outline and what is in the way.
#[test]
fn handed_out_and_drawn_from_above() {
    let wall = wall_with_a_door(30.0, 3.0, 0.2, [-0.5, 0.5], 2.1);
    let plan =
        plan_with(&[("wall.glb", wall)], "meshes: [(id: \"wall\", file: \"wall.glb\", at: (1, 2), heading: 90)]");
    let tableau = stage(&plan, 0.0);
    let file = gltf::Gltf::from_slice(&glb(&plan, &tableau, &[])).unwrap();
    let node = file.nodes().find(|node| node.name() == Some("wall/thing")).expect("a node");
    let primitive = node.mesh().expect("a mesh").primitives().next().expect("a primitive");
    assert_eq!(primitive.get(&gltf::Semantic::Positions).expect("corners").count(), 3 * 36);
    assert_eq!(node.transform().decomposed().0, [1.0, 0.0, 2.0]);

    let drawn = venue(&plan);
    let of_mesh: Vec<_> = drawn.shapes.iter().filter(|shape| shape.of == Some(Subject::Mesh(MeshIx(0)))).collect();
    assert_eq!(of_mesh.iter().map(|shape| shape.ink).collect::<Vec<_>>(), [Ink::Overhead, Ink::Fixture]);
    let area = |ink: Ink| area_m2(&drawn, ink);
    assert!((area(Ink::Overhead) - 6.0).abs() < 1e-3, "{}", area(Ink::Overhead));
    assert!((area(Ink::Fixture) - 5.8).abs() < 0.05, "{}", area(Ink::Fixture));
    let (low, high) = extent(&plan);
    // Along z now, with the margin of 1.5 m.
    assert!((low.y + 14.5).abs() < 1e-3 && (high.y - 18.5).abs() < 1e-3, "{low} {high}");
}

/// By the shoelace formula, holes turning the other way.
fn area_m2(drawing: &Drawing, ink: Ink) -> f32 {
    let rings = drawing.shapes.iter().filter(|shape| shape.ink == ink).filter_map(|shape| match &shape.form {
        Form::Area(rings) => Some(rings),
        _ => None,
    });
    let area =
        |ring: &Vec<Vec2>| ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| a.perp_dot(*b)).sum::<f32>() / 2.0;
    rings.map(|rings| rings.iter().map(area).sum::<f32>().abs()).sum()
}

/// A camera in a solid mesh is told; in a room, made of walls that look inwards or round people too, it isn't. Clutter is told.
#[test]
fn a_camera_in_a_mesh() {
    let inside = |mesh: Triangles| {
        let plan =
            plan_with(&[("it.glb", mesh)], "meshes: [(id: \"it\", file: \"it.glb\", at: (0, 0), clutter: true)]");
        let tableau = stage(&plan, 0.0);
        let daylight = daylight_of(SunPosition { elevation: 0.9, azimuth: 1.0 }, 0.0, Sky::Clear);
        let camera = camera(vec3(0.0, 1.5, 6.0), vec3(0.0, 1.5, 0.0));
        frame_seen(&plan, &plan.frames[0], &tableau, &camera, &daylight, [60, 40])
    };
    let solid = box_of(vec3(-0.3, 0.0, 5.8), vec3(0.3, 1.6, 6.2));
    let mut room = box_of(vec3(-9.0, 0.0, -9.0), vec3(9.0, 5.0, 9.0));
    room.1.as_chunks_mut::<3>().0.iter_mut().for_each(|triangle| triangle.swap(1, 2));
    let shell = box_of(vec3(-20.0, 0.0, -20.0), vec3(20.0, 5.0, 20.0));
    assert!(inside(room).camera_inside.is_empty() && inside(shell).camera_inside.is_empty());
    let seen = inside(solid);
    assert_eq!(seen.camera_inside, ["it"]);
    let thing = seen.things.iter().find(|thing| thing.id == "it").expect("its inner faces are seen");
    assert!(thing.clutter && thing.visible_px > 0, "{thing:?}");
}

/// From above a hall is cut at 1.1 m: of an upright cylinder of 24 sides exactly that much is left, and none of its roof.
#[test]
fn halls_are_cut_open_from_above() {
    let rim = |k: u32, y: f32| {
        let (sin, cos) = (k as f32 * std::f32::consts::TAU / 24.0).sin_cos();
        vec3(5.0 * cos, y, 5.0 * sin)
    };
    let corners = (0..24).flat_map(|k| [rim(k, 0.0), rim(k, 4.0)]).chain([vec3(0.0, 6.0, 0.0)]).collect();
    let side = |k: u32| {
        let [a, b] = [2 * k, 2 * ((k + 1) % 24)];
        [a, a + 1, b, b, a + 1, b + 1, a + 1, 48, b + 1]
    };
    let hall: Triangles = (corners, (0..24).flat_map(side).collect());
    let plan = plan_with(&[("hall.glb", hall)], "meshes: [(file: \"hall.glb\", at: (0, 0), above_floor: -0.5)]");
    let run = Run::new(&plan);
    let tableau = Overview::new(&run, &[0.0]).tableau(&run, 0.0);
    let of_mesh = |solid: &&Solid| matches!(tableau.owner(solid.owner).kind, OwnerKind::Mesh(_));
    let solid = tableau.solids.iter().find(of_mesh).expect("some of it is left");
    let Shape::Mesh(mesh) = &solid.shape else { panic!("a mesh") };
    let area = |triangle: &[u32; 3]| {
        let [a, b, c] = triangle.map(|corner| mesh.corners[corner as usize]);
        assert!(a.max(b).max(c).y + solid.at.y < 1.1 + 1e-5, "{a} {b} {c}");
        (b - a).cross(c - a).length() / 2.0
    };
    let area_m2: f32 = mesh.triangles.iter().map(area).sum();
    let girth_m = 24.0 * rim(0, 0.0).distance(rim(1, 0.0));
    // Half a metre of it is below the floor.
    assert!((area_m2 - girth_m * 1.6).abs() < 1e-3, "{area_m2} {girth_m}");
}
