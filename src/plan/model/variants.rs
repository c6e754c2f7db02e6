//! Named variants: what may come differently on the day. A plan in a variant is a plan like any other.

use super::{BodyWithLens, Cue, CueIx, Frame, PhotographerIx, Plan, Sky};
use jiff::SignedDuration;

/// What comes differently.
#[derive(Debug, Clone, Default)]
pub struct Variant {
    pub id: String,
    /// As people call it.
    pub name: String,
    pub starts_later_s: f64,
    pub sky: Option<Sky>,
    /// Cues that nobody follows.
    pub skips: Vec<CueIx>,
    /// Cues that are followed in this variant alone.
    pub adds: Vec<(CueIx, Cue)>,
    pub fails: Vec<Failing>,
    /// Photographers who don't come.
    pub without: Vec<PhotographerIx>,
    /// The plan in another venue, with its marks and standpoints moved there.
    pub elsewhere: Option<Box<Plan>>,
}

/// Kit that doesn't work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Failing {
    Body(usize),
    Lens(usize),
}

/// A plan in a variant.
#[derive(Debug, Clone)]
pub struct Varied {
    pub plan: Plan,
    /// Frames that nobody is left to take, or that no body and lens are left for.
    pub given_up: Vec<Frame>,
}

impl Plan {
    /// The plan as it goes in a variant. Whoever's body or lens fails takes what they carry that comes nearest; lenses move to
    /// the body that is left.
    pub fn in_variant(&self, variant: &Variant) -> Varied {
        let mut plan = variant.elsewhere.as_deref().unwrap_or(self).clone();
        plan.start = &plan.start + SignedDuration::from_millis((variant.starts_later_s * 1000.0).round() as i64);
        plan.sky = variant.sky.unwrap_or(plan.sky);
        for ix in &variant.skips {
            plan.set_cue(*ix, idle);
        }
        for (ix, cue) in &variant.adds {
            plan.set_cue(*ix, |_| cue.clone());
        }
        for standpoint in plan.standpoints.iter_mut().filter(|it| variant.without.contains(&it.photographer)) {
            standpoint.during.clear();
        }
        let works = |pair: &BodyWithLens| {
            !variant.fails.contains(&Failing::Body(pair.body)) && !variant.fails.contains(&Failing::Lens(pair.lens))
        };
        for photographer in &mut plan.crew {
            let (left, _): (Vec<_>, Vec<_>) = photographer.carries.iter().partition(|pair| works(pair));
            // Whoever has no working pair left may still put a working lens on a working body.
            let body = photographer
                .carries
                .iter()
                .map(|pair| pair.body)
                .find(|body| !variant.fails.contains(&Failing::Body(*body)));
            let moved = photographer
                .carries
                .iter()
                .filter(|pair| !works(pair) && !variant.fails.contains(&Failing::Lens(pair.lens)));
            let moved: Vec<BodyWithLens> =
                body.map_or(vec![], |body| moved.map(|pair| BodyWithLens { body, lens: pair.lens }).collect());
            photographer.carries = left.into_iter().copied().chain(moved).collect();
        }
        let mut given_up = Vec::new();
        let mut frames = Vec::with_capacity(plan.frames.len());
        for frame in std::mem::take(&mut plan.frames) {
            let gone = variant.without.contains(&self.photographer_of(&frame));
            match self.pair_left(&frame, &variant.fails).filter(|_| !gone) {
                Some(with) => frames.push(Frame { with, ..frame }),
                None => given_up.push(frame),
            }
        }
        plan.frames = frames;
        Varied { plan, given_up }
    }

    fn set_cue(&mut self, ix: CueIx, change: impl Fn(&Cue) -> Cue) {
        if let Some(cue) = self.moments.get_mut(ix.moment.0).and_then(|moment| moment.cues.get_mut(ix.cue)) {
            *cue = change(cue);
        }
    }

    /// Body and lens for a frame once some don't work: its own, else its lens on the photographer's other body, else of the
    /// other lenses the one whose focal lengths come nearest.
    fn pair_left(&self, frame: &Frame, fails: &[Failing]) -> Option<BodyWithLens> {
        let carries = &self.crew[self.photographer_of(frame).0].carries;
        let body_works = |body: usize| !fails.contains(&Failing::Body(body));
        let lens_works = |lens: usize| !fails.contains(&Failing::Lens(lens));
        let body = match body_works(frame.with.body) {
            true => frame.with.body,
            false => carries.iter().map(|pair| pair.body).find(|body| body_works(*body))?,
        };
        if lens_works(frame.with.lens) {
            return Some(BodyWithLens { body, lens: frame.with.lens });
        }
        let middle = |lens: usize| {
            let [short_m, long_m] = self.kit.lenses[lens].focal_m;
            (short_m * long_m).sqrt()
        };
        let wanted_m = frame.focal_m.unwrap_or_else(|| middle(frame.with.lens));
        let off = |lens: usize| {
            let [short_m, long_m] = self.kit.lenses[lens].focal_m;
            (wanted_m / wanted_m.clamp(short_m, long_m)).ln().abs()
        };
        let left = carries.iter().map(|pair| pair.lens).filter(|lens| lens_works(*lens));
        left.min_by(|a, b| off(*a).total_cmp(&off(*b))).map(|lens| BodyWithLens { body, lens })
    }
}

/// A cue that nobody follows; others may still wait for it.
pub fn idle(cue: &Cue) -> Cue {
    Cue { id: cue.id.clone(), follows: cue.follows, after_s: cue.after_s, written: cue.written, ..Cue::default() }
}
