//! Figures against published measurements of people.

mod builders;

use builders::*;
use glam::{Vec2, Vec3};
use standpoint::plan::*;
use standpoint::staging::*;

fn figure(tableau: &Tableau, id: &str) -> Figure {
    tableau.figures.iter().find(|f| tableau.owner(f.owner).id == id).cloned().expect("the figure is there")
}

/// One grown-up of 1.75 m, standing.
fn standing(stature_m: f32, clothes: ClothesKind) -> Figure {
    let mut plan = lawn();
    let mut someone = person("someone", stature_m, Vec2::ZERO);
    someone.clothes.kind = clothes;
    plan.people.push(someone);
    figure(&stage(&plan, 0.0), "someone")
}

/// Drillis & Contini 1966 (Winter, *Biomechanics*, 4th ed. 2009, Fig. 4.1): fractions of stature, within 1 %.
#[test]
fn standing_heights_are_drillis_and_contini() {
    for (stature_m, clothes) in [(1.75_f32, ClothesKind::Suit), (1.62, ClothesKind::Gown), (1.90, ClothesKind::Shirt)] {
        let f = standing(stature_m, clothes);
        let checks = [
            ("eye", f.eyes.y, 0.936),
            ("chin", f.chin.y, 0.870),
            ("shoulder", f.shoulder.y, 0.818),
            ("hip", f.hip.y, 0.530),
            ("knee", f.knee.y, 0.285),
            ("crown", f.crown.y, 1.0),
        ];
        for (name, height_m, fraction) in checks {
            let expected = fraction * stature_m;
            let off = (height_m - expected).abs() / expected;
            assert!(off < 0.01, "{name} of {stature_m} m in {clothes:?}: {height_m} m, expected {expected} m");
        }
        let width = 2.0 * f.half_width_m / stature_m;
        assert!((width - 0.259).abs() < 0.00259, "shoulder width {width} of stature, expected 0.259");
    }
}

/// Eye above the floor on a 450 mm hard seat: ANSUR II (Gordon et al., NATICK/TR-15/007), 5–95 %:
/// men 1200–1310 mm (mean stature 1756), women 1148–1249 mm (mean stature 1629).
#[test]
fn seated_eyes_are_inside_ansur() {
    for (stature_m, clothes, low, high) in
        [(1.756, ClothesKind::Suit, 1.200, 1.310), (1.629, ClothesKind::Dress, 1.148, 1.249)]
    {
        let mut plan = lawn();
        plan.venue.seats.push(SeatBlock { filled: 0.0, ..block("seats") });
        let mut someone = person("someone", stature_m, Vec2::ZERO);
        someone.clothes.kind = clothes;
        someone.post = Some(Post::Seat { seats: SeatsIx(0), row: 0, seat: 3 });
        plan.people.push(someone);
        let f = figure(&stage(&plan, 0.0), "someone");
        assert!(
            (low..=high).contains(&f.eyes.y),
            "seated eye of {stature_m} m at {} m, expected {low}–{high}",
            f.eyes.y
        );
    }
}

/// A head is about a sixth of a child of 1.15 m (six years) and Drillis & Contini's 0.130 of a grown-up. The sixth is
/// common in drawing books; from memory.
#[test]
fn children_have_larger_heads() {
    let mut plan = lawn();
    let mut child = person("child", 1.15, Vec2::ZERO);
    child.build = Build::Child;
    plan.people.push(child);
    plan.people.push(person("grown", 1.75, Vec2::new(1.0, 0.0)));
    let tableau = stage(&plan, 0.0);
    let head = |id: &str| {
        let f = figure(&tableau, id);
        f.crown.distance(f.chin) / f.stature_m
    };
    let (child, grown) = (head("child"), head("grown"));
    assert!((0.155..0.190).contains(&child), "child's head is {child} of stature");
    assert!((grown - 0.130).abs() < 0.0013, "grown head is {grown} of stature");
}

/// Every posture, on the floor and on a seat: nothing of a figure more than 2 cm under the floor, nothing that is not
/// a number, and the landmarks in order from sole to crown for those who stand.
#[test]
fn nobody_sinks_into_the_floor() {
    use ClothesKind::*;
    let postures = [Posture::Standing, Posture::Walking, Posture::Sitting, Posture::Kneeling, Posture::Crouching];
    for kind in [Suit, Gown, Dress, Robe, Shirt, Skirt, Tunic, Wrap] {
        for posture in postures {
            for (stature_m, build) in [(1.05, Build::Child), (1.55, Build::Slight), (1.95, Build::Broad)] {
                let mut plan = lawn();
                let mut someone = person("someone", stature_m, Vec2::new(2.0, -1.0));
                someone.clothes.kind = kind;
                someone.clothes.veil = true;
                someone.build = build;
                plan.people.push(someone);
                plan.moments[0].cues.push(Cue { posture: Some(posture), ..cue(&[0]) });
                let tableau = stage(&plan, 0.0);
                let f = figure(&tableau, "someone");
                for solid in tableau.solids.iter().filter(|s| s.owner == f.owner) {
                    let low = lowest(solid);
                    assert!(low.is_finite(), "{kind:?} {posture:?} {stature_m}: {:?}", solid);
                    assert!(low > -0.02, "{kind:?} {posture:?} {stature_m} m: {:?} lies {low} m low", solid.part);
                }
            }
        }
    }
}

fn corners(solid: &Solid) -> Vec<Vec3> {
    match &solid.shape {
        Shape::Mesh(mesh) => mesh.corners.iter().map(|c| solid.at + solid.turned * *c).collect(),
        Shape::Block(block) => {
            let mut all = Vec::new();
            for y in [-1.0, 1.0] {
                for (x, z) in [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)] {
                    let taper = if y > 0.0 { block.top } else { Vec2::ONE };
                    // Rounded edges take the corner away; a sixth of the radius is well inside what they leave.
                    let inset = block.edge_m * (1.0 - 1.0 / 3.0_f32.sqrt());
                    let local = Vec3::new(
                        x * (block.half_m.x * taper.x - inset),
                        y * (block.half_m.y - inset),
                        z * (block.half_m.z * taper.y - inset),
                    );
                    all.push(solid.at + solid.turned * local);
                }
            }
            all
        }
    }
}

fn lowest(solid: &Solid) -> f32 {
    corners(solid).iter().map(|c| c.y).fold(f32::INFINITY, f32::min)
}

/// A face looks where its person looks, as far as a neck turns: 70° to a side and 35° up or down.
#[test]
fn faces_face_what_is_looked_at() {
    for around in 0..24 {
        let angle = around as f32 * 15.0_f32.to_radians();
        let mut plan = lawn();
        plan.people.push(person("someone", 1.75, Vec2::ZERO));
        let target = Vec2::new(angle.sin(), -angle.cos()) * 6.0;
        plan.moments[0].cues.push(Cue {
            faces: Some(Facing::Heading(0.0)),
            looks: Some(Facing::Spot(target)),
            ..cue(&[0])
        });
        let f = figure(&stage(&plan, 0.0), "someone");
        assert!((f.face_forward.length() - 1.0).abs() < 1e-4);
        let yaw = f.face_forward.x.atan2(-f.face_forward.z);
        let wanted = wrapped(angle);
        let limited = wanted.clamp(-70.0_f32.to_radians(), 70.0_f32.to_radians());
        // Of what is nearly behind, heads turn less: they come round neither way.
        if wanted.abs() < 2.5 {
            assert!((yaw - limited).abs() < 0.03, "looks at {wanted} rad, faces {yaw}, expected {limited}");
        }
        assert!(yaw.abs() <= 70.0_f32.to_radians() + 1e-3, "head turned {yaw} rad from the body");
        let pitch = f.face_forward.y.asin();
        assert!(pitch.abs() <= 35.0_f32.to_radians() + 1e-3, "head nods {pitch} rad");
    }
}

fn wrapped(angle: f32) -> f32 {
    (angle + std::f32::consts::PI).rem_euclid(std::f32::consts::TAU) - std::f32::consts::PI
}

/// The face lies in front of the head: the middle of everything called face, seen from the head's own middle.
#[test]
fn the_face_is_in_front_of_the_head() {
    let mut plan = lawn();
    plan.people.push(person("someone", 1.75, Vec2::ZERO));
    plan.moments[0].cues.push(Cue { faces: Some(Facing::Heading(1.0)), ..cue(&[0]) });
    let tableau = stage(&plan, 0.0);
    let f = figure(&tableau, "someone");
    let middle = |part: Part| {
        let of: Vec<Vec3> =
            tableau.solids.iter().filter(|s| s.owner == f.owner && s.part == part).map(|s| s.at).collect();
        of.iter().sum::<Vec3>() / of.len() as f32
    };
    let forward = (middle(Part::Face) - middle(Part::Head)).dot(f.face_forward);
    assert!(forward > 0.04, "face is {forward} m in front of the head");
    let dark_eyes =
        tableau.solids.iter().filter(|s| s.owner == f.owner && s.material.finish == Finish::Eye).collect::<Vec<_>>();
    assert_eq!(dark_eyes.len(), 2);
    for eye in dark_eyes {
        assert!((eye.at.y - f.eyes.y).abs() < 0.02, "eye solid at {}, eyes landmark at {}", eye.at.y, f.eyes.y);
    }
}
