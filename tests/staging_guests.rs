//! Guests: who they are, and that nobody changes when others come.

mod builders;

use builders::*;
use glam::Vec2;
use standpoint::plan::*;
use standpoint::staging::*;
use std::collections::BTreeMap;

/// Statures of 2,000 seeded guests against the 5th, 50th and 95th percentile of US adults (NCHS Vital and Health
/// Statistics 11(252), 2012, Tables 12 and 10), by Kolmogorov and Smirnov's test at the published points (1 % level:
/// 1.63/√n) and against the normal distribution through them everywhere.
#[test]
fn statures_follow_the_published_percentiles() {
    for (man, percentiles) in [(true, [64.3, 69.3, 74.1]), (false, [59.3, 63.8, 68.4])] {
        let n = 2000;
        let mut statures: Vec<f32> = (0..n).map(|i| stature(Chance::new(11).with(i), man)).collect();
        statures.sort_by(f32::total_cmp);
        let limit = 1.63 / (n as f32).sqrt();
        for (inches, share) in percentiles.into_iter().zip([0.05, 0.50, 0.95]) {
            let below = statures.iter().filter(|s| **s < inches * 0.0254).count() as f32 / n as f32;
            assert!((below - share).abs() < limit, "man {man}: {below} below {inches} in, expected {share}");
        }
        let [low, median, high] = percentiles;
        let sd = (high - low) / (2.0 * 1.645);
        let distance = statures
            .iter()
            .enumerate()
            .map(|(i, s)| (normal_share((s / 0.0254 - median) / sd) - (i as f32 + 0.5) / n as f32).abs())
            .fold(0.0, f32::max);
        assert!(distance < limit, "man {man}: distance {distance}, limit {limit}");
    }
}

/// Share of a normal distribution below `z`: Abramowitz & Stegun 26.2.17, error under 7.5e-8.
fn normal_share(z: f32) -> f32 {
    let t = 1.0 / (1.0 + 0.231_641_9 * z.abs());
    let poly = t * (0.319_381_53 + t * (-0.356_563_78 + t * (1.781_477_9 + t * (-1.821_255_9 + t * 1.330_274_5))));
    let tail = (-z * z / 2.0).exp() / (2.0 * std::f32::consts::PI).sqrt() * poly;
    if z > 0.0 { 1.0 - tail } else { tail }
}

/// Children lie inside the span of the CDC 2000 charts from 4 to 8 years: 3 standard deviations beyond 94.0–137.9 cm.
#[test]
fn children_are_as_tall_as_children() {
    for i in 0..500 {
        let h = child_stature(Chance::new(3).with(i), i % 2 == 0);
        assert!((0.85..1.47).contains(&h), "child of {h} m");
    }
}

fn guests(tableau: &Tableau) -> BTreeMap<String, Vec<Solid>> {
    let mut all = BTreeMap::new();
    for solid in &tableau.solids {
        let owner = tableau.owner(solid.owner);
        if matches!(owner.kind, OwnerKind::Guest { .. }) {
            all.entry(owner.id.clone()).or_insert_with(Vec::new).push(solid.clone());
        }
    }
    all
}

fn same(a: &[Solid], b: &[Solid]) -> bool {
    a.len() == b.len()
        && a.iter().zip(b).all(|(a, b)| {
            let shape = match (&a.shape, &b.shape) {
                (Shape::Block(a), Shape::Block(b)) => a == b,
                (Shape::Mesh(a), Shape::Mesh(b)) => a.corners == b.corners && a.triangles == b.triangles,
                _ => false,
            };
            shape && a.at == b.at && a.turned == b.turned && a.part == b.part && a.material == b.material
        })
}

#[test]
fn same_plan_same_tableau() {
    let mut plan = lawn();
    plan.venue.seats.push(SeatBlock { filled: 0.8, children: 0.1, ..block("right") });
    let (a, b) = (stage(&plan, 12.0), stage(&plan, 12.0));
    assert!(same(&a.solids, &b.solids));
    assert_eq!(a.figures, b.figures);
    let other = stage(&Plan { seed: 8, ..plan }, 12.0);
    assert!(!same(&a.solids, &other.solids), "another seed gives other guests");
}

/// Another block, another row and a fuller block change nobody who was there.
#[test]
fn nobody_changes_when_others_come() {
    let mut plan = lawn();
    plan.venue.seats.push(SeatBlock { filled: 0.6, ..block("right") });
    let before = guests(&stage(&plan, 0.0));
    assert!((20..40).contains(&before.len()), "{} of 48 seats at 0.6", before.len());
    let mut more = plan.clone();
    more.venue.seats.insert(0, SeatBlock { front: Vec2::new(-3.0, 3.5), ..block("left") });
    more.venue.seats[1].rows = 8;
    more.venue.seats[1].filled = 0.8;
    let after = guests(&stage(&more, 0.0));
    for (id, solids) in &before {
        assert!(after.get(id).is_some_and(|now| same(solids, now)), "guest {id} changed");
    }
    assert!(after.len() > before.len() + 48);
}

#[test]
fn a_named_persons_seat_is_theirs() {
    let mut plan = lawn();
    plan.venue.seats.push(block("right"));
    plan.people.push(person("aunt", 1.6, Vec2::ZERO));
    plan.people[0].post = Some(Post::Seat { seats: SeatsIx(0), row: 2, seat: 4 });
    let tableau = stage(&plan, 0.0);
    assert!(!guests(&tableau).contains_key("right/3/5"));
    assert_eq!(guests(&tableau).len(), 47);
}

/// Guests' faces turn to what happens: within 40° of the couple for nine in ten of them.
#[test]
fn guests_look_at_the_couple() {
    let mut plan = lawn();
    plan.venue.seats.push(block("right"));
    plan.people.push(person("a", 1.8, Vec2::new(-0.4, 0.0)));
    plan.people.push(person("b", 1.7, Vec2::new(0.4, 0.0)));
    let tableau = stage(&plan, 0.0);
    let (mut there, mut looking) = (0, 0);
    for figure in &tableau.figures {
        if matches!(tableau.owner(figure.owner).kind, OwnerKind::Guest { .. }) {
            there += 1;
            let way = (glam::Vec3::new(0.0, 1.6, 0.0) - figure.eyes).normalize();
            looking += usize::from(figure.face_forward.dot(way) > 40.0_f32.to_radians().cos());
        }
    }
    assert!(looking * 10 >= there * 9, "{looking} of {there} look");
}

#[test]
fn guests_stand_when_the_moment_says_so() {
    let mut plan = lawn();
    plan.venue.seats.push(block("right"));
    let eye = |plan: &Plan| {
        let tableau = stage(plan, 0.0);
        tableau.figures.iter().map(|f| f.eyes.y).sum::<f32>() / tableau.figures.len() as f32
    };
    let sitting = eye(&plan);
    plan.moments[0].guests_stand = true;
    let standing = eye(&plan);
    // Mean standing eye less mean seated eye at 450 mm (ANSUR II means, men and women): 1581 − 1226 mm.
    assert!((standing - sitting - 0.355).abs() < 0.05, "{sitting} sitting, {standing} standing");
}

/// Seats of a curved block keep their distance from the centre of the arc and face it.
#[test]
fn curved_rows_face_their_centre() {
    let block = SeatBlock { curve_radius_m: Some(6.0), heading: 0.4, ..block("arc") };
    let (sin, cos) = block.heading.sin_cos();
    let centre = block.front + Vec2::new(sin, -cos) * 6.0;
    for row in 0..block.rows {
        for seat in 0..block.seats_per_row {
            let spot = seat_spot(&block, row, seat);
            let radius = spot.at.distance(centre);
            assert!((radius - 6.0 - row as f32 * 0.95).abs() < 1e-3, "row {row}: {radius} m");
            let (sin, cos) = spot.heading.sin_cos();
            let way = (centre - spot.at).normalize();
            assert!(way.dot(Vec2::new(sin, -cos)) > 0.9999, "row {row} seat {seat} does not face the centre");
        }
    }
}

/// Floor under a spot: platform, its two steps at a third and two thirds, and the plan's floor beside them.
#[test]
fn floor_height_follows_platforms_and_steps() {
    let mut plan = lawn();
    plan.venue.platforms.push(Platform {
        id: "dais".into(),
        centre: Vec2::new(1.0, -3.0),
        heading: 0.0,
        size_m: Vec2::new(4.0, 2.0),
        height_m: 0.45,
        surface: Surface::Stone,
        steps: 2,
        tread_m: 0.3,
    });
    let height = |x: f32, z: f32| floor_height(&plan.venue, Vec2::new(x, z));
    for (x, z, expected) in [
        (1.0, -3.0, 0.45),
        (1.0, -1.85, 0.30),
        (1.0, -1.55, 0.15),
        (1.0, -1.2, 0.0),
        (3.5, -3.0, 0.0),
        (1.0, -4.2, 0.0),
    ] {
        assert!((height(x, z) - expected).abs() < 1e-6, "floor at ({x}, {z}) is {}, expected {expected}", height(x, z));
    }
    plan.people.push(person("someone", 1.75, Vec2::new(1.0, -3.0)));
    let eyes = stage(&plan, 0.0).figures[0].eyes.y;
    assert!((eyes - 0.45 - 0.936 * 1.75).abs() < 0.02, "eyes at {eyes} on the dais");
}

/// Whoever gets up stands before the own seat, not a step towards what they look at (they did once, onto a neighbour).
#[test]
fn getting_up_is_straight_ahead_of_the_seat_wherever_one_looks() {
    let mut plan = lawn();
    plan.venue.seats.push(block("right"));
    let seat = seat_spot(&plan.venue.seats[0], 0, 1);
    let mut guest = person("samira", 1.65, Vec2::ZERO);
    guest.post = Some(Post::Seat { seats: SeatsIx(0), row: 0, seat: 1 });
    plan.people.push(guest);
    let who = plan.people.len() - 1;
    let (sin, cos) = seat.heading.sin_cos();
    for looks in [None, Some(Facing::Heading(seat.heading + 1.5)), Some(Facing::Heading(seat.heading - 1.5))] {
        plan.moments[0].cues.push(Cue { posture: Some(Posture::Standing), looks, ..cue(&[who]) });
        let tableau = stage(&plan, 0.0);
        let sole = tableau.figure_of(OwnerKind::Person(PersonIx(who))).expect("there").sole;
        let moved = Vec2::new(sole.x, sole.z) - seat.at;
        let (ahead, aside) = (moved.dot(Vec2::new(sin, -cos)), moved.dot(Vec2::new(cos, sin)));
        assert!((0.15..0.45).contains(&ahead) && aside.abs() < 0.08, "{looks:?}: {ahead} m ahead, {aside} m aside");
    }
}
