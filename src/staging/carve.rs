//! Carving: how every other file here puts blocks into the tableau.
//!
//! A [`Cut`] is one block described in the space of whatever it belongs to (a head, a chair, a wall); a
//! [`Carver`] knows the owner and turns cuts into solids of the world.

use super::tableau::{Block, Finish, Material, OwnerIx, Part, Shape, Solid, TriangleMesh};
use crate::plan::Colour;
use glam::{Mat3, Quat, Vec2, Vec3};
use std::f32::consts::FRAC_PI_2;
use std::sync::Arc;

/// A place in the world: a point and a rotation, `world_from_local`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    pub at: Vec3,
    pub turned: Quat,
}

impl Place {
    pub fn new(at: Vec3, turned: Quat) -> Self {
        Self { at, turned }
    }

    /// A spot at height `y_m`, its own −z turned to `heading` (radians from the world's −z, clockwise from above).
    pub fn facing(spot: Vec2, y_m: f32, heading: f32) -> Self {
        Self { at: Vec3::new(spot.x, y_m, spot.y), turned: Quat::from_rotation_y(-heading) }
    }

    pub fn point(self, local: Vec3) -> Vec3 {
        self.at + self.turned * local
    }

    pub fn local(self, world: Vec3) -> Vec3 {
        self.turned.inverse() * (world - self.at)
    }

    pub fn moved(self, local: Vec3) -> Self {
        Self { at: self.point(local), turned: self.turned }
    }

    pub fn turned(self, local: Quat) -> Self {
        Self { at: self.at, turned: (self.turned * local).normalize() }
    }
}

/// One block in local space. Sizes are full widths in metres.
#[derive(Debug, Clone, Copy)]
pub struct Cut {
    size_m: Vec3,
    at: Vec3,
    top: Vec2,
    edge_m: f32,
    turned: Quat,
}

/// A plain box of this width (x), height (y) and depth (z) about the local origin.
pub fn cut(width_m: f32, height_m: f32, depth_m: f32) -> Cut {
    Cut {
        size_m: Vec3::new(width_m, height_m, depth_m),
        at: Vec3::ZERO,
        top: Vec2::ONE,
        edge_m: 0.0,
        turned: Quat::IDENTITY,
    }
}

impl Cut {
    /// Moves the centre.
    pub fn at(mut self, x: f32, y: f32, z: f32) -> Self {
        self.at = Vec3::new(x, y, z);
        self
    }

    /// Size of the top face over the bottom face, across and along.
    pub fn top(mut self, across: f32, along: f32) -> Self {
        self.top = Vec2::new(across, along);
        self
    }

    /// Rounds the edges; at most half of the thinnest side.
    pub fn round(mut self, edge_m: f32) -> Self {
        self.edge_m = edge_m;
        self
    }

    /// Rounds the edges by a third of the thinnest side.
    pub fn soft(mut self) -> Self {
        self.edge_m = self.size_m.min_element() / 3.0;
        self
    }

    /// Turns the block about its own centre.
    pub fn turned(mut self, turned: Quat) -> Self {
        self.turned = turned;
        self
    }
}

/// Adds solids of one owner to a list.
pub struct Carver<'a> {
    solids: &'a mut Vec<Solid>,
    owner: OwnerIx,
}

impl<'a> Carver<'a> {
    pub fn new(solids: &'a mut Vec<Solid>, owner: OwnerIx) -> Self {
        Self { solids, owner }
    }

    pub fn add(&mut self, place: Place, cut: Cut, part: Part, material: Material) {
        let half_m = (cut.size_m * 0.5).max(Vec3::splat(0.0005));
        let widest = Vec2::new(cut.top.x.min(1.0), cut.top.y.min(1.0));
        let thin = (half_m.x * widest.x.max(0.3)).min(half_m.y).min(half_m.z * widest.y.max(0.3));
        self.solids.push(Solid {
            shape: Shape::Block(Block { half_m, top: cut.top, edge_m: cut.edge_m.min(thin) }),
            at: place.point(cut.at),
            turned: (place.turned * cut.turned).normalize(),
            owner: self.owner,
            part,
            material,
        });
    }

    /// A limb from one joint to the next: `from_m` and `to_m` are (across, along) thickness at its ends, `over_m`
    /// how far it reaches beyond each joint, so that bent limbs close.
    pub fn limb(&mut self, limb: Limb, part: Part, material: Material) {
        let axis = (limb.to - limb.from).normalize_or(Vec3::NEG_Y);
        let length = limb.from.distance(limb.to) + limb.over_m[0] + limb.over_m[1];
        let centre = (limb.from - axis * limb.over_m[0] + limb.to + axis * limb.over_m[1]) * 0.5;
        let top = limb.from_m / limb.to_m;
        let thin = limb.to_m.min_element().min(limb.from_m.min_element());
        let shape = cut(limb.to_m.x, length, limb.to_m.y).top(top.x, top.y).round(thin * limb.roundness);
        self.add(Place::new(centre, upright(-axis, limb.across)), shape, part, material);
    }

    /// The outer face of a band with rounded corners, upright about a place: `size_m` across and along.
    pub fn ring(&mut self, place: Place, size_m: Vec2, corner_m: f32, height_m: f32, part: Part, material: Material) {
        const STEPS: usize = 8;
        let inner = (size_m * 0.5 - Vec2::splat(corner_m)).max(Vec2::ZERO);
        let mut corners = Vec::new();
        for quarter in 0..4 {
            let (x, z) = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)][quarter];
            for step in 0..=STEPS {
                let angle = FRAC_PI_2 * (quarter as f32 + step as f32 / STEPS as f32);
                let (x, z) = (x * inner.x + angle.cos() * corner_m, z * inner.y + angle.sin() * corner_m);
                corners.push(Vec3::new(x, height_m * 0.5, z));
                corners.push(Vec3::new(x, -height_m * 0.5, z));
            }
        }
        let all = corners.len() as u32;
        let triangles = (0..all)
            .step_by(2)
            .flat_map(|i| [[i, (i + 2) % all, i + 1], [(i + 2) % all, (i + 3) % all, i + 1]])
            .collect();
        self.solids.push(Solid {
            shape: Shape::Mesh(Arc::new(TriangleMesh { corners, triangles })),
            at: place.at,
            turned: place.turned,
            owner: self.owner,
            part,
            material,
        });
    }

    pub fn push(&mut self, solid: Solid) {
        self.solids.push(solid);
    }

    pub fn owner(&self) -> OwnerIx {
        self.owner
    }
}

/// What [`Carver::limb`] needs.
#[derive(Debug, Clone, Copy)]
pub struct Limb {
    pub from: Vec3,
    pub to: Vec3,
    pub from_m: Vec2,
    pub to_m: Vec2,
    /// The direction the first thickness is measured in.
    pub across: Vec3,
    pub over_m: [f32; 2],
    /// Edge radius over the thin side.
    pub roundness: f32,
}

impl Limb {
    /// The same limb reaching beyond both joints with its taper carried on, so that an end that grows thinner hides
    /// inside a neighbour.
    pub fn carried_on(self, beyond_m: [f32; 2]) -> Self {
        let axis = (self.to - self.from).normalize_or(Vec3::NEG_Y);
        let per_m = (self.to_m - self.from_m) / self.from.distance(self.to).max(1e-3);
        Self {
            from: self.from - axis * beyond_m[0],
            to: self.to + axis * beyond_m[1],
            from_m: (self.from_m - per_m * beyond_m[0]).max(self.from_m * 0.5),
            to_m: (self.to_m + per_m * beyond_m[1]).max(self.to_m * 0.5),
            ..self
        }
    }
}

/// The rotation whose y is `up` and whose x is as near to `across` as it can be.
pub fn upright(up: Vec3, across: Vec3) -> Quat {
    let y = up.normalize_or(Vec3::Y);
    let side = (across - y * across.dot(y)).normalize_or(y.any_orthonormal_vector());
    Quat::from_mat3(&Mat3::from_cols(side, y, side.cross(y))).normalize()
}

pub const fn rgb(red: f32, green: f32, blue: f32) -> Colour {
    Colour([red, green, blue])
}

/// Lighter (> 1) or darker (< 1).
pub fn shade(colour: Colour, factor: f32) -> Colour {
    Colour(colour.0.map(|c| (c * factor).clamp(0.0, 1.0)))
}

pub fn mix(a: Colour, b: Colour, share_of_b: f32) -> Colour {
    Colour(std::array::from_fn(|i| a.0[i] + (b.0[i] - a.0[i]) * share_of_b))
}

pub fn of(finish: Finish, colour: Colour) -> Material {
    Material { finish, colour }
}
