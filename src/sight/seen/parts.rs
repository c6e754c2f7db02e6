//! How much of somebody is there, inside the frame, and left to be seen.

use super::Scene;
use super::round::{Rectangle, rectangle_round};
use crate::sight::caster::Caster;
use crate::sight::ids::{IdImage, Pane};
use crate::staging::{OwnerIx, Part};
use serde::Serialize;
use std::collections::BTreeMap;

/// Parts of a person that are counted: each name with the parts of figures that belong to it.
pub const GROUPS: [(&str, &[Part]); 4] = [
    ("face", &[Part::Face]),
    ("head", &[Part::Face, Part::Head, Part::Hair, Part::Hat]),
    ("torso", &[Part::Torso, Part::Pelvis]),
    ("hands", &[Part::Hand]),
];

/// Pixels that are looked at beside the picture before they are taken in fours, nines and so on.
const MOST_BESIDE: f64 = 4e5;

/// Pixels of a part of somebody.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Default)]
pub struct PartSeen {
    /// With nothing else in the tableau and a picture without edges. Of somebody who nearly touches the lens counted on a
    /// coarser grid, to about 1 %.
    pub alone_px: u32,
    /// The same inside the frame.
    pub in_frame_px: u32,
    /// Left in the full tableau.
    pub visible_px: u32,
    /// What is before the rest, by owner; their own id where they turn away or cover themselves.
    pub covered_by: BTreeMap<String, u32>,
}

/// A part with the pixels it takes.
pub struct Counted {
    pub seen: PartSeen,
    /// Bounds of all its pixels, on the picture's grid, also beside the picture.
    pub extent: Option<Rectangle>,
}

/// Counts the pixels of some solids of one owner; beside the picture only if some are in it, or `also_outside`.
pub fn count(scene: &Scene, solids: &[u32], also_outside: bool) -> Counted {
    let pane = scene.picture.pane;
    let frame = Rectangle { left: 0, top: 0, right: pane.width as i32, bottom: pane.height as i32 };
    let Some(round) = rectangle_round(scene, solids) else {
        return Counted { seen: PartSeen::default(), extent: None };
    };
    let alone = Caster::of(scene.tableau, solids.iter().map(|&index| index as usize));
    let among = scene.among(solids);
    let mut covers = BTreeMap::<OwnerIx, u32>::new();
    let mut seen = PartSeen::default();
    let mut extent = None;
    if let Some(inside) = round.and(frame) {
        let image = alone.ids(inside.pane(pane), |_| false);
        for (x, y) in met(&image) {
            seen.in_frame_px += 1;
            extent = Some(Rectangle::with(extent, x, y));
            let first = scene.picture.solids[(y as u32 * pane.width + x as u32) as usize];
            if first == IdImage::NOTHING {
                continue;
            }
            if among[first as usize] {
                seen.visible_px += 1;
            } else {
                *covers.entry(scene.tableau.solids[first as usize].owner).or_default() += 1;
            }
        }
    }
    seen.covered_by = covers.into_iter().map(|(owner, count)| (scene.tableau.owner(owner).id.clone(), count)).collect();
    seen.alone_px = seen.in_frame_px;
    if !round.lies_in(frame) && (also_outside || seen.in_frame_px > 0) {
        let coarse = ((round.pixels() / MOST_BESIDE).sqrt().ceil() as u32).max(1);
        let image = alone.ids(round.pane(pane).coarser(coarse), |_| false);
        let step = coarse as i32;
        let mut count = 0;
        for (x, y) in met(&image) {
            count += 1;
            extent = Some(Rectangle::with(extent, x * step + step / 2, y * step + step / 2));
        }
        seen.alone_px = (count * coarse * coarse).max(seen.in_frame_px);
    }
    Counted { seen, extent }
}

/// Pixels of an image where something is, on the picture's grid.
fn met(image: &IdImage) -> impl Iterator<Item = (i32, i32)> + '_ {
    let Pane { left, top, width, .. } = image.pane;
    image.solids.iter().enumerate().filter(|(_, solid)| **solid != IdImage::NOTHING).map(move |(i, _)| {
        let (x, y) = (i as u32 % width, i as u32 / width);
        (left + x as i32, top + y as i32)
    })
}
