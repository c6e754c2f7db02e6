//! Arms in time: gestures that move, and the way from one gesture to another.

use glam::Vec3;
use standpoint::plan::{Build, Held};
use standpoint::staging::Chance;
use standpoint::staging::figure::blend::blended_arms;
use standpoint::staging::figure::gesture::{Arms, Doer, Idle, arms};
use standpoint::staging::figure::proportions::Body;
use standpoint::staging::figure::skeleton::{Arm, Bearing, Skeleton, Stance, pose};
use std::f32::consts::PI;

fn stance(chance: Chance, feet: Vec3, heading: f32) -> Stance {
    Stance {
        feet,
        heading,
        bearing: Bearing::Standing,
        stride: None,
        before: None,
        look_at: None,
        lean: 0.0,
        rise_m: 0.0,
        head: None,
        chance,
    }
}

fn doer<'a>(body: &'a Body, sk: &'a Skeleton, arms: Arms, at_s: f64) -> Doer<'a> {
    Doer {
        body,
        sk,
        bearing: Bearing::Standing,
        arms,
        holds: Held::Nothing,
        idle: Idle::Folded,
        chance: Chance::new(8),
        stride: None,
        before: None,
        at_s,
        since_s: f64::NEG_INFINITY,
    }
}

/// Two who face each other, `apart_m` from root to root.
fn pair(apart_m: f32) -> [(Body, Skeleton); 2] {
    [(1.80, apart_m * 0.5, 0.0), (1.66, -apart_m * 0.5, PI)].map(|(stature, z, heading)| {
        let body = Body::new(stature, Build::Middling, heading > 1.0);
        (body, pose(&body, &stance(Chance::new(stature.to_bits().into()), Vec3::new(0.0, 0.0, z), heading)))
    })
}

const ALL: [Arms; 15] = [
    Arms::Rest,
    Arms::TakesHands,
    Arms::HoldsHand,
    Arms::GivesRing,
    Arms::TakesRing,
    Arms::Kisses,
    Arms::Embraces,
    Arms::Dances,
    Arms::HoldsUpPhone,
    Arms::Reads,
    Arms::Claps,
    Arms::OpensArms,
    Arms::WipesEyes,
    Arms::Waves,
    Arms::ThrowsPetals,
];

fn check_bones(what: &str, body: &Body, arms: &[Arm; 2]) {
    for arm in arms {
        for (got, wanted) in
            [(arm.shoulder.distance(arm.elbow), body.upper_arm), (arm.elbow.distance(arm.wrist), body.forearm)]
        {
            assert!((got - wanted).abs() < 0.01 * wanted, "{what}: a bone of {wanted} m is {got} m");
        }
        assert!((arm.fingers.length() - 1.0).abs() < 1e-3 && (arm.palm.length() - 1.0).abs() < 1e-3, "{what}");
        assert!(arm.fingers.dot(arm.palm).abs() < 1e-3, "{what}: the palm looks along the fingers");
    }
}

/// From every gesture to every other over 0.8 s: it begins and ends as the plain gestures, wrists and elbows move
/// without jumps, bones keep their length.
#[test]
fn gestures_change_smoothly() {
    let [(a, ska), (b, skb)] = pair(0.55);
    for from in ALL {
        for to in ALL {
            let at = |share: f32| {
                let other = doer(&b, &skb, to, 3.0);
                let solved = [from, to].map(|gesture| arms(&doer(&a, &ska, gesture, 3.0), Some(&other)));
                blended_arms(&a, &solved[0], &solved[1], share)
            };
            let mut before = arms(&doer(&a, &ska, from, 3.0), Some(&doer(&b, &skb, to, 3.0)));
            let frames = 96;
            for k in 0..=frames {
                let now = at(1.0 - k as f32 / frames as f32);
                check_bones(&format!("{from:?} to {to:?}"), &a, &now);
                for (was, is) in before.iter().zip(&now) {
                    for (name, moved) in
                        [("wrist", was.wrist.distance(is.wrist)), ("elbow", was.elbow.distance(is.elbow))]
                    {
                        assert!(moved < 0.05, "{from:?} to {to:?}: the {name} moves {moved} m in a frame");
                    }
                    let turned = was.fingers.dot(is.fingers);
                    assert!(turned > 0.90, "{from:?} to {to:?}: fingers turn by {} rad in a frame", turned.acos());
                }
                before = now;
            }
        }
    }
}

/// Clapping hands meet about three times a second, and part again.
#[test]
fn clapping_claps() {
    let [(a, sk), _] = pair(1.0);
    let gap = |t: f64| {
        let both = arms(&doer(&a, &sk, Arms::Claps, t), None);
        both[0].grip(&a).distance(both[1].grip(&a))
    };
    let gaps: Vec<f32> = (0..=1200).map(|i| gap(f64::from(i) / 120.0)).collect();
    let claps = gaps.windows(3).filter(|w| w[1] < 0.05 && w[1] <= w[0] && w[1] < w[2]).count();
    assert!((24..=36).contains(&claps), "{claps} claps in ten seconds");
    assert!(gaps.iter().any(|g| *g > 0.12), "hands part");
}

/// Gestures that go on and on move without jumps at any time.
#[test]
fn moving_gestures_do_not_jump() {
    let [(a, sk), _] = pair(1.0);
    for gesture in [Arms::Claps, Arms::Waves, Arms::ThrowsPetals] {
        let mut moved_at_all: f32 = 0.0;
        let at = |t: f64| arms(&doer(&a, &sk, gesture, t), None);
        let mut before = at(100.0);
        for i in 1..=1200 {
            let now = at(100.0 + f64::from(i) / 120.0);
            check_bones(&format!("{gesture:?}"), &a, &now);
            for (was, is) in before.iter().zip(&now) {
                let moved = was.grip(&a).distance(is.grip(&a)).max(was.elbow.distance(is.elbow));
                assert!(moved < 0.06, "{gesture:?}: {moved} m in a frame");
                moved_at_all = moved_at_all.max(moved);
            }
            before = now;
        }
        assert!(moved_at_all > 0.002, "{gesture:?} moves");
    }
}

/// In the closed hold hands meet out at shoulder height, and the leader's right hand is at the other's back.
#[test]
fn dancers_hold_each_other() {
    for apart in [0.34, 0.42] {
        let [(a, ska), (b, skb)] = pair(apart);
        let of = |body, sk, other_body, other_sk| {
            arms(&doer(body, sk, Arms::Dances, 0.0), Some(&doer(other_body, other_sk, Arms::Dances, 0.0)))
        };
        let (tall, short) = (of(&a, &ska, &b, &skb), of(&b, &skb, &a, &ska));
        let joined = tall[0].grip(&a).distance(short[1].grip(&b));
        assert!(joined < 0.04, "{apart} m apart: joined hands {joined} m apart");
        let level = tall[0].grip(&a).y - skb.chest.at.y;
        assert!(level.abs() < 0.15, "joined hands {level} m over the shoulders");
        let back = skb.chest.local(tall[1].grip(&a));
        assert!(back.z > 0.0, "{apart} m apart: the hand is {} m behind the middle of the back", back.z);
        let on = ska.chest.local(short[0].grip(&b));
        assert!(on.x > 0.05 && on.y.abs() < 0.12, "{apart} m apart: the hand on the shoulder is at {on}");
    }
}
