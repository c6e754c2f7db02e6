//! Each remedy that is a number of the plan, written into the plan's text: what it is for is gone, and nothing of the frame is
//! lost that wasn't.

use standpoint::findings::{Finding, Severity, frame_findings, mended};
use standpoint::plan::{Plan, read};
use standpoint::staging::{Run, rehearse};
use std::collections::BTreeMap;

fn text_of(name: &str) -> String {
    std::fs::read_to_string(format!("{}/scenes/{name}.ron", env!("CARGO_MANIFEST_DIR"))).expect("a demo")
}

fn plan_of(text: &str) -> Result<Plan, String> {
    read(text).map(|plan| rehearse(plan).0).map_err(|problems| format!("{:#?}", problems.list))
}

fn of_frame(plan: &Plan, id: &str) -> Vec<Finding> {
    frame_findings(&Run::new(plan), plan.frames.iter().find(|frame| frame.id == id).expect("the frame"))
}

/// As many of the same rule.
fn like(found: &[Finding], finding: &Finding) -> usize {
    found.iter().filter(|it| it.rule == finding.rule).count()
}

#[test]
fn each_mend_of_the_demos_mends() {
    let mut tried = BTreeMap::<&str, u32>::new();
    let mut wrong = Vec::new();
    for name in ["orchard", "chapel", "loft"] {
        let text = text_of(name);
        let plan = plan_of(&text).expect("a demo");
        for frame in &plan.frames {
            let before = of_frame(&plan, &frame.id);
            let lost = |found: &[Finding]| found.iter().filter(|it| it.severity == Severity::Lost).count();
            for finding in before.iter().filter(|finding| !finding.mends.is_empty()) {
                let word = finding.rule.facts().word;
                let new = mended(&text, &plan, frame, &finding.mends).expect("the plan's own text");
                // A place that another frame or the ceremony needs is refused by the plan's own check.
                let Ok(new) = plan_of(&new) else {
                    wrong.push(format!("{}: {word}: refused: {:?}", frame.id, finding.mends));
                    continue;
                };
                let after = of_frame(&new, &frame.id);
                *tried.entry(word).or_default() += 1;
                if like(&after, finding) >= like(&before, finding) || lost(&after) > lost(&before) {
                    let told: Vec<String> =
                        after.iter().map(|it| format!("{}: {}", it.rule.facts().word, it.sentence)).collect();
                    wrong.push(format!(
                        "{}: {} {:?}\n      {}",
                        frame.id,
                        finding.sentence,
                        finding.mends,
                        told.join("\n      ")
                    ));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(tried.values().sum::<u32>() >= 20, "{tried:?}");
}
