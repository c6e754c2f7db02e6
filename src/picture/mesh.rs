//! Solids of a tableau as triangle meshes: rounded blocks, grouped so that a picture needs few draws.
//!
//! Texture coordinates are metres along the solid's own faces, so that one tile size fits every block;
//! ground and walls use world metres, so that neighbours join.

use super::sprigs::add_sprigs;
use crate::daylight::linear_from_srgb;
use crate::optics::Camera;
use crate::staging::{Block, Finish, OwnerKind, Part, Shape, Solid, Tableau, TriangleMesh};
use glam::{Vec2, Vec3};
use std::collections::BTreeMap;

/// One draw: all solids of one finish (and, for lights, one colour).
#[derive(Debug, Clone, Default)]
pub struct Batch {
    pub positions: Vec<[f32; 3]>,
    pub normals: Vec<[f32; 3]>,
    /// Metres along the face.
    pub uvs: Vec<[f32; 2]>,
    /// Direction of growing u, with the handedness in w.
    pub tangents: Vec<[f32; 4]>,
    /// Linear tint, alpha 1.
    pub colours: Vec<[f32; 4]>,
    pub indices: Vec<u32>,
    /// Of each triangle the solid it belongs to, by its index into the tableau's solids.
    pub solids: Vec<u32>,
    /// Meshes of other programs turn their faces as they like: they are seen from both sides.
    pub two_sided: bool,
}

/// What solids of one batch share.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BatchKey {
    finish_order: u64,
    /// sRGB bytes for lights, whose colour is not a vertex colour.
    pub glow: Option<[u8; 3]>,
    two_sided: bool,
}

/// Who looks, so that what is small or outside the picture is built coarsely.
#[derive(Debug, Clone, Copy)]
pub struct Onlooker<'a> {
    pub camera: &'a Camera,
    pub width_px: u32,
}

impl Onlooker<'_> {
    /// Pixels that a metre covers at the near side of a ball, or `None` if no part of it can be in the picture.
    fn px_per_m(&self, middle: Vec3, radius_m: f32) -> Option<f32> {
        let camera = self.camera;
        let seen = camera.turned.inverse() * (middle - camera.eye);
        for (across, side_m) in [(seen.x, camera.sensor_m[0]), (seen.y, camera.sensor_m[1])] {
            let half = (side_m / (2.0 * camera.focal_m)) as f32;
            // Distance of the middle beyond the side plane of the view.
            if (across.abs() + seen.z * half) / (1.0 + half * half).sqrt() > radius_m {
                return None;
            }
        }
        let px_at_1m = (camera.focal_m / camera.sensor_m[0]) as f32 * self.width_px as f32;
        Some(px_at_1m / (-seen.z - radius_m).max(0.3))
    }

    /// Flat strips that an edge of this radius is rounded with up to 45°, so that its outline is off by less than about
    /// a third of a pixel: a strip of angle a errs by r·(1 − cos(a/2)).
    fn steps(&self, block: &Block, solid: &Solid) -> usize {
        let radius = block.half_m.length() * block.top.max_element().max(1.0);
        match self.px_per_m(solid.at, radius).map(|px| px * block.edge_m) {
            None => 0,
            Some(px) if px < 1.0 => 0,
            Some(px) if px < 5.0 => 1,
            Some(px) if px < 20.0 => 2,
            Some(px) if px < 45.0 => 3,
            Some(_) => 4,
        }
    }
}

/// All solids as batches, in a fixed order, as fine as the onlooker needs.
pub fn batches(tableau: &Tableau, onlooker: Onlooker) -> Vec<(Finish, Option<[u8; 3]>, Batch)> {
    let mut found: BTreeMap<BatchKey, (Finish, Batch)> = BTreeMap::new();
    for (number, solid) in tableau.solids.iter().enumerate() {
        let glow = matches!(solid.material.finish, Finish::Glow { .. })
            .then(|| solid.material.colour.0.map(|channel| (channel.clamp(0.0, 1.0) * 255.0).round() as u8));
        let owner = tableau.owners.get(solid.owner.0 as usize);
        let two_sided = owner.is_some_and(|owner| matches!(owner.kind, OwnerKind::Mesh(_)));
        let key = BatchKey { finish_order: order(solid.material.finish), glow, two_sided };
        let empty = || (solid.material.finish, Batch { two_sided, ..Batch::default() });
        let (_, batch) = found.entry(key).or_insert_with(empty);
        batch.add(solid, number, onlooker);
    }
    found.into_iter().map(|(key, (finish, batch))| (finish, key.glow, batch)).collect()
}

/// A stable order of finishes.
fn order(finish: Finish) -> u64 {
    match finish {
        Finish::Surface(surface) => surface as u64,
        Finish::Skin => 100,
        Finish::Hair => 101,
        Finish::Eye => 102,
        Finish::Cloth => 103,
        Finish::Satin => 104,
        Finish::Leather => 105,
        Finish::Paint => 106,
        Finish::Metal => 107,
        Finish::BlackPlastic => 108,
        Finish::Paper => 109,
        Finish::Leaves => 110,
        Finish::Petals => 111,
        Finish::Bark => 112,
        Finish::Wood => 113,
        Finish::WindowGlass => 114,
        Finish::Veil => 115,
        Finish::Glow { nits } => 1_000 + u64::from(nits),
    }
}

impl Batch {
    fn add(&mut self, solid: &Solid, number: usize, onlooker: Onlooker) {
        let colour = solid.material.colour.0.map(linear_from_srgb);
        let colour = [colour[0], colour[1], colour[2], 1.0];
        let in_world = matches!(solid.part, Part::Ground | Part::Wall);
        // Neighbouring planks, stones and sleeves should not show the same spot of the tile.
        let shift = if in_world { Vec2::ZERO } else { Vec2::new(number as f32 * 0.37, number as f32 * 0.61) };
        match &solid.shape {
            Shape::Block(block) => {
                self.add_block(block, solid, onlooker.steps(block, solid), shift, in_world, colour);
                if solid.material.finish == Finish::Leaves {
                    let radius = block.half_m.length();
                    if let Some(px_per_m) = onlooker.px_per_m(solid.at, radius) {
                        add_sprigs(self, block, solid, number, px_per_m);
                    }
                }
            }
            Shape::Mesh(mesh) => self.add_mesh(mesh, solid, shift, colour),
        }
        self.solids.resize(self.indices.len() / 3, number as u32);
    }

    /// Six faces, each a grid whose outer `steps` cells bend round the edge up to 45°.
    fn add_block(&mut self, block: &Block, solid: &Solid, steps: usize, shift: Vec2, in_world: bool, colour: [f32; 4]) {
        let half = block.half_m;
        let widest = half.min_element() * 0.98;
        let edge = if steps == 0 { 0.0 } else { block.edge_m.clamp(0.0, widest) };
        let across: Vec<(f32, f32)> = grid_line(steps);
        for (normal_axis, sign) in [(0, 1.0), (0, -1.0), (1, 1.0), (1, -1.0), (2, 1.0), (2, -1.0f32)] {
            let n = axis(normal_axis) * sign;
            let u = axis(if normal_axis == 0 { 2 } else { 0 });
            let v = n.cross(u);
            let first = self.positions.len() as u32;
            let side = across.len() as u32;
            for &(v_sign, v_bend) in &across {
                for &(u_sign, u_bend) in &across {
                    let round = (n + u * (u_sign * u_bend) + v * (v_sign * v_bend)).normalize();
                    let inner = (half - Vec3::splat(edge)) * (n + u * u_sign + v * v_sign);
                    let straight = inner + round * edge;
                    let (place, normal) = tapered(straight, round, block);
                    let world = solid.at + solid.turned * place;
                    let (u_axis, v_axis) =
                        if in_world { world_axes(solid.turned * n) } else { (solid.turned * u, solid.turned * -v) };
                    let from = if in_world { world } else { world - solid.at };
                    let uv = Vec2::new(from.dot(u_axis), from.dot(v_axis)) + shift;
                    self.push(world, solid.turned * normal, uv, (u_axis, v_axis), colour);
                }
            }
            for row in 0..side - 1 {
                for column in 0..side - 1 {
                    let a = first + row * side + column;
                    self.indices.extend([a, a + 1, a + side + 1, a, a + side + 1, a + side]);
                }
            }
        }
    }

    fn add_mesh(&mut self, mesh: &TriangleMesh, solid: &Solid, shift: Vec2, colour: [f32; 4]) {
        let corner = |index: u32| mesh.corners.get(index as usize).map(|&corner| solid.at + solid.turned * corner);
        for &[a, b, c] in &mesh.triangles {
            // A triangle that names a corner which does not exist is not there.
            let (Some(a), Some(b), Some(c)) = (corner(a), corner(b), corner(c)) else { continue };
            let corners = [a, b, c];
            let normal = (corners[1] - corners[0]).cross(corners[2] - corners[0]).normalize_or(Vec3::Y);
            let first = self.positions.len() as u32;
            let (u_axis, v_axis) = world_axes(normal);
            for corner in corners {
                let uv = Vec2::new(corner.dot(u_axis), corner.dot(v_axis)) + shift;
                self.push(corner, normal, uv, (u_axis, v_axis), colour);
            }
            self.indices.extend([first, first + 1, first + 2]);
        }
    }

    pub(super) fn push(&mut self, position: Vec3, normal: Vec3, uv: Vec2, (u, v): (Vec3, Vec3), colour: [f32; 4]) {
        let tangent = (u - normal * u.dot(normal)).normalize_or(normal.any_orthonormal_vector());
        let hand = if normal.cross(tangent).dot(v) < 0.0 { -1.0 } else { 1.0 };
        self.positions.push(position.to_array());
        self.normals.push(normal.to_array());
        self.uvs.push(uv.to_array());
        self.tangents.push([tangent.x, tangent.y, tangent.z, hand]);
        self.colours.push(colour);
    }
}

fn axis(number: usize) -> Vec3 {
    [Vec3::X, Vec3::Y, Vec3::Z][number]
}

/// Points across a face: side of the face and how far round the edge, as tan of 0..45°.
fn grid_line(steps: usize) -> Vec<(f32, f32)> {
    if steps == 0 {
        return vec![(-1.0, 0.0), (1.0, 0.0)];
    }
    let bends: Vec<f32> =
        (0..=steps).map(|step| (std::f32::consts::FRAC_PI_4 * step as f32 / steps as f32).tan()).collect();
    let low = bends.iter().rev().map(|&bend| (-1.0, bend));
    let high = bends.iter().map(|&bend| (1.0, bend));
    low.chain(high).collect()
}

/// Narrows a point of the straight box towards its top, and tilts its normal to match.
pub(super) fn tapered(place: Vec3, normal: Vec3, block: &Block) -> (Vec3, Vec3) {
    if block.top == Vec2::ONE || block.half_m.y <= 0.0 {
        return (place, normal);
    }
    let up = (place.y + block.half_m.y) / (2.0 * block.half_m.y);
    let scale = Vec2::ONE.lerp(block.top, up).max(Vec2::splat(1e-4));
    let slope = (block.top - Vec2::ONE) / (2.0 * block.half_m.y);
    let bent = Vec3::new(
        normal.x / scale.x,
        normal.y - normal.x * place.x * slope.x / scale.x - normal.z * place.z * slope.y / scale.y,
        normal.z / scale.y,
    );
    (Vec3::new(place.x * scale.x, place.y, place.z * scale.y), bent.normalize_or(normal))
}

/// Texture axes in the world, on the plane the normal points out of: floors from above, walls upright.
fn world_axes(normal: Vec3) -> (Vec3, Vec3) {
    let n = normal.abs();
    if n.y >= n.x && n.y >= n.z {
        (Vec3::X, Vec3::Z)
    } else if n.x >= n.z {
        (Vec3::Z, Vec3::NEG_Y)
    } else {
        (Vec3::X, Vec3::NEG_Y)
    }
}
