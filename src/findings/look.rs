//! One frame with everything that its rules ask: who is where, what is seen, how people move, how their faces are lit.

use super::finding::Finding;
use super::rule::Rule;
use crate::optics::{Camera, ComposeError, circle_of_confusion};
use crate::picture::{Prepared, light_on_seen_side, picture_size, prepare_in};
use crate::plan::{Body, Frame, Lens, PersonIx, PhotographerIx, Plan, ShotSize};
use crate::sight::{Caster, FaceLight, FrameSeen, PersonSeen, frame_seen};
use crate::staging::{Figure, OwnerKind, Part, Run, Tableau};
use glam::{DVec3, Vec3};

/// Long side of the picture whose pixels are counted, as `standpoint sight` does.
const LONG_PX: u32 = 960;
/// Rays over a face, across and down, and how far they reach from its middle.
const FACE_RAYS: u32 = 13;
const FACE_REACH_M: f32 = 0.15;
/// Half the stretch over which speeds are measured.
const HALF_STEP_S: f64 = 0.05;

/// A frame, looked at.
pub struct Look<'a> {
    pub plan: &'a Plan,
    pub run: &'a Run<'a>,
    pub frame: &'a Frame,
    pub body: &'a Body,
    pub lens: &'a Lens,
    pub ready: Prepared<'a>,
    pub seen: FrameSeen,
    /// Everyone the frame is of who is there.
    pub faces: Vec<FaceLook>,
}

/// A wanted face.
pub struct FaceLook {
    pub person: PersonIx,
    pub name: String,
    pub figure: Figure,
    pub seen: PersonSeen,
    /// Points of the face that would be seen if nothing stood before it, with the way each looks.
    pub points: Vec<(Vec3, Vec3)>,
    /// On the side of the head that the camera sees, at the frame's instant.
    pub light: FaceLight,
    /// Share of its points turned to the sun that the sun reaches; `None` if fewer than a fifth are turned there.
    pub sunlit: Option<f64>,
    /// How often sun and shade change along a row of its points: once where one shadow's edge crosses the face.
    pub sun_edges: f64,
    /// Something stands between the head and the sun.
    pub head_in_shade: bool,
    /// Of the head, metres a second.
    pub velocity_mps: DVec3,
    /// Along the axis.
    pub depth_m: f64,
}

impl FaceLook {
    /// Enough of the face is seen, and turned to the camera, for its sharpness and its light to matter.
    pub fn shows(&self) -> bool {
        let seen = self.seen.parts.get("face").is_some_and(|part| part.visible_px * 5 > part.alone_px);
        seen && self.depth_m > 0.0 && Rule::FacingAway.severity(self.seen.facing_deg).is_none()
    }
}

impl<'a> Look<'a> {
    /// # Errors
    /// Nobody of the frame is there and it has no aim of its own.
    pub fn new(run: &'a Run<'a>, frame: &'a Frame) -> Result<Self, ComposeError> {
        let plan = run.plan;
        let ready = prepare_in(run, frame)?;
        let size = picture_size(ready.composed.camera.sensor_m, LONG_PX);
        let seen = frame_seen(plan, frame, &ready.tableau, &ready.composed.camera, &ready.daylight, size);
        let faces = faces(run, frame, &ready, &seen);
        let (body, lens) = (&plan.kit.bodies[frame.with.body], &plan.kit.lenses[frame.with.lens]);
        Ok(Self { plan, run, frame, body, lens, ready, seen, faces })
    }

    pub fn camera(&self) -> &Camera {
        &self.ready.composed.camera
    }

    pub fn tableau(&self) -> &Tableau {
        &self.ready.tableau
    }

    /// Blur that still passes for sharp, metres on the sensor.
    pub fn confusion_m(&self) -> f64 {
        circle_of_confusion(self.camera().sensor_m)
    }

    pub fn pixels(&self) -> f64 {
        f64::from(self.seen.width) * f64::from(self.seen.height)
    }

    pub fn at_s(&self) -> f64 {
        self.plan.at_s(self.frame)
    }

    /// From a three-quarter on faces are what the frame is about.
    pub fn is_tight(&self) -> bool {
        !matches!(self.frame.shot_size, ShotSize::Wide | ShotSize::Full)
    }

    /// The plan says on whom the focus lies, it is somebody else, and their face shows: this one may be soft or turned away.
    pub fn is_secondary(&self, face: &FaceLook) -> bool {
        self.frame.focus_on.is_some_and(|first| {
            first != face.person && self.faces.iter().any(|other| other.person == first && other.shows())
        })
    }

    /// A finding about this frame if the value is worth one.
    pub fn finding(&self, rule: Rule, value: f64, sentence: impl FnOnce() -> String) -> Option<Finding> {
        rule.severity(value).map(|severity| self.about(Finding::new(rule, severity, sentence())))
    }

    /// Fills in which frame it is about.
    pub fn about(&self, finding: Finding) -> Finding {
        about(self.plan, self.frame, finding)
    }

    /// A person's, photographer's or guest's name as sentences have it; of things the id.
    pub fn name_of(&self, id: &str) -> String {
        name_of(self.plan, id)
    }
}

/// Fills in which frame a finding is about.
pub fn about(plan: &Plan, frame: &Frame, finding: Finding) -> Finding {
    Finding {
        moment: plan.moments[frame.moment.0].id.clone(),
        frame: frame.id.clone(),
        photographer: plan.crew[plan.photographer_of(frame).0].id.clone(),
        at_s: Some((plan.at_s(frame) * 10.0).round() / 10.0),
        ..finding
    }
}

/// As sentences have it.
pub fn name_of(plan: &Plan, id: &str) -> String {
    let person = plan.people.iter().position(|person| person.id == id).map(|ix| short_name(plan, PersonIx(ix)));
    let crew = || plan.crew.iter().position(|it| it.id == id).map(|ix| crew_name(plan, PhotographerIx(ix)));
    let guest = || id.contains('/').then(|| format!("the guest in {}", seat(id)));
    let thing = || format!("the {}", id.replace(['-', '_'], " "));
    person.or_else(crew).or_else(guest).unwrap_or_else(thing)
}

/// The first of somebody's names where nobody else has it.
pub fn short_name(plan: &Plan, person: PersonIx) -> String {
    short(plan, &plan.people[person.0].name)
}

pub fn crew_name(plan: &Plan, photographer: PhotographerIx) -> String {
    short(plan, &plan.crew[photographer.0].name)
}

fn short(plan: &Plan, name: &str) -> String {
    let first = |name: &str| name.split_whitespace().next().map(str::to_owned);
    let all = plan.people.iter().map(|it| it.name.as_str()).chain(plan.crew.iter().map(|it| it.name.as_str()));
    match first(name) {
        Some(own) if all.filter(|it| first(it).as_ref() == Some(&own)).count() == 1 => own,
        _ => name.to_owned(),
    }
}

/// `left/3/2` as words.
fn seat(id: &str) -> String {
    match id.split('/').collect::<Vec<_>>()[..] {
        [block, row, seat] => format!("`{block}` row {row} seat {seat}"),
        _ => id.to_owned(),
    }
}

fn faces(run: &Run, frame: &Frame, ready: &Prepared, seen: &FrameSeen) -> Vec<FaceLook> {
    let tableau = &ready.tableau;
    let caster = Caster::new(tableau);
    let around = [-1.0, 1.0].map(|sign| run.figures(tableau.at_s + sign * HALF_STEP_S));
    let camera = &ready.composed.camera;
    let look = |&person: &PersonIx| {
        let kind = OwnerKind::Person(person);
        let figure = tableau.figure_of(kind)?.clone();
        let id = &run.plan.people[person.0].id;
        let seen = seen.people.iter().find(|it| it.id == *id)?.clone();
        let points = face_points(tableau, camera.eye, &figure);
        let eyes = |figures: &[(OwnerKind, Figure)]| figures.iter().find(|it| it.0 == kind).map(|it| it.1.eyes);
        let velocity_mps = match (eyes(&around[0]), eyes(&around[1])) {
            (Some(before), Some(after)) => (after - before).as_dvec3() / (2.0 * HALF_STEP_S),
            _ => DVec3::ZERO,
        };
        let sun = sun_on(&caster, ready, &figure, &points);
        Some(FaceLook {
            person,
            name: short_name(run.plan, person),
            light: light_on_seen_side(camera, tableau, &figure, &ready.daylight, &ready.sources),
            sunlit: sun.share,
            sun_edges: sun.edges,
            head_in_shade: head_in_shade(&caster, ready, &figure),
            depth_m: f64::from((figure.eyes - camera.eye).dot(camera.forward())),
            velocity_mps,
            points,
            seen,
            figure,
        })
    };
    frame.of.iter().filter_map(look).collect()
}

/// Where rays from `eye` meet the face with nothing in the way, with the normals there.
pub fn face_points(tableau: &Tableau, eye: Vec3, figure: &Figure) -> Vec<(Vec3, Vec3)> {
    let own = |part: fn(Part) -> bool| {
        let solids = tableau.solids.iter().enumerate();
        solids.filter(move |(_, it)| it.owner == figure.owner && part(it.part)).map(|(index, _)| index)
    };
    let head: Vec<usize> = own(|part| matches!(part, Part::Face | Part::Head | Part::Hair | Part::Hat)).collect();
    let alone = Caster::of(tableau, head.into_iter());
    let middle = figure.eyes.midpoint(figure.chin);
    let forward = (middle - eye).normalize_or(Vec3::NEG_Z);
    let (across, up) = forward.any_orthonormal_pair();
    let step = |n: u32| (n as f32 / (FACE_RAYS - 1) as f32 * 2.0 - 1.0) * FACE_REACH_M;
    let rays = (0..FACE_RAYS * FACE_RAYS).map(|n| middle + across * step(n % FACE_RAYS) + up * step(n / FACE_RAYS));
    rays.filter_map(|spot| {
        let direction = (spot - eye).normalize_or(forward);
        let hit = alone.first_hit(eye, direction, 1000.0, |_| false)?;
        let is_face = tableau.solids[hit.solid].part == Part::Face;
        is_face.then(|| (eye + direction * hit.distance_m, hit.normal))
    })
    .collect()
}

/// The sun on a face.
struct SunOn {
    share: Option<f64>,
    edges: f64,
}

fn sun_on(caster: &Caster, ready: &Prepared, figure: &Figure, points: &[(Vec3, Vec3)]) -> SunOn {
    let (to_sun, tableau) = (ready.daylight.to_sun, &ready.tableau);
    if ready.daylight.sun_lux <= 0.0 {
        return SunOn { share: None, edges: 0.0 };
    }
    let turned: Vec<&(Vec3, Vec3)> = points.iter().filter(|(_, normal)| normal.dot(to_sun) > 0.15).collect();
    let is_lit = |(at, normal): &(Vec3, Vec3)| {
        !caster.blocked(*at + *normal * 0.004, to_sun, 2000.0, |index| {
            let solid = &tableau.solids[index];
            solid.is_seen_through() || (solid.owner == figure.owner && matches!(solid.part, Part::Face | Part::Head))
        })
    };
    let lit: Vec<bool> = turned.iter().map(|point| is_lit(point)).collect();
    // Neighbours of the same plane of the face: next to each other as the rays went.
    let neighbours = || turned.windows(2).zip(lit.windows(2)).filter(|(pair, _)| pair[0].1.dot(pair[1].1) > 0.9);
    let differ = neighbours().filter(|(_, lit)| lit[0] != lit[1]).count();
    let enough = !turned.is_empty() && turned.len() * 5 >= points.len();
    SunOn {
        share: enough.then(|| lit.iter().filter(|lit| **lit).count() as f64 / lit.len() as f64),
        // As many rows as a square of so many points has.
        edges: differ as f64 / (turned.len() as f64).sqrt().max(1.0),
    }
}

/// Asked from the crown, and a little to each side of it.
fn head_in_shade(caster: &Caster, ready: &Prepared, figure: &Figure) -> bool {
    let to_sun = ready.daylight.to_sun;
    let crown = figure.eyes + Vec3::Y * 0.12;
    let own = |index: usize| {
        let solid = &ready.tableau.solids[index];
        solid.is_seen_through() || solid.owner == figure.owner
    };
    let (across, _) = to_sun.any_orthonormal_pair();
    [-0.08, 0.0, 0.08].into_iter().filter(|aside| caster.blocked(crown + across * *aside, to_sun, 2000.0, own)).count()
        >= 2
}
