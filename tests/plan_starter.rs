//! The plan that `standpoint new` writes.

use standpoint::plan::{self, PersonIx, PhotographerIx};
use standpoint::staging::{Run, rehearse};

#[test]
fn the_starter_is_valid_and_short() {
    let (plan, remarks) = plan::read_with_remarks(plan::STARTER).unwrap_or_else(|problems| panic!("{problems}"));
    assert!(remarks.is_empty(), "{remarks:?}");
    let lines = plan::STARTER.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with("//")).count();
    assert!(lines < 42, "{lines} lines without notes");
    assert_eq!(plan.people.len(), 3);
    assert_eq!(plan.frames.len(), 4);
    assert_eq!(plan.frames[2].of, [PersonIx(0), PersonIx(1)]);
    assert_eq!(plan.photographer_of(&plan.frames[0]), PhotographerIx(1));
    assert_eq!(plan.at_s(&plan.frames[2]), 152.5);
}

/// Whoever changes it begins with a ceremony that goes as planned.
#[test]
fn the_starter_can_be_walked() {
    let plan = plan::read(plan::STARTER).unwrap_or_else(|problems| panic!("{problems}"));
    let (plan, hitches) = rehearse(plan);
    assert!(hitches.is_empty(), "{hitches:?}");
    let run = Run::new(&plan);
    let seen = &plan.frames[0];
    let (mira, lens) = (run.spot(0, plan.at_s(seen)), plan.standpoints[seen.standpoint.0].at);
    assert!(mira.is_some_and(|mira| (mira.distance(lens) - 4.0).abs() < 0.05), "{mira:?} from {lens}");
    let [vows, kiss] = [&plan.moments[1], &plan.moments[2]];
    assert_eq!(run.spot(0, vows.start_s).map(|spot| spot.x < -0.4), Some(true), "she is there for the vows");
    assert!(run.tracks[2].walks.iter().all(|walk| walk.ends_s < kiss.start_s), "the officiant is aside in time");
}
