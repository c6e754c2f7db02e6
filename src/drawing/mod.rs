//! The floor plan as shapes, worked out once for the window, for paper and for the phone.
//!
//! Layers lie on each other in this order: venue, covered, routes, people, standpoints, guests who lose their view, labels,
//! names, focal lengths, sun, shadow, scale, north.

mod shape;

mod ink;

mod style;

mod colours;

mod screen;

mod print;

mod outline;

mod extent;

mod board;

mod venue;

mod words;

mod people;

mod crew;

mod focal;

mod guests;

mod compass;

mod shadow;

mod apart;

mod hit;

mod svg;

pub use apart::apart;
pub use compass::{north, scale_bar, sun};
pub use crew::{covered, routes, routes_at, standpoints, standpoints_at};
pub use extent::{ceremony_extent, extent, page_scale};
pub use focal::focal_length;
pub use guests::guests_losing;
pub use hit::hit;
pub use ink::Ink;
pub use people::{Body, bodies, people};
pub use shadow::{shadow, shadow_m};
pub use shape::{Align, Drawing, Form, Shape, Subject};
pub use style::{Hatch, Paint, Stroke, Style};
pub use svg::{SvgPage, svg};
pub use venue::venue;
pub use words::{labels, labels_at, names, names_at};
