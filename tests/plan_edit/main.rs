//! Edits of a plan's text: worked by hand, and laws that hold on every plan.

mod laws;
mod names;
mod values;
mod walk;

use standpoint::plan::edit::{EditError, Way, add, duplicate, move_item, set, unset, written};

/// `standpoints/0/at`: a number is an item, `#id` an id, anything else a field.
fn way(path: &str) -> Way {
    path.split('/').filter(|step| !step.is_empty()).fold(Way::new(), |way, step| {
        match (step.parse::<usize>(), step.strip_prefix('#')) {
            (Ok(number), _) => way.item(number),
            (_, Some(id)) => way.id(id),
            _ => way.field(step),
        }
    })
}

#[track_caller]
fn sets(before: &str, path: &str, value: &str, after: &str) {
    assert_eq!(set(before, &way(path), value).as_deref(), Ok(after));
    assert_eq!(written(after, &way(path)), Some(value));
}

#[track_caller]
fn unsets(before: &str, path: &str, after: &str) {
    assert_eq!(unset(before, &way(path)).as_deref(), Ok(after));
}

#[track_caller]
fn adds(before: &str, path: &str, at: Option<usize>, item: &str, after: &str) {
    assert_eq!(add(before, &way(path), at, item).as_deref(), Ok(after));
}

#[test]
fn a_value_is_found() {
    let text =
        "Plan(a: [(id: \"x\", at: (1, 2)), (id: r#\"y\"#, color: red, at: seat(\"l\", 1, 2))], who: \"mira\", b: , )";
    for (path, value) in [
        ("a/#x/at", Some("(1, 2)")),
        ("a/#x/at/1", Some("2")),
        ("a/1/id", Some("r#\"y\"#")),
        ("a/#y/colour", Some("red")),
        ("a/#y/at", Some("seat(\"l\", 1, 2)")),
        ("a/#y/at/0", Some("\"l\"")),
        ("who/0", Some("\"mira\"")),
        ("who/#mira", Some("\"mira\"")),
        ("b", None),
        ("c", None),
        ("a/2", None),
        ("a/#z", None),
        ("a/x", None),
        ("who/x", None),
    ] {
        assert_eq!(written(text, &way(path)), value, "{path}");
    }
    assert_eq!(written("Plan(a: 1", &way("a")), None);
    // Fixtures without an id have the one that the plan gives them.
    let text = "(venue: (fixtures: [(kind: arch), (kind: bin), (kind: arch, at: (1, 1))]))";
    assert_eq!(written(text, &way("venue/fixtures/#arch-2/at")), Some("(1, 1)"));
}

#[test]
fn a_value_is_replaced() {
    sets("(a: 1, /* a: 2 */ b: \"a: 3\") // a", "a", "4", "(a: 4, /* a: 2 */ b: \"a: 3\") // a");
    sets("(a:1,b:2)", "b", "(1, 2)", "(a:1,b:(1, 2))");
    sets("(l: [(id: \"a)\", at: (1, 2))])", "l/#a)/at/1", "3", "(l: [(id: \"a)\", at: (1, 3))])");
    sets("(l: [(id: \"a\", color: red)])", "l/#a/colour", "blue", "(l: [(id: \"a\", color: blue)])");
    sets("(a: , b: 1)", "a", "2", "(a: 2 , b: 1)");
    sets("(a: // none yet\n)", "a", "2", "(a: 2 // none yet\n)");
    sets("\u{feff}(a: 1)\r\n", "a", "2", "\u{feff}(a: 2)\r\n");
    sets("(of: \"mira\")", "of/0", "\"ilan\"", "(of: \"ilan\")");
}

#[test]
fn a_new_field_is_written_as_its_neighbours() {
    sets("(a: 1)", "b", "2", "(a: 1, b: 2)");
    sets("(a: 1,)", "b", "2", "(a: 1, b: 2,)");
    sets("(a: 1 /* one */)", "b", "2", "(a: 1, b: 2 /* one */)");
    sets("()", "b", "2", "(b: 2)");
    sets("(\n)", "b", "2", "(\n    b: 2,\n)");
    sets("Plan(\n  a: 1, // one\n)", "b", "2", "Plan(\n  a: 1, // one\n  b: 2,\n)");
    sets("Plan(\n\ta: 1 // one\n)", "b", "2", "Plan(\n\ta: 1, // one\n\tb: 2\n)");
    sets("Plan(\r\n  a: 1,\r\n)\r\n", "b", "2", "Plan(\r\n  a: 1,\r\n  b: 2,\r\n)\r\n");
    sets("(\n    a: 1, b: 2, // two\n)", "c", "3", "(\n    a: 1, b: 2, c: 3, // two\n)");
    sets("(\n    a: 1,\n    b: 2)", "c", "3", "(\n    a: 1,\n    b: 2,\n    c: 3)");
    // A moment with its cues over several lines has its fields on one.
    let (before, after) =
        ("(id: \"m\", cues: [\n    (who: \"x\"),\n])", "(id: \"m\", cues: [\n    (who: \"x\"),\n], length: 9)");
    sets(before, "length", "9", after);
}

#[test]
fn what_holds_a_new_field_is_made() {
    sets("(\n    a: 1,\n)", "venue/ground", "grass", "(\n    a: 1,\n    venue: (ground: grass),\n)");
    sets("(a: 1)", "venue/surround/kind", "trees", "(a: 1, venue: (surround: (kind: trees)))");
    let added = "(\n    a: 1,\n    marks: [\n        (id: \"m\", at: (0, 1)),\n    ],\n)";
    adds("(\n    a: 1,\n)", "marks", None, "(id: \"m\", at: (0, 1))", added);
    adds("(a: 1)", "kit/lenses", Some(0), "(id: \"85\")", "(a: 1, kit: (lenses: [(id: \"85\")]))");
    adds("(a: 1)", "of", None, "\"mira\"", "(a: 1, of: [\"mira\"])");
}

#[test]
fn a_field_goes_with_its_line() {
    unsets("(a: 1, b: 2, c: 3)", "a", "(b: 2, c: 3)");
    unsets("(a: 1, b: 2, c: 3)", "b", "(a: 1, c: 3)");
    unsets("(a: 1, b: 2, c: 3)", "c", "(a: 1, b: 2)");
    unsets("(a: 1, b: 2,)", "b", "(a: 1,)");
    unsets("(a: 1)", "a", "()");
    unsets("(\n    a: 1, // one\n    b: 2, // two\n)", "a", "(\n    b: 2, // two\n)");
    unsets("(\n    a: 1, // one\n    b: 2 // two\n)", "b", "(\n    a: 1 // one\n)");
    unsets("(\n    a: 1,\n\n    b: 2,\n\n    c: 3,\n)", "b", "(\n    a: 1,\n\n    c: 3,\n)");
    unsets("(\n    a: 1,\n\n    b: 2,\n)", "b", "(\n    a: 1,\n)");
    unsets("(\n    a: 1,\n\n    b: 2,\n)", "a", "(\n    b: 2,\n)");
    unsets("(\r\n    a: 1,\r\n    b: 2,\r\n)", "b", "(\r\n    a: 1,\r\n)");
    // What ends a shared line is about the others as well, and a heading about what follows.
    unsets("(\n    a: 1, b: 2, // both\n)", "b", "(\n    a: 1, // both\n)");
    unsets("(\n    // the a\n    a: 1,\n    b: 2,\n)", "a", "(\n    // the a\n    b: 2,\n)");
    unsets("(\n    a: 1, c: 2,\n    b: (\n        x: 1,\n    ), // end\n)", "b", "(\n    a: 1, c: 2,\n)");
    unsets("(a: 1, // one\n    b: 2)", "b", "(a: 1 // one\n    )");
    unsets("(a: 1,\n    b: 2)", "b", "(a: 1)");
    unsets("(\n    a: 1, b: 2,\n)", "a", "(\n    b: 2,\n)");
}

#[test]
fn an_item_goes_with_its_comments() {
    let list = "(l: [\n    // ---- First\n    // about a\n    (id: \"a\"), // a\n    /* about b\n    too */\n    (id: \"b\"),\n])";
    unsets(list, "l/#a", "(l: [\n    // ---- First\n    /* about b\n    too */\n    (id: \"b\"),\n])");
    unsets(list, "l/1", "(l: [\n    // ---- First\n    // about a\n    (id: \"a\"), // a\n])");
    unsets(
        "(l: [\n    // not about a\n\n    (id: \"a\"),\n    (id: \"b\"),\n])",
        "l/0",
        "(l: [\n    // not about a\n\n    (id: \"b\"),\n])",
    );
    unsets("(l: [\n    (id: \"a\"),\n])", "l/0", "(l: [])");
    unsets("(of: [\"a\", \"b\"])", "of/#b", "(of: [\"a\"])");
    unsets("(of: \"a\")", "of/#a", "(of: [])");
}

#[test]
fn an_item_is_added() {
    adds("(l: [\n  (id: \"a\"),\n])", "l", None, "(id: \"b\")", "(l: [\n  (id: \"a\"),\n  (id: \"b\"),\n])");
    adds("(l: [\n  (id: \"a\") // a\n])", "l", None, "(id: \"b\")", "(l: [\n  (id: \"a\"), // a\n  (id: \"b\")\n])");
    adds(
        "(l: [\n  // a\n  (id: \"a\"),\n])",
        "l",
        Some(0),
        "(id: \"b\")",
        "(l: [\n  (id: \"b\"),\n  // a\n  (id: \"a\"),\n])",
    );
    adds(
        "(l: [\n  // ---- A\n  (id: \"a\"),\n])",
        "l",
        Some(0),
        "(id: \"b\")",
        "(l: [\n  // ---- A\n  (id: \"b\"),\n  (id: \"a\"),\n])",
    );
    adds("(\n  l: [],\n)", "l", None, "(id: \"a\")", "(\n  l: [\n      (id: \"a\"),\n  ],\n)");
    adds("(l: [(id: \"a\")])", "l", None, "(id: \"b\")", "(l: [(id: \"a\"), (id: \"b\")])");
    adds("(of: [\"a\", \"b\"])", "of", Some(1), "\"c\"", "(of: [\"a\", \"c\", \"b\"])");
    adds("(of: \"a\")", "of", None, "\"c\"", "(of: [\"a\", \"c\"])");
    adds("(by: (1, 2))", "by", Some(0), "\"gate\"", "(by: [\"gate\", (1, 2)])");
    adds("(of: [])", "of", None, "\"c\"", "(of: [\"c\"])");
}

#[test]
fn an_item_moves_with_its_comments() {
    let before = "(l: [\n    // about a\n    (id: \"a\"), // a\n    (id: \"b\"),\n\n    (id: \"c\") // c\n])";
    let after = "(l: [\n    (id: \"b\"),\n    (id: \"c\"), // c\n\n    // about a\n    (id: \"a\") // a\n])";
    assert_eq!(move_item(before, &way("l"), 0, 2).as_deref(), Ok(after));
    assert_eq!(move_item(after, &way("l"), 2, 0).as_deref(), Ok(before));
    assert_eq!(move_item("(l: [1, 2, 3])", &way("l"), 2, 0).as_deref(), Ok("(l: [3, 1, 2])"));
}

#[test]
fn a_copy_stands_after_its_original() {
    let before =
        "(l: [\n    // about a\n    (id: \"a\", at: (1, 2), // here\n        height: 1),\n    (id: \"b\"),\n])";
    let after = "(l: [\n    // about a\n    (id: \"a\", at: (1, 2), // here\n        height: 1),\n    (id: \"a-2\", at: (1, 2), // here\n        height: 1),\n    (id: \"b\"),\n])";
    assert_eq!(duplicate(before, &way("l"), "a", "a-2").as_deref(), Ok(after));
}

#[test]
fn what_cannot_be_done_is_said() {
    let text = "(standpoints: [(id: \"aisle-end\", at: (1, 2))], title: \"x\")";
    let said = |result: Result<String, EditError>| result.map_err(|error| error.to_string()).unwrap_err();
    for (result, words) in [
        (
            set(text, &way("standpoints/#aisle-ent/at"), "1"),
            "there is no item `aisle-ent` in `standpoints`; did you mean `aisle-end`?",
        ),
        (unset(text, &way("titel")), "there is no field `titel` in the plan; did you mean `title`?"),
        (
            set(text, &way("standpoint/#x"), "1"),
            "there is no field `standpoint` in the plan; did you mean `standpoints`?",
        ),
        (set(text, &way("title/x"), "1"), "`title` is not a record: it has no fields"),
        (add(text, &way("title"), None, "1"), "`title` is not a list: it has no items"),
        (add(text, &way("standpoints"), Some(2), "1"), "there is no item 3 in `standpoints`"),
        (move_item(text, &way("standpoints"), 0, 1), "there is no item 2 in `standpoints`"),
        (set(text, &way("title"), "(1"), "`(1` is not one value as plans write it"),
        (set(text, &way("title"), "1, 2"), "`1, 2` is not one value as plans write it"),
        (set(text, &way("title"), "1 // one"), "`1 // one` is not one value as plans write it"),
        (set(text, &way("title"), ""), "`` is not one value as plans write it"),
        (set("(a: 1\n  b: (2)", &way("a"), "1"), "the brackets or quotes don't pair: see line 1, column 1"),
        (unset(text, &Way::new()), "there is no field or item to take out"),
    ] {
        assert_eq!(said(result), words);
    }
}
