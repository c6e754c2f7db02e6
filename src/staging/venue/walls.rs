//! Walls with their openings: rooms and walls that stand free.
//!
//! A wall is split along its length at every opening's edges; each strip keeps what no opening takes.

use crate::plan::{Colour, Opening, OpeningKind, Room, RoomSide, Surface, Wall};
use crate::staging::carve::{Carver, Place, cut, of, rgb};
use crate::staging::tableau::{Finish, Material, Part};
use glam::{Quat, Vec2, Vec3};
use std::f32::consts::{FRAC_PI_2, PI};

/// Thickness of a room's walls and ceiling.
pub const ROOM_WALL_M: f32 = 0.30;
const CEILING_M: f32 = 0.20;

/// From this height on a room has beams under its ceiling.
const BEAMS_FROM_M: f32 = 3.6;

/// A wall in its own space: x along it from its left end, y up, z = 0 on the near face, −z through it.
struct Run<'a> {
    place: Place,
    length_m: f32,
    height_m: f32,
    thickness_m: f32,
    surface: Surface,
    openings: &'a [Opening],
}

pub fn carve_wall(carver: &mut Carver, wall: &Wall) {
    let way = wall.to - wall.from;
    let length_m = way.length();
    if length_m < 1e-3 {
        return;
    }
    // The run's x lies along the wall; the wall's line is its middle.
    let turned = Quat::from_rotation_y(-way.y.atan2(way.x));
    let place =
        Place::new(Vec3::new(wall.from.x, 0.0, wall.from.y), turned).moved(Vec3::new(0.0, 0.0, wall.thickness_m * 0.5));
    carve_run(
        carver,
        &Run {
            place,
            length_m,
            height_m: wall.height_m,
            thickness_m: wall.thickness_m,
            surface: wall.surface,
            openings: &wall.openings,
        },
    );
}

/// A wall of a room seen from inside, in the room's own axes: where its left end is, how it is turned, its length between
/// the corners, and how far it reaches over them.
pub struct RoomWall {
    side: RoomSide,
    pub left_end: Vec2,
    pub clockwise: f32,
    pub length_m: f32,
    pub over_m: f32,
}

/// Front and back reach over the corners.
pub fn room_sides(room: &Room) -> [RoomWall; 4] {
    let half = room.size_m * 0.5;
    let wall = |side, left_end, clockwise, length_m, over_m| RoomWall { side, left_end, clockwise, length_m, over_m };
    [
        wall(RoomSide::Front, Vec2::new(-half.x, -half.y), 0.0, room.size_m.x, ROOM_WALL_M),
        wall(RoomSide::Right, Vec2::new(half.x, -half.y), FRAC_PI_2, room.size_m.y, 0.0),
        wall(RoomSide::Back, Vec2::new(half.x, half.y), PI, room.size_m.x, ROOM_WALL_M),
        wall(RoomSide::Left, Vec2::new(-half.x, half.y), -FRAC_PI_2, room.size_m.y, 0.0),
    ]
}

impl RoomWall {
    /// Its openings, measured from where it really begins.
    pub fn openings(&self, room: &Room) -> Vec<Opening> {
        let own = room.openings.iter().filter(|o| o.side == self.side);
        own.map(|o| Opening { along_m: o.opening.along_m + self.over_m, ..o.opening }).collect()
    }
}

pub fn carve_room(carver: &mut Carver, room: &Room) {
    let centre = Place::facing(room.centre, 0.0, room.heading);
    for wall in room_sides(room) {
        let place = centre
            .moved(Vec3::new(wall.left_end.x, 0.0, wall.left_end.y))
            .turned(Quat::from_rotation_y(-wall.clockwise))
            .moved(Vec3::new(-wall.over_m, 0.0, 0.0));
        carve_run(
            carver,
            &Run {
                place,
                length_m: wall.length_m + 2.0 * wall.over_m,
                height_m: room.height_m,
                thickness_m: ROOM_WALL_M,
                surface: room.walls,
                openings: &wall.openings(room),
            },
        );
    }
    if let Some(surface) = room.ceiling {
        let outer = room.size_m + Vec2::splat(2.0 * ROOM_WALL_M);
        carver.add(
            centre,
            cut(outer.x, CEILING_M, outer.y).at(0.0, room.height_m + CEILING_M * 0.5, 0.0),
            Part::Wall,
            surfaced(surface),
        );
        if room.height_m >= BEAMS_FROM_M {
            beams(carver, centre, room);
        }
    }
}

fn beams(carver: &mut Carver, centre: Place, room: &Room) {
    let oak = of(Finish::Wood, rgb(0.33, 0.23, 0.15));
    let count = (room.size_m.y / 3.0).round().max(1.0) as u32;
    for i in 0..count {
        let z = ((i as f32 + 0.5) / count as f32 - 0.5) * room.size_m.y;
        let beam = cut(room.size_m.x, 0.30, 0.22).at(0.0, room.height_m - 0.15, z).round(0.015);
        carver.add(centre, beam, Part::Wall, oak);
    }
    let ridge = cut(0.18, 0.18, room.size_m.y).at(0.0, room.height_m - 0.09, 0.0).round(0.012);
    carver.add(centre, ridge, Part::Wall, oak);
}

fn surfaced(surface: Surface) -> Material {
    of(Finish::Surface(surface), Colour([1.0; 3]))
}

fn carve_run(carver: &mut Carver, run: &Run) {
    let wall = surfaced(run.surface);
    let middle = -run.thickness_m * 0.5;
    let span = |o: &Opening| (o.along_m - o.width_m * 0.5, o.along_m + o.width_m * 0.5);
    let mut edges: Vec<f32> = run.openings.iter().flat_map(|o| [span(o).0, span(o).1]).collect();
    edges.extend([0.0, run.length_m]);
    edges.iter_mut().for_each(|x| *x = x.clamp(0.0, run.length_m));
    edges.sort_by(f32::total_cmp);
    for pair in edges.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        if to - from < 1e-4 {
            continue;
        }
        let inside = (from + to) * 0.5;
        let mut holes: Vec<(f32, f32)> = run
            .openings
            .iter()
            .filter(|o| span(o).0 < inside && inside < span(o).1)
            .map(|o| (o.sill_m.max(0.0), (o.sill_m + o.height_m).min(run.height_m)))
            .collect();
        holes.sort_by(|a, b| a.0.total_cmp(&b.0));
        holes.push((run.height_m, run.height_m));
        let mut low = 0.0;
        for (sill, head) in holes {
            if sill - low > 1e-4 {
                let piece = cut(to - from, sill - low, run.thickness_m).at(inside, (sill + low) * 0.5, middle);
                carver.add(run.place, piece, Part::Wall, wall);
            }
            low = low.max(head);
        }
    }
    for opening in run.openings {
        let place = run.place.moved(Vec3::new(opening.along_m, opening.sill_m, middle));
        match opening.kind {
            OpeningKind::Open => {}
            OpeningKind::Window => window(carver, place, opening, run.thickness_m),
            OpeningKind::Door => door(carver, place, opening, run.thickness_m),
        }
    }
}

/// Local origin: middle of the opening's lower edge, in the middle of the wall.
fn window(carver: &mut Carver, place: Place, opening: &Opening, thickness: f32) {
    let (w, h) = (opening.width_m, opening.height_m);
    let glass = of(Finish::WindowGlass, rgb(0.93, 0.96, 0.96));
    let paint = of(Finish::Paint, rgb(0.90, 0.88, 0.84));
    carver.add(place, cut(w - 0.04, h - 0.04, 0.008).at(0.0, h * 0.5, 0.0), Part::Glass, glass);
    frame(carver, place, w, h, paint, true);
    // Glazing bars: panes about as wide as tall, none wider than 0.7 m.
    let columns = (w / 0.70).ceil().max(1.0) as u32;
    let rows = (h / 0.75).ceil().max(1.0) as u32;
    for i in 1..columns {
        let x = (i as f32 / columns as f32 - 0.5) * w;
        carver.add(place, cut(0.035, h - 0.04, 0.04).at(x, h * 0.5, 0.0), Part::Wall, paint);
    }
    for i in 1..rows {
        let y = i as f32 / rows as f32 * h;
        carver.add(place, cut(w - 0.04, 0.030, 0.036).at(0.0, y, 0.0), Part::Wall, paint);
    }
    let sill = cut(w + 0.08, 0.035, thickness * 0.5 + 0.06).at(0.0, -0.012, thickness * 0.25 + 0.03).round(0.008);
    carver.add(place, sill, Part::Wall, paint);
}

fn door(carver: &mut Carver, place: Place, opening: &Opening, _thickness: f32) {
    let (w, h) = (opening.width_m, opening.height_m);
    let oak = of(Finish::Wood, rgb(0.40, 0.27, 0.17));
    let panel = of(Finish::Wood, rgb(0.35, 0.235, 0.145));
    let brass = of(Finish::Metal, rgb(0.72, 0.58, 0.34));
    frame(carver, place, w, h, oak, false);
    // One leaf up to 1.2 m, else two.
    let leaves = if w > 1.2 { 2 } else { 1 };
    let leaf = (w - 0.08) / leaves as f32;
    for i in 0..leaves {
        let x = (i as f32 + 0.5 - leaves as f32 * 0.5) * leaf;
        carver.add(place, cut(leaf - 0.006, h - 0.05, 0.045).at(x, h * 0.5 - 0.015, 0.0), Part::Wall, oak);
        for (y, high) in [(0.27, 0.36), (0.70, 0.38)] {
            for z in [-0.024, 0.024] {
                let inset = cut(leaf * 0.68, h * high, 0.012).at(x, h * y, z).round(0.004);
                carver.add(place, inset, Part::Wall, panel);
            }
        }
        let hinge_far = if i == 0 { 1.0 } else { -1.0 };
        for z in [-0.055, 0.055] {
            let handle = cut(0.11, 0.02, 0.02).at(x + hinge_far * (leaf * 0.5 - 0.09), 1.02_f32.min(h * 0.5), z);
            carver.add(place, handle.round(0.008), Part::Wall, brass);
        }
    }
}

fn frame(carver: &mut Carver, place: Place, w: f32, h: f32, material: Material, foot: bool) {
    for side in [-1.0, 1.0] {
        carver.add(place, cut(0.05, h, 0.09).at(side * (w * 0.5 - 0.025), h * 0.5, 0.0), Part::Wall, material);
    }
    carver.add(place, cut(w - 0.10, 0.05, 0.09).at(0.0, h - 0.025, 0.0), Part::Wall, material);
    if foot {
        carver.add(place, cut(w - 0.10, 0.05, 0.09).at(0.0, 0.025, 0.0), Part::Wall, material);
    }
}
