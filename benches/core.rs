//! What the core costs: `cargo bench --bench core`.

use divan::{Bencher, black_box};
use glam::Vec2;
use standpoint::findings::{findings, findings_shaken, frame_findings};
use standpoint::picture::mesh::{Onlooker, batches};
use standpoint::picture::prepare_in;
use standpoint::plan::{Frame, Plan, load};
use standpoint::sight::covered;
use standpoint::staging::route::Obstacles;
use standpoint::staging::{Run, rehearse, stage};
use std::path::Path;

/// Guests wanted; 0 is the demo as it is, about ninety.
const GUESTS: [u32; 3] = [0, 300, 1000];

/// Counts what is allocated.
#[global_allocator]
static ALLOCATOR: divan::AllocProfiler = divan::AllocProfiler::system();

fn main() {
    divan::main();
}

fn orchard(guests: u32) -> Plan {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/orchard.ron");
    let (mut plan, _) = rehearse(load(&path).expect("the demo is a valid plan").plan);
    let mut taken: Vec<_> = plan.venue.seats.iter_mut().filter(|block| guests > 0 && block.filled > 0.0).collect();
    let a_row: u32 = taken.iter().map(|block| block.seats_per_row).sum();
    for block in &mut taken {
        block.rows = guests.div_ceil(a_row);
        block.filled = 1.0;
    }
    plan
}

fn kiss(plan: &Plan) -> &Frame {
    plan.frames.iter().find(|frame| frame.id == "kiss-altar").expect("a frame of the demo")
}

#[divan::bench]
fn read_the_demo(bencher: Bencher) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/orchard.ron");
    bencher.bench(|| load(black_box(&path)).expect("the demo is a valid plan"));
}

/// The ceremony in time, from the plan: once, before any instant is asked for.
#[divan::bench]
fn work_out_the_run(bencher: Bencher) {
    let plan = orchard(0);
    bencher.bench(|| Run::new(black_box(&plan)));
}

/// Everyone and everything in the middle of the entrance, the run being known: what scrubbing through time costs.
#[divan::bench(args = GUESTS)]
fn an_instant_of_the_run(bencher: Bencher, guests: u32) {
    let plan = orchard(guests);
    let run = Run::new(&plan);
    let at_s = plan.moments.iter().find(|moment| moment.id == "entrance").expect("a moment of the demo").start_s + 20.0;
    bencher.bench(|| black_box(&run).tableau(at_s));
}

/// Everybody's landmarks at every thirtieth of a second of the whole ceremony, without solids.
#[divan::bench(args = [0], sample_count = 1, sample_size = 1)]
fn the_whole_ceremony_at_30_hz(bencher: Bencher, guests: u32) {
    let plan = orchard(guests);
    let run = Run::new(&plan);
    let steps = (plan.length_s() * 30.0) as u32;
    bencher.bench(|| (0..steps).map(|k| black_box(&run).figures(f64::from(k) / 30.0).len()).sum::<usize>());
}

/// All rules about one frame: what an edit of it costs.
#[divan::bench(args = GUESTS)]
fn findings_of_a_frame(bencher: Bencher, guests: u32) {
    let plan = orchard(guests);
    let run = Run::new(&plan);
    bencher.bench(|| frame_findings(black_box(&run), kiss(&plan)));
}

/// All rules about all 23 frames and the team, on all cores.
#[divan::bench(args = GUESTS, sample_count = 3, sample_size = 1)]
fn findings_of_the_demo(bencher: Bencher, guests: u32) {
    let plan = orchard(guests);
    let run = Run::new(&plan);
    bencher.bench(|| findings(black_box(&run), || ()));
}

/// The same, each frame shaken two hundred times.
#[divan::bench(args = GUESTS, sample_count = 3, sample_size = 1)]
fn findings_of_the_demo_shaken(bencher: Bencher, guests: u32) {
    let plan = orchard(guests);
    let run = Run::new(&plan);
    bencher.bench(|| findings_shaken(black_box(&run), 200, || ()));
}

#[divan::bench(args = GUESTS)]
fn stage_an_instant(bencher: Bencher, guests: u32) {
    let plan = orchard(guests);
    let at_s = plan.at_s(kiss(&plan));
    bencher.bench(|| stage(black_box(&plan), at_s));
}

/// From the barn to the musicians, round both blocks of seats, the couple's keep-out and three people who stand about.
#[divan::bench]
fn walk_across_the_orchard(bencher: Bencher) {
    let plan = orchard(0);
    let standing = [(0, Vec2::new(-0.36, 0.0)), (1, Vec2::new(0.36, 0.0)), (2, Vec2::new(0.0, -0.78))];
    let obstacles = Obstacles::of_venue(&plan.venue).with_keep_outs(&plan.venue).with_people(&standing);
    let (from, to) = (Vec2::new(-8.0, 9.0), Vec2::new(8.0, 0.5));
    bencher.bench(|| black_box(&obstacles).shortest(from, to, 0.25).expect("a way"));
}

#[divan::bench]
fn see_what_is_in_the_way(bencher: Bencher) {
    let plan = orchard(0);
    bencher.bench(|| Obstacles::of_venue(black_box(&plan.venue)).with_keep_outs(&plan.venue));
}

#[divan::bench(args = GUESTS)]
fn prepare_a_frame(bencher: Bencher, guests: u32) {
    let plan = orchard(guests);
    let run = Run::new(&plan);
    bencher.bench(|| prepare_in(black_box(&run), kiss(&plan)).expect("a frame that can be drawn"));
}

#[divan::bench(args = GUESTS)]
fn build_meshes(bencher: Bencher, guests: u32) {
    let plan = orchard(guests);
    let ready = prepare_in(&Run::new(&plan), kiss(&plan)).expect("a frame that can be drawn");
    let onlooker = Onlooker { camera: &ready.composed.camera, width_px: 1500 };
    bencher.bench(|| batches(black_box(&ready.tableau), onlooker));
}

/// What frames see of the floor: one over all guests, one along the aisle, one across them.
#[divan::bench(args = ["place", "entrance-behind", "kiss-altar"])]
fn cover_the_floor(bencher: Bencher, id: &str) {
    cover(bencher, id, 0.0);
}

#[divan::bench(args = ["place", "entrance-behind", "kiss-altar"])]
fn cover_heads(bencher: Bencher, id: &str) {
    cover(bencher, id, 1.6);
}

fn cover(bencher: Bencher, id: &str, height_m: f32) {
    let plan = orchard(0);
    let frame = plan.frames.iter().find(|frame| frame.id == id).expect("a frame of the demo");
    let ready = prepare_in(&Run::new(&plan), frame).expect("a frame that can be drawn");
    bencher.bench(|| covered(black_box(&ready.tableau), &ready.composed.camera, height_m, 25.0, None));
}
