//! The fast caster against its slow twin: the same first hits, on ordinary and on broken geometry.

mod common;

use common::block;
use glam::{Quat, Vec2, Vec3, vec2, vec3};
use standpoint::optics::Camera;
use standpoint::plan::load;
use standpoint::sight::{Caster, IdImage, Pane, PlainCaster};
use standpoint::staging::{Block, Shape, Solid, Tableau, TriangleMesh, rehearse, stage};
use std::path::Path;
use std::sync::Arc;

/// Evenly spread numbers, 0..1: the fractional parts of multiples of the golden ratio's powers (R sequences, M. Roberts).
struct Spread(u32);

impl Spread {
    fn next(&mut self) -> f32 {
        self.0 += 1;
        // A hash, so that neighbours differ (finaliser of MurmurHash3).
        let mut h = self.0.wrapping_mul(0x9E37_79B9);
        h ^= h >> 16;
        h = h.wrapping_mul(0x85EB_CA6B);
        h ^= h >> 13;
        h = h.wrapping_mul(0xC2B2_AE35);
        h ^= h >> 16;
        (h >> 8) as f32 / (1u32 << 24) as f32
    }

    fn within(&mut self, half: Vec3) -> Vec3 {
        (vec3(self.next(), self.next(), self.next()) * 2.0 - 1.0) * half
    }

    fn direction(&mut self) -> Vec3 {
        loop {
            let it = self.within(Vec3::ONE);
            if (0.01..1.0).contains(&it.length_squared()) {
                return it.normalize();
            }
        }
    }
}

fn demo(name: &str, moment: &str) -> Tableau {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name);
    let (plan, _) = rehearse(load(&path).expect("a valid plan").plan);
    let at_s = plan.moments.iter().find(|it| it.id == moment).map(|it| it.start_s + it.length_s / 2.0);
    stage(&plan, at_s.expect("the moment"))
}

/// Casts rays both ways and says how many differ; distances within rounding count as the same.
fn differ(tableau: &Tableau, rays: impl Iterator<Item = (Vec3, Vec3)>) -> (usize, usize, usize) {
    let (fast, plain) = (Caster::new(tableau), PlainCaster::new(tableau));
    fast.validate().expect("a sound tree");
    let (mut all, mut hits, mut wrong) = (0, 0, 0);
    for (origin, direction) in rays {
        all += 1;
        let a = fast.first_hit(origin, direction, 500.0, |_| false);
        let b = plain.first_hit(origin, direction, 500.0, |_| false);
        hits += usize::from(b.is_some());
        let same = match (a, b) {
            (None, None) => true,
            (Some(a), Some(b)) => {
                (a.distance_m - b.distance_m).abs() <= 1e-4 * b.distance_m.max(1.0)
                    && (a.solid == b.solid || (a.distance_m - b.distance_m).abs() <= 2e-6 * b.distance_m.max(1.0))
            }
            _ => false,
        };
        if !same && wrong < 5 {
            println!("{origin} {direction}: {a:?} instead of {b:?}");
        }
        wrong += usize::from(!same);
        let blocked = fast.blocked(origin, direction, 5.0, |_| false);
        assert!(blocked == a.is_some_and(|hit| hit.distance_m <= 5.0), "{origin} {direction}: {a:?}");
    }
    (all, hits, wrong)
}

#[test]
fn demos_by_random_rays() {
    for (name, moment) in [("orchard.ron", "kiss"), ("chapel.ron", "blessing"), ("loft.ron", "circling")] {
        let tableau = demo(name, moment);
        let mut chance = Spread(7);
        let rays = (0..20_000).map(|_| (chance.within(vec3(9.0, 1.5, 12.0)) + vec3(0.0, 1.6, 3.0), chance.direction()));
        let (all, hits, wrong) = differ(&tableau, rays);
        assert!(hits * 2 > all && wrong <= 2, "{name}: {wrong} of {all} rays differ, {hits} hit");
    }
}

/// Turned, tapered, flat, tiny and huge blocks and loose triangles, thrown together; rays from everywhere.
#[test]
fn a_heap_by_random_rays() {
    let mut chance = Spread(99);
    let mut tableau = Tableau::default();
    for number in 0..700 {
        let size = [0.02, 0.3, 1.0, 20.0][number % 4];
        let mut solid: Solid = block(0, chance.within(Vec3::splat(6.0)), chance.within(Vec3::splat(size)).abs());
        let turn = chance.direction();
        solid.turned = Quat::from_axis_angle(turn, 6.0 * chance.next());
        if let Shape::Block(block) = &mut solid.shape {
            block.top = vec2(1.6 * chance.next(), 1.6 * chance.next());
            if number % 7 == 0 {
                block.half_m.y = 0.0;
            }
        }
        if number % 5 == 0 {
            let corners = (0..9).map(|_| chance.within(Vec3::splat(size))).collect();
            solid.shape =
                Shape::Mesh(Arc::new(TriangleMesh { corners, triangles: vec![[0, 1, 2], [3, 4, 5], [6, 7, 8]] }));
        }
        tableau.solids.push(solid);
    }
    let rays = (0..20_000).map(|_| (chance.within(Vec3::splat(12.0)), chance.direction()));
    let (all, hits, wrong) = differ(&tableau, rays);
    assert!(hits * 2 > all && wrong <= all / 2000, "{wrong} of {all} rays differ, {hits} hit");
}

/// Along axes, edges and faces, from corners and middles, where slabs and planes divide by nothing.
#[test]
fn a_grid_of_blocks_by_rays_along_their_edges() {
    let mut tableau = Tableau::default();
    for i in 0..125 {
        let at = vec3((i % 5) as f32, (i / 5 % 5) as f32, (i / 25) as f32) * 2.0;
        tableau.solids.push(block(0, at, Vec3::splat(0.5)));
    }
    let spots = [-3.0f32, -0.5, 0.0, 0.25, 0.5, 1.0, 1.5, 2.0, 3.5];
    let count = spots.len();
    let origins = (0..count.pow(3)).map(|i| vec3(spots[i % count], spots[i / count % count], spots[i / count / count]));
    let ways = [
        Vec3::X,
        Vec3::NEG_X,
        Vec3::Y,
        Vec3::NEG_Y,
        Vec3::Z,
        Vec3::NEG_Z,
        vec3(1.0, 1.0, 0.0).normalize(),
        vec3(-1.0, 1.0, 1.0).normalize(),
        vec3(1.0, 0.0, -1.0).normalize(),
    ];
    let (all, hits, wrong) = differ(&tableau, origins.flat_map(|at| ways.iter().map(move |&way| (at, way))));
    assert!(hits > all / 4 && wrong == 0, "{wrong} of {all} rays differ, {hits} hit");
}

/// Pixel by pixel what rays one by one say, on odd sizes, upright and slanting, with solids left out, beside the picture.
#[test]
fn id_images_ray_by_ray() {
    let tableau = demo("orchard.ron", "kiss");
    let caster = Caster::new(&tableau);
    let skip = |solid: usize| solid.is_multiple_of(5);
    let views = [
        (vec3(0.4, 1.6, 9.0), vec3(0.0, 1.2, 0.0), 0.035, [0.036, 0.024], [151, 101]),
        (vec3(-4.0, 0.9, 3.0), vec3(1.0, 1.5, -1.0), 0.085, [0.024, 0.036], [67, 99]),
        (vec3(2.0, 9.0, 6.0), vec3(0.0, 0.0, 0.0), 0.020, [0.036, 0.024], [96, 64]),
    ];
    for (eye, target, focal_m, sensor_m, size) in views {
        let turned = Camera::look_at(eye, target);
        let camera =
            Camera { eye, turned, sensor_m, focal_m, f_number: 4.0, focus_m: 5.0, shutter_s: 0.01, iso: 100.0 };
        let picture = Pane::picture(&camera, size);
        let beside = picture.part([-40, size[1] as i32 - 9], [37, 30]);
        let mut differ = 0;
        for pane in [picture, beside] {
            let image = caster.ids(pane, skip);
            assert_eq!(image.solids.len(), (pane.width * pane.height) as usize);
            for y in 0..pane.height {
                for x in 0..pane.width {
                    let towards = pane.towards(x, y);
                    let ray = caster.first_hit(eye, towards.normalize(), 1e4, skip);
                    let pixel = (y * pane.width + x) as usize;
                    let same = match (ray, image.solids[pixel]) {
                        (None, IdImage::NOTHING) => true,
                        (Some(hit), solid) => {
                            let distance_m = image.depths_m[pixel] * towards.length();
                            (distance_m - hit.distance_m).abs() < 1e-4 * hit.distance_m && hit.solid == solid as usize
                        }
                        _ => false,
                    };
                    differ += usize::from(!same);
                }
            }
        }
        assert!(differ <= 3, "{differ} pixels differ from {eye}");
    }
    // The middle of a pixel is where the camera's own projection has it.
    let (eye, sensor_m) = (vec3(0.4, 1.6, 9.0), [0.036, 0.024]);
    let turned = Camera::look_at(eye, vec3(0.0, 1.2, 0.0));
    let camera =
        Camera { eye, turned, sensor_m, focal_m: 0.05, f_number: 4.0, focus_m: 5.0, shutter_s: 0.01, iso: 100.0 };
    let pane = Pane::picture(&camera, [300, 200]);
    let (u, v, depth) = camera.image_from_world(eye + pane.towards(37, 11) * 4.0, 300.0).expect("ahead");
    assert!((u - 37.5).abs() < 1e-3 && (v - 11.5).abs() < 1e-3 && (depth - 4.0).abs() < 1e-4, "{u} {v} {depth}");
}

/// Coplanar faces: of several solids at one distance the first in the tableau is seen, whichever way they are asked.
#[test]
fn the_first_of_equals_is_seen() {
    let mut tableau = Tableau::default();
    for half in [1.0, 0.5, 2.0] {
        tableau.solids.push(block(0, vec3(0.0, 0.0, -5.0 - half), Vec3::splat(half)));
    }
    let fast = Caster::new(&tableau).first_hit(Vec3::ZERO, Vec3::NEG_Z, 100.0, |_| false);
    let plain = PlainCaster::new(&tableau).first_hit(Vec3::ZERO, Vec3::NEG_Z, 100.0, |_| false);
    assert_eq!(fast.map(|hit| hit.solid), Some(0));
    assert_eq!(plain.map(|hit| hit.solid), Some(0));
    let second = Caster::new(&tableau).first_hit(Vec3::ZERO, Vec3::NEG_Z, 100.0, |solid| solid == 0);
    assert_eq!(second.map(|hit| hit.solid), Some(1));
}

#[test]
fn broken_geometry_is_not_there() {
    let mut tableau = Tableau::default();
    for value in [f32::NAN, f32::INFINITY] {
        let mut solid = block(0, Vec3::ZERO, Vec3::ONE);
        solid.at.x = value;
        tableau.solids.push(solid.clone());
        solid.at = Vec3::ZERO;
        solid.turned = Quat::from_xyzw(value, 0.0, 0.0, 1.0);
        tableau.solids.push(solid.clone());
        solid.turned = Quat::IDENTITY;
        solid.shape = Shape::Block(Block { half_m: vec3(1.0, value, 1.0), top: Vec2::ONE, edge_m: 0.0 });
        tableau.solids.push(solid.clone());
        let corners = vec![Vec3::splat(value), Vec3::X, Vec3::Y, Vec3::Z * 2.0];
        solid.shape = Shape::Mesh(Arc::new(TriangleMesh { corners, triangles: vec![[0, 1, 2], [1, 2, 9], [1, 1, 1]] }));
        tableau.solids.push(solid);
    }
    let good = tableau.solids.len();
    tableau.solids.push(block(0, vec3(0.0, 0.0, -6.0), Vec3::ONE));
    let caster = Caster::new(&tableau);
    caster.validate().expect("a sound tree");
    let hit = caster.first_hit(vec3(0.1, 0.1, 9.0), Vec3::NEG_Z, 100.0, |_| false);
    assert_eq!(hit.map(|hit| hit.solid), Some(good));
    for direction in [Vec3::ZERO, Vec3::splat(f32::NAN), Vec3::splat(f32::INFINITY), Vec3::X] {
        for origin in [Vec3::ZERO, Vec3::splat(f32::NAN)] {
            let _ = caster.first_hit(origin, direction, f32::INFINITY, |_| false);
            let _ = caster.blocked(origin, direction, f32::NAN, |_| false);
        }
    }
    let nothing = Tableau::default();
    assert_eq!(Caster::new(&nothing).first_hit(Vec3::ZERO, Vec3::X, 1.0, |_| false), None);
}

/// A ray that may go on for ever meets the same as one that may go far, and nothing where it meets nothing.
#[test]
fn without_end() {
    let mut tableau = Tableau::default();
    for x in 0..8 {
        tableau.solids.push(block(0, vec3(x as f32, 0.0, -6.0), vec3(0.4, 1.0, 0.4)));
    }
    let caster = Caster::new(&tableau);
    let mut spread = Spread(0);
    for _ in 0..4000 {
        let origin = vec3(3.5, 0.0, 9.0) + spread.within(Vec3::ONE);
        let direction = (spread.within(vec3(6.0, 2.0, 0.0)) + vec3(0.0, 0.0, -15.0)).normalize();
        let [far, endless] = [500.0, f32::INFINITY].map(|max_m| caster.nearest(origin, direction, max_m, |_| false));
        assert_eq!(endless, far, "{origin} {direction}");
        assert_eq!(caster.blocked(origin, direction, f32::INFINITY, |_| false), far.is_some(), "{origin} {direction}");
    }
}

/// Things that no heuristic can part: thousands in one spot, and a chain of ever smaller ones.
#[test]
fn heaps_that_cannot_be_split() {
    let mut tableau = Tableau::default();
    for _ in 0..3000 {
        tableau.solids.push(block(0, vec3(0.0, 0.0, -5.0), Vec3::ONE));
    }
    let mut at = 1.0f32;
    while at > 1e-30 {
        tableau.solids.push(block(0, vec3(at, 0.0, 0.0), Vec3::splat(at * 0.1)));
        at *= 0.8;
    }
    let caster = Caster::new(&tableau);
    caster.validate().expect("a sound tree");
    assert_eq!(caster.first_hit(Vec3::ZERO, Vec3::NEG_Z, 9.0, |_| false).map(|hit| hit.solid), Some(0));
    assert!(caster.blocked(vec3(3.0, 0.0, 0.0), Vec3::NEG_X, 9.0, |_| false));
}

/// A mesh of a million triangles: a wavy sheet, met where its formula says.
#[test]
fn a_million_triangles() {
    let side = 708u32;
    let height = |x: f32, z: f32| 0.2 * (3.0 * x).sin() * (2.0 * z).cos();
    let at = |i: u32| i as f32 / side as f32 * 20.0 - 10.0;
    let corners: Vec<Vec3> = (0..=side)
        .flat_map(|j| (0..=side).map(move |i| (at(i), at(j))))
        .map(|(x, z)| vec3(x, height(x, z), z))
        .collect();
    let triangles: Vec<[u32; 3]> = (0..side)
        .flat_map(|j| (0..side).map(move |i| j * (side + 1) + i))
        .flat_map(|a| [[a, a + side + 1, a + 1], [a + 1, a + side + 1, a + side + 2]])
        .collect();
    assert!(triangles.len() > 1_000_000);
    let mut solid = block(0, vec3(0.0, 1.0, 0.0), Vec3::ONE);
    solid.shape = Shape::Mesh(Arc::new(TriangleMesh { corners, triangles }));
    let tableau = Tableau { solids: vec![solid], ..Tableau::default() };
    let caster = Caster::new(&tableau);
    let mut chance = Spread(5);
    for _ in 0..2000 {
        let (x, z) = (19.0 * (chance.next() - 0.5), 19.0 * (chance.next() - 0.5));
        let hit = caster.first_hit(vec3(x, 5.0, z), Vec3::NEG_Y, 100.0, |_| false).expect("the sheet has no holes");
        assert!((5.0 - hit.distance_m - 1.0 - height(x, z)).abs() < 1e-3, "at {x} {z}: {hit:?}");
    }
}

/// A point in the middle of a block is in it, one outside of its slanting side is not, whatever the block's turn.
#[test]
fn blocks_round_a_point() {
    let mut tableau = Tableau::default();
    let mut solid = block(0, vec3(0.0, 1.0, 0.0), Vec3::ONE);
    solid.shape = Shape::Block(Block { half_m: Vec3::ONE, top: vec2(0.0, 1.0), edge_m: 0.0 });
    tableau.solids.push(solid.clone());
    solid.turned = Quat::from_rotation_y(std::f32::consts::FRAC_PI_2);
    tableau.solids.push(solid);
    let caster = Caster::new(&tableau);
    assert_eq!(caster.round(vec3(0.0, 1.0, 0.0)), [0, 1]);
    // Half-way up it is one metre wide along x, the turned one along z.
    assert_eq!(caster.round(vec3(0.6, 1.0, 0.0)), [1]);
    // Of some of them: the others aren't there.
    assert_eq!(Caster::of(&tableau, [1].into_iter()).round(vec3(0.0, 1.0, 0.0)), [1]);
    assert_eq!(caster.round(vec3(0.0, 1.0, 0.6)), [0]);
    assert!(caster.round(vec3(0.0, 2.5, 0.0)).is_empty());
}
