//! Blocks of seats: where each seat is, and what stands there to sit on.

use super::carve::{Carver, Place, cut, of, rgb};
use super::floor::{floor_height, plan_spot};
use super::tableau::{Finish, Part};
use crate::plan::{SeatBlock, SeatKind, Venue};
use glam::{Quat, Vec2};

/// A seat on the floor: its middle, and where one faces who sits there (radians from −z, clockwise from above).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeatSpot {
    pub at: Vec2,
    pub heading: f32,
}

/// Row and seat count from 0, seat 0 at the left of those who sit.
///
/// In a curved block the rows are arcs about the point the front row's middle seat faces, and seats keep their pitch
/// along the arc.
pub fn seat_spot(block: &SeatBlock, row: u32, seat: u32) -> SeatSpot {
    let along = (seat as f32 - (block.seats_per_row as f32 - 1.0) * 0.5) * block.seat_pitch_m;
    let back = row as f32 * block.row_pitch_m;
    match block.curve_radius_m {
        None => SeatSpot { at: plan_spot(Vec2::new(along, back), block.front, block.heading), heading: block.heading },
        Some(radius_m) => {
            let radius = radius_m.max(0.1);
            let angle = along / (radius + back);
            let own = Vec2::new(angle.sin() * (radius + back), angle.cos() * (radius + back) - radius);
            SeatSpot { at: plan_spot(own, block.front, block.heading), heading: block.heading - angle }
        }
    }
}

/// All seats of a block as solids.
pub fn carve_seats(carver: &mut Carver, venue: &Venue, block: &SeatBlock) {
    for row in 0..block.rows {
        match block.kind {
            SeatKind::Standing => {}
            SeatKind::Chair => each_seat(carver, venue, block, row, folding_chair),
            SeatKind::Stool => each_seat(carver, venue, block, row, stool),
            SeatKind::Pew | SeatKind::Bench => long_seats(carver, venue, block, row),
        }
    }
}

fn each_seat(carver: &mut Carver, venue: &Venue, block: &SeatBlock, row: u32, carve: fn(&mut Carver, Place, f32)) {
    for seat in 0..block.seats_per_row {
        let spot = seat_spot(block, row, seat);
        let place = Place::facing(spot.at, floor_height(venue, spot.at), spot.heading);
        carve(carver, place, block.seat_height_m);
    }
}

/// A white folding chair: two crossing pairs of legs, a slightly dished seat, a back of two rails and slats.
fn folding_chair(carver: &mut Carver, place: Place, seat_m: f32) {
    carve_chair(carver, place, [0.42, seat_m, seat_m + 0.42]);
}

/// The chair itself: its width, the height of its seat and of its back's top.
pub fn carve_chair(carver: &mut Carver, place: Place, [w, seat_m, back_top]: [f32; 3]) {
    let wood = of(Finish::Paint, rgb(0.90, 0.88, 0.83));
    let part = Part::Seat;
    carver.add(place, cut(w - 0.05, 0.028, 0.40).at(0.0, seat_m - 0.014, 0.0).round(0.010), part, wood);
    for side in [-1.0, 1.0] {
        let x = side * w * 0.5;
        // One leg runs from the front foot up to the top of the back, the other crosses it.
        let long = back_top.hypot(0.42);
        carver.add(
            place,
            cut(0.026, long, 0.036)
                .at(x, back_top * 0.5, 0.03)
                .turned(Quat::from_rotation_x((0.42_f32 / back_top).atan()))
                .round(0.008),
            part,
            wood,
        );
        let short = seat_m.hypot(0.36);
        carver.add(
            place,
            cut(0.024, short, 0.034)
                .at(x - side * 0.024, seat_m * 0.5, 0.02)
                .turned(Quat::from_rotation_x(-(0.36 / seat_m.max(0.1)).atan()))
                .round(0.008),
            part,
            wood,
        );
    }
    let lean = Quat::from_rotation_x((0.42_f32 / back_top).atan());
    let z = |y: f32| 0.03 + (y - back_top * 0.5) * 0.42 / back_top;
    for (y, high) in [(back_top - 0.05, 0.085), ((seat_m + back_top) * 0.5 - 0.01, 0.045)] {
        carver.add(place, cut(w, high, 0.018).at(0.0, y, z(y)).turned(lean).round(0.006), part, wood);
    }
    carver.add(place, cut(w - 0.06, 0.024, 0.024).at(0.0, 0.16, 0.14).round(0.008), part, wood);
}

fn stool(carver: &mut Carver, place: Place, seat_m: f32) {
    let wood = of(Finish::Wood, rgb(0.62, 0.47, 0.32));
    carver.add(place, cut(0.36, 0.045, 0.36).at(0.0, seat_m - 0.022, 0.0).round(0.015), Part::Seat, wood);
    for (x, z) in [(-0.13, -0.13), (0.13, -0.13), (-0.13, 0.13), (0.13, 0.13)] {
        let splay = Quat::from_rotation_z(x * 0.5) * Quat::from_rotation_x(-z * 0.5);
        carver.add(
            place,
            cut(0.034, seat_m - 0.03, 0.034).at(x, (seat_m - 0.03) * 0.5, z).turned(splay).round(0.010),
            Part::Seat,
            wood,
        );
    }
    carver.add(place, cut(0.27, 0.022, 0.022).at(0.0, seat_m * 0.35, -0.14).round(0.008), Part::Seat, wood);
}

/// Pews and benches run along the whole row; a curved row is laid in straight pieces of up to three seats.
fn long_seats(carver: &mut Carver, venue: &Venue, block: &SeatBlock, row: u32) {
    let whole = if block.curve_radius_m.is_some() { 3 } else { block.seats_per_row.max(1) };
    let mut first = 0;
    while first < block.seats_per_row {
        let count = whole.min(block.seats_per_row - first);
        let (a, b) = (seat_spot(block, row, first), seat_spot(block, row, first + count - 1));
        let middle = (a.at + b.at) * 0.5;
        let heading = (a.heading + b.heading) * 0.5;
        let width = a.at.distance(b.at) + block.seat_pitch_m;
        let place = Place::facing(middle, floor_height(venue, middle), heading);
        match block.kind {
            SeatKind::Pew => pew(carver, place, width, block.seat_height_m),
            _ => bench(carver, place, width, block.seat_height_m),
        }
        first += count;
    }
}

fn pew(carver: &mut Carver, place: Place, width: f32, seat_m: f32) {
    let oak = of(Finish::Wood, rgb(0.42, 0.28, 0.17));
    let dark = of(Finish::Wood, rgb(0.36, 0.235, 0.14));
    let part = Part::Seat;
    carver.add(place, cut(width, 0.04, 0.40).at(0.0, seat_m - 0.02, 0.0).round(0.012), part, oak);
    let lean = Quat::from_rotation_x(0.12);
    carver.add(place, cut(width, 0.48, 0.03).at(0.0, seat_m + 0.23, 0.235).turned(lean).round(0.008), part, oak);
    carver.add(place, cut(width, 0.05, 0.075).at(0.0, seat_m + 0.47, 0.26).round(0.02), part, dark);
    // A shelf for books on the back, and the board under the seat.
    carver.add(place, cut(width, 0.02, 0.12).at(0.0, seat_m + 0.30, 0.33).round(0.006), part, dark);
    carver.add(place, cut(width, seat_m - 0.10, 0.025).at(0.0, (seat_m - 0.10) * 0.5 + 0.05, 0.13), part, dark);
    for side in [-1.0, 1.0] {
        let end =
            cut(0.05, seat_m + 0.50, 0.50).at(side * (width * 0.5 - 0.01), (seat_m + 0.50) * 0.5, 0.05).top(1.0, 0.62);
        carver.add(place, end.round(0.016), part, dark);
    }
}

fn bench(carver: &mut Carver, place: Place, width: f32, seat_m: f32) {
    let wood = of(Finish::Wood, rgb(0.66, 0.54, 0.40));
    for z in [-0.10, 0.10] {
        carver.add(place, cut(width, 0.05, 0.17).at(0.0, seat_m - 0.025, z).round(0.012), Part::Seat, wood);
    }
    let trestles = (width / 2.2).ceil().max(1.0) as u32 + 1;
    for i in 0..trestles {
        let x = (i as f32 / (trestles - 1).max(1) as f32 - 0.5) * (width - 0.4);
        carver.add(
            place,
            cut(0.06, seat_m - 0.05, 0.34).at(x, (seat_m - 0.05) * 0.5, 0.0).top(1.0, 0.8).round(0.012),
            Part::Seat,
            wood,
        );
    }
}
