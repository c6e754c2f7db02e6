//! Inks in colour: on light paper and on a dark screen.

use super::Ink;
use super::colours::{VERMILION, crew, crew_dark, crew_pale, mix, surface};
use super::style::{Paint, opaque};
use crate::plan::PhotographerIx;

/// What all colours of a style are made from.
pub struct Palette {
    pub paper: [u8; 3],
    ink: [u8; 3],
    /// For words that matter less; still to be read.
    faint: [u8; 3],
    /// How far surfaces and things go towards the paper.
    surface_to_paper: f32,
    thing: [u8; 3],
    wall: [u8; 3],
    leaf: [u8; 3],
    forbidden: [u8; 3],
    exit: [u8; 3],
    words_of_crew: fn(PhotographerIx) -> [u8; 3],
    guest_to_paper: f32,
    shade: [u8; 3],
}

/// *Judged by eye*, but for what words need: 4.5 to 1 against the paper (WCAG 2.1, 1.4.3).
pub const LIGHT: Palette = Palette {
    paper: [0xFC, 0xFA, 0xF5],
    ink: [0x2B, 0x24, 0x30],
    faint: [0x66, 0x5E, 0x69],
    surface_to_paper: 0.0,
    thing: [0xD8, 0xD1, 0xC6],
    wall: [0x5D, 0x55, 0x60],
    leaf: [0xB9, 0xC9, 0x9C],
    forbidden: VERMILION,
    exit: [0x00, 0x7A, 0x59],
    words_of_crew: crew_dark,
    guest_to_paper: 0.55,
    shade: [0x2B, 0x24, 0x30],
};
pub const DARK: Palette = Palette {
    paper: [0x1E, 0x17, 0x24],
    ink: [0xF2, 0xEC, 0xE4],
    faint: [0xB0, 0xA6, 0xB4],
    surface_to_paper: 0.88,
    thing: [0x52, 0x49, 0x56],
    wall: [0xB8, 0xAE, 0xBC],
    leaf: [0x4C, 0x5F, 0x43],
    forbidden: [0xF0, 0x83, 0x3A],
    exit: [0x3F, 0xC9, 0x9F],
    words_of_crew: crew_pale,
    guest_to_paper: 0.45,
    shade: [0xD8, 0xCF, 0xDC],
};

pub fn paint(of: &Palette, ink: Ink) -> Paint {
    let Palette { paper, ink: dark, faint, thing, wall, leaf, forbidden, exit, .. } = *of;
    let tint = |colour| mix(colour, paper, of.surface_to_paper);
    let filled = |colour| Paint::filled(opaque(colour));
    let lined = |colour, width_pt| Paint::lined(opaque(colour), width_pt);
    let clear = |[r, g, b]: [u8; 3], share: f32| [r, g, b, (share * 255.0).round() as u8];
    let words = |colour| filled(colour).edged(clear(paper, 0.85), 2.0);
    match ink {
        Ink::Ground(surface_of) | Ink::Floor(surface_of) => filled(tint(surface(surface_of))),
        Ink::Wall => filled(wall).edged(opaque(wall), 0.4),
        Ink::Opening => filled(mix(thing, wall, 0.3)).edged(opaque(wall), 0.5),
        Ink::Platform => Paint::filled(clear(mix(thing, paper, 0.35), 0.8)).edged(opaque(faint), 0.7),
        Ink::Step => lined(faint, 0.5),
        Ink::Seat => filled(mix(paper, thing, 0.35)).edged(clear(faint, 0.75), 0.4),
        Ink::SeatBack => lined(faint, 0.9),
        Ink::Aisle => Paint::lined(clear(faint, 0.6), 0.4).dashed([3.0, 3.0]),
        Ink::Runner(cloth) => Paint::filled(clear(mix(cloth, paper, 0.35), 0.85)).edged(clear(faint, 0.6), 0.4),
        Ink::Fixture => filled(thing).edged(opaque(faint), 0.6),
        Ink::Plant => filled(leaf).edged(opaque(mix(leaf, dark, 0.45)), 0.6),
        Ink::Crown => Paint::filled(clear(leaf, 0.40)).edged(clear(mix(leaf, dark, 0.45), 0.8), 0.6).dashed([4.0, 2.5]),
        Ink::Overhead => Paint::filled(clear(thing, 0.25)).edged(opaque(faint), 0.7).dashed([4.0, 2.5]),
        Ink::Clutter => filled(mix(thing, forbidden, 0.30)).edged(opaque(forbidden), 0.6),
        Ink::ClutterCross => lined(mix(forbidden, dark, 0.25), 0.9),
        Ink::KeepOut => Paint::filled(clear(forbidden, 0.05))
            .edged(clear(forbidden, 0.85), 0.7)
            .dashed([2.0, 2.0])
            .hatched(clear(forbidden, 0.40), 6.0, 45.0),
        Ink::EscapeBand => Paint::filled(clear(exit, 0.10)),
        Ink::EscapeRoute => lined(exit, 0.9).dashed([6.0, 3.0]),
        Ink::EscapeHead => filled(exit),
        Ink::Lamp => Paint::filled(opaque([0xF0, 0xE4, 0x42])).edged(opaque(faint), 0.6),
        Ink::Cable => Paint::lined(clear(faint, 0.7), 0.4).dashed([1.0, 2.5]),
        Ink::MarkSpot => filled(dark).edged(opaque(paper), 0.8),
        Ink::Cloth(own) => filled(own).edged(clear(mix(own, [0; 3], 0.55), 0.9), 0.35),
        Ink::Veil(own) => Paint::filled(clear(own, 0.35)).edged(clear(mix(own, [0; 3], 0.3), 0.7), 0.35),
        Ink::PersonEdge => filled(paper).edged(clear(dark, 0.9), 1.5),
        Ink::CrewEdge(by) => filled(paper).edged(opaque(crew(by)), 2.4),
        Ink::Nose => filled([0xC9, 0x8D, 0x66]).edged(opaque([0x3A, 0x2A, 0x24]), 0.35),
        Ink::Guest(own) => {
            let muted = mix(own, paper, of.guest_to_paper);
            filled(muted).edged(clear(mix(muted, dark, 0.4), 0.8), 0.3)
        }
        Ink::GuestEdge => filled(paper).edged(clear(faint, 0.6), 0.7),
        Ink::GuestLosing => lined(forbidden, 1.8),
        Ink::Covered(by) => Paint::filled(clear(crew(by), 0.17)).edged(clear((of.words_of_crew)(by), 0.55), 0.5),
        Ink::StandpointField(by) => Paint::filled(clear(crew(by), 0.35)).edged(opaque((of.words_of_crew)(by)), 1.0),
        Ink::StandpointFieldAway(by) => {
            Paint::filled(clear(paper, 0.6)).edged(clear((of.words_of_crew)(by), 0.7), 0.6).dashed([2.0, 2.0])
        }
        Ink::Standpoint(by) => filled(crew(by)).edged(opaque((of.words_of_crew)(by)), 0.8),
        Ink::StandpointAway(by) => Paint::filled(clear(crew(by), 0.30)).edged(clear((of.words_of_crew)(by), 0.8), 0.5),
        Ink::CrewLabel(by) => words((of.words_of_crew)(by)),
        Ink::CrewLabelAway(by) => words((of.words_of_crew)(by)),
        Ink::Route(by) => lined((of.words_of_crew)(by), 1.2).dashed([1.0, 2.4]),
        Ink::RouteHead(by) => filled((of.words_of_crew)(by)),
        Ink::Sun => filled([0xF5, 0xC2, 0x30]).edged(opaque([0x8A, 0x57, 0x00]), 0.8),
        Ink::SunRay => filled([0xC7, 0x8A, 0x00]).edged(opaque([0xC7, 0x8A, 0x00]), 1.2),
        Ink::Shadow => Paint::filled(clear(of.shade, 0.28)),
        Ink::Label => words(dark),
        Ink::FaintLabel => words(faint),
        Ink::Measure => filled(dark).edged(opaque(dark), 0.5),
        Ink::MeasureField => filled(paper).edged(opaque(dark), 0.5),
    }
}
