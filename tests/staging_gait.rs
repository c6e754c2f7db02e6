//! People who walk, step aside, sit down, stand up and dance: cadence against published measurements, and what must
//! hold at every instant of any walk.

use glam::{Vec2, Vec3};
use standpoint::plan::Build;
use standpoint::staging::Chance;
use standpoint::staging::figure::proportions::Body;
use standpoint::staging::figure::skeleton::{Bearing, Skeleton, Stance, pose};
use standpoint::staging::gait::*;
use std::f32::consts::{FRAC_PI_2, PI};

const FPS: f32 = 120.0;

/// Comfortable speeds by decade of age, 20s to 70s, m/s: Bohannon, *Age and Ageing* 26:15–19, 1997.
const MEN_MPS: [f32; 6] = [1.393, 1.458, 1.462, 1.393, 1.359, 1.330];
const WOMEN_MPS: [f32; 6] = [1.407, 1.415, 1.391, 1.395, 1.296, 1.272];

/// Mean statures of men and women, US 20+, 2015–18: NCHS Vital and Health Statistics 3(46), 2021, Tables 11 and 9.
const MAN_M: f32 = 1.753;
const WOMAN_M: f32 = 1.613;

/// Normal walking in laboratories: 81–135 steps a minute for men, 96–138 for women (Tudor-Locke & Rowe, *Sports
/// Medicine* 42:381–398, 2012, abstract).
#[test]
fn cadence_at_comfortable_speeds_is_as_measured() {
    for (stature_m, paces, low, high) in [(MAN_M, MEN_MPS, 81.0, 135.0), (WOMAN_M, WOMEN_MPS, 96.0, 138.0)] {
        for pace in paces {
            let cadence = cadence_spm(stature_m, pace);
            assert!((low..=high).contains(&cadence), "{stature_m} m at {pace} m/s: {cadence}, expected {low}–{high}");
        }
    }
}

/// The slow march is 75 paces of 30 inches a minute (War Office, *Infantry Training*, 1905): drilled, with longer steps
/// than anybody takes at that pace by themselves. So only nearness within a quarter is asked, and that the natural
/// steps are the more and the shorter ones.
#[test]
fn natural_cadence_is_above_the_slow_march() {
    let pace = 75.0 * 30.0 * 0.0254 / 60.0;
    let cadence = cadence_spm(1.75, pace);
    assert!(cadence > 75.0 && cadence < 75.0 * 1.25, "{cadence} steps/min at {pace} m/s, the march has 75");
    let step = step_length_m(1.75, pace);
    assert!(step < 0.762 && step > 0.762 / 1.25, "{step} m a step, the march has 0.762");
}

#[test]
fn nobody_who_stands_takes_steps() {
    assert_eq!(cadence_spm(1.7, 0.0), 0.0);
    assert_eq!(step_length_m(1.7, 0.0), 0.0);
    let course = Course { pace: 0.0, length: 0.0, ..Course::flat(1.7) };
    let sk = course.at(0.0);
    assert!(joints(&sk).iter().all(|(_, j)| j.is_finite()));
    // At no pace at all a way still has steps.
    let creep = Course { pace: 0.0, ..Course::flat(1.7) };
    assert!(joints(&creep.at(1.0)).iter().all(|(_, j)| j.is_finite()));
}

/// A way takes as long as it is told, begins and ends at its ends and never goes back.
#[test]
fn ways_begin_and_end_in_time() {
    for over in [0.0, 0.3, 1.0, 12.0] {
        let mut before = 0.0;
        for i in -10..=1300 {
            let t = f64::from(i) / 100.0;
            let m = travelled_m(5.0, over, t);
            assert!(m >= before && m <= 5.0 + 1e-4, "{m} m after {t} s of {over}");
            before = m;
        }
        assert_eq!(travelled_m(5.0, over, -0.1), 0.0);
        assert_eq!(before, 5.0);
        assert!(
            (travelled_m(5.0, over, over * 0.5) - 2.5).abs() < 1e-3 || over == 0.0,
            "half of the time, half the way"
        );
    }
}

/// A walk on a way over a floor.
#[derive(Clone, Copy)]
struct Course {
    body: Body,
    chance: Chance,
    length: f32,
    pace: f32,
    /// Movement seen from the body.
    towards: f32,
    /// Radians a metre.
    bend: f32,
    ground: Ground,
}

#[derive(Clone, Copy, PartialEq, Debug)]
enum Ground {
    Flat,
    /// Up steps of 0.17 m from z = −2 on, each 0.30 m deep, three of them, and on along a platform.
    Up,
    /// The same from the other side.
    Down,
    /// A platform of 0.20 m from z = −2.2 to −3.4.
    Platform,
}

impl Ground {
    fn height(self, spot: Vec2) -> f32 {
        let along = -spot.y;
        let rise = |along: f32| if along < 2.0 { 0.0 } else { (((along - 2.0) / 0.30).floor() + 1.0).min(3.0) * 0.17 };
        match self {
            Ground::Flat => 0.0,
            Ground::Up => rise(along),
            Ground::Down => rise(5.3 - along),
            Ground::Platform => {
                if (2.2..3.4).contains(&along) {
                    0.20
                } else {
                    0.0
                }
            }
        }
    }
}

impl Course {
    fn flat(stature_m: f32) -> Self {
        Self {
            body: Body::new(stature_m, if stature_m < 1.4 { Build::Child } else { Build::Middling }, false),
            chance: Chance::new(5),
            length: 5.0,
            pace: 1.0,
            towards: 0.0,
            bend: 0.0,
            ground: Ground::Flat,
        }
    }

    fn walk(&self) -> Walk {
        Walk::new(&self.body, self.chance, self.length, self.pace, self.towards)
    }

    fn path(&self, m: f32) -> (Vec2, f32) {
        // An arc of a circle, or straight ahead.
        let turned = self.bend * m;
        let spot = if self.bend.abs() < 1e-4 {
            Vec2::new(0.0, -m)
        } else {
            Vec2::new(1.0 - turned.cos(), -turned.sin()) / self.bend
        };
        (spot, turned - self.towards)
    }

    fn stride(&self, m: f32) -> Stride {
        self.walk().stride(m, |m| self.path(m), |spot| self.ground.height(spot))
    }

    fn at(&self, m: f32) -> Skeleton {
        let stride = self.stride(m);
        let stance = Stance { stride: Some(stride), ..standing(self.chance, stride.root, stride.heading) };
        pose(&self.body, &stance)
    }
}

fn standing(chance: Chance, feet: Vec3, heading: f32) -> Stance {
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

fn joints(sk: &Skeleton) -> Vec<(&'static str, Vec3)> {
    let [l, r] = sk.legs;
    let [la, ra] = sk.arms;
    vec![
        ("left ankle", l.ankle),
        ("right ankle", r.ankle),
        ("left knee", l.knee),
        ("right knee", r.knee),
        ("left hip", l.hip),
        ("right hip", r.hip),
        ("pelvis", sk.pelvis.at),
        ("chest", sk.chest.at),
        ("head", sk.head.at),
        ("left wrist", la.wrist),
        ("right wrist", ra.wrist),
    ]
}

/// Walks of all sizes and paces, straight and bent.
fn courses() -> Vec<Course> {
    let mut all = Vec::new();
    for (i, stature) in [0.95_f32, 1.10, 1.45, 1.61, 1.75, 1.95].into_iter().enumerate() {
        for (k, pace) in [0.3_f32, 0.6, 1.0, 1.35, 1.8].into_iter().enumerate() {
            let c = Chance::new((i * 10 + k) as u64);
            all.push(Course {
                chance: c,
                pace,
                length: c.between("length", 0.15, 6.0),
                bend: c.signed("bend") * 0.5,
                ..Course::flat(stature)
            });
        }
    }
    all
}

fn on_steps() -> Vec<Course> {
    let mut all = Vec::new();
    for ground in [Ground::Up, Ground::Down, Ground::Platform] {
        for stature in [1.15, 1.61, 1.75, 1.95] {
            // Stairs are climbed at about half a metre a second along the plan (from memory).
            for pace in [0.3, 0.5] {
                all.push(Course { ground, pace, length: 5.3, ..Course::flat(stature) });
            }
        }
    }
    all
}

fn grown(c: &Course) -> bool {
    c.body.stature > 1.4
}

fn sideways() -> Vec<Course> {
    let mut all = Vec::new();
    for towards in [FRAC_PI_2, -FRAC_PI_2, PI] {
        for stature in [1.0, 1.6, 1.9] {
            for length in [0.15, 0.5, 0.9] {
                all.push(Course { towards, length, pace: 0.35, ..Course::flat(stature) });
            }
        }
    }
    all
}

fn told(c: &Course) -> String {
    format!(
        "{:.2} m at {} m/s, {:.2} m long, towards {}, bend {:.2}, {:?}",
        c.body.stature, c.pace, c.length, c.towards, c.bend, c.ground
    )
}

/// Metres walked at each frame.
fn frames(c: &Course) -> impl Iterator<Item = f32> + '_ {
    let dt = c.pace / FPS;
    let count = (c.length / dt).ceil() as usize;
    (0..=count).map(move |i| (i as f32 * dt).min(c.length))
}

/// Corners of a shoe's sole: heel and toes, a hundredth inside the block, whose edges are rounded.
fn soles(c: &Course, sk: &Skeleton, side: usize) -> [Vec3; 3] {
    let leg = &sk.legs[side];
    [0.27, -0.40, -0.72].map(|z| leg.ankle + leg.foot * Vec3::new(0.0, -c.body.ankle, z * c.body.foot_length))
}

/// A planted foot turns over its heel, lies flat and turns over its toes; the point that it turns over stays within a
/// millimetre. On the floor it is within 2 cm of it, and at no time more than 5 mm below.
#[test]
fn planted_feet_stay_on_the_floor_and_where_they_are() {
    for c in courses().into_iter().chain(on_steps()).chain(sideways()) {
        let mut held: [Option<(Vec3, Vec3, bool)>; 2] = [None; 2];
        for m in frames(&c) {
            let stride = c.stride(m);
            let sk = c.at(m);
            for (side, held) in held.iter_mut().enumerate() {
                let reached = sk.legs[side].ankle.distance(stride.feet[side].ankle);
                assert!(reached < 1e-3, "{}: at {m} m the leg misses its foot {side} by {reached} m", told(&c));
                let [heel, ball, toes] = soles(&c, &sk, side);
                let over = [heel, ball, toes].map(|p| p.y - c.ground.height(Vec2::new(p.x, p.z)));
                for over in over {
                    assert!(
                        over > -0.005,
                        "{}: at {m} m foot {side} is {over} m under the floor ({:?})",
                        told(&c),
                        stride.feet[side]
                    );
                }
                let foot = stride.feet[side];
                if !foot.planted {
                    *held = None;
                    continue;
                }
                let least = over.into_iter().fold(f32::INFINITY, f32::min);
                assert!(least.abs() < 0.02, "{}: at {m} m planted foot {side} is {least} m over the floor", told(&c));
                if let Some((heel0, toes0, up)) = *held {
                    // The heel holds while the toes come down, the toes while the heel goes up, both in between.
                    let slid = match foot.toes_up {
                        t if t > 1e-4 => heel.distance(heel0),
                        t if t < -1e-4 => toes.distance(toes0),
                        _ if up => heel.distance(heel0),
                        _ => heel.distance(heel0).max(toes.distance(toes0)),
                    };
                    assert!(slid < 1e-3, "{}: at {m} m planted foot {side} slides {slid} m", told(&c));
                }
                // What is held is compared with the first instant at which it lay there.
                let (heel0, toes0, up) = held.unwrap_or((heel, toes, foot.toes_up > 1e-4));
                let landed = up && foot.toes_up <= 1e-4;
                *held = Some(if up && !landed {
                    (heel0, toes, true)
                } else if landed {
                    (heel0, toes, false)
                } else {
                    (heel0, toes0, false)
                });
            }
        }
    }
}

#[test]
fn bones_keep_their_length() {
    for c in courses().into_iter().chain(on_steps()).chain(sideways()) {
        for m in frames(&c) {
            let sk = c.at(m);
            for (name, got, wanted) in bones(&c.body, &sk) {
                assert!((got - wanted).abs() < 0.01 * wanted, "{}: at {m} m {name} is {got} m, not {wanted}", told(&c));
            }
        }
    }
}

fn bones(body: &Body, sk: &Skeleton) -> Vec<(&'static str, f32, f32)> {
    let mut all = Vec::new();
    for side in 0..2 {
        let (leg, arm) = (&sk.legs[side], &sk.arms[side]);
        all.push(("thigh", leg.hip.distance(leg.knee), body.thigh()));
        all.push(("shin", leg.knee.distance(leg.ankle), body.shin()));
        all.push(("upper arm", arm.shoulder.distance(arm.elbow), body.upper_arm));
        all.push(("forearm", arm.elbow.distance(arm.wrist), body.forearm));
    }
    all.push(("hips", sk.legs[0].hip.distance(sk.legs[1].hip), 2.0 * body.leg_x));
    all.push(("trunk", sk.waist.distance(sk.chest.at), body.spine() - body.waist_over_hip()));
    all
}

/// Nothing jumps: from frame to frame no joint moves more than 3 times the pace and 1.5 m/s allow. A foot does in two
/// fifths of a cycle the way that the body does in the whole, so on average it goes 2.5 times as fast, and faster in
/// the middle of its swing; 1.5 m/s is for arms, for lifting feet and for the hurry of steps.
///
/// Children on stairs are left out: a step as high as half their leg takes their knees faster than that.
#[test]
fn nothing_jumps_while_walking() {
    for c in courses().into_iter().chain(on_steps().into_iter().filter(grown)).chain(sideways()) {
        // On stairs a foot also rises or sinks by two steps at once, and its knee folds and stretches for that.
        let stairs = if c.ground == Ground::Flat { 0.0 } else { 1.0 };
        let most = (3.0 * c.pace + 1.5 + stairs) / FPS;
        let mut before: Option<Vec<(&str, Vec3)>> = None;
        for m in frames(&c) {
            let now = joints(&c.at(m));
            if let Some(before) = before {
                for ((name, a), (_, b)) in before.iter().zip(&now) {
                    let moved = a.distance(*b);
                    assert!(moved < most, "{}: at {m} m the {name} moves {} m/s", told(&c), moved * FPS);
                }
            }
            before = Some(now);
        }
    }
}

/// Where a walk begins and ends the body is as in standing, within 2 mm.
#[test]
fn walks_begin_and_end_in_standing() {
    for c in courses().into_iter().chain(sideways()) {
        for m in [0.0, c.length] {
            let (spot, heading) = c.path(m);
            let still = pose(&c.body, &standing(c.chance, Vec3::new(spot.x, 0.0, spot.y), heading));
            for ((name, a), (_, b)) in joints(&still).into_iter().zip(joints(&c.at(m))) {
                assert!(a.distance(b) < 0.002, "{}: at {m} m the {name} is {} m off", told(&c), a.distance(b));
            }
        }
    }
}

/// On the flat the hips rise and fall by a few centimetres only; gait laboratories report about 2 to 5 cm for
/// comfortable walking (common textbook value, from memory).
#[test]
fn hips_rise_and_fall_a_little() {
    for (pace, low, high) in [(0.6, 0.004, 0.04), (1.35, 0.02, 0.065)] {
        let c = Course { pace, length: 6.0, ..Course::flat(1.75) };
        let heights: Vec<f32> = frames(&c).filter(|m| (2.0..4.0).contains(m)).map(|m| c.at(m).pelvis.at.y).collect();
        let span = heights.iter().copied().fold(0.0, f32::max) - heights.iter().copied().fold(9.0, f32::min);
        assert!((low..high).contains(&span), "at {pace} m/s hips rise and fall by {span} m");
    }
}

/// Arms swing against the legs, not at all at no pace, and more the faster.
#[test]
fn arms_swing_against_legs() {
    let mut before = 0.0;
    for pace in [0.0, 0.4, 0.9, 1.4] {
        let c = Course { pace, length: 6.0, ..Course::flat(1.75) };
        let (mut most, mut against): (f32, f32) = (0.0, 0.0);
        for i in 0..600 {
            let sk = c.at(2.0 + i as f32 / 300.0);
            let ahead = |p: Vec3| sk.root.local(p).z;
            let legs = ahead(sk.legs[0].ankle) - ahead(sk.legs[1].ankle);
            let arms = ahead(sk.arms[0].wrist) - ahead(sk.arms[1].wrist);
            against += legs * arms;
            most = most.max(arms.abs());
        }
        assert!(pace == 0.0 || against < 0.0, "at {pace} m/s arms go with the legs");
        if pace == 0.0 {
            assert!(most < 0.06, "arms swing {most} m at no pace");
        }
        assert!(most > before, "arms swing {most} m at {pace} m/s, {before} m at less");
        before = most;
    }
}

/// In steps to the side the right foot stays right of the left.
#[test]
fn legs_do_not_cross_in_side_steps() {
    for c in sideways() {
        for m in frames(&c) {
            let sk = c.at(m);
            let gap = sk.root.local(sk.legs[1].ankle).x - sk.root.local(sk.legs[0].ankle).x;
            assert!(gap > c.body.leg_x, "{}: at {m} m feet are {gap} m apart", told(&c));
        }
    }
}

/// Turning on the spot: planted feet stay, and the body ends as it stands.
#[test]
fn turns_are_stepped() {
    for angle in [-3.0, -FRAC_PI_2, -0.4, 0.4, FRAC_PI_2, 3.0] {
        let body = Body::new(1.70, Build::Middling, false);
        let chance = Chance::new(3);
        let walk = Walk::turn(&body, chance, angle);
        let at = |share: f32| {
            let on_path = |m: f32| (Vec2::ZERO, angle * m / walk.length_m());
            let stride = walk.stride(share * walk.length_m(), on_path, |_| 0.0);
            let stance = Stance { stride: Some(stride), ..standing(chance, Vec3::ZERO, angle * share) };
            (stride, pose(&body, &stance))
        };
        let mut before: Option<(Stride, Skeleton)> = None;
        for i in 0..=600 {
            let (stride, sk) = at(i as f32 / 600.0);
            if let Some((was, then)) = before {
                for side in 0..2 {
                    let moved = then.legs[side].ankle.distance(sk.legs[side].ankle);
                    if was.feet[side].planted && stride.feet[side].planted {
                        assert!(moved < 1e-3, "turning {angle}: foot {side} slides {moved} m");
                    }
                    let apart = sk.legs[0].ankle.distance(sk.legs[1].ankle);
                    assert!(apart > body.leg_x, "turning {angle}: feet {apart} m apart");
                }
            }
            before = Some((stride, sk));
        }
        let end = pose(&body, &standing(chance, Vec3::ZERO, angle));
        for ((name, a), (_, b)) in joints(&end).into_iter().zip(joints(&at(1.0).1)) {
            assert!(a.distance(b) < 0.002, "turning {angle}: the {name} ends {} m off", a.distance(b));
        }
    }
}

/// Sitting down and standing up over a second and a half: nothing jumps, hips stay over the seat, feet on the floor,
/// knees before the hips, the trunk bows on the way.
#[test]
fn sitting_down_and_standing_up_is_smooth() {
    let seat_m = 0.45;
    for (i, stature) in [1.10_f32, 1.55, 1.75, 1.95].into_iter().enumerate() {
        let body = Course::flat(stature).body;
        let chance = Chance::new(i as u64 + 40);
        // Legs that dangle have farther to go.
        let fast = if stature < 1.4 { 4.5 } else { 3.0 };
        for rises in [true, false] {
            let sitting = Bearing::Sitting { seat_m };
            let at = |passed: f32| {
                let up = if rises { passed } else { 1.0 - passed };
                let (bearing, before) = if rises { (Bearing::Standing, sitting) } else { (sitting, Bearing::Standing) };
                let feet = Vec3::new(0.0, 0.0, -0.27 * up);
                let before = Some((before, 1.0 - passed));
                (up, pose(&body, &Stance { bearing, before, ..standing(chance, feet, 0.0) }))
            };
            let seat = at(if rises { 0.0 } else { 1.0 }).1;
            let count = 180;
            let mut before: Option<Skeleton> = None;
            let mut bow: f32 = 0.0;
            for k in 0..=count {
                let (up, sk) = at(k as f32 / count as f32);
                let what = format!("{stature} m, {}, {up:.3} up", if rises { "rising" } else { "sitting down" });
                for (name, got, wanted) in bones(&body, &sk) {
                    assert!((got - wanted).abs() < 0.01 * wanted, "{what}: {name} is {got} m, not {wanted}");
                }
                let hip = sk.pelvis.at.y;
                assert!(hip >= seat.pelvis.at.y - 0.002, "{what}: hips at {hip} m, {} on the seat", seat.pelvis.at.y);
                for side in 0..2 {
                    let leg = &sk.legs[side];
                    assert!(leg.knee.z < leg.hip.z + 0.05, "{what}: knee behind the hip");
                    let low = leg.ankle.y - body.ankle;
                    assert!(low > -0.005, "{what}: foot {low} m over the floor");
                    if stature > 1.7 {
                        assert!(low < 0.05, "{what}: foot {low} m over the floor");
                    }
                    if let Some(before) = &before {
                        // While legs carry, feet stay where they are.
                        let moved = leg.ankle.distance(before.legs[side].ankle);
                        if stature > 1.5 && (0.36..1.0).contains(&up) {
                            assert!(moved < 1e-3, "{what}: foot {side} slides {moved} m");
                        }
                    }
                }
                let up_axis = sk.chest.turned * Vec3::Y;
                bow = bow.max((-up_axis.z).atan2(up_axis.y));
                if let Some(before) = &before {
                    for ((name, a), (_, b)) in joints(before).into_iter().zip(joints(&sk)) {
                        assert!(a.distance(b) * FPS < fast, "{what}: the {name} moves {} m/s", a.distance(b) * FPS);
                    }
                }
                before = Some(sk);
            }
            // Trunks bow by some 30° to 50° as people rise (common textbook value, from memory).
            assert!((0.4..1.0).contains(&bow), "{stature} m: bows {bow} rad");
            // Both ends are the plain bearings.
            for (passed, bearing, z) in [(0.0, rises), (1.0, !rises)]
                .map(|(p, sits)| if sits { (p, sitting, 0.0) } else { (p, Bearing::Standing, -0.27) })
            {
                let plain = pose(&body, &Stance { bearing, ..standing(chance, Vec3::new(0.0, 0.0, z), 0.0) });
                for ((name, a), (_, b)) in joints(&plain).into_iter().zip(joints(&at(passed).1)) {
                    assert!(a.distance(b) < 0.004, "{stature} m, {passed} passed: {name} {} m off", a.distance(b));
                }
            }
        }
    }
}

/// Every bearing to every other over a second: nothing jumps, bones keep their length, ends are the plain bearings.
#[test]
fn bearings_change_smoothly() {
    let all =
        [Bearing::Standing, Bearing::Kneeling, Bearing::Crouching, Bearing::OnOneKnee, Bearing::Bent { hip_m: 0.6 }];
    let body = Body::new(1.72, Build::Middling, false);
    let chance = Chance::new(9);
    for from in all {
        for to in all {
            let at = |passed: f32| {
                let before = Some((from, 1.0 - passed));
                pose(&body, &Stance { bearing: to, before, ..standing(chance, Vec3::ZERO, 0.0) })
            };
            let mut before: Option<Skeleton> = None;
            for k in 0..=120 {
                let sk = at(k as f32 / 120.0);
                for (name, got, wanted) in bones(&body, &sk) {
                    assert!(
                        (got - wanted).abs() < 0.01 * wanted,
                        "{from:?} to {to:?}: {name} is {got} m, not {wanted}"
                    );
                }
                for leg in &sk.legs {
                    let low = leg.ankle.y - body.ankle * (leg.foot * Vec3::Y).y;
                    assert!(low > -0.03, "{from:?} to {to:?}: sole {low} m over the floor");
                }
                if let Some(before) = &before {
                    for ((name, a), (_, b)) in joints(before).into_iter().zip(joints(&sk)) {
                        assert!(a.distance(b) * FPS < 4.5, "{from:?} to {to:?}: {name} {} m/s", a.distance(b) * FPS);
                    }
                }
                before = Some(sk);
            }
            let plain = pose(&body, &Stance { bearing: from, ..standing(chance, Vec3::ZERO, 0.0) });
            for ((name, a), (_, b)) in joints(&plain).into_iter().zip(joints(&at(0.0))) {
                assert!(a.distance(b) < 0.006, "{from:?} to {to:?}: {name} begins {} m off", a.distance(b));
            }
        }
    }
}

/// A dance begins and ends as the pair stood, nothing jumps, planted feet stay, and feet never cross.
#[test]
fn dances_sway_in_two_steps() {
    let pair = Chance::new(77);
    let length = 40.0_f64;
    for leads in [true, false] {
        let body = Body::new(if leads { 1.80 } else { 1.66 }, Build::Middling, !leads);
        let chance = Chance::new(u64::from(leads));
        let root_at = |sway: Sway| {
            let side = if leads { 0.18 } else { -0.18 };
            let turned = Vec2::from_angle(sway.turn).rotate(Vec2::new(0.0, side));
            (turned + Vec2::new(sway.aside_m, 0.0), sway.turn + if leads { 0.0 } else { std::f32::consts::PI })
        };
        let at = |t: f64| {
            let stride = dance(&body, chance, leads, [t, length], pair, root_at, |_| 0.0);
            (stride, pose(&body, &Stance { stride: Some(stride), ..standing(chance, stride.root, stride.heading) }))
        };
        let mut before: Option<(Stride, Skeleton)> = None;
        for i in 0..=(length * f64::from(FPS)) as usize {
            let t = i as f64 / f64::from(FPS);
            let (stride, sk) = at(t);
            let gap = sk.root.local(sk.legs[1].ankle).x - sk.root.local(sk.legs[0].ankle).x;
            assert!(gap > body.leg_x * 0.9, "after {t} s feet are {gap} m apart");
            for (side, foot) in stride.feet.iter().enumerate() {
                let missed = foot.ankle.distance(sk.legs[side].ankle);
                assert!(missed < 1e-3, "after {t} s foot {side} is missed by {missed} m");
            }
            if let Some((was, then)) = before {
                for side in 0..2 {
                    let moved = then.legs[side].ankle.distance(sk.legs[side].ankle);
                    if was.feet[side].planted && stride.feet[side].planted {
                        assert!(moved < 1e-3, "after {t} s foot {side} slides {moved} m");
                    }
                }
                for ((name, a), (_, b)) in joints(&then).into_iter().zip(joints(&sk)) {
                    assert!(a.distance(b) * FPS < 1.5, "after {t} s the {name} moves {} m/s", a.distance(b) * FPS);
                }
            }
            before = Some((stride, sk));
        }
        for t in [0.0, length] {
            let (spot, heading) = root_at(Sway::default());
            let still = pose(&body, &standing(chance, Vec3::new(spot.x, 0.0, spot.y), heading));
            for ((name, a), (_, b)) in joints(&still).into_iter().zip(joints(&at(t).1)) {
                assert!(a.distance(b) < 0.002, "after {t} s the {name} is {} m off", a.distance(b));
            }
        }
    }
}
