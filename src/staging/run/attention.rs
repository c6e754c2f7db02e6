//! Who draws everybody's eyes when nothing else is said: whoever walks, else the couple.

use super::Run;
use super::timeline::Timeline;
use crate::plan::PersonIx;

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Attention {
    Couple,
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
        walks.extend(noted.map(|walk| (walk.begins_s, walk.ends_s, PersonIx(who))));
    }
    let mut times: Vec<f64> = walks.iter().flat_map(|walk| [walk.0, walk.1]).collect();
    times.sort_by(f64::total_cmp);
    let mut timeline = Timeline::new(Attention::Couple);
    for at_s in times {
        let walking = walks.iter().filter(|walk| walk.0 <= at_s && at_s < walk.1);
        let first = walking.max_by(|a, b| {
            let couple = |walk: &(f64, f64, PersonIx)| run.couple.contains(&walk.2);
            (couple(a).cmp(&couple(b))).then(a.0.total_cmp(&b.0)).then(b.2.cmp(&a.2))
        });
        let seen = first.map_or(Attention::Couple, |walk| Attention::Person(walk.2));
        if timeline.at(at_s) != seen {
            timeline.change(at_s, seen);
        }
    }
    timeline
}
