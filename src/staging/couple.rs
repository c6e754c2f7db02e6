//! Whose ceremony it is, and which moment an instant lies in.

use crate::plan::{Gesture, PersonIx, Plan};

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
