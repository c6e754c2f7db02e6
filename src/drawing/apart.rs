//! Words of several layers, moved so that they don't cover each other. Each layer places its own words as if it were alone.

use super::board::{GAP_PT, shared, words_box};
use super::{Drawing, Form, Ink, Shape, Subject};
use glam::Vec2;

/// Words go at most this many of their own heights up or down, and a little more than their width aside.
const LINES: [f32; 9] = [0.0, 1.15, -1.15, 2.3, -2.3, 3.45, -3.45, 4.6, -4.6];
const ASIDE: [f32; 5] = [0.0, 0.55, -0.55, 1.1, -1.1];
/// What covering a symbol costs beside covering words. *Judged by eye.*
const SYMBOL: f32 = 0.3;
/// What going a point away costs, square points: words stay beside what they are about. *Judged by eye.*
const AWAY: f32 = 0.35;
/// Faint words that would be covered by more than this share of their area are left out: what they are about is drawn anyway.
const HIDDEN: f32 = 0.05;

/// The same layers with their words placed anew for a scale in points to a metre: photographers' first, then people's names,
/// then what is faint, each as near as can be to where it was. Faint words for which there is no room are left out. Whatever
/// isn't words stays as it is.
pub fn apart(layers: &[&Drawing], pt_per_m: f32) -> Vec<Drawing> {
    let mut moved: Vec<Drawing> = layers.iter().map(|layer| (*layer).clone()).collect();
    if !(pt_per_m.is_finite() && pt_per_m > 0.0) {
        return moved;
    }
    let symbols: Vec<[Vec2; 2]> =
        layers.iter().flat_map(|layer| &layer.shapes).filter_map(|shape| symbol_box(shape, pt_per_m)).collect();
    let mut order: Vec<(usize, usize)> = Vec::new();
    for (layer, drawing) in layers.iter().enumerate() {
        let words = drawing.shapes.iter().enumerate().filter(|(_, shape)| matches!(shape.form, Form::Text { .. }));
        order.extend(words.map(|(shape, _)| (layer, shape)));
    }
    // Stable: equals stay in the order they are drawn in.
    order.sort_by_key(|(layer, shape)| rank(&layers[*layer].shapes[*shape]));
    let mut taken: Vec<[Vec2; 2]> = Vec::with_capacity(order.len());
    let mut left_out: Vec<(usize, usize)> = Vec::new();
    for (layer, shape) in order {
        let shape_of = &mut moved[layer].shapes[shape];
        let Some(home) = words_box(&shape_of.form, pt_per_m) else { continue };
        let (off, covers) = best(home, &taken, &symbols);
        let size = home[1] - home[0];
        if is_faint(shape_of) && covers > HIDDEN * size.x * size.y {
            left_out.push((layer, shape));
            continue;
        }
        taken.push([home[0] + off, home[1] + off]);
        if let Form::Text { at, below_pt, .. } = &mut shape_of.form {
            at.x += off.x / pt_per_m;
            *below_pt += off.y;
        }
    }
    for (layer, drawing) in moved.iter_mut().enumerate() {
        let mut at = 0..;
        drawing.shapes.retain(|_| at.next().is_none_or(|shape| !left_out.contains(&(layer, shape))));
    }
    moved
}

/// Where a box of words goes, and how much of other words it covers there, square points.
fn best(home: [Vec2; 2], taken: &[[Vec2; 2]], symbols: &[[Vec2; 2]]) -> (Vec2, f32) {
    let size = home[1] - home[0];
    let grown = |area: [Vec2; 2]| [area[0] - GAP_PT * 0.25, area[1] + GAP_PT * 0.25];
    let mut best = (f32::INFINITY, Vec2::ZERO, 0.0);
    for off in LINES.iter().flat_map(|y| ASIDE.map(|x| Vec2::new(x, *y) * size)) {
        let area = grown([home[0] + off, home[1] + off]);
        let covers: f32 = taken.iter().map(|other| shared(area, *other)).sum();
        let on_symbols: f32 = symbols.iter().map(|other| shared(area, *other)).sum();
        let cost = covers + SYMBOL * on_symbols + AWAY * off.length();
        if cost < best.0 {
            best = (cost, off, covers);
        }
    }
    (best.1, best.2)
}

/// Heads, soles and dots, which words should leave free.
fn symbol_box(shape: &Shape, pt_per_m: f32) -> Option<[Vec2; 2]> {
    match (&shape.form, shape.ink) {
        (Form::Area(rings), Ink::Standpoint(_) | Ink::Nose) => {
            let spots = rings.iter().flatten().filter(|spot| spot.is_finite()).map(|spot| (*spot, *spot));
            let (low, high) = spots.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
            Some([low * pt_per_m, high * pt_per_m])
        }
        (Form::Dot { at, radius_pt }, Ink::MarkSpot | Ink::Sun) if at.is_finite() => {
            let at = *at * pt_per_m;
            Some([at - *radius_pt, at + *radius_pt])
        }
        _ => None,
    }
}

/// Who is placed first: words about no one and nothing belong to the scale, the sun and north, and stay there.
fn rank(shape: &Shape) -> u8 {
    match shape.ink {
        Ink::Label if shape.of.is_none() => 0,
        Ink::CrewLabel(_) => 1,
        Ink::Label => 2,
        _ if !is_faint(shape) => 3,
        _ => 4,
    }
}

/// What can be done without: why somewhere is kept free can't.
fn is_faint(shape: &Shape) -> bool {
    shape.ink == Ink::FaintLabel && !matches!(shape.of, Some(Subject::KeepOut(_)))
}
