//! Ground, patches on it, room floors and aisle runners: flats, each 5 mm above those it lies on, since two flats in
//! one plane would flicker in pictures.

use crate::plan::{Colour, Surface, Venue};
use crate::staging::carve::{Carver, Place, cut, of};
use crate::staging::floor::plan_spot;
use crate::staging::tableau::{Finish, Material, Part, Shape, Solid, TriangleMesh};
use glam::{Quat, Vec2, Vec3};
use std::sync::Arc;

/// Side of the square of ground.
const GROUND_M: f32 = 600.0;

/// A flat over the one it lies on.
const LAYER_M: f32 = 0.005;

pub fn carve_ground(carver: &mut Carver, venue: &Venue) {
    let centre = venue.surround.centre;
    let size = GROUND_M.max(2.2 * venue.surround.half_m.max_element() + 40.0);
    let slab = cut(size, 0.5, size).at(0.0, -0.25, 0.0);
    carver.add(Place::facing(centre, 0.0, 0.0), slab, Part::Ground, plain(venue.ground));
    let mut laid: Vec<Laid> = Vec::new();
    for patch in &venue.patches {
        lay(carver, &mut laid, &patch.outline, plain(patch.surface));
    }
    for room in &venue.rooms {
        let half = room.size_m * 0.5;
        let outline = rectangle(half, room.centre, room.heading);
        lay(carver, &mut laid, &outline, plain(room.floor));
    }
    for aisle in &venue.aisles {
        let Some(colour) = aisle.runner else { continue };
        let way = (aisle.to - aisle.from).normalize_or(Vec2::Y);
        let across = Vec2::new(-way.y, way.x) * aisle.width_m * 0.5;
        let outline = [aisle.from + across, aisle.to + across, aisle.to - across, aisle.from - across];
        lay(carver, &mut laid, &outline, of(Finish::Cloth, colour));
    }
}

fn plain(surface: Surface) -> Material {
    of(Finish::Surface(surface), Colour([1.0; 3]))
}

pub fn rectangle(half: Vec2, centre: Vec2, heading: f32) -> [Vec2; 4] {
    [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
        .map(|(x, y)| plan_spot(Vec2::new(x, y) * half, centre, heading))
}

struct Laid {
    low: Vec2,
    high: Vec2,
    layer: u32,
}

/// Lays a flat on the highest of those its bounds touch.
fn lay(carver: &mut Carver, laid: &mut Vec<Laid>, outline: &[Vec2], material: Material) {
    let low = outline.iter().copied().fold(Vec2::INFINITY, Vec2::min);
    let high = outline.iter().copied().fold(Vec2::NEG_INFINITY, Vec2::max);
    let under = laid.iter().filter(|l| l.low.cmplt(high).all() && l.high.cmpgt(low).all());
    let layer = under.map(|l| l.layer).max().unwrap_or(0) + 1;
    laid.push(Laid { low, high, layer });
    let Some(mesh) = flat(outline, layer as f32 * LAYER_M) else { return };
    carver.push(Solid {
        shape: Shape::Mesh(Arc::new(mesh)),
        at: Vec3::ZERO,
        turned: Quat::IDENTITY,
        owner: carver.owner(),
        part: Part::Ground,
        material,
    });
}

/// An outline as triangles that face up, at a height. `None` for fewer than three corners or no area.
fn flat(outline: &[Vec2], y_m: f32) -> Option<TriangleMesh> {
    let mut ring: Vec<u32> = (0..outline.len() as u32).collect();
    let at = |i: u32| outline[i as usize];
    let area: f32 = (0..outline.len())
        .map(|i| {
            let (a, b) = (outline[i], outline[(i + 1) % outline.len()]);
            a.x * b.y - b.x * a.y
        })
        .sum();
    if outline.len() < 3 || area.abs() < 1e-6 {
        return None;
    }
    // With x right and z down the page, counter-clockwise seen from above has negative area.
    if area > 0.0 {
        ring.reverse();
    }
    let turn = |a: Vec2, b: Vec2, c: Vec2| (b - a).perp_dot(c - a);
    let mut triangles = Vec::with_capacity(ring.len().saturating_sub(2));
    while ring.len() > 3 {
        let n = ring.len();
        let ear = (0..n).find(|&i| {
            let (a, b, c) = (at(ring[(i + n - 1) % n]), at(ring[i]), at(ring[(i + 1) % n]));
            turn(a, b, c) < 0.0
                && ring.iter().all(|&k| {
                    let p = at(k);
                    p == a || p == b || p == c || turn(a, b, p) > 0.0 || turn(b, c, p) > 0.0 || turn(c, a, p) > 0.0
                })
        });
        // A ring that crosses itself has no ear left; cutting any corner still fills most of it.
        let i = ear.unwrap_or(0);
        triangles.push([ring[(i + n - 1) % n], ring[i], ring[(i + 1) % n]]);
        ring.remove(i);
    }
    triangles.push([ring[0], ring[1], ring[2]]);
    let corners = outline.iter().map(|p| Vec3::new(p.x, y_m, p.y)).collect();
    Some(TriangleMesh { corners, triangles })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The triangles of any simple outline cover its area once (shoelace formula) and face up.
    #[test]
    fn triangles_cover_the_outline_and_face_up() {
        let l_shape = [(0.0, 0.0), (4.0, 0.0), (4.0, 1.0), (1.0, 1.0), (1.0, 3.0), (0.0, 3.0)];
        let comb = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (5.0, 4.0), (5.0, 1.0), (3.0, 1.0), (3.0, 4.0), (0.0, 4.0)];
        for (points, area) in [(&l_shape[..], 6.0_f32), (&comb[..], 18.0)] {
            for reversed in [false, true] {
                let mut outline: Vec<Vec2> = points.iter().map(|p| Vec2::new(p.0, p.1)).collect();
                if reversed {
                    outline.reverse();
                }
                let mesh = flat(&outline, 0.1).expect("a mesh");
                let mut covered = 0.0;
                for [a, b, c] in &mesh.triangles {
                    let [a, b, c] = [a, b, c].map(|i| mesh.corners[*i as usize]);
                    let normal = (b - a).cross(c - a);
                    assert!(normal.y > 0.0, "{outline:?}: triangle faces {normal}");
                    covered += normal.y * 0.5;
                }
                assert!((covered - area).abs() < 1e-4, "{outline:?}: covers {covered}, expected {area}");
            }
        }
    }

    #[test]
    fn no_mesh_from_a_line() {
        assert!(flat(&[Vec2::ZERO, Vec2::X], 0.0).is_none());
        assert!(flat(&[Vec2::ZERO, Vec2::X, Vec2::X * 2.0], 0.0).is_none());
    }
}
