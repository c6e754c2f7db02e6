//! Small plans and tableaux for tests: a figure is its landmarks after Drillis & Contini (1966).
#![allow(dead_code)]

use glam::{Quat, Vec2, Vec3};
use standpoint::plan::*;
use standpoint::staging::*;

/// Landmarks of a standing person whose face points along `facing`.
pub fn person_at(ix: usize, stature_m: f32, at: Vec2, facing: Vec3) -> (OwnerKind, Figure) {
    (OwnerKind::Person(PersonIx(ix)), standing(stature_m, Vec3::new(at.x, 0.0, at.y), facing))
}

pub fn photographer_at(ix: usize, sole: Vec3) -> (OwnerKind, Figure) {
    (OwnerKind::Photographer(PhotographerIx(ix)), standing(1.75, sole, Vec3::NEG_Z))
}

fn standing(stature_m: f32, sole: Vec3, facing: Vec3) -> Figure {
    let up = |share: f32| sole + Vec3::Y * share * stature_m;
    let side = facing.cross(Vec3::Y) * 0.13 * stature_m;
    Figure {
        owner: OwnerIx(0),
        stature_m,
        sole,
        knee: up(0.285),
        mid_thigh: up(0.4075),
        hip: up(0.530),
        waist: up(0.60),
        chest: up(0.72),
        shoulder: up(0.818),
        chin: up(0.870),
        eyes: up(0.936) + facing * 0.1,
        crown: up(1.0),
        face_forward: facing,
        hands: [up(0.4) + side, up(0.4) - side],
        half_width_m: 0.1295 * stature_m,
    }
}

pub fn tableau_of(figures: Vec<(OwnerKind, Figure)>) -> Tableau {
    let mut tableau = Tableau::default();
    for (kind, mut figure) in figures {
        figure.owner = OwnerIx(tableau.owners.len() as u32);
        tableau.owners.push(Owner { id: format!("{kind:?}"), kind });
        tableau.figures.push(figure);
    }
    tableau
}

pub fn block(owner: u32, centre: Vec3, half_m: Vec3) -> Solid {
    Solid {
        shape: Shape::Block(Block { half_m, top: Vec2::ONE, edge_m: 0.0 }),
        at: centre,
        turned: Quat::IDENTITY,
        owner: OwnerIx(owner),
        part: Part::Thing,
        material: Material { finish: Finish::Paint, colour: Colour([0.5; 3]) },
    }
}

/// Four people, one photographer, one body, one lens (f/2.8, from 0.38 m), one standpoint and one frame called `frame`.
pub fn plan_with(focal_m: [f64; 2], at: Vec2, camera_height_m: f32) -> Plan {
    let looks = Looks {
        skin: Colour([0.8, 0.6, 0.5]),
        hair: Hair::Short,
        hair_colour: Colour([0.2; 3]),
        glasses: false,
        beard: false,
    };
    let clothes = Clothes { kind: ClothesKind::Suit, main: Colour([0.1; 3]), second: Colour([0.9; 3]), veil: false };
    let person = |ix: usize| Person {
        id: format!("person-{ix}"),
        name: format!("Person {ix}"),
        roles: vec![],
        stature_m: 1.75,
        build: Build::Middling,
        looks,
        clothes,
        post: None,
    };
    let with = BodyWithLens { body: 0, lens: 0 };
    Plan {
        title: "A meadow".into(),
        units: LengthUnit::Metres,
        place: Place { latitude_deg: 38.7, longitude_deg: -9.1, bearing_of_minus_z: 0.0, altitude_m: 120.0 },
        start: "2027-06-12T15:30[Europe/Lisbon]".parse().expect("a zoned date-time"),
        sky: Sky::Clear,
        seed: 1,
        venue: Venue {
            name: "Meadow".into(),
            ground: Surface::Grass,
            patches: vec![],
            surround: Surround {
                kind: SurroundKind::Open,
                half_m: Vec2::splat(40.0),
                centre: Vec2::ZERO,
                height_m: 2.0,
            },
            rooms: vec![],
            walls: vec![],
            platforms: vec![],
            fixtures: vec![],
            meshes: vec![],
            seats: vec![],
            aisles: vec![],
            keep_outs: vec![],
            escape_routes: vec![],
            lamps: vec![],
            sketch: None,
        },
        people: (0..4).map(person).collect(),
        marks: vec![],
        moments: vec![Moment {
            id: "vows".into(),
            name: "Vows".into(),
            start_s: 1800.0,
            length_s: 120.0,
            cues: vec![],
            guests_stand: false,
            guests_look: None,
        }],
        kit: Kit {
            bodies: vec![Body {
                id: "body".into(),
                sensor_m: [0.036, 0.024],
                iso: [100.0, 6400.0],
                fastest_shutter_s: 1.0 / 8000.0,
            }],
            lenses: vec![Lens {
                id: "lens".into(),
                focal_m,
                widest_f: [2.8, 2.8],
                narrowest_f: 22.0,
                nearest_focus_m: 0.38,
            }],
        },
        crew: vec![Photographer {
            id: "lead".into(),
            name: "Noor".into(),
            role: "lead".into(),
            stature_m: 1.75,
            looks,
            carries: vec![with],
        }],
        standpoints: vec![Standpoint {
            id: "aisle-end".into(),
            photographer: PhotographerIx(0),
            at,
            camera_height_m,
            during: vec![],
        }],
        frames: vec![Frame {
            id: "frame".into(),
            moment: MomentIx(0),
            after_s: 34.0,
            when: None,
            standpoint: StandpointIx(0),
            with,
            focal_m: None,
            orientation: Orientation::Landscape,
            of: vec![],
            shot_size: ShotSize::Full,
            aim: None,
            exposure: Exposure { f_number: 2.8, shutter_s: 1.0 / 200.0, iso: Some(800.0), compensation_ev: 0.0 },
            focus_on: None,
            audience: AudienceWish::NoMatter,
            keep_out: vec![],
            note: String::new(),
            written: Span::default(),
        }],
        variants: vec![],
        readings: vec![],
    }
}
