//! The shortest walkable way on the floor, round everything one can't walk through.

mod obstacles;

mod shortest;

mod outline;

mod walls;

mod platforms;

mod fixtures;

mod meshes;

mod seats;

mod pieces;

pub use obstacles::{Blocker, Obstacles, Route};
