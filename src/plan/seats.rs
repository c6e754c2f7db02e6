//! Where each seat of a block is.

use super::model::SeatBlock;
use glam::Vec2;

/// Unit vector on the floor of a heading: 0 is `−z`, π/2 is `+x`.
pub fn forward(heading: f32) -> Vec2 {
    Vec2::new(heading.sin(), -heading.cos())
}

impl SeatBlock {
    /// Centre and heading of a seat; row and seat count from 0, seat 0 at the left of those who sit.
    ///
    /// In a curved block rows are arcs about the point that the front row faces, so that the pitch along every
    /// row stays the same.
    pub fn seat_at(&self, row: u32, seat: u32) -> (Vec2, f32) {
        let ahead = forward(self.heading);
        let right = Vec2::new(-ahead.y, ahead.x);
        let back_m = row as f32 * self.row_pitch_m;
        let along_m = (seat as f32 - (self.seats_per_row as f32 - 1.0) / 2.0) * self.seat_pitch_m;
        let Some(radius) = self.curve_radius_m else {
            return (self.front - ahead * back_m + right * along_m, self.heading);
        };
        let centre = self.front + ahead * radius;
        let row_radius = radius + back_m;
        let angle = along_m / row_radius;
        (centre + row_radius * (right * angle.sin() - ahead * angle.cos()), self.heading - angle)
    }

    /// Centres of all seats, row by row.
    pub fn seat_centres(&self) -> impl Iterator<Item = Vec2> + '_ {
        (0..self.rows).flat_map(move |row| (0..self.seats_per_row).map(move |seat| self.seat_at(row, seat).0))
    }
}
