//! Turning and zooming a camera so that people lie well in its frame.
//!
//! Works on the plane one metre in front of the camera, where a point's place is the tangent of its angle off the axis.

use super::Camera;
use super::framing::{Framing, HAIR, cuts_a_joint};
use crate::plan::ShotSize;
use crate::staging::Figure;
use glam::Vec3;

/// Empty share of the frame's width at either side of the people it holds.
const SIDE_MARGIN: f64 = 0.05;
/// Share of the frame's width that someone alone, seen from the side, gets more in front than behind.
const LOOKING_ROOM: f64 = 0.10;
/// Points nearer than this along the axis count as behind the camera.
const NEAREST_DEPTH_M: f64 = 0.05;

/// What is to be held, from where, on which sensor.
pub(super) struct View<'a> {
    pub eye: Vec3,
    pub sensor_m: [f64; 2],
    pub shot: &'a Framing,
    pub figures: Vec<&'a Figure>,
}

/// What must be inside, on the plane one metre in front of the camera: x right, y up, from the axis.
#[derive(Debug, Clone, Copy)]
struct Extent {
    left: f64,
    right: f64,
    bottom: f64,
    top: f64,
    eyes: f64,
}

impl View<'_> {
    /// Focal length that holds everyone as the shot size wants, about `axis` if that is given; `None` with nobody to
    /// hold.
    pub(super) fn focal_that_holds(&self, axis: Option<Vec3>) -> Option<f64> {
        if let Some(axis) = axis {
            let extent = self.extent(axis)?;
            let width = 2.0 * extent.right.max(-extent.left) / (1.0 - 2.0 * SIDE_MARGIN);
            // About a fixed axis the larger half decides, with ordinary headroom; but never tighter than the shot size.
            let to_edge = 0.5 - self.shot.above.min(0.08);
            let height = (extent.top.max(-extent.bottom) / to_edge).max(self.frame_for(extent).1);
            return Some(self.focal_for(width, height));
        }
        let mut forward = self.first_direction()?;
        let mut focal_m = None;
        for _ in 0..24 {
            let extent = self.extent(forward)?;
            let size = self.frame_for(extent);
            focal_m = Some(self.sensor_m[0] / size.0);
            forward = self.turned_to(forward, self.centre(extent, size));
        }
        focal_m
    }

    /// Where to look with a given focal length so that everyone lies well in the frame.
    pub(super) fn direction_at(&self, focal_m: f64) -> Vec3 {
        let size = (self.sensor_m[0] / focal_m, self.sensor_m[1] / focal_m);
        let Some(mut forward) = self.first_direction() else { return Vec3::NEG_Z };
        for _ in 0..24 {
            let Some(extent) = self.extent(forward) else { break };
            forward = self.turned_to(forward, self.centre(extent, size));
        }
        let Some(extent) = self.extent(forward) else { return forward };
        let shift = self.clear_of_joints(forward, extent, size);
        self.turned_to(forward, (0.0, shift))
    }

    /// Depth along the first direction and stature of whoever stands nearest.
    pub(super) fn nearest_person(&self) -> Option<(f64, f64)> {
        let forward = self.first_direction()?;
        self.figures
            .iter()
            .map(|figure| {
                (f64::from((figure.eyes - self.eye).dot(forward)).max(NEAREST_DEPTH_M), f64::from(figure.stature_m))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))
    }

    /// Towards the middle of everyone's heads and lower lines.
    fn first_direction(&self) -> Option<Vec3> {
        if self.figures.is_empty() {
            return None;
        }
        let sum: Vec3 = self
            .figures
            .iter()
            .map(|figure| (figure.crown.midpoint(lower_line(figure, self.shot)) - self.eye).normalize_or_zero())
            .sum();
        Some(sum.normalize_or(Vec3::NEG_Z))
    }

    fn extent(&self, forward: Vec3) -> Option<Extent> {
        let (right, up) = across_and_up(forward);
        let mut extent = Extent {
            left: f64::INFINITY,
            right: f64::NEG_INFINITY,
            bottom: f64::INFINITY,
            top: f64::NEG_INFINITY,
            eyes: 0.0,
        };
        let mut seen = 0.0;
        for figure in &self.figures {
            let half_width = right * (figure.half_width_m * self.shot.breadth as f32);
            let low = lower_line(figure, self.shot);
            let top = hair_top(figure);
            for point in [top, low, figure.shoulder + half_width, figure.shoulder - half_width] {
                let Some((x, y)) = self.on_plane(forward, right, up, point) else { continue };
                extent.left = extent.left.min(x);
                extent.right = extent.right.max(x);
                if point == top || point == low {
                    extent.bottom = extent.bottom.min(y);
                    extent.top = extent.top.max(y);
                }
            }
            if let Some((_, y)) = self.on_plane(forward, right, up, figure.eyes) {
                extent.eyes += y;
                seen += 1.0;
            }
        }
        extent.eyes /= f64::max(seen, 1.0);
        (seen > 0.0 && extent.right > extent.left && extent.top > extent.bottom).then_some(extent)
    }

    fn on_plane(&self, forward: Vec3, right: Vec3, up: Vec3, point: Vec3) -> Option<(f64, f64)> {
        let from_eye = point - self.eye;
        let depth = f64::from(from_eye.dot(forward));
        (depth > NEAREST_DEPTH_M).then(|| (f64::from(from_eye.dot(right)) / depth, f64::from(from_eye.dot(up)) / depth))
    }

    /// Smallest frame, width and height on the plane, in the sensor's shape, that holds `extent` with its room.
    fn frame_for(&self, extent: Extent) -> (f64, f64) {
        let height = (extent.top - extent.bottom) / (1.0 - self.shot.above - self.shot.below);
        let width = (extent.right - extent.left) / (1.0 - 2.0 * SIDE_MARGIN);
        let height = height.max(width * self.sensor_m[1] / self.sensor_m[0]).clamp(1e-4, 1e3);
        (height * self.sensor_m[0] / self.sensor_m[1], height)
    }

    fn focal_for(&self, width: f64, height: f64) -> f64 {
        (self.sensor_m[0] / width.max(1e-4)).min(self.sensor_m[1] / height.max(1e-4))
    }

    /// Where on the plane the centre of a frame of `size` belongs.
    fn centre(&self, extent: Extent, (width, height): (f64, f64)) -> (f64, f64) {
        let Framing { size, above, below, .. } = *self.shot;
        let needed = (extent.top - extent.bottom) / (1.0 - above - below);
        let top = if size == ShotSize::Wide {
            // Slack is shared out as the room above and below is.
            extent.top + above / (above + below) * (height - (extent.top - extent.bottom))
        } else if height <= needed * 1.001 {
            extent.top + above * height
        } else {
            // Eyes on the upper third, but no less headroom than usual and nothing wanted cut off below.
            let upper_third = extent.eyes + height / 3.0;
            upper_third.clamp(extent.top + above * height, extent.bottom - below * height + height)
        };
        let looking = match self.figures[..] {
            [figure] if size != ShotSize::Wide && width > (extent.right - extent.left) * 1.3 => {
                let (right, _) = across_and_up((figure.eyes - self.eye).normalize_or(Vec3::NEG_Z));
                f64::from(figure.face_forward.dot(right)) * LOOKING_ROOM * width / 2.0
            }
            _ => 0.0,
        };
        ((extent.left + extent.right) / 2.0 + looking, top - height / 2.0)
    }

    /// How far up or down on the plane to move a frame so that its lower edge cuts nobody at a joint: the least move
    /// of at most a tenth of the frame that keeps headroom; 0 if none does.
    fn clear_of_joints(&self, forward: Vec3, extent: Extent, (_, height): (f64, f64)) -> f64 {
        if self.shot.size == ShotSize::Wide {
            return 0.0;
        }
        let (right, up) = across_and_up(forward);
        let cut = |shift: f64| {
            let edge = shift - height / 2.0;
            self.figures
                .iter()
                .filter(|figure| {
                    share_at_edge(figure, |p| self.on_plane(forward, right, up, p), edge).is_some_and(cuts_a_joint)
                })
                .count()
        };
        let steps = (0..=20).flat_map(|step| [1.0, -1.0].map(|sign| sign * f64::from(step) * 0.005 * height));
        let least_headroom = self.shot.above.min(0.02) * height;
        let kept = |shift: &f64| shift + height / 2.0 - extent.top >= least_headroom;
        let already = cut(0.0);
        if already == 0 {
            return 0.0;
        }
        steps.filter(kept).find(|&shift| cut(shift) == 0).unwrap_or(0.0)
    }

    /// `forward` turned to look at a point of its plane.
    fn turned_to(&self, forward: Vec3, (x, y): (f64, f64)) -> Vec3 {
        let (right, up) = across_and_up(forward);
        (forward + right * x as f32 + up * y as f32).normalize_or(forward)
    }
}

/// The lowest point of someone that the shot size wants inside. Measured down the trunk from the shoulders, so that
/// it holds for people who sit, kneel or bow; full lengths go to the soles.
fn lower_line(figure: &Figure, shot: &Framing) -> Vec3 {
    const SHOULDER: f64 = 0.818;
    match shot.size {
        ShotSize::Wide | ShotSize::Full => figure.sole,
        ShotSize::ThreeQuarter => figure.mid_thigh,
        _ => {
            let down = (figure.hip - figure.shoulder).normalize_or(Vec3::NEG_Y);
            figure.shoulder + down * ((SHOULDER - shot.lower_line) as f32 * figure.stature_m)
        }
    }
}

/// Where headroom begins.
fn hair_top(figure: &Figure) -> Vec3 {
    figure.crown + (figure.crown - figure.chin).normalize_or(Vec3::Y) * (HAIR as f32 * figure.stature_m)
}

/// Share of stature at which a frame edge at height `edge` on the plane meets someone standing; `None` if it misses
/// them, or if they don't stand (a seated person's knees are nowhere near the edge that a standing one's would be).
fn share_at_edge(figure: &Figure, on_plane: impl Fn(Vec3) -> Option<(f64, f64)>, edge: f64) -> Option<f64> {
    let standing = figure.hip.y - figure.sole.y > 0.45 * figure.stature_m;
    if !standing {
        return None;
    }
    let (_, crown) = on_plane(figure.crown)?;
    let (_, sole) = on_plane(figure.sole)?;
    let share = (edge - sole) / (crown - sole);
    (-0.05..=1.0).contains(&share).then_some(share)
}

/// Right and up of a level camera that looks along `forward`.
fn across_and_up(forward: Vec3) -> (Vec3, Vec3) {
    let turned = Camera::look_at(Vec3::ZERO, forward);
    (turned * Vec3::X, turned * Vec3::Y)
}
