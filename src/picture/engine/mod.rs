//! The engine picture: Bevy without a window, one start for all frames.
//!
//! The only places where the engine's app and entities appear are here and in the window.

mod adapter;
mod blur;
mod ids;
mod scene;
mod studio;
mod textures;

pub(crate) use adapter::BACKENDS;
pub use adapter::{Adapter, NoAdapter, find_adapter};
pub use ids::{Edges, IdShot};
pub use studio::{Shot, Studio, StudioError};
