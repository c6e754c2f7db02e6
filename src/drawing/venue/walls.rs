//! Walls with their openings: cut through at whatever height a door or window is.

use super::super::{Drawing, Ink, Subject};
use crate::plan::{Opening, OpeningKind, Room, Venue, Wall};
use crate::staging::{ROOM_WALL_M, plan_spot, room_sides};
use glam::Vec2;

/// How thick a door's leaf is drawn.
const LEAF_M: f32 = 0.05;

pub fn draw(drawing: &mut Drawing, venue: &Venue) {
    for (i, room) in venue.rooms.iter().enumerate() {
        room_walls(drawing, room, Subject::Room(i));
    }
    for (i, wall) in venue.walls.iter().enumerate() {
        free_wall(drawing, wall, Subject::Wall(i));
    }
}

fn room_walls(drawing: &mut Drawing, room: &Room, of: Subject) {
    for side in room_sides(room) {
        let openings = side.openings(room);
        let place = |own: Vec2| {
            let in_room = plan_spot(own - Vec2::new(side.over_m, 0.0), side.left_end, side.clockwise);
            plan_spot(in_room, room.centre, room.heading)
        };
        let length_m = side.length_m + 2.0 * side.over_m;
        run(drawing, &Run { length_m, faces: [-ROOM_WALL_M, 0.0], openings: &openings, of }, place);
    }
}

fn free_wall(drawing: &mut Drawing, wall: &Wall, of: Subject) {
    let way = wall.to - wall.from;
    let half_m = wall.thickness_m * 0.5;
    let run_of = Run { length_m: way.length(), faces: [-half_m, half_m], openings: &wall.openings, of };
    run(drawing, &run_of, |own| plan_spot(own, wall.from, way.to_angle()));
}

/// A wall in its own axes: x along it, its faces at two depths.
struct Run<'a> {
    length_m: f32,
    faces: [f32; 2],
    openings: &'a [Opening],
    of: Subject,
}

fn run(drawing: &mut Drawing, wall: &Run, place: impl Fn(Vec2) -> Vec2) {
    let within = |m: f32| m.clamp(0.0, wall.length_m);
    let span = |o: &Opening| [within(o.along_m - o.width_m * 0.5), within(o.along_m + o.width_m * 0.5)];
    let mut gaps: Vec<[f32; 2]> = wall.openings.iter().map(span).collect();
    gaps.sort_by(|a, b| a[0].total_cmp(&b[0]));
    gaps.push([wall.length_m; 2]);
    let block = |[from, to]: [f32; 2], [near, far]: [f32; 2]| {
        [(from, near), (to, near), (to, far), (from, far)].map(|(x, z)| place(Vec2::new(x, z))).to_vec()
    };
    let mut built_m = 0.0_f32;
    let mut pieces = Vec::new();
    for [from, to] in gaps {
        if from - built_m > 1e-3 {
            pieces.push(block([built_m, from], wall.faces));
        }
        built_m = built_m.max(to);
    }
    drawing.area(pieces, Ink::Wall, Some(wall.of));
    let middle_m = (wall.faces[0] + wall.faces[1]) * 0.5;
    for opening in wall.openings {
        let [from, to] = span(opening);
        let mut across = |z: f32| {
            drawing.line(vec![place(Vec2::new(from, z)), place(Vec2::new(to, z))], Ink::Opening, Some(wall.of));
        };
        match opening.kind {
            OpeningKind::Open => {}
            OpeningKind::Window => wall.faces.map(|z| z * 0.5 + middle_m * 0.5).into_iter().for_each(&mut across),
            OpeningKind::Door => {
                let leaf = [middle_m - LEAF_M * 0.5, middle_m + LEAF_M * 0.5];
                drawing.area(vec![block([from, to], leaf)], Ink::Opening, Some(wall.of));
            }
        }
    }
}
