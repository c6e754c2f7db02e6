//! Patterns and sky as engine images, with all mip levels, so that far grass and brick stay calm.

use crate::daylight::srgb_from_linear;
use crate::picture::maps::{Levels, PatternMaps};
use crate::picture::texture::Pattern;
use bevy::asset::RenderAssetUsages;
use bevy::image::{Image, ImageAddressMode, ImageFilterMode, ImageSampler, ImageSamplerDescriptor};
use bevy::math::{Vec2, Vec3};
use bevy::render::render_resource::{
    Extent3d, TextureDimension, TextureFormat, TextureUsages, TextureViewDescriptor, TextureViewDimension,
};

/// Patterns may brighten what they lie on up to this factor; images hold colours divided by it.
pub const HEADROOM: f32 = 2.0;

/// Colour (sRGB, over [`HEADROOM`]) and normal map of one pattern.
pub fn pattern_images(pattern: Pattern, slant_samples: u16) -> (Image, Image) {
    let maps = PatternMaps::new(pattern);
    (
        image_of(maps.size_px, slant_samples, &maps.colours, TextureFormat::Rgba8UnormSrgb, |colour| {
            (colour / HEADROOM).to_array().map(srgb_byte)
        }),
        image_of(maps.size_px, slant_samples, &maps.normals, TextureFormat::Rgba8Unorm, |normal| {
            (normal.normalize_or(Vec3::Z) * 0.5 + 0.5).to_array().map(|channel| (channel * 255.0).round() as u8)
        }),
    )
}

fn srgb_byte(linear: f32) -> u8 {
    (srgb_from_linear(linear.clamp(0.0, 1.0)) * 255.0).round() as u8
}

fn image_of(
    size: u32,
    slant_samples: u16,
    levels: &Levels,
    format: TextureFormat,
    encode: impl Fn(Vec3) -> [u8; 3],
) -> Image {
    let mut data = Vec::new();
    for &value in levels.iter().flatten() {
        let [r, g, b] = encode(value);
        data.extend([r, g, b, 255]);
    }
    let extent = Extent3d { width: size, height: size, depth_or_array_layers: 1 };
    let mut image = Image::new_uninit(extent, TextureDimension::D2, format, RenderAssetUsages::RENDER_WORLD);
    image.data = Some(data);
    image.texture_descriptor.mip_level_count = levels.len() as u32;
    image.sampler = ImageSampler::Descriptor(ImageSamplerDescriptor {
        address_mode_u: ImageAddressMode::Repeat,
        address_mode_v: ImageAddressMode::Repeat,
        mag_filter: ImageFilterMode::Linear,
        min_filter: ImageFilterMode::Linear,
        mipmap_filter: ImageFilterMode::Linear,
        anisotropy_clamp: slant_samples,
        ..Default::default()
    });
    image
}

/// Edge of a face of the sky's cube map.
const SKY_PX: u32 = 128;
/// The map holds this many candela per square metre as 1, to stay inside half floats.
pub const SKY_UNIT_NITS: f32 = 1000.0;

/// Light from all round (cd/m² by direction) as a cube map in units of [`SKY_UNIT_NITS`].
pub fn sky_image(radiance: impl Fn(Vec3) -> [f32; 3]) -> Image {
    let mut data = Vec::with_capacity((SKY_PX * SKY_PX * 6 * 8) as usize);
    for face in 0..6 {
        for y in 0..SKY_PX {
            for x in 0..SKY_PX {
                let spot = (Vec2::new(x as f32, y as f32) + 0.5) / SKY_PX as f32 * 2.0 - 1.0;
                for channel in radiance(cube_direction(face, spot)) {
                    data.extend(half::f16::from_f32((channel / SKY_UNIT_NITS).min(60_000.0)).to_le_bytes());
                }
                data.extend(half::f16::ONE.to_le_bytes());
            }
        }
    }
    let extent = Extent3d { width: SKY_PX, height: SKY_PX, depth_or_array_layers: 6 };
    let mut image =
        Image::new_uninit(extent, TextureDimension::D2, TextureFormat::Rgba16Float, RenderAssetUsages::RENDER_WORLD);
    image.data = Some(data);
    image.texture_view_descriptor =
        Some(TextureViewDescriptor { dimension: Some(TextureViewDimension::Cube), ..Default::default() });
    image.texture_descriptor.usage = TextureUsages::TEXTURE_BINDING
        | TextureUsages::COPY_DST
        | TextureUsages::COPY_SRC
        | TextureUsages::STORAGE_BINDING;
    image
}

/// Direction in world space of a spot (−1..1, x right, y down) on a face of a cube map. Cube maps are
/// left-handed: the engine looks them up with z turned round.
fn cube_direction(face: u32, spot: Vec2) -> Vec3 {
    let Vec2 { x, y } = spot;
    let looked_up = match face {
        0 => Vec3::new(1.0, -y, -x),
        1 => Vec3::new(-1.0, -y, x),
        2 => Vec3::new(x, 1.0, y),
        3 => Vec3::new(x, -1.0, -y),
        4 => Vec3::new(x, -y, 1.0),
        _ => Vec3::new(-x, -y, -1.0),
    };
    (looked_up * Vec3::new(1.0, 1.0, -1.0)).normalize()
}
