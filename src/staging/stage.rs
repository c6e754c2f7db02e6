//! Plan and instant to tableau.

use super::carve::Carver;
use super::cast::{carve_cast, cast_landmarks};
use super::crew;
use super::fixtures::carve_fixture;
use super::guests::guests;
use super::meshes::carve_mesh;
use super::people::people;
use super::run::Run;
use super::scene::Scene;
use super::seating::carve_seats;
use super::tableau::{Figure, Owner, OwnerIx, OwnerKind, Tableau};
use super::venue::carve_venue;
use crate::plan::{FixtureIx, MeshIx, Plan, SeatsIx};

/// Everyone and everything at an instant, seconds into the ceremony.
///
/// A pure function: the same plan and instant give the same tableau, bit for bit. An instant before the ceremony shows
/// people at their first places, one after it what the last cues left. Whoever has no place yet, or has left, is absent,
/// and so is a photographer before their first standpoint and after their last.
///
/// For many instants of one plan make a [`Run`] and ask it.
pub fn stage(plan: &Plan, at_s: f64) -> Tableau {
    Run::new(plan).tableau(at_s)
}

impl Run<'_> {
    /// Everyone and everything at an instant; see [`stage`].
    pub fn tableau(&self, at_s: f64) -> Tableau {
        let plan = self.plan;
        let mut tableau = Tableau { at_s, ..Tableau::default() };
        let Tableau { solids, owners, figures, .. } = &mut tableau;
        carve_venue(plan, owners, solids);
        for (i, fixture) in plan.venue.fixtures.iter().enumerate() {
            let owner = own(owners, fixture.id.clone(), OwnerKind::Fixture(FixtureIx(i)));
            carve_fixture(&mut Carver::new(solids, owner), plan, fixture);
        }
        for (i, mesh) in plan.venue.meshes.iter().enumerate() {
            let owner = own(owners, mesh.id.clone(), OwnerKind::Mesh(MeshIx(i)));
            carve_mesh(&mut Carver::new(solids, owner), mesh);
        }
        for (i, block) in plan.venue.seats.iter().enumerate() {
            let owner = own(owners, block.id.clone(), OwnerKind::Seating(SeatsIx(i)));
            carve_seats(&mut Carver::new(solids, owner), &plan.venue, block);
        }
        let scene = Scene::new(self, at_s);
        let mut cast = people(&scene);
        cast.extend(guests(&scene));
        let crew = crew::crew(&scene);
        let first_of_crew = cast.len();
        cast.extend(crew.iter().map(|(actor, _)| actor.clone()));
        *figures = carve_cast(&cast, owners, solids);
        for (k, (_, camera)) in crew.iter().enumerate() {
            let owner = figures[first_of_crew + k].owner;
            crew::carve_camera(&mut Carver::new(solids, owner), camera);
        }
        tableau
    }

    /// Who is there at an instant and their landmarks, without solids: the cheap part of [`Run::tableau`].
    pub fn figures(&self, at_s: f64) -> Vec<(OwnerKind, Figure)> {
        let scene = Scene::new(self, at_s);
        let mut cast = people(&scene);
        cast.extend(guests(&scene));
        cast.extend(crew::crew(&scene).into_iter().map(|(actor, _)| actor));
        cast.iter().map(|actor| actor.kind).zip(cast_landmarks(&cast)).collect()
    }
}

fn own(owners: &mut Vec<Owner>, id: String, kind: OwnerKind) -> OwnerIx {
    owners.push(Owner { id, kind });
    OwnerIx(owners.len() as u32 - 1)
}
