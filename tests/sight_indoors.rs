//! Light in rooms: what windows and walls give, lamps where they hang, and meters that hold still.

mod common;

use common::{block, person_at, plan_with, tableau_of};
use glam::{DVec3, Quat, Vec2, Vec3, vec2, vec3};
use standpoint::daylight::{Daylight, SunPosition, daylight_of};
use standpoint::optics::Camera;
use standpoint::plan::{
    Lamp, LampKind, Opening, OpeningKind, Platform, Room, RoomOpening, RoomSide, Sky, Surface, Venue,
};
use standpoint::sight::{Caster, FaceLight, Light, Sources, face_light, interiors, lamp_points, light_points, sum_of};
use standpoint::staging::{Finish, OwnerKind, Tableau, stage};

fn day(sky: Sky, elevation_deg: f64) -> Daylight {
    daylight_of(SunPosition { elevation: elevation_deg.to_radians(), azimuth: 0.0 }, 0.0, sky)
}

fn lamp(kind: LampKind, at: Vec2, height_m: f32, lumens: f32) -> Lamp {
    Lamp { id: "lamp".into(), kind, at, height_m, lumens, kelvin: 2700.0, to: None, aimed_at: None }
}

/// 8 × 12 × 5 m about the origin, two windows of 1 × 2 m in the wall before the people (+z, the back).
fn venue_with_a_room() -> Venue {
    let window = |along_m| RoomOpening {
        side: RoomSide::Back,
        opening: Opening { kind: OpeningKind::Window, along_m, width_m: 1.0, sill_m: 2.0, height_m: 2.0 },
    };
    let mut venue = plan_with([0.05, 0.05], Vec2::ZERO, 1.5).venue;
    venue.rooms = vec![Room {
        id: "hall".into(),
        centre: Vec2::ZERO,
        heading: 0.0,
        size_m: vec2(8.0, 12.0),
        height_m: 5.0,
        floor: Surface::Flagstone,
        walls: Surface::Plaster,
        ceiling: Some(Surface::Plaster),
        openings: vec![window(2.0), window(6.0)],
    }];
    venue
}

/// Somebody at a spot of that room who faces its windows.
fn in_the_room(venue: &Venue, at: Vec2) -> (Tableau, Sources) {
    let mut plan = plan_with([0.05, 0.05], Vec2::ZERO, 1.5);
    plan.venue = venue.clone();
    plan.people.clear();
    plan.crew.clear();
    plan.frames.clear();
    plan.standpoints.clear();
    plan.moments.clear();
    let room = stage(&plan, 0.0);
    let mut tableau = tableau_of(vec![person_at(0, 1.75, at, Vec3::Z)]);
    let offset = tableau.owners.len() as u32;
    tableau.owners.extend(room.owners);
    tableau.solids.extend(room.solids.into_iter().map(|mut solid| {
        solid.owner.0 += offset;
        solid
    }));
    let sources = Sources::of(venue, &tableau);
    (tableau, sources)
}

fn face_at(venue: &Venue, at: Vec2, day: &Daylight) -> FaceLight {
    let (tableau, sources) = in_the_room(venue, at);
    face_light(&tableau, day, &tableau.figures[0], &sources)
}

/// An opening straight ahead gives the sky's luminance times the cosines over the square of the distance, summed over its
/// area: here by parts of 5 cm, at the outer edge of a wall of 0.3 m, which is what bounds the view.
#[test]
fn a_window_lights_a_face_as_its_solid_angle_says() {
    let mut venue = venue_with_a_room();
    let opening = &mut venue.rooms[0].openings[0].opening;
    (opening.kind, opening.sill_m) = (OpeningKind::Open, 0.65);
    venue.rooms[0].openings.truncate(1);
    let day = day(Sky::Overcast, 20.0);
    // 2 m from the left end of the wall at the back, as seen from inside.
    let at = vec2(2.0, 0.0);
    let (tableau, _) = in_the_room(&venue, at);
    let eyes = tableau.figures[0].eyes.midpoint(tableau.figures[0].chin) + Vec3::Z * 0.12;
    let mut expected = 0.0;
    for (right, up) in (0..20).flat_map(|i| (0..40).map(move |j| (i, j))) {
        let spot = vec3(1.5 + (right as f32 + 0.5) * 0.05, 0.65 + (up as f32 + 0.5) * 0.05, 6.3);
        let way = spot - eyes;
        let direction = way.normalize();
        let nits = f64::from(standpoint::daylight::luminance(day.sky.radiance(direction)));
        expected += nits * f64::from(direction.z * direction.z / way.length_squared()) * 0.05 * 0.05;
    }
    let got = sum_of(face_at(&venue, at, &day).sky);
    assert!((got / expected - 1.0).abs() < 0.04, "{got} instead of {expected}");
}

/// A centimetre to the side changes nothing that a photographer would see: less than a tenth of a stop on the face and
/// in the whole picture, for windows far and near.
#[test]
fn meters_hold_still() {
    let mut venue = venue_with_a_room();
    venue.lamps =
        vec![lamp(LampKind::Pendant, vec2(1.0, 2.0), 3.0, 1500.0), lamp(LampKind::Bulb, vec2(-3.0, 4.0), 2.5, 800.0)];
    let day = day(Sky::Overcast, 10.0);
    let spots = [vec2(0.0, -4.0), vec2(-2.0, 0.0), vec2(2.5, 3.0), vec2(0.3, 5.0)];
    for spot in spots {
        let reading = |shift: Vec2| face_at(&venue, spot + shift, &day).total_lux().log2();
        let picture = |shift: Vec2| {
            let (tableau, sources) = in_the_room(&venue, spot);
            let camera = Camera {
                eye: vec3(spot.x + shift.x, 1.6, -5.0 + shift.y),
                turned: Quat::from_rotation_y(std::f32::consts::PI),
                sensor_m: [0.036, 0.024],
                focal_m: 0.035,
                f_number: 2.8,
                focus_m: 3.0,
                shutter_s: 0.01,
                iso: 400.0,
            };
            let caster = Caster::new(&tableau);
            Light::new(&caster, &day, &sources).in_picture(&camera, None).luminance.log2()
        };
        let (face, whole) = (reading(Vec2::ZERO), picture(Vec2::ZERO));
        for shift in [vec2(0.01, 0.0), vec2(-0.01, 0.0), vec2(0.0, 0.01), vec2(0.007, -0.007)] {
            let off = (reading(shift) - face).abs();
            assert!(off < 0.1, "{spot} by {shift}: {off} EV on the face");
            let off = (picture(shift) - whole).abs();
            assert!(off < 0.1, "{spot} by {shift}: {off} EV in the picture");
        }
    }
}

/// What comes back has the colour of what came in: under lamps of 2700 K alone it is warm, under cloud alone it is not,
/// and each adds to the other.
#[test]
fn walls_give_back_the_light_that_comes_in() {
    let mut venue = venue_with_a_room();
    let (cloudy, night) = (day(Sky::Overcast, 20.0), day(Sky::Clear, -40.0));
    let bounced = |venue: &Venue, day: &Daylight| {
        let (tableau, sources) = in_the_room(venue, Vec2::ZERO);
        let caster = Caster::new(&tableau);
        Light::new(&caster, day, &sources).room_round(Vec3::Y).expect("in the room").1
    };
    let warmth = |light: DVec3| light.x / light.z;
    let by_day = bounced(&venue, &cloudy);
    venue.lamps = vec![lamp(LampKind::Bulb, Vec2::ZERO, 3.0, 4000.0)];
    let (by_lamp, by_both) = (bounced(&venue, &night), bounced(&venue, &cloudy));
    assert!(warmth(by_lamp) > 4.0 && warmth(by_day) < 1.3, "{by_lamp} {by_day}");
    assert!((by_both - by_lamp - by_day).length() < 0.01 * by_both.length(), "{by_both} {by_lamp} {by_day}");
    // 4000 lm, 392 m², mean reflectance by hand: (0.225 + 0.70) · 96 m² + 0.70 · 196 m² + 0.1 · 4 m² over 392 m² is 0.578.
    let expected = 4000.0 * 0.578 / (392.0 * (1.0 - 0.578));
    assert!((sum_of(by_lamp) / expected - 1.0).abs() < 0.06, "{} instead of {expected}", sum_of(by_lamp));
    // Without any light: none.
    venue.lamps.clear();
    venue.rooms[0].openings.clear();
    assert_eq!(face_at(&venue, Vec2::ZERO, &cloudy).total(), DVec3::ZERO);
}

/// By construction: on a platform of 0.4 m a lamp of height 2 m is at 2.4 m; a string between two such ends of 6 m sags
/// by a thirtieth, 0.2 m, and its light comes from where its bulbs are.
#[test]
fn lamps_shine_from_where_they_hang() {
    let mut venue = plan_with([0.05, 0.05], Vec2::ZERO, 1.5).venue;
    venue.platforms = vec![Platform {
        id: "stage".into(),
        centre: Vec2::ZERO,
        heading: 0.0,
        size_m: vec2(10.0, 10.0),
        height_m: 0.4,
        surface: Surface::OakBoards,
        steps: 0,
        tread_m: 0.3,
    }];
    let bulb = lamp_points(&venue, &lamp(LampKind::Bulb, vec2(1.0, 1.0), 2.0, 800.0));
    assert!((bulb[0].at - vec3(1.0, 2.4, 1.0)).length() < 1e-5, "{bulb:?}");
    let string = Lamp { to: Some(vec2(3.0, 0.0)), ..lamp(LampKind::Strings, vec2(-3.0, 0.0), 2.0, 800.0) };
    let points = lamp_points(&venue, &string);
    for point in &points {
        let share = (point.at.x + 3.0) / 6.0;
        let cable = 2.4 - 0.2 * 4.0 * share * (1.0 - share);
        assert!((cable - point.at.y - 0.055).abs() < 1e-4, "{point:?}: the cable hangs at {cable}");
    }
    let lumens: f64 = points.iter().map(standpoint::sight::LampPoint::lumens).sum();
    assert!((lumens - 800.0).abs() < 0.01, "{lumens}");
    assert!(points.iter().all(|point| (point.whole_candela - 800.0 / (4.0 * std::f64::consts::PI)).abs() < 1e-3));
}

/// A candle is a candela: a flame a metre before a face gives it one lux (13 lm / 4π is 1.03).
#[test]
fn flames_of_fixtures_give_light() {
    let mut tableau = tableau_of(vec![person_at(0, 1.75, Vec2::ZERO, Vec3::Z)]);
    let figure = tableau.figures[0].clone();
    let at = figure.eyes.midpoint(figure.chin) + Vec3::Z * 1.12;
    let mut flame = block(1, at, Vec3::splat(0.01));
    flame.material.finish = Finish::Glow { nits: standpoint::staging::FLAME_NITS };
    tableau.solids.push(flame);
    tableau.owners.push(standpoint::staging::Owner {
        id: "candles".into(),
        kind: OwnerKind::Fixture(standpoint::plan::FixtureIx(0)),
    });
    let venue = plan_with([0.05, 0.05], Vec2::ZERO, 1.5).venue;
    let lamps = light_points(&venue, &tableau);
    assert_eq!(lamps.len(), 1);
    let night = day(Sky::Clear, -40.0);
    let light = face_light(&tableau, &night, &figure, &Sources { lamps, rooms: interiors(&venue) }).lamps;
    assert!((sum_of(light) - 13.0 / (4.0 * std::f64::consts::PI)).abs() < 0.01, "{light}");
    assert!(light.x > 5.0 * light.z, "warm: {light}");
}
