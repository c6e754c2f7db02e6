//! Where no photographer may go, and ways out that stay free.

use super::super::outline::{arrow_head, band};
use super::super::{Drawing, Ink, Subject};
use crate::plan::Venue;
use crate::staging::heading_to;

const ARROW_M: f32 = 0.45;

pub fn draw(drawing: &mut Drawing, venue: &Venue) {
    for (i, route) in venue.escape_routes.iter().enumerate() {
        let of = Some(Subject::EscapeRoute(i));
        drawing.area(vec![band(&route.path, route.width_m)], Ink::EscapeBand, of);
        drawing.line(route.path.clone(), Ink::EscapeRoute, of);
        if let [.., from, to] = route.path[..]
            && let Some(heading) = heading_to(from, to)
        {
            drawing.area(vec![arrow_head(to, heading, ARROW_M)], Ink::EscapeHead, of);
        }
    }
    for (i, keep_out) in venue.keep_outs.iter().enumerate() {
        drawing.area(vec![keep_out.outline.clone()], Ink::KeepOut, Some(Subject::KeepOut(i)));
    }
}
