//! A planned frame and the tableau at its instant to a camera: where it points, at which focal length, focus and
//! exposure.
//!
//! Whom a frame is of and its shot size say what must be inside: for each person the stretch from the crown down to
//! the shot size's lower line, as broad as it needs. The camera turns until that lies well in the frame, and zooms
//! until it fills it. Lens, body and light have the last word, and a [`Remark`] says so.

use super::exposure::{Resolved, nearest_marked, resolve};
use super::framing::{focal_for_shot, framing, shot_size_at};
use super::holding::View;
use super::lens::widest_f_at;
use super::{Camera, F_NUMBERS, Remark};
use crate::plan::{Aim, Body, Frame, Lens, Orientation, PersonIx, Plan, ShotSize};
use crate::staging::{Figure, OwnerKind, Tableau, floor_height};
use glam::Vec3;
use thiserror::Error;

/// Stature taken where a frame is aimed at a place with nobody named.
const NOBODYS_STATURE_M: f64 = 1.70;

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

/// The camera of `frame` in `tableau`, which must be staged at the frame's instant. `face_lux` falls on the face that
/// a metered exposure is metered on.
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
            let bottom_m = floor_height(&plan.venue, fixture.at) + fixture.above_floor_m;
            Some(Vec3::new(fixture.at.x, bottom_m + fixture.size_m[1] / 2.0, fixture.at.y))
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
    let to_target_m = target.map_or(5.0, |target| f64::from(target.distance(view.eye)).max(0.3));
    let wanted_m =
        wanted_m.unwrap_or_else(|| focal_for_shot(frame.shot_size, NOBODYS_STATURE_M, to_target_m, view.sensor_m[1]));
    // Zoom rings are set to whole millimetres; the shorter one still holds everyone.
    let drawn_m = ((wanted_m * 1000.0 + 1e-6).floor() / 1000.0).clamp(short, long);
    let (distance_m, stature_m) = view.nearest_person().unwrap_or((to_target_m, NOBODYS_STATURE_M));
    let becomes = shot_size_at(drawn_m, stature_m, distance_m, view.sensor_m[1]);
    // A twentieth of the focal length nobody sees, and a wide only has to be wide.
    let wide_enough = frame.shot_size == ShotSize::Wide && becomes == ShotSize::Wide;
    if (wanted_m / drawn_m).ln().abs() > 0.05 && !wide_enough {
        remarks.push(Remark::FocalNotOnLens {
            size: frame.shot_size,
            wanted_m,
            drawn_m,
            lens_m: lens.focal_m,
            becomes,
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
