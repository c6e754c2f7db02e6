//! Everybody's own blocks from above: a few outlines a figure, lower ones first.

use super::outline::joined;
use super::{Drawing, Ink, Subject};
use crate::daylight::srgb_from_linear;
use crate::plan::Plan;
use crate::sight::{corners_of, hull, reflects};
use crate::staging::{Figure, Finish, OwnerKind, Part, Solid, Tableau};
use glam::{Vec2, Vec3};
use rayon::prelude::*;
use std::hash::{DefaultHasher, Hash, Hasher};

/// A nose from above, metres: how far it stands out, and half its width.
const NOSE_M: [f32; 2] = [0.075, 0.055];
/// A face that looks straight up or down shows no nose.
const LEVEL: f32 = 0.15;

/// Everybody in the tableau: named people and photographers over guests.
pub fn people(plan: &Plan, tableau: &Tableau) -> Drawing {
    let each: Vec<Drawing> = bodies(plan, tableau).par_iter().map(Body::drawing).collect();
    Drawing { shapes: each.into_iter().flat_map(|drawing| drawing.shapes).collect() }
}

/// Somebody in a tableau, to be drawn.
pub struct Body<'t> {
    figure: &'t Figure,
    solids: Vec<&'t Solid>,
    look: Look,
}

/// Everybody in the order in which they are drawn.
pub fn bodies<'t>(plan: &Plan, tableau: &'t Tableau) -> Vec<Body<'t>> {
    let mut blocks: Vec<Vec<&Solid>> = vec![vec![]; tableau.owners.len()];
    for solid in &tableau.solids {
        if let Some(own) = blocks.get_mut(solid.owner.0 as usize) {
            own.push(solid);
        }
    }
    let rank = |figure: &&Figure| match tableau.owner(figure.owner).kind {
        OwnerKind::Guest { .. } => 0,
        OwnerKind::Person(ix) if plan.people.get(ix.0).is_some() => 1,
        _ => 2,
    };
    let mut figures: Vec<&Figure> = tableau.figures.iter().collect();
    figures.sort_by_key(rank);
    let body = |figure: &'t Figure| {
        let look = match tableau.owner(figure.owner).kind {
            OwnerKind::Guest { .. } => {
                Look { of: Subject::Guest(figure.owner.0), edge: Ink::GuestEdge, block: Ink::Guest }
            }
            OwnerKind::Person(ix) => Look { of: Subject::Person(ix), edge: Ink::PersonEdge, block: Ink::Cloth },
            OwnerKind::Photographer(ix) => {
                Look { of: Subject::Photographer(ix), edge: Ink::CrewEdge(ix), block: Ink::Cloth }
            }
            _ => return None,
        };
        Some(Body { figure, solids: std::mem::take(&mut blocks[figure.owner.0 as usize]), look })
    };
    figures.into_iter().filter_map(body).collect()
}

impl Body<'_> {
    pub fn drawing(&self) -> Drawing {
        let mut drawing = Drawing::default();
        figure(&mut drawing, self.figure, &self.solids, &self.look);
        drawing
    }

    /// Bodies with the same key have the same drawing.
    pub fn key(&self) -> u64 {
        let mut key = DefaultHasher::new();
        self.look.of.hash(&mut key);
        let bits = |of: &[f32], key: &mut DefaultHasher| of.iter().for_each(|number| number.to_bits().hash(key));
        let face = self.figure.face_forward;
        bits(&face.to_array(), &mut key);
        for solid in &self.solids {
            (solid.part, solid.material.finish).hash(&mut key);
            bits(&solid.material.colour.0, &mut key);
            corners_of(solid).for_each(|corner| bits(&corner.to_array(), &mut key));
        }
        key.finish()
    }
}

#[derive(Clone, Copy)]
struct Look {
    of: Subject,
    edge: Ink,
    block: fn([u8; 3]) -> Ink,
}

fn figure(drawing: &mut Drawing, it: &Figure, solids: &[&Solid], look: &Look) {
    let mut layers: Vec<Layer> = GROUPS.iter().filter_map(|group| Layer::new(solids, *group)).collect();
    layers.sort_by(|a, b| a.top_m.total_cmp(&b.top_m));
    let of = Some(look.of);
    let whole: Vec<Vec<Vec2>> = layers.iter().filter(|it| !it.veil).flat_map(|it| it.rings.iter().cloned()).collect();
    drawing.area(joined(&whole), look.edge, of);
    let head: Vec<Vec2> = layers.iter().filter(|it| it.head).flat_map(|it| it.rings.concat()).collect();
    for layer in layers {
        let ink = if layer.veil { Ink::Veil(layer.colour) } else { (look.block)(layer.colour) };
        drawing.area(joined(&layer.rings), ink, of);
    }
    drawing.area(nose(it, &head).into_iter().collect(), Ink::Nose, of);
}

/// What of a body is drawn as one.
const GROUPS: [Group; 9] = [
    Group::Legs,
    Group::Skirt,
    Group::Trunk,
    Group::Arms,
    Group::Hands,
    Group::Face,
    Group::Hair,
    Group::Veil,
    Group::Held,
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Group {
    Legs,
    Skirt,
    Trunk,
    Arms,
    Hands,
    Face,
    Hair,
    Veil,
    /// Also a camera.
    Held,
}

fn group(solid: &Solid) -> Option<Group> {
    Some(match solid.part {
        _ if solid.material.finish == Finish::Eye => return None,
        _ if solid.is_seen_through() => Group::Veil,
        Part::Foot | Part::Shin | Part::Thigh => Group::Legs,
        Part::Skirt => Group::Skirt,
        Part::Torso | Part::Pelvis | Part::Neck => Group::Trunk,
        Part::UpperArm | Part::Forearm => Group::Arms,
        Part::Hand => Group::Hands,
        Part::Face | Part::Head => Group::Face,
        Part::Hair | Part::Hat => Group::Hair,
        Part::Veil => Group::Veil,
        Part::Held | Part::Camera => Group::Held,
        Part::Seat | Part::Thing | Part::Ground | Part::Wall | Part::Glass => return None,
    })
}

/// The outlines of a group's solids, before they are joined.
struct Layer {
    rings: Vec<Vec<Vec2>>,
    colour: [u8; 3],
    top_m: f32,
    veil: bool,
    head: bool,
}

impl Layer {
    fn new(solids: &[&Solid], of: Group) -> Option<Self> {
        let own = solids.iter().filter(|solid| group(solid) == Some(of));
        let seen: Vec<(&&Solid, Vec<Vec2>)> =
            own.map(|solid| (solid, from_above(solid))).filter(|(_, ring)| ring.len() > 2).collect();
        // The colour of what shows most.
        let (largest, _) = seen.iter().max_by(|a, b| area_m2(&a.1).total_cmp(&area_m2(&b.1)))?;
        let colour = colour(largest);
        let top_m = seen.iter().map(|(solid, _)| solid.at.y).fold(f32::NEG_INFINITY, f32::max);
        let rings = seen.into_iter().map(|(_, ring)| ring).collect();
        let head = matches!(of, Group::Face | Group::Hair);
        Some(Self { rings, colour, top_m, veil: of == Group::Veil, head })
    }
}

fn from_above(solid: &Solid) -> Vec<Vec2> {
    let corners = corners_of(solid).filter(|corner| corner.is_finite());
    let ring = hull(corners.map(|corner| flat(corner).as_dvec2()).collect());
    ring.iter().map(|spot| spot.as_vec2()).collect()
}

fn area_m2(ring: &[Vec2]) -> f32 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(a, b)| a.perp_dot(*b)).sum::<f32>() * 0.5
}

fn colour(solid: &Solid) -> [u8; 3] {
    let given_back = reflects(&solid.material).as_vec3().to_array();
    given_back.map(|part| (srgb_from_linear(part).clamp(0.0, 1.0) * 255.0).round() as u8)
}

/// Before the head, whatever it wears.
fn nose(it: &Figure, head: &[Vec2]) -> Option<Vec<Vec2>> {
    let ahead = flat(it.face_forward);
    let ahead = (ahead.length() > LEVEL).then(|| ahead.normalize_or_zero())?;
    let eyes = flat(it.eyes);
    let front_m = head.iter().map(|spot| (*spot - eyes).dot(ahead)).fold(0.0, f32::max);
    let [long_m, half_m] = NOSE_M;
    let root = eyes + ahead * (front_m - 0.015);
    let aside = ahead.perp() * half_m;
    Some(vec![root + ahead * (long_m + 0.015), root + aside, root - aside])
}

fn flat(point: Vec3) -> Vec2 {
    Vec2::new(point.x, point.z)
}
