//! What the frame's edges do: cut joints, cut heads, leave people out; and how a wide lens stretches faces near them.

use crate::findings::finding::Finding;
use crate::findings::look::{FaceLook, Look};
use crate::findings::rule::Rule;
use crate::findings::words::{length, mm, owns, percent};
use crate::plan::ShotSize;

pub fn findings(look: &Look) -> Vec<Finding> {
    look.faces
        .iter()
        .flat_map(|face| {
            [outside(look, face), joints(look, face), headroom(look, face), stretched(look, face), near(look, face)]
        })
        .flatten()
        .collect()
}

fn outside(look: &Look, face: &FaceLook) -> Option<Finding> {
    let part = face.seen.parts.get("face")?;
    let share = match part.alone_px {
        // Too small for a pixel, or behind the camera.
        0 => f64::from(u8::from(face.depth_m <= 0.0)),
        alone => 1.0 - f64::from(part.in_frame_px) / f64::from(alone),
    };
    let found = look.finding(Rule::OutOfFrame, share, || match share >= 0.999 {
        true => format!("{} falls outside the frame", face.name),
        false => format!("{} of {} face is outside the frame", percent(share), owns(&face.name)),
    })?;
    let zoom = look.frame.focal_m.is_some_and(|focal_m| focal_m > look.lens.focal_m[0] * 1.01);
    let remedy = if zoom { "zoom out, or turn the camera (`aim`)" } else { "turn the camera (`aim`), or step back" };
    Some(found.with("outside_share", share).remedy(remedy))
}

fn joints(look: &Look, face: &FaceLook) -> Option<Finding> {
    // A wide is wide; and an arm that leaves at the side is no cut figure.
    if look.frame.shot_size == ShotSize::Wide {
        return None;
    }
    let cut =
        face.seen.cut_at.iter().find(|cut| cut.edge == "bottom" && matches!(cut.joint, "ankle" | "knee" | "neck"))?;
    let found = look.finding(Rule::CutAtJoint, 1.0, || {
        format!(
            "the lower edge cuts {} {}",
            owns(&face.name),
            if cut.joint == "neck" { "neck".to_owned() } else { format!("{}s", cut.joint) }
        )
    })?;
    Some(found.remedy("turn the camera a little up or down, or zoom a little"))
}

fn headroom(look: &Look, face: &FaceLook) -> Option<Finding> {
    let tight = look.frame.shot_size == ShotSize::Close;
    let seen = face.seen.parts.get("face").is_some_and(|part| part.in_frame_px > 0);
    if tight || !seen {
        return None;
    }
    let short = -face.seen.headroom;
    let found =
        look.finding(Rule::Headroom, short, || format!("the upper edge cuts the top of {} head", owns(&face.name)))?;
    Some(
        found
            .with("missing_share", short)
            .remedy(format!("turn the camera up by {} of the frame’s height", percent(short + 0.05))),
    )
}

/// Central projection draws a small sphere at θ off the axis 1/cos θ longer, away from the middle, than it is wide.
fn stretched(look: &Look, face: &FaceLook) -> Option<Finding> {
    if face.seen.parts.get("face").is_none_or(|part| part.visible_px == 0) {
        return None;
    }
    let camera = look.camera();
    let middle = face.figure.eyes.midpoint(face.figure.chin);
    let cos = f64::from((middle - camera.eye).normalize_or_zero().dot(camera.forward()));
    if cos <= 0.0 {
        return None;
    }
    let found = look.finding(Rule::FaceStretched, 1.0 / cos, || {
        let off = cos.acos().to_degrees();
        format!(
            "{} face is {off:.0}° off the middle at {} and comes out stretched by {}",
            owns(&face.name),
            mm(camera.focal_m),
            percent(1.0 / cos - 1.0)
        )
    })?;
    // The same size in the picture from further away: where the angle is 24°, a stretch of a tenth.
    let nearer = 24.0_f64.to_radians().tan() / (cos.acos().tan());
    Some(found.with("stretch", 1.0 / cos).remedy(format!(
        "nearer the middle, or step back and zoom to {}",
        mm(camera.focal_m / nearer.clamp(0.05, 1.0))
    )))
}

fn near(look: &Look, face: &FaceLook) -> Option<Finding> {
    let distance_m = f64::from(face.figure.eyes.distance(look.camera().eye));
    if face.seen.parts.get("face").is_none_or(|part| part.visible_px == 0) {
        return None;
    }
    let found = look.finding(Rule::FaceNear, 1.0 / distance_m.max(0.01), || {
        format!("{} from {} face, noses look large", length(look.plan, distance_m), owns(&face.name))
    })?;
    Some(
        found
            .with("distance_m", distance_m)
            .remedy(format!("stand {} further away and zoom in", length(look.plan, 1.5 - distance_m))),
    )
}
