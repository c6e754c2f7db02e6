//! Walks against published paces, and what must not depend on anything else.

mod builders;

use builders::*;
use glam::Vec2;
use standpoint::plan::*;
use standpoint::staging::*;

/// An aisle of 18 m at published paces, rounded to a hundredth of a second:
/// 0.5 m/s, a processional (no standard; a step of half a metre a beat at 60 beats a minute, from memory);
/// 75 paces of 30 inches a minute (War Office, *Infantry Training*, 1905); 3.5 ft/s, the pedestrian design speed of the MUTCD
/// (2009); the least and the greatest comfortable mean speed in R. W. Bohannon, *Age and Ageing* 26:15–19, 1997.
#[test]
fn an_aisle_of_18_metres_takes_as_long_as_the_tables_say() {
    for (pace_mps, expected_s) in [(0.5, 36.0), (0.9525, 18.90), (1.0668, 16.87), (1.272, 14.15), (1.462, 12.31)] {
        let mut plan = lawn();
        plan.people.push(person("walker", 1.7, Vec2::new(0.0, 18.0)));
        plan.moments[0].cues.push(Cue { after_s: 10.0, goes: Some(walk_to(Vec2::ZERO, pace_mps)), ..cue(&[0]) });
        let run = Run::new(&plan);
        let walk = &run.tracks[0].walks[0];
        assert!((walk.path.length_m() - 18.0).abs() < 1e-3);
        let takes_s = walk.ends_s - walk.begins_s;
        assert!((takes_s - expected_s).abs() < 0.006, "{takes_s} s at {pace_mps} m/s, {expected_s} s by the table");
        // Half way at half time: getting going and coming to rest take alike.
        let half = run.spot(0, 10.0 + takes_s / 2.0).expect("there");
        assert!(half.distance(Vec2::new(0.0, 9.0)) < 0.01, "{half}");
        // Between them the pace is even.
        let (a, b) =
            (run.spot(0, 10.0 + takes_s * 0.4).expect("there"), run.spot(0, 10.0 + takes_s * 0.6).expect("there"));
        let even_mps = a.distance(b) / (takes_s as f32 * 0.2);
        assert!((1.0..1.06).contains(&(even_mps / pace_mps)), "{even_mps} m/s");
    }
}

/// Round a block of 2 × 4 m, a point's shortest way is 2·√20 + 2 = 10.944 m (plane geometry); a body keeps 0.25 m from it.
#[test]
fn the_way_round_a_block_is_walked_and_timed() {
    let mut plan = lawn();
    let mut block = fixture("block", FixtureKind::Block, Vec2::new(5.0, 0.0));
    block.size_m = [2.0, 1.5, 4.0];
    plan.venue.fixtures.push(block);
    plan.people.push(person("walker", 1.7, Vec2::ZERO));
    plan.moments[0].cues.push(Cue { goes: Some(walk_to(Vec2::new(10.0, 0.0), 1.0)), ..cue(&[0]) });
    let run = Run::new(&plan);
    let length_m = run.tracks[0].walks[0].path.length_m();
    // With 0.25 m to spare the corners lie at x 3.75 and 6.25, z 2.25; cut corners save a little.
    let spared_m = 2.0 * 3.75_f32.hypot(2.25) + 2.5;
    assert!(length_m <= spared_m + 0.01 && length_m > 10.944, "{length_m} m, {spared_m} m");
    assert!(run.hitches().is_empty() && run.stuck.is_empty());
}

/// A photographer has 13 m to walk at 1.3 m/s: 10 s, and lowers and raises the camera before and after.
#[test]
fn a_photographer_who_is_late_is_told_by_how_much() {
    let mut plan = lawn();
    plan.moments = vec![moment("all", 0.0, 60.0)];
    plan.people.push(person("someone", 1.7, Vec2::new(0.0, -8.0)));
    with_photographer(&mut plan, "lead", Vec2::new(-6.5, 5.0), 1.64);
    plan.standpoints[0].during = vec![presence(0, 0.0, 20.0)];
    let other = Standpoint {
        at: Vec2::new(6.5, 5.0),
        id: "other".into(),
        during: vec![presence(0, 28.0, 60.0)],
        ..plan.standpoints[0].clone()
    };
    plan.standpoints.push(other);
    let run = Run::new(&plan);
    let it = &run.moves[0];
    assert!((it.path.length_m() - 13.0).abs() < 1e-3 && (it.pace_mps() - 1.3).abs() < 1e-3);
    assert!((it.walk_ends_s - it.walk_begins_s - 10.0).abs() < 1e-4, "{}", it.walk_ends_s - it.walk_begins_s);
    let beside_s = (it.walk_begins_s - it.leaves_s) + (it.ready_s - it.walk_ends_s);
    assert!((it.late_s() - (2.0 + beside_s)).abs() < 1e-4 && it.leaves_s == 20.0, "{} s late", it.late_s());
    assert!(
        matches!(&run.hitches()[..], [Hitch { what: run::What::Late { late_s, .. }, .. }] if (late_s - it.late_s()).abs() < 1e-9)
    );
    // On the way they are where the walk has them, with both hands at the camera, and nobody else moves for it.
    let half = run.crew_spot(PhotographerIx(0), (it.walk_begins_s + it.walk_ends_s) / 2.0).expect("on the way");
    assert!(half.distance(Vec2::new(0.0, 5.0)) < 0.01, "{half}");
}

/// Frames wait for what happens: 5 m from the camera, past a mark, during the kiss; by hand.
#[test]
fn frames_fall_when_what_they_wait_for_happens() {
    let mut plan = lawn();
    plan.moments = vec![moment("all", 0.0, 60.0)];
    plan.people.push(person("walker", 1.7, Vec2::new(0.0, 20.0)));
    plan.people.push(person("other", 1.8, Vec2::new(0.6, 0.0)));
    plan.moments[0].cues.push(Cue { after_s: 5.0, goes: Some(walk_to(Vec2::ZERO, 0.5)), ..cue(&[0]) });
    plan.moments[0].cues.push(Cue { after_s: 50.0, gesture: Some(Gesture::Kisses(PersonIx(1))), ..cue(&[0]) });
    plan.moments[0].cues.push(Cue { after_s: 54.0, gesture: Some(Gesture::Rest), ..cue(&[0]) });
    with_photographer(&mut plan, "lead", Vec2::new(0.0, -2.0), 1.64);
    let who = PersonIx(0);
    let mut frame = plan.frames[0].clone();
    let mut at = |when: When| {
        frame.when = Some(when);
        Run::new(&plan).after_s(&frame)
    };
    // 20 m in 40 s; half a second at each end goes to gathering pace, so it is 0.25 s behind and 0.506 m/s in between.
    let even = 20.0 / 39.5;
    let within = at(When::Within { who, distance_m: 5.0 }).expect("comes").expect("waits");
    assert!((within - (5.0 + 0.25 + 17.0 / even)).abs() < 0.02, "{within}");
    let passing = at(When::Passing { who, spot: Vec2::new(1.0, 10.0) }).expect("passes").expect("waits");
    assert!((passing - 25.0).abs() < 0.02, "{passing}");
    let kiss = at(When::During { who, deed: Deed::Kisses }).expect("kisses").expect("waits");
    assert!((kiss - 52.0).abs() < 0.1, "{kiss}");
    let kissed = at(When::During { who: PersonIx(1), deed: Deed::Kisses }).expect("is kissed").expect("waits");
    assert!((kissed - 52.0).abs() < 0.1, "{kissed}");
    assert_eq!(at(When::During { who, deed: Deed::Kneels }), Err(run::Never::NotDone));
    let Err(run::Never::TooFar { nearest_m, .. }) = at(When::Within { who, distance_m: 1.0 }) else {
        panic!("too far")
    };
    assert!((nearest_m - 2.0).abs() < 0.3, "{nearest_m}");
}

fn orchard() -> Plan {
    let plan =
        standpoint::plan::read(include_str!("../scenes/orchard.ron")).unwrap_or_else(|problems| panic!("{problems}"));
    rehearse(plan).0
}

/// The same tableau, bit for bit, from any thread and in any order.
#[test]
fn an_instant_is_the_same_on_every_thread() {
    let plan = orchard();
    let run = Run::new(&plan);
    let instants = [300.0, 640.5, 700.25, 1000.0, 1650.0];
    let one_by_one: Vec<String> = instants.iter().map(|at_s| format!("{:?}", run.tableau(*at_s))).collect();
    for threads in [2, 5] {
        let all = std::thread::scope(|scope| {
            let asked: Vec<_> = (0..threads)
                .map(|k| {
                    let run = &run;
                    let mine: Vec<f64> = instants.iter().rev().skip(k).step_by(threads).copied().collect();
                    scope.spawn(move || {
                        mine.iter().map(|at_s| (*at_s, format!("{:?}", run.tableau(*at_s)))).collect::<Vec<_>>()
                    })
                })
                .collect();
            asked.into_iter().flat_map(|thread| thread.join().expect("it ends")).collect::<Vec<_>>()
        });
        assert_eq!(all.len(), instants.len());
        for (at_s, tableau) in all {
            let place = instants.iter().position(|instant| *instant == at_s).expect("asked for");
            assert!(tableau == one_by_one[place], "{at_s} s differs on {threads} threads");
        }
    }
    assert!(format!("{:?}", stage(&plan, 700.25)) == one_by_one[2], "nor does it matter who asked before");
}

/// Another row of guests, another block, a fuller one: nobody who was there before moves or changes.
#[test]
fn a_guest_more_moves_nobody_else() {
    let plan = orchard();
    let mut more = plan.clone();
    more.venue.seats[0].rows += 1;
    more.venue.seats.push(SeatBlock { front: Vec2::new(14.0, 9.0), ..block("late") });
    let mut fuller = plan.clone();
    fuller.venue.seats[1].filled = 1.0;
    for at_s in [100.0, 655.0, 672.0, 800.0, 1660.0] {
        let before = Run::new(&plan).tableau(at_s);
        for other in [&more, &fuller] {
            let after = Run::new(other).tableau(at_s);
            for figure in &before.figures {
                let owner = before.owner(figure.owner);
                let same = after.figures.iter().find(|it| after.owner(it.owner).id == owner.id).expect("still there");
                assert!(same.eyes == figure.eyes && same.hands == figure.hands, "{} moved at {at_s} s", owner.id);
            }
            assert!(after.figures.len() > before.figures.len());
        }
    }
}
