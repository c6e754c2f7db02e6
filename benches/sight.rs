//! What rays cost: `cargo bench --bench sight`. One run, same rays, same scene, for every way of casting them.

use glam::{Vec3, vec3};
use rayon::prelude::*;
use standpoint::optics::Camera;
use standpoint::picture::prepare_in;
use standpoint::plan::{Plan, load};
use standpoint::sight::{Caster, IdImage, Pane, PlainCaster};
use standpoint::staging::{Run, Tableau, rehearse};
use std::path::Path;
use std::time::{Duration, Instant};

type Rays = Vec<(Vec3, Vec3)>;

fn main() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/orchard.ron");
    let (plan, _) = rehearse(load(&path).expect("a valid plan").plan);
    let run = Run::new(&plan);
    let frame = plan.frames.iter().find(|frame| frame.id == "kiss-altar").expect("the frame");
    let ready = prepare_in(&run, frame).expect("a frame");
    let coherent = pixels(&ready.composed.camera, [960, 640]);
    let random = scattered(coherent.len());
    let pane = Pane::picture(&ready.composed.camera, [960, 640]);
    println!("orchard, {}: {} solids, {} rays", frame.id, ready.tableau.solids.len(), coherent.len());
    for (what, rays) in [("coherent", &coherent), ("random", &random)] {
        cast(&ready.tableau, what, rays);
    }
    let caster = Caster::new(&ready.tableau);
    let tiles = || caster.ids(pane, |_| false).solids.iter().filter(|solid| **solid != IdImage::NOTHING).count();
    let one = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a thread");
    let by = |threads: &str, (hits, took): (usize, Duration)| {
        let m_rays = coherent.len() as f64 / took.as_secs_f64() / 1e6;
        println!(" coherent tiles of the id image, {threads:<11} {m_rays:>7.2} M rays/s  {hits} hits");
    };
    by("one thread", fastest(&|| one.install(tiles)));
    by("all threads", fastest(&tiles));
    rebuild(&plan);
}

fn cast(tableau: &Tableau, what: &str, rays: &Rays) {
    let caster = Caster::new(tableau);
    let plain = PlainCaster::new(tableau);
    let few: Rays = rays.iter().step_by(97).copied().collect();
    let hit = |&(origin, way): &(Vec3, Vec3)| usize::from(caster.nearest(origin, way, 1e4, |_| false).is_some());
    let by = |name: &str, count: usize, once: &dyn Fn() -> usize| {
        let (hits, took) = fastest(once);
        println!("{what:>9} {name:<34} {:>7.2} M rays/s  {hits} hits", count as f64 / took.as_secs_f64() / 1e6);
    };
    by("every solid, one thread", few.len(), &|| {
        few.iter().filter(|(origin, way)| plain.first_hit(*origin, *way, 1e4, |_| false).is_some()).count()
    });
    by("tree of blocks, one thread", rays.len(), &|| rays.iter().map(hit).sum());
    by("tree of blocks, all threads", rays.len(), &|| rays.par_iter().with_min_len(4096).map(hit).sum());
}

fn rebuild(plan: &Plan) {
    let run = Run::new(plan);
    let at_s = plan.moments[plan.moments.len() / 2].start_s;
    let tableau = run.tableau(at_s);
    let (_, staged) = fastest(&|| run.tableau(at_s).solids.len());
    let (solids, took) = fastest(&|| Caster::new(&tableau).tableau().solids.len());
    println!("{solids} solids: staged in {:.2} ms, tree in {:.2} ms", ms(staged), ms(took));
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}

fn fastest(once: &dyn Fn() -> usize) -> (usize, Duration) {
    (0..5)
        .map(|_| {
            let began = Instant::now();
            (std::hint::black_box(once()), began.elapsed())
        })
        .min_by_key(|(_, took)| *took)
        .expect("five runs")
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
