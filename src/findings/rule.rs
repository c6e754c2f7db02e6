//! Every rule with its thresholds and their reasons, in one table.

use super::finding::Severity;

/// What is looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Rule {
    NotThere,
    OutOfFrame,
    CameraInside,
    FaceHidden,
    FacingAway,
    KissUnseen,
    HandsHidden,
    CutAtJoint,
    Headroom,
    FocalMissing,
    NearestFocus,
    OutOfFocus,
    SubjectBlur,
    CameraShake,
    FaceDark,
    FaceBright,
    SplitLight,
    TopLight,
    SunAhead,
    FaceStretched,
    FaceNear,
    Clutter,
    Merger,
    KeepOutSeen,
    AudienceMissing,
    BacksSeen,
    CrewSeen,
    MomentUncovered,
    NoWide,
    NoTight,
    ListenerUncovered,
    FramesAlike,
    SamePlace,
    Late,
    ViewsLost,
    KeepOutEntered,
    EscapeRoute,
    BodyFails,
    GivenUp,
    NeverHappens,
    WontGo,
    LightGoes,
    NotOnKit,
}

/// A rule as it is explained.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RuleFacts {
    pub rule: Rule,
    /// As commands and JSON write it.
    pub word: &'static str,
    pub looks_for: &'static str,
    /// The measured value from which on it is a note, a risk, lost; infinite if never.
    pub from: [f64; 3],
    /// What is measured.
    pub measured: &'static str,
    pub why: &'static str,
}

const NEVER: f64 = f64::INFINITY;

const fn rule(
    rule: Rule,
    word: &'static str,
    looks_for: &'static str,
    from: [f64; 3],
    measured: &'static str,
    why: &'static str,
) -> RuleFacts {
    RuleFacts { rule, word, looks_for, from, measured, why }
}

/// All rules: from which value on a note, a risk, lost.
pub const RULES: [RuleFacts; 43] = [
    rule(
        Rule::NotThere,
        "not-there",
        "somebody the frame is of isn't in the place then",
        [NEVER, NEVER, 1.0],
        "people",
        "a plain fact of the plan",
    ),
    rule(
        Rule::OutOfFrame,
        "out-of-frame",
        "somebody the frame is of falls outside it",
        [NEVER, NEVER, 0.5],
        "share of the face outside",
        "half a face is no face: our own threshold",
    ),
    rule(
        Rule::CameraInside,
        "camera-inside",
        "the camera stands in a wall, thing or person",
        [NEVER, NEVER, 1.0],
        "solids",
        "a plain fact of the plan",
    ),
    rule(
        Rule::FaceHidden,
        "face-hidden",
        "somebody or something covers a face the frame is of",
        [0.12, 0.25, 0.65],
        "share of the face covered, of what is turned to the camera",
        "common practice, no source: an ear may go, an eye may not",
    ),
    rule(
        Rule::FacingAway,
        "facing-away",
        "a face the frame is of is turned away",
        [100.0, 100.0, 100.0],
        "degrees from the camera",
        "beyond 90° it is the back of a head (common practice, no source), ten more for a cheek; lost if no wanted face is left in a tight frame, a note in wide and full ones, where backs may be meant, a risk there if the focus is on one and others show their faces",
    ),
    rule(
        Rule::KissUnseen,
        "kiss-unseen",
        "two kiss and neither face is seen",
        [NEVER, 0.5, 0.7],
        "share of the clearer face that isn't seen; all of it from 120° on",
        "a kiss is taken in profile (common practice, no source); the thresholds are our own, one step milder in wide and full frames",
    ),
    rule(
        Rule::HandsHidden,
        "hands-hidden",
        "the hands that give or get a ring are covered, or outside the frame",
        [0.6, 0.85, NEVER],
        "share of their hands that isn't seen",
        "common practice, no source: the picture is the ring; the thresholds are our own",
    ),
    rule(
        Rule::CutAtJoint,
        "cut-at-joint",
        "the frame's edge cuts through a joint of somebody it is of",
        [1.0, NEVER, NEVER],
        "joints",
        "common practice, no source: cut clearly above or below",
    ),
    rule(
        Rule::Headroom,
        "headroom",
        "the frame's upper edge cuts the head of somebody it is of",
        [0.005, 0.03, NEVER],
        "share of the frame's height that is missing",
        "common practice, no source; close-ups are meant to trim hair",
    ),
    rule(
        Rule::FocalMissing,
        "focal-missing",
        "the shot size takes a focal length that the lens doesn't have",
        [0.10, 0.15, 0.90],
        "shortfall as a ratio, natural logarithm",
        "a tenth is a crop nobody sees, and a note as long as it stays the shot size that was asked; 0.4 is the next shot size, 0.9 two sizes: a crop to less than half the width (table of shot sizes); a focal length set by hand that is 0.75 too wide is a note",
    ),
    rule(
        Rule::NearestFocus,
        "nearest-focus",
        "somebody is nearer than the lens focuses",
        [NEVER, NEVER, 0.001],
        "metres too near",
        "the lens's own limit",
    ),
    rule(
        Rule::OutOfFocus,
        "out-of-focus",
        "a face the frame is of isn't sharp",
        [1.0, 1.5, 4.0],
        "blur disc over the circle of confusion",
        "1 is the limit of depth of field (0.030 mm on 36 × 24: the usual convention); from 4 on it shows on a phone: our own",
    ),
    rule(
        Rule::SubjectBlur,
        "subject-blur",
        "a face the frame is of moves while the shutter is open",
        [1.0, 2.0, 8.0],
        "smear over the circle of confusion",
        "b = v·t·f/(d−f); same limits as for focus, a little milder: our own",
    ),
    rule(
        Rule::CameraShake,
        "camera-shake",
        "the shutter is slower than hands are steady",
        [1.02, 2.0, NEVER],
        "shutter time over 1/(focal length on full frame)",
        "the trade's rule of thumb; stabilisers give more",
    ),
    rule(
        Rule::FaceDark,
        "face-dark",
        "a face the frame is of comes out too dark",
        [NEVER, 1.3, 3.0],
        "stops under a normal exposure",
        "a stop can be lifted, three leave noise: common practice, no source",
    ),
    rule(
        Rule::FaceBright,
        "face-bright",
        "a face the frame is of comes out too bright",
        [NEVER, 1.5, 3.0],
        "stops over a normal exposure",
        "skin burns out about two stops over: common practice, no source",
    ),
    rule(
        Rule::SplitLight,
        "split-light",
        "sun and shade meet on a face the frame is of",
        [0.15, 0.25, NEVER],
        "smaller of the sunlit and the shaded share",
        "common practice, no source; only where sun is twice the other light or more",
    ),
    rule(
        Rule::TopLight,
        "top-light",
        "a high sun puts the eyes in shadow",
        [50.0, NEVER, NEVER],
        "sun's elevation, degrees",
        "common practice, no source",
    ),
    rule(
        Rule::SunAhead,
        "sun-ahead",
        "the sun is in the frame, or near its edge with a long lens",
        [0.0, NEVER, NEVER],
        "always told",
        "eyes and sensors: our own margin of 5° from 50 mm on",
    ),
    rule(
        Rule::FaceStretched,
        "face-stretched",
        "a face near the edge of a wide lens is stretched",
        [1.12, 1.20, NEVER],
        "stretch away from the middle, 1/cos θ",
        "a sphere at θ off the axis comes out 1/cos θ longer than wide (central projection); thresholds are our own",
    ),
    rule(
        Rule::FaceNear,
        "face-near",
        "the camera is so near that noses look large",
        [NEVER, 1.0, NEVER],
        "1 m over the distance",
        "common practice, no source: portraits from a metre and a half on",
    ),
    rule(
        Rule::Clutter,
        "clutter",
        "something ugly stands next to a head the frame is of",
        [0.02, 0.08, NEVER],
        "share of a ring half a head wide round the head",
        "our own",
    ),
    rule(
        Rule::Merger,
        "merger",
        "something upright seems to grow out of a head",
        [1.0, NEVER, NEVER],
        "things",
        "common practice, no source; a risk where it is nearly sharp",
    ),
    rule(
        Rule::KeepOutSeen,
        "kept-out-seen",
        "somebody or something that the frame should keep out is in it",
        [0.0002, 0.002, NEVER],
        "share of the picture",
        "our own: 0.02 % is a few pixels of a phone's screen",
    ),
    rule(
        Rule::AudienceMissing,
        "no-audience",
        "the frame wants guests' faces and has hardly any",
        [0.3, 0.4, NEVER],
        "one over the faces, named people's with them",
        "three faces are few, four an audience: our own",
    ),
    rule(
        Rule::BacksSeen,
        "backs-seen",
        "the frame wants no guests and has the backs of their heads",
        [0.02, 0.06, NEVER],
        "share of the picture that is guests",
        "our own",
    ),
    rule(
        Rule::CrewSeen,
        "crew-seen",
        "another photographer is in the frame",
        [0.0001, 0.0005, NEVER],
        "share of the picture",
        "0.05 % is a head of 20 px in a picture 1000 px wide: our own",
    ),
    rule(
        Rule::MomentUncovered,
        "moment-uncovered",
        "nobody takes a picture in a moment",
        [1.0, NEVER, NEVER],
        "moments",
        "a plain fact of the plan",
    ),
    rule(
        Rule::NoWide,
        "no-wide",
        "the ceremony has no wide frame",
        [NEVER, 1.0, NEVER],
        "ceremonies",
        "common practice, no source",
    ),
    rule(
        Rule::NoTight,
        "no-tight",
        "a moment of the couple has no tight frame of theirs",
        [1.0, NEVER, NEVER],
        "moments",
        "common practice, no source",
    ),
    rule(
        Rule::ListenerUncovered,
        "listener-uncovered",
        "in a vow nobody has the face of who listens",
        [NEVER, 1.0, NEVER],
        "moments",
        "common practice, no source: the picture is the listener",
    ),
    rule(
        Rule::FramesAlike,
        "frames-alike",
        "two photographers take nearly the same picture",
        [NEVER, 1.0, NEVER],
        "pairs",
        "same people and shot size, less than 20° apart, within 5 s: our own",
    ),
    rule(
        Rule::SamePlace,
        "same-place",
        "two photographers stand in one place",
        [NEVER, 0.5, NEVER],
        "one over the metres between them",
        "two cameras in one spot record one picture; 2 m: our own",
    ),
    rule(
        Rule::Late,
        "late",
        "a photographer can't be there in time",
        [NEVER, 0.5, 0.5],
        "seconds",
        "walks at the plan's pace; lost if a frame is due before they are ready",
    ),
    rule(
        Rule::ViewsLost,
        "views-lost",
        "guests lose their view of the couple to a photographer",
        [20.0, 90.0, NEVER],
        "guest-seconds",
        "one guest who sees nothing for 20 s, or twenty for a second, a note as long as nobody loses more than a third: our own",
    ),
    rule(
        Rule::KeepOutEntered,
        "keep-out-entered",
        "a photographer walks where nobody may",
        [NEVER, 1.0, NEVER],
        "places",
        "the venue's own rule; a plan that stands there is refused",
    ),
    rule(
        Rule::EscapeRoute,
        "escape-route",
        "a photographer stands in an escape route",
        [NEVER, 1.0, NEVER],
        "places",
        "local code and the venue decide; a plan is no permission",
    ),
    rule(
        Rule::BodyFails,
        "body-fails",
        "what one body less costs a photographer",
        [1.0, 3.0, NEVER],
        "frames that come too soon after one with the other lens",
        "a lens takes 20 s to change: our own; two bodies each because one fails: common practice, no source",
    ),
    rule(
        Rule::GivenUp,
        "given-up",
        "in a variant nobody is left to take a frame",
        [NEVER, NEVER, 1.0],
        "frames",
        "a plain fact of the variant",
    ),
    rule(
        Rule::NeverHappens,
        "never-happens",
        "in a variant what a frame waits for doesn't happen",
        [NEVER, NEVER, 1.0],
        "frames",
        "a plain fact of the variant; in the plan as it is it stops the program",
    ),
    rule(
        Rule::WontGo,
        "wont-go",
        "people walk into each other or into things, or stand where a photographer should",
        [NEVER, 1.0, NEVER],
        "times",
        "as the run of the ceremony works out",
    ),
    rule(
        Rule::LightGoes,
        "light-goes",
        "how much less light there is if the ceremony starts late",
        [1.0, 2.5, NEVER],
        "stops that an hour takes from a face",
        "one stop is the step from one ISO to the next that shows; two and a half take a lens from f/2.8 past f/1.2: our own",
    ),
    rule(
        Rule::NotOnKit,
        "not-on-kit",
        "aperture, shutter, ISO or focal length asked for is not on the lens or the body",
        [0.05, 0.5, NEVER],
        "stops, or the ratio of focal lengths as a logarithm",
        "the frame is looked at with the nearest there is; half a stop shows: our own",
    ),
];

impl Rule {
    pub fn facts(self) -> &'static RuleFacts {
        RULES.iter().find(|facts| facts.rule == self).unwrap_or(&RULES[0])
    }

    /// How bad a measured value is; `None` below the threshold.
    pub fn severity(self, value: f64) -> Option<Severity> {
        let [note, risk, lost] = self.facts().from;
        match value {
            value if value >= lost => Some(Severity::Lost),
            value if value >= risk => Some(Severity::Risk),
            value if value >= note => Some(Severity::Note),
            _ => None,
        }
    }

    pub fn of_word(word: &str) -> Option<Self> {
        RULES.iter().find(|facts| facts.word == word).map(|facts| facts.rule)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_rule_is_in_the_table_once_under_a_word_of_its_own() {
        let words: BTreeSet<&str> = RULES.iter().map(|facts| facts.word).collect();
        let rules: BTreeSet<Rule> = RULES.iter().map(|facts| facts.rule).collect();
        assert_eq!((words.len(), rules.len()), (RULES.len(), RULES.len()));
        // The last of the enum: its number says how many there are.
        assert_eq!(Rule::NotOnKit as usize + 1, RULES.len());
        for facts in &RULES {
            assert_eq!(facts.rule.facts().word, facts.word);
            assert_eq!(Rule::of_word(facts.word), Some(facts.rule));
        }
    }

    #[test]
    fn thresholds_rise_with_severity() {
        for facts in &RULES {
            let told: Vec<f64> = facts.from.into_iter().filter(|from| from.is_finite()).collect();
            assert!(!told.is_empty() && told.is_sorted(), "{}: {:?}", facts.word, facts.from);
            assert_eq!(facts.rule.severity(told[0] - 1e-6), None, "{}", facts.word);
            assert!(facts.rule.severity(told[0]).is_some(), "{}", facts.word);
        }
    }
}
