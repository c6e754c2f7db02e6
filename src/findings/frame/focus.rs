//! Sharpness: depth of field over all wanted faces, their motion, steady hands.

use crate::findings::finding::Finding;
use crate::findings::look::{FaceLook, Look};
use crate::findings::mend::Mend;
use crate::findings::rule::Rule;
use crate::findings::words::{length, mm, owns};
use crate::optics::{
    F_NUMBERS, ISO_SPEEDS, SHUTTER_DENOMINATORS, blur_disc, motion_blur, nearest_marked, shutter_text,
    steady_hand_shutter, tidy,
};

pub fn findings(look: &Look) -> Vec<Finding> {
    let faces: Vec<&FaceLook> = look.faces.iter().filter(|face| face.shows()).collect();
    let each = faces.iter().flat_map(|face| [out_of_focus(look, face, &faces), moves(look, face)]);
    each.chain([shake(look)]).flatten().collect()
}

/// Diameter over the circle of confusion.
fn blur(look: &Look, f_number: f64, focus_m: f64, depth_m: f64) -> f64 {
    blur_disc(look.camera().focal_m, f_number, focus_m, depth_m) / look.confusion_m()
}

fn out_of_focus(look: &Look, face: &FaceLook, all: &[&FaceLook]) -> Option<Finding> {
    let camera = look.camera();
    let circles = blur(look, camera.f_number, camera.focus_m, face.depth_m);
    let apart_m = face.depth_m - camera.focus_m;
    let mut found = look.finding(Rule::OutOfFocus, circles, || {
        let way = if apart_m > 0.0 { "behind" } else { "before" };
        format!(
            "{} face is {} {way} the focus at f/{}: {}",
            owns(&face.name),
            length(look.plan, apart_m.abs()),
            tidy(camera.f_number, 1),
            how_soft(circles)
        )
    })?;
    if !look.is_tight() || look.is_secondary(face) {
        found.severity = found.severity.milder();
    }
    let (remedy, mends) = sharper(look, face, all);
    Some(found.with("circles", circles).with("apart_m", apart_m).remedy(remedy).mends(mends))
}

fn how_soft(circles: f64) -> &'static str {
    match circles {
        circles if circles < 2.0 => "a little soft",
        circles if circles < 4.0 => "soft",
        _ => "blurred",
    }
}

/// Stopping down, or focusing between the nearest and the farthest.
fn sharper(look: &Look, face: &FaceLook, all: &[&FaceLook]) -> (String, Vec<Mend>) {
    let camera = look.camera();
    let near_m = all.iter().map(|it| it.depth_m).fold(face.depth_m, f64::min);
    let far_m = all.iter().map(|it| it.depth_m).fold(face.depth_m, f64::max);
    // Both ends are as much out of focus as each other.
    let between_m = 2.0 * near_m * far_m / (near_m + far_m);
    let at_ends = blur(look, camera.f_number, between_m, near_m).max(blur(look, camera.f_number, between_m, far_m));
    let holds = |f_number: f64| all.iter().all(|it| blur(look, f_number, camera.focus_m, it.depth_m) < 1.0);
    let stop = F_NUMBERS.iter().copied().find(|mark| holds(*mark) && *mark <= look.lens.narrowest_f * 1.02);
    let iso = |f_number: f64| camera.iso * (f_number / camera.f_number).powi(2);
    let affordable = stop.filter(|f_number| iso(*f_number) <= look.body.iso[1] * 1.1);
    let mends = affordable.map_or(vec![], |f_number| {
        let by_hand = look.frame.exposure.iso.map(|_| Mend::Iso { iso: nearest_marked(ISO_SPEEDS, iso(f_number)) });
        [Mend::FNumber { f_number }].into_iter().chain(by_hand).collect()
    });
    let words = match (at_ends <= 1.0, affordable) {
        (true, Some(f_number)) => format!(
            "focus between the faces, at {}, or f/{} at ISO {:.0}",
            length(look.plan, between_m),
            tidy(f_number, 1),
            nearest_marked(ISO_SPEEDS, iso(f_number))
        ),
        (true, None) => format!("focus between the faces, at {}", length(look.plan, between_m)),
        (false, Some(f_number)) => {
            format!("f/{} at ISO {:.0} holds them all", tidy(f_number, 1), nearest_marked(ISO_SPEEDS, iso(f_number)))
        }
        (false, None) => "step back, or to where both are equally far away".to_owned(),
    };
    (words, mends)
}

fn moves(look: &Look, face: &FaceLook) -> Option<Finding> {
    let camera = look.camera();
    let to_face = (face.figure.eyes - camera.eye).as_dvec3().normalize_or_zero();
    let across_mps = (face.velocity_mps - to_face * face.velocity_mps.dot(to_face)).length();
    let smear_m = motion_blur(across_mps, camera.shutter_s, camera.focal_m, face.depth_m);
    let circles = smear_m / look.confusion_m();
    let found = look.finding(Rule::SubjectBlur, circles, || {
        format!(
            "{} head moves at {across_mps:.1} m/s across the frame and smears by {:.2} mm on the sensor at {} s",
            owns(&face.name),
            smear_m * 1000.0,
            shutter_text(camera.shutter_s)
        )
    })?;
    let (remedy, mends) = shorter(look, camera.shutter_s / circles);
    let found = found.with("across_mps", across_mps).with("smear_mm", smear_m * 1000.0).with("circles", circles);
    Some(found.remedy(remedy).mends(mends))
}

fn shake(look: &Look) -> Option<Finding> {
    let camera = look.camera();
    let steady_s = steady_hand_shutter(camera.focal_m, camera.sensor_m);
    let found = look.finding(Rule::CameraShake, camera.shutter_s / steady_s, || {
        format!(
            "{} s is slow for {} by hand; the rule of thumb says {} s",
            shutter_text(camera.shutter_s),
            mm(camera.focal_m),
            shutter_text(steady_s)
        )
    })?;
    let (remedy, mends) = shorter(look, steady_s);
    Some(found.with("over_rule", camera.shutter_s / steady_s).remedy(remedy).mends(mends))
}

/// A marked shutter no longer than so, and what it costs.
fn shorter(look: &Look, longest_s: f64) -> (String, Vec<Mend>) {
    let camera = look.camera();
    let marked = SHUTTER_DENOMINATORS.iter().map(|number| 1.0 / number).find(|time_s| *time_s <= longest_s * 1.02);
    let Some(time_s) = marked.filter(|time_s| *time_s >= look.body.fastest_shutter_s * 0.98) else {
        return ("no shutter of this body is short enough: wait until they stand, or zoom out".to_owned(), vec![]);
    };
    let iso = nearest_marked(ISO_SPEEDS, camera.iso * camera.shutter_s / time_s);
    let beyond = if iso > look.body.iso[1] * 1.01 {
        format!(", beyond this body’s {:.0}", look.body.iso[1])
    } else {
        String::new()
    };
    let words = format!("{} s would do, at ISO {iso:.0}{beyond}", shutter_text(time_s));
    let by_hand = look.frame.exposure.iso.map(|_| Mend::Iso { iso });
    let mends = [Mend::Shutter { shutter_s: time_s }].into_iter().chain(by_hand).collect();
    (words, if beyond.is_empty() { mends } else { vec![] })
}
