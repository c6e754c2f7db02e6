//! Colours of the floor plan: words can be read, and photographers have their own hues.

use standpoint::drawing::{Ink, Style};
use standpoint::plan::PhotographerIx;

const STYLES: [Style; 3] = [Style::Light, Style::Dark, Style::Print];

/// Relative luminance by WCAG 2.1 (W3C Recommendation, 5 June 2018), with its own threshold of 0.03928.
fn luminance(colour: [u8; 4]) -> f64 {
    let linear = |part: u8| {
        let part = f64::from(part) / 255.0;
        if part <= 0.03928 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * linear(colour[0]) + 0.7152 * linear(colour[1]) + 0.0722 * linear(colour[2])
}

/// Contrast ratio by WCAG 2.1.
fn contrast(a: [u8; 4], b: [u8; 4]) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn contrast_is_the_formulas() {
    // Black on white is 21 to 1 by definition; #767676 on white is the darkest grey that is still said to miss nothing: 4.54.
    assert!((contrast([0, 0, 0, 255], [255; 4]) - 21.0).abs() < 1e-9);
    assert!((contrast([0x76, 0x76, 0x76, 255], [255; 4]) - 4.54).abs() < 0.01);
}

#[test]
fn words_can_be_read() {
    let crew = (0..6).map(PhotographerIx);
    let inks = crew.flat_map(|by| [Ink::CrewLabel(by), Ink::CrewLabelAway(by)]).chain([Ink::Label, Ink::FaintLabel]);
    for ink in inks {
        for style in STYLES {
            let fill = style.paint(ink).fill.expect("words are filled");
            let ratio = contrast(fill, style.paper());
            // Success criterion 1.4.3.
            assert!(fill[3] == 255 && ratio >= 4.5, "{style:?} {ink:?}: {ratio}");
        }
    }
}

#[test]
fn photographers_are_okabe_and_itos_orange_blue_and_green() {
    let wanted = [[0xE6, 0x9F, 0x00, 0xFF], [0x56, 0xB4, 0xE9, 0xFF], [0x00, 0x9E, 0x73, 0xFF]];
    for (i, colour) in wanted.into_iter().enumerate() {
        for style in [Style::Light, Style::Dark] {
            assert_eq!(style.paint(Ink::Standpoint(PhotographerIx(i))).fill, Some(colour));
        }
    }
}

#[test]
fn print_has_no_hues_and_tells_photographers_apart() {
    let crew = |i| {
        let by = PhotographerIx(i);
        [Ink::Covered(by), Ink::Route(by), Ink::StandpointField(by)].map(|ink| Style::Print.paint(ink))
    };
    for (lead, second) in crew(0).into_iter().zip(crew(1)) {
        assert_ne!(lead, second);
        for paint in [lead, second] {
            let colours = [paint.fill, paint.stroke.map(|it| it.colour), paint.hatch.map(|it| it.colour)];
            assert!(colours.into_iter().flatten().all(|[r, g, b, _]| r == g && g == b), "{paint:?}");
        }
    }
    let cloth = Style::Print.paint(Ink::Cloth([200, 30, 90])).fill.expect("cloth is filled");
    assert!(cloth[0] == cloth[1] && cloth[1] == cloth[2]);
}
