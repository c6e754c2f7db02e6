//! Lens blur on the graphics card: the engine's own effect smears sharp people into the blurred
//! background behind them, so this one keeps near and far apart (see `blur.wgsl`).

use crate::optics::Camera as LensCamera;
use crate::picture::WhiteBalance;
use bevy::asset::{embedded_asset, load_embedded_asset};
use bevy::core_pipeline::tonemapping::tonemapping;
use bevy::core_pipeline::{Core3dSystems, FullscreenShader, schedule::Core3d};
use bevy::post_process::bloom::bloom;
use bevy::prelude::*;
use bevy::render::extract_component::{
    ComponentUniforms, DynamicUniformIndex, ExtractComponent, ExtractComponentPlugin, UniformComponentPlugin,
};
use bevy::render::render_resource::binding_types::{sampler, texture_2d, texture_depth_2d, uniform_buffer};
use bevy::render::render_resource::*;
use bevy::render::renderer::{RenderContext, RenderDevice, ViewQuery};
use bevy::render::view::{ViewDepthTexture, ViewTarget};
use bevy::render::{RenderApp, RenderStartup};

/// Edge of a tile in pixels; the shader has the same number.
const TILE_PX: u32 = 16;

pub struct LensBlurPlugin;

impl Plugin for LensBlurPlugin {
    fn build(&self, app: &mut App) {
        embedded_asset!(app, "blur.wgsl");
        app.add_plugins((ExtractComponentPlugin::<LensBlur>::default(), UniformComponentPlugin::<LensBlur>::default()));
        let Some(render_app) = app.get_sub_app_mut(RenderApp) else { return };
        render_app
            .add_systems(RenderStartup, queue_pipelines)
            .add_systems(Core3d, blur.after(bloom).before(tonemapping).in_set(Core3dSystems::PostProcess));
    }
}

/// What the lens does to points out of focus; goes on a camera without multisampling whose depth texture
/// can be read.
#[derive(Component, Clone, Copy, ExtractComponent, ShaderType)]
pub struct LensBlur {
    far_radius_px: f32,
    focus_per_near: f32,
    widest_px: f32,
    samples: f32,
    tone: f32,
    balanced_from_scene: Mat3,
}

impl LensBlur {
    /// Thin lens: a point at distance d makes a disc of diameter f²/N · |d − s| / (d·(s − f)) on the
    /// sensor (Ray, *Applied Photographic Optics*, 2002; the form is derived in any optics textbook).
    /// With 1/d as the variable that is `far · |s/d − 1|` with `far = f²/(N·(s − f))`.
    pub fn new(camera: &LensCamera, height_px: u32, near_m: f32) -> Self {
        let far_m = camera.focal_m.powi(2) / (camera.f_number * (camera.focus_m - camera.focal_m).max(1e-6));
        let px_per_m = f64::from(height_px) / camera.sensor_m[1];
        Self {
            far_radius_px: (far_m * px_per_m / 2.0) as f32,
            focus_per_near: camera.focus_m as f32 / near_m,
            widest_px: height_px as f32 * 0.08,
            samples: 220.0,
            tone: 1.0,
            balanced_from_scene: Mat3::IDENTITY,
        }
    }

    /// With this white balance in the print.
    pub fn balanced(self, white: &WhiteBalance) -> Self {
        Self { balanced_from_scene: white.balanced_from_scene, ..self }
    }

    /// With the tone curve, or light as it is.
    pub fn printing(self, on: bool) -> Self {
        Self { tone: if on { 1.0 } else { 0.0 }, ..self }
    }
}

#[derive(Resource)]
struct BlurPipelines {
    layout: BindGroupLayoutDescriptor,
    sampler: Sampler,
    widest_in_tile: CachedRenderPipelineId,
    widest_around: CachedRenderPipelineId,
    gather: CachedRenderPipelineId,
}

fn queue_pipelines(
    mut commands: Commands,
    device: Res<RenderDevice>,
    assets: Res<AssetServer>,
    fullscreen: Res<FullscreenShader>,
    cache: Res<PipelineCache>,
) {
    let layout = BindGroupLayoutDescriptor::new(
        "lens blur",
        &BindGroupLayoutEntries::sequential(
            ShaderStages::FRAGMENT,
            (
                texture_depth_2d(),
                texture_2d(TextureSampleType::Float { filterable: true }),
                texture_2d(TextureSampleType::Float { filterable: true }),
                sampler(SamplerBindingType::Filtering),
                uniform_buffer::<LensBlur>(true),
            ),
        ),
    );
    let shader: Handle<Shader> = load_embedded_asset!(assets.as_ref(), "blur.wgsl");
    let queue = |entry: &'static str| {
        cache.queue_render_pipeline(RenderPipelineDescriptor {
            label: Some(format!("lens blur: {entry}").into()),
            layout: vec![layout.clone()],
            vertex: fullscreen.to_vertex_state(),
            fragment: Some(FragmentState {
                shader: shader.clone(),
                entry_point: Some(entry.into()),
                targets: vec![Some(ColorTargetState {
                    format: TextureFormat::Rgba16Float,
                    blend: None,
                    write_mask: ColorWrites::ALL,
                })],
                ..default()
            }),
            ..default()
        })
    };
    commands.insert_resource(BlurPipelines {
        sampler: device.create_sampler(&SamplerDescriptor::default()),
        widest_in_tile: queue("widest_in_tile"),
        widest_around: queue("widest_around"),
        gather: queue("gather"),
        layout,
    });
}

/// The two small pictures of tiles, kept from frame to frame.
struct Tiles {
    size: (u32, u32),
    first: TextureView,
    second: TextureView,
}

fn tiles_for(device: &RenderDevice, size: (u32, u32)) -> Tiles {
    let make = || {
        device
            .create_texture(&TextureDescriptor {
                label: Some("lens blur tiles"),
                size: Extent3d { width: size.0, height: size.1, depth_or_array_layers: 1 },
                mip_level_count: 1,
                sample_count: 1,
                dimension: TextureDimension::D2,
                format: TextureFormat::Rgba16Float,
                usage: TextureUsages::RENDER_ATTACHMENT | TextureUsages::TEXTURE_BINDING,
                view_formats: &[],
            })
            .create_view(&TextureViewDescriptor::default())
    };
    Tiles { size, first: make(), second: make() }
}

fn blur(
    view: ViewQuery<(&ViewTarget, &ViewDepthTexture, &LensBlur, &DynamicUniformIndex<LensBlur>)>,
    pipelines: Option<Res<BlurPipelines>>,
    cache: Res<PipelineCache>,
    uniforms: Res<ComponentUniforms<LensBlur>>,
    mut tiles: Local<Option<Tiles>>,
    mut context: RenderContext,
) {
    let (target, depth, _, index) = view.into_inner();
    let Some(pipelines) = pipelines else { return };
    let ids = [pipelines.widest_in_tile, pipelines.widest_around, pipelines.gather];
    let ready: Vec<&RenderPipeline> = ids.iter().filter_map(|&id| cache.get_render_pipeline(id)).collect();
    let (Some(lens), [in_tile, around, gather]) = (uniforms.uniforms().binding(), ready.as_slice()) else { return };

    let full = target.main_texture().size();
    let size = (full.width.div_ceil(TILE_PX), full.height.div_ceil(TILE_PX));
    if tiles.as_ref().is_none_or(|tiles| tiles.size != size) {
        *tiles = Some(tiles_for(context.render_device(), size));
    }
    let Some(tiles) = tiles.as_ref() else { return };

    let colour = target.post_process_write();
    let layout = cache.get_bind_group_layout(&pipelines.layout);
    let passes = [
        (*in_tile, &tiles.second, &tiles.first),
        (*around, &tiles.first, &tiles.second),
        (*gather, &tiles.second, colour.destination),
    ];
    for (pipeline, tile_source, destination) in passes {
        let group = context.render_device().create_bind_group(
            "lens blur",
            &layout,
            &BindGroupEntries::sequential((depth.view(), colour.source, tile_source, &pipelines.sampler, lens.clone())),
        );
        let mut pass = context.command_encoder().begin_render_pass(&RenderPassDescriptor {
            label: Some("lens blur"),
            color_attachments: &[Some(RenderPassColorAttachment {
                view: destination,
                depth_slice: None,
                resolve_target: None,
                ops: Operations::default(),
            })],
            depth_stencil_attachment: None,
            timestamp_writes: None,
            occlusion_query_set: None,
            multiview_mask: None,
        });
        pass.set_pipeline(pipeline);
        pass.set_bind_group(0, &group, &[index.index()]);
        pass.draw(0..3, 0..1);
    }
}
