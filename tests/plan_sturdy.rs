//! Whatever stands in a file, the reader answers; and what it answers can be shown.

use proptest::prelude::*;
use standpoint::cli::{Look, problem_report};
use standpoint::plan::{self, Facing, PersonIx, Plan, Post, Way};
use std::time::Instant;

const WHOLE: &str = include_str!("fixtures/whole.ron");
const FORMAT_1: &str = include_str!("fixtures/format-1.ron");

/// Reads, and checks that every place a problem names is in the text.
fn read_and_show(text: &str) {
    let problems = match plan::read(text) {
        Ok(plan) => return every_reference_exists(&plan),
        Err(problems) => problems,
    };
    assert!(!problems.list.is_empty(), "refused without a reason");
    for problem in &problems.list {
        let (start, end) = (problem.span.start, problem.span.end);
        assert!(start <= end && end <= text.len(), "{problem:?}");
        assert!(text.is_char_boundary(start) && text.is_char_boundary(end), "{problem:?}");
        assert!(problem.line >= 1 && problem.column >= 1);
        assert!(!problem.message.is_empty() && !problem.help.is_empty(), "{problem:?}");
    }
    for look in [Look::Plain, Look::Colour] {
        assert!(problem_report(&problems, text, "any.ron", look).contains("nothing was written"));
    }
}

/// What the rest of the program relies on.
fn every_reference_exists(plan: &Plan) {
    let person = |ix: PersonIx| assert!(ix.0 < plan.people.len());
    let post = |post: Option<Post>| {
        if let Some(Post::Seat { seats, row, seat }) = post {
            let block = &plan.venue.seats[seats.0];
            assert!(row < block.rows && seat < block.seats_per_row);
        }
    };
    let facing = |facing: Option<Facing>| match facing {
        Some(Facing::Person(ix)) => person(ix),
        Some(Facing::Fixture(ix)) => assert!(ix.0 < plan.venue.fixtures.len()),
        Some(Facing::Photographer(ix)) => assert!(ix.0 < plan.crew.len()),
        Some(Facing::Freely | Facing::Heading(_) | Facing::Spot(_)) | None => {}
    };
    plan.people.iter().for_each(|person| post(person.post));
    for moment in &plan.moments {
        facing(moment.guests_look);
        for cue in &moment.cues {
            cue.who.iter().copied().for_each(person);
            if let Some(going) = &cue.goes {
                post(going.from);
                if let Way::To { places, .. } = &going.way {
                    assert!(places.len() == 1 || places.len() == cue.who.len());
                    places.iter().for_each(|place| post(Some(*place)));
                }
            }
            if let Some(ix) = cue.follows {
                assert!(ix.cue < plan.moments[ix.moment.0].cues.len());
            }
            facing(cue.faces);
            facing(cue.looks);
        }
    }
    for pair in plan.crew.iter().flat_map(|who| &who.carries).chain(plan.frames.iter().map(|frame| &frame.with)) {
        assert!(pair.body < plan.kit.bodies.len() && pair.lens < plan.kit.lenses.len());
    }
    for standpoint in &plan.standpoints {
        assert!(standpoint.photographer.0 < plan.crew.len());
        assert!(standpoint.during.iter().all(|presence| presence.moment.0 < plan.moments.len()));
    }
    for frame in &plan.frames {
        assert!(frame.moment.0 < plan.moments.len() && frame.standpoint.0 < plan.standpoints.len());
        frame.of.iter().copied().chain(frame.focus_on).for_each(person);
        assert!(!frame.of.is_empty() || frame.aim.is_some());
    }
}

/// One change to a text: some characters taken out, others put in.
fn change() -> impl Strategy<Value = (usize, usize, String)> {
    let bits = prop_oneof![
        "[(){}\\[\\],:\"'/*#!a-z0-9 .\n-]{0,4}",
        Just("\u{feff}é🌿".to_owned()),
        Just("NaN".to_owned()),
        Just("-1e999".to_owned()),
        Just("99999999999999999999".to_owned()),
        Just("r#\"".to_owned()),
        Just("/*".to_owned()),
        Just("\\u{110000}".to_owned()),
        Just("Some(None)".to_owned()),
        Just("#![enable(unwrap_newtypes, unwrap_variant_newtypes, explicit_struct_names)]".to_owned()),
    ];
    (0..10_000_usize, 0..12_usize, bits)
}

fn changed(text: &str, changes: &[(usize, usize, String)]) -> String {
    let mut chars: Vec<char> = text.chars().collect();
    for (at, out, put_in) in changes {
        let at = at % (chars.len() + 1);
        let end = (at + out).min(chars.len());
        chars.splice(at..end, put_in.chars());
    }
    chars.into_iter().collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn changed_plans_are_answered(which in any::<bool>(), changes in prop::collection::vec(change(), 1..6)) {
        read_and_show(&changed(if which { WHOLE } else { FORMAT_1 }, &changes));
    }

    #[test]
    fn cut_plans_are_answered(which in any::<bool>(), from in 0..3000_usize, length in 0..6000_usize) {
        let text: Vec<char> = if which { WHOLE } else { FORMAT_1 }.chars().collect();
        let from = from.min(text.len());
        let cut: String = text[from..(from + length).min(text.len())].iter().collect();
        read_and_show(&cut);
        read_and_show(&text[..length.min(text.len())].iter().collect::<String>());
    }

    #[test]
    fn any_text_is_answered(text in "\\PC{0,200}") {
        read_and_show(&text);
        read_and_show(&format!("Plan({text})"));
        read_and_show(&format!("Plan(format: 1, people: [{text}])"));
    }

    #[test]
    fn any_brackets_are_answered(text in "[(){}\\[\\],:a1\"]{0,120}") {
        read_and_show(&text);
        read_and_show(&format!("Plan(format: 1, frames: [({text})])"));
    }

    #[test]
    fn lines_in_any_order_are_answered(order in Just((0..45_usize).collect::<Vec<_>>()).prop_shuffle()) {
        let lines: Vec<&str> = WHOLE.lines().collect();
        let text: Vec<&str> = order.iter().filter_map(|line| lines.get(*line).copied()).collect();
        read_and_show(&text.join("\n"));
    }
}

#[test]
fn any_depth_is_answered() {
    for opener in ["(", "[", "{", "(a:", "Some(", "[(", "/*"] {
        for depth in [1, 31, 32, 33, 127, 128, 129, 1000, 200_000] {
            let open = opener.repeat(depth);
            let close: String = open
                .chars()
                .rev()
                .filter_map(|c| match c {
                    '(' => Some(')'),
                    '[' => Some(']'),
                    '{' => Some('}'),
                    _ => None,
                })
                .collect();
            read_and_show(&open);
            read_and_show(&format!("Plan(format: 1, people: {open}{close})"));
        }
    }
}

/// As many people, cues, frames, seats and fixtures as are allowed, all of each other.
fn everyone_everywhere() -> String {
    let many = |count: usize, one: &dyn Fn(usize) -> String| (0..count).map(one).collect::<Vec<_>>().join(",\n");
    let people = many(490, &|i| format!("(id: \"p{i}\", roles: [\"all\", \"every\", \"each\"])"));
    let cues = many(4900, &|i| format!("(who: [\"all\", \"every\", \"each\"], after: {}, faces: \"mira\")", i % 100));
    let frames = many(490, &|i| {
        format!(
            "(id: \"f{i}\", moment: \"vows\", standpoint: \"aisle-end\", of: [\"all\", \"mira\"], keep_out: \"arch\")"
        )
    });
    let fixtures = many(990, &|i| format!("(kind: post, at: ({}, {}))", (i % 40) as i32 - 20, 30 + i / 40));
    let standpoints =
        many(490, &|i| format!("(id: \"s{i}\", photographer: \"lead\", at: (0, {}), during: [\"vows\"])", i % 90 + 9));
    WHOLE
        .replace("people: [", &format!("people: [{people},"))
        .replace("gesture: takes_hands(\"ilan\"))", &format!("gesture: takes_hands(\"ilan\")), {cues}"))
        .replace("frames: [", &format!("frames: [{frames},"))
        .replace("fixtures: [", &format!("fixtures: [{fixtures},"))
        .replace("standpoints: [", &format!("standpoints: [{standpoints},"))
        .replace("rows: 4", "rows: 100")
}

/// A file of the largest size, of whatever is slowest, is answered in seconds (here with an unoptimised build on a busy machine).
#[test]
fn the_largest_files_are_answered_in_time() {
    let fill = |piece: &str, bytes: usize| piece.repeat(bytes / piece.len());
    let four_mb = 4 * 1024 * 1024 - 200;
    let frame = |text: &str| WHOLE.replace("    frames: [\n", &format!("    frames: [\n{text}\n"));
    let plans = [
        ("frames", frame(&fill("(id: \"a\"),\n", four_mb))),
        ("fields", frame(&fill("(wrong: 1),\n", four_mb))),
        ("names", WHOLE.replace("of: \"ilan\"", &format!("of: [{}]", fill("\"mira\",", four_mb)))),
        ("unknown names", WHOLE.replace("of: \"ilan\"", &format!("of: [{}]", fill("\"x\",", four_mb)))),
        ("text", WHOLE.replace("of: \"ilan\"", &format!("of: \"ilan\", note: \"{}\"", fill("long ", four_mb)))),
        ("missing commas", frame(&fill("(id: \"a\")\n", four_mb))),
        ("points", WHOLE.replace("outline: [", &format!("outline: [{}", fill("(9,9),", four_mb)))),
        ("everyone everywhere", everyone_everywhere()),
    ];
    for (what, text) in plans {
        let begun = Instant::now();
        let problems = plan::read(&text).map(|_| ()).unwrap_err();
        assert!(problems.list.len() <= 60, "{what}: {} problems", problems.list.len());
        let taken = begun.elapsed().as_secs_f64();
        assert!(taken < 40.0, "{what}: {taken} s");
        println!("{what}: {taken:.2} s, {} problems, first: {}", problems.list.len(), problems.list[0].message);
    }
}
