//! Small plans made by hand for tests.
#![allow(dead_code)]

use glam::Vec2;
use standpoint::plan::*;

/// An empty lawn: one moment of ten minutes, nobody there.
pub fn lawn() -> Plan {
    Plan {
        title: "Lawn".into(),
        units: LengthUnit::Metres,
        place: Place { latitude_deg: 51.5, longitude_deg: 0.0, bearing_of_minus_z: 0.0, altitude_m: 0.0 },
        start: "2027-06-12T15:30:00[UTC]".parse().expect("a zoned date-time"),
        sky: Sky::Clear,
        seed: 7,
        venue: Venue {
            name: "Lawn".into(),
            ground: Surface::Grass,
            patches: vec![],
            surround: Surround {
                kind: SurroundKind::Open,
                half_m: Vec2::splat(30.0),
                centre: Vec2::new(0.0, 6.0),
                height_m: 4.0,
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
        people: vec![],
        marks: vec![],
        moments: vec![moment("start", 0.0, 600.0)],
        kit: Kit {
            bodies: vec![Body {
                id: "body".into(),
                sensor_m: [0.036, 0.024],
                iso: [100.0, 6400.0],
                fastest_shutter_s: 1.0 / 8000.0,
            }],
            lenses: vec![Lens {
                id: "24-70 f/2.8".into(),
                focal_m: [0.024, 0.070],
                widest_f: [2.8, 2.8],
                narrowest_f: 22.0,
                nearest_focus_m: 0.38,
            }],
        },
        crew: vec![],
        standpoints: vec![],
        frames: vec![],
        variants: vec![],
        readings: vec![],
    }
}

pub fn moment(id: &str, start_s: f64, length_s: f64) -> Moment {
    Moment { id: id.into(), name: id.into(), start_s, length_s, cues: vec![], guests_stand: false, guests_look: None }
}

pub const SKIN: Colour = Colour([0.82, 0.63, 0.48]);
pub const BROWN: Colour = Colour([0.27, 0.18, 0.12]);

pub fn looks(hair: Hair) -> Looks {
    Looks { skin: SKIN, hair, hair_colour: BROWN, glasses: false, beard: false }
}

pub fn clothes(kind: ClothesKind, main: [f32; 3], second: [f32; 3]) -> Clothes {
    Clothes { kind, main: Colour(main), second: Colour(second), veil: false }
}

/// A grown-up in a suit, standing at a spot.
pub fn person(id: &str, stature_m: f32, at: Vec2) -> Person {
    Person {
        id: id.into(),
        name: id.into(),
        roles: vec![],
        stature_m,
        build: Build::Middling,
        looks: looks(Hair::Short),
        clothes: clothes(ClothesKind::Suit, [0.2, 0.23, 0.3], [0.5, 0.2, 0.25]),
        post: Some(Post::Floor(at)),
    }
}

pub fn cue(who: &[usize]) -> Cue {
    Cue { who: who.iter().map(|i| PersonIx(*i)).collect(), ..Cue::default() }
}

/// A walk to a spot at a pace.
pub fn walk_to(spot: Vec2, pace_mps: f32) -> Going {
    Going {
        way: Way::To { places: vec![Post::Floor(spot)], by: vec![] },
        from: None,
        tempo: Tempo::Pace(pace_mps),
        abreast: None,
        apart_m: 0.6,
        spacing_m: 1.5,
    }
}

pub fn presence(moment: usize, from_s: f64, to_s: f64) -> Presence {
    let written = Span::default();
    Presence { moment: MomentIx(moment), from_s, to_s, by: vec![], pace_mps: CREW_PACE_MPS, written }
}

/// Six rows of eight chairs on the right of an aisle along z.
pub fn block(id: &str) -> SeatBlock {
    SeatBlock {
        id: id.into(),
        front: Vec2::new(3.0, 3.5),
        heading: 0.0,
        rows: 6,
        seats_per_row: 8,
        row_pitch_m: 0.95,
        seat_pitch_m: 0.55,
        kind: SeatKind::Chair,
        curve_radius_m: None,
        filled: 1.0,
        children: 0.0,
        seat_height_m: 0.45,
    }
}

pub fn fixture(id: &str, kind: FixtureKind, at: Vec2) -> Fixture {
    let (_, _, size_m, clutter) = FIXTURE_KINDS.iter().find(|k| k.0 == kind).copied().expect("every kind is listed");
    Fixture { id: id.into(), kind, at, above_floor_m: 0.0, heading: 0.0, size_m, colour: None, clutter }
}

/// A photographer with one standpoint for the whole of the first moment, and a frame of the first person.
pub fn with_photographer(plan: &mut Plan, id: &str, at: Vec2, camera_height_m: f32) {
    let photographer = PhotographerIx(plan.crew.len());
    let with = BodyWithLens { body: 0, lens: 0 };
    plan.crew.push(Photographer {
        id: id.into(),
        name: id.into(),
        role: "lead".into(),
        stature_m: 1.75,
        looks: looks(Hair::Short),
        carries: vec![with],
    });
    plan.standpoints.push(Standpoint {
        id: format!("{id}-spot"),
        photographer,
        at,
        camera_height_m,
        during: vec![presence(0, 0.0, 600.0)],
    });
    if !plan.people.is_empty() {
        plan.frames.push(Frame {
            id: format!("{id}-frame"),
            moment: MomentIx(0),
            after_s: 0.0,
            when: None,
            standpoint: StandpointIx(plan.standpoints.len() - 1),
            with,
            focal_m: None,
            orientation: Orientation::Landscape,
            of: vec![PersonIx(0)],
            shot_size: ShotSize::Half,
            aim: None,
            exposure: Exposure { f_number: 2.8, shutter_s: 0.005, iso: None, compensation_ev: 0.0 },
            focus_on: None,
            audience: AudienceWish::NoMatter,
            keep_out: vec![],
            note: String::new(),
            written: Span::default(),
        });
    }
}
