//! Guests' views of the couple: cases exact by construction, sight-line theory, laws, and a demo.

mod common;

use common::{block, person_at, photographer_at, plan_with, tableau_of};
use glam::{Vec2, Vec3, vec2, vec3};
use standpoint::plan::{Plan, SeatsIx, load};
use standpoint::sight::{FaceView, GuestView, GuestsSeen, Stretch, ViewsLost, guests_seen, views_lost};
use standpoint::staging::{Finish, Owner, OwnerKind, Part, Run, Solid, Tableau, rehearse};
use std::path::Path;

const PARTNER: u32 = 0;
const GUEST: u32 = 1;
const CREW: u32 = 2;

fn plan() -> Plan {
    plan_with([0.05, 0.05], vec2(0.0, 5.0), 1.5)
}

fn guest(seat: u32) -> OwnerKind {
    OwnerKind::Guest { seats: SeatsIx(0), row: 0, seat }
}

/// One partner with a face of 0.30 × 0.24 m whose front is at z = 0, a guest's eyes straight before it at 5 m, and a
/// photographer without a body.
fn somebody() -> Tableau {
    let (_, mut watching) = person_at(1, 1.75, vec2(0.0, 5.0), Vec3::NEG_Z);
    watching.eyes = vec3(0.0, 1.5, 5.0);
    let partner = person_at(0, 1.75, Vec2::ZERO, Vec3::Z);
    let mut tableau = tableau_of(vec![partner, (guest(0), watching), photographer_at(0, vec3(3.0, 0.0, 3.0))]);
    add(&mut tableau, PARTNER, Part::Face, vec3(0.0, 1.5, -0.01), vec3(0.15, 0.12, 0.01));
    // The guest's own hat brim hides nothing from them.
    add(&mut tableau, GUEST, Part::Hat, vec3(0.0, 1.5, 4.9), vec3(0.2, 0.2, 0.01));
    tableau
}

fn add(tableau: &mut Tableau, owner: u32, part: Part, centre: Vec3, half_m: Vec3) {
    tableau.solids.push(Solid { part, ..block(owner, centre, half_m) });
}

fn add_wall(tableau: &mut Tableau, centre: Vec3, half_m: Vec3) {
    let owner = tableau.owners.len() as u32;
    tableau.owners.push(Owner { id: "wall".into(), kind: OwnerKind::Venue });
    add(tableau, owner, Part::Wall, centre, half_m);
}

fn only_face(tableau: &Tableau) -> FaceView {
    let seen = guests_seen(&plan(), tableau);
    let [guest] = &seen.guests[..] else { panic!("{:?}", seen.guests) };
    let [face] = &guest.faces[..] else { panic!("{:?}", guest.faces) };
    assert_eq!(guest.lost_share, face.lost_share);
    face.clone()
}

fn close(actual: f64, expected: f64, within: f64, what: &str) {
    assert!((actual - expected).abs() <= within, "{what}: {actual} instead of {expected}");
}

#[test]
fn a_face_in_the_open_is_seen_whole() {
    let face = only_face(&somebody());
    assert_eq!((face.seen_share, face.seen_without_crew_share, face.turned_away_share), (1.0, 1.0, 0.0), "{face:?}");
    assert!(face.taken_by.is_empty() && face.covered_by.is_empty(), "{face:?}");
}

/// A photographer whose side runs through the middle of the face takes half of it, upright or level.
#[test]
fn half_a_face_behind_a_photographer() {
    for half_m in [vec3(0.5, 2.0, 0.1), vec3(2.0, 0.5, 0.1)] {
        let mut tableau = somebody();
        let aside = if half_m.x < half_m.y { Vec3::NEG_X } else { Vec3::NEG_Y };
        add(&mut tableau, CREW, Part::Torso, vec3(0.0, 1.5, 2.5) + aside * 0.5, half_m);
        let face = only_face(&tableau);
        close(face.seen_share, 0.5, 0.03, "seen");
        assert_eq!(face.seen_without_crew_share, 1.0, "{face:?}");
        close(face.taken_by.values().sum(), 0.5, 0.03, "taken");
        assert_eq!(face.taken_by.keys().collect::<Vec<_>>(), [&plan().crew[0].id]);
        // What shows through hides nothing.
        tableau.solids.last_mut().expect("the photographer").material.finish = Finish::WindowGlass;
        assert_eq!(only_face(&tableau).seen_share, 1.0);
    }
}

/// Behind a wall nothing is left for the crew to take, whether they stand before it or behind it.
#[test]
fn a_wall_hides_all_and_the_crew_then_takes_nothing() {
    for crew_z in [1.0, 4.0] {
        let mut tableau = somebody();
        add_wall(&mut tableau, vec3(0.0, 1.5, 2.5), vec3(2.0, 2.0, 0.1));
        add(&mut tableau, CREW, Part::Torso, vec3(0.0, 1.5, crew_z), vec3(0.5, 1.0, 0.1));
        let face = only_face(&tableau);
        assert_eq!((face.seen_share, face.seen_without_crew_share, face.lost_share), (0.0, 0.0, 0.0), "{face:?}");
        close(face.covered_by["wall"], 1.0, 1e-9, "covered");
    }
}

/// The back of a head is no loss to anybody: it is told apart, and what stands before it takes nothing.
#[test]
fn a_face_turned_away_is_nobodys_fault() {
    let mut tableau = somebody();
    add(&mut tableau, PARTNER, Part::Head, vec3(0.0, 1.5, 0.1), vec3(0.2, 0.2, 0.05));
    add(&mut tableau, CREW, Part::Torso, vec3(0.0, 1.5, 2.5), vec3(1.0, 1.0, 0.1));
    let face = only_face(&tableau);
    assert_eq!((face.turned_away_share, face.lost_share, face.seen_without_crew_share), (1.0, 0.0, 0.0), "{face:?}");
}

#[test]
fn broken_geometry_is_nobodys_view() {
    for eyes in [Vec3::NAN, Vec3::splat(f32::INFINITY), vec3(0.0, 1.5, -0.01), vec3(0.0, 1.5, 0.005)] {
        let mut tableau = somebody();
        tableau.figures[1].eyes = eyes;
        let seen = guests_seen(&plan(), &tableau);
        assert!(seen.guests.iter().all(|guest| guest.faces.is_empty() && guest.lost_share == 0.0), "{eyes} {seen:?}");
    }
    let mut tableau = somebody();
    tableau.solids[0].at.x = f32::NAN;
    assert!(guests_seen(&plan(), &tableau).couple.is_empty());
    assert!(guests_seen(&plan(), &Tableau::default()).guests.is_empty());
}

/// Crown over the eyes of a person: 120 mm "optimal" clearance, which just clears an average bare head (P. Shepherd, University of
/// Bath, 2012, after guidance for UK stadiums).
const CROWN_M: f32 = 0.120;
const EYES_M: f32 = 1.235;
const ROW_M: f32 = 0.9;

/// Whether a guest sees a point at 1.92 m past the head of the guest in the row before, whose eyes are `front_m` from it.
fn sees_past(front_m: f32, crown_m: f32) -> bool {
    let mut rear = person_at(1, 1.75, Vec2::ZERO, Vec3::NEG_Z).1;
    rear.eyes = vec3(0.0, EYES_M, front_m + ROW_M);
    let front = (guest(1), person_at(2, 1.75, vec2(0.0, front_m), Vec3::NEG_Z).1);
    let mut tableau = tableau_of(vec![person_at(0, 1.75, Vec2::ZERO, Vec3::Z), (guest(0), rear), front]);
    add(&mut tableau, PARTNER, Part::Face, vec3(0.0, 1.92, -0.0005), Vec3::splat(0.0005));
    let height_m = 0.5;
    let centre = vec3(0.0, EYES_M + crown_m - height_m * 0.5, front_m);
    add(&mut tableau, 2, Part::Head, centre, vec3(0.08, height_m * 0.5, 0.0005));
    let seen = guests_seen(&plan(), &tableau);
    seen.guests[0].faces[0].seen_share > 0.5
}

/// Between `yes` and `no`, where the answer changes.
fn change(mut yes: f32, mut no: f32, answer: impl Fn(f32) -> bool) -> f32 {
    assert!(answer(yes) && !answer(no), "no change between {yes} and {no}");
    for _ in 0..24 {
        let middle = (yes + no) * 0.5;
        if answer(middle) { yes = middle } else { no = middle }
    }
    (yes + no) * 0.5
}

/// C = D (N + R) / (D + T) − R, the clearance of a sight line over the eyes in the row before ("Stadium Sightline", Millennium
/// Mathematics Project, plus.maths.org; Shepherd as above). On a flat floor N = 0; eyes at 1.235 m and a face at 1.92 m on a
/// platform, R = −0.685 m.
#[test]
fn sight_lines_clear_heads_as_theory_has_it() {
    let clearance_m = |front_m: f32| front_m * -0.685 / (front_m + ROW_M) + 0.685;
    for (front_m, expected_m) in [(4.0, 0.1258), (6.0, 0.0893), (8.0, 0.0693)] {
        assert!((clearance_m(front_m) - expected_m).abs() < 1e-4, "{}", clearance_m(front_m));
        let found_m = change(0.0, 0.3, |crown_m| sees_past(front_m, crown_m));
        assert!((found_m - expected_m).abs() < 0.001, "D {front_m}: {found_m} instead of {expected_m}");
    }
    // Seen exactly where C is over 120 mm.
    let found_m = change(3.0, 6.0, |front_m| sees_past(front_m, CROWN_M));
    assert!((found_m - 4.2375).abs() < 0.01, "{found_m}");
    for front_m in (30..=60).map(|tenths| tenths as f32 / 10.0) {
        assert_eq!(sees_past(front_m, CROWN_M), clearance_m(front_m) > CROWN_M, "D {front_m}");
    }
}

fn demo(name: &str) -> Plan {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name);
    rehearse(load(&path).expect("a valid plan").plan).0
}

fn at(plan: &Plan, moment: &str, after_s: f64) -> f64 {
    plan.moments.iter().find(|it| it.id == moment).expect("the moment").start_s + after_s
}

fn shares_add_up(seen: &GuestsSeen) {
    for (guest, face) in seen.guests.iter().flat_map(|guest| guest.faces.iter().map(move |face| (guest, face))) {
        let what = format!("{} {face:?}", guest.id);
        close(face.seen_share + face.taken_by.values().sum::<f64>(), face.seen_without_crew_share, 1e-9, &what);
        close(face.seen_without_crew_share - face.seen_share, face.lost_share, 1e-9, &what);
        let all = face.seen_without_crew_share + face.turned_away_share + face.covered_by.values().sum::<f64>();
        close(all, 1.0, 1e-9, &what);
        assert!(!face.covered_by.contains_key("ground"), "{what}: the ground is below everybody");
    }
    close(seen.by_photographer.values().sum(), seen.lost_views, 1e-9, "by photographer");
}

#[test]
fn shares_add_up_in_the_demos() {
    for (name, moment, after_s) in [
        ("orchard.ron", "signing", 23.0),
        ("orchard.ron", "kiss", 2.0),
        ("orchard.ron", "entrance", 20.0),
        ("chapel.ron", "candle", 15.0),
        ("loft.ron", "processional", 56.0),
    ] {
        let plan = demo(name);
        let tableau = Run::new(&plan).tableau(at(&plan, moment, after_s));
        let seen = guests_seen(&plan, &tableau);
        assert!(seen.guests.len() > 60, "{name}: {} guests", seen.guests.len());
        shares_add_up(&seen);
    }
}

/// In the loft the second stands behind the right block while Ruben comes in past them: whoever loses him sits on the right, and
/// the second is nearly on the line between the two. Nobody on the left loses anything, and the lead, in front, takes nothing.
#[test]
fn the_second_stands_before_those_who_look_back() {
    let plan = demo("loft.ron");
    let tableau = Run::new(&plan).tableau(at(&plan, "processional", 56.0));
    let seen = guests_seen(&plan, &tableau);
    assert_eq!(seen.couple, ["ruben"]);
    let spot = |id: &str| {
        let figure = tableau.figures.iter().find(|figure| tableau.owner(figure.owner).id == id).expect("somebody");
        vec2(figure.eyes.x, figure.eyes.z)
    };
    let (ruben, second) = (spot("ruben"), spot("second"));
    let loses = |guest: &&GuestView| guest.lost_share > 0.2;
    let losing: Vec<&GuestView> = seen.guests.iter().filter(loses).collect();
    assert!(losing.len() >= 5, "{} lose much", losing.len());
    for guest in losing {
        assert!(guest.id.starts_with("right/"), "{}", guest.id);
        let eyes = vec2(guest.eyes[0], guest.eyes[2]);
        let beside_m = (second - eyes).perp_dot((ruben - eyes).normalize()).abs();
        assert!(beside_m < 0.45, "{}: the second is {beside_m} m beside the line", guest.id);
        assert!(guest.faces[0].taken_by.keys().eq(["second"]), "{:?}", guest.faces);
    }
    let left = seen.guests.iter().filter(|guest| guest.id.starts_with("left/"));
    assert_eq!(left.map(|guest| guest.lost_share).sum::<f64>(), 0.0);
}

fn over(plan: &Plan, from_s: f64, to_s: f64, every_s: f64) -> ViewsLost {
    views_lost(&Run::new(plan), Stretch { from_s, to_s, every_s }, || {})
}

/// A stretch is the sum of its instants, each for the time to the next, the last to the end; looked at one by one, without what
/// makes stretches fast. Ordinary sums agree, whoever they are by.
#[test]
fn a_stretch_is_the_sum_of_its_instants() {
    let plan = demo("loft.ron");
    let run = Run::new(&plan);
    let (from_s, to_s) = (at(&plan, "processional", 50.0), at(&plan, "processional", 61.0));
    let lost = over(&plan, from_s, to_s, 2.0);
    assert_eq!(lost.instants, 6);
    let mut expected = 0.0;
    let mut worst = (0.0, 0.0);
    for (number, lasts_s) in [2.0, 2.0, 2.0, 2.0, 2.0, 1.0].into_iter().enumerate() {
        let at_s = from_s + 2.0 * number as f64;
        let views = guests_seen(&plan, &run.tableau(at_s)).lost_views;
        expected += views * lasts_s;
        if views > worst.0 {
            worst = (views, at_s);
        }
    }
    assert!(expected > 5.0, "{expected}");
    close(lost.lost_guest_s, expected, 1e-9, "guest-seconds");
    close(lost.by_photographer.values().sum(), expected, 1e-9, "by photographer");
    close(lost.by_standpoint.iter().map(|place| place.lost_guest_s).sum(), expected, 1e-9, "by standpoint");
    close(lost.by_moment.iter().map(|moment| moment.lost_guest_s).sum(), expected, 1e-9, "by moment");
    close(lost.guests.iter().map(|guest| guest.lost_s).sum(), expected, 1e-9, "by guest");
    assert_eq!(lost.worst_instant.as_ref().map(|it| (it.lost_views, it.at_s)), Some(worst));
    assert_eq!(lost.worst_guest.as_ref(), lost.guests.first().map(|guest| &guest.id));
    let long = lost.guests.iter().filter(|guest| guest.losing_much_s >= 2.0).count();
    assert_eq!((lost.guests_losing_much, long > 0), (long, true));
}

#[test]
fn the_result_does_not_depend_on_how_many_work_on_it() {
    let plan = demo("loft.ron");
    let (from_s, to_s) = (at(&plan, "processional", 50.0), at(&plan, "processional", 60.0));
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        serde_json::to_string(&pool.install(|| over(&plan, from_s, to_s, 1.0))).expect("text")
    };
    assert_eq!(with(1), with(5));
}

#[test]
fn stretches_without_length_or_sense_hold_nothing() {
    let plan = demo("loft.ron");
    for (from_s, to_s, every_s) in
        [(5.0, 5.0, 1.0), (9.0, 5.0, 1.0), (0.0, 9.0, 0.0), (0.0, f64::NAN, 1.0), (0.0, 9.0, -1.0)]
    {
        let lost = over(&plan, from_s, to_s, every_s);
        assert_eq!((lost.instants, lost.lost_guest_s, lost.worst_instant), (0, 0.0, None));
    }
}
