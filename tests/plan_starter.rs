//! The plan that `standpoint new` writes.

use standpoint::plan::{self, PersonIx, PhotographerIx};

#[test]
fn the_starter_is_valid_and_short() {
    let (plan, remarks) = plan::read_with_remarks(plan::STARTER).unwrap_or_else(|problems| panic!("{problems}"));
    assert!(remarks.is_empty(), "{remarks:?}");
    let lines = plan::STARTER.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with("//")).count();
    assert!(lines < 40, "{lines} lines without notes");
    assert_eq!(plan.people.len(), 3);
    assert_eq!(plan.frames.len(), 3);
    assert_eq!(plan.frames[1].of, [PersonIx(0), PersonIx(1)]);
    assert_eq!(plan.photographer_of(&plan.frames[0]), PhotographerIx(1));
    assert_eq!(plan.at_s(&plan.frames[1]), 122.5);
}
