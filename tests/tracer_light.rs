//! The built-in tracer: blur, light and shadow against closed forms, the meter, and itself.

mod common;

use common::{block, photographer_at, tableau_of};
use glam::{Quat, Vec3, vec3};
use standpoint::daylight::{Daylight, SunPosition, daylight_of};
use standpoint::optics::Camera;
use standpoint::picture::tracer::{Samples, Shot, Tracer};
use standpoint::picture::{Metered, picture_size, prepare_in};
use standpoint::plan::{Colour, Sky, load};
use standpoint::sight::{Caster, LampPoint, Pane, Sources, face_light, sum_of};
use standpoint::staging::{Figure, Finish, OwnerKind, Part, Run, Shape, Solid, Tableau, TriangleMesh, rehearse};
use std::path::Path;
use std::sync::Arc;

static DARK: Metered = Metered::DARK;

const MANY: Samples = Samples { each: 64, most: 64 };

fn camera(eye: Vec3, target: Vec3) -> Camera {
    Camera {
        eye,
        turned: Camera::look_at(eye, target),
        sensor_m: [0.036, 0.024],
        focal_m: 0.05,
        f_number: 8.0,
        focus_m: 5.0,
        shutter_s: 0.005,
        iso: 100.0,
    }
}

/// Sees a few millimetres only.
fn narrow(camera: Camera) -> Camera {
    Camera { sensor_m: [0.000_36, 0.000_24], ..camera }
}

fn day(sky: Sky, elevation_deg: f64) -> Daylight {
    daylight_of(SunPosition { elevation: elevation_deg.to_radians(), azimuth: 1.0 }, 0.0, sky)
}

/// Matt, of this share of light given back.
fn card(centre: Vec3, half: Vec3, share: f32) -> Solid {
    let mut solid = block(0, centre, half);
    solid.material.finish = Finish::Paper;
    solid.material.colour = Colour([standpoint::daylight::srgb_from_linear(share); 3]);
    solid
}

fn tableau(solids: Vec<Solid>) -> Tableau {
    let mut tableau = tableau_of(vec![photographer_at(0, Vec3::splat(1e3))]);
    tableau.solids = solids;
    tableau
}

/// Mean luminance of a picture, cd/m², under a sky and some lamps.
fn mean_nits(tableau: &Tableau, day: &Daylight, camera: &Camera, lamps: Vec<LampPoint>) -> f64 {
    let sources = Sources { lamps, rooms: vec![] };
    let shot = shot(tableau, day, camera, &sources, [24, 16]);
    let light = Tracer::new().light(&shot, MANY, |_| ());
    light.iter().map(|light| sum_of(light.as_dvec3())).sum::<f64>() / light.len() as f64
}

fn shot<'a>(
    tableau: &'a Tableau,
    daylight: &'a Daylight,
    camera: &'a Camera,
    sources: &'a Sources,
    [width_px, height_px]: [u32; 2],
) -> Shot<'a> {
    Shot { tableau, daylight, sources, metered: &DARK, camera, taker: None, width_px, height_px }
}

/// The rows of the blur disc on the sensor, b = f²/N · |s2 − s1| / (s2·(s1 − f)): computed, and measured with another
/// renderer's thin lens (Mitsuba 3.9.1, within 0.11 % of the formula). A small square, whose disc is taken from the
/// second moment of its picture: ⟨r²⟩ = b²/8 + a²/6 for a sharp picture of edge a. Tolerance 3 %.
#[test]
fn blur_discs_of_a_thin_lens() {
    let rows = [
        (50.0, 1.4, 2.0, 4.0, 0.45788),
        (50.0, 2.8, 3.0, 6.0, 0.15133),
        (85.0, 1.8, 3.0, 2.5, 0.27540),
        (85.0, 2.8, 5.0, 15.0, 0.35000),
        (200.0, 2.8, 10.0, 30.0, 0.97182),
        (24.0, 5.6, 3.0, 1.0, 0.06912),
    ];
    for (focal_mm, f_number, focus_m, at_m, expected_mm) in rows {
        let strip_m = 2.0 * expected_mm / 1000.0;
        let sharp_m = strip_m / 24.0;
        let half = (sharp_m * at_m / (focal_mm / 1000.0) / 2.0) as f32;
        let spot = tableau(vec![block(0, vec3(0.0, 0.0, -at_m as f32 - 1e-4), vec3(half, half, 1e-4))]);
        let camera = Camera {
            sensor_m: [strip_m, strip_m],
            focal_m: focal_mm / 1000.0,
            f_number,
            focus_m,
            ..camera(Vec3::ZERO, Vec3::NEG_Z)
        };
        let (sources, day) = (Sources::default(), day(Sky::Clear, 40.0));
        let side = 96u32;
        let picture = Tracer::new().flat(&shot(&spot, &day, &camera, &sources, [side, side]), 400, |_| Vec3::ONE);
        let (mut sum, mut second) = (0.0, 0.0);
        for (pixel, light) in picture.iter().enumerate() {
            let from_middle = |i: u32| (f64::from(i) + 0.5 - f64::from(side) / 2.0) * strip_m / f64::from(side);
            let (x, y) = (from_middle(pixel as u32 % side), from_middle(pixel as u32 / side));
            sum += f64::from(light.x);
            second += f64::from(light.x) * (x * x + y * y);
        }
        // A pixel spreads as a square of its own size does.
        let pixel_m = strip_m / f64::from(side);
        let disc_mm = (8.0 * (second / sum - sharp_m * sharp_m / 6.0 - pixel_m * pixel_m / 6.0)).sqrt() * 1000.0;
        assert!(
            (disc_mm / expected_mm - 1.0).abs() < 0.03,
            "{focal_mm} mm f/{f_number}: {disc_mm} mm instead of {expected_mm}"
        );
    }
}

/// A frame of the orchard, every owner in a flat colour, as another renderer's thin lens blurs it (Mitsuba 3.9.1, 1024 rays a
/// pixel; tests/reference/sight/blur_frame.py made the picture and says how): edges in and out of focus, one before the
/// other.
#[test]
fn a_frame_through_another_renderers_lens() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/orchard.ron");
    let (plan, _) = rehearse(load(&path).expect("a valid plan").plan);
    let frame = plan.frames.iter().find(|frame| frame.id == "vow-listener-noor").expect("the frame");
    let mut ready = prepare_in(&Run::new(&plan), frame).expect("a frame");
    // Sharp blocks without loose leaves, and nothing that one sees through, as in the file that the other one read.
    ready.tableau.solids.retain(|solid| !solid.is_seen_through());
    for solid in &mut ready.tableau.solids {
        if let Shape::Block(block) = &mut solid.shape {
            block.edge_m = 0.0;
        }
        if solid.material.finish == Finish::Leaves {
            solid.material.finish = Finish::Paint;
        }
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/sight/blur_frame.png");
    let theirs = image::open(path).expect("a picture").to_rgb16();
    let size = [theirs.width(), theirs.height()];
    let shot = Shot {
        taker: Some(ready.taker),
        ..shot(&ready.tableau, &ready.daylight, &ready.composed.camera, &ready.sources, size)
    };
    let colour = |solid: usize| {
        let id = &ready.tableau.owner(ready.tableau.solids[solid].owner).id;
        // FNV-1a, 32 bits.
        let hash = id.bytes().fold(0x811C_9DC5_u32, |hash, byte| (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193));
        Vec3::from([0, 8, 16].map(|shift| (hash >> shift & 255) as f32 / 255.0))
    };
    let ours = Tracer::new().flat(&shot, 256, colour);
    let mut apart: Vec<f32> = ours
        .iter()
        .zip(theirs.pixels())
        .map(|(ours, theirs)| (*ours - Vec3::from(theirs.0.map(|it| f32::from(it) / 65_535.0))).abs().max_element())
        .collect();
    apart.sort_by(f32::total_cmp);
    let mean = apart.iter().sum::<f32>() / apart.len() as f32;
    let worst_hundredth = apart[apart.len() * 99 / 100];
    println!("mean {mean:.4}, worst hundredth from {worst_hundredth:.3}");
    assert!(mean < 0.006 && worst_hundredth < 0.06, "mean {mean}, worst hundredth from {worst_hundredth}");
}

/// Lambert: a level card under the open sky gives back its share of what the dome and the sun give, over π; in a block's
/// shadow the sun's part is missing. A mirror's worth of 1 % comes on top.
#[test]
fn a_card_under_the_sky() {
    let floor = card(vec3(0.0, -0.1, 0.0), vec3(300.0, 0.1, 300.0), 0.4);
    let camera = camera(vec3(0.0, 3.0, 0.1), Vec3::ZERO);
    for (sky, elevation_deg) in [(Sky::Clear, 50.0), (Sky::Clear, 20.0), (Sky::Overcast, 40.0), (Sky::Hazy, 60.0)] {
        let day = day(sky, elevation_deg);
        let sun = day.sun_lux * f64::from(day.to_sun.y);
        let sky_lux = day.sky.horizontal_lux();
        let open = mean_nits(&tableau(vec![floor.clone()]), &day, &camera, vec![]);
        let expected = 0.4 / std::f64::consts::PI * (sun + sky_lux);
        assert!((open / expected - 1.0).abs() < 0.06, "{sky:?} {elevation_deg}: {open} instead of {expected}");
        if sun > 0.0 {
            // Small and high in the sun's way: it takes next to none of the sky.
            let shade = card(day.to_sun * 60.0, Vec3::splat(2.0), 0.4);
            let shaded = mean_nits(&tableau(vec![floor.clone(), shade]), &day, &camera, vec![]);
            let expected = 0.4 / std::f64::consts::PI * sky_lux;
            assert!((shaded / expected - 1.0).abs() < 0.08, "{sky:?} {elevation_deg}: {shaded} instead of {expected}");
        }
    }
}

/// Half the sky behind a black wall without end is half the sky's light, seen at the wall's foot.
#[test]
fn half_a_sky() {
    let floor = card(vec3(0.0, -0.1, 0.0), vec3(300.0, 0.1, 300.0), 0.4);
    let wall = card(vec3(-150.02, 300.0, 0.0), vec3(150.0, 310.0, 400.0), 0.0);
    let day = day(Sky::Overcast, 40.0);
    let look = |x: f32| narrow(camera(vec3(x + 0.5, 3.0, 0.0), vec3(x, 0.0, 0.0)));
    let open = mean_nits(&tableau(vec![floor.clone()]), &day, &look(0.05), vec![]);
    let half = mean_nits(&tableau(vec![floor, wall]), &day, &look(0.05), vec![]);
    assert!((half / open - 0.5).abs() < 0.03, "{}", half / open);
}

/// Inverse square: 1000 lm all round are 79.58 cd; a card 2 m below gets 19.89 lx, none through a plate.
#[test]
fn a_lamp_over_a_card() {
    let floor = card(vec3(0.0, -0.1, 0.0), vec3(0.05, 0.1, 0.05), 0.4);
    let night = day(Sky::Clear, -40.0);
    let candela = 1000.0 / (4.0 * std::f64::consts::PI);
    let lamp = LampPoint { at: vec3(0.0, 2.0, 0.0), kelvin: 3000.0, candela, whole_candela: candela, beam: None };
    // Aside of the lamp, so that nothing but the card is seen.
    let aside = narrow(camera(vec3(0.8, 1.5, 0.0), vec3(0.0, 0.0, 0.0)));
    // Exposed for the night, in which the lamp counts.
    let camera = Camera { f_number: 4.0, shutter_s: 0.02, iso: 6400.0, focus_m: 1.7, ..aside };
    let lit = mean_nits(&tableau(vec![floor.clone()]), &night, &camera, vec![lamp]);
    let expected = 0.4 / std::f64::consts::PI * candela / 4.0;
    assert!((lit / expected - 1.0).abs() < 0.05, "{lit} instead of {expected}");
    let plate = card(vec3(0.0, 1.0, 0.0), vec3(0.3, 0.02, 0.3), 0.0);
    let dark = mean_nits(&tableau(vec![floor, plate]), &night, &camera, vec![lamp]);
    assert!(dark < 0.02 * expected, "{dark} of {expected}");
}

/// The picture is the same on one thread and on several.
#[test]
fn same_bytes_on_any_number_of_threads() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/chapel.ron");
    let (plan, _) = rehearse(load(&path).expect("a valid plan").plan);
    let run = Run::new(&plan);
    let ready = prepare_in(&run, &plan.frames[0]).expect("a frame");
    let shot = Shot {
        taker: Some(ready.taker),
        metered: &ready.metered,
        ..shot(&ready.tableau, &ready.daylight, &ready.composed.camera, &ready.sources, [90, 60])
    };
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        pool.install(|| Tracer::new().take(&shot, Samples { each: 3, most: 8 }, |_| ()).into_raw())
    };
    assert!(on(1) == on(3));
}

/// Skin shows what the meter says falls on it, within two thirds of a stop: faces of the people whom demo frames are of,
/// turned to the camera, traced and metered by two ways through the same model.
#[test]
fn faces_are_lit_as_metered() {
    let wanted = [("orchard.ron", ["reader", "waiting"]), ("chapel.ron", ["", ""]), ("loft.ron", ["", ""])];
    let mut compared = 0;
    for (name, ids) in wanted {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name);
        let (plan, _) = rehearse(load(&path).expect("a valid plan").plan);
        let run = Run::new(&plan);
        let near = |frame: &&standpoint::plan::Frame| ids[0].is_empty() || ids.contains(&frame.id.as_str());
        for frame in plan.frames.iter().filter(near) {
            let ready = prepare_in(&run, frame).expect("a frame");
            let Some(&person) = frame.of.first() else { continue };
            let Some(figure) = ready.tableau.figure_of(OwnerKind::Person(person)) else { continue };
            let camera = &ready.composed.camera;
            let to_camera = (camera.eye - figure.eyes).normalize();
            // Between two faces that touch it is dark, but that is not where a camera meters.
            let touches = |other: &Figure| other.owner != figure.owner && other.eyes.distance(figure.eyes) < 0.45;
            let alone = !ready.tableau.figures.iter().any(touches);
            if figure.face_forward.dot(to_camera) < 0.85 || !alone || compared >= 8 {
                continue;
            }
            let size = picture_size(camera.sensor_m, 120);
            let sources = &ready.sources;
            let shot = Shot {
                taker: Some(ready.taker),
                metered: &ready.metered,
                ..shot(&ready.tableau, &ready.daylight, camera, sources, size)
            };
            let light = Tracer::new().light(&shot, Samples { each: 24, most: 24 }, |_| ());
            let ids = Caster::new(&ready.tableau).ids(Pane::picture(camera, size), |_| false);
            let mut sum = 0.0;
            let mut count = 0.0;
            for (&solid, light) in ids.solids.iter().zip(&light) {
                let Some(solid) = ready.tableau.solids.get(solid as usize) else { continue };
                let skin = solid.part == Part::Face && solid.material.finish == Finish::Skin;
                if solid.owner == figure.owner && skin {
                    let tint = solid.material.colour.0.map(standpoint::daylight::linear_from_srgb);
                    let share = f64::from(standpoint::daylight::luminance(tint));
                    sum += sum_of(light.as_dvec3()) / share * std::f64::consts::PI;
                    count += 1.0;
                }
            }
            if count < 25.0 {
                continue;
            }
            let metered = face_light(&ready.tableau, &ready.daylight, figure, sources).total_lux();
            let stops = (sum / count / metered).log2();
            println!("{name} {}: {stops:+.2} stops from {metered:.0} lx", frame.id);
            assert!(stops.abs() < 0.67, "{name} {}: {stops:+.2} stops from the meter's {metered:.0} lx", frame.id);
            compared += 1;
        }
    }
    assert!(compared >= 5, "{compared} faces compared");
}

/// A camera in a column sees past it; meshes of no numbers are not there; nothing panics, and the picture isn't black.
#[test]
fn odd_places_and_broken_meshes() {
    let corners = vec![Vec3::splat(f32::NAN), Vec3::X, Vec3::Y];
    let mesh = Arc::new(TriangleMesh { corners, triangles: vec![[0, 1, 2], [1, 2, 9], [1, 1, 1]] });
    let mut broken = card(vec3(0.0, 0.0, -2.0), Vec3::ONE, 0.5);
    broken.shape = Shape::Mesh(mesh);
    let mut turned = card(vec3(0.0, 0.0, -2.0), Vec3::ONE, 0.5);
    turned.turned = Quat::from_xyzw(f32::NAN, 0.0, 0.0, 1.0);
    let column = card(vec3(0.0, 3.0, 0.1), vec3(0.3, 3.0, 0.3), 0.5);
    let flat = card(vec3(0.0, 3.0, -1.0), Vec3::ZERO, 0.5);
    let floor = card(vec3(0.0, -0.1, 0.0), vec3(300.0, 0.1, 300.0), 0.4);
    let tableau = tableau(vec![floor, broken, turned, column, flat]);
    let camera = camera(vec3(0.0, 3.0, 0.1), Vec3::ZERO);
    let day = day(Sky::Overcast, 40.0);
    let nits = mean_nits(&tableau, &day, &camera, vec![]);
    let expected = 0.4 / std::f64::consts::PI * day.sky.horizontal_lux();
    assert!(nits > 0.3 * expected, "{nits} of {expected}");
    let sources = Sources::default();
    let nothing = shot(&tableau, &day, &camera, &sources, [0, 0]);
    assert!(Tracer::new().light(&nothing, MANY, |_| ()).is_empty());
}
