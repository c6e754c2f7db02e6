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

pub fn paint(painter: &Painter, drawing: &Drawing, lie: &Lie, style: Style) {
    for shape in &drawing.shapes {
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
                    fill_area(painter, &rings, fill);
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
                    Align::Left => Align2::LEFT_CENTER,
                    Align::Centre => Align2::CENTER_CENTER,
                    Align::Right => Align2::RIGHT_CENTER,
                };
                let ink = if fill == Color32::TRANSPARENT { stroke.color } else { fill };
                let at = lie.at(*at) + egui::vec2(0.0, *below_pt);
                if !lie.area.expand(200.0).contains(at) {
                    continue;
                }
                // A rim behind the words keeps them legible over lines.
                if fill != Color32::TRANSPARENT && stroke.width > 0.0 {
                    for (right, down) in [(-1.0, 0.0), (1.0, 0.0), (0.0, -1.0), (0.0, 1.0)] {
                        let rim = at + egui::vec2(right, down) * stroke.width * 0.5;
                        painter.text(rim, anchor, text, FontId::proportional(*size_pt), stroke.color);
                    }
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

/// Fills rings by the even-odd rule.
fn fill_area(painter: &Painter, rings: &[Vec<Pos2>], fill: Color32) {
    if let [ring] = rings
        && is_convex(ring)
    {
        painter.add(Shape::convex_polygon(ring.clone(), fill, Stroke::NONE));
        return;
    }
    let mut mesh = Mesh::default();
    let mut cut = earcut::Earcut::new();
    for (outer, holes) in nested(rings) {
        let mut corners: Vec<[f32; 2]> = rings[outer].iter().map(|at| [at.x, at.y]).collect();
        let mut starts = Vec::new();
        for hole in holes {
            starts.push(corners.len() as u32);
            corners.extend(rings[hole].iter().map(|at| [at.x, at.y]));
        }
        let mut triangles: Vec<u32> = Vec::new();
        cut.earcut(corners.iter().copied(), &starts, &mut triangles);
        let first = mesh.vertices.len() as u32;
        mesh.vertices.extend(corners.iter().map(|[x, y]| Vertex { pos: pos2(*x, *y), uv: WHITE_UV, color: fill }));
        mesh.indices.extend(triangles.iter().map(|corner| first + corner));
    }
    painter.add(Shape::mesh(mesh));
}

/// Outer rings, each with those directly inside it that are holes.
fn nested(rings: &[Vec<Pos2>]) -> Vec<(usize, Vec<usize>)> {
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

fn holds(ring: &[Pos2], at: Option<&Pos2>) -> bool {
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

    fn ring(corners: &[(f32, f32)]) -> Vec<Pos2> {
        corners.iter().map(|(x, y)| pos2(*x, *y)).collect()
    }

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
        let square = |half: f32| ring(&[(-half, -half), (half, -half), (half, half), (-half, half)]);
        assert_eq!(nested(&[square(9.0), square(6.0), square(3.0)]), [(0, vec![1]), (2, vec![])]);
        assert!(is_convex(&square(2.0)));
        assert!(!is_convex(&ring(&[(0.0, 0.0), (4.0, 0.0), (1.0, 1.0), (0.0, 4.0)])));
    }
}
