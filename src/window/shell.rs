//! The window itself: the engine's event loop with egui in it.

use super::app::App as Desk;
use super::files::Folders;
use super::finder::Draw;
use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy::render::RenderPlugin;
use bevy::render::settings::WgpuSettings;
use bevy::window::{ExitCondition, RequestRedraw, WindowCloseRequested, WindowResolution};
use bevy::winit::{EventLoopProxyWrapper, UpdateMode, WinitSettings, WinitUserEvent};
use bevy_egui::{EguiContexts, EguiGlobalSettings, EguiPlugin, EguiPrimaryContextPass, PrimaryEguiContext};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

type MakeDraw = Box<dyn FnOnce() -> Draw + Send>;

/// What is to be opened, until there is a context to open it in.
struct Opening {
    folders: Folders,
    plan: Option<PathBuf>,
    draw: Option<MakeDraw>,
    desk: Option<Desk>,
}

/// Opens the window and comes back when it is closed. `draw` makes what draws viewfinders, on a thread of its own.
///
/// # Errors
/// The plan can't be read, or no graphics adapter answers.
pub fn open(
    folders: Folders,
    plan: Option<PathBuf>,
    draw: impl FnOnce() -> Draw + Send + 'static,
) -> Result<(), String> {
    crate::picture::engine::find_adapter().map_err(|error| error.to_string())?;
    let kept = folders.kept();
    let [width, height] = kept.size_pt.map(|side| side.clamp(640.0, 8000.0) as u32);
    let window =
        Window { title: "Standpoint".to_owned(), resolution: WindowResolution::new(width, height), ..default() };
    let opening = Opening { folders, plan, draw: Some(Box::new(draw)), desk: None };
    let mut app = App::new();
    app.add_plugins(
        DefaultPlugins
            .set(WindowPlugin {
                primary_window: Some(window),
                exit_condition: ExitCondition::OnPrimaryClosed,
                close_when_requested: false,
                ..default()
            })
            .set(RenderPlugin {
                render_creation: WgpuSettings { backends: Some(crate::picture::engine::BACKENDS), ..default() }.into(),
                ..default()
            })
            .disable::<LogPlugin>(),
    )
    .insert_resource(EguiGlobalSettings { auto_create_primary_context: false, ..default() })
    .add_plugins(EguiPlugin::default())
    .insert_resource(ClearColor(Color::BLACK))
    .insert_resource(WinitSettings::desktop_app())
    .insert_non_send(opening)
    .add_systems(Startup, |mut commands: Commands| {
        commands.spawn((Camera2d, PrimaryEguiContext));
    })
    .init_resource::<Stillness>()
    .add_systems(EguiPrimaryContextPass, frame)
    .add_systems(Last, rest);
    match app.run() {
        AppExit::Success => Ok(()),
        AppExit::Error(code) => Err(format!("the window ended with code {code}")),
    }
}

/// After something happened the window goes on being drawn for so long: tooltips and fades are over by then.
const AWAKE_S: f64 = 1.2;

/// When anything happened last.
#[derive(Resource, Default)]
struct Stillness {
    happened_s: f64,
    /// Told to egui's wish to be drawn again, too, which it utters in every frame: its input is never without an event.
    rests: Arc<AtomicBool>,
}

/// egui asks to be drawn again after every frame; at rest nobody listens.
fn rest(stillness: Res<Stillness>, mut asked: ResMut<Messages<RequestRedraw>>) {
    if stillness.rests.load(Ordering::Relaxed) {
        asked.clear();
    }
}

/// While something is worked out the loop looks again now and then; at rest it sleeps until something happens.
fn pace(ctx: &egui::Context, desk: &Desk, now_s: f64, pacing: &mut WinitSettings, stillness: &mut Stillness) {
    let wait = match (desk.view.plays.is_some(), desk.is_busy()) {
        (true, _) => Duration::from_millis(16),
        (false, true) => Duration::from_millis(80),
        (false, false) => Duration::from_secs(2),
    };
    pacing.focused_mode = UpdateMode::reactive(wait);
    pacing.unfocused_mode = UpdateMode::reactive_low_power(wait);
    let happens = ctx.input(|input| {
        let is_touch = |event: &egui::Event| {
            use egui::Event::{Key, MouseWheel, PointerButton, PointerMoved, Text};
            matches!(event, Key { .. } | MouseWheel { .. } | PointerButton { .. } | PointerMoved(_) | Text(_))
        };
        input.pointer.any_down() || !input.keys_down.is_empty() || input.events.iter().any(is_touch)
    });
    if happens || desk.view.plays.is_some() {
        stillness.happened_s = now_s;
    }
    stillness.rests.store(now_s - stillness.happened_s > AWAKE_S, Ordering::Relaxed);
}

#[allow(clippy::too_many_arguments, reason = "an engine system takes what it uses as arguments")]
fn frame(
    mut contexts: EguiContexts,
    mut opening: NonSendMut<Opening>,
    proxy: Res<EventLoopProxyWrapper>,
    time: Res<Time<Real>>,
    mut pacing: ResMut<WinitSettings>,
    mut stillness: ResMut<Stillness>,
    mut windows: Query<&mut Window>,
    mut close: MessageReader<WindowCloseRequested>,
    mut exit: MessageWriter<AppExit>,
) {
    let Ok(ctx) = contexts.ctx_mut() else { return };
    let ctx = ctx.clone();
    let desk = match &mut opening.desk {
        Some(desk) => desk,
        None => {
            let Some(draw) = opening.draw.take() else { return };
            let proxy = (**proxy).clone();
            let (rests, wakes) = (stillness.rests.clone(), proxy.clone());
            ctx.set_request_repaint_callback(move |asked| {
                if asked.delay.is_zero() && !rests.load(Ordering::Relaxed) {
                    let _ = wakes.send_event(WinitUserEvent::WakeUp);
                }
            });
            let wake = move || _ = proxy.send_event(WinitUserEvent::WakeUp);
            let mut desk = Desk::new(&ctx, opening.folders.clone(), draw, wake);
            if let Some(Err(why)) = opening.plan.take().map(|plan| desk.open(&plan)) {
                desk.fulfil(super::Wish::Say(why));
            }
            opening.desk.insert(desk)
        }
    };
    let root = egui::UiBuilder::new().layer_id(egui::LayerId::background()).max_rect(ctx.viewport_rect());
    let mut ui = egui::Ui::new(ctx.clone(), "window".into(), root);
    desk.show(&mut ui, time.elapsed_secs_f64());
    pace(&ctx, desk, time.elapsed_secs_f64(), &mut pacing, &mut stillness);
    if close.read().count() > 0 {
        desk.close();
    }
    for mut window in &mut windows {
        let saved = if desk.document.is_saved() { "" } else { " · not saved" };
        let title = format!("{}{saved} · Standpoint", desk.document.name());
        if window.title != title {
            window.title = title;
        }
        let scale = window.resolution.base_scale_factor() * desk.view.scale;
        if (window.scale_factor() - scale).abs() > 1e-3 {
            window.resolution.set_scale_factor_override(Some(scale));
        }
        desk.kept.size_pt = [window.width(), window.height()];
    }
    if desk.closes {
        desk.keep();
        exit.write(AppExit::Success);
    }
}
