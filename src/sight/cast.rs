//! The plain ray caster: every ray against every solid. Slow, short, and what faster ones are checked against.
//!
//! A block is a convex solid of six planes, a mesh its triangles (Möller & Trumbore, J. Graphics Tools 2 (1997), 21).
//! Rounded edges are for pictures; here blocks are sharp.

use crate::staging::{Block, Shape, Solid, Tableau, TriangleMesh};
use glam::Vec3;

/// Where a ray first meets a solid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hit {
    pub distance_m: f32,
    /// Index into [`Tableau::solids`].
    pub solid: usize,
    /// Unit, out of a block; of a triangle the side that faces the ray.
    pub normal: Vec3,
}

/// The first solid within `max_m` along unit `direction`. A ray that starts inside a block does not see that block.
pub fn first_hit(tableau: &Tableau, origin: Vec3, direction: Vec3, max_m: f32) -> Option<Hit> {
    PlainCaster::new(tableau).first_hit(origin, direction, max_m, |_| false)
}

/// Whether anything lies within `max_m` along unit `direction`.
pub fn blocked(tableau: &Tableau, origin: Vec3, direction: Vec3, max_m: f32) -> bool {
    first_hit(tableau, origin, direction, max_m).is_some()
}

/// A tableau with a ball round each solid, so that most solids cost a ray one multiplication or two.
#[derive(Debug)]
pub struct PlainCaster<'a> {
    tableau: &'a Tableau,
    balls: Vec<Ball>,
}

#[derive(Debug, Clone, Copy)]
struct Ball {
    centre: Vec3,
    radius_squared: f32,
}

impl<'a> PlainCaster<'a> {
    pub fn new(tableau: &'a Tableau) -> Self {
        Self { tableau, balls: tableau.solids.iter().map(ball_round).collect() }
    }

    pub fn tableau(&self) -> &'a Tableau {
        self.tableau
    }

    /// As [`first_hit`], without the solids that `skip` (called with an index into [`Tableau::solids`]) says to leave
    /// out.
    pub fn first_hit(&self, origin: Vec3, direction: Vec3, max_m: f32, skip: impl Fn(usize) -> bool) -> Option<Hit> {
        let mut nearest: Option<Hit> = None;
        for (index, ball) in self.balls.iter().enumerate() {
            let reach_m = nearest.map_or(max_m, |hit| hit.distance_m);
            if !ball.meets(origin, direction, reach_m) || skip(index) {
                continue;
            }
            let met = enter(&self.tableau.solids[index], origin, direction, reach_m);
            if let Some((distance_m, normal)) = met.filter(|met| nearest.is_none_or(|hit| met.0 < hit.distance_m)) {
                nearest = Some(Hit { distance_m, solid: index, normal });
            }
        }
        nearest
    }

    /// Whether a solid that `skip` does not leave out lies within `max_m`.
    pub fn blocked(&self, origin: Vec3, direction: Vec3, max_m: f32, skip: impl Fn(usize) -> bool) -> bool {
        self.balls.iter().enumerate().any(|(index, ball)| {
            ball.meets(origin, direction, max_m)
                && !skip(index)
                && enter(&self.tableau.solids[index], origin, direction, max_m).is_some()
        })
    }
}

impl Ball {
    fn meets(&self, origin: Vec3, direction: Vec3, max_m: f32) -> bool {
        let to_centre = self.centre - origin;
        let along = to_centre.dot(direction);
        let centre_squared = to_centre.length_squared();
        let inside = centre_squared <= self.radius_squared;
        if !inside && along < 0.0 {
            return false;
        }
        let off_axis_squared = centre_squared - along * along;
        // A float's worth of slack: for huge, far grounds the subtraction loses digits.
        let slack = centre_squared * 1e-6;
        if off_axis_squared > self.radius_squared + slack {
            return false;
        }
        let half_chord = (self.radius_squared - off_axis_squared).max(0.0).sqrt();
        inside || along - half_chord <= max_m * 1.000_01
    }
}

fn ball_round(solid: &Solid) -> Ball {
    match &solid.shape {
        Shape::Block(block) => {
            let widest = Vec3::new(block.top.x.max(1.0), 1.0, block.top.y.max(1.0));
            Ball { centre: solid.at, radius_squared: (block.half_m * widest).length_squared() * 1.000_01 }
        }
        Shape::Mesh(mesh) => {
            let (low, high) = mesh
                .corners
                .iter()
                .fold((Vec3::INFINITY, Vec3::NEG_INFINITY), |(low, high), &corner| (low.min(corner), high.max(corner)));
            if mesh.corners.is_empty() {
                return Ball { centre: solid.at, radius_squared: -1.0 };
            }
            let middle = low.midpoint(high);
            let radius_squared =
                mesh.corners.iter().map(|corner| corner.distance_squared(middle)).fold(0.0, f32::max) * 1.000_01;
            Ball { centre: solid.at + solid.turned * middle, radius_squared }
        }
    }
}

/// Distance and normal where a ray enters a solid before `max_m`.
pub(super) fn enter(solid: &Solid, origin: Vec3, direction: Vec3, max_m: f32) -> Option<(f32, Vec3)> {
    let to_local = solid.turned.inverse();
    let (from, along) = (to_local * (origin - solid.at), to_local * direction);
    let (distance_m, normal) = match &solid.shape {
        Shape::Block(block) => enter_block(block, from, along, max_m)?,
        Shape::Mesh(mesh) => enter_mesh(mesh, from, along, max_m)?,
    };
    Some((distance_m, solid.turned * normal))
}

/// The six planes of a tapered block, outward normal and distance from its centre; normals are not unit where it
/// tapers.
fn planes(block: &Block) -> [(Vec3, f32); 6] {
    let half = block.half_m;
    let (lean_x, lean_z) = (lean(half.x, block.top.x, half.y), lean(half.z, block.top.y, half.y));
    let middle_x = half.x * (1.0 + block.top.x) / 2.0;
    let middle_z = half.z * (1.0 + block.top.y) / 2.0;
    [
        (Vec3::Y, half.y),
        (Vec3::NEG_Y, half.y),
        (Vec3::new(1.0, lean_x, 0.0), middle_x),
        (Vec3::new(-1.0, lean_x, 0.0), middle_x),
        (Vec3::new(0.0, lean_z, 1.0), middle_z),
        (Vec3::new(0.0, lean_z, -1.0), middle_z),
    ]
}

/// A side moves in by (1 − top) of its half width over the full height: its normal leans up by that slope. What is flat
/// has upright sides half-way between.
pub(super) fn lean(half_width_m: f32, top: f32, half_height_m: f32) -> f32 {
    if half_height_m < 1e-6 { 0.0 } else { half_width_m * (1.0 - top) / (2.0 * half_height_m) }
}

/// Whether a point of the block's own space lies within it.
pub(super) fn holds(block: &Block, point: Vec3) -> bool {
    planes(block).iter().all(|(normal, distance)| point.dot(*normal) < *distance)
}

fn enter_block(block: &Block, from: Vec3, along: Vec3, max_m: f32) -> Option<(f32, Vec3)> {
    let (mut enters, mut leaves) = (f32::NEG_INFINITY, max_m);
    let mut face = Vec3::ZERO;
    for (normal, distance) in planes(block) {
        let outside = from.dot(normal) - distance;
        let speed = along.dot(normal);
        if speed == 0.0 {
            if outside > 0.0 {
                return None;
            }
            continue;
        }
        let at = -outside / speed;
        if speed < 0.0 {
            if at > enters {
                (enters, face) = (at, normal);
            }
        } else {
            leaves = leaves.min(at);
        }
        if enters > leaves {
            return None;
        }
    }
    (enters >= 0.0 && enters.is_finite()).then(|| (enters, face.normalize_or_zero()))
}

fn enter_mesh(mesh: &TriangleMesh, from: Vec3, along: Vec3, max_m: f32) -> Option<(f32, Vec3)> {
    let corner = |index: u32| mesh.corners.get(index as usize).copied();
    let mut nearest: Option<(f32, Vec3)> = None;
    for &[a, b, c] in &mesh.triangles {
        // A triangle that names a corner which does not exist is not there.
        let (Some(a), Some(b), Some(c)) = (corner(a), corner(b), corner(c)) else { continue };
        let (ab, ac) = (b - a, c - a);
        let across = along.cross(ac);
        let volume = ab.dot(across);
        if volume.abs() < 1e-12 {
            continue;
        }
        let to_from = from - a;
        let u = to_from.dot(across) / volume;
        let beside = to_from.cross(ab);
        let v = along.dot(beside) / volume;
        let distance_m = ac.dot(beside) / volume;
        let reach_m = nearest.map_or(max_m, |(distance_m, _)| distance_m);
        if u >= 0.0 && v >= 0.0 && u + v <= 1.0 && distance_m >= 0.0 && distance_m <= reach_m {
            let normal = ab.cross(ac).normalize_or_zero();
            nearest = Some((distance_m, if normal.dot(along) > 0.0 { -normal } else { normal }));
        }
    }
    nearest
}
