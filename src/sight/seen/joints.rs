//! Joints that the frame's edge cuts through.

use super::Scene;
use crate::staging::{Part, Shape, Solid};
use glam::Vec3;
use serde::Serialize;

/// This near to an edge a joint counts as cut, share of the picture's height. *Our own*, after the trade's rule that a cut
/// wants to be clearly above or below a joint (common practice, no source).
const ON_THE_EDGE: f64 = 0.025;

/// A joint on an edge of the frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct CutJoint {
    /// `ankle`, `knee`, `wrist`, `elbow` or `neck`.
    pub joint: &'static str,
    /// `top`, `bottom`, `left` or `right`.
    pub edge: &'static str,
}

/// Joints of somebody's limbs, by their solids, where the frame cuts them and they aren't covered.
pub fn cut_joints(scene: &Scene, solids: &[u32]) -> Vec<CutJoint> {
    let pane = scene.picture.pane;
    let (width, height) = (f64::from(pane.width), f64::from(pane.height));
    let near = ON_THE_EDGE * height;
    let mut cut = Vec::new();
    for (joint, place, limb) in joints(scene, solids) {
        let Some((u, v, _)) = scene.camera.image_from_world(place, width) else { continue };
        let along_row = |from_edge: f64| from_edge.abs() <= near && (0.0..width).contains(&u);
        let along_column = |from_edge: f64| from_edge.abs() <= near && (0.0..height).contains(&v);
        let edge = match () {
            () if along_row(v - height) => "bottom",
            () if along_row(v) => "top",
            () if along_column(u) => "left",
            () if along_column(u - width) => "right",
            () => continue,
        };
        if shows(scene, limb, [u, v], near) {
            cut.push(CutJoint { joint, edge });
        }
    }
    cut.sort_unstable();
    cut.dedup();
    cut
}

/// Whether any of a limb's solids is seen next to a spot of the picture's plane.
fn shows(scene: &Scene, limb: [u32; 2], [u, v]: [f64; 2], near_px: f64) -> bool {
    let pane = scene.picture.pane;
    let reach = (near_px.ceil() as i64).max(2);
    let (x, y) = (u.floor() as i64, v.floor() as i64);
    let rows = (y - reach).max(0)..(y + reach + 1).min(i64::from(pane.height));
    rows.flat_map(|y| {
        let columns = (x - reach).max(0)..(x + reach + 1).min(i64::from(pane.width));
        columns.map(move |x| (y * i64::from(pane.width) + x) as usize)
    })
    .any(|pixel| limb.contains(&scene.picture.solids[pixel]))
}

/// Joints with their places, and the two solids that meet there. A gown's knees are no joints: nobody sees them.
fn joints(scene: &Scene, solids: &[u32]) -> Vec<(&'static str, Vec3, [u32; 2])> {
    let part = |wanted: Part| solids.iter().copied().filter(move |&index| scene.part(index) == wanted);
    let ends = |index: u32| ends_of(&scene.tableau.solids[index as usize]);
    let mut found = Vec::new();
    for (upper, lower, between, below) in
        [(Part::Thigh, Part::Shin, "knee", "ankle"), (Part::UpperArm, Part::Forearm, "elbow", "wrist")]
    {
        let beyond = if lower == Part::Shin { Part::Foot } else { Part::Hand };
        for limb in part(lower) {
            let from = |to: Part, place: Vec3| {
                let apart = move |&index: &u32| {
                    ends(index).into_iter().flatten().map(|end| end.distance_squared(place)).fold(f32::MAX, f32::min)
                };
                part(to).min_by(|a, b| apart(a).total_cmp(&apart(b))).map(|index| (apart(&index), index))
            };
            let Some([a, b]) = ends(limb) else { continue };
            let (Some((at_a, upper_a)), Some((at_b, upper_b))) = (from(upper, a), from(upper, b)) else { continue };
            let (near, far, above) = if at_a < at_b { (a, b, upper_a) } else { (b, a, upper_b) };
            found.push((between, near, [limb, above]));
            if let Some((_, next)) = from(beyond, far) {
                found.push((below, far, [limb, next]));
            }
        }
    }
    found.extend(part(Part::Neck).map(|neck| ("neck", scene.tableau.solids[neck as usize].at, [neck, neck])));
    found
}

/// Where the long axis of a limb's block ends.
fn ends_of(solid: &Solid) -> Option<[Vec3; 2]> {
    let Shape::Block(block) = &solid.shape else { return None };
    let half = solid.turned * Vec3::Y * block.half_m.y;
    Some([solid.at + half, solid.at - half])
}
