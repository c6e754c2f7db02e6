//! Every seat where it is, with its back behind it.

use super::super::outline::{ellipse, rectangle};
use super::super::{Drawing, Ink, Subject};
use crate::plan::{SeatKind, SeatsIx, Venue};
use crate::staging::{plan_spot, seat_spot};
use glam::Vec2;

/// Sides of what one sits on, as seats are carved: chairs and stools by themselves, pews and benches in one with the next.
const CHAIR_M: Vec2 = Vec2::new(0.42, 0.40);
const STOOL_M: f32 = 0.36;
const DEEP_M: f32 = 0.40;
/// Where somebody stands in a row without seats.
const STANDING_M: f32 = 0.24;
/// From the middle of a seat to its back.
const BACK_M: f32 = 0.22;

pub fn draw(drawing: &mut Drawing, venue: &Venue) {
    for (i, block) in venue.seats.iter().enumerate() {
        let of = Some(Subject::Seats(SeatsIx(i)));
        for (row, seat) in (0..block.rows).flat_map(|row| (0..block.seats_per_row).map(move |seat| (row, seat))) {
            let spot = seat_spot(block, row, seat);
            let wide_m = match block.kind {
                SeatKind::Pew | SeatKind::Bench => block.seat_pitch_m,
                _ => CHAIR_M.x,
            };
            let outline = match block.kind {
                SeatKind::Chair => rectangle(spot.at, spot.heading, CHAIR_M),
                SeatKind::Pew | SeatKind::Bench => rectangle(spot.at, spot.heading, Vec2::new(wide_m, DEEP_M)),
                SeatKind::Stool => ellipse(spot.at, spot.heading, Vec2::splat(STOOL_M)),
                SeatKind::Standing => ellipse(spot.at, spot.heading, Vec2::splat(STANDING_M)),
            };
            drawing.area(vec![outline], Ink::Seat, of);
            if matches!(block.kind, SeatKind::Chair | SeatKind::Pew) {
                let end = |x: f32| plan_spot(Vec2::new(x * wide_m * 0.5, BACK_M), spot.at, spot.heading);
                drawing.line(vec![end(-1.0), end(1.0)], Ink::SeatBack, of);
            }
        }
    }
}
