//! What lies under a spot.

use super::{Drawing, Form, Shape, Subject};
use glam::Vec2;

/// Whom or what the topmost shape shows that holds a spot of the floor; later layers lie on earlier ones. Areas hold what is in
/// them and within `slack_m` of their edge, lines and dots what is within `slack_m` of them. Words are never hit.
pub fn hit(layers: &[&Drawing], spot: Vec2, slack_m: f32) -> Option<Subject> {
    let shapes = layers.iter().flat_map(|layer| &layer.shapes).rev();
    shapes.filter(|shape| shape.of.is_some()).find(|shape| holds(shape, spot, slack_m)).and_then(|shape| shape.of)
}

fn holds(shape: &Shape, spot: Vec2, slack_m: f32) -> bool {
    match &shape.form {
        Form::Area(rings) => {
            let inside = rings.iter().filter(|ring| crossings(ring, spot) % 2 == 1).count() % 2 == 1;
            inside || rings.iter().any(|ring| is_near(ring, true, spot, slack_m))
        }
        Form::Line { points, closed } => is_near(points, *closed, spot, slack_m),
        Form::Dot { at, .. } => at.distance(spot) <= slack_m,
        Form::Text { .. } => false,
    }
}

/// Sides that a ray from a spot along x crosses.
fn crossings(ring: &[Vec2], spot: Vec2) -> usize {
    let crossed = |(a, b): (Vec2, Vec2)| {
        (a.y > spot.y) != (b.y > spot.y) && spot.x < a.x + (spot.y - a.y) / (b.y - a.y) * (b.x - a.x)
    };
    sides(ring, true).filter(|side| crossed(*side)).count()
}

fn is_near(points: &[Vec2], closed: bool, spot: Vec2, slack_m: f32) -> bool {
    let off_m = |(a, b): (Vec2, Vec2)| {
        let way = b - a;
        let share = ((spot - a).dot(way) / way.length_squared().max(1e-12)).clamp(0.0, 1.0);
        spot.distance(a + way * share)
    };
    slack_m > 0.0 && sides(points, closed).any(|side| off_m(side) <= slack_m)
}

fn sides(points: &[Vec2], closed: bool) -> impl Iterator<Item = (Vec2, Vec2)> + '_ {
    let count = if closed { points.len() } else { points.len().saturating_sub(1) };
    points.iter().copied().zip(points.iter().copied().cycle().skip(1)).take(count)
}
