//! What lies round a head in the picture: behind it and beside it, and what seems to grow out of it.

use super::place::is_clutter;
use super::round::Rectangle;
use super::{Scene, share, thousandths};
use crate::daylight::luminance;
use crate::sight::ids::IdImage;
use crate::sight::reflects::reflects;
use crate::staging::{OwnerIx, OwnerKind};
use serde::Serialize;
use std::collections::BTreeMap;

/// Width of the ring, in heights of the head. *Our own.*
const RING: f64 = 0.5;
/// Fewer pixels of a head have no ring worth telling.
const FEWEST_PX: u32 = 12;
/// A line that grows out of a head is narrower than this share of it, and starts within the middle of it. *Our own.*
const NARROWER: f64 = 0.8;
const MIDDLE: f64 = 0.85;
/// Sky's reflectance for the contrast: as white as it gets.
const SKY: f64 = 1.0;

/// The surroundings of a head.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HeadRing {
    /// Largest share first.
    pub beside: Vec<Beside>,
    pub mergers: Vec<Merger>,
}

/// One thing or person in the ring.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Beside {
    /// `sky` where nothing is.
    pub id: String,
    /// Share of the ring.
    pub share: f64,
    /// How far it is behind the head, mean, metres; below 0 before it. `None` for the sky.
    pub behind_m: Option<f64>,
    /// Lighter over darker of it and the head, by how much light their surfaces give back (WCAG 2's contrast ratio, 1 to 21).
    /// Not by how much light they get.
    pub contrast: f64,
    pub clutter: bool,
}

/// Something upright and narrow behind a head, that stands on it in the picture.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Merger {
    pub id: String,
    /// Over the head's width.
    pub width: f64,
    pub behind_m: f64,
}

/// Who or what an id-image pixel shows: an owner, or the sky.
type Shown = Option<OwnerIx>;

/// Pixels of one owner, or of the sky.
#[derive(Default)]
struct Sum {
    pixels: u32,
    depth_m: f64,
    /// Pixels by solid; solids of one owner mostly come in a row.
    by_solid: Vec<(u32, u32)>,
}

/// The surroundings of somebody's head, by all their solids, those of the head, and the rectangle round these; `None` if too
/// little of the head is seen.
pub fn head_ring(scene: &Scene, solids: &[u32], head: &[u32], round: Rectangle) -> Option<HeadRing> {
    let pane = scene.picture.pane;
    let (among, of_head) = (scene.among(solids), scene.among(head));
    let is_in = |set: &[bool], solid: u32| solid != IdImage::NOTHING && set[solid as usize];
    let mut own = Sum::default();
    let mut extent: Option<Rectangle> = None;
    for y in round.top.max(0)..round.bottom.min(pane.height as i32) {
        for x in round.left.max(0)..round.right.min(pane.width as i32) {
            let pixel = (y as u32 * pane.width + x as u32) as usize;
            if is_in(&of_head, scene.picture.solids[pixel]) {
                extent = Some(Rectangle::with(extent, x, y));
                own.add(scene, pixel);
            }
        }
    }
    let extent = extent.filter(|_| own.pixels >= FEWEST_PX)?;
    let depth_m = own.depth_m / f64::from(own.pixels);
    let own_luminance = own.luminance(scene);

    let mut found: BTreeMap<Shown, Sum> = BTreeMap::new();
    let mut ring = 0;
    for pixel in ring_pixels(extent, [pane.width as i32, pane.height as i32]) {
        let solid = scene.picture.solids[pixel];
        if !is_in(&among, solid) {
            ring += 1;
            found.entry(shown(scene, solid)).or_default().add(scene, pixel);
        }
    }
    let mut beside: Vec<Beside> = found
        .into_iter()
        .map(|(who, sum)| {
            let count = f64::from(sum.pixels);
            Beside {
                id: id_of(scene, who),
                share: share(sum.pixels, ring),
                behind_m: who.map(|_| thousandths(sum.depth_m / count - depth_m)),
                contrast: thousandths(contrast(sum.luminance(scene), own_luminance)),
                clutter: who.is_some_and(|owner| is_clutter(scene, owner)),
            }
        })
        .collect();
    beside.sort_by(|a, b| b.share.total_cmp(&a.share).then_with(|| a.id.cmp(&b.id)));
    Some(HeadRing { beside, mergers: mergers(scene, extent, depth_m) })
}

impl Sum {
    fn add(&mut self, scene: &Scene, pixel: usize) {
        let solid = scene.picture.solids[pixel];
        self.pixels += 1;
        if solid != IdImage::NOTHING {
            self.depth_m += f64::from(scene.picture.depths_m[pixel]);
        }
        match self.by_solid.last_mut() {
            Some((last, count)) if *last == solid => *count += 1,
            _ => self.by_solid.push((solid, 1)),
        }
    }

    /// Mean share of light that its surfaces give back.
    fn luminance(&self, scene: &Scene) -> f64 {
        let mut of_solid = BTreeMap::new();
        for &(solid, count) in &self.by_solid {
            *of_solid.entry(solid).or_insert(0) += count;
        }
        let sum: f64 = of_solid.iter().map(|(&solid, &count)| f64::from(count) * given_back(scene, solid)).sum();
        sum / f64::from(self.pixels.max(1))
    }
}

fn given_back(scene: &Scene, solid: u32) -> f64 {
    if solid == IdImage::NOTHING {
        return SKY;
    }
    let colour = reflects(&scene.tableau.solids[solid as usize].material);
    f64::from(luminance(colour.as_vec3().to_array()))
}

fn shown(scene: &Scene, solid: u32) -> Shown {
    (solid != IdImage::NOTHING).then(|| scene.tableau.solids[solid as usize].owner)
}

fn id_of(scene: &Scene, who: Shown) -> String {
    who.map_or_else(|| "sky".to_owned(), |owner| scene.tableau.owner(owner).id.clone())
}

fn contrast(a: f64, b: f64) -> f64 {
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// Pixels of an ellipse round a head, the head's own rectangle included.
fn ring_pixels(head: Rectangle, [width, height]: [i32; 2]) -> impl Iterator<Item = usize> {
    let wide = RING * f64::from(head.height());
    let half = [f64::from(head.width()) / 2.0 + wide, f64::from(head.height()) / 2.0 + wide];
    let middle = [f64::from(head.left + head.right) / 2.0, f64::from(head.top + head.bottom) / 2.0];
    let rows = ((middle[1] - half[1]).floor() as i32).max(0)..((middle[1] + half[1]).ceil() as i32).min(height);
    rows.flat_map(move |y| {
        let columns = ((middle[0] - half[0]).floor() as i32).max(0)..((middle[0] + half[0]).ceil() as i32).min(width);
        columns
            .filter(move |&x| {
                let [u, v] = [f64::from(x) + 0.5 - middle[0], f64::from(y) + 0.5 - middle[1]];
                (u / half[0]).powi(2) + (v / half[1]).powi(2) <= 1.0
            })
            .map(move |x| (y * width + x) as usize)
    })
}

/// Narrow things behind a head that go up from it: looked for in three rows above it, as far as the picture goes.
fn mergers(scene: &Scene, head: Rectangle, depth_m: f64) -> Vec<Merger> {
    let pane = scene.picture.pane;
    let head_width = f64::from(head.width());
    let row = |heads_above: f64| head.top - (heads_above * f64::from(head.height())).ceil() as i32;
    let rows: Vec<i32> = [0.12, 0.45, 0.8].into_iter().map(row).filter(|&y| y >= 0).collect();
    let Some((&first, others)) = rows.split_first() else { return vec![] };
    if others.is_empty() {
        return vec![];
    }
    let margin = (head_width * (1.0 - MIDDLE) / 2.0) as i32;
    let mut found: Vec<Merger> = Vec::new();
    for (owner, left, right) in runs(scene, first) {
        let stands = !matches!(
            scene.tableau.owner(owner).kind,
            OwnerKind::Person(_) | OwnerKind::Guest { .. } | OwnerKind::Photographer(_)
        );
        let middle = (left + right) / 2;
        let width = f64::from(right - left) / head_width.max(1.0);
        let behind_m = f64::from(scene.picture.depths_m[(first * pane.width as i32 + middle) as usize]) - depth_m;
        let over_head = (head.left + margin..head.right - margin).contains(&middle);
        if !stands || !over_head || width > NARROWER || behind_m <= 0.0 {
            continue;
        }
        let goes_on = |&y: &i32| {
            runs(scene, y).into_iter().any(|(other, l, r)| {
                other == owner && l < right && r > left && f64::from(r - l) <= NARROWER * head_width
            })
        };
        if others.iter().all(goes_on) {
            found.push(Merger {
                id: scene.tableau.owner(owner).id.clone(),
                width: thousandths(width),
                behind_m: thousandths(behind_m),
            });
        }
    }
    found
}

/// Stretches of one owner in a row of the picture: from, to before.
fn runs(scene: &Scene, y: i32) -> Vec<(OwnerIx, i32, i32)> {
    let width = scene.picture.pane.width as usize;
    let row = &scene.picture.solids[y as usize * width..][..width];
    let mut found: Vec<(OwnerIx, i32, i32)> = Vec::new();
    for (x, &solid) in row.iter().enumerate() {
        let Some(owner) = shown(scene, solid) else { continue };
        match found.last_mut() {
            Some((last, _, right)) if *last == owner && *right == x as i32 => *right += 1,
            _ => found.push((owner, x as i32, x as i32 + 1)),
        }
    }
    found
}
