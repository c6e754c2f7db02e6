//! Rows of seats as obstacles, and how one gets out of them.

use super::obstacles::{Blocker, Obstacles};
use super::outline::Outline;
use crate::plan::{SeatBlock, SeatKind, SeatsIx, Venue};
use crate::staging::floor::plan_spot;
use crate::staging::run::UP_FROM_SEAT_M;
use glam::{DVec2, Vec2};

/// From the seat's middle to the back of the chair and to the knees of whoever sits: *judged* on our seated figures;
/// buttock to knee is about 0.6 m.
const BEHIND_M: f64 = 0.30;
const KNEES_M: f64 = 0.45;
/// Half the depth of someone who stands in a row.
const STANDING_M: f64 = 0.25;
/// Chairs further apart than this stand alone: one passes between them.
const ALONE_FROM_M: f64 = 1.1;
const ALONE_WIDTH_M: f64 = 0.6;
/// A curved row is laid in straight pieces of so many seats, turned by so much at most.
const PIECE_SEATS: u32 = 3;
const PIECE_TURN: f64 = 0.5;
/// What one who sidles along a row keeps off posts and walls.
const SIDLING_M: f32 = 0.12;
const UP_M: f64 = UP_FROM_SEAT_M as f64;
/// How much further than just free one steps out of a row, and where else one tries.
const CLEAR_M: f64 = 0.02;
const FURTHER_M: [f64; 4] = [0.0, 0.2, 0.4, 0.6];

pub fn add(all: &mut Obstacles, venue: &Venue) {
    for (ix, block) in venue.seats.iter().enumerate() {
        for row in 0..block.rows {
            let of = Blocker::Row { seats: ix, row };
            let whole = seats_in_a_piece(block, row);
            let mut first = 0;
            while first < block.seats_per_row {
                let count = whole.min(block.seats_per_row - first);
                all.add(of, piece(block, row, first, first + count - 1));
                first += count;
            }
        }
    }
}

fn seats_in_a_piece(block: &SeatBlock, row: u32) -> u32 {
    if stands_alone(block) {
        return 1;
    }
    row_radius_m(block, row).map_or(block.seats_per_row.max(1), |radius_m| {
        ((PIECE_TURN * radius_m / f64::from(block.seat_pitch_m)) as u32).clamp(1, PIECE_SEATS)
    })
}

fn stands_alone(block: &SeatBlock) -> bool {
    f64::from(block.seat_pitch_m) >= ALONE_FROM_M && !matches!(block.kind, SeatKind::Pew | SeatKind::Bench)
}

/// Corners of a piece of a row, from the first to the last of these seats.
fn piece(block: &SeatBlock, row: u32, first: u32, last: u32) -> [DVec2; 4] {
    let half_m = if stands_alone(block) { ALONE_WIDTH_M } else { f64::from(block.seat_pitch_m) } * 0.5;
    let ends = [along_m(block, first) - half_m, along_m(block, last) + half_m];
    let [front_m, behind_m] = depth(block.kind);
    // Backs stand on an arc; the piece reaches to where the tangent in its middle crosses its ends.
    let bulge_m = row_radius_m(block, row).map_or(0.0, |radius_m| {
        let half_turn = ((ends[1] - ends[0]) * 0.5 / radius_m).min(1.0);
        (radius_m + behind_m) * (1.0 / half_turn.cos() - 1.0)
    });
    let [a, b] = ends.map(|along_m| spot_in_row(block, row, along_m, front_m));
    let [c, d] = ends.map(|along_m| spot_in_row(block, row, along_m, -behind_m - bulge_m));
    [a, b, c, d]
}

/// Where a seat is along its row, from the row's middle.
fn along_m(block: &SeatBlock, seat: u32) -> f64 {
    (f64::from(seat) - (f64::from(block.seats_per_row) - 1.0) * 0.5) * f64::from(block.seat_pitch_m)
}

/// Of a curved block, the distance of this row's seats from the point that the rows bend about.
fn row_radius_m(block: &SeatBlock, row: u32) -> Option<f64> {
    let back_m = f64::from(row) * f64::from(block.row_pitch_m);
    block.curve_radius_m.map(|radius_m| f64::from(radius_m.max(0.1)) + back_m)
}

/// A spot along a row, to the right of its middle as those who sit there see it, and before its seats: as
/// [`seat_spot`](crate::staging::seat_spot) has it, for spots between and before the seats.
fn spot_in_row(block: &SeatBlock, row: u32, along_m: f64, ahead_m: f64) -> DVec2 {
    let back_m = f64::from(row) * f64::from(block.row_pitch_m);
    let own = match row_radius_m(block, row) {
        None => DVec2::new(along_m, back_m - ahead_m),
        Some(radius_m) => {
            let (sin, cos) = (along_m / radius_m).sin_cos();
            // Not beyond the point itself.
            let out_m = (radius_m - ahead_m).max(0.05);
            DVec2::new(sin * out_m, cos * out_m - radius_m + back_m)
        }
    };
    plan_spot(own.as_vec2(), block.front, block.heading).as_dvec2()
}

/// Before the seat's middle, and behind it.
fn depth(kind: SeatKind) -> [f64; 2] {
    match kind {
        SeatKind::Standing => [STANDING_M, STANDING_M],
        _ => [KNEES_M, BEHIND_M],
    }
}

impl Obstacles {
    /// The spots by which one leaves a seat, from where one stands up to one that is free on all sides; the way to a seat
    /// is the same backwards. Walk it straight from spot to spot, and look for a route only from its end.
    ///
    /// Straight ahead where there is room before the row, else along the gap before the seats to the nearer end, or the
    /// other if that is closed. `None` for a seat that isn't there, and where one can't get out.
    pub fn way_to_seat(
        &self,
        venue: &Venue,
        seats: SeatsIx,
        row: u32,
        seat: u32,
        clearance_m: f32,
    ) -> Option<Vec<Vec2>> {
        let block = venue.seats.get(seats.0).filter(|block| row < block.rows && seat < block.seats_per_row)?;
        let gap = Gap { all: self, block, own: Blocker::Row { seats: seats.0, row }, row, clearance_m };
        let (to_left, to_right) = (seat, block.seats_per_row - 1 - seat);
        let sides = if to_left < to_right { [-1.0, 1.0] } else { [1.0, -1.0] };
        let aside = || sides.into_iter().find_map(|side| gap.aside(seat, side));
        gap.ahead(seat).or_else(|| if stands_alone(block) { gap.round_the_chair(seat, sides) } else { aside() })
    }
}

/// The gap before a row.
struct Gap<'a> {
    all: &'a Obstacles,
    block: &'a SeatBlock,
    own: Blocker,
    row: u32,
    clearance_m: f32,
}

impl Gap<'_> {
    fn spot(&self, along_m: f64, ahead_m: f64) -> Vec2 {
        spot_in_row(self.block, self.row, along_m, ahead_m).as_vec2()
    }

    /// Where one stands up from a seat, and steps into the gap.
    fn stands(&self, seat: u32) -> Vec<Vec2> {
        let at_m = along_m(self.block, seat);
        let up = self.spot(at_m, UP_M);
        match self.block.kind {
            SeatKind::Standing => vec![self.spot(at_m, 0.0), up],
            _ => vec![up],
        }
    }

    fn ahead(&self, seat: u32) -> Option<Vec<Vec2>> {
        let [front_m, _] = depth(self.block.kind);
        let out = self.spot(along_m(self.block, seat), front_m + f64::from(self.clearance_m) + CLEAR_M);
        self.to_the_first_free(self.stands(seat), [out])
    }

    /// Left is −1, right 1, as those who sit there see it. A little beyond the row's end, or a little further where
    /// something stands there.
    fn aside(&self, seat: u32, side: f64) -> Option<Vec<Vec2>> {
        let mut way = self.stands(seat);
        let last = if side < 0.0 { 0 } else { self.block.seats_per_row - 1 };
        let mut next = seat;
        while next != last {
            next = if side < 0.0 { next - 1 } else { next + 1 };
            way.push(self.spot(along_m(self.block, next), UP_M));
        }
        let end_m = f64::from(self.block.seat_pitch_m) * 0.5;
        self.to_the_first_free(way, FURTHER_M.map(|m| self.spot(self.beside_m(last, side, end_m + m), UP_M)))
    }

    /// From a chair that stands alone: past its sides, or behind it. At a piano there is no room before it.
    fn round_the_chair(&self, seat: u32, sides: [f64; 2]) -> Option<Vec<Vec2>> {
        let beside = sides
            .into_iter()
            .flat_map(|side| FURTHER_M.map(|m| self.spot(self.beside_m(seat, side, ALONE_WIDTH_M * 0.5 + m), 0.0)));
        let [_, behind_m] = depth(self.block.kind);
        let behind = -behind_m - f64::from(self.clearance_m) - CLEAR_M;
        let behind = FURTHER_M.map(|m| self.spot(along_m(self.block, seat), behind - m));
        self.to_the_first_free(self.stands(seat), beside.chain(behind))
    }

    fn beside_m(&self, seat: u32, side: f64, end_m: f64) -> f64 {
        along_m(self.block, seat) + side * (end_m + f64::from(self.clearance_m) + CLEAR_M)
    }

    /// The way with the first spot that one can stand on and get to. Rows of the same block leave the gap free, and one
    /// gets out of what one stands in.
    fn to_the_first_free(&self, mut way: Vec<Vec2>, outs: impl IntoIterator<Item = Vec2>) -> Option<Vec<Vec2>> {
        let up = way.first()?.as_dvec2();
        let passes = |o: &Outline| same_block(o.of, self.own) || o.apart_m(up) <= 0.0;
        let walks = |a: Vec2, b: Vec2| self.all.crossing_but(a, b, SIDLING_M, passes).is_none();
        let last = *way.last()?;
        let free = |out: &Vec2| self.all.blocking(*out, self.clearance_m).is_none() && walks(last, *out);
        let out = outs.into_iter().find(free)?;
        let gap_is_free = way.windows(2).all(|leg| walks(leg[0], leg[1]));
        way.push(out);
        gap_is_free.then_some(way)
    }
}

fn same_block(a: Blocker, b: Blocker) -> bool {
    matches!((a, b), (Blocker::Row { seats: a, .. }, Blocker::Row { seats: b, .. }) if a == b)
}
