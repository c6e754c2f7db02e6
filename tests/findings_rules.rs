//! Every rule found and not found: a plan with one number, from a value where the rule is quiet to one where it speaks, and
//! the value between them where that changes. There the measured number stands at the threshold of the table.

use standpoint::findings::{Finding, RULES, Rule, Severity, findings, mended};
use standpoint::plan::{Plan, read};
use standpoint::staging::{Run, rehearse};

/// What differs between the plans. Ada stands at the origin and looks at a photographer 5 m away; Bo stands far off.
struct Words {
    sky: &'static str,
    start: String,
    bearing: f64,
    venue: String,
    ada: String,
    bo: String,
    people: String,
    cues: String,
    moments: String,
    lens: String,
    at: String,
    height: f64,
    held: String,
    standpoints: String,
    frame: String,
    frames: String,
}

impl Default for Words {
    fn default() -> Self {
        Self {
            sky: "overcast",
            start: "2027-06-12T17:30".into(),
            bearing: 0.0,
            venue: String::new(),
            ada: "(0, 0)".into(),
            bo: "(30, 0)".into(),
            people: String::new(),
            cues: r#"(who: ["ada", "bo"], faces: (0, 5), looks: (0, 5)),"#.into(),
            moments: String::new(),
            lens: "focal_mm: (24, 200), nearest_focus: 0.4".into(),
            at: "(0, 5)".into(),
            height: 1.6,
            held: r#""vows""#.into(),
            standpoints: String::new(),
            frame: r#"of: "ada", shot_size: half, f: 5.6, shutter: "1/500""#.into(),
            frames: String::new(),
        }
    }
}

impl Words {
    fn text(self) -> String {
        let Self {
            sky,
            start,
            bearing,
            venue,
            ada,
            bo,
            people,
            cues,
            moments,
            lens,
            at,
            height,
            held,
            standpoints,
            frame,
            frames,
        } = self;
        format!(
            r#"Plan(format: 1, place: (latitude: 38.57, longitude: -7.91, bearing: {bearing}), start: "{start}[Europe/Lisbon]", sky: {sky},
            venue: ({venue}),
            people: [(id: "ada", name: "Ada Lind", roles: ["partner"], stature: 1.7, wears: suit, at: {ada}),
                (id: "bo", name: "Bo Katz", roles: ["partner"], stature: 1.7, at: {bo}), {people}],
            moments: [(id: "vows", length: 120, cues: [{cues}]), {moments}],
            kit: (bodies: [(id: "body-1", sensor: full_frame, iso: (100, 12800)), (id: "body-2", sensor: full_frame, iso: (100, 12800))],
                lenses: [(id: "zoom", f: 2.8, {lens}), (id: "wide", f: 2.8, focal_mm: (16, 23), nearest_focus: 0.3)]),
            crew: [(id: "lead", name: "Lena Moor", role: "lead", carries: [("body-1", "zoom"), ("body-2", "wide")]),
                (id: "second", name: "Sol Ek", role: "second", carries: [("body-1", "zoom"), ("body-2", "wide")])],
            standpoints: [(id: "aisle-end", photographer: "lead", at: {at}, height: {height}, during: [{held}]), {standpoints}],
            frames: [(id: "frame", moment: "vows", after: 30, standpoint: "aisle-end", {frame}), {frames}])"#
        )
    }

    fn plan(self) -> Plan {
        plan_of(&self.text())
    }
}

fn plan_of(text: &str) -> Plan {
    rehearse(read(text).unwrap_or_else(|problems| panic!("{:#?}\n{text}", problems.list))).0
}

/// A rule, the plans, and the numbers where it is quiet and where it speaks.
type Case = (Rule, fn(f64) -> Words, f64, f64);

fn frame(text: impl Into<String>) -> Words {
    Words { frame: text.into(), ..Words::default() }
}

fn venue(text: impl Into<String>) -> Words {
    Words { venue: text.into(), ..Words::default() }
}

fn fixture(text: String) -> Words {
    venue(format!("fixtures: [{text}]"))
}

const TWO_CLEAR: &str = r#"of: ["ada", "bo"], shot_size: half, f: 4, shutter: "1/500""#;

fn cases() -> Vec<Case> {
    vec![
        (
            Rule::OutOfFrame,
            |x| frame(format!(r#"of: "ada", shot_size: half, focal_mm: 100, aim: (at: ({x}, 0), height: 1.5)"#)),
            0.0,
            1.5,
        ),
        (
            Rule::CameraInside,
            |m| fixture(format!(r#"(kind: block, id: "beam", at: (0, 5), size: (0.8, 0.4, 0.8), above_floor: {m})"#)),
            2.6,
            1.4,
        ),
        (
            Rule::FaceHidden,
            |x| fixture(format!(r#"(kind: block, id: "post", at: ({x}, 2.5), size: (0.3, 2.2, 0.1))"#)),
            -0.4,
            -0.05,
        ),
        (
            Rule::FacingAway,
            |deg| Words { cues: format!(r#"(who: "ada", faces: {deg}),"#), ..Words::default() },
            180.0,
            20.0,
        ),
        (
            // They kiss at so many degrees across the picture: in profile, or one behind the other's head.
            Rule::KissUnseen,
            |deg| Words {
                bo: format!("({:.4}, {:.4})", 0.5 * deg.to_radians().sin(), 0.5 * deg.to_radians().cos()),
                cues: r#"(who: "ada", gesture: kisses("bo")), (who: "bo", gesture: kisses("ada")),"#.into(),
                frame: r#"of: ["ada", "bo"], shot_size: half"#.into(),
                ..Words::default()
            },
            90.0,
            0.0,
        ),
        (
            Rule::HandsHidden,
            |x| Words {
                bo: "(0.7, 0)".into(),
                cues: r#"(who: "ada", gesture: gives_ring("bo")), (who: "bo", looks: "ada"),"#.into(),
                frame: r#"of: ["ada", "bo"], shot_size: half"#.into(),
                ..fixture(format!(r#"(kind: block, id: "board", at: ({x}, 2), size: (1, 1.3, 0.1))"#))
            },
            -2.0,
            0.3,
        ),
        (
            Rule::CutAtJoint,
            |m| frame(format!(r#"of: "ada", shot_size: full, focal_mm: 35, aim: (at: (0, 0), height: {m})"#)),
            1.2,
            2.19,
        ),
        (
            Rule::Headroom,
            |m| frame(format!(r#"of: "ada", shot_size: full, focal_mm: 50, aim: (at: (0, 0), height: {m})"#)),
            1.0,
            0.42,
        ),
        (
            Rule::FocalMissing,
            |z| Words {
                lens: "focal_mm: (24, 70), nearest_focus: 0.4".into(),
                at: format!("(0, {z})"),
                ..Words::default()
            },
            2.0,
            4.0,
        ),
        (
            Rule::NearestFocus,
            |m| Words { lens: format!("focal_mm: (24, 200), nearest_focus: {m}"), ..Words::default() },
            3.0,
            5.6,
        ),
        (Rule::OutOfFocus, |m| Words { bo: format!("(0.6, -{m})"), ..frame(TWO_CLEAR) }, 0.02, 1.5),
        (
            Rule::SubjectBlur,
            |per_s| Words {
                cues: r#"(who: "ada", after: 28.5, at: (6, 0), pace: 1.2, looks: (0, 5)),"#.into(),
                frame: format!(r#"of: "ada", shot_size: full, f: 8, shutter: "1/{per_s:.0}""#),
                ..Words::default()
            },
            2000.0,
            15.0,
        ),
        (
            Rule::CameraShake,
            |per_s| frame(format!(r#"of: "ada", shot_size: half, f: 16, focal_mm: 120, shutter: "1/{per_s:.0}""#)),
            500.0,
            40.0,
        ),
        (
            Rule::FaceDark,
            |iso| frame(format!(r#"of: "ada", shot_size: half, f: 11, shutter: "1/500", iso: {iso:.0}"#)),
            3200.0,
            100.0,
        ),
        (
            Rule::FaceBright,
            |iso| frame(format!(r#"of: "ada", shot_size: half, f: 8, shutter: "1/500", iso: {iso:.0}"#)),
            800.0,
            12800.0,
        ),
        (
            Rule::SplitLight,
            // The sun stands in the west, behind the camera; a board over it throws its shadow on one side of the face.
            |x| Words {
                sky: "clear",
                bearing: 95.0,
                ..fixture(format!(r#"(kind: block, id: "board", at: ({x}, 2), size: (1, 5, 0.1), above_floor: 2.3)"#))
            },
            -1.2,
            -0.4,
        ),
        (
            Rule::TopLight,
            |min| Words { sky: "clear", bearing: 290.0, start: clock(min), ..Words::default() },
            9.0 * 60.0,
            11.2 * 60.0,
        ),
        (
            Rule::LightGoes,
            |min| Words { sky: "overcast", start: clock(min), ..Words::default() },
            15.0 * 60.0,
            20.5 * 60.0,
        ),
        (
            Rule::SunAhead,
            |deg| Words { sky: "clear", bearing: deg, start: clock(20.5 * 60.0), ..Words::default() },
            120.0,
            297.0,
        ),
        (
            Rule::FaceStretched,
            |x| frame(format!(r#"of: "ada", shot_size: wide, focal_mm: 24, aim: (at: ({x}, 0), height: 1.5)"#)),
            1.0,
            3.3,
        ),
        (
            Rule::FaceNear,
            |z| Words { at: format!("(0, {z})"), ..frame(r#"of: "ada", shot_size: half, focal_mm: 30"#) },
            1.6,
            0.7,
        ),
        (Rule::Clutter, |x| fixture(format!(r#"(kind: loudspeaker, id: "speaker", at: ({x}, -0.8))"#)), 2.0, 0.3),
        (
            Rule::Merger,
            |x| Words {
                frame: r#"of: "ada", shot_size: full, f: 8"#.into(),
                ..fixture(format!(r#"(kind: post, id: "pole", at: ({x}, -0.6), size: (0.1, 4, 0.1))"#))
            },
            1.0,
            0.0,
        ),
        (
            Rule::KeepOutSeen,
            |x| Words {
                frame: r#"of: "ada", shot_size: half, keep_out: "pole""#.into(),
                ..fixture(format!(r#"(kind: post, id: "pole", at: ({x}, -1))"#))
            },
            3.0,
            0.5,
        ),
        (
            Rule::AudienceMissing,
            |x| Words {
                frame: r#"of: "ada", shot_size: half, focal_mm: 70, audience: wanted"#.into(),
                ..venue(format!(
                    r#"seats: [(id: "back", front: ({x}, -5), heading: 180, rows: 2, seats_per_row: 8, filled: 1)]"#
                ))
            },
            0.0,
            6.0,
        ),
        (
            Rule::BacksSeen,
            |x| Words {
                at: "(0, 8)".into(),
                frame: r#"of: "ada", shot_size: wide, focal_mm: 35, audience: unwanted"#.into(),
                ..venue(format!(r#"seats: [(id: "front", front: ({x}, 3), rows: 2, seats_per_row: 4, filled: 1)]"#))
            },
            12.0,
            1.5,
        ),
        (Rule::CrewSeen, |x| second(format!("({x}, -2)"), ""), 6.0, 0.6),
        (
            Rule::MomentUncovered,
            |any| Words { moments: either(any, r#"(id: "hymn", length: 60),"#, ""), ..Words::default() },
            0.0,
            1.0,
        ),
        (Rule::NoWide, |any| frame(format!(r#"of: "ada", shot_size: {}"#, either(any, "half", "wide"))), 0.0, 1.0),
        (
            Rule::NoTight,
            |any| Words {
                frame: r#"of: "ada", shot_size: full"#.into(),
                frames: format!(
                    r#"(id: "again", moment: "vows", after: 90, standpoint: "aisle-end", of: "ada", shot_size: {}),"#,
                    either(any, "full", "half")
                ),
                ..Words::default()
            },
            0.0,
            1.0,
        ),
        (
            Rule::ListenerUncovered,
            |any| {
                Words {
                bo: "(1, 0)".into(),
                people: r#"(id: "cy", at: (-3, 1)), (id: "di", at: (-4, 1)),"#.into(),
                cues: r#"(who: "ada", faces: (0, 5), gesture: takes_hands("bo")), (who: "bo", faces: (0, 5), gesture: takes_hands("ada")), (who: ["cy", "di"], looks: "bo"),"#.into(),
                frame: format!(r#"of: "{}", shot_size: half"#, either(any, "bo", "ada")),
                ..Words::default()
            }
            },
            0.0,
            1.0,
        ),
        (
            Rule::FramesAlike,
            |deg| {
                second(
                    format!("({:.4}, {:.4})", 5.0 * deg.to_radians().sin(), 5.0 * deg.to_radians().cos()),
                    r#"(id: "twin", moment: "vows", after: 32, standpoint: "other", of: "ada", shot_size: half),"#,
                )
            },
            40.0,
            5.0,
        ),
        (Rule::SamePlace, |x| second(format!("({x}, 5)"), ""), 4.0, 1.0),
        (
            Rule::Late,
            |z| Words {
                held: r#"(moment: "vows", from: 0, to: 60)"#.into(),
                standpoints: format!(
                    r#"(id: "far", photographer: "lead", at: (3, {z}), during: [(moment: "vows", from: 70, to: 120)]),"#
                ),
                ..Words::default()
            },
            8.0,
            24.0,
        ),
        (
            Rule::ViewsLost,
            |x| Words {
                bo: "(1, 0)".into(),
                at: format!("({x}, 2.5)"),
                ..venue(r#"seats: [(id: "rows", front: (0, 5), rows: 5, seats_per_row: 8, filled: 1)]"#)
            },
            9.0,
            0.5,
        ),
        (
            Rule::KeepOutEntered,
            |x| Words {
                held: r#"(moment: "vows", from: 0, to: 60)"#.into(),
                standpoints: format!(
                    r#"(id: "far", photographer: "lead", at: (0, 14), during: [(moment: "vows", from: 90, to: 120, by: ({x}, 5.5))]),"#
                ),
                ..venue(
                    r#"keep_outs: [(id: "chancel", outline: [(3, 4), (6, 4), (6, 7), (3, 7)], why: "The verger asked.")]"#,
                )
            },
            1.0,
            4.0,
        ),
        (
            Rule::EscapeRoute,
            |z| Words {
                at: format!("(0, {z})"),
                ..venue(r#"escape_routes: [(id: "to-the-door", path: [(-6, 8), (6, 8)], width: 1.2)]"#)
            },
            5.0,
            7.5,
        ),
        (
            Rule::WontGo,
            |x| Words { people: format!(r#"(id: "cy", name: "Cy Ost", at: ({x}, 5)),"#), ..Words::default() },
            1.5,
            0.1,
        ),
        (Rule::NotOnKit, |iso| frame(format!(r#"of: "ada", shot_size: half, iso: {iso:.0}"#)), 12800.0, 51200.0),
        (
            Rule::BodyFails,
            |after_s| Words {
                frames: format!(
                    r#"(id: "soon", moment: "vows", after: {after_s}, standpoint: "aisle-end", with: "wide", focal_mm: 16, of: "ada", shot_size: wide),"#
                ),
                ..Words::default()
            },
            80.0,
            35.0,
        ),
    ]
}

fn clock(minutes: f64) -> String {
    let seconds = (minutes * 60.0).round() as u32;
    format!("2027-06-12T{:02}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60)
}

fn either(any: f64, yes: &str, no: &str) -> String {
    if any > 0.5 { yes } else { no }.to_owned()
}

/// With the second photographer somewhere, and a frame of theirs.
fn second(at: String, frames: &str) -> Words {
    Words {
        standpoints: format!(r#"(id: "other", photographer: "second", at: {at}, during: ["vows"]),"#),
        frames: frames.to_owned(),
        ..Words::default()
    }
}

fn found(rule: Rule, words: Words) -> Option<Finding> {
    let plan = words.plan();
    let all = findings(&Run::new(&plan), || ());
    all.list.into_iter().find(|finding| finding.rule == rule)
}

/// How near two numbers of a plan have to be for a rule to change its mind between them.
const STEPS: u32 = 14;

#[test]
fn each_rule_speaks_from_its_threshold_on() {
    let mut told = String::new();
    let mut wrong = Vec::new();
    for (rule, plan, quiet, loud) in cases() {
        let word = rule.facts().word;
        if let Some(first) = found(rule, plan(quiet)) {
            wrong.push(format!("{word} speaks at {quiet}: {}", first.sentence));
            continue;
        }
        let Some(finding) = found(rule, plan(loud)) else {
            wrong.push(format!("{word} is quiet at {loud}"));
            continue;
        };
        told += &format!("{word}: {} · {}\n    → {}\n", finding.severity.word(), finding.sentence, finding.remedy);
        let (mut below, mut above, mut least) = (quiet, loud, finding);
        for _ in 0..STEPS {
            let middle = (below + above) / 2.0;
            match found(rule, plan(middle)) {
                Some(finding) => (above, least) = (middle, finding),
                None => below = middle,
            }
        }
        let mildest = Severity::ALL.into_iter().rev().zip(rule.facts().from).find(|(_, from)| from.is_finite());
        let expected = mildest.map(|(severity, _)| severity);
        // Where a step of pixels, or the worst end of a scale, is met at once it may begin more seriously.
        if Some(least.severity) > expected {
            wrong.push(format!("{word} begins as {:?} at {above}: {}", least.severity, least.sentence));
        }
        wrong.extend(off_threshold(rule, &least, [below, above]));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    insta::assert_snapshot!(told);
}

/// What a remedy changes in the plan, written into its text, silences the rule.
#[test]
fn mends_silence_their_rule() {
    let mut mended_rules = Vec::new();
    for (rule, words, _, loud) in cases() {
        let text = words(loud).text();
        let plan = plan_of(&text);
        let finding = findings(&Run::new(&plan), || ()).list.into_iter().find(|it| it.rule == rule).expect("it speaks");
        if finding.mends.is_empty() {
            continue;
        }
        let frame = plan.frames.iter().find(|frame| frame.id == finding.frame).expect("its frame");
        let new = plan_of(&mended(&text, &plan, frame, &finding.mends).expect("the plan's own text"));
        let left = findings(&Run::new(&new), || ()).list.into_iter().find(|it| it.rule == rule);
        assert_eq!(left.map(|it| it.sentence), None, "{:?}", finding.mends);
        mended_rules.push(rule.facts().word);
    }
    let all = "face-hidden kiss-unseen focal-missing subject-blur camera-shake face-dark face-bright";
    assert_eq!(mended_rules.join(" "), all);
}

/// The number that a rule measures is at its threshold where the rule begins to speak.
fn off_threshold(rule: Rule, finding: &Finding, between: [f64; 2]) -> Option<String> {
    // Name of the number, and how far over the threshold a pixel, a ray or a third of a stop may carry it.
    let (name, allowed) = match rule {
        Rule::OutOfFrame => ("outside_share", 0.03),
        Rule::FaceHidden => ("hidden_share", 0.03),
        Rule::FacingAway => ("facing_deg", 0.5),
        Rule::KissUnseen => ("unseen_share", 0.05),
        Rule::HandsHidden => ("hidden_share", 0.03),
        Rule::Headroom => ("missing_share", 0.003),
        Rule::NearestFocus => ("too_near_m", 0.01),
        Rule::OutOfFocus => ("circles", 0.01),
        Rule::FaceStretched => ("stretch", 0.002),
        Rule::SubjectBlur => ("circles", 0.08),
        Rule::CameraShake => ("over_rule", 0.03),
        Rule::FaceDark => ("under_stops", 0.02),
        Rule::FaceBright => ("over_stops", 0.02),
        Rule::SplitLight => ("sunlit_share", 0.9),
        Rule::NotOnKit => ("off", 0.01),
        Rule::TopLight => ("sun_elevation_deg", 0.1),
        Rule::LightGoes => ("hour_stops", 0.02),
        Rule::Clutter => ("share", 0.01),
        Rule::KeepOutSeen | Rule::CrewSeen => ("share", 0.001),
        Rule::BacksSeen => ("share", 0.01),
        Rule::Late => ("late_s", 0.02),
        Rule::ViewsLost => ("lost_guest_s", 8.0),
        _ => return None,
    };
    let threshold = rule.facts().from.into_iter().find(|from| from.is_finite()).expect("a threshold");
    let measured = finding.numbers[name];
    let word = rule.facts().word;
    let near = (threshold - 0.001..=threshold + allowed).contains(&measured);
    (!near).then(|| format!("{word} begins at {measured} between {between:?}, its threshold is {threshold}"))
}

/// The table of cases is complete: only these have no plan of their own here.
#[test]
fn each_rule_has_a_plan() {
    let cases = cases();
    let without: Vec<&str> =
        RULES.iter().filter(|facts| cases.iter().all(|case| case.0 != facts.rule)).map(|facts| facts.word).collect();
    // Nobody is there, or left: that is for variants (`findings_variants.rs`); as it is, such a plan is refused.
    assert_eq!(without, ["not-there", "given-up", "never-happens"]);
}

/// All that is found of a plan by a rule.
fn sentences(rule: Rule, words: Words) -> Vec<(Severity, String)> {
    let plan = words.plan();
    let all = findings(&Run::new(&plan), || ()).list;
    all.into_iter().filter(|it| it.rule == rule).map(|it| (it.severity, it.sentence)).collect()
}

/// A taller person two metres behind a wanted head, right behind it or beside it.
#[test]
fn a_head_grows_out_of_a_head_only_where_it_is_behind_it() {
    let behind = |x: f64| Words {
        people: format!(r#"(id: "cy", name: "Cy Ost", stature: 1.95, at: ({x}, -1)),"#),
        frame: r#"of: "ada", shot_size: half, f: 11"#.into(),
        ..Words::default()
    };
    let [(severity, sentence)] = &sentences(Rule::Merger, behind(0.0))[..] else { panic!("one head behind") };
    assert_eq!((*severity, sentence.as_str()), (Severity::Note, "the head of Cy seems to grow out of Ada’s"));
    assert_eq!(sentences(Rule::Merger, behind(0.6)), vec![], "beside it");
}

#[test]
fn a_focal_length_by_hand_two_sizes_too_wide_is_a_note() {
    let at = |mm: u32| frame(format!(r#"of: "ada", shot_size: half, focal_mm: {mm}"#));
    let [(severity, sentence)] = &sentences(Rule::FocalMissing, at(35))[..] else { panic!("told once") };
    assert!(*severity == Severity::Note && sentence.ends_with("asked is a half length"), "{sentence}");
    assert_eq!(sentences(Rule::FocalMissing, at(100)), vec![]);
}

/// Two who only wait in one place are told of it mildly.
#[test]
fn who_only_waits_beside_another_loses_nothing() {
    let plan = |from: u32| Words {
        standpoints: format!(
            r#"(id: "other", photographer: "second", at: (1, 5), during: [(moment: "vows", from: {from}, to: 100)]),"#
        ),
        ..Words::default()
    };
    // Their frame is at 30 s.
    let severity = |from: u32| sentences(Rule::SamePlace, plan(from)).first().map(|it| it.0);
    assert_eq!((severity(20), severity(40)), (Some(Severity::Risk), Some(Severity::Note)));
}
