//! Walls as obstacles: what is left of them between their doors.

use super::obstacles::{Blocker, Obstacles};
use crate::plan::{Opening, OpeningKind, Venue};
use crate::staging::floor::plan_spot;
use crate::staging::venue::walls::{ROOM_WALL_M, room_sides};
use glam::{DVec2, Vec2};

/// One steps over a kerb or sill up to here, and stoops under a lintel from there: *judged*.
const STEP_OVER_M: f32 = 0.25;
const STOOP_M: f32 = 1.7;

pub fn add(all: &mut Obstacles, venue: &Venue) {
    for (ix, wall) in venue.walls.iter().enumerate() {
        let way = (wall.to - wall.from).as_dvec2();
        let Some(along) = way.try_normalize() else { continue };
        let run = Run {
            from: wall.from.as_dvec2(),
            along,
            length_m: way.length(),
            through_m: [-0.5, 0.5].map(|side| f64::from(wall.thickness_m) * side),
            height_m: wall.height_m,
        };
        run.add(all, Blocker::Wall(ix), &wall.openings);
    }
    for (ix, room) in venue.rooms.iter().enumerate() {
        for side in room_sides(room) {
            let turned = room.heading + side.clockwise;
            let along = Vec2::new(turned.cos(), turned.sin()).as_dvec2();
            let over = f64::from(side.over_m);
            let run = Run {
                from: plan_spot(side.left_end, room.centre, room.heading).as_dvec2() - along * over,
                along,
                length_m: f64::from(side.length_m) + 2.0 * over,
                through_m: [-f64::from(ROOM_WALL_M), 0.0],
                height_m: room.height_m,
            };
            run.add(all, Blocker::Room(ix), &side.openings(room));
        }
    }
}

/// A wall seen from the side from which its openings are measured: from the left end along it, and how far it reaches
/// towards the viewer and away.
struct Run {
    from: DVec2,
    along: DVec2,
    length_m: f64,
    through_m: [f64; 2],
    height_m: f32,
}

impl Run {
    fn add(&self, all: &mut Obstacles, of: Blocker, openings: &[Opening]) {
        if self.height_m <= STEP_OVER_M {
            return;
        }
        let passed = openings.iter().filter(|o| is_passed(o, self.height_m));
        let mut gaps: Vec<[f64; 2]> =
            passed.map(|o| [-0.5, 0.5].map(|side| f64::from(o.along_m + o.width_m * side))).collect();
        gaps.sort_by(|a, b| a[0].total_cmp(&b[0]));
        gaps.push([self.length_m, self.length_m]);
        let mut done_m = 0.0_f64;
        for [opens_m, closes_m] in gaps {
            let opens_m = opens_m.min(self.length_m);
            if opens_m > done_m {
                let ends = [done_m, opens_m].map(|at_m| self.from + self.along * at_m);
                let corners = ends.into_iter().flat_map(|end| self.through_m.map(|m| end + self.along.perp() * m));
                all.add(of, corners);
            }
            done_m = done_m.max(closes_m);
        }
    }
}

/// Doors and plain openings, not windows. An opening up to the top of a low wall is a gap in it.
fn is_passed(opening: &Opening, wall_height_m: f32) -> bool {
    let open_above = opening.sill_m + opening.height_m >= wall_height_m;
    opening.kind != OpeningKind::Window
        && opening.sill_m < STEP_OVER_M
        && (opening.height_m >= STOOP_M || (open_above && opening.kind == OpeningKind::Open))
}
