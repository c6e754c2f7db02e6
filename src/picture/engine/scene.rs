//! A tableau under its light as engine entities.

use super::studio::Shot;
use super::textures::{HEADROOM, SKY_UNIT_NITS, pattern_images, sky_image};
use crate::daylight::{Daylight, kelvin_colour, linear_from_srgb};
use crate::optics::{Camera as LensCamera, ev100, illuminance_at_ev100};
use crate::picture::look::{Look, look_of};
use crate::picture::mesh::{Batch, Onlooker, batches};
use crate::picture::texture::Pattern;
use crate::picture::{Metered, WindowLight};
use crate::sight::{LampPoint, SPOT_EDGE};
use crate::staging::Finish;
use bevy::asset::RenderAssetUsages;
use bevy::light::{CascadeShadowConfigBuilder, GeneratedEnvironmentMapLight, NotShadowCaster, Skybox};
use bevy::math::{Affine2, Vec2};
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;
use std::collections::HashMap;
use std::f32::consts::FRAC_PI_2;
use std::f64::consts::PI;

/// A lamp, a string of bulbs taken together, is left out where it adds less than this share of a well exposed grey: in
/// daylight, nearly everywhere.
const FAINTEST_SHARE: f64 = 0.04;
/// Strength of the spot that stands for a window, straight in, over the window's own: both then give π·I in all.
/// Half over ∫ min(c/c₀, 1)² dc from 0 to 1, c₀ = cos 0.9.
const WINDOW_AS_SPOT: f64 = 0.854;
const LONGEST_LAMP_RANGE_M: f32 = 30.0;
const SHORTEST_LAMP_RANGE_M: f32 = 0.3;

/// Everything that goes when the next picture is set up.
#[derive(Component)]
pub struct Staged;

/// Finish, glow, and whether both sides are seen.
type MaterialKey = (Finish, Option<[u8; 3]>, bool);

/// Materials and textures that stay for all pictures.
#[derive(Resource)]
pub struct Wardrobe {
    /// Samples along the slant of a texture: a card takes them in its stride, a processor takes half its time for them.
    slant_samples: u16,
    patterns: HashMap<Pattern, (Handle<Image>, Handle<Image>)>,
    /// By finish, glow, and whether it is seen from both sides.
    materials: HashMap<MaterialKey, Handle<StandardMaterial>>,
}

impl Wardrobe {
    pub fn new(slant_samples: u16) -> Self {
        Self { slant_samples, patterns: HashMap::new(), materials: HashMap::new() }
    }
}

/// Takes away what the last picture showed.
pub fn clear(world: &mut World) {
    let old: Vec<Entity> = world.query_filtered::<Entity, With<Staged>>().iter(world).collect();
    for entity in old {
        world.despawn(entity);
    }
}

/// Sets up the entities of this shot.
pub fn set_up(world: &mut World, shot: &Shot) {
    let camera = shot.camera;
    let brightened = shot.metered.outside.as_ref().map(|outside| outside.brightened(shot.tableau));
    let tableau = brightened.as_ref().unwrap_or(shot.tableau);
    for (finish, glow, batch) in batches(tableau, Onlooker { camera, width_px: shot.width_px }) {
        let material = material_of(world, finish, glow, batch.two_sided);
        let mesh = world.resource_mut::<Assets<Mesh>>().add(mesh_of(batch));
        let look = look_of(finish);
        let mut entity = world.spawn((Staged, Mesh3d(mesh), MeshMaterial3d(material)));
        if look.alpha < 0.5 || look.nits > 0.0 {
            entity.insert(NotShadowCaster);
        }
    }
    if shot.daylight.sun_lux > 0.0 {
        world.spawn((Staged, sun_parts(shot.daylight, camera.focus_m as f32)));
    }
    for lamp in shot.lamps {
        let range_m = lamp_range_m(lamp, camera);
        if range_m > SHORTEST_LAMP_RANGE_M {
            spawn_lamp(world, lamp, range_m);
        }
    }
    for window in &shot.metered.windows {
        spawn_window(world, window);
    }
}

fn sun_parts(daylight: &Daylight, focus_m: f32) -> impl Bundle {
    let [r, g, b] = daylight.sun_colour;
    (
        DirectionalLight {
            color: Color::linear_rgb(r, g, b),
            illuminance: daylight.sun_lux as f32,
            shadow_maps_enabled: true,
            ..default()
        },
        // The nearest map reaches just past what is in focus, where shadows are looked at.
        CascadeShadowConfigBuilder {
            num_cascades: 3,
            minimum_distance: 0.3,
            first_cascade_far_bound: focus_m * 1.25,
            maximum_distance: (focus_m * 4.0).clamp(40.0, 90.0).max(focus_m * 1.6),
            ..default()
        }
        .build(),
        Transform::default().looking_to(-daylight.to_sun, Vec3::Y),
    )
}

/// Distance at which a lamp no longer matters to this exposure, by the inverse square law.
fn lamp_range_m(lamp: &LampPoint, camera: &LensCamera) -> f32 {
    let grey_lux = illuminance_at_ev100(ev100(camera.f_number, camera.shutter_s, camera.iso));
    ((lamp.whole_candela / (FAINTEST_SHARE * grey_lux)).sqrt() as f32).min(LONGEST_LAMP_RANGE_M)
}

/// Light that lamps lose at their ranges, where the picture is sharp, so that many faint ones still add up there. It comes
/// from all round instead, as on average over all ways a surface may face: a quarter of its lux, over π.
fn cut_off_nits(shot: &Shot) -> Vec3 {
    let camera = shot.camera;
    let sharp = camera.eye + camera.turned * Vec3::NEG_Z * camera.focus_m as f32;
    let room = shot.metered.outside.as_ref().map(|outside| &outside.room);
    let here = shot.lamps.iter().filter(|lamp| room.is_none_or(|room| room.holds(lamp.at)));
    here.fold(Vec3::ZERO, |sum, lamp| {
        let from_lamp = sharp - lamp.at;
        let distance_m = from_lamp.length().max(0.3);
        let lux = lamp.candela_towards(from_lamp / distance_m) / f64::from(distance_m * distance_m);
        let left = left_at(distance_m, lamp_range_m(lamp, camera));
        sum + Vec3::from(kelvin_colour(lamp.kelvin)) * (lux * f64::from(1.0 - left) / (4.0 * PI)) as f32
    })
}

/// Share of a lamp's light that the engine leaves at a distance from it.
fn left_at(distance_m: f32, range_m: f32) -> f32 {
    if range_m <= SHORTEST_LAMP_RANGE_M {
        return 0.0;
    }
    (1.0 - (distance_m / range_m).powi(4)).max(0.0).powi(2)
}

/// The engine takes lumens as if spread all round, for spots too. Its beams have [`LampPoint::candela_towards`]'s shape.
fn spawn_lamp(world: &mut World, lamp: &LampPoint, range: f32) {
    let [r, g, b] = kelvin_colour(lamp.kelvin);
    let color = Color::linear_rgb(r, g, b);
    let intensity = (lamp.candela * 4.0 * PI) as f32;
    let place = Transform::from_translation(lamp.at);
    match lamp.beam {
        None => world.spawn((Staged, PointLight { color, intensity, range, ..default() }, place)),
        Some(beam) => world.spawn((
            Staged,
            SpotLight { color, intensity, range, inner_angle: 0.0, outer_angle: SPOT_EDGE, ..default() },
            place.looking_to(beam, if beam.y.abs() > 0.99 { Vec3::Z } else { Vec3::Y }),
        )),
    };
}

fn spawn_window(world: &mut World, window: &WindowLight) {
    let [r, g, b] = window.colour;
    world.spawn((
        Staged,
        SpotLight {
            color: Color::linear_rgb(r, g, b),
            intensity: (WINDOW_AS_SPOT * window.candela * 4.0 * PI) as f32,
            range: LONGEST_LAMP_RANGE_M,
            // The engine's spots go with the cosine squared; held from here on they come nearest to the cosine that a
            // window has, and give the same light in all.
            inner_angle: 0.9,
            outer_angle: FRAC_PI_2,
            ..default()
        },
        Transform::from_translation(window.at).looking_to(window.inward, Vec3::Y),
    ));
}

fn mesh_of(batch: Batch) -> Mesh {
    Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::RENDER_WORLD)
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, batch.positions)
        .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, batch.normals)
        .with_inserted_attribute(Mesh::ATTRIBUTE_UV_0, batch.uvs)
        .with_inserted_attribute(Mesh::ATTRIBUTE_TANGENT, batch.tangents)
        .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, batch.colours)
        .with_inserted_indices(Indices::U32(batch.indices))
}

fn material_of(world: &mut World, finish: Finish, glow: Option<[u8; 3]>, two_sided: bool) -> Handle<StandardMaterial> {
    if let Some(known) = world.resource::<Wardrobe>().materials.get(&(finish, glow, two_sided)) {
        return known.clone();
    }
    let look = look_of(finish);
    let mut material = plain_material(&look, glow, two_sided);
    if look.pattern != Pattern::Plain {
        let (colour, normal) = textures_of(world, look.pattern);
        material.base_color = Color::linear_rgba(HEADROOM, HEADROOM, HEADROOM, look.alpha);
        material.base_color_texture = Some(colour);
        material.normal_map_texture = Some(normal);
        material.uv_transform = Affine2::from_scale(Vec2::splat(1.0 / look.pattern.tile_m()));
    }
    let handle = world.resource_mut::<Assets<StandardMaterial>>().add(material);
    world.resource_mut::<Wardrobe>().materials.insert((finish, glow, two_sided), handle.clone());
    handle
}

fn plain_material(look: &Look, glow: Option<[u8; 3]>, two_sided: bool) -> StandardMaterial {
    let lit_from_both_sides = look.alpha < 1.0 || two_sided;
    let mut material = StandardMaterial {
        base_color: Color::WHITE.with_alpha(look.alpha),
        perceptual_roughness: look.roughness,
        metallic: look.metallic,
        reflectance: look.reflectance,
        alpha_mode: if look.alpha < 1.0 { AlphaMode::Blend } else { AlphaMode::Opaque },
        double_sided: lit_from_both_sides,
        ..default()
    };
    if lit_from_both_sides || look.pattern == Pattern::Leaves {
        material.cull_mode = None;
    }
    if let Some(colour) = glow {
        let [r, g, b] = colour.map(|byte| linear_from_srgb(f32::from(byte) / 255.0) * look.nits);
        material.emissive = LinearRgba::rgb(r, g, b);
        material.emissive_exposure_weight = 1.0;
    }
    material
}

fn textures_of(world: &mut World, pattern: Pattern) -> (Handle<Image>, Handle<Image>) {
    if let Some(known) = world.resource::<Wardrobe>().patterns.get(&pattern) {
        return known.clone();
    }
    let (colour, normal) = pattern_images(pattern, world.resource::<Wardrobe>().slant_samples);
    let mut images = world.resource_mut::<Assets<Image>>();
    let handles = (images.add(colour), images.add(normal));
    world.resource_mut::<Wardrobe>().patterns.insert(pattern, handles.clone());
    handles
}

/// Hangs a shot's sky on a camera: what is seen beyond everything, and the light from all round. That light is there once
/// the engine has drawn something.
pub fn hang_sky(world: &mut World, camera: Entity, shot: &Shot) {
    let Metered { sky_share, bounce_nits, .. } = *shot.metered;
    let cut_off_nits = cut_off_nits(shot);
    let dome = |direction| shot.daylight.sky.radiance(direction);
    let seen = sky_image(dome);
    let light = sky_image(|direction| {
        let sky = dome(direction);
        std::array::from_fn(|i| sky[i] * sky_share as f32 + bounce_nits[i] + cut_off_nits[i])
    });
    let mut images = world.resource_mut::<Assets<Image>>();
    let (seen, light) = (images.add(seen), images.add(light));
    world.entity_mut(camera).insert((
        Skybox { image: Some(seen), brightness: SKY_UNIT_NITS, ..default() },
        GeneratedEnvironmentMapLight { environment_map: light, intensity: SKY_UNIT_NITS, ..default() },
    ));
}
