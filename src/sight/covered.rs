//! What a camera covers of a horizontal plane: of the floor, or of the height of heads.
//!
//! Worked out, not sampled. A solid between the plane and the eye's height hides what lies in its shadow, thrown from the
//! eye as from a lamp, and the shadow of a convex solid is the convex hull of its corners' shadows. What is covered is the
//! part of the plane inside the angle of view, less all shadows. A plane above the eye is the same upside down.

use super::caster::{corners_of, triangles_of};
use crate::optics::Camera;
use crate::staging::{OwnerIx, Part, Shape, Solid, Tableau};
use glam::{DVec2, DVec3, Vec2, Vec3};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::Overlay;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::point::IntPoint;
use std::f64::consts::{PI, TAU};

/// The eye is never nearer to the plane than this.
const NEAREST_M: f64 = 0.001;
/// Flats of ground that rise less than this over the plane lie on it and hide nothing: lawns, room floors and runners are
/// laid on each other 5 mm at a time.
const FLAT_M: f64 = 0.05;
/// Solids are cut off this share of the eye's height below the eye. There, shadows end some hundred thousand times as far
/// away as what throws them.
const UNDER_THE_EYE: f64 = 1e-5;
const LARGEST_REACH_M: f64 = 1000.0;
/// How far the arc at the end of the reach may be off.
const ARC_ERROR_M: f64 = 0.001;
/// Steps of the grid that rings are joined on, from the eye to the end of the reach: 6 µm of 25 m. On a finer one, sides
/// that run along each other are cut into thousands of pieces.
const STEPS: f64 = (1 << 22) as f64;
/// So many shadows are joined at once. More cross each other too often; fewer take more rounds.
const AT_ONCE: usize = 8;
/// So many of the largest shadows are looked through for smaller ones that lie within them: those of walls, tables and
/// whoever stands close. *Our own.*
const LARGEST: usize = 32;
/// A square centimetre.
const SLIVER_M2: f64 = 1e-4;

/// What a camera covers of a plane, as outlines.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Covered {
    /// Height of the plane in the world: as asked for, or a millimetre off the eye's height if it was nearer.
    pub height_m: f32,
    pub patches: Vec<Patch>,
}

/// One connected piece, as rings on the floor (x across, z along, metres) whose last corner joins the first.
#[derive(Debug, Clone, PartialEq)]
pub struct Patch {
    /// Turns from x towards z: clockwise on a floor plan with z down the page.
    pub outline: Vec<Vec2>,
    /// Turn the other way. Another patch may lie in a hole.
    pub holes: Vec<Vec<Vec2>>,
}

/// The part of the plane `height_m` over the plan's floor that is inside the picture of `camera`, no farther than
/// `reach_m` (at most a kilometre) from the spot under it, and seen from its eye: as a ray caster sees it, through an ideal
/// pinhole, with sharp blocks.
///
/// What stands in the plane, such as people at the height of heads, hides what is behind it, and its own cross-section is
/// none of the plane: the outline runs along its near side, and touches whoever is seen there.
///
/// What lets one see through it hides nothing. `taker`, who holds the camera, isn't there, and neither are blocks round the
/// eye; meshes are surfaces. Patches and holes under a square centimetre are left out. A camera with numbers that are none
/// covers nothing.
pub fn covered(tableau: &Tableau, camera: &Camera, height_m: f32, reach_m: f32, taker: Option<OwnerIx>) -> Covered {
    let Some(view) = View::new(camera, height_m, reach_m) else { return Covered { height_m, patches: vec![] } };
    let hides = |solid: &&Solid| !solid.is_seen_through() && Some(solid.owner) != taker && !view.has_on_it(solid);
    let mut shadows = Vec::new();
    for solid in tableau.solids.iter().filter(hides) {
        match &solid.shape {
            Shape::Block(block) => {
                let eye = solid.turned.inverse() * (camera.eye - solid.at);
                if block.half_m.cmpge(Vec3::ZERO).all() && !super::cast::holds(block, eye) {
                    shadows.extend(view.shadow::<8>(corners_of(solid), |a, b| (a ^ b).is_power_of_two()));
                }
            }
            Shape::Mesh(_) => shadows
                .extend(triangles_of(solid).filter_map(|corners| view.shadow::<3>(corners.into_iter(), |_, _| true))),
        }
    }
    view.without(shadows)
}

impl Covered {
    pub fn area_m2(&self) -> f64 {
        let rings = self.patches.iter().flat_map(Patch::rings);
        let signed_m2 = |ring: &Vec<Vec2>| area(&ring.iter().map(|spot| spot.as_dvec2()).collect::<Vec<_>>());
        rings.fold(0.0, |sum, ring| sum + signed_m2(ring))
    }

    /// Whether a spot of the plane is covered.
    pub fn holds(&self, spot: Vec2) -> bool {
        let rings = self.patches.iter().flat_map(Patch::rings);
        rings.filter(|ring| crossings(ring, spot) % 2 == 1).count() % 2 == 1
    }
}

impl Patch {
    pub fn rings(&self) -> impl Iterator<Item = &Vec<Vec2>> {
        std::iter::once(&self.outline).chain(&self.holes)
    }
}

/// Sides of a ring that a ray from a spot along x crosses.
fn crossings(ring: &[Vec2], spot: Vec2) -> usize {
    let crossed = |(a, b): (Vec2, Vec2)| {
        (a.y > spot.y) != (b.y > spot.y) && spot.x < a.x + (spot.y - a.y) / (b.y - a.y) * (b.x - a.x)
    };
    sides(ring).filter(|side| crossed(*side)).count()
}

fn sides<T: Copy>(ring: &[T]) -> impl Iterator<Item = (T, T)> + '_ {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

/// By the shoelace formula, positive if the ring turns from x towards z.
fn area(ring: &[DVec2]) -> f64 {
    sides(ring).map(|(a, b)| a.perp_dot(b)).sum::<f64>() / 2.0
}

/// An eye over a plane. In its own space, y counts from the plane to the eye, x and z from the spot under the eye.
struct View {
    eye: DVec3,
    plane_m: f64,
    /// 1, or −1 if the plane is above the eye.
    up: f64,
    over_plane_m: f64,
    /// Inward normals of the picture's four sides, which go through the eye, own space.
    sides: [DVec3; 4],
    reach_m: f64,
}

/// What is on the positive side of a line: normal and distance.
type Half = (DVec2, f64);

impl View {
    /// `None` if numbers are none, or nothing is in reach.
    fn new(camera: &Camera, height_m: f32, reach_m: f32) -> Option<Self> {
        let eye = camera.eye.as_dvec3();
        let asked_m = f64::from(height_m) - eye.y;
        let up = if asked_m > 0.0 { -1.0 } else { 1.0 };
        let over_plane_m = asked_m.abs().max(NEAREST_M);
        let plane_m = if asked_m.abs() < NEAREST_M { eye.y - up * NEAREST_M } else { f64::from(height_m) };
        let half = camera.sensor_m.map(|side_m| side_m / (2.0 * camera.focal_m));
        let turned = camera.turned.as_dquat();
        let sides = [
            DVec3::new(1.0, 0.0, -half[0]),
            DVec3::new(-1.0, 0.0, -half[0]),
            DVec3::new(0.0, 1.0, -half[1]),
            DVec3::new(0.0, -1.0, -half[1]),
        ]
        .map(|inward| turned * inward * DVec3::new(1.0, up, 1.0));
        let numbers = eye.is_finite() && asked_m.is_finite() && sides.iter().all(|side| side.is_finite());
        let view = Self { eye, plane_m, up, over_plane_m, sides, reach_m: f64::from(reach_m).min(LARGEST_REACH_M) };
        (numbers && half.iter().all(|half| *half > 0.0) && reach_m > 0.0).then_some(view)
    }

    fn own(&self, place: Vec3) -> DVec3 {
        let place = place.as_dvec3();
        DVec3::new(place.x - self.eye.x, (place.y - self.plane_m) * self.up, place.z - self.eye.z)
    }

    /// Whether a solid is a flat on the plane.
    fn has_on_it(&self, solid: &Solid) -> bool {
        solid.part == Part::Ground && corners_of(solid).all(|corner| self.own(corner).y < FLAT_M)
    }

    /// The plane inside the picture's four sides.
    fn halves(&self) -> [Half; 4] {
        self.sides.map(|side| (DVec2::new(side.x, side.z), side.y * self.over_plane_m))
    }

    /// The shadow of the convex hull of some corners, as far as it may matter; `joined` says between which of them edges
    /// run.
    fn shadow<const N: usize>(
        &self,
        corners: impl Iterator<Item = Vec3>,
        joined: impl Fn(usize, usize) -> bool,
    ) -> Option<Vec<DVec2>> {
        let mut own = [DVec3::NAN; N];
        own.iter_mut().zip(corners).for_each(|(own, corner)| *own = self.own(corner));
        let top_m = self.over_plane_m * (1.0 - UNDER_THE_EYE);
        let beside = |side: &DVec3| {
            own.iter().all(|corner| side.dot(DVec3::new(corner.x, corner.y - self.over_plane_m, corner.z)) < 0.0)
        };
        let apart = own.iter().all(|corner| corner.y <= 0.0)
            || own.iter().all(|corner| corner.y >= top_m)
            || self.sides.iter().any(beside);
        if apart || !own.iter().all(|corner| corner.is_finite()) {
            return None;
        }
        let thrown = |at: DVec3| DVec2::new(at.x, at.z) * (self.over_plane_m / (self.over_plane_m - at.y));
        let mut spots = Vec::with_capacity(2 * N);
        for (i, &a) in own.iter().enumerate() {
            if (0.0..=top_m).contains(&a.y) {
                spots.push(thrown(a));
            }
            for (_, &b) in own.iter().enumerate().skip(i + 1).filter(|(j, _)| joined(i, *j)) {
                for cut_m in [0.0, top_m].into_iter().filter(|cut_m| (a.y < *cut_m) != (b.y < *cut_m)) {
                    let cut = a.lerp(b, (cut_m - a.y) / (b.y - a.y));
                    spots.push(thrown(DVec3::new(cut.x, cut_m, cut.z)));
                }
            }
        }
        let mut shadow = hull(spots);
        for half in self.halves() {
            cut(&mut shadow, half);
        }
        // A little more than the reach, so that no side of it runs along the outline.
        for way in [DVec2::X, DVec2::NEG_X, DVec2::Y, DVec2::NEG_Y] {
            cut(&mut shadow, (way, -1.01 * self.reach_m));
        }
        (area(&shadow) > 0.0).then_some(shadow)
    }

    /// The plane inside the picture and within reach, without shadows, in the world.
    fn without(&self, shadows: Vec<Vec<DVec2>>) -> Covered {
        let corners = (PI / (1.0 - ARC_ERROR_M / self.reach_m.max(0.01)).acos()).ceil();
        let corner = |i: u32| DVec2::from_angle(TAU * f64::from(i) / corners) * self.reach_m;
        let mut wedge: Vec<DVec2> = (0..corners as u32).map(corner).collect();
        for half in self.halves() {
            cut(&mut wedge, half);
        }
        let grid = Grid { step_m: self.reach_m / STEPS };
        let shadows: Vec<Ring> = shadows.iter().map(|shadow| grid.ring(shadow)).collect();
        let left = Overlay::from_subj_and_clip(&grid.ring(&wedge), &joined(&outer(shadows)))
            .overlay(OverlayRule::Difference, FillRule::NonZero);
        let under_eye = DVec2::new(self.eye.x, self.eye.z);
        let in_world = |ring: Ring| {
            let ring = grid.spots(&ring);
            let kept = area(&ring).abs() >= SLIVER_M2;
            kept.then(|| ring.iter().map(|spot| (*spot + under_eye).as_vec2()).collect::<Vec<_>>())
        };
        let patch = |rings: Vec<Ring>| {
            let mut rings = rings.into_iter().map(in_world);
            Some(Patch { outline: rings.next()??, holes: rings.flatten().collect() })
        };
        Covered { height_m: self.plane_m as f32, patches: left.into_iter().filter_map(patch).collect() }
    }
}

type Ring = Vec<IntPoint<i32>>;

/// Whole numbers for coordinates, so that rings that were joined meet exactly when joined again.
struct Grid {
    step_m: f64,
}

impl Grid {
    fn ring(&self, spots: &[DVec2]) -> Ring {
        let on_grid = |m: f64| (m / self.step_m).round() as i32;
        spots.iter().map(|spot| IntPoint::new(on_grid(spot.x), on_grid(spot.y))).collect()
    }

    fn spots(&self, ring: &Ring) -> Vec<DVec2> {
        ring.iter().map(|point| DVec2::new(f64::from(point.x), f64::from(point.y)) * self.step_m).collect()
    }
}

/// Convex rings without those that lie within one of the largest: joining costs by the ring.
fn outer(rings: Vec<Ring>) -> Vec<Ring> {
    let bounds = |ring: &Ring| {
        let least = |side: fn(&IntPoint<i32>) -> i32| ring.iter().map(side).min().unwrap_or(0);
        [least(|at| at.x), least(|at| at.y), least(|at| -at.x), least(|at| -at.y)]
    };
    let half_round =
        |[left, near, right, far]: [i32; 4]| -i64::from(left) - i64::from(near) - i64::from(right) - i64::from(far);
    let bounded: Vec<[i32; 4]> = rings.iter().map(bounds).collect();
    let mut largest: Vec<usize> = (0..rings.len()).collect();
    largest.sort_by_key(|ring| std::cmp::Reverse(half_round(bounded[*ring])));
    largest.truncate(LARGEST);
    let within = |ring: usize, other: usize| {
        bounded[ring].iter().zip(bounded[other]).all(|(inner, outer)| *inner >= outer)
            && sides(&rings[other]).all(|(a, b)| rings[ring].iter().all(|at| is_inward(a, b, *at)))
    };
    let kept = |ring: &usize| largest.contains(ring) || !largest.iter().any(|other| within(*ring, *other));
    (0..rings.len()).filter(kept).map(|ring| rings[ring].clone()).collect()
}

/// Whether a point lies on the inner side of the line from a to b, or on it.
fn is_inward(a: IntPoint<i32>, b: IntPoint<i32>, at: IntPoint<i32>) -> bool {
    let way = |to: IntPoint<i32>| [i64::from(to.x) - i64::from(a.x), i64::from(to.y) - i64::from(a.y)];
    let ([bx, by], [x, y]) = (way(b), way(at));
    bx * y - by * x >= 0
}

/// Outlines and holes of what some rings cover together. Neighbours in the tableau are mostly neighbours on the floor, so
/// they are joined first: all at once, every long shadow would have to be cut with every other.
fn joined(rings: &[Ring]) -> Vec<Ring> {
    let join = |rings: &[Ring]| {
        let shapes = Overlay::from_subj(rings).overlay(OverlayRule::Subject, FillRule::NonZero);
        shapes.into_iter().flatten().collect()
    };
    if rings.len() <= AT_ONCE {
        return join(rings);
    }
    let (first, second) = rings.split_at(rings.len() / 2);
    let (first, second) = rayon::join(|| joined(first), || joined(second));
    join(&[first, second].concat())
}

/// The convex hull, turning from x towards z (A. M. Andrew, Inf. Process. Lett. 9 (1979), 216).
pub(crate) fn hull(mut spots: Vec<DVec2>) -> Vec<DVec2> {
    spots.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let mut ring: Vec<DVec2> = Vec::with_capacity(spots.len() + 1);
    for way in [0, 1] {
        let begin = ring.len();
        let mut add = |spot: DVec2| {
            while let [.., a, b] = ring[begin..] {
                if (b - a).perp_dot(spot - b) > 0.0 {
                    break;
                }
                ring.pop();
            }
            ring.push(spot);
        };
        if way == 0 {
            spots.iter().copied().for_each(&mut add);
        } else {
            spots.iter().rev().copied().for_each(&mut add);
        }
        // The last corner begins the way back.
        ring.pop();
    }
    ring
}

/// Cuts off of a convex ring what is on the negative side of a line (I. E. Sutherland & G. W. Hodgman, Commun. ACM 17
/// (1974), 32).
fn cut(ring: &mut Vec<DVec2>, (normal, distance): Half) {
    let inside = |spot: DVec2| spot.dot(normal) - distance;
    if ring.iter().all(|spot| inside(*spot) >= 0.0) {
        return;
    }
    let mut left = Vec::with_capacity(ring.len() + 1);
    for (a, b) in sides(ring) {
        let (from, to) = (inside(a), inside(b));
        if from >= 0.0 {
            left.push(a);
        }
        if (from < 0.0) != (to < 0.0) {
            left.push(a.lerp(b, from / (from - to)));
        }
    }
    *ring = left;
}
