//! Light on the wanted faces, and the sun.

use crate::findings::finding::{Finding, Severity};
use crate::findings::look::{FaceLook, Look};
use crate::findings::mend::Mend;
use crate::findings::rule::Rule;
use crate::findings::words::{owns, percent};
use crate::optics::{F_NUMBERS, INCIDENT_C, ISO_SPEEDS, nearest_marked, tidy};
use crate::sight::sum_of;

pub fn findings(look: &Look) -> Vec<Finding> {
    let faces = look.faces.iter().filter(|face| face.shows());
    faces
        .flat_map(|face| [dark(look, face), bright(look, face), split(look, face), from_above(look, face)])
        .chain([sun(look)])
        .flatten()
        .collect()
}

/// Stops over (+) or under a normal exposure, as an incident meter at the face would say (ISO 2720).
fn over_stops(look: &Look, face: &FaceLook) -> f64 {
    let camera = look.camera();
    let normal_lux = INCIDENT_C * camera.f_number.powi(2) / (camera.shutter_s * camera.iso);
    (face.light.total_lux().max(1e-3) / normal_lux).log2()
}

fn dark(look: &Look, face: &FaceLook) -> Option<Finding> {
    let camera = look.camera();
    let under = -over_stops(look, face);
    let at_limit = camera.iso >= look.body.iso[1] * 0.99;
    let by_hand = look.frame.exposure.iso.is_some();
    let found = look.finding(Rule::FaceDark, under, || match () {
        () if by_hand => format!("{} face comes out {under:.1} stops too dark as the camera is set", owns(&face.name)),
        () if at_limit => format!(
            "{} face comes out {under:.1} stops too dark, at ISO {:.0}, the highest this body is used at",
            owns(&face.name),
            camera.iso
        ),
        () => format!("{} face comes out {under:.1} stops under against what is bright around it", owns(&face.name)),
    })?;
    let (remedy, mends) = lighter(look, under);
    Some(found.with("under_stops", under).with("face_lux", face.light.total_lux()).remedy(remedy).mends(mends))
}

/// What gives so many stops more.
fn lighter(look: &Look, stops: f64) -> (String, Vec<Mend>) {
    let camera = look.camera();
    let iso = nearest_marked(ISO_SPEEDS, camera.iso * stops.exp2());
    if iso <= look.body.iso[1] * 1.01 {
        if look.frame.exposure.iso.is_some() {
            return (format!("ISO {iso:.0}; meter on the day"), vec![Mend::Iso { iso }]);
        }
        let ev = tenth((look.frame.exposure.compensation_ev + stops).min(5.0));
        return (format!("compensate by +{ev:.1} EV; meter on the day"), vec![Mend::Compensation { ev }]);
    }
    let wide_f = look.lens.widest_f[0].min(look.lens.widest_f[1]);
    let wanted_f = camera.f_number / (stops / 2.0).exp2();
    let mark = F_NUMBERS.iter().rev().find(|mark| **mark <= wanted_f * 1.02 && **mark >= wide_f * 0.98);
    if let Some(&f_number) = mark {
        return (format!("f/{}; meter on the day", tidy(f_number, 1)), vec![Mend::FNumber { f_number }]);
    }
    let carries = &look.plan.crew[look.plan.photographer_of(look.frame).0].carries;
    let faster = carries.iter().map(|pair| &look.plan.kit.lenses[pair.lens]).find(|lens| {
        let reaches = (lens.focal_m[0]..=lens.focal_m[1]).contains(&camera.focal_m);
        reaches && lens.widest_f[0] <= wanted_f * 1.02
    });
    let words = match faster {
        Some(lens) => format!("the {} opens far enough, f/{}", lens.id, tidy(wanted_f, 1)),
        None => format!("it takes f/{}, a shutter {:.0} × as long, or light", tidy(wanted_f, 1), stops.exp2()),
    };
    let opened = faster.zip(F_NUMBERS.iter().rev().find(|mark| **mark <= wanted_f * 1.02));
    let mends = opened
        .map_or(vec![], |(lens, &f_number)| vec![Mend::With { lens: lens.id.clone() }, Mend::FNumber { f_number }]);
    (words, mends)
}

fn tenth(ev: f64) -> f64 {
    (ev * 10.0).round() / 10.0
}

fn bright(look: &Look, face: &FaceLook) -> Option<Finding> {
    let over = over_stops(look, face);
    let found =
        look.finding(Rule::FaceBright, over, || format!("{} face comes out {over:.1} stops over", owns(&face.name)))?;
    let (remedy, mend) = match look.frame.exposure.iso {
        Some(iso) => {
            let iso = nearest_marked(ISO_SPEEDS, (iso / over.exp2()).max(1.0));
            (format!("ISO {iso:.0}, or close the aperture; meter on the day"), Mend::Iso { iso })
        }
        None => {
            let ev = tenth(look.frame.exposure.compensation_ev - over);
            (format!("compensate by {ev:.1} EV; meter on the day"), Mend::Compensation { ev })
        }
    };
    let is_on_body = !matches!(mend, Mend::Iso { iso } if iso < look.body.iso[0] * 0.99);
    Some(found.with("over_stops", over).remedy(remedy).mends(if is_on_body { vec![mend] } else { vec![] }))
}

fn split(look: &Look, face: &FaceLook) -> Option<Finding> {
    let lit = face.sunlit?;
    let daylight = &look.ready.daylight;
    let facing = f64::from(face.figure.face_forward.dot(daylight.to_sun)).max(0.2);
    let others_lux = sum_of(face.light.total() - face.light.sun);
    if !look.is_tight() || daylight.sun_lux * facing < 2.0 * others_lux {
        return None;
    }
    let found = look.finding(Rule::SplitLight, lit.min(1.0 - lit), || {
        format!("sun lies on {} of {} face, the rest is in shade", percent(lit), owns(&face.name))
    })?;
    Some(
        found
            .with("sunlit_share", lit)
            .remedy("ask for a step out of, or into, the shade; or expose for the sun and fill"),
    )
}

fn from_above(look: &Look, face: &FaceLook) -> Option<Finding> {
    let elevation = look.ready.daylight.elevation.to_degrees();
    let sun_lux = sum_of(face.light.sun);
    if !look.is_tight() || sun_lux < 0.5 * face.light.total_lux() {
        return None;
    }
    let found = look.finding(Rule::TopLight, elevation, || {
        format!("the sun stands {elevation:.0}° high on {} face: shadows in the eyes", owns(&face.name))
    })?;
    Some(found.with("sun_elevation_deg", elevation).remedy("a chin lifted a little, open shade, or a later hour"))
}

fn sun(look: &Look) -> Option<Finding> {
    let sun = look.ready.sun?;
    let found = Finding::new(Rule::SunAhead, Severity::Note, sun.to_string());
    Some(look.about(found.with("outside_deg", sun.outside_deg).remedy("shade the lens; frame by the screen")))
}
