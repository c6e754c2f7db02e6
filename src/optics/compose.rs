//! A planned frame and the tableau at its instant to a camera: where it points, at which focal length, focus and exposure.
//!
//! Whom a frame is of and its shot size say what must be inside: for each person the stretch from the crown down to the
//! shot size's lower line, as broad as it needs. The camera turns until that lies well in the frame, and zooms until it fills
//! it. Lens, body and light have the last word, and a [`Remark`] says so.

use super::exposure::{Resolved, nearest_marked, resolve};
use super::framing::{Framing, cuts_a_joint, focal_for_shot, framing, shot_size_at};
use super::lens::widest_f_at;
use super::{Camera, F_NUMBERS, Remark};
use crate::plan::{Aim, Body, Frame, Lens, Orientation, PersonIx, Plan, ShotSize};
use crate::staging::{Figure, OwnerKind, Tableau};
use glam::Vec3;
use thiserror::Error;

/// Empty share of the frame's width at either side of the people it holds.
const SIDE_MARGIN: f64 = 0.05;
/// Share of the frame's width that someone alone, seen from the side, gets more in front than behind.
const LOOKING_ROOM: f64 = 0.10;
/// Stature taken where a frame is aimed at a place with nobody named.
const NOBODYS_STATURE_M: f64 = 1.70;
/// Points nearer than this along the axis count as behind the camera.
const NEAREST_DEPTH_M: f64 = 0.05;

/// A camera for a frame, and what had to give.
#[derive(Debug, Clone, PartialEq)]
pub struct Composed {
    pub camera: Camera,
    /// The exposure as drawn, with how far off the face comes out.
    pub exposure: Resolved,
    pub remarks: Vec<Remark>,
}

#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ComposeError {
    #[error("frame `{frame}` is of {}, and nobody of them is there at that moment", names.join(", "))]
    NobodyThere { frame: String, names: Vec<String> },
}

/// The camera of `frame` in `tableau`, which must be staged at the frame's instant. `face_lux` falls on the face that a metered
/// exposure is metered on.
///
/// # Errors
/// [`ComposeError::NobodyThere`] if the frame has no aim of its own and none of its people is in the tableau.
pub fn compose(plan: &Plan, frame: &Frame, tableau: &Tableau, face_lux: f64) -> Result<Composed, ComposeError> {
    let mut remarks = Vec::new();
    let body = &plan.kit.bodies[frame.with.body];
    let lens = &plan.kit.lenses[frame.with.lens];
    let sensor_m = match frame.orientation {
        Orientation::Landscape => body.sensor_m,
        Orientation::Portrait => [body.sensor_m[1], body.sensor_m[0]],
    };
    let eye = eye_of(plan, frame, tableau);
    let people = people_there(plan, frame, tableau, &mut remarks);
    let target = aimed_at(plan, frame, tableau);
    if people.is_empty() && target.is_none() {
        let names = frame.of.iter().map(|&ix| plan.people[ix.0].name.clone()).collect();
        return Err(ComposeError::NobodyThere { frame: frame.id.clone(), names });
    }

    let shot = framing(frame.shot_size);
    let view = View { eye, sensor_m, shot, figures: people.iter().map(|&(_, figure)| figure).collect() };
    let aimed_person = match frame.aim {
        Some(Aim::Person(person)) => tableau.figure_of(OwnerKind::Person(person)),
        _ => None,
    };
    // Aimed at a person, the camera frames that person; aimed at a point, it looks straight at it.
    let aimed_view = aimed_person.map(|figure| View { figures: vec![figure], ..view });
    let aim_at = |focal_m: f64| match (&aimed_view, target) {
        (Some(view), _) => Some(view.direction_at(focal_m)),
        (None, Some(target)) => Some((target - eye).normalize_or(Vec3::NEG_Z)),
        (None, None) => None,
    };
    let first_focal_m = aimed_view.as_ref().and_then(|view| view.focal_that_holds(None)).unwrap_or(lens.focal_m[0]);
    let wanted_m = view.focal_that_holds(aim_at(first_focal_m)).or(aimed_view.as_ref().map(|_| first_focal_m));
    let focal_m = focal_on_lens(frame, lens, wanted_m, &view, target, &mut remarks);
    let forward = aim_at(focal_m).unwrap_or_else(|| view.direction_at(focal_m));
    let turned = Camera::look_at(eye, eye + forward);

    let f_number = aperture_on_lens(frame.exposure.f_number, lens, focal_m, &mut remarks);
    let exposure = exposure_on_body(frame, f_number, body, face_lux, &mut remarks);
    let mut camera = Camera {
        eye,
        turned,
        sensor_m,
        focal_m,
        f_number,
        focus_m: lens.nearest_focus_m,
        shutter_s: exposure.shutter_s,
        iso: exposure.iso,
    };
    camera.focus_m = focus_of(plan, frame, tableau, &camera, &people, target, lens, &mut remarks);
    for &(person, figure) in &people {
        if !inside(&camera, figure.eyes) {
            remarks.push(Remark::OutOfFrame { name: plan.people[person.0].name.clone() });
        }
    }
    Ok(Composed { camera, exposure, remarks })
}

/// The lens's place: over the standpoint, on whatever its photographer stands on there.
fn eye_of(plan: &Plan, frame: &Frame, tableau: &Tableau) -> Vec3 {
    let standpoint = &plan.standpoints[frame.standpoint.0];
    let floor_y =
        tableau.figure_of(OwnerKind::Photographer(standpoint.photographer)).map_or(0.0, |figure| figure.sole.y);
    Vec3::new(standpoint.at.x, floor_y + standpoint.camera_height_m, standpoint.at.y)
}

fn people_there<'a>(
    plan: &Plan,
    frame: &Frame,
    tableau: &'a Tableau,
    remarks: &mut Vec<Remark>,
) -> Vec<(PersonIx, &'a Figure)> {
    let mut there = Vec::new();
    for &person in &frame.of {
        match tableau.figure_of(OwnerKind::Person(person)) {
            Some(figure) => there.push((person, figure)),
            None => remarks.push(Remark::NotThere { name: plan.people[person.0].name.clone() }),
        }
    }
    there
}

/// The point that the plan itself aims at, if it does and it is there.
fn aimed_at(plan: &Plan, frame: &Frame, tableau: &Tableau) -> Option<Vec3> {
    match frame.aim? {
        Aim::Point { at, height_m } => Some(Vec3::new(at.x, height_m, at.y)),
        Aim::Person(person) => tableau.figure_of(OwnerKind::Person(person)).map(|figure| figure.eyes),
        Aim::Fixture(fixture) => {
            let fixture = &plan.venue.fixtures[fixture.0];
            Some(Vec3::new(fixture.at.x, fixture.above_floor_m + fixture.size_m[1] / 2.0, fixture.at.y))
        }
    }
}

fn focal_on_lens(
    frame: &Frame,
    lens: &Lens,
    wanted_m: Option<f64>,
    view: &View,
    target: Option<Vec3>,
    remarks: &mut Vec<Remark>,
) -> f64 {
    let [short, long] = lens.focal_m;
    if let Some(asked_m) = frame.focal_m {
        let drawn_m = asked_m.clamp(short, long);
        if (asked_m - drawn_m).abs() > 0.000_5 {
            remarks.push(Remark::AskedFocalNotOnLens { asked_m, drawn_m, lens_m: lens.focal_m });
        }
        if let Some(would_hold_m) = wanted_m
            && would_hold_m < 0.8 * drawn_m
        {
            remarks.push(Remark::FocalTooLong { asked_m: drawn_m, would_hold_m, size: frame.shot_size });
        }
        return drawn_m;
    }
    let wanted_m = wanted_m.unwrap_or_else(|| {
        let distance_m = target.map_or(5.0, |target| f64::from(target.distance(view.eye)).max(0.3));
        focal_for_shot(frame.shot_size, NOBODYS_STATURE_M, distance_m, view.sensor_m[1])
    });
    let drawn_m = wanted_m.clamp(short, long);
    // Two per cent of focal length nobody sees.
    if (wanted_m / drawn_m).ln().abs() > 0.02 {
        let (distance_m, stature_m) = view.nearest_person().unwrap_or((5.0, NOBODYS_STATURE_M));
        remarks.push(Remark::FocalNotOnLens {
            size: frame.shot_size,
            wanted_m,
            drawn_m,
            lens_m: lens.focal_m,
            becomes: shot_size_at(drawn_m, stature_m, distance_m, view.sensor_m[1]),
            would_do_at_m: distance_m * drawn_m / wanted_m,
            distance_m,
        });
    }
    drawn_m
}

fn aperture_on_lens(asked: f64, lens: &Lens, focal_m: f64, remarks: &mut Vec<Remark>) -> f64 {
    let widest = widest_f_at(lens, focal_m);
    // A marked aperture is within a tenth of a stop of the lens's own.
    if asked >= widest * 0.965 && asked <= lens.narrowest_f * 1.035 {
        return asked;
    }
    let drawn = if asked < widest {
        let marked = nearest_marked(F_NUMBERS, widest);
        if (marked / widest - 1.0).abs() < 0.035 { marked } else { widest }
    } else {
        lens.narrowest_f
    };
    remarks.push(Remark::ApertureNotOnLens { asked, drawn, focal_m });
    drawn
}

fn exposure_on_body(frame: &Frame, f_number: f64, body: &Body, face_lux: f64, remarks: &mut Vec<Remark>) -> Resolved {
    let mut asked = crate::plan::Exposure { f_number, ..frame.exposure };
    if asked.shutter_s < body.fastest_shutter_s * 0.98 {
        remarks.push(Remark::ShutterNotOnBody { asked_s: asked.shutter_s, drawn_s: body.fastest_shutter_s });
        asked.shutter_s = body.fastest_shutter_s;
    }
    if let Some(iso) = asked.iso {
        let drawn = iso.clamp(body.iso[0], body.iso[1]);
        if drawn != iso {
            remarks.push(Remark::IsoNotOnBody { asked: iso, drawn });
            asked.iso = Some(drawn);
        }
    }
    let exposure = resolve(&asked, body, face_lux);
    // Rounding to marked thirds leaves up to a sixth of a stop.
    if asked.iso.is_none() && exposure.off_by_stops < -0.2 {
        remarks.push(Remark::TooDark { stops: -exposure.off_by_stops, iso: exposure.iso });
    } else if asked.iso.is_none() && exposure.off_by_stops > 0.2 {
        remarks.push(Remark::TooBright {
            stops: exposure.off_by_stops,
            iso: exposure.iso,
            shutter_s: exposure.shutter_s,
        });
    }
    exposure
}

#[allow(clippy::too_many_arguments)]
fn focus_of(
    plan: &Plan,
    frame: &Frame,
    tableau: &Tableau,
    camera: &Camera,
    people: &[(PersonIx, &Figure)],
    target: Option<Vec3>,
    lens: &Lens,
    remarks: &mut Vec<Remark>,
) -> f64 {
    let chosen = frame.focus_on.and_then(|person| {
        let figure = tableau.figure_of(OwnerKind::Person(person));
        if figure.is_none() && !frame.of.contains(&person) {
            remarks.push(Remark::NotThere { name: plan.people[person.0].name.clone() });
        }
        figure.map(|figure| (person, figure))
    });
    let (name, point) = match (chosen.or(people.first().copied()), target) {
        (Some((person, figure)), _) => (plan.people[person.0].name.clone(), figure.eyes),
        (None, Some(target)) => ("what the camera is aimed at".to_owned(), target),
        (None, None) => return lens.nearest_focus_m,
    };
    let distance_m = f64::from((point - camera.eye).dot(camera.forward()));
    if distance_m < lens.nearest_focus_m {
        remarks.push(Remark::NearerThanFocus { name, distance_m, nearest_m: lens.nearest_focus_m });
    }
    distance_m.max(lens.nearest_focus_m)
}

fn inside(camera: &Camera, point: Vec3) -> bool {
    let aspect = camera.sensor_m[1] / camera.sensor_m[0];
    camera.image_from_world(point, 1.0).is_some_and(|(u, v, _)| (0.0..=1.0).contains(&u) && (0.0..=aspect).contains(&v))
}

// ------------------------------------------------------------------ holding people

/// What is to be held, from where, on which sensor.
struct View<'a> {
    eye: Vec3,
    sensor_m: [f64; 2],
    shot: &'a Framing,
    figures: Vec<&'a Figure>,
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
    /// Focal length that holds everyone as the shot size wants, about `axis` if that is given; `None` with nobody to hold.
    fn focal_that_holds(&self, axis: Option<Vec3>) -> Option<f64> {
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
    fn direction_at(&self, focal_m: f64) -> Vec3 {
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
    fn nearest_person(&self) -> Option<(f64, f64)> {
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
            for point in [figure.crown, low, figure.shoulder + half_width, figure.shoulder - half_width] {
                let Some((x, y)) = self.on_plane(forward, right, up, point) else { continue };
                extent.left = extent.left.min(x);
                extent.right = extent.right.max(x);
                if point == figure.crown || point == low {
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

    /// How far up or down on the plane to move a frame so that its lower edge cuts nobody at a joint: the least move of at
    /// most a tenth of the frame that keeps headroom; 0 if none does.
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
        let least_headroom = 0.02 * height;
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

/// The lowest point of someone that the shot size wants inside. Measured down the trunk from the shoulders, so that it holds
/// for people who sit, kneel or bow; full lengths go to the soles.
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

/// Share of stature at which a frame edge at height `edge` on the plane meets someone standing; `None` if it misses them, or
/// if they don't stand (a seated person's knees are nowhere near the edge that a standing one's would be).
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
