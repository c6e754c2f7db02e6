//! What everyone in the blocks of seats does together: standing, looking, clapping.

use super::timeline::Timeline;
use crate::plan::{Cue, Facing, Gesture, Plan, Posture};

/// The guests as a whole; each follows a moment later, in their own time.
#[derive(Debug, Clone, PartialEq)]
pub struct GuestRun {
    pub stand: Timeline<bool>,
    /// What they turn their heads to.
    pub looks: Timeline<Facing>,
    pub gestures: Timeline<Gesture>,
}

impl GuestRun {
    /// As the moments have it; each begins anew.
    pub fn new(plan: &Plan) -> Self {
        let first = plan.moments.first();
        let mut run = Self {
            stand: Timeline::new(first.is_some_and(|moment| moment.guests_stand)),
            looks: Timeline::new(first.and_then(|moment| moment.guests_look).unwrap_or(Facing::Freely)),
            gestures: Timeline::new(Gesture::Rest),
        };
        for moment in plan.moments.iter().skip(1) {
            run.stand.change(moment.start_s, moment.guests_stand);
            run.looks.change(moment.start_s, moment.guests_look.unwrap_or(Facing::Freely));
            run.gestures.change(moment.start_s, Gesture::Rest);
        }
        run
    }

    /// A cue of everyone's.
    pub fn follow(&mut self, cue: &Cue, at_s: f64) {
        match cue.posture {
            Some(Posture::Sitting) => self.stand.change(at_s, false),
            Some(Posture::Standing) => self.stand.change(at_s, true),
            _ => {}
        }
        if let Some(looks) = cue.looks {
            self.looks.change(at_s, looks);
        }
        if let Some(gesture) = cue.gesture {
            self.gestures.change(at_s, gesture);
        }
    }
}
