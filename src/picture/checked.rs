//! What the checker sees of a frame: whose each pixel is. Whom it is of in colours of their own, faces lighter; guests, others and
//! things grey; clutter and what should be kept out striped, photographers chequered.

use super::prepare::{Prepared, picture_size};
use crate::plan::{KeepOutOf, Plan};
use crate::sight::{Caster, Pane};
use crate::staging::{OwnerKind, Part, Tableau};
use image::{Rgb, RgbImage};

/// Of people the frame is of, one after the other; told apart by the colour-blind (M. Okabe and K. Ito, 2008).
const WANTED: [[u8; 3]; 6] =
    [[230, 159, 0], [86, 180, 233], [0, 158, 115], [240, 228, 66], [0, 114, 178], [204, 121, 167]];
const OTHERS: [u8; 3] = [146, 136, 158];
const GUESTS: [u8; 3] = [118, 122, 132];
const THINGS: [u8; 3] = [84, 84, 88];
const SKY: [u8; 3] = [206, 214, 222];
const MARKED: [[u8; 3]; 2] = [[213, 94, 0], [40, 24, 16]];
/// Stripes and chequers, pixels.
const STEP_PX: u32 = 5;

/// A picture of whose each pixel is, its long side so many pixels.
pub fn checked(plan: &Plan, ready: &Prepared, long_px: u32) -> RgbImage {
    let camera = &ready.composed.camera;
    let tableau = &ready.tableau;
    let [width, height] = picture_size(camera.sensor_m, long_px);
    let hidden = |index: usize| {
        let solid = &tableau.solids[index];
        solid.is_seen_through() || tableau.owner(solid.owner).kind == ready.taker
    };
    let ids = Caster::new(tableau).ids(Pane::picture(camera, [width, height]), hidden);
    let paints: Vec<Paint> = (0..tableau.solids.len()).map(|solid| paint_of(plan, ready, tableau, solid)).collect();
    let owner = |x: u32, y: u32| ids.solid_at(x, y).map(|solid| tableau.solids[solid].owner);
    RgbImage::from_fn(width, height, |x, y| {
        let Some(solid) = ids.solid_at(x, y) else { return Rgb(SKY) };
        let [r, g, b] = match &paints[solid] {
            Paint::Flat(colour) => *colour,
            Paint::Striped => MARKED[((x + y) / STEP_PX % 2) as usize],
            Paint::Chequered => MARKED[((x / STEP_PX + y / STEP_PX) % 2) as usize],
        };
        // A thin line between owners.
        let is_edge = x > 0 && owner(x - 1, y) != owner(x, y) || y > 0 && owner(x, y - 1) != owner(x, y);
        Rgb(if is_edge { [r / 2, g / 2, b / 2] } else { [r, g, b] })
    })
}

enum Paint {
    Flat([u8; 3]),
    Striped,
    Chequered,
}

fn paint_of(plan: &Plan, ready: &Prepared, tableau: &Tableau, index: usize) -> Paint {
    let solid = &tableau.solids[index];
    let frame = ready.frame;
    let out = |what: KeepOutOf| frame.keep_out.contains(&what);
    match tableau.owner(solid.owner).kind {
        OwnerKind::Person(person) => match frame.of.iter().position(|it| *it == person) {
            Some(number) => {
                let colour = WANTED[number % WANTED.len()];
                Paint::Flat(if solid.part == Part::Face { lighter(colour) } else { colour })
            }
            None if out(KeepOutOf::Person(person)) => Paint::Striped,
            None => Paint::Flat(OTHERS),
        },
        OwnerKind::Photographer(_) => Paint::Chequered,
        OwnerKind::Guest { .. } => Paint::Flat(GUESTS),
        OwnerKind::Fixture(fixture) if plan.venue.fixtures[fixture.0].clutter || out(KeepOutOf::Fixture(fixture)) => {
            Paint::Striped
        }
        OwnerKind::Mesh(mesh) if plan.venue.meshes[mesh.0].clutter => Paint::Striped,
        _ => Paint::Flat(THINGS),
    }
}

fn lighter(colour: [u8; 3]) -> [u8; 3] {
    colour.map(|channel| channel.midpoint(255))
}
