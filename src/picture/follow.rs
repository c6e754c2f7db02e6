//! What a photographer's camera sees at any instant, planned frame or not: the camera stays on the frame that is worked on,
//! and follows its people.

use crate::plan::{
    Aim, AudienceWish, Exposure, Frame, MomentIx, Orientation, PhotographerIx, Plan, ShotSize, Span, StandpointIx,
};
use crate::staging::run::CrewAt;
use crate::staging::{Run, attention_point, current_frame, moment_at};
use glam::Vec2;

/// What is in a photographer's finder at an instant.
#[derive(Debug, Clone)]
pub enum InTheFinder {
    /// A picture: the frame that is worked on, moved to the instant.
    Frame(Box<Frame>),
    /// Nothing: the camera is down on the way to this standpoint.
    Walks(StandpointIx),
    /// Nothing: before the first standpoint, or after the last.
    Away,
}

/// What a photographer has in the finder at an instant. The frame returned is a copy of the one worked on then, taken at
/// that instant. Where none of its people is there, and at a standpoint with no frames, it is of nobody and aimed at what
/// everybody looks at, so that a camera can always be pointed for it.
pub fn in_the_finder(run: &Run, photographer: PhotographerIx, at_s: f64) -> InTheFinder {
    let plan = run.plan;
    let standpoint = match run.crew_at(photographer, at_s) {
        CrewAt::At(standpoint) => standpoint,
        CrewAt::Walks(way) => return InTheFinder::Walks(way.to),
        CrewAt::Away => return InTheFinder::Away,
    };
    let planned = current_frame(run, photographer, at_s).and_then(|ix| plan.frames.get(ix)).cloned();
    let Some(mut frame) = planned.or_else(|| idle(plan, photographer, standpoint)) else { return InTheFinder::Away };
    if !somebody_there(&frame, run, at_s) {
        let eyes = attention_point(run, at_s);
        frame.aim = Some(Aim::Point { at: Vec2::new(eyes.x, eyes.z), height_m: eyes.y });
        frame.of = vec![];
        frame.focus_on = None;
    }
    let moment = moment_at(plan, at_s).unwrap_or(0);
    frame.moment = MomentIx(moment);
    frame.after_s = at_s - plan.moments.get(moment).map_or(0.0, |moment| moment.start_s);
    frame.when = None;
    InTheFinder::Frame(Box::new(frame))
}

/// Whether a camera can be pointed by the frame itself.
fn somebody_there(frame: &Frame, run: &Run, at_s: f64) -> bool {
    let aimed_at = match frame.aim {
        Some(Aim::Person(person)) => Some(person),
        Some(_) => return true,
        None => None,
    };
    frame.of.iter().chain(&aimed_at).any(|person| run.spot(person.0, at_s).is_some())
}

/// What one does with the camera up and nothing planned: watches, with the first camera, full length, metered.
fn idle(plan: &Plan, photographer: PhotographerIx, standpoint: StandpointIx) -> Option<Frame> {
    let with = *plan.crew.get(photographer.0)?.carries.first()?;
    let widest_f = plan.kit.lenses.get(with.lens)?.widest_f;
    Some(Frame {
        id: String::new(),
        moment: MomentIx(0),
        after_s: 0.0,
        when: None,
        standpoint,
        with,
        focal_m: None,
        orientation: Orientation::Landscape,
        of: vec![],
        shot_size: ShotSize::Full,
        aim: None,
        exposure: Exposure {
            f_number: widest_f[0].max(widest_f[1]).max(4.0),
            shutter_s: 1.0 / 250.0,
            iso: None,
            compensation_ev: 0.0,
        },
        focus_on: None,
        audience: AudienceWish::NoMatter,
        keep_out: vec![],
        note: String::new(),
        written: Span::default(),
    })
}
