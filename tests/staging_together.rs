//! People who do something together, and the crew.

mod builders;

use builders::*;
use glam::{Vec2, Vec3};
use standpoint::plan::*;
use standpoint::staging::*;

fn figures(tableau: &Tableau) -> (Figure, Figure) {
    (tableau.figures[0].clone(), tableau.figures[1].clone())
}

fn pair(statures_m: [f32; 2], apart_m: f32, gesture: fn(PersonIx) -> Gesture) -> Plan {
    let mut plan = lawn();
    plan.people.push(person("a", statures_m[0], Vec2::new(-apart_m * 0.5, 0.0)));
    plan.people.push(person("b", statures_m[1], Vec2::new(apart_m * 0.5, 0.0)));
    plan.people[1].clothes.kind = ClothesKind::Gown;
    plan.moments[0].cues.push(Cue { gesture: Some(gesture(PersonIx(1))), ..cue(&[0]) });
    plan
}

/// Hands that are taken meet within 3 cm, whoever is taller and however near the marks are.
#[test]
fn taken_hands_meet() {
    for statures in [[1.80, 1.65], [1.65, 1.80], [1.70, 1.70], [1.90, 1.55]] {
        for apart in [0.5, 0.8, 1.2, 2.0] {
            let (a, b) = figures(&stage(&pair(statures, apart, Gesture::TakesHands), 0.0));
            // My left meets the right of the one opposite.
            for (mine, theirs) in [(0, 1), (1, 0)] {
                let gap = a.hands[mine].distance(b.hands[theirs]);
                assert!(gap < 0.03, "{statures:?} {apart} m apart: hands {gap} m apart");
            }
            assert!(a.face_forward.dot(b.face_forward) < -0.5, "they look at each other");
        }
    }
}

#[test]
fn a_held_hand_is_shared() {
    for statures in [[1.80, 1.65], [1.75, 1.10]] {
        let mut plan = pair(statures, 0.55, Gesture::HoldsHand);
        if statures[1] < 1.3 {
            plan.people[1].build = Build::Child;
        }
        plan.moments[0].cues.push(Cue { faces: Some(Facing::Heading(0.0)), ..cue(&[0, 1]) });
        let (a, b) = figures(&stage(&plan, 0.0));
        let gap = a.hands[1].distance(b.hands[0]);
        assert!(gap < 0.04, "{statures:?}: {gap} m");
    }
}

/// In a kiss the faces are a few centimetres apart, look at each other, and neither nose enters the other's face by
/// more than 8 mm.
#[test]
fn a_kiss_meets_and_noses_pass() {
    for statures in [[1.82, 1.67], [1.67, 1.82], [1.72, 1.72], [1.93, 1.60]] {
        for apart in [0.45, 0.9, 1.4] {
            let tableau = stage(&pair(statures, apart, Gesture::Kisses), 0.0);
            let (a, b) = figures(&tableau);
            assert!(a.face_forward.dot(b.face_forward) < -0.75, "{statures:?}: faces do not meet");
            // A mouth lies a quarter of the head over the chin; the eyes' plane is the face's.
            let mouth = |f: &Figure| {
                let up = (f.crown - f.chin).normalize();
                let u = f.crown.distance(f.chin);
                let eye_up = (f.eyes - f.chin).dot(up);
                f.eyes - up * (eye_up - 0.24 * u)
            };
            let gap = mouth(&a).distance(mouth(&b));
            assert!(gap < 0.10, "{statures:?} from {apart} m: mouths {gap} m apart");
            for (from, to) in [(&a, &b), (&b, &a)] {
                for tip in nose_tips(&tableau, from) {
                    let deep = depth_in_face(&tableau, to, tip);
                    assert!(deep < 0.008, "{statures:?} from {apart} m: nose {deep} m inside the other face");
                }
            }
        }
    }
}

/// The nose is the face block that narrows upwards most: its front lower corners.
fn nose_tips(tableau: &Tableau, figure: &Figure) -> Vec<Vec3> {
    let nose = tableau
        .solids
        .iter()
        .filter(|s| s.owner == figure.owner && s.part == Part::Face && s.material.finish == Finish::Skin)
        .min_by(|a, b| taper(a).total_cmp(&taper(b)))
        .expect("a nose");
    let Shape::Block(block) = &nose.shape else { panic!("noses are blocks") };
    [-1.0, 1.0]
        .map(|x| {
            let inset = block.edge_m * 0.42;
            let local = Vec3::new(x * (block.half_m.x - inset), -block.half_m.y + inset, -block.half_m.z + inset);
            nose.at + nose.turned * local
        })
        .to_vec()
}

fn taper(solid: &Solid) -> f32 {
    match &solid.shape {
        Shape::Block(block) => block.top.x,
        Shape::Mesh(_) => 1.0,
    }
}

/// How deep a point lies in the largest skin block of a figure's face.
fn depth_in_face(tableau: &Tableau, figure: &Figure, point: Vec3) -> f32 {
    let face = tableau
        .solids
        .iter()
        .filter(|s| s.owner == figure.owner && s.part == Part::Face && s.material.finish == Finish::Skin)
        .max_by(|a, b| taper(a).total_cmp(&taper(b)))
        .expect("a face");
    let Shape::Block(block) = &face.shape else { panic!("faces are blocks") };
    let local = (face.turned.inverse() * (point - face.at)).abs();
    (block.half_m - local).min_element()
}

#[test]
fn those_far_apart_do_nothing_together() {
    let tableau = stage(&pair([1.8, 1.7], 6.0, Gesture::Kisses), 0.0);
    let (a, b) = figures(&tableau);
    assert!((a.sole.x + 3.0).abs() < 0.1 && (b.sole.x - 3.0).abs() < 0.1, "both stay on their marks");
}

/// The camera is behind its eye, and the eye is where the standpoint has it; nobody's own camera is in the picture.
#[test]
fn a_photographers_own_camera_is_behind_the_eye() {
    for height in [0.3, 0.7, 1.0, 1.2, 1.45, 1.6, 1.75, 2.1] {
        let mut plan = lawn();
        plan.people.push(person("someone", 1.70, Vec2::ZERO));
        with_photographer(&mut plan, "lead", Vec2::new(1.5, 6.0), height);
        let tableau = stage(&plan, 0.0);
        let eye = Vec3::new(1.5, height, 6.0);
        let ahead = (tableau.figures[0].eyes - eye).normalize();
        let crew = tableau.figures[1].clone();
        let mut cameras = 0;
        for solid in tableau.solids.iter().filter(|s| s.owner == crew.owner) {
            let front = front_corner(solid, ahead, eye);
            if solid.part == Part::Camera {
                cameras += 1;
                assert!(front < 0.0, "camera solid {front} m in front of the eye at {height} m");
                assert!(solid.at.distance(eye) < 0.45, "the camera is held at the eye");
            }
            if matches!(solid.part, Part::Hand | Part::Head | Part::Face | Part::Hair) {
                assert!(front < 0.0, "{:?} {front} m in front of the eye at {height} m", solid.part);
            }
        }
        assert!(cameras > 4);
        assert!(crew.face_forward.dot(ahead) > 0.6, "at {height} m they look {} where they point", crew.face_forward);
        for hand in crew.hands {
            assert!(hand.distance(eye) < 0.5, "at {height} m a hand is {} m from the eye", hand.distance(eye));
        }
    }
}

fn front_corner(solid: &Solid, ahead: Vec3, eye: Vec3) -> f32 {
    let Shape::Block(block) = &solid.shape else { return f32::NEG_INFINITY };
    let mut front = f32::NEG_INFINITY;
    for y in [-1.0, 1.0] {
        for x in [-1.0, 1.0] {
            for z in [-1.0, 1.0] {
                let taper = if y > 0.0 { block.top } else { Vec2::ONE };
                let local = block.half_m * Vec3::new(x * taper.x, y, z * taper.y);
                front = front.max((solid.at + solid.turned * local - eye).dot(ahead));
            }
        }
    }
    front
}

/// Cues fold in time: what one leaves out continues, and who leaves is gone.
#[test]
fn cues_fold_in_time() {
    let mut plan = lawn();
    plan.moments = vec![moment("first", 0.0, 60.0), moment("second", 60.0, 60.0)];
    plan.venue.seats.push(SeatBlock { filled: 0.0, ..block("seats") });
    let mut someone = person("someone", 1.75, Vec2::ZERO);
    someone.post = None;
    plan.people.push(someone);
    plan.moments[0].cues.push(Cue { goes: Some(walk_to(Vec2::new(1.0, 2.0), 1.0)), after_s: 10.0, ..cue(&[0]) });
    plan.moments[0].cues.push(Cue {
        posture: Some(Posture::Kneeling),
        faces: Some(Facing::Heading(0.5)),
        after_s: 20.0,
        ..cue(&[0])
    });
    plan.moments[1].cues.push(Cue {
        goes: Some(Going {
            way: Way::To { places: vec![Post::Seat { seats: SeatsIx(0), row: 1, seat: 0 }], by: vec![] },
            ..walk_to(Vec2::ZERO, 1.0)
        }),
        after_s: 5.0,
        ..cue(&[0])
    });
    plan.moments[1].cues.push(Cue { leaves: true, after_s: 50.0, ..cue(&[0]) });
    let eyes = |at_s: f64| {
        let tableau = stage(&plan, at_s);
        tableau.figure_of(OwnerKind::Person(PersonIx(0))).map(|f| f.eyes)
    };
    assert_eq!(eyes(0.0), None);
    assert!((eyes(10.0).unwrap().y - 0.936 * 1.75).abs() < 0.02);
    let kneels = eyes(59.0).unwrap();
    assert!((1.0..1.35).contains(&kneels.y), "kneeling eye at {kneels}");
    let sits = eyes(80.0).unwrap();
    let seat = seat_spot(&plan.venue.seats[0], 1, 0);
    assert!((1.15..1.32).contains(&sits.y), "seated eye at {sits}");
    assert!(Vec2::new(sits.x, sits.z).distance(seat.at) < 0.3, "sits at {sits}, the seat is at {}", seat.at);
    assert_eq!(eyes(115.0), None);
}
