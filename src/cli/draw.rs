//! What draws the pictures on this machine.

use super::Failure;
use super::frames::Choice;
use crate::picture::Prepared;
use image::RgbImage;

#[cfg(feature = "engine")]
mod with_engine {
    use super::{Choice, Failure, Prepared, RgbImage};
    use crate::picture::engine::{Shot, Studio, StudioError};

    /// A started engine.
    pub struct Drawer(Studio);

    pub fn open_drawer(_: Choice) -> Result<Drawer, Failure> {
        Studio::open().map(Drawer).map_err(failure)
    }

    impl Drawer {
        pub fn adapter(&self) -> &str {
            self.0.adapter()
        }

        pub fn draw(&mut self, ready: &Prepared, [width_px, height_px]: [u32; 2]) -> Result<RgbImage, Failure> {
            let shot = Shot {
                tableau: &ready.tableau,
                daylight: &ready.daylight,
                lamps: &ready.lamps,
                metered: &ready.metered,
                camera: &ready.composed.camera,
                width_px,
                height_px,
            };
            self.0.take(&shot).map_err(failure)
        }
    }

    fn failure(error: StudioError) -> Failure {
        match error {
            StudioError::TooLarge { .. } => Failure::Wrong(error.to_string()),
            _ => Failure::Machine(error.to_string()),
        }
    }
}

#[cfg(not(feature = "engine"))]
mod without_engine {
    use super::{Choice, Failure, Prepared, RgbImage};

    /// Never made: this build can't draw.
    pub enum Drawer {}

    pub fn open_drawer(_: Choice) -> Result<Drawer, Failure> {
        Err(Failure::Machine(
            "this build has no graphics engine: it was compiled with --no-default-features\n  \
             to do: build it without that option"
                .to_owned(),
        ))
    }

    impl Drawer {
        pub fn adapter(&self) -> &str {
            match *self {}
        }

        pub fn draw(&mut self, _: &Prepared, _: [u32; 2]) -> Result<RgbImage, Failure> {
            match *self {}
        }
    }
}

#[cfg(feature = "engine")]
pub use with_engine::{Drawer, open_drawer};
#[cfg(not(feature = "engine"))]
pub use without_engine::{Drawer, open_drawer};
