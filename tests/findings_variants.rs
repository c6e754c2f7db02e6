//! What gets worse in a variant of a plan.

use standpoint::findings::{Finding, InVariant, Rule, Severity, findings, in_variant};
use standpoint::plan::{Failing, Plan, Sky, load, read};
use standpoint::staging::{Run, rehearse};

fn plan(variants: &str, cues: &str) -> Plan {
    read_text(&text_of(variants, cues))
}

fn read_text(text: &str) -> Plan {
    rehearse(read(text).unwrap_or_else(|problems| panic!("{:#?}", problems.list))).0
}

fn text_of(variants: &str, cues: &str) -> String {
    format!(
        r#"Plan(format: 1, place: (latitude: 38.57, longitude: -7.91), start: "2027-06-12T17:30[Europe/Lisbon]", sky: overcast,
        people: [(id: "ada", name: "Ada Lind", at: (0, 0)), (id: "bo", name: "Bo Katz", at: (6, 0)), (id: "cy", name: "Cy Ost", at: (3, 5))],
        moments: [(id: "vows", length: 60, cues: [(who: "ada", faces: (0, 5), looks: (0, 5)), (id: "waves", who: "bo", after: 10, gesture: waves), (who: "bo", after: 20, gesture: rest), {cues}])],
        kit: (bodies: [(id: "body-1"), (id: "body-2")], lenses: [(id: "long", focal_mm: (70, 200), f: 2.8, nearest_focus: 0.9), (id: "short", focal_mm: (24, 70), f: 2.8, nearest_focus: 0.4)]),
        crew: [(id: "lead", name: "Lena Moor", carries: [("body-1", "long"), ("body-2", "short")]), (id: "second", name: "Sol Ek", carries: [("body-1", "long")])],
        standpoints: [(id: "middle", photographer: "lead", at: (0, 5), during: ["vows"]), (id: "side", photographer: "second", at: (6, 5), during: ["vows"])],
        frames: [(id: "ada-half", moment: "vows", after: 30, standpoint: "middle", with: "long", of: "ada", shot_size: half),
            (id: "bo-waves", moment: "vows", when: during("bo", waves), standpoint: "side", of: "bo", shot_size: half)],
        variants: [{variants}])"#
    )
}

fn varied(plan: &Plan) -> InVariant {
    in_variant(plan, &findings(&Run::new(plan), || ()), plan.variants.first().expect("a variant"), 0)
}

fn worse(varied: &InVariant, rule: Rule) -> Vec<&Finding> {
    varied.worse.iter().map(|place| &varied.found.list[*place]).filter(|finding| finding.rule == rule).collect()
}

#[test]
fn a_late_start_moves_the_sun_and_nothing_else() {
    let plan = plan(r#"(id: "late", starts_later: "1h30m", sky: clear)"#, "");
    let late = plan.in_variant(&plan.variants[0]).plan;
    assert_eq!(late.start.to_string(), "2027-06-12T19:00:00+01:00[Europe/Lisbon]");
    assert_eq!((late.sky, late.frames.len(), late.moments[0].cues.len()), (Sky::Clear, 2, plan.moments[0].cues.len()));
}

/// The frame waits for Bo to wave, and Bo doesn't: told, and the other frame is as it was.
#[test]
fn what_is_skipped_never_happens() {
    let varied = varied(&plan(r#"(id: "shy", skips: "waves")"#, ""));
    let never = worse(&varied, Rule::NeverHappens);
    assert_eq!(never.len(), 1, "{varied:#?}");
    assert_eq!((never[0].frame.as_str(), never[0].severity), ("bo-waves", Severity::Lost));
    assert_eq!(varied.found.lost, 1);
}

/// Di comes in by a cue; where nobody follows it, nobody of the frame is there. With Ada beside her only Di is missing.
#[test]
fn whoever_does_not_come_in_is_not_there() {
    for (of, sentence) in
        [(r#""di""#, "nobody of them is there"), (r#"["ada", "di"]"#, "Di Moss isn’t there at that moment")]
    {
        let mut text = text_of(
            r#"(id: "no-di", skips: "di-comes")"#,
            r#"(id: "di-comes", who: "di", after: 2, from: (9, 9), at: (1, 0)),"#,
        );
        text = text.replace(r#"(id: "cy", name"#, r#"(id: "di", name: "Di Moss"), (id: "cy", name"#);
        text = text.replace("frames: [", &format!(r#"frames: [(id: "di-frame", moment: "vows", after: 40, standpoint: "middle", with: "long", of: {of}, shot_size: half), "#));
        let varied = varied(&read_text(&text));
        let missing = worse(&varied, Rule::NotThere);
        assert_eq!(missing.len(), 1, "{varied:#?}");
        assert_eq!((missing[0].frame.as_str(), missing[0].severity), ("di-frame", Severity::Lost));
        assert!(missing[0].sentence.contains(sentence), "{}", missing[0].sentence);
    }
}

/// Cy steps before the lens in the variant alone.
#[test]
fn a_cue_of_one_variant_is_followed_there_alone() {
    let plan = plan(
        r#"(id: "cy-steps-in", name: "Cy steps in")"#,
        r#"(who: "cy", only_in: "cy-steps-in", at: (0, 3), gesture: holds_up_phone),"#,
    );
    assert!(findings(&Run::new(&plan), || ()).list.iter().all(|it| it.rule != Rule::FaceHidden));
    let varied = varied(&plan);
    let hidden = worse(&varied, Rule::FaceHidden);
    assert_eq!(hidden.len(), 1, "{varied:#?}");
    assert!(hidden[0].sentence.starts_with("Cy covers") && hidden[0].frame == "ada-half", "{hidden:?}");
}

#[test]
fn whoever_is_ill_takes_no_pictures() {
    let varied = varied(&plan(r#"(id: "alone", without: "second")"#, ""));
    let given_up = worse(&varied, Rule::GivenUp);
    assert_eq!(given_up.len(), 1, "{varied:#?}");
    assert_eq!(given_up[0].sentence, "Sol isn’t there to take it");
}

/// The lead takes it with the short lens, which is too short for a half length from 5 m: 24 mm · 5 m over 0.45 statures of 1.7 m
/// takes 157 mm. The second, who carries nothing else, takes none.
#[test]
fn a_lens_that_fails_is_replaced_by_what_comes_nearest() {
    let plan = plan(r#"(id: "long-fails", fails: "long")"#, "");
    assert_eq!(plan.variants[0].fails, [Failing::Lens(0)]);
    let varied = varied(&plan);
    let missing = worse(&varied, Rule::FocalMissing);
    assert_eq!(missing.len(), 1, "{varied:#?}");
    assert!(
        missing[0].sentence.contains("the lens ends at 70 mm") && missing[0].remedy.contains("in nobody’s bag"),
        "{missing:?}"
    );
    let given_up = worse(&varied, Rule::GivenUp);
    assert_eq!(given_up[0].sentence, "Sol has no body and lens left to take it with");
}

/// Without the body its lens goes on the other one, and all pictures are there; a third body isn't.
#[test]
fn a_body_that_fails_costs_the_second_one_its_lens() {
    let plan = plan(r#"(id: "body-fails", fails: "body-1")"#, "");
    let varied_plan = plan.in_variant(&plan.variants[0]);
    assert_eq!(
        varied_plan.plan.frames.iter().map(|frame| (frame.with.body, frame.with.lens)).collect::<Vec<_>>(),
        [(1, 0)]
    );
    assert_eq!(varied_plan.given_up.len(), 1, "the second has one body");
    let one = worse(&varied(&plan), Rule::BodyFails).len();
    assert_eq!(one, 1);
}

/// The orchard's own variants: what each was written for is found.
#[test]
fn the_orchards_variants() {
    let path = format!("{}/scenes/orchard.ron", env!("CARGO_MANIFEST_DIR"));
    let plan = rehearse(load(path).expect("a demo").plan).0;
    let as_planned = findings(&Run::new(&plan), || ());
    let found = |id: &str| {
        let variant = plan.variants.iter().find(|it| it.id == id).unwrap_or_else(|| panic!("no variant {id}"));
        in_variant(&plan, &as_planned, variant, 0)
    };
    let ifeoma = found("officiant-stays");
    let frames: Vec<&str> = worse(&ifeoma, Rule::KeepOutSeen).iter().map(|it| it.frame.as_str()).collect();
    assert_eq!(frames, ["kiss-aisle", "kiss-altar"]);
    let alone = found("lead-alone");
    assert_eq!(
        worse(&alone, Rule::GivenUp).len(),
        plan.frames.iter().filter(|frame| plan.photographer_of(frame).0 == 1).count()
    );
    assert_eq!(worse(&alone, Rule::ListenerUncovered).len(), 1, "the second had Noor's face");
    let tablet = found("tablet");
    assert!(worse(&tablet, Rule::FaceHidden).iter().any(|it| it.frame == "kiss-aisle"), "{:?}", tablet.worse);
    assert!(worse(&found("long-lens-fails"), Rule::FocalMissing).len() >= 8);
    assert!(found("clouds").worse.is_empty());
}

/// In another venue everybody keeps their part; marks and standpoints are where the variant says, all else stays the plan's.
#[test]
fn a_venue_of_its_own_moves_what_it_says() {
    let text = text_of(
        r#"(id: "rain", name: "Rain", venue: (rooms: [(id: "barn", centre: (2, 2), size: (14, 12), height: 5)]), standpoints: [(id: "side", at: (6, 4), height: 1.2)], marks: [(id: "door", at: (3, 7))])"#,
        "",
    );
    let plan = read_text(&text.replace("moments: [", r#"marks: [(id: "door", at: (3, 9))], moments: ["#));
    let rain = plan.in_variant(&plan.variants[0]).plan;
    let standpoint = |plan: &Plan, k: usize| (plan.standpoints[k].at.to_array(), plan.standpoints[k].camera_height_m);
    assert_eq!(standpoint(&rain, 0), standpoint(&plan, 0));
    assert_eq!(standpoint(&rain, 1), ([6.0, 4.0], 1.2));
    assert_eq!((plan.marks[0].at.y, rain.marks[0].at.y), (9.0, 7.0));
    assert_eq!((plan.venue.rooms.len(), rain.venue.rooms.len()), (0, 1));
    assert_eq!((rain.frames.len(), rain.start.clone()), (plan.frames.len(), plan.start.clone()));
    // A closed barn without a lamp: nobody's face can be taken.
    let varied = varied(&plan);
    let dark: Vec<&str> = worse(&varied, Rule::FaceDark).iter().map(|finding| finding.frame.as_str()).collect();
    assert_eq!(dark, ["bo-waves", "ada-half"], "{varied:#?}");
}
