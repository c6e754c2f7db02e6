//! Plan and instant to tableau: figures, seating, fixtures, venue, as posed solids with owners.

mod tableau;

mod stage;

mod couple;

pub mod run;

mod scene;

mod people;

mod guests;

mod aim;

mod crew;

mod cast;

mod kiss;

pub mod gait;

pub mod figure;

mod wardrobe;

mod seating;

mod floor;

pub mod route;

mod venue;

mod fixtures;

mod meshes;

mod carve;

mod chance;

mod angle;

pub use aim::{current_frame, standpoint_headings};
pub use angle::heading_to;
pub use chance::Chance;
pub use couple::{couple, moment_at};
pub use floor::floor_height;
pub(crate) use floor::plan_spot;
pub use guests::{child_stature, stature};
pub(crate) use meshes::mesh_feet;
pub use run::{Hitch, Run, What, rehearse};
pub use scene::{attention_point, standpoint_at, standpoint_eye};
pub use seating::{SeatSpot, seat_spot};
pub use stage::stage;
pub use tableau::*;
pub use venue::string_point;
pub(crate) use venue::walls::{ROOM_WALL_M, room_sides};
