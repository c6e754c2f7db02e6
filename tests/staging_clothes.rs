//! Clothes that stay on: what a pose must not push through them. All limits are ours, by eye; no source.

mod builders;

use builders::*;
use glam::{Vec2, Vec3};
use standpoint::plan::*;
use standpoint::staging::*;

fn dressed(kind: ClothesKind, posture: Posture, stature_m: f32, build: Build, seed: u64) -> (Tableau, Figure) {
    let mut plan = lawn();
    plan.seed = seed;
    let mut someone = person("someone", stature_m, Vec2::ZERO);
    someone.clothes.kind = kind;
    someone.build = build;
    plan.people.push(someone);
    plan.moments[0].cues.push(Cue {
        posture: Some(posture),
        faces: Some(Facing::Heading(0.0)),
        looks: Some(Facing::Heading(0.0)),
        ..cue(&[0])
    });
    let tableau = stage(&plan, 0.0);
    let figure = tableau.figures[0].clone();
    (tableau, figure)
}

fn parts<'a>(tableau: &'a Tableau, figure: &'a Figure, part: Part) -> impl Iterator<Item = &'a Solid> {
    tableau.solids.iter().filter(move |s| s.owner == figure.owner && s.part == part)
}

/// How far along `ahead` a ray from behind at this height and side reaches through blocks of a part: their front.
fn front_at(tableau: &Tableau, figure: &Figure, part: Part, x: f32, y: f32) -> Option<f32> {
    let steps = (0..400).map(|i| 0.6 - 0.003 * i as f32);
    let mut depths = steps.filter(|ahead| {
        let point = Vec3::new(x, y, -ahead);
        parts(tableau, figure, part).any(|solid| inside(solid, point))
    });
    depths.next()
}

fn inside(solid: &Solid, point: Vec3) -> bool {
    let Shape::Block(block) = &solid.shape else { return false };
    let local = solid.turned.inverse() * (point - solid.at);
    let share = (local.y / block.half_m.y + 1.0) * 0.5;
    let width = Vec2::ONE.lerp(block.top, share);
    (0.0..=1.0).contains(&share)
        && local.x.abs() <= block.half_m.x * width.x
        && local.z.abs() <= block.half_m.z * width.y
}

/// A stride keeps both thighs inside the jacket down to its hem: no tongue of trouser in front of it.
#[test]
fn a_stride_stays_under_the_jacket() {
    for (stature_m, build) in [(1.62, Build::Slight), (1.78, Build::Middling), (1.92, Build::Broad)] {
        for seed in 0..12 {
            for posture in [Posture::Walking, Posture::Standing] {
                let (tableau, f) = dressed(ClothesKind::Suit, posture, stature_m, build, seed);
                // From a little over the hem, which is rounded, to the hips.
                for down in [0.040, 0.025, 0.010, 0.0] {
                    for i in -6..=6 {
                        let (x, y) = (f.hip.x + 0.012 * stature_m * i as f32, f.hip.y - down * stature_m);
                        let Some(thigh) = front_at(&tableau, &f, Part::Thigh, x, y) else { continue };
                        let jacket = front_at(&tableau, &f, Part::Pelvis, x, y).unwrap_or(-1.0);
                        assert!(
                            thigh - jacket < 0.004,
                            "{posture:?} {build:?} {seed}: the thigh stands {} m out of the jacket",
                            thigh - jacket
                        );
                    }
                }
            }
        }
    }
}

/// The shoes of a walker stay inside a long gown: the front of the forward shoe, nearly, is 6 cm ahead of its middle.
#[test]
fn a_gown_hides_the_shoes() {
    for stature_m in [1.55, 1.68, 1.80] {
        for seed in 0..12 {
            for posture in [Posture::Walking, Posture::Standing] {
                let (tableau, f) = dressed(ClothesKind::Gown, posture, stature_m, Build::Middling, seed);
                let x = f.sole.x;
                let shoes_ahead = parts(&tableau, &f, Part::Foot).map(|s| -(s.at.z) + 0.06).fold(0.0, f32::max);
                let hem = front_at(&tableau, &f, Part::Skirt, x, f.sole.y + 0.05).expect("a skirt there");
                assert!(hem > shoes_ahead, "{posture:?} {seed}: shoes at {shoes_ahead} m ahead, the hem at {hem} m");
            }
        }
    }
}

/// No daylight between torso and arm at the shoulder, however the arm is held: the joint lies inside both.
#[test]
fn shoulders_join_the_torso() {
    for gesture in [Gesture::Waves, Gesture::OpensArms, Gesture::HoldsUpPhone, Gesture::Claps] {
        for kind in [ClothesKind::Suit, ClothesKind::Gown, ClothesKind::Dress, ClothesKind::Shirt, ClothesKind::Wrap] {
            let mut plan = lawn();
            let mut someone = person("someone", 1.72, Vec2::ZERO);
            someone.clothes.kind = kind;
            plan.people.push(someone);
            plan.moments[0].cues.push(Cue { gesture: Some(gesture), ..cue(&[0]) });
            let tableau = stage(&plan, 0.0);
            let f = &tableau.figures[0];
            let arms: Vec<&Solid> = parts(&tableau, f, Part::UpperArm).collect();
            assert!(arms.len() >= 2);
            for arm in arms {
                let Shape::Block(block) = &arm.shape else { panic!("arms are blocks") };
                // A little below the top of the upper arm.
                let joint = arm.at + arm.turned * Vec3::Y * (block.half_m.y - 0.03);
                assert!(
                    parts(&tableau, f, Part::Torso).any(|solid| inside(solid, joint)),
                    "{gesture:?} in {kind:?}: the shoulder at {joint} is off the torso"
                );
            }
        }
    }
}

/// Whoever embraces or kisses with flowers in the hand keeps them out of the other's body.
#[test]
fn flowers_stay_out_of_an_embrace() {
    for gesture in [Gesture::Embraces as fn(PersonIx) -> Gesture, Gesture::Kisses] {
        for statures in [[1.66, 1.80], [1.80, 1.66]] {
            let mut plan = lawn();
            plan.people.push(person("flowers", statures[0], Vec2::new(-0.3, 0.0)));
            plan.people.push(person("other", statures[1], Vec2::new(0.3, 0.0)));
            plan.people[0].clothes.kind = ClothesKind::Gown;
            plan.moments[0].cues.push(Cue { gesture: Some(gesture(PersonIx(1))), ..cue(&[0]) });
            plan.moments[0].cues.push(Cue { holds: Some(Held::Bouquet), ..cue(&[0]) });
            let tableau = stage(&plan, 0.0);
            let [holder, other] = [&tableau.figures[0], &tableau.figures[1]];
            let held: Vec<&Solid> = parts(&tableau, holder, Part::Held).collect();
            assert!(held.len() > 10, "a bouquet is held");
            for part in [Part::Torso, Part::Pelvis, Part::UpperArm, Part::Forearm] {
                for body in parts(&tableau, other, part) {
                    assert!(held.iter().all(|flower| !inside(body, flower.at)), "flowers in the other's {part:?}");
                }
            }
        }
    }
}

/// Beard, sideburn and hair read as one: seen from the side, no skin between them in front of the ear.
#[test]
fn beards_join_the_hair() {
    for hair in [Hair::Short, Hair::Curls, Hair::Bun, Hair::Hat] {
        let mut plan = lawn();
        let mut someone = person("someone", 1.78, Vec2::ZERO);
        someone.looks.hair = hair;
        someone.looks.beard = true;
        plan.people.push(someone);
        plan.moments[0].cues.push(Cue { faces: Some(Facing::Heading(0.0)), ..cue(&[0]) });
        let tableau = stage(&plan, 0.0);
        let f = &tableau.figures[0];
        let up = (f.crown - f.chin).normalize();
        let side = up.cross(f.face_forward).normalize();
        let u = f.crown.distance(f.chin);
        for i in 0..16 {
            let at = f.chin + up * u * (0.06 + 0.05 * i as f32) + f.face_forward * 0.06 * u;
            let covered = (0..80).map(|step| at + side * (0.30 + 0.004 * step as f32) * u).any(|point| {
                tableau
                    .solids
                    .iter()
                    .filter(|s| s.owner == f.owner && matches!(s.material.finish, Finish::Hair | Finish::Cloth))
                    .filter(|s| matches!(s.part, Part::Hair | Part::Hat | Part::Head | Part::Face))
                    .any(|solid| inside(solid, point))
            });
            assert!(covered, "{hair:?}: skin shows {} of the head over the chin", 0.06 + 0.05 * i as f32);
        }
    }
}
