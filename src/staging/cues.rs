//! What everybody does at an instant: the cues up to then, folded in order. What a cue leaves out continues.

use crate::plan::{Cue, Facing, Gesture, Held, PersonIx, Plan, Post, Posture};

/// What a person does at an instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doing {
    /// `None`: not there.
    pub post: Option<Post>,
    pub faces: Option<Facing>,
    pub looks: Option<Facing>,
    pub posture: Posture,
    /// They sit because of where they are, not because a cue said so: they stand up with the guests.
    pub sits_by_default: bool,
    pub gesture: Gesture,
    pub holds: Held,
}

/// What every person of the plan does at `at_s`, in plan order.
///
/// A new place on the floor ends sitting, kneeling and crouching, a seat means sitting, unless the cue says otherwise.
pub fn doings(plan: &Plan, at_s: f64) -> Vec<Doing> {
    let mut all: Vec<Doing> = plan
        .people
        .iter()
        .map(|person| Doing {
            post: person.post,
            faces: None,
            looks: None,
            posture: posture_at(person.post, Posture::Standing),
            sits_by_default: matches!(person.post, Some(Post::Seat { .. })),
            gesture: Gesture::Rest,
            holds: Held::Nothing,
        })
        .collect();
    for (_, who, cue) in cues_until(plan, at_s) {
        if let Some(doing) = all.get_mut(who.0) {
            follow(doing, cue);
        }
    }
    all
}

/// Cues begun at `at_s`, in time order, once for each person.
fn cues_until(plan: &Plan, at_s: f64) -> Vec<(f64, PersonIx, &Cue)> {
    let mut cues: Vec<_> = plan
        .moments
        .iter()
        .flat_map(|moment| moment.cues.iter().map(move |cue| (moment.start_s + cue.after_s, cue)))
        .filter(|(begins_s, _)| *begins_s <= at_s + 1e-6)
        .collect();
    cues.sort_by(|a, b| a.0.total_cmp(&b.0));
    cues.into_iter().flat_map(|(s, cue)| cue.who.iter().map(move |who| (s, *who, cue))).collect()
}

fn follow(doing: &mut Doing, cue: &Cue) {
    if let Some(post) = cue.post {
        doing.post = Some(post);
        doing.posture = posture_at(Some(post), doing.posture);
        doing.sits_by_default = matches!(post, Post::Seat { .. });
    }
    if cue.leaves {
        doing.post = None;
    }
    doing.faces = cue.faces.or(doing.faces);
    doing.looks = cue.looks.or(doing.looks);
    if let Some(posture) = cue.posture {
        doing.posture = posture;
        doing.sits_by_default = false;
    }
    doing.gesture = cue.gesture.unwrap_or(doing.gesture);
    doing.holds = cue.holds.unwrap_or(doing.holds);
}

fn posture_at(post: Option<Post>, before: Posture) -> Posture {
    match (post, before) {
        (Some(Post::Seat { .. }), _) => Posture::Sitting,
        (_, Posture::Walking) => Posture::Walking,
        _ => Posture::Standing,
    }
}

/// The moment an instant lies in: the last that has begun.
pub fn moment_at(plan: &Plan, at_s: f64) -> Option<usize> {
    plan.moments.iter().rposition(|moment| moment.start_s <= at_s + 1e-6)
}

/// The two whose ceremony it is, as far as the plan tells: those whose roles say so, else the first two who kiss,
/// give rings or take hands, else the first two people.
pub fn couple(plan: &Plan) -> Vec<PersonIx> {
    const ROLES: [&str; 6] = ["couple", "partner", "bride", "groom", "spouse", "betrothed"];
    let says = |role: &String| {
        let role = role.to_lowercase();
        role.split(|c: char| !c.is_alphanumeric()).next().is_some_and(|first| ROLES.contains(&first))
            && !role.contains("mother")
            && !role.contains("father")
            && !role.contains("of ")
    };
    let named: Vec<_> =
        (0..plan.people.len()).filter(|i| plan.people[*i].roles.iter().any(says)).map(PersonIx).take(2).collect();
    if named.len() == 2 {
        return named;
    }
    let pairs = plan.moments.iter().flat_map(|moment| &moment.cues).filter_map(|cue| {
        let first = *cue.who.first()?;
        match cue.gesture? {
            Gesture::Kisses(other) => Some((0, first, other)),
            Gesture::GivesRing(other) => Some((1, first, other)),
            Gesture::TakesHands(other) => Some((2, first, other)),
            _ => None,
        }
    });
    match pairs.min_by_key(|pair| pair.0) {
        Some((_, a, b)) => vec![a, b],
        None => (0..plan.people.len().min(2)).map(PersonIx).collect(),
    }
}
