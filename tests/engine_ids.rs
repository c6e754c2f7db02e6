//! Which solids the engine draws where, against rays: Embree's through twenty boxes, and sight's through the demos.
#![cfg(feature = "engine")]

mod adapter;

use glam::{Quat, Vec2, Vec3, vec3};
use standpoint::optics::Camera;
use standpoint::picture::engine::{self, Edges, IdShot, Studio};
use standpoint::picture::tracer::{self, Samples, Tracer};
use standpoint::picture::{Prepared, picture_size, prepare_in};
use standpoint::plan::{Colour, load};
use standpoint::sight::{Caster, IdImage, Pane};
use standpoint::staging::{Block, Finish, Material, OwnerIx, OwnerKind, Part, Run, Shape, Solid, Tableau, rehearse};
use std::path::{Path, PathBuf};

fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(name)
}

fn json(name: &str) -> serde_json::Value {
    serde_json::from_str(&std::fs::read_to_string(data(name)).expect("a data file")).expect("JSON")
}

fn vector(value: &serde_json::Value) -> Vec3 {
    let number = |i: usize| value[i].as_f64().expect("a number") as f32;
    vec3(number(0), number(1), number(2))
}

fn boxes() -> (Tableau, Camera) {
    let boxes = json("boxes.json");
    let solid = |each: &serde_json::Value| {
        let (low, high) = (vector(&each["min"]), vector(&each["max"]));
        Solid {
            shape: Shape::Block(Block { half_m: (high - low) / 2.0, top: Vec2::ONE, edge_m: 0.0 }),
            at: low.midpoint(high),
            turned: Quat::IDENTITY,
            owner: OwnerIx(0),
            part: Part::Thing,
            material: Material { finish: Finish::Paint, colour: Colour([0.5; 3]) },
        }
    };
    let solids = boxes["boxes"].as_array().expect("boxes").iter().map(solid).collect();
    let (eye, target) = (vector(&boxes["camera"]["eye"]), vector(&boxes["camera"]["target"]));
    let camera = Camera {
        eye,
        turned: Camera::look_at(eye, target),
        sensor_m: [0.036, 0.024],
        focal_m: 0.035,
        f_number: 8.0,
        focus_m: 5.0,
        shutter_s: 0.01,
        iso: 100.0,
    };
    (Tableau { solids, ..Tableau::default() }, camera)
}

/// Twenty boxes, 300 × 200 pixels, counted by Embree 4 (through trimesh `RayMeshIntersector`): each box alone and among the
/// others, what is seen of it, and its id at every pixel.
#[test]
fn the_engine_draws_what_embree_hits() {
    let Some(mut studio) = adapter::studio("the_engine_draws_what_embree_hits") else { return };
    let (tableau, camera) = boxes();
    let shot = IdShot { tableau: &tableau, camera: &camera, edges: Edges::Rounded, width_px: 300, height_px: 200 };
    let drawn = studio.ids(&shot, |_| true).expect("an id picture");
    let expected = image::open(data("boxes_ids.png")).expect("a picture").to_luma8();
    assert_eq!(drawn.len(), expected.pixels().len());
    let same = drawn.iter().zip(expected.pixels()).filter(|(id, grey)| id.wrapping_add(1) == u32::from(grey.0[0]));
    let share = same.count() as f64 / drawn.len() as f64;
    println!("{:.3} % of pixels as Embree has them", share * 100.0);
    assert!(share >= 0.995, "{share}");

    let counts = json("boxes_counts.json");
    let count = |ids: &[u32], id: usize| ids.iter().filter(|drawn| **drawn == id as u32).count() as i64;
    for solid in 0..tableau.solids.len() {
        let of = |key: &str| &counts[key][(solid + 1).to_string()];
        let alone = count(&studio.ids(&shot, |other| other == solid).expect("an id picture"), solid);
        let first = count(&drawn, solid);
        for (what, got, expected) in
            [("first", first, of("first_hit_pixels").as_i64()), ("alone", alone, of("alone_pixels").as_i64())]
        {
            let expected = expected.expect("a count");
            let slack = 3.max(expected / 100);
            assert!((got - expected).abs() <= slack, "box {solid} {what}: {got} instead of {expected}");
        }
        let visible = first as f64 / alone.max(1) as f64;
        let expected = of("visible_fraction").as_f64().unwrap_or(0.0);
        assert!((visible - expected).abs() <= 0.01, "box {solid}: {visible} instead of {expected} visible");
    }
}

/// Every frame of the demos at 480 pixels, rounded and with loose leaves, as pictures are: the solid that the tracer meets
/// through a pixel's middle is the one that the engine draws there, on 995 pixels of a thousand.
#[test]
fn the_engine_draws_what_the_tracer_meets() {
    let Some(mut studio) = adapter::studio("the_engine_draws_what_the_tracer_meets") else { return };
    let mut tracer = Tracer::new();
    let mut worst = (1.0, String::new());
    each_frame(|name, ready| {
        let (tableau, camera) = (&ready.tableau, &ready.composed.camera);
        let [width_px, height_px] = picture_size(camera.sensor_m, 480);
        let traced = tracer.ids(&traced_shot(ready, [width_px, height_px]));
        let shown = shown(tableau, camera, ready.taker);
        let shot = IdShot { tableau, camera, edges: Edges::Rounded, width_px, height_px };
        let drawn = studio.ids(&shot, shown).expect("an id picture");
        let same = drawn.iter().zip(&traced).filter(|(drawn, traced)| drawn == traced).count() as f64;
        let share = same / drawn.len() as f64;
        println!("{:.3} % {name}", share * 100.0);
        if share < worst.0 {
            worst = (share, name);
        }
    });
    println!("worst: {:.3} % {}", worst.0 * 100.0, worst.1);
    assert!(worst.0 >= 0.995, "{worst:?}");
}

/// The two ways of making a picture, side by side at 120 pixels: colours differ by what the engine doesn't know, shadows of
/// windows above all. Says by how much; far more than that would be a fault.
#[test]
fn the_engine_and_the_tracer_print_alike() {
    let Some(mut studio) = adapter::studio("the_engine_and_the_tracer_print_alike") else { return };
    let mut tracer = Tracer::new();
    let mut worst = (0.0, String::new());
    let (mut sum, mut count) = (0.0, 0.0);
    each_frame(|name, ready| {
        let size = picture_size(ready.composed.camera.sensor_m, 120);
        let [width_px, height_px] = size;
        let traced = tracer.take(&traced_shot(ready, size), Samples { each: 3, most: 6 }, |_| ());
        let shot = engine::Shot {
            tableau: &ready.tableau,
            daylight: &ready.daylight,
            lamps: &ready.sources.lamps,
            metered: &ready.metered,
            camera: &ready.composed.camera,
            width_px,
            height_px,
        };
        let drawn = studio.take(&shot).expect("a picture");
        let apart: u64 = drawn.as_raw().iter().zip(traced.as_raw()).map(|(a, b)| u64::from(a.abs_diff(*b))).sum();
        let apart = apart as f64 / drawn.as_raw().len() as f64;
        println!("{apart:.1} of 255 {name}");
        (sum, count) = (sum + apart, count + 1.0);
        if apart > worst.0 {
            worst = (apart, name);
        }
    });
    println!("mean {:.1} of 255, worst {:.1} {}", sum / count, worst.0, worst.1);
    assert!(sum / count < 30.0 && worst.0 < 60.0, "{worst:?}");
}

fn each_frame(mut look: impl FnMut(String, &Prepared)) {
    for name in ["orchard", "chapel", "loft"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("scenes/{name}.ron"));
        let (plan, _) = rehearse(load(&path).expect("a valid plan").plan);
        let run = Run::new(&plan);
        for frame in &plan.frames {
            look(format!("{name} {}", frame.id), &prepare_in(&run, frame).expect("a frame"));
        }
    }
}

fn traced_shot<'a>(ready: &'a Prepared, [width_px, height_px]: [u32; 2]) -> tracer::Shot<'a> {
    tracer::Shot {
        tableau: &ready.tableau,
        daylight: &ready.daylight,
        sources: &ready.sources,
        metered: &ready.metered,
        camera: &ready.composed.camera,
        taker: Some(ready.taker),
        width_px,
        height_px,
    }
}

/// All but the taker and what holds the eye.
fn shown(tableau: &Tableau, camera: &Camera, taker: OwnerKind) -> impl Fn(usize) -> bool {
    let round_the_eye = Caster::new(tableau).round(camera.eye);
    move |solid| tableau.owner(tableau.solids[solid].owner).kind != taker && !round_the_eye.contains(&solid)
}

/// Every frame of the demos at 480 pixels: the owner and the part that a ray through a pixel's middle meets are drawn there, on
/// 995 pixels of a thousand.
#[test]
fn the_engine_draws_what_sight_sees() {
    let Some(mut studio) = adapter::studio("the_engine_draws_what_sight_sees") else { return };
    let mut worst = (1.0, String::new());
    each_frame(|name, ready| {
        let same = share_as_rays(&mut studio, &ready.tableau, &ready.composed.camera, ready.taker);
        println!("{:.3} % {name}", same * 100.0);
        if same < worst.0 {
            worst = (same, name);
        }
    });
    println!("worst: {:.3} % {}", worst.0 * 100.0, worst.1);
    assert!(worst.0 >= 0.995, "{worst:?}");
}

/// A picture after an id picture is the picture before it.
#[test]
fn an_id_picture_leaves_no_trace() {
    let Some(mut studio) = adapter::studio("an_id_picture_leaves_no_trace") else { return };
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/orchard.ron");
    let (plan, _) = rehearse(load(&path).expect("a valid plan").plan);
    let ready = prepare_in(&Run::new(&plan), &plan.frames[0]).expect("a frame");
    let (tableau, camera, width_px, height_px) = (&ready.tableau, &ready.composed.camera, 120, 80);
    let Prepared { daylight, metered, sources, .. } = &ready;
    let shot = engine::Shot { tableau, daylight, lamps: &sources.lamps, metered, camera, width_px, height_px };
    let before = studio.take(&shot).expect("a picture");
    let ids = studio.ids(&IdShot { tableau, camera, edges: Edges::Rounded, width_px, height_px }, |_| true);
    assert!(ids.expect("an id picture").iter().any(|id| *id != IdImage::NOTHING));
    assert!(before == studio.take(&shot).expect("a picture"));
}

/// Share of pixels on which the engine draws the owner and part that rays meet, without the taker and what holds the eye.
fn share_as_rays(studio: &mut Studio, tableau: &Tableau, camera: &Camera, taker: OwnerKind) -> f64 {
    let [width_px, height_px] = picture_size(camera.sensor_m, 480);
    let caster = Caster::new(tableau);
    let shown = shown(tableau, camera, taker);
    let square = with_square_pixels(*camera, [width_px, height_px]);
    let cast = caster.ids(Pane::picture(&square, [width_px, height_px]), |solid| !shown(solid)).solids;
    let shot = IdShot { tableau, camera, edges: Edges::Sharp, width_px, height_px };
    let drawn = studio.ids(&shot, shown).expect("an id picture");
    assert_eq!(drawn.len(), cast.len());
    let whose = |solid: u32| {
        let solid = (solid != IdImage::NOTHING).then(|| &tableau.solids[solid as usize]);
        solid.map(|solid| (solid.owner, solid.part))
    };
    let same = drawn.iter().zip(&cast).filter(|(drawn, cast)| whose(**drawn) == whose(**cast)).count();
    same as f64 / drawn.len() as f64
}

/// The engine has the lens's angle of view from top to bottom, and square pixels. The sides of a picture are whole pixels, so
/// that its width may be that of a sensor a thousandth narrower or wider: 480 × 319 of 23.5 × 15.6 mm, for instance.
fn with_square_pixels(camera: Camera, [width_px, height_px]: [u32; 2]) -> Camera {
    let width_m = camera.sensor_m[1] * f64::from(width_px) / f64::from(height_px);
    assert!((width_m / camera.sensor_m[0] - 1.0).abs() < 0.002, "{width_m} of {:?}", camera.sensor_m);
    Camera { sensor_m: [width_m, camera.sensor_m[1]], ..camera }
}
