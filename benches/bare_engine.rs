//! What our pictures cost beside a bare engine program that draws as many boxes.
//!
//! `cargo bench --bench bare_engine`. Each line is a process of its own: wall time, processor time of all threads, and
//! peak memory, which only Linux tells.

mod bare;
mod usage;

use standpoint::picture::engine::{Shot, Studio, find_adapter};
use standpoint::picture::{Prepared, picture_size, prepare_in};
use standpoint::plan::{Plan, load};
use standpoint::staging::{OwnerKind, Run, rehearse};
use std::path::Path;
use std::process::Command;
use usage::{Spent, Usage};

const LONG_PX: u32 = 1500;
/// Wide and tight, over the whole ceremony.
const FRAMES: [&str; 5] = ["place", "entrance-tight", "kiss-aisle", "kiss-altar", "guests-cheer"];

/// Who draws.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Drawer {
    Ours,
    /// Boxes, sun, sky, anti-aliasing.
    Bare,
    /// The same with the engine's own lens blur, ambient shade and glow.
    BareWithEffects,
}

const DRAWERS: [(Drawer, &str); 3] =
    [(Drawer::Ours, "standpoint"), (Drawer::Bare, "bare"), (Drawer::BareWithEffects, "bare-with-effects")];

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if let [flag, drawer, guests, ..] = arguments.as_slice()
        && flag == "--one"
    {
        let drawer = DRAWERS.iter().find(|(_, name)| name == drawer).expect("a drawer").0;
        println!("{}", one(drawer, guests.parse().expect("a number")));
        return;
    }
    // `cargo test --benches` only wants to know that it builds.
    if !arguments.iter().any(|argument| argument == "--bench") {
        return;
    }
    match find_adapter() {
        Ok(adapter) => println!("{} frames of the orchard, {LONG_PX} pixels wide, on {}", FRAMES.len(), adapter.name),
        Err(missing) => return println!("{missing}"),
    }
    println!("{:18} {:>6} {:>6}  {}", "", "guests", "boxes", Timing::HEADER);
    let itself = std::env::current_exe().expect("the benchmark's own path");
    let mut frame_times = Vec::new();
    for guests in [0, 500, 1000] {
        for (drawer, name) in DRAWERS {
            if guests > 0 && drawer == Drawer::Bare {
                continue;
            }
            let output = Command::new(&itself).args(["--one", name, &guests.to_string()]).output().expect("a process");
            let line = String::from_utf8_lossy(&output.stdout).into_owned();
            assert!(output.status.success(), "{line}{}", String::from_utf8_lossy(&output.stderr));
            println!("{name:18} {}", line.trim_end());
            let each: Vec<f64> = line
                .split('|')
                .nth(3)
                .map_or_else(Vec::new, |cell| cell.split_whitespace().filter_map(|word| word.parse().ok()).collect());
            frame_times.push((guests, name, each));
        }
    }
    for guests in [0, 500, 1000] {
        let of = |name: &str| {
            frame_times.iter().find(|(count, drawer, _)| *count == guests && *drawer == name).map(|(.., each)| each)
        };
        for name in ["bare", "bare-with-effects"] {
            if let (Some([wall, processor]), Some([bare_wall, bare_processor])) =
                (of("standpoint").map(Vec::as_slice), of(name).map(Vec::as_slice))
            {
                let guests = if guests == 0 { "as planned".to_owned() } else { format!("{guests} guests") };
                println!(
                    "{guests}: standpoint over {name}, a frame: wall {:.2}, processor {:.2}",
                    wall / bare_wall,
                    processor / bare_processor
                );
            }
        }
    }
}

struct Timing {
    guests: usize,
    boxes: usize,
    prepare: Spent,
    start: Spent,
    first: Spent,
    each: Spent,
}

impl Timing {
    const HEADER: &str = "| prepare a frame | start           | each frame      | first frame     | peak memory   (seconds: wall processor)";

    fn row(&self) -> String {
        let cell = |spent: Spent| format!("{:7.3} {:7.3}", spent.wall_s, spent.processor_s);
        format!(
            "{:6} {:6}  | {} | {} | {} | {} | {:.0} MB",
            self.guests,
            self.boxes,
            cell(self.prepare),
            cell(self.start),
            cell(self.each),
            cell(self.first),
            usage::peak_memory_mb()
        )
    }
}

/// Draws all frames with one drawer; the row of the table.
fn one(drawer: Drawer, guests: usize) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/orchard.ron");
    let (mut plan, _) = rehearse(load(&path).expect("the demo is a valid plan").plan);
    if guests > 0 {
        fill_seats(&mut plan, guests);
    }
    let usage = Usage::now();
    let run = Run::new(&plan);
    let prepared: Vec<Prepared> = FRAMES
        .iter()
        .map(|id| plan.frames.iter().find(|frame| frame.id == *id).expect("a frame of the demo"))
        .map(|frame| prepare_in(&run, frame).expect("a frame that can be drawn"))
        .collect();
    let prepare = usage.since() / FRAMES.len() as f64;
    let shots: Vec<Shot> = prepared.iter().map(shot).collect();

    let usage = Usage::now();
    let mut take: Box<dyn FnMut(&Shot)> = match drawer {
        Drawer::Ours => {
            let mut studio = Studio::open().expect("the engine starts");
            Box::new(move |shot| drop(studio.take(shot).expect("a picture")))
        }
        Drawer::Bare | Drawer::BareWithEffects => {
            let mut bare = bare::Bare::open(drawer == Drawer::BareWithEffects);
            Box::new(move |shot| drop(bare.take(shot)))
        }
    };
    let start = usage.since();
    let usage = Usage::now();
    take(&shots[0]);
    let first = usage.since();
    let usage = Usage::now();
    shots[1..].iter().for_each(&mut take);
    let each = usage.since() / (shots.len() - 1) as f64;

    let tableau = &prepared[3].tableau;
    let guests = tableau.owners.iter().filter(|owner| matches!(owner.kind, OwnerKind::Guest { .. })).count();
    Timing { guests, boxes: tableau.solids.len(), prepare, start, first, each }.row()
}

fn shot<'a>(ready: &'a Prepared) -> Shot<'a> {
    let camera = &ready.composed.camera;
    let [width_px, height_px] = picture_size(camera.sensor_m, LONG_PX);
    Shot {
        tableau: &ready.tableau,
        daylight: &ready.daylight,
        lamps: &ready.sources.lamps,
        metered: &ready.metered,
        camera,
        width_px,
        height_px,
    }
}

/// Longer blocks of seats, all taken, until about so many sit there.
fn fill_seats(plan: &mut Plan, guests: usize) {
    let taken = plan.venue.seats.iter_mut().filter(|block| block.filled > 0.0);
    let mut taken: Vec<_> = taken.collect();
    let a_row: u32 = taken.iter().map(|block| block.seats_per_row).sum();
    for block in &mut taken {
        block.rows = (guests as u32).div_ceil(a_row);
        block.filled = 1.0;
    }
}
