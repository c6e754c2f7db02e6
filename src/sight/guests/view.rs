//! One guest's look at one face: which part of it is there to be seen, and who or what is before the rest.

use crate::plan::PhotographerIx;
use crate::sight::caster::{Caster, corners_of};
use crate::staging::{OwnerIx, OwnerKind, Part, Solid, Tableau};
use glam::{Vec2, Vec3};
use std::cell::OnceCell;

/// Rays over the rectangle round a face; nine in ten meet it. A lattice of Fibonacci numbers: no two stand over or
/// beside each other, so an upright or level edge is told to 1 in 144, where as many rays in rows would tell it to 1 in 12.
const RAYS: u32 = 144;
const NEXT: u32 = 89;
/// What lies this near before a face belongs to it: brows and noses stand out of it.
const SAME_M: f32 = 1e-4;
/// A face nearer than this to the eyes is looked past.
const NEAREST_M: f32 = 0.02;

/// An instant's tableau, made ready for guests' looks.
pub struct Room<'a> {
    pub tableau: &'a Tableau,
    /// Everything that hides something; made when it is first needed.
    caster: OnceCell<Caster<'a>>,
    /// Of each solid, the photographer whose it is.
    crew: Vec<Option<PhotographerIx>>,
    /// Round each of the crew's solids: middle and radius.
    crew_balls: Vec<(Vec3, f32)>,
}

/// Somebody whose face is looked at.
pub struct Partner<'a> {
    owner: OwnerIx,
    face: Caster<'a>,
    /// The rest of them: a head turned away covers its own face.
    rest: Caster<'a>,
    /// Of the face's solids, world space.
    corners: Vec<Vec3>,
    /// Round these: middle and radius.
    ball: (Vec3, f32),
}

/// Rays of one look. Each that meets the face is in exactly one of the others.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Look {
    /// Meet the face with nothing else there.
    pub alone: u32,
    /// Meet more of the partner before it: turned away, behind a hand or a bouquet.
    pub turned_away: u32,
    pub seen: u32,
    /// Would be seen without the crew, by the photographer met first.
    pub taken: Vec<(PhotographerIx, u32)>,
    /// Would not be seen without the crew either, by owner.
    pub covered: Vec<(OwnerIx, u32)>,
}

impl<'a> Room<'a> {
    pub fn new(tableau: &'a Tableau) -> Self {
        let photographer = |solid: &Solid| match tableau.owners.get(solid.owner.0 as usize)?.kind {
            OwnerKind::Photographer(photographer) => Some(photographer),
            _ => None,
        };
        let crew: Vec<Option<PhotographerIx>> = tableau.solids.iter().map(photographer).collect();
        let crew_solids = tableau.solids.iter().zip(&crew).filter(|(_, crew)| crew.is_some());
        let crew_balls = crew_solids.map(|(solid, _)| ball(&corners_of(solid).collect::<Vec<_>>())).collect();
        Self { tableau, caster: OnceCell::new(), crew, crew_balls }
    }

    /// Somebody in it; `None` if none of their face is there.
    pub fn partner(&self, owner: OwnerIx) -> Option<Partner<'a>> {
        let tableau = self.tableau;
        let own = hiding(tableau).filter(move |&index| tableau.solids[index].owner == owner);
        let is_face = move |index: &usize| tableau.solids[*index].part == Part::Face;
        let face = own.clone().filter(is_face);
        let corners: Vec<Vec3> = face.clone().flat_map(|index| corners_of(&tableau.solids[index])).collect();
        let rest = own.filter(move |index| !is_face(index));
        let there = !corners.is_empty() && corners.iter().all(|corner| corner.is_finite());
        there.then(|| Partner {
            owner,
            face: Caster::of(tableau, face),
            rest: Caster::of(tableau, rest),
            ball: ball(&corners),
            corners,
        })
    }

    /// Whether one of the crew may be before a partner's face, seen from `eyes`. Most never are, and need no rays.
    pub fn crew_may_cover(&self, eyes: Vec3, partner: &Partner) -> bool {
        // All ways to the face lie within its ball, drawn out to the eyes.
        let (face, radius_m) = partner.ball;
        let way = face - eyes;
        self.crew_balls.iter().any(|&(middle, reach_m)| {
            let share = ((middle - eyes).dot(way) / way.length_squared()).clamp(0.0, 1.0);
            let beside_m = middle.distance(eyes + way * share);
            // What is no number is not clear.
            let clear = beside_m > reach_m + radius_m;
            !clear
        })
    }

    /// What somebody sees of a partner's face from `eyes`; their own solids hide nothing from them.
    pub fn look(&self, viewer: OwnerIx, eyes: Vec3, partner: &Partner) -> Look {
        let mut look = Look::default();
        let solids = &self.tableau.solids;
        let caster = self.caster.get_or_init(|| Caster::of(self.tableau, hiding(self.tableau)));
        for towards in rays(eyes, &partner.corners) {
            let Some((face_m, _)) = partner.face.nearest(eyes, towards, f32::INFINITY, |_| false) else { continue };
            let reach_m = face_m - SAME_M;
            look.alone += 1;
            if partner.rest.blocked(eyes, towards, reach_m, |_| false) {
                look.turned_away += 1;
                continue;
            }
            let aside = |solid: usize| [viewer, partner.owner].contains(&solids[solid].owner);
            let Some((_, first)) = caster.nearest(eyes, towards, reach_m, aside) else {
                look.seen += 1;
                continue;
            };
            let Some(photographer) = self.crew[first as usize] else {
                add(&mut look.covered, solids[first as usize].owner);
                continue;
            };
            let no_crew = |solid: usize| aside(solid) || self.crew[solid].is_some();
            match caster.nearest(eyes, towards, reach_m, no_crew) {
                Some((_, behind)) => add(&mut look.covered, solids[behind as usize].owner),
                None => add(&mut look.taken, photographer),
            }
        }
        look
    }
}

/// Solids that hide what is behind them.
fn hiding(tableau: &Tableau) -> impl Iterator<Item = usize> + Clone + '_ {
    (0..tableau.solids.len()).filter(|&index| !tableau.solids[index].is_seen_through())
}

/// Unit directions from `eyes`, evenly over the rectangle that these points fill as seen from there; none if a point lies
/// beside or behind the eyes.
fn rays(eyes: Vec3, corners: &[Vec3]) -> impl Iterator<Item = Vec3> {
    let middle = corners.iter().sum::<Vec3>() / corners.len().max(1) as f32;
    let ahead = (middle - eyes).normalize_or_zero();
    let right = ahead.cross(Vec3::Y).try_normalize().unwrap_or(Vec3::X);
    let up = right.cross(ahead);
    let (mut low, mut high, mut nearest_m) = (Vec2::INFINITY, Vec2::NEG_INFINITY, f32::INFINITY);
    for &corner in corners {
        let from_eyes = corner - eyes;
        let depth_m = from_eyes.dot(ahead);
        let seen = Vec2::new(from_eyes.dot(right), from_eyes.dot(up)) / depth_m;
        (low, high, nearest_m) = (low.min(seen), high.max(seen), nearest_m.min(depth_m));
    }
    let fair = nearest_m > NEAREST_M && low.is_finite() && high.is_finite();
    (0..if fair { RAYS } else { 0 }).map(move |i| {
        let share = Vec2::new(i as f32 + 0.5, (i * NEXT % RAYS) as f32 + 0.5) / RAYS as f32;
        let on_plane = low + (high - low) * share;
        (ahead + right * on_plane.x + up * on_plane.y).normalize_or_zero()
    })
}

/// A ball that holds these points.
fn ball(points: &[Vec3]) -> (Vec3, f32) {
    let middle = points.iter().sum::<Vec3>() / points.len().max(1) as f32;
    (middle, points.iter().map(|point| point.distance(middle)).fold(0.0, f32::max))
}

fn add<T: PartialEq>(counts: &mut Vec<(T, u32)>, who: T) {
    match counts.iter_mut().find(|(counted, _)| *counted == who) {
        Some((_, count)) => *count += 1,
        None => counts.push((who, 1)),
    }
}
