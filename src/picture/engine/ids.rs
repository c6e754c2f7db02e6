//! The flat id picture: which solid the engine draws at each pixel, to hold the engine against rays.
//!
//! Every triangle has one flat colour that stands for its solid; nothing is lit, blurred, smoothed or printed. The target
//! encodes sRGB, so the colours are written decoded and come back as they were.

use super::scene::Staged;
use crate::daylight::linear_from_srgb;
use crate::optics::Camera as LensCamera;
use crate::picture::mesh::{Onlooker, batches};
use crate::staging::{Finish, Shape, Tableau};
use bevy::asset::RenderAssetUsages;
use bevy::camera::Hdr;
use bevy::core_pipeline::tonemapping::{DebandDither, Tonemapping};
use bevy::mesh::PrimitiveTopology;
use bevy::prelude::*;
use bevy::render::view::Msaa;
use image::{Rgb, RgbImage};
use std::borrow::Cow;

/// One id picture to take.
pub struct IdShot<'a> {
    pub tableau: &'a Tableau,
    pub camera: &'a LensCamera,
    pub edges: Edges,
    pub width_px: u32,
    pub height_px: u32,
}

/// How blocks are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edges {
    /// As in pictures, foliage with its sprigs.
    Rounded,
    /// As sight takes them.
    Sharp,
}

/// Sets up the solids that are `shown`, by their index into the tableau's solids; there may be 16 million.
pub fn set_up_flat(world: &mut World, shot: &IdShot, shown: impl Fn(usize) -> bool) {
    let tableau = match shot.edges {
        Edges::Rounded => Cow::Borrowed(shot.tableau),
        Edges::Sharp => Cow::Owned(sharp(shot.tableau)),
    };
    let (mut positions, mut colours) = (Vec::new(), Vec::new());
    for (_, _, batch) in batches(&tableau, Onlooker { camera: shot.camera, width_px: shot.width_px }) {
        for (corners, &solid) in batch.indices.chunks_exact(3).zip(&batch.solids) {
            if shown(solid as usize) {
                positions.extend(corners.iter().map(|corner| batch.positions[*corner as usize]));
                colours.extend([colour_of(solid); 3]);
            }
        }
    }
    if positions.is_empty() {
        return;
    }
    let mesh = Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::RENDER_WORLD)
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, positions)
        .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, colours);
    let mesh = world.resource_mut::<Assets<Mesh>>().add(mesh);
    let flat = StandardMaterial { unlit: true, cull_mode: None, ..default() };
    let material = world.resource_mut::<Assets<StandardMaterial>>().add(flat);
    world.spawn((Staged, Mesh3d(mesh), MeshMaterial3d(material)));
}

/// A camera that adds nothing of its own.
pub fn flat_camera() -> impl Bundle {
    (
        Staged,
        Camera3d::default(),
        Camera { clear_color: ClearColorConfig::Custom(Color::BLACK), ..default() },
        // Half floats up to the target, so that no step before it rounds to bytes.
        Hdr,
        Msaa::Off,
        Tonemapping::None,
        DebandDither::Disabled,
    )
}

/// Ids of a picture, row by row from the top left; `u32::MAX` where no solid is.
pub fn ids_of(picture: &RgbImage) -> Vec<u32> {
    let number = |Rgb([r, g, b]): &Rgb<u8>| u32::from(*r) << 16 | u32::from(*g) << 8 | u32::from(*b);
    // Black is nothing, so that solids are counted from 1.
    picture.pixels().map(|pixel| number(pixel).wrapping_sub(1)).collect()
}

fn colour_of(solid: u32) -> [f32; 4] {
    let [_, r, g, b] = (solid + 1).to_be_bytes().map(|byte| linear_from_srgb(f32::from(byte) / 255.0));
    [r, g, b, 1.0]
}

/// Without rounded edges and sprigs.
fn sharp(tableau: &Tableau) -> Tableau {
    let mut tableau = tableau.clone();
    for solid in &mut tableau.solids {
        if let Shape::Block(block) = &mut solid.shape {
            block.edge_m = 0.0;
        }
        if solid.material.finish == Finish::Leaves {
            solid.material.finish = Finish::Paint;
        }
    }
    tableau
}
