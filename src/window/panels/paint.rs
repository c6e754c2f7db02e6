//! A drawing of the floor, painted.

use crate::drawing::{Align, Drawing, Form, Style};
use egui::epaint::{Mesh, PathShape, PathStroke, Vertex, WHITE_UV};
use egui::{Align2, Color32, FontId, Painter, Pos2, Rect, Shape, Stroke, pos2};
use glam::Vec2;

/// How the floor lies on the screen.
#[derive(Debug, Clone, Copy)]
pub struct Lie {
    pub area: Rect,
    /// Floor spot in the middle of the area.
    pub centre: Vec2,
    pub pt_per_m: f32,
}

impl Lie {
    pub fn at(&self, spot: Vec2) -> Pos2 {
        let off = (spot - self.centre) * self.pt_per_m;
        self.area.center() + egui::vec2(off.x, off.y)
    }

    pub fn spot(&self, at: Pos2) -> Vec2 {
        let off = at - self.area.center();
        self.centre + Vec2::new(off.x, off.y) / self.pt_per_m
    }
}

/// A drawing with its areas cut into triangles once, since that takes longer than painting them.
#[derive(Debug, Clone, Default)]
pub struct Layer {
    pub drawing: Drawing,
    /// Of each shape: corners on the floor, and three of them a triangle. Empty where there is nothing to fill.
    cut: Vec<(Vec<Vec2>, Vec<u32>)>,
}

impl From<Drawing> for Layer {
    fn from(drawing: Drawing) -> Self {
        let cut = drawing.shapes.iter().map(|shape| match &shape.form {
            Form::Area(rings) => triangles(rings),
            _ => (vec![], vec![]),
        });
        Self { cut: cut.collect(), drawing }
    }
}

impl Layer {
    /// One over the other.
    pub fn of<'l>(layers: impl Iterator<Item = &'l Layer>) -> Self {
        let mut all = Self::default();
        for layer in layers {
            all.drawing.shapes.extend(layer.drawing.shapes.iter().cloned());
            all.cut.extend(layer.cut.iter().cloned());
        }
        all
    }
}

pub fn paint(painter: &Painter, layer: &Layer, lie: &Lie, style: Style) {
    for (shape, cut) in layer.drawing.shapes.iter().zip(&layer.cut) {
        let paint = style.paint(shape.ink);
        let fill = paint.fill.map_or(Color32::TRANSPARENT, colour);
        let stroke = paint.stroke.map_or(Stroke::NONE, |it| Stroke::new(it.width_pt, colour(it.colour)));
        let dash = paint.stroke.and_then(|it| it.dash_pt);
        match &shape.form {
            Form::Area(outlines) => {
                let rings: Vec<Vec<Pos2>> =
                    outlines.iter().map(|ring| ring.iter().map(|spot| lie.at(*spot)).collect()).collect();
                if !rings.iter().flatten().any(|at| lie.area.expand(4000.0).contains(*at)) {
                    continue;
                }
                if fill != Color32::TRANSPARENT {
                    fill_area(painter, &rings, cut, lie, fill);
                }
                if let Some(hatch) = paint.hatch {
                    hatched(painter, &rings, colour(hatch.colour), hatch.width_pt, hatch.every_pt);
                }
                for ring in rings {
                    line(painter, ring, true, stroke, dash);
                }
            }
            Form::Line { points, closed } => {
                line(painter, points.iter().map(|spot| lie.at(*spot)).collect(), *closed, stroke, dash);
            }
            Form::Dot { at, radius_pt } => {
                painter.circle(lie.at(*at), *radius_pt, fill, stroke);
            }
            Form::Text { at, text, size_pt, align, below_pt } => {
                let anchor = match align {
                    Align::Left => Align2::LEFT_BOTTOM,
                    Align::Centre => Align2::CENTER_BOTTOM,
                    Align::Right => Align2::RIGHT_BOTTOM,
                };
                let ink = if fill == Color32::TRANSPARENT { stroke.color } else { fill };
                // Below the baseline letters still have a fifth of their size.
                let at = lie.at(*at) + egui::vec2(0.0, *below_pt + 0.2 * size_pt);
                if !lie.area.expand(200.0).contains(at) {
                    continue;
                }
                painter.text(at, anchor, text, FontId::proportional(*size_pt), ink);
            }
        }
    }
}

fn colour([r, g, b, a]: [u8; 4]) -> Color32 {
    Color32::from_rgba_unmultiplied(r, g, b, a)
}

fn line(painter: &Painter, mut points: Vec<Pos2>, closed: bool, stroke: Stroke, dash: Option<[f32; 2]>) {
    if stroke.width <= 0.0 || points.len() < 2 {
        return;
    }
    match dash {
        Some([on, off]) => {
            if closed {
                points.push(points[0]);
            }
            painter.extend(Shape::dashed_line(&points, stroke, on, off));
        }
        None => {
            painter.add(PathShape { points, closed, fill: Color32::TRANSPARENT, stroke: PathStroke::from(stroke) });
        }
    }
}

/// Fills what was cut; one ring without a dent has smooth edges.
fn fill_area(
    painter: &Painter,
    rings: &[Vec<Pos2>],
    (corners, triangles): &(Vec<Vec2>, Vec<u32>),
    lie: &Lie,
    fill: Color32,
) {
    if let [ring] = rings
        && is_convex(ring)
    {
        painter.add(Shape::convex_polygon(ring.clone(), fill, Stroke::NONE));
        return;
    }
    let vertex = |spot: &Vec2| Vertex { pos: lie.at(*spot), uv: WHITE_UV, color: fill };
    let mesh = Mesh { indices: triangles.clone(), vertices: corners.iter().map(vertex).collect(), ..Mesh::default() };
    painter.add(Shape::mesh(mesh));
}

/// Rings filled by the even-odd rule, as triangles.
fn triangles(rings: &[Vec<Vec2>]) -> (Vec<Vec2>, Vec<u32>) {
    let (mut spots, mut indices): (Vec<Vec2>, Vec<u32>) = (vec![], vec![]);
    let mut cut = earcut::Earcut::new();
    for (outer, holes) in nested(rings) {
        let first = spots.len() as u32;
        spots.extend(&rings[outer]);
        let mut starts = Vec::new();
        for hole in holes {
            starts.push(spots.len() as u32 - first);
            spots.extend(&rings[hole]);
        }
        let mut corners: Vec<u32> = Vec::new();
        cut.earcut(spots[first as usize..].iter().map(|spot| [spot.x, spot.y]), &starts, &mut corners);
        indices.extend(corners.iter().map(|corner| first + corner));
    }
    (spots, indices)
}

/// Outer rings, each with those directly inside it that are holes.
fn nested(rings: &[Vec<Vec2>]) -> Vec<(usize, Vec<usize>)> {
    if rings.len() == 1 {
        return vec![(0, vec![])];
    }
    let inside = |ring: usize| -> Vec<usize> {
        (0..rings.len()).filter(|other| *other != ring && holds(&rings[*other], rings[ring].first())).collect()
    };
    let around: Vec<Vec<usize>> = (0..rings.len()).map(inside).collect();
    let is_outer = |ring: usize| around[ring].len().is_multiple_of(2) && rings[ring].len() > 2;
    let holes = |outer: usize| {
        let direct = |ring: &usize| around[*ring].contains(&outer) && around[*ring].len() == around[outer].len() + 1;
        (0..rings.len()).filter(direct).filter(|ring| rings[*ring].len() > 2).collect()
    };
    (0..rings.len()).filter(|ring| is_outer(*ring)).map(|ring| (ring, holes(ring))).collect()
}

fn holds(ring: &[Vec2], at: Option<&Vec2>) -> bool {
    let Some(at) = at else { return false };
    let ends = ring.iter().zip(ring.iter().cycle().skip(1));
    let crossings =
        ends.filter(|(a, b)| (a.y > at.y) != (b.y > at.y) && at.x < (b.x - a.x) * (at.y - a.y) / (b.y - a.y) + a.x);
    crossings.count() % 2 == 1
}

fn is_convex(ring: &[Pos2]) -> bool {
    let count = ring.len();
    let turn = |k: usize| {
        let (a, b, c) = (ring[k], ring[(k + 1) % count], ring[(k + 2) % count]);
        (b - a).x * (c - b).y - (b - a).y * (c - b).x
    };
    count >= 3 && ((0..count).all(|k| turn(k) >= -1e-3) || (0..count).all(|k| turn(k) <= 1e-3))
}

/// Lines from lower left to upper right across an area.
fn hatched(painter: &Painter, rings: &[Vec<Pos2>], ink: Color32, width_pt: f32, apart_pt: f32) {
    let all = rings.iter().flatten();
    let (low, high) =
        all.fold((f32::INFINITY, f32::NEG_INFINITY), |(low, high), at| (low.min(at.x + at.y), high.max(at.x + at.y)));
    if !low.is_finite() || high - low > 20_000.0 {
        return;
    }
    let mut sum = (low / apart_pt).ceil() * apart_pt;
    while sum < high {
        // Where the line x + y = sum crosses the rings, by x.
        let mut crossings: Vec<f32> = rings
            .iter()
            .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)))
            .filter_map(|(a, b)| {
                let (from, to) = (a.x + a.y - sum, b.x + b.y - sum);
                ((from > 0.0) != (to > 0.0)).then(|| a.x + (b.x - a.x) * from / (from - to))
            })
            .collect();
        crossings.sort_by(f32::total_cmp);
        for pair in crossings.chunks_exact(2) {
            let ends = [pos2(pair[0], sum - pair[0]), pos2(pair[1], sum - pair[1])];
            painter.line_segment(ends, Stroke::new(width_pt, ink));
        }
        sum += apart_pt;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spot_lands_where_it_was_taken_from() {
        let area = Rect::from_min_max(pos2(100.0, 50.0), pos2(900.0, 650.0));
        let lie = Lie { area, centre: Vec2::new(2.0, -3.0), pt_per_m: 40.0 };
        assert_eq!(lie.at(Vec2::new(2.0, -3.0)), area.center());
        assert_eq!(lie.at(Vec2::new(3.0, -3.0)), area.center() + egui::vec2(40.0, 0.0));
        let spot = Vec2::new(-4.2, 7.7);
        assert!(lie.spot(lie.at(spot)).distance(spot) < 1e-4);
    }

    #[test]
    fn a_hole_belongs_to_the_ring_round_it_and_an_island_in_it_is_a_ring_again() {
        let square = |half: f32| [(-half, -half), (half, -half), (half, half), (-half, half)].map(Vec2::from).to_vec();
        let rings = [square(9.0), square(6.0), square(3.0)];
        assert_eq!(nested(&rings), [(0, vec![1]), (2, vec![])]);
        // 18² − 12² + 6², whichever way it is cut.
        let (spots, indices) = triangles(&rings);
        let area = |three: &[u32]| {
            let [a, b, c] = [0, 1, 2].map(|k| spots[three[k] as usize]);
            (b - a).perp_dot(c - a).abs() / 2.0
        };
        assert!((indices.chunks(3).map(area).sum::<f32>() - 216.0).abs() < 1e-3);
        let screen = |corners: &[(f32, f32)]| corners.iter().map(|(x, y)| pos2(*x, *y)).collect::<Vec<_>>();
        assert!(is_convex(&screen(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)])));
        assert!(!is_convex(&screen(&[(0.0, 0.0), (4.0, 0.0), (1.0, 1.0), (0.0, 4.0)])));
    }
}
