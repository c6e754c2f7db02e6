//! What draws the pictures on this machine.

use super::frames::Choice;
use super::{Failure, Voice};
use crate::daylight::Daylight;
use crate::optics::Camera;
#[cfg(feature = "engine")]
use crate::picture::engine::{self, Studio, StudioError};
use crate::picture::tracer::{self, Samples, Tracer};
use crate::picture::{DrawnBy, Metered, Overview, Prepared};
use crate::sight::Sources;
use crate::staging::{OwnerKind, Tableau};
use image::RgbImage;

/// Set to 1, this makes a missing graphics adapter an error where the tracer would stand in.
const NEED_ENGINE: &str = "STANDPOINT_NEED_ENGINE";
/// Pixels that the tracer can hold: 9000 × 6000 take about 5 GB.
const MOST_TRACED_PX: u64 = 54_000_000;

/// What a picture is of.
pub struct Subject<'a> {
    pub tableau: &'a Tableau,
    pub daylight: &'a Daylight,
    pub metered: &'a Metered,
    pub camera: &'a Camera,
    pub sources: &'a Sources,
    pub taker: Option<OwnerKind>,
}

impl<'a> Subject<'a> {
    pub fn of(ready: &'a Prepared) -> Self {
        Self {
            tableau: &ready.tableau,
            daylight: &ready.daylight,
            metered: &ready.metered,
            camera: &ready.composed.camera,
            sources: &ready.sources,
            taker: Some(ready.taker),
        }
    }

    /// From above, lamps are off.
    pub fn from_above(overview: &'a Overview, tableau: &'a Tableau) -> Self {
        let Overview { camera, daylight, metered, sources } = overview;
        Self { tableau, daylight, metered, camera, sources, taker: None }
    }
}

/// Whatever draws.
pub enum Drawer {
    /// A started engine.
    #[cfg(feature = "engine")]
    Engine(Box<Studio>),
    Tracer(Tracer),
}

/// Starts what is asked for, or the best there is.
///
/// # Errors
/// The engine is asked for, or needed, and can't be had.
pub fn open_drawer(choice: Choice, voice: Voice) -> Result<Drawer, Failure> {
    match choice {
        Choice::Tracer => Ok(Drawer::Tracer(Tracer::new())),
        Choice::Engine => open_engine(),
        Choice::Auto => best(voice),
    }
}

#[cfg(feature = "engine")]
fn open_engine() -> Result<Drawer, Failure> {
    Studio::open().map(|studio| Drawer::Engine(Box::new(studio))).map_err(failure)
}

#[cfg(feature = "engine")]
fn best(voice: Voice) -> Result<Drawer, Failure> {
    match Studio::open() {
        Ok(studio) => Ok(Drawer::Engine(Box::new(studio))),
        Err(StudioError::NoAdapter(_)) if std::env::var_os(NEED_ENGINE).is_none_or(|value| value != "1") => {
            voice.say("no graphics adapter answered: the built-in tracer draws, which takes longer");
            Ok(Drawer::Tracer(Tracer::new()))
        }
        Err(error) => Err(failure(error)),
    }
}

#[cfg(not(feature = "engine"))]
fn open_engine() -> Result<Drawer, Failure> {
    Err(Failure::Machine(
        "this build has no graphics engine: it was compiled with --no-default-features\n  \
         to do: build it without that option, or draw with --drawn-by tracer"
            .to_owned(),
    ))
}

#[cfg(not(feature = "engine"))]
fn best(_: Voice) -> Result<Drawer, Failure> {
    if std::env::var_os(NEED_ENGINE).is_some_and(|value| value == "1") {
        return open_engine();
    }
    Ok(Drawer::Tracer(Tracer::new()))
}

impl Drawer {
    pub fn drawn_by(&self) -> DrawnBy {
        match self {
            #[cfg(feature = "engine")]
            Self::Engine(_) => DrawnBy::Engine,
            Self::Tracer(_) => DrawnBy::Tracer,
        }
    }

    /// The graphics adapter; empty for the tracer.
    pub fn adapter(&self) -> &str {
        match self {
            #[cfg(feature = "engine")]
            Self::Engine(studio) => studio.adapter(),
            Self::Tracer(_) => "",
        }
    }

    /// As a summary says it.
    pub fn name(&self) -> String {
        match self {
            #[cfg(feature = "engine")]
            Self::Engine(studio) => format!("the engine on {}", studio.adapter()),
            Self::Tracer(_) => match rayon::current_num_threads() {
                1 => "the built-in tracer on 1 thread".to_owned(),
                threads => format!("the built-in tracer on {threads} threads"),
            },
        }
    }

    /// Draws one picture; `done` hears the share that is done.
    ///
    /// # Errors
    /// The picture is too large, or the graphics device failed.
    pub fn draw(
        &mut self,
        subject: &Subject,
        [width_px, height_px]: [u32; 2],
        done: impl Fn(f32),
    ) -> Result<RgbImage, Failure> {
        let &Subject { tableau, daylight, metered, camera, sources, taker } = subject;
        match self {
            #[cfg(feature = "engine")]
            Self::Engine(studio) => {
                let lamps = &sources.lamps;
                let shot = engine::Shot { tableau, daylight, lamps, metered, camera, width_px, height_px };
                studio.take(&shot).map_err(failure)
            }
            Self::Tracer(tracer) => {
                if u64::from(width_px) * u64::from(height_px) > MOST_TRACED_PX {
                    return Err(Failure::Wrong(format!(
                        "a picture of {width_px} × {height_px} pixels is too large for the tracer\n  \
                         to do: choose a smaller --width, 9000 at most"
                    )));
                }
                let shot = tracer::Shot { tableau, daylight, sources, metered, camera, taker, width_px, height_px };
                Ok(tracer.take(&shot, Samples::USUAL, done))
            }
        }
    }
}

#[cfg(feature = "engine")]
fn failure(error: StudioError) -> Failure {
    match error {
        StudioError::TooLarge { .. } => Failure::Wrong(error.to_string()),
        StudioError::NoAdapter(_) => {
            Failure::Machine(format!("{error}; or draw without one, which takes longer: --drawn-by tracer"))
        }
        _ => Failure::Machine(error.to_string()),
    }
}
