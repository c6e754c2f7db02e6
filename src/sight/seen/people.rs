//! The named people of a frame.

use super::heads::{HeadRing, head_ring};
use super::joints::{CutJoint, cut_joints};
use super::parts::{GROUPS, PartSeen, count};
use super::{Scene, thousandths};
use crate::staging::{Figure, OwnerKind, Part};
use rayon::prelude::*;
use serde::Serialize;
use std::collections::BTreeMap;

/// One person of a frame.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PersonSeen {
    pub id: String,
    pub role: String,
    /// Whether the frame is of them.
    pub wanted: bool,
    /// Between where the face points and the camera: 0 looks into it, 180 is the back of a head.
    pub facing_deg: f64,
    /// Share of the picture's height from the highest to the lowest of what the frame holds of them, covered or not.
    pub height_in_frame: f64,
    /// Room over the top of the head, share of the picture's height; below 0 the frame cuts it.
    pub headroom: f64,
    /// Distance of the eyes from the plane in focus, along the axis; + is behind it.
    pub focus_error_m: f64,
    /// `face`, `head` (with hair and hat), `torso`, `hands`, and `whole` with all they wear and hold.
    pub parts: BTreeMap<&'static str, PartSeen>,
    /// Joints that lie on the frame's edge.
    pub cut_at: Vec<CutJoint>,
    /// What lies round the head; `None` if none of it is seen.
    pub round_head: Option<HeadRing>,
}

/// Named people who are in the frame or should be.
pub fn people(scene: &Scene) -> Vec<PersonSeen> {
    let mut figures: Vec<(usize, &Figure)> = scene
        .tableau
        .figures
        .iter()
        .filter_map(|figure| match scene.tableau.owner(figure.owner).kind {
            OwnerKind::Person(person) => Some((person.0, figure)),
            _ => None,
        })
        .collect();
    figures.sort_by_key(|(person, _)| *person);
    figures.par_iter().filter_map(|&(person, figure)| person_seen(scene, person, figure)).collect()
}

fn person_seen(scene: &Scene, number: usize, figure: &Figure) -> Option<PersonSeen> {
    let person = &scene.plan.people[number];
    let wanted = scene.frame.of.iter().any(|of| of.0 == number);
    let solids = &scene.solids[figure.owner.0 as usize];
    let whole = count(scene, solids, wanted);
    if whole.seen.in_frame_px == 0 && !wanted {
        return None;
    }
    let height_px = f64::from(scene.picture.pane.height);
    let mut parts = BTreeMap::new();
    let (mut headroom, mut ring) = (None, None);
    for (name, group) in GROUPS {
        let own = of_parts(scene, solids, group);
        let counted = count(scene, &own, true);
        if name == "head" {
            headroom = counted.extent.map(|extent| f64::from(extent.top) / height_px);
            ring = counted.extent.and_then(|extent| head_ring(scene, solids, &own, extent));
        }
        parts.insert(name, counted.seen);
    }
    let in_frame = whole.extent.map_or(0.0, |extent| {
        let (top, bottom) = (extent.top.max(0), extent.bottom.min(height_px as i32));
        f64::from((bottom - top).max(0)) / height_px
    });
    let to_camera = (scene.camera.eye - figure.eyes).normalize_or_zero();
    let facing = f64::from(figure.face_forward.dot(to_camera).clamp(-1.0, 1.0)).acos().to_degrees();
    let depth_m = f64::from((figure.eyes - scene.camera.eye).dot(scene.camera.forward()));
    let cut_at = if whole.seen.in_frame_px < whole.seen.alone_px { cut_joints(scene, solids) } else { vec![] };
    parts.insert("whole", whole.seen);
    Some(PersonSeen {
        id: person.id.clone(),
        role: person.roles.join(", "),
        wanted,
        facing_deg: thousandths(facing),
        height_in_frame: thousandths(if parts["whole"].in_frame_px > 0 { in_frame } else { 0.0 }),
        headroom: thousandths(headroom.unwrap_or(0.0)),
        focus_error_m: thousandths(depth_m - scene.camera.focus_m),
        round_head: ring,
        parts,
        cut_at,
    })
}

/// Those of some solids that are one of these parts, in the same order.
pub fn of_parts(scene: &Scene, solids: &[u32], parts: &[Part]) -> Vec<u32> {
    solids.iter().copied().filter(|&index| parts.contains(&scene.part(index))).collect()
}
