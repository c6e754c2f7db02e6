//! A running engine that takes one picture after the other.

use super::adapter::{Adapter, BACKENDS, NoAdapter, find_adapter};
use super::blur::{LensBlur, LensBlurPlugin};
use super::ids::{IdShot, flat_camera, ids_of, set_up_flat};
use super::scene::{Wardrobe, clear, hang_sky, set_up};
use crate::daylight::Daylight;
use crate::optics::{Camera as LensCamera, ev100};
use crate::picture::Metered;
use crate::sight::LampPoint;
use crate::staging::Tableau;
use bevy::anti_alias::smaa::{Smaa, SmaaPreset};
use bevy::app::SubApps;
use bevy::camera::{Camera3dDepthTextureUsage, Exposure, Hdr, PerspectiveProjection, RenderTarget};
use bevy::core_pipeline::tonemapping::Tonemapping;
use bevy::image::Image;
use bevy::light::cluster::{ClusterConfig, ClusterFarZMode, ClusterZConfig, GlobalClusterSettings};
use bevy::light::{DirectionalLightShadowMap, GlobalAmbientLight};
use bevy::log::LogPlugin;
use bevy::pbr::{ScreenSpaceAmbientOcclusion, ScreenSpaceAmbientOcclusionQualityLevel};
use bevy::post_process::bloom::Bloom;
use bevy::prelude::*;
use bevy::render::pipelined_rendering::PipelinedRenderingPlugin;
use bevy::render::render_resource::{PipelineCache, PollType, TextureFormat, TextureUsages};
use bevy::render::renderer::RenderDevice;
use bevy::render::settings::WgpuSettings;
use bevy::render::view::Msaa;
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};
use bevy::render::{ExtractSchedule, MainWorld, RenderApp, RenderPlugin};
use bevy::window::ExitCondition;
use bevy::winit::WinitPlugin;
use image::RgbImage;
use std::collections::HashSet;
use std::sync::{Arc, Mutex};
use thiserror::Error;

/// Distance of the near plane; nothing nearer than this is drawn.
const NEAR_M: f32 = 0.05;
/// Lamps and windows beyond this distance from the camera may not light anything.
const FARTHEST_LIGHTS_M: f32 = 300.0;
/// Updates the engine gets to load its shaders and tables before we give up. A dozen are usual.
const LONGEST_WARM_UP: usize = 400;
/// Updates a screenshot may take to come back from the card. Two or three are usual.
const LONGEST_READ_BACK: usize = 60;

#[derive(Debug, Error)]
pub enum StudioError {
    #[error(transparent)]
    NoAdapter(#[from] NoAdapter),
    #[error(
        "the engine's shaders were not ready after {LONGEST_WARM_UP} updates\n  to do: try another graphics driver"
    )]
    NeverReady,
    #[error(
        "the picture did not come back from the graphics card after {LONGEST_READ_BACK} updates\n  to do: try a smaller --width or another graphics driver"
    )]
    NoPicture,
    #[error("the graphics device stopped: {0}")]
    Lost(String),
    #[error(
        "a picture of {width} × {height} pixels is beyond this adapter's limit of {limit}\n  to do: choose a smaller --width"
    )]
    TooLarge { width: u32, height: u32, limit: u32 },
}

/// One picture to take.
pub struct Shot<'a> {
    pub tableau: &'a Tableau,
    pub daylight: &'a Daylight,
    pub lamps: &'a [LampPoint],
    pub metered: &'a Metered,
    pub camera: &'a LensCamera,
    pub width_px: u32,
    pub height_px: u32,
}

/// The engine, started.
pub struct Studio {
    apps: SubApps,
    adapter: Adapter,
    camera: Entity,
    ready: bool,
    /// Whether the shader of id pictures is there.
    flat_ready: bool,
    prints: bool,
}

/// Are all shaders of the last update there? Copied out of the render world.
#[derive(Resource, Default)]
struct Waiting(usize);

impl Studio {
    /// Starts the engine on the adapter it finds.
    pub fn open() -> Result<Self, StudioError> {
        let adapter = find_adapter()?;
        let mut app = App::new();
        app.add_plugins(
            DefaultPlugins
                .set(WindowPlugin { primary_window: None, exit_condition: ExitCondition::DontExit, ..default() })
                .set(RenderPlugin {
                    synchronous_pipeline_compilation: true,
                    render_creation: WgpuSettings { backends: Some(BACKENDS), ..default() }.into(),
                    ..default()
                })
                .disable::<WinitPlugin>()
                .disable::<LogPlugin>()
                // Drawing in step with us, so that a picture is of the scene just set up.
                .disable::<PipelinedRenderingPlugin>(),
        )
        .add_plugins(LensBlurPlugin)
        .insert_resource(DirectionalLightShadowMap { size: 2048 })
        // All light is in the plan; the engine would add 80 cd/m² everywhere.
        .insert_resource(GlobalAmbientLight::NONE)
        .insert_resource(Wardrobe::new(if adapter.software { 1 } else { 8 }))
        .init_resource::<Waiting>();
        if let Some(render) = app.get_sub_app_mut(RenderApp) {
            render.add_systems(ExtractSchedule, |mut main: ResMut<MainWorld>, cache: Res<PipelineCache>| {
                main.resource_mut::<Waiting>().0 = cache.waiting_pipelines().count();
            });
        }
        app.finish();
        // The processor sorts lights: the card's lists grow a picture too late.
        if let Some(mut sorting) = app.world_mut().get_resource_mut::<GlobalClusterSettings>() {
            sorting.gpu_clustering = None;
        }
        app.cleanup();
        let mut apps = std::mem::take(app.sub_apps_mut());
        let camera = apps.main.world_mut().spawn(camera_parts()).id();
        Ok(Self { apps, adapter, camera, ready: false, flat_ready: false, prints: true })
    }

    pub fn adapter(&self) -> &str {
        &self.adapter.name
    }

    /// Draws one picture.
    pub fn take(&mut self, shot: &Shot) -> Result<RgbImage, StudioError> {
        self.fits(shot.width_px, shot.height_px)?;
        let world = self.apps.main.world_mut();
        clear(world);
        hang_sky(world, self.camera, shot);
        if self.ready {
            // The engine makes light of the sky after it has lit the scene: without a tiny picture of nothing
            // in between, people would stand in the light of the picture before.
            self.draw_tiny(shot)?;
        } else {
            self.warm_up(shot)?;
            self.ready = true;
        }
        set_up(self.apps.main.world_mut(), shot);
        self.set_camera(shot.camera, shot.width_px, shot.height_px);
        self.balance(shot);
        let target = self.target(shot.width_px, shot.height_px);
        // A scene with a new kind of material may still wait for a shader: then its first picture lacks
        // something and is taken again.
        for _ in 0..3 {
            let picture = self.capture(self.camera, &target)?;
            if self.world().resource::<Waiting>().0 == 0 {
                return Ok(picture);
            }
        }
        Err(StudioError::NeverReady)
    }

    /// Which solid is drawn at each pixel's middle, by its index into the tableau's solids, row by row from the top left;
    /// `u32::MAX` where there is none. Only solids that are `shown` are drawn, veils and glass as if one couldn't see through
    /// them.
    ///
    /// # Errors
    /// As [`Self::take`].
    pub fn ids(&mut self, shot: &IdShot, shown: impl Fn(usize) -> bool) -> Result<Vec<u32>, StudioError> {
        self.fits(shot.width_px, shot.height_px)?;
        self.activate(self.camera, false);
        let world = self.apps.main.world_mut();
        clear(world);
        set_up_flat(world, shot, shown);
        let camera = world.spawn((flat_camera(), pose_of(shot.camera, shot.width_px, shot.height_px))).id();
        let target = self.target(shot.width_px, shot.height_px);
        // The first picture waits for its shaders.
        let mut calm = 0;
        for _ in 0..LONGEST_WARM_UP {
            let picture = self.capture(camera, &target)?;
            calm = if self.world().resource::<Waiting>().0 == 0 { calm + 1 } else { 0 };
            if calm > usize::from(!self.flat_ready) * 6 {
                self.flat_ready = true;
                clear(self.apps.main.world_mut());
                return Ok(ids_of(&picture));
            }
        }
        Err(StudioError::NeverReady)
    }

    /// Where points of the world land in a picture of this size by the engine's own camera: pixels right and down from
    /// the top left corner, and metres along the axis; `None` for what is not before the camera.
    pub fn viewport_points(
        &mut self,
        lens: &LensCamera,
        [width_px, height_px]: [u32; 2],
        points: &[Vec3],
    ) -> Result<Vec<Option<[f32; 3]>>, StudioError> {
        self.set_camera(lens, width_px, height_px);
        let target = self.target(width_px, height_px);
        self.apps.main.world_mut().entity_mut(self.camera).insert(target);
        self.activate(self.camera, false);
        self.update()?;
        let entity = self.world().entity(self.camera);
        let (Some(camera), Some(pose)) = (entity.get::<Camera>(), entity.get::<GlobalTransform>()) else {
            return Err(StudioError::NoPicture);
        };
        let land = |&point: &Vec3| camera.world_to_viewport_with_depth(pose, point).ok().map(|spot| spot.to_array());
        Ok(points.iter().map(land).collect())
    }

    /// Whether pictures are printed (the default) or left as a measurement wants them: exposed light from 0 to 1, sRGB
    /// encoded, without tone curve and without the glow that bright things have in a lens.
    pub fn set_printing(&mut self, on: bool) {
        self.prints = on;
        let mut camera = self.apps.main.world_mut().entity_mut(self.camera);
        if on {
            camera.insert(glow());
        } else {
            camera.remove::<Bloom>();
        }
    }

    fn world(&self) -> &World {
        self.apps.main.world()
    }

    /// Loads shaders and tables on a tiny picture of one solid of each finish until nothing is waited for.
    fn warm_up(&mut self, shot: &Shot) -> Result<(), StudioError> {
        let mut seen = HashSet::new();
        let samples = shot.tableau.solids.iter().filter(|solid| seen.insert(solid.material.finish)).cloned().collect();
        let few = Tableau { solids: samples, owners: shot.tableau.owners.clone(), ..Tableau::default() };
        set_up(self.apps.main.world_mut(), &Shot { tableau: &few, ..*shot });
        let mut calm = 0;
        for _ in 0..LONGEST_WARM_UP {
            self.draw_tiny(shot)?;
            calm = if self.world().resource::<Waiting>().0 == 0 { calm + 1 } else { 0 };
            if calm >= 6 {
                clear(self.apps.main.world_mut());
                return Ok(());
            }
        }
        Err(StudioError::NeverReady)
    }

    fn draw_tiny(&mut self, shot: &Shot) -> Result<(), StudioError> {
        let (width_px, height_px) = (48, 32);
        self.set_camera(shot.camera, width_px, height_px);
        let target = self.target(width_px, height_px);
        self.apps.main.world_mut().entity_mut(self.camera).insert(target);
        self.activate(self.camera, true);
        self.update()
    }

    fn fits(&self, width: u32, height: u32) -> Result<(), StudioError> {
        let limit = self.world().resource::<RenderDevice>().limits().max_texture_dimension_2d;
        if width.max(height) > limit { Err(StudioError::TooLarge { width, height, limit }) } else { Ok(()) }
    }

    fn target(&mut self, width: u32, height: u32) -> RenderTarget {
        let mut image = Image::new_target_texture(width, height, TextureFormat::Rgba8UnormSrgb, None);
        image.texture_descriptor.usage |= TextureUsages::COPY_SRC;
        RenderTarget::Image(self.apps.main.world_mut().resource_mut::<Assets<Image>>().add(image).into())
    }

    fn set_camera(&mut self, lens: &LensCamera, width_px: u32, height_px: u32) {
        let ev100 = ev100(lens.f_number, lens.shutter_s, lens.iso);
        self.apps.main.world_mut().entity_mut(self.camera).insert((
            pose_of(lens, width_px, height_px),
            Exposure { ev100: ev100 as f32 },
            LensBlur::new(lens, height_px, NEAR_M).printing(self.prints),
        ));
    }

    fn balance(&mut self, shot: &Shot) {
        if let Some(mut blur) = self.apps.main.world_mut().get_mut::<LensBlur>(self.camera) {
            *blur = blur.balanced(&shot.metered.white);
        }
    }

    fn capture(&mut self, camera: Entity, target: &RenderTarget) -> Result<RgbImage, StudioError> {
        let Some(image) = target.as_image().cloned() else { return Err(StudioError::NoPicture) };
        let caught: Arc<Mutex<Option<Image>>> = Arc::default();
        let keep = caught.clone();
        let world = self.apps.main.world_mut();
        world.entity_mut(camera).insert(target.clone());
        self.activate(camera, true);
        let world = self.apps.main.world_mut();
        world.spawn(Screenshot::image(image)).observe(move |event: On<ScreenshotCaptured>| {
            if let Ok(mut slot) = keep.lock() {
                *slot = Some(event.image.clone());
            }
        });
        for _ in 0..LONGEST_READ_BACK {
            self.update()?;
            // One drawing is enough: later updates only bring it home.
            self.activate(camera, false);
            let picture = caught.lock().ok().and_then(|mut slot| slot.take());
            if let Some(picture) = picture {
                return picture
                    .try_into_dynamic()
                    .map(|picture| picture.to_rgb8())
                    .map_err(|error| StudioError::Lost(error.to_string()));
            }
        }
        Err(StudioError::NoPicture)
    }

    /// Whether a camera draws in the next updates.
    fn activate(&mut self, camera: Entity, active: bool) {
        if let Some(mut camera) = self.apps.main.world_mut().get_mut::<Camera>(camera) {
            camera.is_active = active;
        }
    }

    /// One turn of the engine, waiting until the card has finished it.
    fn update(&mut self) -> Result<(), StudioError> {
        self.apps.update();
        let device = self.world().resource::<RenderDevice>();
        device
            .wgpu_device()
            .poll(PollType::Wait { submission_index: None, timeout: None })
            .map(|_| ())
            .map_err(|error| StudioError::Lost(error.to_string()))
    }
}

/// Where a camera is, and what it takes in.
fn pose_of(lens: &LensCamera, width_px: u32, height_px: u32) -> (Transform, Projection) {
    let projection = PerspectiveProjection {
        fov: lens.vertical_fov() as f32,
        near: NEAR_M,
        far: 2000.0,
        aspect_ratio: width_px as f32 / height_px as f32,
        ..default()
    };
    let pose = Transform { translation: lens.eye, rotation: lens.turned, scale: Vec3::ONE };
    (pose, Projection::Perspective(projection))
}

/// What never changes about the camera.
fn camera_parts() -> impl Bundle {
    (
        Camera3d {
            depth_texture_usages: Camera3dDepthTextureUsage::from(
                TextureUsages::RENDER_ATTACHMENT | TextureUsages::TEXTURE_BINDING,
            ),
            ..default()
        },
        Hdr,
        Msaa::Off,
        Smaa { preset: SmaaPreset::High },
        // The lens blur prints through our own curve (`picture::tone`).
        Tonemapping::None,
        glow(),
        lights_sorted(),
        ScreenSpaceAmbientOcclusion {
            quality_level: ScreenSpaceAmbientOcclusionQualityLevel::Custom {
                slice_count: 6,
                samples_per_slice_side: 3,
            },
            constant_object_thickness: 0.25,
        },
    )
}

/// The engine sorts lights into cells of the view. Left alone it ends the cells where the lights of the picture before
/// ended, and then leaves out spots beyond.
fn lights_sorted() -> ClusterConfig {
    ClusterConfig::FixedZ {
        total: 4096,
        z_slices: 24,
        z_config: ClusterZConfig { first_slice_depth: 5.0, far_z_mode: ClusterFarZMode::Constant(FARTHEST_LIGHTS_M) },
        dynamic_resizing: true,
    }
}

fn glow() -> Bloom {
    Bloom { intensity: 0.03, ..Bloom::NATURAL }
}
