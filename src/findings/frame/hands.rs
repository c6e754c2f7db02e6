//! Hands that a picture is about: a ring goes from one to the other.

use crate::findings::finding::Finding;
use crate::findings::look::{FaceLook, Look};
use crate::findings::rule::Rule;
use crate::findings::words::{and, percent};
use crate::plan::{Deed, ShotSize};

pub fn findings(look: &Look) -> Vec<Finding> {
    // In tighter frames the picture is a face, in wider ones hands are a few pixels.
    if !matches!(look.frame.shot_size, ShotSize::ThreeQuarter | ShotSize::Half) {
        return vec![];
    }
    rings(look).into_iter().collect()
}

fn rings(look: &Look) -> Option<Finding> {
    let gives = |person: usize| look.run.does(crate::plan::PersonIx(person), Deed::GivesRing, look.at_s());
    let takes_part = |face: &&FaceLook| {
        let person = face.person.0;
        gives(person) || look.run.partners_of(person).iter().any(|other| gives(*other))
    };
    let two: Vec<&FaceLook> = look.faces.iter().filter(takes_part).collect();
    let hands = || two.iter().filter_map(|face| face.seen.parts.get("hands"));
    let all: u32 = hands().map(|part| part.alone_px).sum();
    let [inside, seen] = [hands().map(|part| part.in_frame_px).sum::<u32>(), hands().map(|part| part.visible_px).sum()];
    if all == 0 {
        return None;
    }
    let hidden = 1.0 - f64::from(seen) / f64::from(all);
    let outside = f64::from(all - inside.min(all)) / f64::from(all);
    let names: Vec<&str> = two.iter().map(|face| face.name.as_str()).collect();
    let found = look.finding(Rule::HandsHidden, hidden, || {
        let most = if outside > hidden / 2.0 { "mostly outside the frame" } else { "mostly behind bodies and sleeves" };
        let seen = if hidden > 0.995 { "nothing".to_owned() } else { percent(1.0 - hidden) };
        format!("a ring is given and {seen} of the hands of {} is seen, {most}", and(&names))
    })?;
    let remedy = if outside > hidden / 2.0 {
        "turn the camera down, or zoom out until the hands are in"
    } else {
        "stand where the hands are between them and you, and ask for them to be held high and apart"
    };
    Some(found.with("hidden_share", hidden).with("outside_share", outside).remedy(remedy))
}
