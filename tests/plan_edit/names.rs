//! New ids, with everything that refers to them.

use super::laws::PLANS;
use super::way;
use standpoint::plan::edit::{EditError, Named, free_id, rename, set, way_to, written};
use standpoint::plan::{Plan, STARTER, read};

/// Ids of a kind as a plan that was read has them.
fn ids(plan: &Plan, kind: Named) -> Vec<String> {
    let venue = &plan.venue;
    match kind {
        Named::Person => plan.people.iter().map(|it| it.id.clone()).collect(),
        Named::Photographer => plan.crew.iter().map(|it| it.id.clone()).collect(),
        Named::Fixture => venue.fixtures.iter().map(|it| it.id.clone()).collect(),
        Named::Mesh => venue.meshes.iter().map(|it| it.id.clone()).collect(),
        Named::Mark => plan.marks.iter().map(|it| it.id.clone()).collect(),
        Named::Seats => venue.seats.iter().map(|it| it.id.clone()).collect(),
        Named::Moment => plan.moments.iter().map(|it| it.id.clone()).collect(),
        Named::Cue => plan.moments.iter().flat_map(|it| &it.cues).filter_map(|cue| cue.id.clone()).collect(),
        Named::Standpoint => plan.standpoints.iter().map(|it| it.id.clone()).collect(),
        Named::Frame => plan.frames.iter().map(|it| it.id.clone()).collect(),
        Named::Body => plan.kit.bodies.iter().map(|it| it.id.clone()).collect(),
        Named::Lens => plan.kit.lenses.iter().map(|it| it.id.clone()).collect(),
        Named::Variant => plan.variants.iter().map(|it| it.id.clone()).collect(),
        Named::Room => venue.rooms.iter().map(|it| it.id.clone()).collect(),
        Named::Wall => venue.walls.iter().map(|it| it.id.clone()).collect(),
        Named::Platform => venue.platforms.iter().map(|it| it.id.clone()).collect(),
        Named::Lamp => venue.lamps.iter().map(|it| it.id.clone()).collect(),
        Named::KeepOut => venue.keep_outs.iter().map(|it| it.id.clone()).collect(),
        Named::EscapeRoute => venue.escape_routes.iter().map(|it| it.id.clone()).collect(),
    }
}

/// An id as long as the old one, so that nothing else in the text moves.
fn as_long_as(old: &str) -> String {
    let letters = old.chars().count();
    "Q".repeat(letters)
}

#[test]
fn every_id_of_every_kind_gets_a_new_one_and_its_old_one_back() {
    let mut renamed = 0;
    for text in &PLANS[..9] {
        let before = read(text).unwrap_or_else(|problems| panic!("{problems}"));
        for kind in Named::ALL {
            for (number, old) in ids(&before, kind).iter().enumerate() {
                // Ids that the plan gives are not in the text.
                let place = way_to(text, kind, old);
                if place.and_then(|place| written(text, &place.field("id"))).is_none() {
                    continue;
                }
                let new = as_long_as(old);
                let changed = rename(text, kind, old, &new).unwrap_or_else(|error| panic!("{kind:?} {old}: {error}"));
                let after = read(&changed).unwrap_or_else(|problems| panic!("{kind:?} {old}: {problems}"));
                assert_eq!(ids(&after, kind)[number], new);
                means_the_same((&before, &after), kind, old, &new);
                assert_eq!(rename(&changed, kind, &new, old).as_deref(), Ok(text.as_str()), "{kind:?} {old}");
                renamed += 1;
            }
        }
    }
    assert!(renamed > 600, "only {renamed} ids");
}

/// Every reference leads to the same place in its list as before.
fn means_the_same((before, after): (&Plan, &Plan), kind: Named, old: &str, new: &str) {
    let elsewhere = |plan: &Plan| -> Vec<String> {
        let moved = plan.variants.iter().filter_map(|variant| variant.elsewhere.as_ref());
        moved
            .map(|plan| {
                format!("{:?} {:?}", plan.frames.iter().map(|it| &it.of).collect::<Vec<_>>(), plan.moments.len())
            })
            .collect()
    };
    assert_eq!(elsewhere(before), elsewhere(after), "{kind:?} {old}");
    let blank = |plan: &Plan| {
        let mut plan = plan.clone();
        plan.variants.iter_mut().for_each(|variant| {
            variant.elsewhere = None;
            variant.name.clear();
        });
        match kind {
            Named::Person => plan.people.iter_mut().zip(&before.people).for_each(|(it, was)| *it = was.clone()),
            Named::Photographer => plan.crew.iter_mut().zip(&before.crew).for_each(|(it, was)| {
                assert_eq!(it.carries, was.carries);
                *it = was.clone();
            }),
            Named::Moment => plan.moments.iter_mut().for_each(|it| {
                it.id.clear();
                it.name.clear();
            }),
            Named::Cue => {
                let cues = plan.moments.iter_mut().flat_map(|it| &mut it.cues);
                cues.chain(plan.variants.iter_mut().flat_map(|it| it.adds.iter_mut().map(|(_, cue)| cue)))
                    .for_each(|cue| cue.id = None);
            }
            Named::Fixture => plan.venue.fixtures.iter_mut().for_each(|it| it.id.clear()),
            Named::Mesh => plan.venue.meshes.iter_mut().for_each(|it| it.id.clear()),
            Named::Mark => {
                plan.marks.iter_mut().for_each(|it| it.id.clear());
                plan.readings
                    .iter_mut()
                    .filter(|it| it.place == new || it.place == old)
                    .for_each(|it| it.place.clear());
            }
            Named::Seats => plan.venue.seats.iter_mut().for_each(|it| it.id.clear()),
            Named::Standpoint => plan.standpoints.iter_mut().for_each(|it| it.id.clear()),
            Named::Frame => plan.frames.iter_mut().for_each(|it| it.id.clear()),
            Named::Body => plan.kit.bodies.iter_mut().for_each(|it| it.id.clear()),
            Named::Lens => plan.kit.lenses.iter_mut().for_each(|it| it.id.clear()),
            Named::Variant => plan.variants.iter_mut().for_each(|it| it.id.clear()),
            Named::Room => plan.venue.rooms.iter_mut().for_each(|it| it.id.clear()),
            Named::Wall => plan.venue.walls.iter_mut().for_each(|it| it.id.clear()),
            Named::Platform => plan.venue.platforms.iter_mut().for_each(|it| it.id.clear()),
            Named::Lamp => plan.venue.lamps.iter_mut().for_each(|it| it.id.clear()),
            Named::KeepOut => plan.venue.keep_outs.iter_mut().for_each(|it| it.id.clear()),
            Named::EscapeRoute => plan.venue.escape_routes.iter_mut().for_each(|it| it.id.clear()),
        }
        format!("{plan:?}")
    };
    let (before, after) = (blank(before), blank(after));
    let differs = before.bytes().zip(after.bytes()).position(|(was, is)| was != is);
    if let Some(at) = differs.or((before.len() != after.len()).then_some(0)) {
        let near = |text: &str| text.chars().skip(at.saturating_sub(100)).take(200).collect::<String>();
        panic!("{kind:?} {old}: something else is meant:\n{}\n{}", near(&before), near(&after));
    }
}

/// A plan in which everything that can be is called `x`.
const ALIKE: &str = r#"Plan(
    people: [(id: "x", name: "x", roles: ["x"], at: (0, 0)), (id: "y", roles: "x", at: "m")], // "x"
    marks: [(id: "m", at: (0, 1))],
    moments: [(id: "x", cues: [(id: "x", who: ["x", "y"], faces: "x", gesture: takes_hands("x"), at: ["m", seat("s", 1, 1)]),
        (who: "y", follows: "x", looks: "x", circles: "x", only_in: "x")])],
    kit: (bodies: [(id: "x")], lenses: [(id: "l")]),
    crew: [(id: "c", carries: [("x", "l")])],
    standpoints: [(id: "x", photographer: "c", during: ["x", (moment: "x", by: "m")])],
    frames: [(id: "x", moment: "x", when: within("x", 4), standpoint: "x", of: "x", focus_on: "x", aim: "x", keep_out: ["x"], note: "x")],
    variants: [(id: "x", name: "x", skips: "x", fails: "x", without: "c", standpoints: [(id: "x")], marks: [(id: "m")])],
)"#;

#[test]
fn things_of_other_kinds_keep_their_ids() {
    let count = |text: &str, word: &str| text.matches(&format!("\"{word}\"")).count();
    for (kind, places) in [
        // Its id; who, faces, gesture, looks, circles; when, of, focus_on, aim, keep_out.
        (Named::Person, 11),
        // Its id; twice in during; of a frame.
        (Named::Moment, 4),
        // Its id, follows, skips.
        (Named::Cue, 3),
        // Its id, carries, fails.
        (Named::Body, 3),
        // Its id, a frame, a variant.
        (Named::Standpoint, 3),
        (Named::Frame, 1),
        // Its id, only_in.
        (Named::Variant, 2),
    ] {
        let changed = rename(ALIKE, kind, "x", "new").expect("it can have another id");
        assert_eq!(count(&changed, "new"), places, "{kind:?}: {changed}");
        assert_eq!(count(&changed, "x"), count(ALIKE, "x") - places, "{kind:?}");
        assert!(
            changed.contains(r#"name: "x", roles: ["x"]"#)
                && changed.contains(r#"note: "x""#)
                && changed.contains("// \"x\"")
        );
        match rename(&changed, kind, "new", "x") {
            Ok(back) => assert_eq!(back, ALIKE),
            // `x` is by now the role of two people.
            Err(error) => {
                assert_eq!((kind, error.to_string().as_str()), (Named::Person, "the id `x` is taken: a role has it"))
            }
        }
    }
    for (kind, old, places) in [(Named::Mark, "m", 5), (Named::Photographer, "c", 3), (Named::Lens, "l", 2)] {
        let changed = rename(ALIKE, kind, old, "new").expect("it can have another id");
        assert_eq!((count(&changed, "new"), count(&changed, old)), (places, 0), "{kind:?}");
    }
}

#[test]
fn an_id_that_would_mean_something_else_is_refused() {
    let by = |kind, old: &str, new: &str| match rename(ALIKE, kind, old, new) {
        Err(EditError::Taken { by, .. }) => by,
        other => panic!("{other:?}"),
    };
    assert_eq!(by(Named::Person, "y", "x"), "a person");
    assert_eq!(by(Named::Mark, "m", "y"), "a person");
    assert_eq!(by(Named::Lens, "l", "x"), "a body");
    assert_eq!(by(Named::Photographer, "c", "x"), "a person");
    assert_eq!(by(Named::Person, "y", "guests"), "a word of plans");
    assert_eq!(by(Named::Mark, "m", "freely"), "a word of plans");
    // Whoever says `officiant` means her role, hers alone: she may be called so, nobody else.
    assert!(rename(STARTER, Named::Person, "tove", "officiant").is_ok());
    let taken = rename(STARTER, Named::Person, "ilan", "officiant");
    assert_eq!(taken, Err(EditError::Taken { id: "officiant".to_owned(), by: "a role".to_owned() }));
    // The starter has no crew of its own: the usual two have names all the same.
    let taken = rename(STARTER, Named::Person, "tove", "lead");
    assert_eq!(taken, Err(EditError::Taken { id: "lead".to_owned(), by: "a photographer".to_owned() }));
    assert_eq!(rename(STARTER, Named::Person, "tove", "-a"), Err(EditError::NotAnId { id: "-a".to_owned() }));
    assert!(
        matches!(rename(STARTER, Named::Person, "tofe", "a"), Err(EditError::NoSuchPlace { nearest: Some(near), .. }) if near == "tove")
    );
}

#[test]
fn a_fixture_without_an_id_gets_one() {
    let aimed = set(STARTER, &way("frames/#kiss-wide/keep_out"), "\"loudspeaker-1\"").expect("it can be set");
    let changed = rename(&aimed, Named::Fixture, "loudspeaker-1", "speaker").expect("it can have an id");
    assert!(
        changed.contains(r#"(id: "speaker", kind: loudspeaker, at: (-3.2, 0.5))"#)
            && changed.contains(r#"keep_out: "speaker""#)
    );
    assert!(read(&changed).is_ok());
}

#[test]
fn free_ids_are_free() {
    for (kind, wanted, free) in [
        (Named::Standpoint, "aisle-end", "aisle-end-2"),
        (Named::Standpoint, "by the tree", "by-the-tree"),
        (Named::Mark, "mira", "mira-2"),
        (Named::Fixture, "loudspeaker-1", "loudspeaker-2"),
        (Named::Frame, "Kiss-Wide", "Kiss-Wide-2"),
        (Named::Lens, "70-200", "70-200-2"),
        (Named::Mark, "?!", "mark"),
        (Named::Photographer, "lead", "lead-2"),
    ] {
        assert_eq!(free_id(STARTER, kind, wanted), free);
    }
    assert_eq!(free_id(&PLANS[0], Named::Fixture, "pear-09"), "pear-21");
    assert_eq!(free_id("(broken", Named::Mark, "gate"), "gate");
    let long = "a".repeat(60);
    let text = format!("(marks: [(id: \"{long}\")])");
    assert_eq!(free_id(&text, Named::Mark, &long), format!("{}-2", "a".repeat(58)));
}
