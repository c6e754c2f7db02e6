//! What is worked out beside the frame loop for an instant: a picture from each photographer's camera, what the cameras cover,
//! whose view they take.

use super::document::Reading;
use crate::picture::{InTheFinder, Prepared, checked, in_the_finder, picture_size, prepare_in};
use crate::plan::{PhotographerIx, Plan};
use crate::sight::{Covered, GuestsSeen, covered, guests_seen};
use crate::staging::{OwnerKind, Run, Tableau, current_frame};
use glam::{Mat3, Vec3};
use image::RgbImage;
use std::sync::Arc;

/// Draws a prepared frame, its long side so many pixels, or says why it can't.
pub type Draw = Box<dyn FnMut(&Prepared, u32) -> Result<RgbImage, String>>;

/// Cameras are drawn covering the floor at this height: faces of those who sit.
const COVERED_AT_M: f32 = 1.2;
const COVERED_TO_M: f32 = 30.0;

/// What is asked for; the newest wins.
#[derive(Clone)]
pub struct Ask {
    pub reading: Arc<Reading>,
    pub revision: u64,
    pub at_s: f64,
    /// Long side of each photographer's picture; 0 draws none.
    pub long_px: Vec<u32>,
    /// Whether what is covered and seen is asked for too.
    pub floor: bool,
    /// Whose each pixel is, in place of the picture.
    pub checked: bool,
}

/// A piece of the answer.
pub enum Finder {
    Picture {
        crew: PhotographerIx,
        revision: u64,
        at_s: f64,
        picture: RgbImage,
        facts: Facts,
    },
    /// The camera is down, or the picture can't be drawn.
    Down {
        crew: PhotographerIx,
        revision: u64,
        at_s: f64,
        why: String,
    },
    Floor {
        revision: u64,
        at_s: f64,
        covered: Vec<(PhotographerIx, Covered)>,
        seen: Box<GuestsSeen>,
        tableau: Box<Tableau>,
    },
}

/// What stands below a viewfinder.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// The frame that is worked on, by its place in the plan, and whether this is its own instant.
    pub frame: Option<usize>,
    pub is_its_instant: bool,
    pub standpoint: usize,
    pub focal_m: f64,
    pub f_number: f64,
    pub shutter_s: f64,
    pub iso: f64,
    pub focus_m: f64,
    pub eye: Vec3,
    /// Columns: right, up, back.
    pub turned: Mat3,
    /// Half the picture's width and height over its distance.
    pub half: [f32; 2],
    pub remarks: Vec<String>,
}

impl Facts {
    /// Whether the plan still has what they speak of: they may be of a text before.
    pub fn fit(&self, plan: &Plan) -> bool {
        self.frame.is_none_or(|frame| frame < plan.frames.len()) && self.standpoint < plan.standpoints.len()
    }
}

/// Answers a question, piece by piece.
pub fn answer(ask: &Ask, draw: &mut Draw, tell: &dyn Fn(Finder)) {
    let plan = &ask.reading.plan;
    let run = Run::new(plan);
    let (revision, at_s) = (ask.revision, ask.at_s);
    let mut covers = Vec::new();
    for number in 0..plan.crew.len() {
        let crew = PhotographerIx(number);
        let down = |why: String| tell(Finder::Down { crew, revision, at_s, why });
        let frame = match in_the_finder(&run, crew, at_s) {
            InTheFinder::Frame(frame) => frame,
            InTheFinder::Walks(to) => {
                down(format!("walks to {}", plan.standpoints[to.0].id));
                continue;
            }
            InTheFinder::Away => {
                down("not in place yet, or off".to_owned());
                continue;
            }
        };
        let ready = match prepare_in(&run, &frame) {
            Ok(ready) => ready,
            Err(error) => {
                down(error.to_string());
                continue;
            }
        };
        let camera = &ready.composed.camera;
        let long_px = ask.long_px.get(number).copied().unwrap_or(0);
        if long_px > 0 {
            let planned = current_frame(&run, crew, at_s);
            let facts =
                facts(&ready, planned, planned.is_some_and(|ix| (plan.at_s(&plan.frames[ix]) - at_s).abs() < 0.05));
            let picture = if ask.checked { Ok(checked(plan, &ready, long_px)) } else { draw(&ready, long_px) };
            match picture {
                Ok(picture) => tell(Finder::Picture { crew, revision, at_s, picture, facts }),
                Err(why) => down(why),
            }
        }
        if ask.floor {
            let taker = ready.tableau.figure_of(OwnerKind::Photographer(crew)).map(|figure| figure.owner);
            covers.push((crew, covered(&ready.tableau, camera, COVERED_AT_M, COVERED_TO_M, taker)));
        }
    }
    if ask.floor {
        let tableau = Box::new(run.tableau(at_s));
        let seen = Box::new(guests_seen(plan, &tableau));
        tell(Finder::Floor { revision, at_s, covered: covers, seen, tableau });
    }
}

fn facts(ready: &Prepared, frame: Option<usize>, is_its_instant: bool) -> Facts {
    let camera = &ready.composed.camera;
    let half_height = (camera.vertical_fov() / 2.0).tan() as f32;
    let [width, height] = picture_size(camera.sensor_m, 1000);
    Facts {
        frame,
        is_its_instant,
        standpoint: ready.frame.standpoint.0,
        focal_m: camera.focal_m,
        f_number: camera.f_number,
        shutter_s: camera.shutter_s,
        iso: camera.iso,
        focus_m: camera.focus_m,
        eye: camera.eye,
        turned: Mat3::from_quat(camera.turned),
        half: [half_height * width as f32 / height as f32, half_height],
        remarks: ready.remarks(),
    }
}
