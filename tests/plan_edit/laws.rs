//! What every edit owes to every plan.

use super::walk::{Place, Shape, walk};
use proptest::prelude::*;
use proptest::sample::Index;
use standpoint::plan::edit::{
    EditError, Named, Way, add, duplicate, free_id, move_item, rename, set, unset, way_to, written,
};
use standpoint::plan::{STARTER, read};
use std::sync::LazyLock;

/// Comments and layouts that no demo has.
const ODD: &str = "// first\r\nPlan( /* a */ a /* b */ : /* c */ 1 /* d */ , // e, (\r\n\tb: [ ], c: [\r\n\t\t\"x, ]\", /* /* ] */ */ r#\"\"[\"#\r\n\t\t// h\r\n\t\t, 'y', ], d: (1,\r\n\t\t2 // i\r\n\t),\r\n\r\n\r\n\te: (\r\n\t\tf: \"\\\"\\\\\", // j\r\n\t\t// k\r\n\t\tg: (h: (), i: [[], [1], [1, 2,]]) // l\r\n\t)\r\n\r\n\t// m\r\n) // n";

/// Every plan there is, also with other line ends and tabs.
pub static PLANS: LazyLock<Vec<String>> = LazyLock::new(|| {
    let written = [
        include_str!("../../scenes/orchard.ron"),
        include_str!("../../scenes/chapel.ron"),
        include_str!("../../scenes/loft.ron"),
        STARTER,
        include_str!("../fixtures/whole.ron"),
        include_str!("../fixtures/walking.ron"),
        include_str!("../fixtures/format-1.ron"),
        include_str!("../fixtures/format-1-feet.ron"),
        include_str!("../fixtures/format-1-moving.ron"),
        ODD,
    ];
    let tabs = STARTER.replace("    ", "\t").replace('\n', "\r\n");
    let marked = format!("\u{feff}{}", include_str!("../fixtures/whole.ron").replace('\n', "\r\n"));
    written.into_iter().map(str::to_owned).chain([tabs, marked]).collect()
});

static PLACES: LazyLock<Vec<Vec<Place>>> = LazyLock::new(|| PLANS.iter().map(|plan| walk(plan).places).collect());

/// A place in one of the plans that fits.
fn any_place(fits: fn(&Place) -> bool) -> impl Strategy<Value = (&'static str, Place)> {
    (0..PLANS.len(), any::<Index>()).prop_filter_map("no such place in this plan", move |(plan, pick)| {
        let fitting: Vec<&Place> = PLACES[plan].iter().filter(|place| fits(place)).collect();
        (!fitting.is_empty()).then(|| (PLANS[plan].as_str(), fitting[pick.index(fitting.len())].clone()))
    })
}

fn any_value() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec![
        "1",
        "-0.25",
        "\"a, (b] // c\"",
        "(x: [1, 2], y: ())",
        "grass",
        "right(1.6)",
        "[]",
        "(id: \"new\")",
    ])
}

fn comments(text: &str) -> Vec<&str> {
    walk(text).comments.into_iter().map(|span| &text[span]).collect()
}

fn outside<'t>(text: &'t str, place: &Place) -> Vec<&'t str> {
    let around = |comment: &std::ops::Range<usize>| comment.start < place.span.start || comment.end > place.span.end;
    walk(text).comments.into_iter().filter(around).map(|span| &text[span]).collect()
}

fn is_list(place: &Place) -> bool {
    matches!(place.shape, Shape::List(_))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn a_set_value_is_there_and_nothing_else_changed((text, place) in any_place(|_| true), value in any_value()) {
        prop_assert_eq!(written(text, &place.way), Some(&text[place.span.clone()]));
        let changed = set(text, &place.way, value).expect("it can be set");
        prop_assert_eq!(written(&changed, &place.way), Some(value));
        prop_assert_eq!(&changed[..place.span.start], &text[..place.span.start]);
        prop_assert_eq!(&changed[place.span.start + value.len()..], &text[place.span.end..]);
        prop_assert_eq!(comments(&changed), outside(text, &place));
    }

    #[test]
    fn setting_what_is_written_changes_nothing((text, place) in any_place(|_| true)) {
        prop_assert_eq!(set(text, &place.way, &text[place.span.clone()]), Ok(text.to_owned()));
    }

    #[test]
    fn a_new_field_comes_and_goes(
        (text, place) in any_place(|place| place.shape == Shape::Record), value in any_value()
    ) {
        let way = place.way.field("something_new");
        let changed = set(text, &way, value).expect("it can be set");
        prop_assert_eq!(written(&changed, &way), Some(value));
        prop_assert_eq!(comments(&changed), comments(text));
        prop_assert_eq!(unset(&changed, &way), Ok(text.to_owned()));
    }

    #[test]
    fn a_new_item_comes_and_goes(
        (text, place) in any_place(is_list), pick in any::<Index>(), last in any::<bool>(), item in any_value()
    ) {
        let Shape::List(length) = place.shape else { unreachable!() };
        let number = if last { length } else { pick.index(length + 1) };
        let changed = add(text, &place.way, (!last).then_some(number), item).expect("it can be added");
        let way = place.way.clone().item(number);
        prop_assert_eq!(written(&changed, &way), Some(item));
        prop_assert_eq!(comments(&changed), comments(text));
        prop_assert_eq!(walk(&changed).places.len(), walk(text).places.len() + walk(item).places.len());
        prop_assert_eq!(unset(&changed, &way), Ok(text.to_owned()));
    }

    #[test]
    fn an_item_moves_there_and_back(
        (text, place) in any_place(|place| matches!(place.shape, Shape::List(1..))), from in any::<Index>(), to in any::<Index>()
    ) {
        let Shape::List(length) = place.shape else { unreachable!() };
        let (from, to) = (from.index(length), to.index(length));
        let item = written(text, &place.way.clone().item(from));
        let changed = move_item(text, &place.way, from, to).expect("it can move");
        prop_assert_eq!(written(&changed, &place.way.clone().item(to)), item);
        let (mut before, mut after) = (comments(text), comments(&changed));
        before.sort_unstable();
        after.sort_unstable();
        prop_assert_eq!(before, after);
        prop_assert_eq!(move_item(&changed, &place.way, to, from), Ok(text.to_owned()));
    }

    #[test]
    fn what_is_taken_out_is_gone_and_the_rest_is_there((text, place) in any_place(|place| !place.way.steps.is_empty())) {
        let (outer, _) = place.way.outwards().expect("it is in something");
        let siblings = |text: &str| -> Vec<String> {
            let places = walk(text).places.into_iter();
            places.filter(|other| other.way.outwards().is_some_and(|(other, _)| other == outer)).map(|other| text[other.span].to_owned()).collect()
        };
        let changed = unset(text, &place.way).expect("it can be taken out");
        let mut left = siblings(text);
        let own = left.iter().position(|value| *value == text[place.span.clone()]).expect("it is one of them");
        let number = walk(text).places.iter().filter(|other| other.way.outwards().is_some_and(|(other, _)| other == outer))
            .position(|other| other.span == place.span).expect("it is one of them");
        prop_assert!(own <= number);
        left.remove(number);
        prop_assert_eq!(siblings(&changed), left);
        if !place.is_item {
            // Of a field nothing goes but what is on its own lines.
            let line = text[..place.span.start].rfind('\n').map_or(0, |newline| newline + 1);
            let next = text[place.span.end..].find('\n').map_or(text.len(), |newline| place.span.end + newline);
            let others = |comment: &std::ops::Range<usize>| comment.end < line || comment.start > next;
            let kept: Vec<&str> = walk(text).comments.into_iter().filter(others).map(|span| &text[span]).collect();
            let left = comments(&changed);
            let mut left = left.iter();
            prop_assert!(kept.iter().all(|comment| left.any(|other| other == comment)), "one of {kept:?} is gone");
        }
        let empty = |text: &str| text.lines().collect::<Vec<_>>().windows(2).filter(|two| two.iter().all(|line| line.trim().is_empty())).count();
        prop_assert!(empty(&changed) <= empty(text), "empty lines piled up");
    }

    #[test]
    fn any_text_is_edited_or_refused(text in any::<String>(), value in any::<String>()) {
        nothing_panics(&text, &Way::new(), &value);
        nothing_panics(&text, &Way::new().field("a"), &value);
    }

    #[test]
    fn text_of_plans_in_any_order_is_edited_or_refused(
        text in prop::collection::vec(prop::sample::select(vec![
            "(", ")", "[", "]", ",", ":", "a", "id", "\"", "\"x\"", "'", "//", "\n", "\r\n", "/*", "*/", " ", "1", "r#\"", "\"#", "é", "\\", "Some", "fixtures", "kind",
        ]), 0..40),
        cut in any::<Index>(),
    ) {
        let text = format!("(a: [(id: \"x\")], fixtures: {}", text.concat());
        for text in [text.clone(), format!("{text})"), format!("{text}])")] {
            for place in ["a", "id", "fixtures"] {
                nothing_panics(&text, &Way::new().field(place), "1");
                nothing_panics(&text, &Way::new().field("fixtures").item(cut.index(3)), "(b: 1)");
                nothing_panics(&text, &Way::new().field(place).id("x").field("id"), "1");
            }
        }
    }

    #[test]
    fn plans_with_a_hole_are_edited_or_refused(
        (text, place) in any_place(|_| true), from in any::<Index>(), length in 0_usize..200, value in any_value()
    ) {
        let mut from = from.index(text.len());
        let mut to = (from + length).min(text.len());
        while !text.is_char_boundary(from) { from -= 1; }
        while !text.is_char_boundary(to) { to += 1; }
        nothing_panics(&format!("{}{}", &text[..from], &text[to..]), &place.way, value);
    }
}

/// Whatever an edit answers, the text stays in one piece.
fn nothing_panics(text: &str, way: &Way, value: &str) {
    let _ = written(text, way);
    let edits = [
        set(text, way, value),
        set(text, &way.clone().field("b"), value),
        unset(text, way),
        unset(text, &way.clone().item(0)),
        add(text, way, None, value),
        add(text, way, Some(1), value),
        move_item(text, way, 0, 1),
        duplicate(text, way, "x", "y"),
        rename(text, Named::Fixture, "x", "y"),
        rename(text, Named::Person, "mira", "mira-2"),
    ];
    for edited in edits.into_iter().flatten() {
        let again = unset(&edited, &Way::new().field("nothing has this name"));
        assert!(!matches!(again, Err(EditError::Unpaired { .. })), "{text:?} became {edited:?}");
    }
    let free = free_id(text, Named::Mark, value);
    assert!(way_to(text, Named::Mark, &free).is_none());
}

#[test]
fn an_edited_plan_reads() {
    for text in &PLANS[..5] {
        let before = read(text).expect("it reads");
        let frame = &before.frames[0];
        let way = Way::new().field("frames").id(frame.id.as_str());
        let changed = set(text, &way.clone().field("note"), "\"the veil, (if it flies)\"").expect("it can be set");
        let changed = set(&changed, &Way::new().field("seed"), "77").expect("it can be set");
        let changed =
            duplicate(&changed, &Way::new().field("frames"), &frame.id, "one-more").expect("it can be copied");
        let after = read(&changed).unwrap_or_else(|problems| panic!("{problems}"));
        assert_eq!((after.seed, after.frames.len()), (77, before.frames.len() + 1));
        assert_eq!(after.frames[0].note, "the veil, (if it flies)");
        assert_eq!((after.frames[1].id.as_str(), after.frames[1].of.clone()), ("one-more", frame.of.clone()));
    }
}
