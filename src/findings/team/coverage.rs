//! Which moments are covered, by whom and how: wide, tight, the listener in the vows, two pictures alike.

use crate::findings::finding::{Finding, Severity};
use crate::findings::look::{Look, short_name};
use crate::findings::rule::Rule;
use crate::findings::words::{and, owns};
use crate::plan::{Facing, Moment, PersonIx, Plan, ShotSize};
use crate::sight::PartSeen;
use crate::staging::Run;

/// Frames nearer than this in time and direction, of the same people, are one picture. *Our own.*
const ALIKE_S: f64 = 5.0;
const ALIKE_DEG: f32 = 20.0;
/// A face turned less than this away and half uncovered counts as a listener's face.
const FACE_DEG: f64 = 100.0;

pub fn findings(run: &Run, looks: &[Look]) -> Vec<Finding> {
    let plan = run.plan;
    let mut found = Vec::new();
    for (ix, moment) in plan.moments.iter().enumerate() {
        let of_moment: Vec<&Look> = looks.iter().filter(|look| look.frame.moment.0 == ix).collect();
        found.extend(if of_moment.is_empty() { uncovered(plan, moment) } else { no_tight(run, moment, &of_moment) });
        found.extend(listener(run, moment, &of_moment));
    }
    found.extend(no_wide(plan, looks));
    found.extend(alike(looks));
    found
}

fn about(finding: Finding, moment: &Moment) -> Finding {
    Finding { moment: moment.id.clone(), ..finding }
}

fn called(moment: &Moment) -> &str {
    if moment.name.is_empty() { &moment.id } else { &moment.name }
}

fn uncovered(plan: &Plan, moment: &Moment) -> Option<Finding> {
    let there: Vec<&str> = plan
        .standpoints
        .iter()
        .filter(|it| it.during.iter().any(|stretch| plan.moments[stretch.moment.0].id == moment.id))
        .map(|it| it.id.as_str())
        .collect();
    let remedy = match there[..] {
        [] => "plan a standpoint for it".to_owned(),
        _ => format!("plan a frame from {}", and(&there)),
    };
    let severity = Rule::MomentUncovered.severity(1.0)?;
    let sentence = format!("nobody takes a picture in “{}”", called(moment));
    Some(about(
        Finding::new(Rule::MomentUncovered, severity, sentence).with("length_s", moment.length_s).remedy(remedy),
        moment,
    ))
}

fn no_wide(plan: &Plan, looks: &[Look]) -> Option<Finding> {
    let any = looks.iter().any(|look| look.frame.shot_size == ShotSize::Wide);
    let severity = Rule::NoWide.severity(1.0)?;
    (!any && !plan.frames.is_empty()).then(|| {
        Finding::new(Rule::NoWide, severity, "no frame of the whole ceremony is a wide one: nobody will see the place")
            .remedy("one wide from behind the last row")
    })
}

/// Of the couple, in moments that are about them: they have several frames there, and none is nearer than full length.
fn no_tight(run: &Run, moment: &Moment, looks: &[&Look]) -> Option<Finding> {
    let of_couple: Vec<&&Look> =
        looks.iter().filter(|look| run.couple.iter().any(|it| look.frame.of.contains(it))).collect();
    // One frame is one picture; of several, one should be near.
    if of_couple.len() < 2 || of_couple.iter().any(|look| look.is_tight()) {
        return None;
    }
    let severity = Rule::NoTight.severity(1.0)?;
    let sentence = format!("no frame of “{}” comes nearer to the couple than full length", called(moment));
    Some(about(Finding::new(Rule::NoTight, severity, sentence).remedy("give one photographer the long lens"), moment))
}

/// Who speaks in a moment: the one partner whom the cues of two or more others look at, while both are there.
fn speaker(run: &Run, moment: &Moment) -> Option<PersonIx> {
    let [a, b] = run.couple[..] else { return None };
    let looked_at = |partner: PersonIx| {
        let looks = moment.cues.iter().filter(|cue| cue.looks == Some(Facing::Person(partner)));
        looks.flat_map(|cue| &cue.who).filter(|who| **who != a && **who != b).count()
    };
    let middle_s = moment.start_s + moment.length_s / 2.0;
    let hand_in_hand =
        run.does(a, crate::plan::Deed::TakesHands, middle_s) || run.does(b, crate::plan::Deed::TakesHands, middle_s);
    match (looked_at(a), looked_at(b)) {
        (2.., 0) if hand_in_hand => Some(a),
        (0, 2..) if hand_in_hand => Some(b),
        _ => None,
    }
}

fn listener(run: &Run, moment: &Moment, looks: &[&Look]) -> Option<Finding> {
    let speaks = speaker(run, moment)?;
    let listens = *run.couple.iter().find(|it| **it != speaks)?;
    let has_face = |look: &&&Look| {
        look.is_tight()
            && look.faces.iter().any(|face| {
                // What their own head hides is told by how far they are turned away.
                let by_others = |part: &PartSeen| {
                    part.covered_by.iter().filter(|it| *it.0 != face.seen.id).map(|it| it.1).sum::<u32>()
                };
                let seen = face
                    .seen
                    .parts
                    .get("face")
                    .is_some_and(|part| part.in_frame_px > 0 && by_others(part) * 2 < part.in_frame_px);
                face.person == listens && seen && face.seen.facing_deg < FACE_DEG
            })
    };
    if looks.iter().any(|look| has_face(&look)) {
        return None;
    }
    let name = |who: PersonIx| short_name(run.plan, who);
    let severity = Rule::ListenerUncovered.severity(1.0)?;
    let sentence = format!(
        "{} speaks in “{}” and nobody has {} face, listening",
        name(speaks),
        called(moment),
        owns(&name(listens))
    );
    let remedy = format!("one photographer on {} side takes {}", owns(&name(speaks)), name(listens));
    Some(about(Finding::new(Rule::ListenerUncovered, severity, sentence).remedy(remedy), moment))
}

/// Pairs of frames by different photographers.
fn alike(looks: &[Look]) -> Vec<Finding> {
    let mut found = Vec::new();
    for (k, one) in looks.iter().enumerate() {
        for other in &looks[k + 1..] {
            found.extend(alike_pair(one, other));
        }
    }
    found
}

fn alike_pair(one: &Look, other: &Look) -> Option<Finding> {
    let plan = one.plan;
    let by = |look: &Look| plan.photographer_of(look.frame);
    let sorted = |look: &Look| {
        let mut of = look.frame.of.clone();
        of.sort();
        of
    };
    let same = by(one) != by(other)
        && one.frame.shot_size == other.frame.shot_size
        && !one.frame.of.is_empty()
        && sorted(one) == sorted(other);
    let apart_s = (one.at_s() - other.at_s()).abs();
    let subject = one.faces.first()?.figure.eyes;
    let way = |look: &Look| (subject - look.camera().eye).normalize_or_zero();
    let apart_deg = way(one).angle_between(way(other)).to_degrees();
    if !same || apart_s > ALIKE_S || apart_deg > ALIKE_DEG {
        return None;
    }
    let sentence = format!(
        "`{}` and `{}` are one picture: {apart_deg:.0}° and {apart_s:.0} s apart, of the same people, the same size",
        one.frame.id, other.frame.id
    );
    let finding = Finding::new(Rule::FramesAlike, Severity::Risk, sentence)
        .with("apart_deg", f64::from(apart_deg))
        .with("apart_s", apart_s);
    Some(one.about(finding.remedy("make one of them wide or tight, or take it from across")))
}
