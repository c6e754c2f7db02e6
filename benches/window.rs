//! How long a frame of the window takes while a standpoint is dragged, with both viewfinders drawn beside it.
//!
//! `cargo bench --bench window -- [GUESTS] [WIDTH HEIGHT]`: no window, the same panels drawn by the engine into a picture of
//! that size (300 guests, 2560 × 1440). Prints the median and the 99th of a hundred, wall time of one round of the loop, and how
//! often each viewfinder was new.

use bevy::app::ScheduleRunnerPlugin;
use bevy::camera::RenderTarget;
use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy::render::render_resource::{Extent3d, TextureDimension, TextureFormat, TextureUsages};
use bevy::window::ExitCondition;
use bevy::winit::WinitPlugin;
use bevy_egui::{EguiContexts, EguiGlobalSettings, EguiInput, EguiPlugin, EguiPrimaryContextPass, PrimaryEguiContext};
use standpoint::picture::engine::{Shot, Studio, find_adapter};
use standpoint::picture::{Prepared, picture_size};
use standpoint::plan::STARTER;
use standpoint::plan::edit::{Way, set};
use standpoint::window::{App as Desk, Draw, Folders, Sheet, Wish};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

/// Rounds that are measured, after some that aren't.
const ROUNDS: usize = 400;
const WARM_UP: usize = 120;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if !arguments.iter().any(|argument| argument == "--bench") {
        return;
    }
    let numbers: Vec<u32> = arguments.iter().filter_map(|it| it.parse().ok()).collect();
    let guests = numbers.first().copied().unwrap_or(300);
    let size = [numbers.get(1).copied().unwrap_or(2560), numbers.get(2).copied().unwrap_or(1440)];
    match find_adapter() {
        Ok(adapter) => println!("{guests} guests, {} × {} pixels, on {}", size[0], size[1], adapter.name),
        Err(missing) => return println!("{missing}"),
    }
    let pictures = Arc::new(AtomicUsize::new(0));
    let mut app = headless(size, plan_of(guests), pictures.clone());
    for _ in 0..WARM_UP {
        app.update();
    }
    // Everything of the first view has to be there.
    let ready = Instant::now();
    while !app.world().non_send::<Held>().desk.as_ref().is_some_and(Desk::is_settled) {
        app.update();
        assert!(ready.elapsed().as_secs() < 120, "the window never came to rest");
    }
    println!("first view complete {:.2} s after the warm-up", ready.elapsed().as_secs_f64());
    let still = rounds(&mut app, false);
    pictures.store(0, Ordering::Relaxed);
    let began = Instant::now();
    let dragging = rounds(&mut app, true);
    let new = pictures.load(Ordering::Relaxed) as f64 / began.elapsed().as_secs_f64();
    let [still, still_panels] = still;
    let [dragging, dragging_panels] = dragging;
    for (what, times) in [
        ("still", still),
        ("  of it, panels", still_panels),
        ("dragging", dragging),
        ("  of it, panels", dragging_panels),
    ] {
        let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize];
        println!("{what:15} median {:6.2} ms   99 % {:6.2} ms   longest {:6.2} ms", at(0.5), at(0.99), at(1.0));
    }
    println!("new viewfinder pictures while dragging: {new:.1} a second");
}

/// Milliseconds of each round, and of the panels alone, each sorted.
fn rounds(app: &mut App, drags: bool) -> [Vec<f64>; 2] {
    let [mut times, mut panels] = [Vec::with_capacity(ROUNDS), Vec::with_capacity(ROUNDS)];
    for round in 0..ROUNDS {
        app.world_mut().non_send_mut::<Held>().drag = drags.then_some(round);
        let began = Instant::now();
        app.update();
        times.push(began.elapsed().as_secs_f64() * 1000.0);
        panels.push(app.world().non_send::<Held>().panels_ms);
    }
    for all in [&mut times, &mut panels] {
        all.sort_by(f64::total_cmp);
    }
    [times, panels]
}

/// The starter with two blocks of seats for so many.
fn plan_of(guests: u32) -> String {
    let rows = guests.div_ceil(24).max(1).to_string();
    let sides = [(0, "(-4.2, 3.5)"), (1, "(4.2, 3.5)")];
    sides.into_iter().fold(STARTER.to_owned(), |text, (block, front)| {
        let fields = [("front", front), ("rows", rows.as_str()), ("seats_per_row", "12"), ("filled", "1")];
        fields.into_iter().fold(text, |text, (field, value)| {
            let way = Way::new().field("venue").field("seats").item(block).field(field);
            set(&text, &way, value).expect("a field of the starter")
        })
    })
}

/// What the one system holds between rounds.
struct Held {
    desk: Option<Desk>,
    plan: String,
    drag: Option<usize>,
    pictures: Arc<AtomicUsize>,
    /// What the panels alone took in this round, milliseconds.
    panels_ms: f64,
}

fn headless([width, height]: [u32; 2], plan: String, pictures: Arc<AtomicUsize>) -> App {
    let mut app = App::new();
    app.add_plugins(
        DefaultPlugins
            .set(WindowPlugin { primary_window: None, exit_condition: ExitCondition::DontExit, ..default() })
            .disable::<WinitPlugin>()
            .disable::<LogPlugin>(),
    )
    .add_plugins(ScheduleRunnerPlugin::run_once())
    .insert_resource(EguiGlobalSettings { auto_create_primary_context: false, ..default() })
    .add_plugins(EguiPlugin::default())
    .insert_non_send(Held { desk: None, plan, drag: None, pictures, panels_ms: 0.0 })
    .add_systems(Startup, move |mut commands: Commands, mut images: ResMut<Assets<Image>>| {
        let size = Extent3d { width, height, depth_or_array_layers: 1 };
        let mut image = Image::new_fill(
            size,
            TextureDimension::D2,
            &[0; 4],
            TextureFormat::Rgba8UnormSrgb,
            bevy::asset::RenderAssetUsages::RENDER_WORLD,
        );
        image.texture_descriptor.usage |= TextureUsages::RENDER_ATTACHMENT;
        commands.spawn((Camera2d, RenderTarget::Image(images.add(image).into()), PrimaryEguiContext));
    })
    .add_systems(EguiPrimaryContextPass, frame)
    .add_systems(
        PreUpdate,
        drag.after(bevy_egui::EguiPreUpdateSet::ProcessInput).before(bevy_egui::EguiPreUpdateSet::BeginPass),
    );
    app.finish();
    app.cleanup();
    app
}

/// A hand that takes hold of a standpoint and leads it round in a small circle.
fn drag(held: NonSend<Held>, mut inputs: Query<&mut EguiInput>) {
    let (Some(desk), Some(round)) = (&held.desk, held.drag) else { return };
    let (Some(plan), Ok(mut input)) = (desk.document.plan(), inputs.single_mut()) else { return };
    // Where the standpoint lies: the middle of the floor's panel is the middle of what is looked at.
    let Some(area) = desk.floor_area() else { return };
    let standpoint = &plan.standpoints[1];
    let floor = desk.view.floor;
    let off = (standpoint.at - floor.centre) * floor.pt_per_m;
    let home = area.center() + egui::vec2(off.x, off.y);
    let angle = round as f32 * 0.12;
    let at = match round {
        0 | 1 => home,
        _ => home + egui::vec2(angle.cos(), angle.sin()) * 3.0,
    };
    input.events.push(egui::Event::PointerMoved(at));
    if round == 1 {
        let modifiers = egui::Modifiers::NONE;
        input.events.push(egui::Event::PointerButton {
            pos: at,
            button: egui::PointerButton::Primary,
            pressed: true,
            modifiers,
        });
    }
}

fn frame(mut contexts: EguiContexts, mut held: NonSendMut<Held>, time: Res<Time<Real>>) {
    let Ok(ctx) = contexts.ctx_mut() else { return };
    let ctx = ctx.clone();
    if held.desk.is_none() {
        let pictures = held.pictures.clone();
        let folder = std::env::temp_dir().join(format!("standpoint-bench-{}", std::process::id()));
        let draw = move || -> Draw {
            let mut studio = Studio::open().expect("the engine starts");
            Box::new(move |ready: &Prepared, long_px| {
                let [width_px, height_px] = picture_size(ready.composed.camera.sensor_m, long_px);
                let shot = Shot {
                    tableau: &ready.tableau,
                    daylight: &ready.daylight,
                    lamps: &ready.sources.lamps,
                    metered: &ready.metered,
                    camera: &ready.composed.camera,
                    width_px,
                    height_px,
                };
                pictures.fetch_add(1, Ordering::Relaxed);
                studio.take(&shot).map_err(|error| error.to_string())
            })
        };
        let mut desk = Desk::new(&ctx, Folders { state: folder.clone() }, draw, || ());
        std::fs::create_dir_all(&folder).expect("a folder");
        let file = folder.join("plan.ron");
        std::fs::write(&file, &held.plan).expect("a plan");
        desk.open(&file).expect("it opens");
        desk.fulfil(Wish::Show(Sheet::Nothing));
        desk.fulfil(Wish::GoTo(60.0));
        held.desk = Some(desk);
    }
    let Some(desk) = &mut held.desk else { return };
    let root = egui::UiBuilder::new().layer_id(egui::LayerId::background()).max_rect(ctx.viewport_rect());
    let mut ui = egui::Ui::new(ctx.clone(), "window".into(), root);
    let began = Instant::now();
    desk.show(&mut ui, time.elapsed_secs_f64());
    held.panels_ms = began.elapsed().as_secs_f64() * 1000.0;
}
