//! The chapel is what it promises: a whole ceremony in which everybody walks, that goes wrong only where it is meant to.

use glam::Vec2;
use standpoint::plan::{self, Deed, Frame, PersonIx, PhotographerIx, Plan};
use standpoint::staging::run::{CrewAt, Hitch, What};
use standpoint::staging::{Run, rehearse};
use std::collections::BTreeSet;

/// With the instants that its frames wait for, and what won't go as planned.
fn rehearsed() -> (Plan, Vec<Hitch>) {
    let text = include_str!("../scenes/chapel.ron");
    let (plan, remarks) = plan::read_with_remarks(text).unwrap_or_else(|problems| panic!("{problems}"));
    assert!(remarks.is_empty(), "nothing in the demo needs changing: {remarks:?}");
    rehearse(plan)
}

fn chapel() -> Plan {
    rehearsed().0
}

fn frame<'p>(plan: &'p Plan, id: &str) -> &'p Frame {
    plan.frames.iter().find(|frame| frame.id == id).unwrap_or_else(|| panic!("no frame `{id}`"))
}

fn person(plan: &Plan, id: &str) -> PersonIx {
    PersonIx(plan.people.iter().position(|person| person.id == id).unwrap_or_else(|| panic!("no person `{id}`")))
}

fn photographer(plan: &Plan, id: &str) -> PhotographerIx {
    PhotographerIx(plan.crew.iter().position(|it| it.id == id).unwrap_or_else(|| panic!("no photographer `{id}`")))
}

fn lens_of(plan: &Plan, frame: &Frame) -> Vec2 {
    plan.standpoints[frame.standpoint.0].at
}

fn spot(plan: &Plan, id: &str, at_s: f64) -> Vec2 {
    Run::new(plan).spot(person(plan, id).0, at_s).unwrap_or_else(|| panic!("{id} isn't there at {at_s} s"))
}

/// Seconds into the ceremony.
fn instant(plan: &Plan, moment: &str, after_s: f64) -> f64 {
    let moment = plan.moments.iter().find(|it| it.id == moment).unwrap_or_else(|| panic!("no moment `{moment}`"));
    moment.start_s + after_s
}

/// Tenths of a second from the first to the last.
fn tenths(plan: &Plan) -> impl Iterator<Item = f64> + use<> {
    (0..=(plan.length_s() * 10.0) as usize).map(|tenth| tenth as f64 / 10.0)
}

/// Even-odd rule: how often a way out to the right crosses the outline.
fn is_in(spot: Vec2, outline: &[Vec2]) -> bool {
    let corners = match outline {
        [a, b] => vec![*a, Vec2::new(b.x, a.y), *b, Vec2::new(a.x, b.y)],
        more => more.to_vec(),
    };
    let sides = corners.iter().zip(corners.iter().cycle().skip(1));
    let crossed = sides
        .filter(|(a, b)| (a.y > spot.y) != (b.y > spot.y) && spot.x < a.x + (spot.y - a.y) / (b.y - a.y) * (b.x - a.x));
    crossed.count() % 2 == 1
}

#[test]
fn it_is_a_whole_ceremony_with_about_ninety_guests() {
    let plan = chapel();
    let minutes = plan.length_s() / 60.0;
    assert!((25.0..=40.0).contains(&minutes), "{minutes} minutes");
    let seats: f32 =
        plan.venue.seats.iter().map(|block| (block.rows * block.seats_per_row) as f32 * block.filled).sum();
    assert!((85.0..=97.0).contains(&seats), "{seats} seats are taken");
    assert!(plan.venue.fixtures.iter().filter(|fixture| fixture.clutter).count() >= 8, "a venue has ugly things");
    assert_eq!(plan.crew.len(), 2);
    for photographer in &plan.crew {
        let bodies: BTreeSet<usize> = photographer.carries.iter().map(|pair| pair.body).collect();
        assert_eq!(bodies.len(), 2, "{} has two bodies, because one fails", photographer.id);
    }
    for frame in &plan.frames {
        assert!(!frame.note.is_empty(), "`{}` has a note for the brief", frame.id);
    }
}

/// All goes as planned but for one move, left in on purpose: 2.4 m and a camera to bring down and up again in two seconds.
#[test]
fn nothing_goes_wrong_but_on_purpose() {
    let (plan, hitches) = rehearsed();
    let [hitch] = &hitches[..] else { panic!("{hitches:?}") };
    let What::Late { who, standpoint, late_s, way_m, .. } = &hitch.what else { panic!("{hitch:?}") };
    assert_eq!((who.as_str(), standpoint.as_str()), ("second", "south-middle"));
    let [from, to] = ["south-front", "south-middle"].map(|id| plan.standpoints.iter().find(|it| it.id == id).unwrap());
    let straight_m = from.at.distance(to.at);
    assert!((straight_m - 0.01..straight_m + 0.3).contains(way_m), "{way_m} m, straight {straight_m} m");
    let least_s = f64::from(straight_m) / 1.3 - to.during[0].from_s;
    assert!(*late_s > least_s && (0.5..3.0).contains(late_s), "{late_s} s, walking alone makes it {least_s} s");
}

/// The other mistake: a column before the couple. Its middle is nearer to the line of sight than its half width.
#[test]
fn a_column_stands_before_the_couple_in_one_picture() {
    let plan = chapel();
    let hidden_behind = |id: &str| {
        let frame = frame(&plan, id);
        let lens = lens_of(&plan, frame);
        let way = (Vec2::ZERO - lens).normalize();
        let columns = plan.venue.fixtures.iter().filter(|fixture| fixture.id.starts_with("column-"));
        let in_line = columns.filter(|column| {
            let from_lens = column.at - lens;
            from_lens.dot(way) > 0.0 && from_lens.dot(way) < lens.length() && from_lens.perp_dot(way).abs() < 0.31
        });
        in_line.map(|column| column.id.clone()).collect::<Vec<_>>()
    };
    assert_eq!(hidden_behind("vow-wide"), ["column-r2"]);
    for id in ["vow-listener-rosa", "vow-listener-astrid", "rings", "kiss-aisle", "kiss-side", "welcome-wide"] {
        assert!(hidden_behind(id).is_empty(), "{id}");
    }
}

/// The fastest that people walk: 2.53 m/s, men in their twenties in a hurry (R. W. Bohannon, Age and Ageing 26:15–19, 1997).
#[test]
fn everybody_walks_and_nobody_jumps() {
    const FASTEST_MPS: f32 = 2.53;
    let plan = chapel();
    let run = Run::new(&plan);
    let mut before: Vec<Option<Vec2>> = vec![];
    for at_s in tenths(&plan) {
        let spots = run.spots(at_s);
        for (who, (now, then)) in spots.iter().zip(&before).enumerate() {
            let (Some(now), Some(then)) = (now, then) else { continue };
            let mps = now.distance(*then) * 10.0;
            assert!(mps < FASTEST_MPS, "{} goes {mps} m/s at {at_s} s", plan.people[who].id);
        }
        before = spots;
    }
    assert!(run.stuck.is_empty(), "{:?}", run.stuck);
    for time in &run.cues {
        let moment = &plan.moments[time.cue.moment.0];
        let cue = &moment.cues[time.cue.cue];
        let end_s = moment.start_s + moment.length_s;
        let who: Vec<&str> = cue.who.iter().map(|who| plan.people[who.0].id.as_str()).collect();
        let in_time = cue.goes.is_none() || time.ends_s <= end_s;
        assert!(in_time, "{who:?} in {}: {} s", moment.id, time.ends_s - moment.start_s);
    }
}

/// Whoever comes and goes does so behind a door: the room's walls are between them and every lens.
#[test]
fn nobody_appears_or_is_gone_within_the_room() {
    let plan = chapel();
    let run = Run::new(&plan);
    let room = &plan.venue.rooms[0];
    for who in 0..plan.people.len() {
        for when in run.comings(who) {
            let spot = run.spot(who, when).or_else(|| run.spot(who, when - 1e-3)).expect("there on one side of it");
            let out = (spot - room.centre).abs() - room.size_m * 0.5;
            assert!(out.max_element() > 0.3, "{} comes or goes at {spot}, {when} s", plan.people[who].id);
        }
    }
}

#[test]
fn everyone_a_frame_is_of_is_in_front_of_the_lens_then() {
    let plan = chapel();
    for frame in &plan.frames {
        let nearest_m = plan.kit.lenses[frame.with.lens].nearest_focus_m as f32;
        for who in &frame.of {
            let id = &plan.people[who.0].id;
            let away_m = lens_of(&plan, frame).distance(spot(&plan, id, plan.at_s(frame)));
            assert!((nearest_m..20.0).contains(&away_m), "{id} is {away_m} m from the lens in {}", frame.id);
        }
    }
}

/// Only those who walk in or out walk in a picture; everybody else has come to where they stand.
#[test]
fn in_still_pictures_nobody_is_on_the_way() {
    let plan = chapel();
    let run = Run::new(&plan);
    let walked = ["processional", "entrance-astrid", "entrance-rosa", "recessional"];
    for frame in plan.frames.iter().filter(|frame| !walked.contains(&plan.moments[frame.moment.0].id.as_str())) {
        for who in &frame.of {
            let walks = run.tracks[who.0].walk_at(plan.at_s(frame)).is_some();
            assert!(!walks, "{} walks in {}", plan.people[who.0].id, frame.id);
        }
    }
}

#[test]
fn each_photographer_is_there_for_each_frame() {
    let plan = chapel();
    let run = Run::new(&plan);
    for frame in &plan.frames {
        let there = run.crew_at(plan.photographer_of(frame), plan.at_s(frame));
        assert_eq!(there, CrewAt::At(frame.standpoint), "{}", frame.id);
    }
}

/// Two bodies with an eye each, in every moment but the hymn, in which they change sides.
#[test]
fn both_cover_every_moment() {
    let plan = chapel();
    for (photographer, who) in plan.crew.iter().enumerate() {
        for (moment, it) in plan.moments.iter().enumerate().filter(|(_, it)| it.id != "hymn") {
            let mine = plan.standpoints.iter().filter(|standpoint| standpoint.photographer.0 == photographer);
            let stretches = mine.flat_map(|standpoint| &standpoint.during).filter(|s| s.moment.0 == moment);
            let held_s: f64 = stretches.map(|stretch| stretch.to_s - stretch.from_s).sum();
            assert!(held_s > 4.0, "{} holds {held_s} s of {}", who.id, it.id);
        }
    }
}

#[test]
fn nobody_goes_where_no_photographer_may() {
    let plan = chapel();
    let run = Run::new(&plan);
    assert!(!plan.venue.keep_outs.is_empty());
    let who: Vec<PhotographerIx> = (0..plan.crew.len()).map(PhotographerIx).collect();
    for at_s in tenths(&plan) {
        for (who, there) in who.iter().filter_map(|who| Some((who, run.crew_spot(*who, at_s)?))) {
            for keep_out in &plan.venue.keep_outs {
                let inside = is_in(there, &keep_out.outline);
                assert!(!inside, "{} is in {} at {at_s} s", plan.crew[who.0].id, keep_out.id);
            }
        }
    }
}

/// In each vow the picture is the listener, whose face is turned to the lens: at 90° and more it is the back of a head
/// (*common practice, no source*); one photographer is on each side of the aisle.
#[test]
fn the_listener_is_the_picture_in_the_vows() {
    let plan = chapel();
    let run = Run::new(&plan);
    for (moment, listener, id) in
        [("vows-astrid", "rosa", "vow-listener-rosa"), ("vows-rosa", "astrid", "vow-listener-astrid")]
    {
        let frame = frame(&plan, id);
        let at_s = plan.at_s(frame);
        let who = person(&plan, listener);
        assert_eq!((plan.moments[frame.moment.0].id.as_str(), &frame.of[..]), (moment, &[who][..]));
        assert!(run.does(who, Deed::TakesHands, at_s), "{listener} holds both hands");
        let heading = run.heading(who.0, at_s).expect("the listener is there");
        let way = lens_of(&plan, frame) - spot(&plan, listener, at_s);
        let off = way.angle_to(Vec2::new(heading.sin(), -heading.cos())).abs().to_degrees();
        assert!(off < 60.0, "{listener} is turned {off:.0}° from the lens");
        let sides =
            ["lead", "second"].map(|id| run.crew_spot(photographer(&plan, id), at_s).expect("they are there").x);
        assert!(sides[0] < -3.0 && sides[1] > 3.0, "one on each side: {sides:?}");
    }
}

/// The officiant was asked to step aside. Outside the picture of both lenses, which take 200 mm from afar and at least 70 mm
/// from near: half the horizontal angle of 36 mm, and half a body of 0.5 m.
#[test]
fn for_the_kiss_the_officiant_is_aside_and_neither_photographer_in_the_picture() {
    let plan = chapel();
    let run = Run::new(&plan);
    let (one, other) = (person(&plan, "astrid"), person(&plan, "rosa"));
    let begins_s = instant(&plan, "kiss", 0.0);
    let at_s = plan.at_s(frame(&plan, "kiss-aisle"));
    assert_eq!(plan.at_s(frame(&plan, "kiss-side")), at_s, "both wait for the same");
    for who in [one, other] {
        assert!(run.does(who, Deed::Kisses, at_s) && run.does(who, Deed::Kisses, at_s - 1.0), "lips meet by then");
    }
    let aside = spot(&plan, "birgitte", at_s);
    assert!(spot(&plan, "birgitte", begins_s).distance(aside) < 0.01, "there before the kiss begins");
    assert!(spot(&plan, "birgitte", begins_s - 10.0).x.abs() < 0.3, "until then between the two");
    let couple = (spot(&plan, "astrid", at_s) + spot(&plan, "rosa", at_s)) / 2.0;
    for (id, others, focal_mm) in [("kiss-aisle", "kiss-side", 200.0), ("kiss-side", "kiss-aisle", 70.0)] {
        let lens = lens_of(&plan, frame(&plan, id));
        let half_deg = (18.0_f32 / focal_mm).atan().to_degrees();
        let off_deg = |spot: Vec2| {
            let half_body_deg = (0.25 / lens.distance(spot)).atan().to_degrees();
            (couple - lens).angle_to(spot - lens).to_degrees().abs() - half_body_deg
        };
        assert!(off_deg(aside) > half_deg, "the officiant is {:.1}° off in {id}", off_deg(aside));
        let other = lens_of(&plan, frame(&plan, others));
        assert!(off_deg(other) > half_deg, "{others}'s photographer is {:.1}° off in {id}", off_deg(other));
    }
}
