//! Guests' views over a stretch of the ceremony: how long whose view is lost, and to whom.

use super::{Look, Looked, all_rounded, rounded};
use crate::plan::{MomentIx, PhotographerIx, Plan, StandpointIx};
use crate::staging::run::CrewAt;
use crate::staging::{Figure, Run, moment_at};
use rayon::prelude::*;
use serde::Serialize;
use std::collections::BTreeMap;

/// Guests who lose more of their view than this are counted, and from how many seconds on. *Our own.*
const MUCH_SHARE: f64 = 1.0 / 3.0;
const LONG_S: f64 = 2.0;

/// From when to when, seconds into the ceremony, and how often it is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Stretch {
    pub from_s: f64,
    pub to_s: f64,
    pub every_s: f64,
}

/// Guests' lost views over a stretch. A guest-second is one guest who sees nothing more for a second, or two who lose half of
/// what they would see of the couple's faces.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ViewsLost {
    #[serde(flatten)]
    pub stretch: Stretch,
    /// How many instants were looked at; each stands for the time to the next.
    pub instants: usize,
    #[serde(serialize_with = "rounded")]
    pub lost_guest_s: f64,
    #[serde(serialize_with = "all_rounded")]
    pub by_photographer: BTreeMap<String, f64>,
    /// Most first.
    pub by_standpoint: Vec<StandpointLoss>,
    /// Moments that the stretch touches, in the plan's order.
    pub by_moment: Vec<MomentLoss>,
    /// Who loses most; `None` if nobody loses anything.
    pub worst_guest: Option<String>,
    /// When most is lost at once; the first of several.
    pub worst_instant: Option<InstantLoss>,
    /// Guests who lose more than a third of a view for two seconds or more altogether.
    pub guests_losing_much: usize,
    /// Everybody who is there at any instant, who loses most first.
    pub guests: Vec<GuestLoss>,
}

/// What a photographer takes from one place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StandpointLoss {
    pub photographer: String,
    /// Where they stand, or where they walk to.
    pub standpoint: String,
    /// On the way there.
    pub walking: bool,
    #[serde(serialize_with = "rounded")]
    pub lost_guest_s: f64,
    /// Guests who lose more than a third of their view to it for two seconds or longer.
    pub guests_losing_much: usize,
    /// How long the one of them does who loses it longest.
    #[serde(serialize_with = "rounded")]
    pub longest_s: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MomentLoss {
    pub moment: String,
    #[serde(serialize_with = "rounded")]
    pub lost_guest_s: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InstantLoss {
    pub at_s: f64,
    pub moment: String,
    /// Sum of all guests' lost shares then.
    #[serde(serialize_with = "rounded")]
    pub lost_views: f64,
    #[serde(serialize_with = "all_rounded")]
    pub by_photographer: BTreeMap<String, f64>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GuestLoss {
    pub id: String,
    /// Lost share over the time; seconds of a whole view.
    #[serde(serialize_with = "rounded")]
    pub lost_s: f64,
    /// How long more than a third of the view is lost.
    #[serde(serialize_with = "rounded")]
    pub losing_much_s: f64,
    #[serde(serialize_with = "all_rounded")]
    pub by_photographer: BTreeMap<String, f64>,
}

/// Looks at every instant of a stretch; `looked` is called after each. The result doesn't depend on how many work on it.
pub fn views_lost(run: &Run, stretch: Stretch, looked: impl Fn() + Sync) -> ViewsLost {
    let instants = stretch.instants();
    let found: Vec<Instant> = instants
        .par_iter()
        .map(|&(at_s, lasts_s)| {
            let found = Instant::at(run, at_s, lasts_s);
            looked();
            found
        })
        .collect();
    let mut sum = Sum::default();
    for instant in &found {
        sum.add(run, instant);
    }
    sum.told(run.plan, stretch, found.len())
}

impl Stretch {
    /// Instants with the time each stands for: to the next, the last to the end.
    fn instants(&self) -> Vec<(f64, f64)> {
        let length_s = self.to_s - self.from_s;
        if !(length_s.is_finite() && self.every_s > 0.0) {
            return vec![];
        }
        let count = (length_s / self.every_s - 1e-9).ceil().max(0.0) as usize;
        let at_s = |i: usize| self.from_s + i as f64 * self.every_s;
        (0..count).map(|i| (at_s(i), self.every_s.min(self.to_s - at_s(i)))).collect()
    }
}

/// What is lost at an instant.
struct Instant {
    at_s: f64,
    lasts_s: f64,
    /// Of every guest who is there.
    guests: Vec<Lost>,
}

/// What a guest loses at an instant.
struct Lost {
    id: String,
    /// Mean over the faces.
    share: f64,
    by: Vec<(PhotographerIx, f64)>,
}

impl Instant {
    fn at(run: &Run, at_s: f64, lasts_s: f64) -> Self {
        let tableau = run.tableau(at_s);
        let looked = Looked::new(run.plan, &tableau);
        let lost = |guest: &Figure| {
            let looks: Vec<_> = if looked.may_lose(guest) { looked.looks(guest).collect() } else { vec![] };
            let share = |look: &Look, count: u32| f64::from(count) / f64::from(look.alone) / looks.len() as f64;
            let by =
                looks.iter().flat_map(|(_, look)| look.taken.iter().map(|&(who, count)| (who, share(look, count))));
            let by: Vec<(PhotographerIx, f64)> = by.collect();
            Lost { id: tableau.owner(guest.owner).id.clone(), share: by.iter().map(|(_, share)| share).sum(), by }
        };
        let guests = looked.guests.iter().map(|guest| lost(guest));
        Self { at_s, lasts_s, guests: guests.collect() }
    }
}

/// Where a photographer is, as far as it is told.
type Place = (PhotographerIx, StandpointIx, bool);

#[derive(Default)]
struct Sum {
    by_photographer: BTreeMap<PhotographerIx, f64>,
    by_place: BTreeMap<Place, PlaceSum>,
    by_moment: BTreeMap<MomentIx, f64>,
    by_guest: BTreeMap<String, GuestSum>,
    worst: Option<(f64, f64, BTreeMap<PhotographerIx, f64>)>,
}

/// What is lost to a place.
#[derive(Default)]
struct PlaceSum {
    lost_guest_s: f64,
    /// How long each guest loses much.
    much_s: BTreeMap<String, f64>,
}

#[derive(Default)]
struct GuestSum {
    lost_s: f64,
    losing_much_s: f64,
    by: BTreeMap<PhotographerIx, f64>,
}

impl Sum {
    fn add(&mut self, run: &Run, instant: &Instant) {
        let lasts_s = instant.lasts_s;
        let mut then = BTreeMap::<PhotographerIx, f64>::new();
        for Lost { id, share, by } in &instant.guests {
            let guest = self.by_guest.entry(id.clone()).or_default();
            guest.lost_s += share * lasts_s;
            if *share > MUCH_SHARE {
                guest.losing_much_s += lasts_s;
            }
            for &(who, share) in by {
                *guest.by.entry(who).or_default() += share * lasts_s;
                *then.entry(who).or_default() += share;
            }
        }
        let lost_views: f64 = then.values().sum();
        if let Some(moment) = moment_at(run.plan, instant.at_s) {
            *self.by_moment.entry(MomentIx(moment)).or_default() += lost_views * lasts_s;
        }
        for (&who, views) in &then {
            *self.by_photographer.entry(who).or_default() += views * lasts_s;
            let place = match run.crew_at(who, instant.at_s) {
                CrewAt::At(standpoint) => (who, standpoint, false),
                CrewAt::Walks(it) => (who, it.to, true),
                CrewAt::Away => continue,
            };
            let sum = self.by_place.entry(place).or_default();
            sum.lost_guest_s += views * lasts_s;
            for guest in &instant.guests {
                let share: f64 = guest.by.iter().filter(|it| it.0 == who).map(|it| it.1).sum();
                if share > MUCH_SHARE {
                    *sum.much_s.entry(guest.id.clone()).or_default() += lasts_s;
                }
            }
        }
        if lost_views > self.worst.as_ref().map_or(0.0, |worst| worst.1) {
            self.worst = Some((instant.at_s, lost_views, then));
        }
    }

    fn told(self, plan: &Plan, stretch: Stretch, instants: usize) -> ViewsLost {
        let named = |by: BTreeMap<PhotographerIx, f64>| -> BTreeMap<String, f64> {
            by.into_iter().map(|(who, lost)| (plan.crew[who.0].id.clone(), lost)).collect()
        };
        let moment_id = |ix: MomentIx| plan.moments[ix.0].id.clone();
        let by_guest = self.by_guest.into_iter().map(|(id, sum)| GuestLoss {
            id,
            lost_s: sum.lost_s,
            losing_much_s: sum.losing_much_s,
            by_photographer: named(sum.by),
        });
        let mut guests: Vec<GuestLoss> = by_guest.collect();
        guests.sort_by(|a, b| b.lost_s.total_cmp(&a.lost_s));
        let by_place = self.by_place.into_iter().map(|((who, standpoint, walking), sum)| StandpointLoss {
            photographer: plan.crew[who.0].id.clone(),
            standpoint: plan.standpoints[standpoint.0].id.clone(),
            walking,
            lost_guest_s: sum.lost_guest_s,
            guests_losing_much: sum.much_s.values().filter(|much_s| **much_s >= LONG_S - 1e-9).count(),
            longest_s: sum.much_s.values().copied().fold(0.0, f64::max),
        });
        let mut by_standpoint: Vec<StandpointLoss> = by_place.collect();
        by_standpoint.sort_by(|a, b| b.lost_guest_s.total_cmp(&a.lost_guest_s));
        ViewsLost {
            stretch,
            instants,
            lost_guest_s: self.by_photographer.values().sum(),
            by_photographer: named(self.by_photographer),
            by_standpoint,
            by_moment: self
                .by_moment
                .into_iter()
                .map(|(ix, lost_guest_s)| MomentLoss { moment: moment_id(ix), lost_guest_s })
                .collect(),
            worst_guest: guests.first().filter(|guest| guest.lost_s > 0.0).map(|guest| guest.id.clone()),
            worst_instant: self.worst.map(|(at_s, lost_views, by)| InstantLoss {
                at_s,
                moment: moment_at(plan, at_s).map_or_else(String::new, |moment| moment_id(MomentIx(moment))),
                lost_views,
                by_photographer: named(by),
            }),
            guests_losing_much: guests.iter().filter(|guest| guest.losing_much_s >= LONG_S - 1e-9).count(),
            guests,
        }
    }
}
