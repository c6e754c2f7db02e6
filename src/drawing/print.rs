//! Inks in black and white, for printers and copiers: photographers are told apart by filling, hatch and dash.

use super::Ink;
use super::colours::grey;
use super::style::{Paint, opaque};
use crate::plan::PhotographerIx;

const BLACK: [u8; 4] = [0, 0, 0, 0xFF];
const WHITE: [u8; 4] = [0xFF; 4];
const DARK: [u8; 4] = [0x55, 0x55, 0x55, 0xFF];
const LIGHT: [u8; 4] = [0xDD, 0xDD, 0xDD, 0xFF];
/// Lines of hatches are turned this far for one photographer after the other.
const TURNED_DEG: [f32; 5] = [45.0, -45.0, 0.0, 90.0, 20.0];

pub fn paint(ink: Ink) -> Paint {
    let white = Paint::filled(WHITE);
    let black = Paint::filled(BLACK);
    let line = |width_pt| Paint::lined(BLACK, width_pt);
    let words = |colour| Paint::filled(colour).edged(WHITE, 2.0);
    match ink {
        Ink::Ground(_) => white,
        Ink::Floor(_) => white.edged(DARK, 0.3),
        Ink::Wall => black,
        Ink::Opening => white.edged(BLACK, 0.6),
        Ink::Platform => white.edged(BLACK, 0.8),
        Ink::Step => line(0.5),
        Ink::Seat => white.edged(DARK, 0.3),
        Ink::SeatBack => Paint::lined(DARK, 0.8),
        Ink::Aisle => Paint::lined(DARK, 0.3).dashed([3.0, 3.0]),
        Ink::Runner(_) => white.edged(DARK, 0.4).hatched(LIGHT, 2.5, 90.0),
        Ink::Fixture => Paint::filled(LIGHT).edged(BLACK, 0.6),
        Ink::Plant => white.edged(BLACK, 0.6).hatched(DARK, 3.0, 0.0),
        Ink::Crown => Paint::lined(DARK, 0.6).dashed([4.0, 2.5]),
        Ink::Overhead => Paint::lined(BLACK, 0.6).dashed([4.0, 2.5]),
        Ink::Clutter => white.edged(BLACK, 0.8),
        Ink::ClutterCross => line(0.8),
        Ink::KeepOut => line(0.7).dashed([2.0, 2.0]).hatched([0xAA, 0xAA, 0xAA, 0xFF], 8.0, 45.0),
        Ink::EscapeBand => Paint::lined(DARK, 0.3),
        Ink::EscapeRoute => line(0.9).dashed([6.0, 3.0]),
        Ink::EscapeHead => black,
        Ink::Lamp => white.edged(BLACK, 0.7),
        Ink::Cable => Paint::lined(DARK, 0.4).dashed([1.0, 2.5]),
        Ink::MarkSpot => black.edged(WHITE, 0.8),
        Ink::Cloth(own) => Paint::filled(opaque(grey(own))).edged(BLACK, 0.35),
        Ink::Veil(_) => Paint::lined(BLACK, 0.35).dashed([1.0, 1.0]),
        Ink::PersonEdge => white.edged(BLACK, 1.4),
        Ink::CrewEdge(_) => white.edged(BLACK, 2.2),
        Ink::Nose => black.edged(WHITE, 0.35),
        Ink::Guest(own) => {
            let light = grey(own).map(|part| 0xC0 + part / 4);
            Paint::filled(opaque(light)).edged(DARK, 0.3)
        }
        Ink::GuestEdge => white.edged(DARK, 0.5),
        Ink::GuestLosing => line(1.8),
        Ink::Covered(by) => line(0.6).dashed(dash(by)).hatched([0x99, 0x99, 0x99, 0xFF], 4.0, turned_deg(by)),
        Ink::StandpointField(by) => white.edged(BLACK, 1.2).hatched(DARK, 3.0, turned_deg(by)),
        Ink::StandpointFieldAway(_) => white.edged(DARK, 0.5).dashed([2.0, 2.0]),
        Ink::Standpoint(PhotographerIx(0)) => black.edged(WHITE, 0.8),
        Ink::Standpoint(_) => white.edged(BLACK, 1.4),
        Ink::StandpointAway(PhotographerIx(0)) => Paint::filled(LIGHT).edged(DARK, 0.5),
        Ink::StandpointAway(_) => white.edged(DARK, 0.5),
        Ink::CrewLabel(_) | Ink::Label => words(BLACK),
        Ink::CrewLabelAway(_) | Ink::FaintLabel => words(DARK),
        Ink::Route(by) => line(1.2).dashed(dash(by)),
        Ink::RouteHead(PhotographerIx(0)) => black,
        Ink::RouteHead(_) => white.edged(BLACK, 0.8),
        Ink::Sun => white.edged(BLACK, 1.0),
        Ink::SunRay => black.edged(BLACK, 1.0),
        Ink::Shadow => Paint::default().hatched(BLACK, 2.0, -45.0),
        Ink::Measure => black.edged(BLACK, 0.5),
        Ink::MeasureField => white.edged(BLACK, 0.5),
    }
}

fn turned_deg(by: PhotographerIx) -> f32 {
    TURNED_DEG[by.0 % TURNED_DEG.len()]
}

/// Dots for the first, dashes for the second, ever longer ones for more.
fn dash(by: PhotographerIx) -> [f32; 2] {
    [1.0 + 4.0 * (by.0 % 4) as f32, 2.4]
}
