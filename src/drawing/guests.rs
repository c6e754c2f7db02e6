//! Guests whose view of the couple the crew takes.

use super::outline::ellipse;
use super::{Drawing, Ink, Subject};
use crate::plan::PersonIx;
use crate::sight::GuestsSeen;
use crate::staging::{OwnerKind, Tableau};
use glam::Vec2;

/// Less than this of a view is not worth a mark, and who loses more than this loses much. *Our own*, as on the other plans of
/// guests' views.
const MARKED_SHARE: f64 = 0.02;
const MUCH_SHARE: f64 = 1.0 / 3.0;
const RING_M: f32 = 0.34;

/// A ring round each of them at the instant of `tableau`, struck through where more than a third of the view is taken.
pub fn guests_losing(seen: &GuestsSeen, tableau: &Tableau) -> Drawing {
    let mut drawing = Drawing::default();
    for guest in seen.guests.iter().filter(|guest| guest.lost_share >= MARKED_SHARE) {
        let of = tableau.figures.iter().map(|figure| figure.owner).find(|ix| tableau.owner(*ix).id == guest.id);
        let of = of.map(|ix| match tableau.owner(ix).kind {
            OwnerKind::Person(PersonIx(person)) => Subject::Person(PersonIx(person)),
            _ => Subject::Guest(ix.0),
        });
        let at = Vec2::new(guest.eyes[0], guest.eyes[2]);
        drawing.ring(ellipse(at, 0.0, Vec2::splat(2.0 * RING_M)), Ink::GuestLosing, of);
        if guest.lost_share > MUCH_SHARE {
            let end = Vec2::new(RING_M, -RING_M) * std::f32::consts::FRAC_1_SQRT_2;
            drawing.line(vec![at - end, at + end], Ink::GuestLosing, of);
        }
    }
    drawing
}
