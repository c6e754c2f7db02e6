//! Everybody and everything from high up, for who is where: a long lens on a slant from behind the guests, roofs and
//! crowns of trees taken off, in an even light that is the same for every plan.

use super::follow::{InTheFinder, in_the_finder};
use super::ink::{Weight, fill, text_width, write};
use super::meter::Metered;
use crate::daylight::{Daylight, SunPosition, daylight_of};
use crate::optics::{Camera, compose, ev100, illuminance_at_ev100};
use crate::plan::{Colour, PhotographerIx, Sky};
use crate::sight::Sources;
use crate::staging::{
    Block, Finish, Material, OwnerIx, OwnerKind, Part, Run, Shape, Solid, Tableau, TriangleMesh, floor_height,
};
use glam::{Quat, Vec2, Vec3};
use image::RgbImage;
use std::f32::consts::TAU;
use std::sync::Arc;

/// How far the camera looks down. From straight above people are but hair and shoulders; much flatter, one hides the other.
/// *Judged by eye.*
const DOWN: f32 = 52.0 * TAU / 360.0;
/// How far the camera stands aside from the line of the aisle: two sides of a block tell more of its shape than one.
/// *Judged by eye.*
const ASIDE: f32 = -14.0 * TAU / 360.0;
/// Distance of the camera in diagonals of what it shows: near and far people come out nearly the same size.
const DIAGONALS_AWAY: f32 = 2.4;
/// Long side of its sensor, as on full frame.
const LONG_SIDE_M: f64 = 0.036;
/// Empty share of the picture at each side.
const MARGIN: f64 = 0.05;
/// Walls end here, as in an architect's drawing, so that what is behind them is seen.
const WALLS_END_M: f32 = 1.1;
/// Everything else that is nobody's ends here: a head higher than the tallest.
const THINGS_END_M: f32 = 2.3;
/// Most instants looked at to find out how much room a stretch of time takes.
const LOOKS: usize = 60;
/// Radius of the disc under a photographer, and how far the lines along what their lens sees go.
const DISC_M: f32 = 0.55;
const SEEN_M: f32 = 4.0;

/// Colours of the photographers, in the order of the plan's crew: Okabe & Ito's. They repeat from the sixth on.
const CREW_COLOURS: [[u8; 3]; 5] =
    [[0xE6, 0x9F, 0x00], [0x56, 0xB4, 0xE9], [0x2F, 0xC7, 0x9A], [0xF0, 0xE4, 0x42], [0xCC, 0x79, 0xA7]];

/// A camera high up for a stretch of the ceremony; it keeps still.
#[derive(Debug, Clone)]
pub struct Overview {
    pub camera: Camera,
    pub daylight: Daylight,
    pub metered: Metered,
    /// None: lamps are off.
    pub sources: Sources,
}

impl Overview {
    /// A camera that holds everyone who is there at any of these instants, seconds into the ceremony, and all seats.
    pub fn new(run: &Run, instants_s: &[f64]) -> Self {
        let step = instants_s.len().div_ceil(LOOKS).max(1);
        let looked = instants_s.iter().step_by(step).chain(instants_s.last());
        let mut points = vec![];
        for (number, at_s) in looked.enumerate() {
            let tableau = run.tableau(*at_s);
            for figure in &tableau.figures {
                let crew = matches!(tableau.owner(figure.owner).kind, OwnerKind::Photographer(_));
                let about_m = if crew { DISC_M } else { 0.3 };
                let beside = [Vec3::X, Vec3::NEG_X, Vec3::Z, Vec3::NEG_Z].map(|way| figure.sole + way * about_m);
                points.extend(beside.into_iter().chain([figure.crown]));
            }
            if number == 0 {
                points.extend(seats(&tableau));
            }
        }
        let daylight = even_light();
        let camera = exposed(framed(&points), &daylight);
        let lux = daylight.illuminance_on(Vec3::Y);
        let metered = Metered { lux, sky_share: 1.0, ..Metered::DARK };
        Self { camera, daylight, metered, sources: Sources::default() }
    }

    /// The tableau of an instant, opened from above, with a disc under each photographer and lines along the sides of what
    /// their lens sees.
    pub fn tableau(&self, run: &Run, at_s: f64) -> Tableau {
        let mut tableau = run.tableau(at_s);
        let cameras: Vec<(PhotographerIx, Vec3, Option<Camera>)> = crew(&tableau)
            .map(|(photographer, figure)| {
                let seen = match in_the_finder(run, photographer, at_s) {
                    // Where it points doesn't depend on the light.
                    InTheFinder::Frame(frame) => compose(run.plan, &frame, &tableau, 1000.0).ok().map(|it| it.camera),
                    _ => None,
                };
                (photographer, figure.sole, seen)
            })
            .collect();
        open(&mut tableau);
        for (photographer, sole, seen) in cameras {
            let colour = Colour(crew_colour(photographer).map(|channel| f32::from(channel) / 255.0));
            let Some(owner) = tableau
                .owners
                .iter()
                .position(|owner| owner.kind == OwnerKind::Photographer(photographer))
                .map(|ix| OwnerIx(ix as u32))
            else {
                continue;
            };
            let spot = seen.map_or(Vec2::new(sole.x, sole.z), |camera| Vec2::new(camera.eye.x, camera.eye.z));
            tableau.solids.push(disc(sole, owner, colour));
            for edge in seen.iter().flat_map(sides_seen) {
                let middle = spot + edge * (DISC_M + SEEN_M) * 0.5;
                let y = floor_height(&run.plan.venue, middle).max(sole.y) + 0.03;
                tableau.solids.push(line(Vec3::new(middle.x, y, middle.y), edge, owner, colour));
            }
        }
        tableau
    }

    /// Writes who is who beside the photographers of an instant, where it covers fewest people.
    pub fn name_crew(&self, run: &Run, tableau: &Tableau, picture: &mut RgbImage) {
        let (wide, high) = (picture.width() as f32, picture.height() as f32);
        let size_px = (wide.max(high) / 34.0).clamp(10.0, 40.0);
        let place = |point: Vec3| {
            let (u, v, _) = self.camera.image_from_world(point, f64::from(wide))?;
            Some(Vec2::new(u as f32, v as f32))
        };
        let weight = |owner: OwnerIx| match tableau.owner(owner).kind {
            OwnerKind::Person(_) => 6.0,
            OwnerKind::Photographer(_) => 8.0,
            _ => 1.0,
        };
        let mut covered: Vec<(Vec2, f32)> = vec![];
        for figure in &tableau.figures {
            let points = [figure.crown, figure.chest, figure.knee].map(place).into_iter().flatten();
            covered.extend(points.map(|point| (point, weight(figure.owner))));
        }
        let mut taken: Vec<[Vec2; 2]> = vec![];
        for (photographer, figure) in crew(tableau) {
            let Some(person) = run.plan.crew.get(photographer.0) else { continue };
            let (Some(crown), Some(sole)) = (place(figure.crown), place(figure.sole)) else { continue };
            let pad = size_px * 0.35;
            let size = Vec2::new(text_width(&person.id, size_px, Weight::Bold) + 2.0 * pad, size_px * 1.3).ceil();
            let aside = (sole.y - crown.y) * 0.35 + 3.0;
            let middle = (crown + sole) * 0.5;
            let corners = [
                Vec2::new(crown.x - size.x * 0.5, crown.y - size.y - 4.0),
                Vec2::new(sole.x - size.x * 0.5, sole.y + aside * 0.6),
                Vec2::new(middle.x + aside, middle.y - size.y * 0.5),
                Vec2::new(middle.x - aside - size.x, middle.y - size.y * 0.5),
            ];
            let room = Vec2::new(wide - size.x, high - size.y).max(Vec2::ZERO);
            let cost = |corner: &Vec2| {
                let inside = |point: &Vec2| point.cmpge(*corner).all() && point.cmple(*corner + size).all();
                let meets = |it: &[Vec2; 2]| corner.cmplt(it[1]).all() && it[0].cmplt(*corner + size).all();
                let people: f32 = covered.iter().filter(|(point, _)| inside(point)).map(|(_, weight)| weight).sum();
                people + 100.0 * taken.iter().filter(|it| meets(it)).count() as f32
            };
            let corners = corners.map(|corner| corner.clamp(Vec2::ZERO, room).round());
            let Some(corner) = corners.into_iter().min_by(|a, b| cost(a).total_cmp(&cost(b))) else { continue };
            taken.push([corner, corner + size]);
            let [left, top] = corner.to_array();
            fill(picture, [left as i64, top as i64], size.to_array().map(|it| it as i64), [0x16, 0x12, 0x1A], 0.82);
            let at = [left + pad, top + size_px * 0.13];
            write(picture, &person.id, at, size_px, Weight::Bold, crew_colour(photographer));
        }
    }
}

pub(super) fn crew_colour(photographer: PhotographerIx) -> [u8; 3] {
    CREW_COLOURS[photographer.0 % CREW_COLOURS.len()]
}

fn crew(tableau: &Tableau) -> impl Iterator<Item = (PhotographerIx, &crate::staging::Figure)> {
    tableau.figures.iter().filter_map(|figure| match tableau.owner(figure.owner).kind {
        OwnerKind::Photographer(photographer) => Some((photographer, figure)),
        _ => None,
    })
}

fn seats(tableau: &Tableau) -> impl Iterator<Item = Vec3> {
    let seating = |solid: &&Solid| matches!(tableau.owner(solid.owner).kind, OwnerKind::Seating(_));
    tableau.solids.iter().filter(seating).map(|solid| solid.at)
}

/// Hazy sun over the left shoulder of whoever looks down the aisle to the front, as on the maps of an atlas.
fn even_light() -> Daylight {
    let sun = SunPosition { elevation: 52f64.to_radians(), azimuth: 238f64.to_radians() };
    daylight_of(sun, 0.0, Sky::Hazy)
}

/// A camera that looks down on all of these points, as near as its margin lets it.
fn framed(points: &[Vec3]) -> Camera {
    let forward = Quat::from_rotation_y(ASIDE) * Vec3::new(0.0, -DOWN.sin(), -DOWN.cos());
    let turned = Camera::look_at(Vec3::ZERO, forward);
    let mut middle = Vec3::ZERO;
    let (mut half, mut away_m) = (Vec2::splat(3.0), 30.0);
    // On the plane through the middle; a few rounds, because what is nearer looks larger.
    for _ in 0..8 {
        let eye = middle - forward * away_m;
        let (mut low, mut high) = (Vec2::INFINITY, Vec2::NEG_INFINITY);
        for point in points {
            let seen = turned.inverse() * (*point - eye);
            let on_plane = Vec2::new(seen.x, seen.y) * (away_m / (-seen.z).max(1.0));
            (low, high) = (low.min(on_plane), high.max(on_plane));
        }
        if points.is_empty() {
            break;
        }
        let centre = (low + high) * 0.5;
        middle += turned * Vec3::new(centre.x, centre.y, 0.0);
        half = ((high - low) * 0.5).max(Vec2::splat(2.0));
        away_m = (half.length() * 2.0 * DIAGONALS_AWAY).max(20.0);
    }
    // In the shape of what it shows, up to 3:2 either way.
    let aspect = f64::from(half.x / half.y).clamp(2.0 / 3.0, 3.0 / 2.0);
    let sensor_m = if aspect > 1.0 { [LONG_SIDE_M, LONG_SIDE_M / aspect] } else { [LONG_SIDE_M * aspect, LONG_SIDE_M] };
    let fits = |side_m: f64, half_m: f32| side_m * (0.5 - MARGIN) * f64::from(away_m) / f64::from(half_m);
    Camera {
        eye: middle - forward * away_m,
        turned,
        sensor_m,
        focal_m: fits(sensor_m[0], half.x).min(fits(sensor_m[1], half.y)),
        f_number: 16.0,
        focus_m: f64::from(away_m),
        shutter_s: 1.0 / 125.0,
        iso: 100.0,
    }
}

/// Over what a meter in the open gives: dark suits are to be told apart. *Judged by eye.*
const BRIGHTER: f64 = 1.5;

/// With the ISO that a meter in the open gives, and a little more.
fn exposed(camera: Camera, daylight: &Daylight) -> Camera {
    let lux_at_100 = illuminance_at_ev100(ev100(camera.f_number, camera.shutter_s, 100.0));
    Camera { iso: BRIGHTER * 100.0 * lux_at_100 / daylight.illuminance_on(Vec3::Y).max(1.0), ..camera }
}

/// Takes off what hides people from above: ceilings, roofs, crowns of trees, lamps, and the upper part of walls and of
/// whatever else is higher than people.
pub(super) fn open(tableau: &mut Tableau) {
    let Tableau { solids, owners, .. } = tableau;
    solids.retain_mut(|solid| {
        let kind = owners.get(solid.owner.0 as usize).map(|owner| owner.kind);
        let somebodys =
            matches!(kind, Some(OwnerKind::Person(_) | OwnerKind::Guest { .. } | OwnerKind::Photographer(_)));
        let end_m = match solid.part {
            Part::Ground => return true,
            Part::Wall | Part::Glass => WALLS_END_M,
            _ => THINGS_END_M,
        };
        match (kind, &mut solid.shape) {
            // Its walls and roof can't be told apart, and stand where they hide people.
            (Some(OwnerKind::Mesh(_)), Shape::Mesh(mesh)) => cut_mesh(mesh, solid.at.y, WALLS_END_M),
            _ => somebodys || cut_off(solid, end_m),
        }
    });
}

/// Cuts an upright mesh at a height; false if nothing of it is left.
fn cut_mesh(mesh: &mut Arc<TriangleMesh>, at_m: f32, end_m: f32) -> bool {
    let end_m = end_m - at_m;
    let mut cut = TriangleMesh { corners: mesh.corners.clone(), triangles: vec![] };
    for triangle in &mesh.triangles {
        let Some(first) = triangle.iter().position(|corner| mesh.corners[*corner as usize].y < end_m) else { continue };
        let [a, b, c] = [0, 1, 2].map(|step| triangle[(first + step) % 3]);
        let [is_b, is_c] = [b, c].map(|corner| mesh.corners[corner as usize].y < end_m);
        let mut between = |low: u32, high: u32| {
            let [low, high] = [low, high].map(|corner| mesh.corners[corner as usize]);
            cut.corners.push(low.lerp(high, (end_m - low.y) / (high.y - low.y)));
            cut.corners.len() as u32 - 1
        };
        match (is_b, is_c) {
            (true, true) => cut.triangles.push([a, b, c]),
            (false, false) => {
                let (ab, ac) = (between(a, b), between(a, c));
                cut.triangles.push([a, ab, ac]);
            }
            (true, false) => {
                let (bc, ac) = (between(b, c), between(a, c));
                cut.triangles.extend([[a, b, bc], [a, bc, ac]]);
            }
            (false, true) => {
                let (ab, bc) = (between(a, b), between(c, b));
                cut.triangles.extend([[a, ab, bc], [a, bc, c]]);
            }
        }
    }
    let some_left = !cut.triangles.is_empty();
    *mesh = Arc::new(cut);
    some_left
}

/// Cuts a solid at a height; false if nothing of it is left. What stands askew goes or stays whole.
fn cut_off(solid: &mut Solid, end_m: f32) -> bool {
    let Shape::Block(block) = &mut solid.shape else { return solid.at.y < end_m };
    let half = block.half_m * Vec3::new(block.top.x.max(1.0), 1.0, block.top.y.max(1.0));
    let axes = [Vec3::X * half.x, Vec3::Y * half.y, Vec3::Z * half.z].map(|axis| (solid.turned * axis).y);
    let reach_m: f32 = axes.iter().map(|it| it.abs()).sum();
    if solid.at.y + reach_m <= end_m {
        return true;
    }
    if solid.at.y - reach_m >= end_m {
        return false;
    }
    let upright = axes[1] > 0.0 && axes[0].abs() + axes[2].abs() < 1e-3;
    if !upright {
        return solid.at.y < end_m;
    }
    let bottom_m = solid.at.y - block.half_m.y;
    let kept = (end_m - bottom_m) / (2.0 * block.half_m.y).max(1e-6);
    *block = Block {
        half_m: Vec3::new(block.half_m.x, block.half_m.y * kept, block.half_m.z),
        top: Vec2::ONE + (block.top - Vec2::ONE) * kept,
        edge_m: block.edge_m.min(block.half_m.y * kept),
    };
    solid.at.y = bottom_m + block.half_m.y;
    true
}

fn disc(sole: Vec3, owner: OwnerIx, colour: Colour) -> Solid {
    const CORNERS: u32 = 40;
    let rim = (0..CORNERS).map(|k| {
        let (sin, cos) = (TAU * k as f32 / CORNERS as f32).sin_cos();
        Vec3::new(sin, 0.0, cos) * DISC_M
    });
    let corners: Vec<Vec3> = std::iter::once(Vec3::ZERO).chain(rim).collect();
    let triangles = (0..CORNERS).map(|k| [0, 1 + k, 1 + (k + 1) % CORNERS]).collect();
    let shape = Shape::Mesh(Arc::new(TriangleMesh { corners, triangles }));
    marking(shape, sole + Vec3::Y * 0.03, Quat::IDENTITY, owner, colour)
}

fn line(middle: Vec3, along: Vec2, owner: OwnerIx, colour: Colour) -> Solid {
    let half_m = Vec3::new((SEEN_M - DISC_M) * 0.5, 0.004, 0.03);
    let shape = Shape::Block(Block { half_m, top: Vec2::ONE, edge_m: 0.0 });
    marking(shape, middle, Quat::from_rotation_y(-along.y.atan2(along.x)), owner, colour)
}

fn marking(shape: Shape, at: Vec3, turned: Quat, owner: OwnerIx, colour: Colour) -> Solid {
    Solid { shape, at, turned, owner, part: Part::Thing, material: Material { finish: Finish::Paint, colour } }
}

/// Along the floor, unit: the left and the right side of what a camera sees.
fn sides_seen(camera: &Camera) -> Vec<Vec2> {
    let side = |across: f64| {
        let way = camera.direction_through([across, 0.5]);
        Vec2::new(way.x, way.z).normalize_or_zero()
    };
    [side(0.0), side(1.0)].into_iter().filter(|way| way.length() > 0.5).collect()
}
