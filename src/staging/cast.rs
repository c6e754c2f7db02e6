//! The cast: everyone who is there at an instant, as actors with a body, a stance and something to do, and the way
//! from the cast to solids.

use super::carve::Carver;
use super::chance::Chance;
use super::figure::blend::blended_arms;
use super::figure::dress::carve_dress;
use super::figure::gesture::{self, Arms, Doer, Idle};
use super::figure::head::{Eyes, carve_head};
use super::figure::held::carve_held;
use super::figure::landmarks;
use super::figure::proportions::Body;
use super::figure::skeleton::{self, Skeleton, Stance};
use super::figure::veil::carve_veil;
use super::tableau::{Figure, Owner, OwnerIx, OwnerKind, Solid};
use crate::plan::{Build, Clothes, ClothesKind, Colour, Held, Looks};

/// One figure to be.
#[derive(Debug, Clone)]
pub struct Actor {
    pub id: String,
    pub kind: OwnerKind,
    pub body: Body,
    pub looks: Looks,
    pub clothes: Clothes,
    pub stance: Stance,
    pub arms: Arms,
    pub holds: Held,
    pub idle: Idle,
    /// Index in the cast of the one a gesture is shared with.
    pub other: Option<usize>,
    /// Colours flowers and bindings.
    pub accent: Colour,
    pub chance: Chance,
    /// Seconds into the ceremony.
    pub at_s: f64,
    /// Since when, seconds into the ceremony, the arms do what they do: petals thrown before are not in the air.
    pub since_s: f64,
    /// What the arms did before, while they are on their way from there.
    pub arms_before: Option<ArmsBefore>,
}

/// An earlier gesture that arms are leaving.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArmsBefore {
    pub arms: Arms,
    pub holds: Held,
    /// As [`Actor::other`].
    pub other: Option<usize>,
    /// What is left of it: 1 as before, 0 as now.
    pub share: f32,
}

/// A body in these clothes.
pub fn body_of(stature_m: f32, build: Build, clothes: ClothesKind) -> Body {
    let curved =
        matches!(clothes, ClothesKind::Gown | ClothesKind::Dress | ClothesKind::Skirt) && build != Build::Child;
    Body::new(stature_m, build, curved)
}

/// Poses and carves the whole cast; returns landmarks in the cast's order. `owners` gets one entry each.
pub fn carve_cast(cast: &[Actor], owners: &mut Vec<Owner>, solids: &mut Vec<Solid>) -> Vec<Figure> {
    let poses = pose_cast(cast);
    let carve = |(actor, sk): (&Actor, &Skeleton)| {
        let owner = OwnerIx(owners.len() as u32);
        owners.push(Owner { id: actor.id.clone(), kind: actor.kind });
        let other = actor.other.and_then(|j| Some(doer(cast.get(j)?, poses.get(j)?)));
        let free = other.and_then(|other| gesture::free_hand(&doer(actor, sk), &other));
        carve_actor(&mut Carver::new(solids, owner), actor, sk, free);
        landmarks(owner, &actor.body, sk)
    };
    cast.iter().zip(&poses).map(carve).collect()
}

/// Landmarks of the whole cast, in its order, each owned by its place in it.
pub fn cast_landmarks(cast: &[Actor]) -> Vec<Figure> {
    let poses = pose_cast(cast);
    cast.iter().zip(&poses).enumerate().map(|(i, (actor, sk))| landmarks(OwnerIx(i as u32), &actor.body, sk)).collect()
}

fn pose_cast(cast: &[Actor]) -> Vec<Skeleton> {
    let mut skeletons: Vec<Skeleton> = cast.iter().map(|actor| skeleton::pose(&actor.body, &actor.stance)).collect();
    // Arms are solved against everybody's trunk, and against resting arms only.
    let arms: Vec<_> = (0..cast.len())
        .map(|i| {
            let actor = &cast[i];
            let mine = doer(actor, &skeletons[i]);
            let with = |other: Option<usize>| {
                let j = other.filter(|j| *j < cast.len())?;
                Some(doer(&cast[j], &skeletons[j]))
            };
            let now = gesture::arms(&mine, with(actor.other).as_ref());
            let Some(before) = actor.arms_before else { return now };
            let then = Doer { arms: before.arms, holds: before.holds, ..mine };
            let then = gesture::arms(&then, with(before.other).as_ref());
            blended_arms(&actor.body, &then, &now, before.share)
        })
        .collect();
    for (skeleton, arms) in skeletons.iter_mut().zip(&arms) {
        skeleton.arms = *arms;
    }
    skeletons
}

fn doer<'a>(actor: &'a Actor, sk: &'a Skeleton) -> Doer<'a> {
    Doer {
        body: &actor.body,
        sk,
        bearing: actor.stance.bearing,
        arms: actor.arms,
        holds: actor.holds,
        idle: actor.idle,
        chance: actor.chance,
        stride: actor.stance.stride,
        before: actor.stance.before,
        at_s: actor.at_s,
        since_s: actor.since_s,
    }
}

fn carve_actor(carver: &mut Carver, actor: &Actor, sk: &Skeleton, free: Option<usize>) {
    carve_dress(carver, &actor.body, sk, &actor.looks, &actor.clothes, actor.chance);
    let eyes = if matches!(actor.arms, Arms::Kisses | Arms::Embraces) { Eyes::Closed } else { Eyes::Open };
    carve_head(carver, sk.head, &actor.body, &actor.looks, eyes, actor.chance);
    if actor.clothes.veil {
        carve_veil(carver, &actor.body, sk);
    }
    carve_held(carver, &doer(actor, sk), &sk.arms, actor.accent, free);
}
