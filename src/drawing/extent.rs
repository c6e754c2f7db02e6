//! How much of the floor is worth showing, and how large it comes out on a page of paper.

use super::outline::{band, rectangle};
use crate::plan::{Plan, Post, Room};
use crate::staging::{ROOM_WALL_M, plan_spot, seat_spot};
use glam::Vec2;

/// Shown beyond everything that stands there.
const MARGIN_M: f32 = 1.5;
/// No less than this is shown each way.
const LEAST_M: f32 = 6.0;
/// What is left of A4 paper, upright, within its margins: 180 × 247 mm, in points.
const PAGE_PT: Vec2 = Vec2::new(510.0, 700.0);

/// Least and greatest corner, in floor metres, of rooms, walls, platforms, fixtures, meshes, seats, aisles, marks, standpoints, keep-outs
/// and lamps, with a margin. Lawns, ways out and what surrounds the place may go on beyond it.
pub fn extent(plan: &Plan) -> (Vec2, Vec2) {
    let venue = &plan.venue;
    let mut spots: Vec<Vec2> = plan.marks.iter().map(|mark| mark.at).collect();
    spots.extend(plan.standpoints.iter().map(|standpoint| standpoint.at));
    spots.extend(venue.rooms.iter().flat_map(walls_of));
    spots.extend(venue.walls.iter().flat_map(|wall| [wall.from, wall.to]));
    for it in &venue.platforms {
        spots.extend(rectangle(it.centre, it.heading, it.size_m + 2.0 * it.steps as f32 * it.tread_m));
    }
    for it in &venue.fixtures {
        spots.extend(rectangle(it.at, it.heading, Vec2::new(it.size_m[0], it.size_m[2])));
    }
    for it in &venue.meshes {
        spots.extend(it.body.outline.iter().map(|own| plan_spot(*own, it.at, it.heading)));
    }
    spots.extend(seats(plan));
    spots.extend(venue.aisles.iter().flat_map(|it| band(&[it.from, it.to], it.width_m)));
    spots.extend(venue.keep_outs.iter().flat_map(|it| it.outline.iter().copied()));
    spots.extend(venue.lamps.iter().flat_map(|lamp| [lamp.at, lamp.to.unwrap_or(lamp.at)]));
    fitted(spots.into_iter())
}

/// Least and greatest corner, in floor metres, of where the ceremony happens: seats, marks, standpoints, aisles, where people
/// begin, and all of a room that any of these is in, with a margin. What stands farther off, such as trees and cars, may be cut off: on paper people come out larger.
pub fn ceremony_extent(plan: &Plan) -> (Vec2, Vec2) {
    let posts = plan.people.iter().filter_map(|person| match person.post? {
        Post::Floor(at) => Some(at),
        Post::Seat { .. } => None,
    });
    let marks = plan.marks.iter().map(|mark| mark.at);
    let standpoints = plan.standpoints.iter().map(|standpoint| standpoint.at);
    let aisles = plan.venue.aisles.iter().flat_map(|it| [it.from, it.to]);
    let spots: Vec<Vec2> = seats(plan).chain(posts).chain(marks).chain(standpoints).chain(aisles).collect();
    let used = |room: &&Room| {
        let within = |spot: &Vec2| {
            let own = plan_spot(*spot - room.centre, Vec2::ZERO, -room.heading);
            own.abs().cmple(room.size_m * 0.5).all()
        };
        spots.iter().any(within)
    };
    let rooms = plan.venue.rooms.iter().filter(used).flat_map(walls_of);
    fitted(spots.iter().copied().chain(rooms))
}

fn walls_of(room: &Room) -> Vec<Vec2> {
    rectangle(room.centre, room.heading, room.size_m + 2.0 * ROOM_WALL_M)
}

fn seats(plan: &Plan) -> impl Iterator<Item = Vec2> + '_ {
    plan.venue.seats.iter().flat_map(|block| {
        let seats = (0..block.rows).flat_map(|row| (0..block.seats_per_row).map(move |seat| (row, seat)));
        seats.map(|(row, seat)| seat_spot(block, row, seat).at)
    })
}

/// With a margin, and never too small.
fn fitted(spots: impl Iterator<Item = Vec2>) -> (Vec2, Vec2) {
    let whole = spots.filter(|spot| spot.is_finite()).map(|spot| (spot, spot));
    let (low, high) = whole.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))).unwrap_or_default();
    let middle = (low + high) * 0.5;
    let half = ((high - low) * 0.5 + MARGIN_M).max(Vec2::splat(LEAST_M * 0.5));
    (middle - half, middle + half)
}

/// Points to a metre where the whole plan fills an upright page of A4: the scale that words are placed for if none is given.
pub fn page_scale(plan: &Plan) -> f32 {
    let (low, high) = extent(plan);
    (PAGE_PT / (high - low)).min_element()
}
