//! SVG pages of the floor plan, read back by an XML parser.

mod builders;

use builders::{lawn, person};
use glam::vec2;
use standpoint::drawing::{
    Drawing, Style, SvgPage, extent, labels, names, north, people, routes, scale_bar, standpoints, sun, svg, venue,
};
use standpoint::plan::{Mark, Plan, load};
use standpoint::staging::{Run, rehearse};
use std::path::Path;

const STYLES: [Style; 3] = [Style::Light, Style::Dark, Style::Print];

fn page(plan: &Plan, style: Style) -> SvgPage {
    let (low, high) = extent(plan);
    SvgPage { size_mm: [210.0, 297.0], margin_mm: 10.0, style, low, high, title: plan.title.clone() }
}

fn layers(plan: &Plan, at_s: f64) -> Vec<Drawing> {
    let run = Run::new(plan);
    let tableau = run.tableau(at_s);
    let (low, high) = extent(plan);
    vec![
        venue(plan),
        routes(&run, 0.0, plan.length_s()),
        standpoints(&run, at_s),
        people(plan, &tableau),
        labels(plan),
        names(plan, &tableau),
        sun(plan, at_s, low, high),
        scale_bar(plan, low, high),
        north(plan, low, high),
    ]
}

fn drawn(plan: &Plan, at_s: f64, style: Style) -> String {
    let layers = layers(plan, at_s);
    svg(&layers.iter().collect::<Vec<_>>(), &page(plan, style))
}

fn demo(name: &str) -> Plan {
    let plan = load(Path::new(&format!("scenes/{name}.ron"))).expect("a demo is a plan").plan;
    rehearse(plan).0
}

/// Every coordinate of shapes and words, in points; hatches have axes of their own.
fn coordinates(document: &roxmltree::Document) -> Vec<[f64; 2]> {
    let mut found = vec![];
    let number = |text: &str| text.parse::<f64>().expect("a number");
    for node in document.descendants().filter(|node| !node.ancestors().any(|it| it.has_tag_name("defs"))) {
        if let Some(data) = node.attribute("d") {
            for point in data.split(['M', 'L', 'Z']).filter(|point| !point.is_empty()) {
                let (x, y) = point.split_once(' ').expect("two numbers");
                found.push([number(x), number(y)]);
            }
        }
        for (x, y) in [("x", "y"), ("cx", "cy")] {
            if let (Some(x), Some(y)) = (node.attribute(x), node.attribute(y)) {
                found.push([number(x), number(y)]);
            }
        }
    }
    found
}

#[test]
fn demos_are_wellformed_and_stay_on_the_page() {
    // A4 is 210 × 297 mm, a point 25.4/72 mm.
    let page_pt = [210.0, 297.0].map(|mm| mm * 72.0 / 25.4);
    for name in ["orchard", "chapel", "loft"] {
        let plan = demo(name);
        let layers = layers(&plan, plan.length_s() * 0.4);
        for style in STYLES {
            let text = svg(&layers.iter().collect::<Vec<_>>(), &page(&plan, style));
            let document = roxmltree::Document::parse(&text).expect("XML");
            let title = document.root_element().first_element_child().expect("a title");
            assert_eq!((title.tag_name().name(), title.text()), ("title", Some(plan.title.as_str())));
            let spots = coordinates(&document);
            assert!(spots.len() > 1000, "{name}: {} spots", spots.len());
            let off = spots.iter().find(|at| (0..2).any(|i| !(-0.005..=page_pt[i] + 0.006).contains(&at[i])));
            assert_eq!(off, None, "{name}, {style:?}");
        }
    }
}

#[test]
fn references_lead_somewhere() {
    let text = drawn(&demo("loft"), 60.0, Style::Print);
    let document = roxmltree::Document::parse(&text).expect("XML");
    let ids: Vec<&str> = document.descendants().filter_map(|node| node.attribute("id")).collect();
    let used = document.descendants().flat_map(|node| ["fill", "clip-path"].map(|name| node.attribute(name)));
    let used: Vec<&str> = used.flatten().filter_map(|it| it.strip_prefix("url(#")?.strip_suffix(')')).collect();
    assert!(used.len() > 1, "{used:?}");
    assert!(used.iter().all(|id| ids.contains(id)), "{used:?} of {ids:?}");
}

#[test]
fn hostile_names_are_words_and_nothing_else() {
    let long = "Wilhelmina-".repeat(30);
    for name in ["<b>&\"'</text>", "]]>", "שלום عليكم", "\u{202E}evil", "💐👰🏽", "a\u{0}b\u{7}c\nd", long.as_str()]
    {
        let mut plan = lawn();
        plan.title = name.into();
        plan.people = vec![person("bride", 1.7, vec2(-0.4, 0.0))];
        plan.people[0].name = name.into();
        plan.marks = vec![Mark { id: name.into(), at: vec2(0.5, 0.5) }];
        let text = drawn(&plan, 0.0, Style::Light);
        let document = roxmltree::Document::parse(&text).unwrap_or_else(|error| panic!("{name:?}: {error}"));
        let known = ["svg", "title", "defs", "clipPath", "rect", "g", "path", "circle", "text", "pattern"];
        let strange = document.descendants().find(|node| node.is_element() && !known.contains(&node.tag_name().name()));
        assert!(strange.is_none(), "{name:?}: {strange:?}");
        let words: Vec<&str> =
            document.descendants().filter(|n| n.has_tag_name("text")).filter_map(|n| n.text()).collect();
        assert!(words.iter().all(|it| it.chars().count() <= 46), "{name:?}: {words:?}");
        let begins: String =
            name.chars().filter(|c| *c != '\u{202E}').take_while(|c| !c.is_control()).take(9).collect();
        assert!(words.iter().any(|it| it.starts_with(begins.replace('-', " ").trim())), "{name:?}: {words:?}");
    }
}

#[test]
fn the_same_drawing_gives_the_same_bytes() {
    let plan = demo("chapel");
    assert_eq!(drawn(&plan, 200.0, Style::Light), drawn(&plan, 200.0, Style::Light));
}

#[test]
fn odd_pages_are_pages() {
    let plan = lawn();
    let drawing = venue(&plan);
    for (size_mm, margin_mm) in [([0.0, 0.0], 0.0), ([100.0, 50.0], 400.0), ([f32::NAN, 80.0], f32::INFINITY)] {
        let (low, high) = (vec2(f32::NAN, 3.0), vec2(1.0, 3.0));
        let page = SvgPage { size_mm, margin_mm, style: Style::Print, low, high, title: String::new() };
        let text = svg(&[&drawing], &page);
        assert!(roxmltree::Document::parse(&text).is_ok() && !text.contains("NaN") && !text.contains("inf"), "{text}");
    }
}
