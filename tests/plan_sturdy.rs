//! Whatever stands in a file, the reader answers; and what it answers can be shown.

use proptest::prelude::*;
use standpoint::cli::{Look, problem_report};
use standpoint::plan::{self, Facing, PersonIx, Plan, Post, Way};
use standpoint::staging::{Run, rehearse};
use std::time::Instant;

const WHOLE: &str = include_str!("fixtures/whole.ron");
const FORMAT_1: &str = include_str!("fixtures/format-1.ron");
const WALKING: &str = include_str!("fixtures/walking.ron");
const MOVING: &str = include_str!("fixtures/format-1-moving.ron");
const PLANS: [&str; 4] = [WHOLE, FORMAT_1, WALKING, MOVING];

/// Reads, and checks that every place a problem names is in the text.
fn read_and_show(text: &str) {
    let problems = match plan::read(text) {
        Ok(plan) => {
            every_reference_exists(&plan);
            return rehearsed(plan);
        }
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

/// Works out the run of the ceremony; every number that comes out of it is one, and what is told can be shown.
fn rehearsed(plan: Plan) {
    let length_s = plan.length_s();
    let (plan, hitches) = rehearse(plan);
    for hitch in &hitches {
        assert!(hitch.at_s.is_finite(), "{hitch:?}");
        let words = hitch.what.to_string();
        assert!(!words.contains("NaN") && !words.contains("inf") && !hitch.what.help().is_empty(), "{words}");
    }
    for frame in &plan.frames {
        let moment = &plan.moments[frame.moment.0];
        assert!(
            (0.0..=moment.length_s + 1e-6).contains(&frame.after_s),
            "{} s of {} s",
            frame.after_s,
            moment.length_s
        );
    }
    let run = Run::new(&plan);
    for at_s in [0.0, 0.3 * length_s, 0.7 * length_s, length_s] {
        let tableau = run.tableau(at_s);
        assert!(tableau.solids.iter().all(|solid| solid.at.is_finite() && solid.turned.is_finite()), "at {at_s} s");
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

/// A number of the text, by its place, and what is written instead.
fn number() -> impl Strategy<Value = (usize, String)> {
    let other = prop_oneof![
        (-1e3..1e3_f64).prop_map(|number| format!("{number:.2}")),
        (-4.0..4.0_f64).prop_map(|number| format!("{number:.1}")),
        (0..12_u32).prop_map(|number| number.to_string()),
        Just("0".to_owned()),
        Just("1e-9".to_owned()),
    ];
    (0..1000_usize, other)
}

fn with_numbers(text: &str, changes: &[(usize, String)]) -> String {
    let mut pieces: Vec<String> = vec![];
    let mut in_number = false;
    for c in text.chars() {
        let digit = c.is_ascii_digit() || (in_number && c == '.');
        if digit != in_number || pieces.is_empty() {
            pieces.push(String::new());
        }
        in_number = digit;
        pieces.last_mut().unwrap().push(c);
    }
    let numbers: Vec<usize> =
        (0..pieces.len()).filter(|i| pieces[*i].starts_with(|c: char| c.is_ascii_digit())).collect();
    for (which, other) in changes {
        pieces[numbers[which % numbers.len()]].clone_from(other);
    }
    pieces.concat()
}

/// A cue of any fields, most of them fit for each other.
fn cue() -> impl Strategy<Value = String> {
    let who = prop::sample::select(vec![
        "\"mira\"",
        "\"ilan\"",
        "\"una\"",
        "[\"mira\", \"ilan\"]",
        "[\"tove\", \"una\", \"mira\"]",
        "\"guests\"",
    ]);
    let way = prop::sample::select(vec![
        "",
        "at: (3, 2)",
        "at: (0.45, 0)",
        "at: (-4.6, 1)",
        "at: seat(\"left\", 2, 3)",
        "at: [(1, 1), (2, 1)]",
        "at: [(1, 1), (2, 1), \"waiting\"]",
        "from: (0, 12), at: (0, 2)",
        "from: (0, 12), by: (2, 9), at: \"waiting\"",
        "steps: left(1.5)",
        "steps: back(5)",
        "circles: \"ilan\"",
        "circles: \"arch\", times: -2.5, radius: 4",
        "at: (0, 11), leaves: true",
        "leaves: true",
        "at: (40, -60)",
    ]);
    let how = prop::sample::select(vec![
        "",
        "pace: 0.1",
        "pace: 2.6",
        "over: 0.2",
        "over: 300",
        "abreast: 3, spacing: 0.4",
        "abreast: 1, apart: 5",
    ]);
    let does = prop::sample::select(vec![
        "",
        "does: sitting",
        "does: kneeling",
        "does: dancing",
        "gesture: throws_petals",
        "gesture: kisses(\"ilan\")",
        "gesture: dances(\"mira\")",
        "gesture: links_arms(\"una\")",
        "looks: freely, faces: \"lead\"",
        "faces: \"tove\", looks: (0, 9)",
    ]);
    let begins = prop_oneof![
        (0..120_u32).prop_map(|after| format!("after: {after}")),
        (0..8_usize).prop_map(|first| format!("follows: \"cue-{first}\"")),
        Just(String::new()),
    ];
    (who, way, how, does, begins).prop_map(|(who, way, how, does, begins)| {
        let fields: Vec<&str> = [way, how, does, &begins].into_iter().filter(|field| !field.is_empty()).collect();
        format!("who: {who}, {}", fields.join(", "))
    })
}

fn wait() -> impl Strategy<Value = String> {
    prop::sample::select(vec![
        "within(\"mira\", 3)",
        "within(\"una\", 0.3)",
        "passing(\"mira\", \"arch\")",
        "passing(\"ilan\", \"waiting\")",
        "during(\"mira\", walks)",
        "during(\"ilan\", kisses)",
        "during(\"una\", sits)",
        "during(\"mira\", dances)",
    ])
    .prop_map(str::to_owned)
}

fn with_cues(cues: &[String], waits: &[String]) -> String {
    let cues: Vec<String> = cues.iter().enumerate().map(|(i, cue)| format!("(id: \"cue-{i}\", {cue})")).collect();
    let frames: Vec<String> = waits
        .iter()
        .enumerate()
        .map(|(i, when)| {
            format!("(id: \"f{i}\", moment: \"vows\", standpoint: \"aisle-end\", of: \"tove\", when: {when}),")
        })
        .collect();
    WHOLE
        .replace("(who: \"mira\", faces: \"ilan\", gesture: takes_hands(\"ilan\"))", &cues.join(", "))
        .replace("frames: [", &format!("frames: [{}", frames.concat()))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn changed_plans_are_answered(which in 0..PLANS.len(), changes in prop::collection::vec(change(), 1..6)) {
        read_and_show(&changed(PLANS[which], &changes));
    }

    #[test]
    fn plans_with_any_numbers_are_answered(which in 0..PLANS.len(), changes in prop::collection::vec(number(), 1..6)) {
        read_and_show(&with_numbers(PLANS[which], &changes));
    }

    #[test]
    fn any_cues_are_answered(cues in prop::collection::vec(cue(), 1..8), frames in prop::collection::vec(wait(), 0..4)) {
        read_and_show(&with_cues(&cues, &frames));
    }

    #[test]
    fn cut_plans_are_answered(which in 0..PLANS.len(), from in 0..3000_usize, length in 0..6000_usize) {
        let text: Vec<char> = PLANS[which].chars().collect();
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
    fn lines_in_any_order_are_answered(
        which in 0..PLANS.len(),
        order in Just((0..60_usize).collect::<Vec<_>>()).prop_shuffle(),
    ) {
        let lines: Vec<&str> = PLANS[which].lines().collect();
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

/// As much walking as is allowed: everybody walks ten times through a thousand posts, slowly and all at once, and frames
/// wait for all of it. What takes too long to find is given up and told.
#[test]
fn the_longest_walks_are_worked_out_in_time() {
    let many = |count: usize, one: &dyn Fn(usize) -> String| (0..count).map(one).collect::<Vec<_>>().join(",\n");
    // Scattered, the same each time.
    let at = |i: usize, salt: usize| ((i * 7919 + salt * 104_729) % 797) as f64 / 10.0 - 40.0;
    let people = many(490, &|i| format!("(id: \"p{i}\", at: ({}, {}))", at(i, 1), at(i, 2).abs() + 12.0));
    let posts = many(990, &|i| {
        let (size, kind) = [("(0.4, 2, 0.4)", "post"), ("(3, 1, 0.8)", "table")][i % 2];
        format!("(kind: {kind}, size: {size}, at: ({}, {}))", at(i, 3), at(i, 4).abs() + 30.0)
    });
    let cues = |pace: &str, by: usize| {
        many(4890, &|i| {
            let way = (0..by).map(|k| format!("({}, {})", at(i + k, 5), at(i + k, 6))).collect::<Vec<_>>().join(", ");
            format!(
                "(who: \"p{}\", after: {}, by: [{way}], at: ({}, {}), pace: {pace})",
                i % 490,
                i % 120,
                at(i, 7),
                at(i, 8)
            )
        })
    };
    let frames = many(480, &|i| {
        let when =
            ["within(\"p1\", 0.3)", "passing(\"p2\", \"arch\")", "during(\"p3\", walks)", "during(\"mira\", kisses)"]
                [i % 4];
        format!("(id: \"f{i}\", moment: \"vows\", standpoint: \"aisle-end\", of: \"mira\", when: {when})")
    });
    let standpoints = many(12, &|i| {
        format!(
            "(id: \"s{i}\", photographer: \"third\", at: ({}, 11), during: [(moment: \"vows\", from: {}, to: {})])",
            i as f64 * 0.9 - 5.0,
            i * 10,
            i * 10 + 1
        )
    });
    for (pace, by) in [("1", 0), ("0.1", 4)] {
        let text = WHOLE
            .replace("people: [", &format!("people: [{people},"))
            .replace("gesture: takes_hands(\"ilan\"))", &format!("gesture: takes_hands(\"ilan\")), {}", cues(pace, by)))
            .replace("length: \"2m\"", "length: \"4h\"")
            .replace("frames: [", &format!("frames: [{frames},"))
            .replace("fixtures: [", &format!("fixtures: [{posts},"))
            .replace("crew: [", "crew: [(id: \"third\"),")
            .replace("standpoints: [", &format!("standpoints: [{standpoints},"));
        let plan = plan::read(&text).unwrap_or_else(|problems| panic!("{problems}"));
        let begun = Instant::now();
        let (_, hitches) = rehearse(plan);
        let rehearsed_s = begun.elapsed().as_secs_f64();
        println!("pace {pace} by {by}: {rehearsed_s:.2} s, {} hitches", hitches.len());
        assert!(rehearsed_s < 60.0, "{rehearsed_s} s");
    }
}
