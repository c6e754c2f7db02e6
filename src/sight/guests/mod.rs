//! Guests' views: how much of the couple's faces each of them sees, and whose view the crew takes, at an instant and over a
//! stretch of the ceremony.

mod span;
mod view;

pub use span::{GuestLoss, InstantLoss, MomentLoss, StandpointLoss, Stretch, ViewsLost, views_lost};

use crate::plan::{PersonIx, PhotographerIx, Plan, Post};
use crate::staging::{Figure, OwnerKind, Tableau, couple, moment_at};
use serde::{Serialize, Serializer};
use std::collections::BTreeMap;
use view::{Look, Partner, Room};

/// All guests' views of the couple at an instant.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GuestsSeen {
    /// Seconds into the ceremony.
    pub at_s: f64,
    pub moment: Option<String>,
    /// Ids of the partners who are there.
    pub couple: Vec<String>,
    /// Sum of all guests' `lost_share`: 2.5 is as bad as two guests and a half who see nothing more.
    #[serde(serialize_with = "rounded")]
    pub lost_views: f64,
    /// The same by photographer.
    #[serde(serialize_with = "all_rounded")]
    pub by_photographer: BTreeMap<String, f64>,
    /// In the tableau's order.
    pub guests: Vec<GuestView>,
}

/// What one guest sees.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GuestView {
    /// `block/row/seat` counted from 1, or the person's id.
    pub id: String,
    /// Between the eyes, metres.
    pub eyes: [f32; 3],
    /// Mean over the faces.
    #[serde(serialize_with = "rounded")]
    pub lost_share: f64,
    pub faces: Vec<FaceView>,
}

/// How much of a partner's face a guest sees. Shares of what they would see of the face if nothing else were there at all, not
/// even the rest of the partner; `seen_without_crew_share`, `turned_away_share` and all of `covered_by` make 1.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FaceView {
    /// The partner's id.
    pub of: String,
    #[serde(serialize_with = "rounded")]
    pub seen_share: f64,
    #[serde(serialize_with = "rounded")]
    pub seen_without_crew_share: f64,
    /// What the crew takes: the difference of the two.
    #[serde(serialize_with = "rounded")]
    pub lost_share: f64,
    /// The same by photographer.
    #[serde(serialize_with = "all_rounded")]
    pub taken_by: BTreeMap<String, f64>,
    /// What the guest wouldn't see without the crew either, by who or what is before it.
    #[serde(serialize_with = "all_rounded")]
    pub covered_by: BTreeMap<String, f64>,
    /// What the partner's own head, hair, hands or flowers cover.
    #[serde(serialize_with = "rounded")]
    pub turned_away_share: f64,
}

/// Every guest's view at the instant of `tableau`.
///
/// Guests are all who sit in the blocks of seats, and named people whom the plan begins in a seat, wherever they are by then;
/// not the couple. 144 rays are spread over the rectangle round each face as seen from between the guest's eyes, some 130 of
/// which meet it: shares are good to about 0.01 where an upright or level edge covers part of a face, and to 0.03
/// elsewhere. Veils and window glass hide nothing, and nor does anything of the guest's own.
pub fn guests_seen(plan: &Plan, tableau: &Tableau) -> GuestsSeen {
    let looked = Looked::new(plan, tableau);
    let guests: Vec<GuestView> = looked.guests.iter().map(|guest| looked.view(plan, guest)).collect();
    let mut by_photographer = BTreeMap::new();
    for view in &guests {
        for (photographer, share) in view.faces.iter().flat_map(|face| &face.taken_by) {
            *by_photographer.entry(photographer.clone()).or_default() += share / view.faces.len() as f64;
        }
    }
    GuestsSeen {
        at_s: tableau.at_s,
        moment: moment_at(plan, tableau.at_s).map(|moment| plan.moments[moment].id.clone()),
        couple: looked.partners.iter().map(|(partner, _)| plan.people[partner.0].id.clone()).collect(),
        lost_views: guests.iter().map(|guest| guest.lost_share).sum(),
        by_photographer,
        guests,
    }
}

/// An instant's guests and whom they look at.
struct Looked<'a> {
    room: Room<'a>,
    partners: Vec<(PersonIx, Partner<'a>)>,
    guests: Vec<&'a Figure>,
}

impl<'a> Looked<'a> {
    fn new(plan: &Plan, tableau: &'a Tableau) -> Self {
        let room = Room::new(tableau);
        let couple = couple(plan);
        let partner = |&ix: &PersonIx| {
            let figure = tableau.figure_of(OwnerKind::Person(ix))?;
            Some((ix, room.partner(figure.owner)?))
        };
        let partners = couple.iter().filter_map(partner).collect();
        let seated = |ix: PersonIx| {
            let post = plan.people.get(ix.0).and_then(|person| person.post);
            matches!(post, Some(Post::Seat { .. })) && !couple.contains(&ix)
        };
        let watches = |figure: &&Figure| match tableau.owner(figure.owner).kind {
            OwnerKind::Guest { .. } => figure.eyes.is_finite(),
            OwnerKind::Person(ix) => seated(ix) && figure.eyes.is_finite(),
            _ => false,
        };
        let guests = tableau.figures.iter().filter(watches).collect();
        Self { room, partners, guests }
    }

    fn looks<'s>(&'s self, guest: &'s Figure) -> impl Iterator<Item = (PersonIx, Look)> + 's {
        let look = |(ix, partner): &(PersonIx, Partner)| (*ix, self.room.look(guest.owner, guest.eyes, partner));
        self.partners.iter().map(look).filter(|(_, look)| look.alone > 0)
    }

    /// Whether the crew may take something from a guest.
    fn may_lose(&self, guest: &Figure) -> bool {
        self.partners.iter().any(|(_, partner)| self.room.crew_may_cover(guest.eyes, partner))
    }

    fn view(&self, plan: &Plan, guest: &Figure) -> GuestView {
        let faces: Vec<FaceView> =
            self.looks(guest).map(|(partner, look)| face_view(plan, self.room.tableau, partner, &look)).collect();
        GuestView {
            id: self.room.tableau.owner(guest.owner).id.clone(),
            eyes: guest.eyes.to_array(),
            lost_share: faces.iter().map(|face| face.lost_share).sum::<f64>() / faces.len().max(1) as f64,
            faces,
        }
    }
}

fn face_view(plan: &Plan, tableau: &Tableau, partner: PersonIx, look: &Look) -> FaceView {
    let share = |count: u32| f64::from(count) / f64::from(look.alone.max(1));
    let taken: u32 = look.taken.iter().map(|(_, count)| count).sum();
    let taken_by = |(who, count): &(PhotographerIx, u32)| (plan.crew[who.0].id.clone(), share(*count));
    let mut covered_by = BTreeMap::new();
    for &(owner, count) in &look.covered {
        *covered_by.entry(tableau.owner(owner).id.clone()).or_default() += share(count);
    }
    FaceView {
        of: plan.people[partner.0].id.clone(),
        seen_share: share(look.seen),
        seen_without_crew_share: share(look.seen + taken),
        lost_share: share(taken),
        taken_by: look.taken.iter().map(taken_by).collect(),
        covered_by,
        turned_away_share: share(look.turned_away),
    }
}

/// Written to thousandths.
fn rounded<S: Serializer>(value: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64(thousandths(*value))
}

fn all_rounded<S: Serializer>(values: &BTreeMap<String, f64>, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_map(values.iter().map(|(id, value)| (id, thousandths(*value))))
}

fn thousandths(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0
}
