//! Who draws everybody's eyes when nothing else is said: whoever walks, else the couple.

use super::Run;
use super::timeline::Timeline;
use crate::plan::PersonIx;

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Attention {
    /// Those of the couple who are there; nobody draws eyes to the front.
    Couple([bool; 2]),
    Person(PersonIx),
}

/// Shorter ways nobody turns to.
const NOTED_M: f32 = 2.5;

/// Of those who walk, the couple counts before others, then whoever set out last; of those who set out together the first
/// in the plan.
pub fn attention(run: &Run) -> Timeline<Attention> {
    let mut walks: Vec<(f64, f64, PersonIx)> = Vec::new();
    for (who, track) in run.tracks.iter().enumerate() {
        let noted = track.walks.iter().filter(|walk| !walk.sidelong && walk.path.length_m() > NOTED_M);
        walks.extend(noted.map(|walk| (walk.begins_s, run.until_s(who, walk), PersonIx(who))));
    }
    let mut times: Vec<f64> = walks.iter().flat_map(|walk| [walk.0, walk.1]).collect();
    times.extend(run.couple.iter().flat_map(|who| run.comings(who.0)));
    times.sort_by(f64::total_cmp);
    let couple = |at_s: f64| {
        let there = |k: usize| run.couple.get(k).is_some_and(|who| run.spot(who.0, at_s).is_some());
        Attention::Couple([there(0), there(1)])
    };
    let mut timeline = Timeline::new(couple(f64::NEG_INFINITY));
    for at_s in times {
        let walking = walks.iter().filter(|walk| walk.0 <= at_s && at_s < walk.1);
        let first = walking.max_by(|a, b| {
            let couple = |walk: &(f64, f64, PersonIx)| run.couple.contains(&walk.2);
            (couple(a).cmp(&couple(b))).then(a.0.total_cmp(&b.0)).then(b.2.cmp(&a.2))
        });
        let seen = first.map_or_else(|| couple(at_s), |walk| Attention::Person(walk.2));
        if timeline.at(at_s) != seen {
            timeline.change(at_s, seen);
        }
    }
    timeline
}
