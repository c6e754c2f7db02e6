//! What follows from the plan at the instant looked at, worked out once for all panels.

use super::document::Reading;
use super::panels::paint::Layer;
use super::panels::run::{moment_of, moves_of};
use super::wish::Wish;
use crate::drawing::{self, Drawing};
use crate::findings::Findings;
use crate::plan::{LengthUnit, PhotographerIx, Plan};
use crate::sight::{Covered, GuestsSeen};
use crate::staging::{Run, Tableau};
use glam::Vec2;
use rayon::prelude::*;
use std::collections::HashMap;
use std::sync::Arc;

/// Before and after the instant, ways of photographers are drawn so far.
const WAYS_BEFORE_S: f64 = 5.0;
const WAYS_AFTER_S: f64 = 90.0;
/// Share of a view whose loss counts.
const MUCH: f64 = 0.25;

/// Layers of the floor, lowest first.
#[derive(Debug, Clone, Default)]
pub struct Layers {
    pub venue: Layer,
    pub labels: Layer,
    pub covered: Layer,
    pub routes: Layer,
    pub people: Layer,
    pub losing: Layer,
    pub standpoints: Layer,
    pub names: Layer,
    pub sun: Layer,
}

/// Everything that panels draw.
pub struct Shown {
    pub reading: Arc<Reading>,
    pub revision: u64,
    pub at_s: f64,
    pub layers: Layers,
    /// Corners of what is worth showing.
    pub extent: (Vec2, Vec2),
    /// Corners of where people are: seats, marks, standpoints.
    pub middle: (Vec2, Vec2),
    /// Words are placed for this scale, points a metre.
    pub pt_per_m: f32,
    pub moves: Vec<Vec<(f64, f64)>>,
    /// Everybody as they were last drawn, by their key: most stay as they were.
    pub bodies: HashMap<u64, Arc<Layer>>,
    /// Guests who lose a quarter or more of their view of the couple now.
    pub losing: usize,
    pub found: Option<Arc<Findings>>,
    /// What would mend each of them, where a number would.
    pub remedies: Arc<Vec<Option<Wish>>>,
    /// They are those of an earlier text.
    pub found_is_old: bool,
}

impl Shown {
    /// `bodies` of what was shown before.
    pub fn new(
        reading: &Arc<Reading>,
        revision: u64,
        at_s: f64,
        pt_per_m: f32,
        bodies: HashMap<u64, Arc<Layer>>,
    ) -> Self {
        let plan = &reading.plan;
        let extent = drawing::extent(plan);
        let layers = Layers { venue: drawing::venue(plan).into(), ..Layers::default() };
        let mut shown = Self {
            reading: reading.clone(),
            revision,
            at_s,
            layers,
            extent,
            middle: drawing::ceremony_extent(plan),
            pt_per_m,
            moves: vec![],
            bodies,
            losing: 0,
            found: None,
            remedies: Arc::default(),
            found_is_old: true,
        };
        shown.go_to(at_s);
        shown
    }

    pub fn plan(&self) -> &Plan {
        &self.reading.plan
    }

    /// Works out everything that changes with time.
    pub fn go_to(&mut self, at_s: f64) {
        self.at_s = at_s;
        let reading = self.reading.clone();
        let plan = &reading.plan;
        let run = Run::new(plan);
        let tableau = run.tableau(at_s);
        self.moves = (0..plan.crew.len()).map(|crew| moves_of(&run, PhotographerIx(crew))).collect();
        let (low, high) = self.extent;
        let people = self.people(plan, &tableau);
        let with_words = [
            drawing::routes_at(&run, at_s - WAYS_BEFORE_S, at_s + WAYS_AFTER_S, self.pt_per_m),
            drawing::standpoints_at(&run, at_s, self.pt_per_m),
            drawing::labels_at(plan, self.pt_per_m),
            drawing::names_at(plan, &tableau, self.pt_per_m),
        ];
        let each: Vec<&Drawing> = with_words.iter().collect();
        let mut apart = drawing::apart(&each, self.pt_per_m).into_iter().map(Layer::from);
        let mut next = || apart.next().unwrap_or_default();
        self.layers = Layers {
            venue: std::mem::take(&mut self.layers.venue),
            covered: std::mem::take(&mut self.layers.covered),
            losing: std::mem::take(&mut self.layers.losing),
            routes: next(),
            people,
            standpoints: next(),
            labels: next(),
            names: next(),
            sun: compass(plan, at_s, low, high).into(),
        };
    }

    /// Everybody from above, drawn anew only who isn't as before.
    fn people(&mut self, plan: &Plan, tableau: &Tableau) -> Layer {
        let known = std::mem::take(&mut self.bodies);
        let all = drawing::bodies(plan, tableau);
        let draw = |body: &drawing::Body| {
            let key = body.key();
            (key, known.get(&key).cloned().unwrap_or_else(|| Arc::new(Layer::from(body.drawing()))))
        };
        let drawn: Vec<(u64, Arc<Layer>)> = all.par_iter().map(draw).collect();
        let people = Layer::of(drawn.iter().map(|(_, layer)| layer.as_ref()));
        self.bodies = drawn.into_iter().collect();
        people
    }

    /// What cameras cover of the floor and whose view they take, as it was last worked out.
    pub fn cover(&mut self, each: &[(PhotographerIx, Covered)], seen: &GuestsSeen, tableau: &Tableau) {
        let layers = each.iter().flat_map(|(crew, covered)| drawing::covered(covered, *crew).shapes);
        self.layers.covered = Drawing { shapes: layers.collect() }.into();
        self.layers.losing = drawing::guests_losing(seen, tableau).into();
        self.losing = seen.guests.iter().filter(|guest| guest.lost_share >= MUCH).count();
    }

    pub fn moment(&self) -> Option<usize> {
        moment_of(self.plan(), self.at_s).map(|ix| ix.0)
    }

    /// From when to when a photographer walks.
    pub fn run_moves(&self, crew: PhotographerIx) -> &[(f64, f64)] {
        self.moves.get(crew.0).map_or(&[], Vec::as_slice)
    }

    /// A length as the plan's unit has it.
    pub fn length(&self, metres: f32) -> String {
        match self.plan().units {
            LengthUnit::Metres => format!("{metres:.2} m"),
            LengthUnit::Feet => format!("{:.1} ft", f64::from(metres) / LengthUnit::Feet.in_metres()),
        }
    }
}

/// The sun, north and a scale.
fn compass(plan: &Plan, at_s: f64, low: Vec2, high: Vec2) -> Drawing {
    let parts =
        [drawing::sun(plan, at_s, low, high), drawing::north(plan, low, high), drawing::scale_bar(plan, low, high)];
    Drawing { shapes: parts.into_iter().flat_map(|part| part.shapes).collect() }
}
