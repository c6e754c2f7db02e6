//! What one frame sees, in numbers: whom, how much of each, what is in the way, what lies round their heads.
//!
//! Counted on the id image, a ray through the middle of every pixel. Veils, window glass and other things that one sees
//! through hide nothing and are not counted; the photographer who takes the frame isn't there.

mod heads;
mod joints;
mod parts;
mod people;
mod place;
mod round;
mod sun;

pub use heads::{Beside, HeadRing, Merger};
pub use joints::CutJoint;
pub use parts::PartSeen;
pub use people::PersonSeen;
pub use place::{AudienceSeen, ThingSeen};
pub use sun::SunSeen;

use super::caster::Caster;
use super::ids::{IdImage, Pane};
use crate::daylight::Daylight;
use crate::optics::Camera;
use crate::plan::{Frame, Plan};
use crate::staging::{OwnerKind, Part, Tableau};
use serde::Serialize;
use std::collections::BTreeMap;

/// A frame's people, things and light. Pixels are those of a picture of `width` × `height`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FrameSeen {
    pub id: String,
    pub moment: String,
    /// Seconds into the ceremony.
    pub at_s: f64,
    pub photographer: String,
    pub width: u32,
    pub height: u32,
    /// Centre of projection, metres.
    pub eye: [f32; 3],
    /// Named people of whom something is in the frame, and all whom the frame is of; in the plan's order.
    pub people: Vec<PersonSeen>,
    /// Fixtures, meshes, seats and the venue, by pixels.
    pub things: Vec<ThingSeen>,
    pub audience: AudienceSeen,
    /// Pixels of every other photographer who is there.
    pub crew_in_frame: BTreeMap<String, u32>,
    pub sun: Option<SunSeen>,
    /// Share of the picture that is sky, seen freely or through glass.
    pub sky_share: f64,
    /// Share of the picture that is seen through window glass.
    pub window_share: f64,
    /// Ids of what the camera stands inside of. Such a frame can't be taken: what holds the camera is left out of it,
    /// but for meshes.
    pub camera_inside: Vec<String>,
}

/// What `frame` sees in `tableau`, staged at its instant, through `camera`, in a picture of this many pixels.
pub fn frame_seen(
    plan: &Plan,
    frame: &Frame,
    tableau: &Tableau,
    camera: &Camera,
    daylight: &Daylight,
    size: [u32; 2],
) -> FrameSeen {
    let scene = Scene::new(plan, frame, tableau, camera, size);
    let at_s = plan.at_s(frame);
    FrameSeen {
        id: frame.id.clone(),
        moment: plan.moments[frame.moment.0].id.clone(),
        at_s: thousandths(at_s),
        photographer: plan.crew[plan.photographer_of(frame).0].id.clone(),
        width: size[0],
        height: size[1],
        eye: camera.eye.to_array(),
        people: people::people(&scene),
        things: place::things(&scene),
        audience: place::audience(&scene),
        crew_in_frame: place::crew(&scene),
        sun: sun::sun(&scene, daylight),
        sky_share: place::sky_share(&scene),
        window_share: place::window_share(&scene),
        camera_inside: place::camera_inside(&scene),
    }
}

/// A frame's tableau, made ready to be asked.
struct Scene<'a> {
    plan: &'a Plan,
    frame: &'a Frame,
    tableau: &'a Tableau,
    camera: &'a Camera,
    /// Everything that hides something.
    caster: Caster<'a>,
    /// The picture.
    picture: IdImage,
    /// Solids of each owner that hide something, by [`crate::staging::OwnerIx`].
    solids: Vec<Vec<u32>>,
    /// Pixels of the picture by solid.
    pixels_of: Vec<u32>,
}

impl<'a> Scene<'a> {
    fn new(plan: &'a Plan, frame: &'a Frame, tableau: &'a Tableau, camera: &'a Camera, size: [u32; 2]) -> Self {
        let taker = OwnerKind::Photographer(plan.photographer_of(frame));
        let mut solids = vec![Vec::new(); tableau.owners.len()];
        for (index, solid) in tableau.solids.iter().enumerate() {
            let Some(owned) = solids.get_mut(solid.owner.0 as usize) else { continue };
            if !solid.is_seen_through() && tableau.owner(solid.owner).kind != taker {
                owned.push(index as u32);
            }
        }
        let caster = Caster::of(tableau, solids.iter().flatten().map(|&index| index as usize));
        let picture = caster.ids(Pane::picture(camera, size), |_| false);
        let mut pixels_of = vec![0; tableau.solids.len()];
        for &solid in picture.solids.iter().filter(|solid| **solid != IdImage::NOTHING) {
            pixels_of[solid as usize] += 1;
        }
        Self { plan, frame, tableau, camera, caster, picture, solids, pixels_of }
    }

    fn owner_id(&self, solid: u32) -> &'a str {
        let solid = &self.tableau.solids[solid as usize];
        &self.tableau.owner(solid.owner).id
    }

    fn part(&self, solid: u32) -> Part {
        self.tableau.solids[solid as usize].part
    }

    fn pixels(&self) -> u32 {
        self.picture.pane.width * self.picture.pane.height
    }

    /// Which of all solids are among these, to be asked pixel by pixel.
    fn among(&self, solids: &[u32]) -> Vec<bool> {
        let mut among = vec![false; self.tableau.solids.len()];
        for &solid in solids {
            among[solid as usize] = true;
        }
        among
    }
}

fn thousandths(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0
}

fn share(part: u32, whole: u32) -> f64 {
    thousandths(f64::from(part) / f64::from(whole.max(1)))
}
