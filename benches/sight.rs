//! What rays cost: `cargo bench --bench sight`. One run, same rays, same scene, for every way of casting them: each solid in
//! turn, our trees over blocks, and, over the twelve triangles of each block, a kept crate and Embree 4, which is asked
//! where Python has `embreex` (see tests/reference/sight).

mod others;

use glam::{Vec3, vec3};
use others::{Crate, embree};
use rayon::prelude::*;
use standpoint::daylight::daylight_at;
use standpoint::optics::Camera;
use standpoint::picture::tracer::{Samples, Shot, Tracer};
use standpoint::picture::{picture_size, prepare_in};
use standpoint::plan::{Plan, load};
use standpoint::sight::{Caster, IdImage, Pane, PlainCaster, Stretch, frame_seen, views_lost};
use standpoint::staging::{Run, Tableau, rehearse};
use std::path::Path;
use std::time::{Duration, Instant};

pub type Rays = Vec<(Vec3, Vec3)>;

fn main() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/orchard.ron");
    let (plan, _) = rehearse(load(&path).expect("a valid plan").plan);
    let run = Run::new(&plan);
    let frame = plan.frames.iter().find(|frame| frame.id == "kiss-altar").expect("the frame");
    let ready = prepare_in(&run, frame).expect("a frame");
    let camera = &ready.composed.camera;
    let coherent = pixels(camera, [960, 640]);
    let random = scattered(coherent.len());
    println!("orchard, {}: {} solids, {} rays", frame.id, ready.tableau.solids.len(), coherent.len());
    for (what, rays) in [("coherent", &coherent), ("random", &random)] {
        cast(&plan, &ready.tableau, what, rays);
    }
    tiles(&ready.tableau, Pane::picture(camera, [960, 640]));
    for guests in [0, 300, 1000] {
        rebuild(&crowded(&plan, guests));
    }
    sight_of_all_frames(&run);
    let (_, took) =
        timed(&|| views_lost(&run, Stretch { from_s: 0.0, to_s: plan.length_s(), every_s: 1.0 }, || ()).guests.len());
    println!("guests' views of a whole ceremony, every second: {:.1} s", took.as_secs_f64());
    let shot = Shot {
        tableau: &ready.tableau,
        daylight: &ready.daylight,
        sources: &ready.sources,
        metered: &ready.metered,
        camera,
        taker: Some(ready.taker),
        width_px: 1500,
        height_px: 1000,
    };
    let mut tracer = Tracer::new();
    tracer.ids(&Shot { width_px: 3, height_px: 2, ..shot });
    let (_, took) = timed(&|| Tracer::new().ids(&Shot { width_px: 3, height_px: 2, ..shot }).len());
    println!("patterns, meshes and tree of a traced picture: {:.2} s", took.as_secs_f64());
    let began = Instant::now();
    tracer.take(&shot, Samples::USUAL, |_| ());
    println!("a traced picture of 1500 × 1000: {:.1} s", began.elapsed().as_secs_f64());
}

fn cast(plan: &Plan, tableau: &Tableau, what: &str, rays: &Rays) {
    let caster = Caster::new(tableau);
    let plain = PlainCaster::new(tableau);
    let triangles = Crate::new(tableau);
    let few: Rays = rays.iter().step_by(97).copied().collect();
    let hit = |&(origin, way): &(Vec3, Vec3)| usize::from(caster.nearest(origin, way, 1e4, |_| false).is_some());
    let by = |name: &str, count: usize, once: &dyn Fn() -> usize| {
        let (hits, took) = fastest(once);
        println!("{what:>9}  {name:<40} {:>7.2} M rays/s  {hits} hits", count as f64 / took.as_secs_f64() / 1e6);
    };
    by("every solid, one thread", few.len(), &|| {
        few.iter().filter(|(origin, way)| plain.first_hit(*origin, *way, 1e4, |_| false).is_some()).count()
    });
    by("crate, tree of triangles, one thread", rays.len(), &|| rays.iter().map(|ray| triangles.hits(ray)).sum());
    by("tree of blocks, one thread", rays.len(), &|| rays.iter().map(hit).sum());
    by("tree of blocks, all threads", rays.len(), &|| rays.par_iter().with_min_len(4096).map(hit).sum());
    match embree(plan, tableau, rays) {
        Ok(told) => println!("{what:>9}  {told}"),
        Err(why) => println!("{what:>9}  Embree not asked: {why}"),
    }
}

fn tiles(tableau: &Tableau, pane: Pane) {
    let caster = Caster::new(tableau);
    let once = || caster.ids(pane, |_| false).solids.iter().filter(|solid| **solid != IdImage::NOTHING).count();
    let one = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a thread");
    let by = |threads: &str, (hits, took): (usize, Duration)| {
        let m_rays = f64::from(pane.width * pane.height) / took.as_secs_f64() / 1e6;
        println!(" coherent  {:<40} {m_rays:>7.2} M rays/s  {hits} hits", format!("id image by tiles, {threads}"));
    };
    by("one thread", fastest(&|| one.install(once)));
    by("all threads", fastest(&once));
}

/// A drag costs this much: everybody is staged anew, and the trees are built anew.
fn rebuild(plan: &Plan) {
    let run = Run::new(plan);
    let at_s = plan.moments[plan.moments.len() / 2].start_s;
    let tableau = run.tableau(at_s);
    let (_, staged) = fastest(&|| run.tableau(at_s).solids.len());
    let (solids, took) = fastest(&|| Caster::new(&tableau).tableau().solids.len());
    let people = tableau.figures.len();
    println!("{people} people, {solids} solids: staged in {:.2} ms, trees in {:.2} ms", ms(staged), ms(took));
}

/// The orchard with about so many guests; 0 leaves it as it is.
fn crowded(plan: &Plan, guests: u32) -> Plan {
    let mut plan = plan.clone();
    if guests > 0 {
        let mut taken: Vec<_> = plan.venue.seats.iter_mut().filter(|block| block.filled > 0.0).collect();
        let a_row: u32 = taken.iter().map(|block| block.seats_per_row).sum();
        for block in &mut taken {
            block.rows = guests.div_ceil(a_row);
            block.filled = 1.0;
        }
    }
    plan
}

fn sight_of_all_frames(run: &Run) {
    let plan = run.plan;
    let all = || {
        let look = |frame: &standpoint::plan::Frame| {
            let tableau = run.tableau(plan.at_s(frame));
            let camera = standpoint::optics::compose(plan, frame, &tableau, 1000.0).expect("a camera").camera;
            let daylight = daylight_at(&plan.place, plan.sky, &plan.instant(plan.at_s(frame)));
            frame_seen(plan, frame, &tableau, &camera, &daylight, picture_size(camera.sensor_m, 960)).people.len()
        };
        plan.frames.par_iter().map(look).sum()
    };
    let (_, took) = timed(&all);
    println!("sight of {} frames at 960 px: {:.2} s", plan.frames.len(), took.as_secs_f64());
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}

fn timed(once: &dyn Fn() -> usize) -> (usize, Duration) {
    let began = Instant::now();
    (std::hint::black_box(once()), began.elapsed())
}

fn fastest(once: &dyn Fn() -> usize) -> (usize, Duration) {
    (0..5).map(|_| timed(once)).min_by_key(|(_, took)| *took).expect("five runs")
}

fn pixels(camera: &Camera, [width, height]: [u32; 2]) -> Rays {
    let through = |x: u32, y: u32| {
        camera.direction_through([(f64::from(x) + 0.5) / f64::from(width), (f64::from(y) + 0.5) / f64::from(height)])
    };
    (0..height).flat_map(|y| (0..width).map(move |x| (x, y))).map(|(x, y)| (camera.eye, through(x, y))).collect()
}

/// From anywhere people move, in all directions.
fn scattered(count: usize) -> Rays {
    const STEPS: [f64; 5] = [0.854_675, 0.730_470, 0.624_314, 0.533_585, 0.456_041];
    (1..=count)
        .map(|i| {
            let [x, y, z, turn, rise] = STEPS.map(|step| (step * i as f64).fract() as f32);
            let origin = vec3(16.0 * x - 8.0, 0.2 + 2.0 * y, 20.0 * z - 5.0);
            let (up, turn) = (2.0 * rise - 1.0, std::f32::consts::TAU * turn);
            let flat = (1.0 - up * up).max(0.0).sqrt();
            (origin, vec3(flat * turn.cos(), up, flat * turn.sin()))
        })
        .collect()
}
