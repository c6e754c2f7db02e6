//! What draws the pictures on this machine.

use super::Failure;
use super::frames::Choice;
use crate::daylight::Daylight;
use crate::optics::Camera;
use crate::picture::{Metered, Overview, Prepared};
use crate::sight::LampPoint;
use crate::staging::Tableau;
use image::RgbImage;

/// What a picture is of.
#[cfg_attr(not(feature = "engine"), allow(dead_code, reason = "nothing draws in a build without the engine"))]
pub struct Subject<'a> {
    pub tableau: &'a Tableau,
    pub daylight: &'a Daylight,
    pub metered: &'a Metered,
    pub camera: &'a Camera,
    pub lamps: &'a [LampPoint],
}

impl<'a> Subject<'a> {
    pub fn of(ready: &'a Prepared) -> Self {
        Self {
            tableau: &ready.tableau,
            daylight: &ready.daylight,
            metered: &ready.metered,
            camera: &ready.composed.camera,
            lamps: &ready.lamps,
        }
    }

    /// From above, lamps are off.
    pub fn from_above(overview: &'a Overview, tableau: &'a Tableau) -> Self {
        let Overview { camera, daylight, metered } = overview;
        Self { tableau, daylight, metered, camera, lamps: &[] }
    }
}

#[cfg(feature = "engine")]
mod with_engine {
    use super::{Choice, Failure, RgbImage, Subject};
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

        pub fn draw(&mut self, subject: &Subject, [width_px, height_px]: [u32; 2]) -> Result<RgbImage, Failure> {
            let &Subject { tableau, daylight, metered, camera, lamps } = subject;
            let shot = Shot { tableau, daylight, lamps, metered, camera, width_px, height_px };
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
    use super::{Choice, Failure, RgbImage, Subject};

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

        pub fn draw(&mut self, _: &Subject, _: [u32; 2]) -> Result<RgbImage, Failure> {
            match *self {}
        }
    }
}

#[cfg(feature = "engine")]
pub use with_engine::{Drawer, open_drawer};
#[cfg(not(feature = "engine"))]
pub use without_engine::{Drawer, open_drawer};
