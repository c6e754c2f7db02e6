//! A program on the bare engine: one entity a solid, the engine's own box scaled to its size, a few dozen plain
//! materials, the same sun, sky and picture size, the same way of getting the picture out.

use bevy::anti_alias::smaa::{Smaa, SmaaPreset};
use bevy::app::SubApps;
use bevy::asset::RenderAssetUsages;
use bevy::camera::{Camera3dDepthTextureUsage, Exposure, Hdr, PerspectiveProjection, RenderTarget};
use bevy::core_pipeline::tonemapping::Tonemapping;
use bevy::image::Image;
use bevy::light::{CascadeShadowConfigBuilder, DirectionalLightShadowMap, GeneratedEnvironmentMapLight, Skybox};
use bevy::log::LogPlugin;
use bevy::pbr::{ScreenSpaceAmbientOcclusion, ScreenSpaceAmbientOcclusionQualityLevel};
use bevy::post_process::bloom::Bloom;
use bevy::post_process::dof::{DepthOfField, DepthOfFieldMode};
use bevy::prelude::*;
use bevy::render::pipelined_rendering::PipelinedRenderingPlugin;
use bevy::render::render_resource::{
    Extent3d, PipelineCache, PollType, TextureDimension, TextureFormat, TextureUsages, TextureViewDescriptor,
    TextureViewDimension,
};
use bevy::render::renderer::RenderDevice;
use bevy::render::settings::WgpuSettings;
use bevy::render::view::Msaa;
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};
use bevy::render::{ExtractSchedule, MainWorld, RenderApp, RenderPlugin};
use bevy::window::ExitCondition;
use bevy::winit::WinitPlugin;
use standpoint::daylight::{Daylight, SkyDome};
use standpoint::optics::ev100;
use standpoint::picture::engine::Shot;
use standpoint::staging::{Shape, Solid};
use std::collections::HashMap;
use std::sync::{Arc, Mutex};

pub struct Bare {
    apps: SubApps,
    camera: Entity,
    unit_box: Handle<Mesh>,
    materials: HashMap<[u8; 3], Handle<StandardMaterial>>,
    with_effects: bool,
    ready: bool,
}

#[derive(Resource, Default)]
struct Waiting(usize);

#[derive(Component)]
struct Staged;

impl Bare {
    pub fn open(with_effects: bool) -> Self {
        let mut app = App::new();
        app.add_plugins(
            DefaultPlugins
                .set(WindowPlugin { primary_window: None, exit_condition: ExitCondition::DontExit, ..default() })
                .set(RenderPlugin {
                    synchronous_pipeline_compilation: true,
                    render_creation: WgpuSettings { backends: Some(wgpu::Backends::PRIMARY), ..default() }.into(),
                    ..default()
                })
                .disable::<WinitPlugin>()
                .disable::<LogPlugin>()
                .disable::<PipelinedRenderingPlugin>(),
        )
        .insert_resource(DirectionalLightShadowMap { size: 2048 })
        .init_resource::<Waiting>();
        app.sub_app_mut(RenderApp).add_systems(
            ExtractSchedule,
            |mut main: ResMut<MainWorld>, cache: Res<PipelineCache>| {
                main.resource_mut::<Waiting>().0 = cache.waiting_pipelines().count();
            },
        );
        app.finish();
        app.cleanup();
        let mut apps = std::mem::take(app.sub_apps_mut());
        let world = apps.main.world_mut();
        let unit_box = world.resource_mut::<Assets<Mesh>>().add(Cuboid::from_length(1.0));
        let camera = world
            .spawn((
                Camera3d {
                    depth_texture_usages: Camera3dDepthTextureUsage::from(
                        TextureUsages::RENDER_ATTACHMENT | TextureUsages::TEXTURE_BINDING,
                    ),
                    ..default()
                },
                Hdr,
                Msaa::Off,
                Smaa { preset: SmaaPreset::High },
                Tonemapping::TonyMcMapface,
            ))
            .id();
        Self { apps, camera, unit_box, materials: HashMap::new(), with_effects, ready: false }
    }

    pub fn take(&mut self, shot: &Shot) -> Image {
        self.set_up(shot);
        if !self.ready {
            self.aim(shot, [48, 32]);
            let mut calm = 0;
            while calm < 6 {
                self.update();
                calm = if self.apps.main.world().resource::<Waiting>().0 == 0 { calm + 1 } else { 0 };
            }
            self.ready = true;
        }
        let target = self.aim(shot, [shot.width_px, shot.height_px]);
        let caught: Arc<Mutex<Option<Image>>> = Arc::default();
        let keep = caught.clone();
        self.apps.main.world_mut().spawn(Screenshot::image(target)).observe(move |event: On<ScreenshotCaptured>| {
            *keep.lock().expect("nobody else holds it") = Some(event.image.clone());
        });
        loop {
            self.update();
            self.activate(false);
            if let Some(picture) = caught.lock().expect("nobody else holds it").take() {
                return picture;
            }
        }
    }

    fn set_up(&mut self, shot: &Shot) {
        let world = self.apps.main.world_mut();
        let old: Vec<Entity> = world.query_filtered::<Entity, With<Staged>>().iter(world).collect();
        for entity in old {
            world.despawn(entity);
        }
        for solid in &shot.tableau.solids {
            // Five levels a channel.
            let key = solid.material.colour.0.map(|channel| (channel * 4.0).round() as u8);
            let material = self.materials.entry(key).or_insert_with(|| {
                let [r, g, b] = key.map(|level| f32::from(level) / 4.0);
                let material = StandardMaterial { perceptual_roughness: 0.9, ..Color::srgb(r, g, b).into() };
                world.resource_mut::<Assets<StandardMaterial>>().add(material)
            });
            world.spawn((Staged, Mesh3d(self.unit_box.clone()), MeshMaterial3d(material.clone()), place_of(solid)));
        }
        if shot.daylight.sun_lux > 0.0 {
            world.spawn((Staged, sun(shot.daylight, shot.camera.focus_m as f32)));
        }
        let sky = world.resource_mut::<Assets<Image>>().add(sky_image(&shot.daylight.sky));
        world.entity_mut(self.camera).insert((
            Skybox { image: Some(sky.clone()), brightness: SKY_UNIT_NITS, ..default() },
            GeneratedEnvironmentMapLight { environment_map: sky, intensity: SKY_UNIT_NITS, ..default() },
        ));
    }

    fn aim(&mut self, shot: &Shot, [width, height]: [u32; 2]) -> Handle<Image> {
        let world = self.apps.main.world_mut();
        let mut image = Image::new_target_texture(width, height, TextureFormat::Rgba8UnormSrgb, None);
        image.texture_descriptor.usage |= TextureUsages::COPY_SRC;
        let image = world.resource_mut::<Assets<Image>>().add(image);
        let lens = shot.camera;
        let mut camera = world.entity_mut(self.camera);
        camera.insert((
            RenderTarget::Image(image.clone().into()),
            Transform { translation: lens.eye, rotation: lens.turned, scale: Vec3::ONE },
            Projection::Perspective(PerspectiveProjection {
                fov: lens.vertical_fov() as f32,
                near: 0.05,
                far: 2000.0,
                ..default()
            }),
            Exposure { ev100: ev100(lens.f_number, lens.shutter_s, lens.iso) as f32 },
        ));
        if self.with_effects {
            camera.insert((
                Bloom { intensity: 0.03, ..Bloom::NATURAL },
                ScreenSpaceAmbientOcclusion {
                    quality_level: ScreenSpaceAmbientOcclusionQualityLevel::Medium,
                    constant_object_thickness: 0.25,
                },
                DepthOfField {
                    mode: DepthOfFieldMode::Bokeh,
                    focal_distance: lens.focus_m as f32,
                    sensor_height: lens.sensor_m[1] as f32,
                    aperture_f_stops: lens.f_number as f32,
                    max_circle_of_confusion_diameter: height as f32 * 0.16,
                    max_depth: 2000.0,
                },
            ));
        }
        self.activate(true);
        image
    }

    fn activate(&mut self, active: bool) {
        if let Some(mut camera) = self.apps.main.world_mut().get_mut::<Camera>(self.camera) {
            camera.is_active = active;
        }
    }

    fn update(&mut self) {
        self.apps.update();
        let device = self.apps.main.world().resource::<RenderDevice>().wgpu_device();
        device.poll(PollType::Wait { submission_index: None, timeout: None }).expect("the device answers");
    }
}

/// A box as large as the solid.
fn place_of(solid: &Solid) -> Transform {
    let (middle, size) = match &solid.shape {
        Shape::Block(block) => (Vec3::ZERO, block.half_m * 2.0),
        Shape::Mesh(mesh) => {
            let low = mesh.corners.iter().copied().reduce(Vec3::min).unwrap_or_default();
            let high = mesh.corners.iter().copied().reduce(Vec3::max).unwrap_or_default();
            ((low + high) / 2.0, high - low)
        }
    };
    Transform {
        translation: solid.at + solid.turned * middle,
        rotation: solid.turned,
        scale: size.max(Vec3::splat(1e-3)),
    }
}

fn sun(daylight: &Daylight, focus_m: f32) -> impl Bundle {
    let [r, g, b] = daylight.sun_colour;
    (
        DirectionalLight {
            color: Color::linear_rgb(r, g, b),
            illuminance: daylight.sun_lux as f32,
            shadow_maps_enabled: true,
            ..default()
        },
        CascadeShadowConfigBuilder {
            num_cascades: 3,
            minimum_distance: 0.3,
            first_cascade_far_bound: focus_m * 1.25,
            maximum_distance: (focus_m * 4.0).clamp(40.0, 90.0),
            ..default()
        }
        .build(),
        Transform::default().looking_to(-daylight.to_sun, Vec3::Y),
    )
}

const SKY_PX: u32 = 128;
const SKY_UNIT_NITS: f32 = 1000.0;

fn sky_image(sky: &SkyDome) -> Image {
    let mut data = Vec::new();
    for face in 0..6 {
        for y in 0..SKY_PX {
            for x in 0..SKY_PX {
                let [x, y] = [x, y].map(|spot| (spot as f32 + 0.5) / SKY_PX as f32 * 2.0 - 1.0);
                let direction = match face {
                    0 => Vec3::new(1.0, -y, x),
                    1 => Vec3::new(-1.0, -y, -x),
                    2 => Vec3::new(x, 1.0, -y),
                    3 => Vec3::new(x, -1.0, y),
                    4 => Vec3::new(x, -y, -1.0),
                    _ => Vec3::new(-x, -y, 1.0),
                };
                let [r, g, b] = sky.radiance(direction.normalize()).map(|channel| channel / SKY_UNIT_NITS);
                data.extend([r, g, b, 1.0].into_iter().flat_map(|value| half::f16::from_f32(value).to_le_bytes()));
            }
        }
    }
    let extent = Extent3d { width: SKY_PX, height: SKY_PX, depth_or_array_layers: 6 };
    let mut image =
        Image::new_uninit(extent, TextureDimension::D2, TextureFormat::Rgba16Float, RenderAssetUsages::RENDER_WORLD);
    image.data = Some(data);
    image.texture_view_descriptor =
        Some(TextureViewDescriptor { dimension: Some(TextureViewDimension::Cube), ..default() });
    image.texture_descriptor.usage = TextureUsages::TEXTURE_BINDING
        | TextureUsages::COPY_DST
        | TextureUsages::COPY_SRC
        | TextureUsages::STORAGE_BINDING;
    image
}
