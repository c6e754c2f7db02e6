//! The rest of a frame: things, guests, the other photographers, sky and windows.

use super::{Scene, share};
use crate::sight::caster::Caster;
use crate::sight::ids::IdImage;
use crate::sight::within::is_within;
use crate::staging::{Figure, Finish, OwnerIx, OwnerKind, Part, Shape};
use glam::Vec3;
use serde::Serialize;
use std::collections::BTreeMap;

/// Fewer pixels of a guest's face or head are nobody's face.
const FEWEST_PX: u32 = 4;
/// A face turned further than this from the camera is the back of a head (common practice, no source).
const TURNED_AWAY_DEG: f32 = 90.0;

/// A fixture, a mesh, a block of seats, or the venue itself.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ThingSeen {
    pub id: String,
    pub clutter: bool,
    pub visible_px: u32,
}

/// The guests in a frame.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct AudienceSeen {
    /// Guests with something of their face to be seen, turned less than 90° away.
    pub faces: u32,
    /// Guests of whom the back of the head is seen.
    pub backs: u32,
    pub share_of_frame: f64,
}

/// Things that are seen, most pixels first.
pub fn things(scene: &Scene) -> Vec<ThingSeen> {
    let mut by_owner = BTreeMap::<OwnerIx, u32>::new();
    for (solid, &pixels) in scene.tableau.solids.iter().zip(&scene.pixels_of) {
        let kind = scene.tableau.owner(solid.owner).kind;
        if pixels > 0
            && matches!(kind, OwnerKind::Fixture(_) | OwnerKind::Mesh(_) | OwnerKind::Seating(_) | OwnerKind::Venue)
        {
            *by_owner.entry(solid.owner).or_default() += pixels;
        }
    }
    let thing = |(owner, visible_px): (OwnerIx, u32)| ThingSeen {
        id: scene.tableau.owner(owner).id.clone(),
        clutter: is_clutter(scene, owner),
        visible_px,
    };
    let mut things: Vec<ThingSeen> = by_owner.into_iter().map(thing).collect();
    things.sort_by(|a, b| b.visible_px.cmp(&a.visible_px).then_with(|| a.id.cmp(&b.id)));
    things
}

pub fn is_clutter(scene: &Scene, owner: OwnerIx) -> bool {
    match scene.tableau.owner(owner).kind {
        OwnerKind::Fixture(fixture) => scene.plan.venue.fixtures[fixture.0].clutter,
        OwnerKind::Mesh(mesh) => scene.plan.venue.meshes[mesh.0].clutter,
        _ => false,
    }
}

pub fn audience(scene: &Scene) -> AudienceSeen {
    let pixels = &scene.pixels_of;
    let is_guest = |figure: &&Figure| matches!(scene.tableau.owner(figure.owner).kind, OwnerKind::Guest { .. });
    let mut seen = AudienceSeen { faces: 0, backs: 0, share_of_frame: 0.0 };
    let mut all = 0;
    for figure in scene.tableau.figures.iter().filter(is_guest) {
        let (mut face, mut head) = (0, 0);
        for &solid in &scene.solids[figure.owner.0 as usize] {
            let count = pixels[solid as usize];
            all += count;
            match scene.part(solid) {
                Part::Face => face += count,
                Part::Head | Part::Hair | Part::Hat => head += count,
                _ => {}
            }
        }
        let to_camera = (scene.camera.eye - figure.eyes).normalize_or_zero();
        let away = figure.face_forward.dot(to_camera) < TURNED_AWAY_DEG.to_radians().cos();
        if face >= FEWEST_PX && !away {
            seen.faces += 1;
        } else if head >= FEWEST_PX && away {
            seen.backs += 1;
        }
    }
    seen.share_of_frame = share(all, scene.pixels());
    seen
}

pub fn crew(scene: &Scene) -> BTreeMap<String, u32> {
    let pixels = &scene.pixels_of;
    let taker = scene.plan.photographer_of(scene.frame);
    let seen = |(owner, solids): (usize, &Vec<u32>)| match scene.tableau.owners[owner].kind {
        OwnerKind::Photographer(ix) if ix != taker => {
            let count = solids.iter().map(|&solid| pixels[solid as usize]).sum();
            Some((scene.tableau.owners[owner].id.clone(), count))
        }
        _ => None,
    };
    scene.solids.iter().enumerate().filter_map(seen).collect()
}

pub fn sky_share(scene: &Scene) -> f64 {
    let sky = scene.picture.solids.iter().filter(|solid| **solid == IdImage::NOTHING).count();
    share(sky as u32, scene.pixels())
}

/// Glass that belongs to the venue and has nothing before it.
pub fn window_share(scene: &Scene) -> f64 {
    let is_window = |index: &usize| {
        let solid = &scene.tableau.solids[*index];
        solid.material.finish == Finish::WindowGlass && scene.tableau.owner(solid.owner).kind == OwnerKind::Venue
    };
    let windows: Vec<usize> = (0..scene.tableau.solids.len()).filter(is_window).collect();
    if windows.is_empty() {
        return 0.0;
    }
    let glass = Caster::of(scene.tableau, windows.into_iter()).ids(scene.picture.pane, |_| false);
    let before = glass.depths_m.iter().zip(&scene.picture.depths_m);
    let through = before.filter(|(glass_m, hit_m)| glass_m.is_finite() && glass_m < hit_m).count();
    share(through as u32, scene.pixels())
}

/// Ids of what holds the lens, each once.
pub fn camera_inside(scene: &Scene) -> Vec<String> {
    let eye = scene.camera.eye;
    let blocks = scene.caster.round(eye);
    let meshes = (0..scene.tableau.solids.len()).filter(|index| is_in_mesh(scene, *index, eye));
    let inside: Vec<usize> = blocks.into_iter().chain(meshes).collect();
    let mut ids: Vec<String> = inside.iter().map(|&index| scene.owner_id(index as u32).to_owned()).collect();
    ids.sort();
    ids.dedup();
    ids
}

/// Within the faces of a mesh that look outwards. What holds people as well is a room of which only the outside was made.
fn is_in_mesh(scene: &Scene, index: usize, eye: Vec3) -> bool {
    let solid = &scene.tableau.solids[index];
    let (OwnerKind::Mesh(ix), Shape::Mesh(mesh)) = (scene.tableau.owner(solid.owner).kind, &solid.shape) else {
        return false;
    };
    let body = &scene.plan.venue.meshes[ix.0].body;
    let holds = |point: Vec3| {
        let own = solid.turned.inverse() * (point - solid.at);
        own.cmpge(body.low).all() && own.cmple(body.high).all() && is_within(mesh, own)
    };
    let is_crew = |figure: &Figure| matches!(scene.tableau.owner(figure.owner).kind, OwnerKind::Photographer(_));
    holds(eye) && !scene.tableau.figures.iter().any(|figure| !is_crew(figure) && holds(figure.chest))
}
