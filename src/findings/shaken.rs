//! How sure a frame is: nobody stands to the centimetre where a plan puts them.
//!
//! People's places, heights and turns, the photographer's own place and the instant are shaken at random, by a seed, and each
//! time it is asked whether the picture is lost. People who hold or kiss each other are shaken together. Guests keep their
//! seats; light stays as it is. Asked with rays to the faces instead of pixels, so that hundreds of tries take a second.

use super::frame::faces::KISS_DEG;
use super::look::{Look, face_points};
use super::rule::Rule;
use crate::optics::{Camera, blur_disc, compose};
use crate::plan::Deed;
use crate::sight::Caster;
use crate::staging::{Chance, Figure, Owner, OwnerIx, OwnerKind, Tableau};
use glam::{Quat, Vec3};
use serde::Serialize;
use std::collections::BTreeMap;

/// How far people stand from where they should. Our own, as asked: a long step, a third of a right angle, a breath.
const PLACE_M: f32 = 0.3;
const PLACE_SITTING_M: f32 = 0.08;
const TURN_DEG: f32 = 20.0;
const TIME_S: f64 = 1.0;
/// Statures in plans are told, not measured.
const STATURE_SHARE: f32 = 0.03;
/// The hand that holds the camera.
const CAMERA_HEIGHT_M: f32 = 0.05;
/// Instants that are staged; a try takes one of them.
const INSTANTS: usize = 5;

/// A frame's share of tries in which it isn't lost.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sureness {
    pub frame: String,
    pub tries: u32,
    /// 0 to 1.
    pub sure: f64,
    /// What most often loses it, and in how many tries.
    pub most_often: Option<(&'static str, u32)>,
}

/// Shakes a frame so many times. A frame that the plan loses as it stands, to light or a missing lens, is lost in every try.
pub fn how_sure(look: &Look, lost_already: Option<Rule>, tries: u32) -> Sureness {
    let frame = look.frame.id.clone();
    if let Some(rule) = lost_already {
        return Sureness { frame, tries, sure: 0.0, most_often: Some((rule.facts().word, tries)) };
    }
    let shaker = Shaker::new(look);
    let mut lost = BTreeMap::<Rule, u32>::new();
    for number in 0..tries {
        if let Some(rule) = shaker.lost_in(number) {
            *lost.entry(rule).or_default() += 1;
        }
    }
    let all: u32 = lost.values().sum();
    let most = lost.into_iter().max_by_key(|(rule, count)| (*count, std::cmp::Reverse(*rule)));
    Sureness {
        frame,
        tries,
        sure: 1.0 - f64::from(all) / f64::from(tries.max(1)),
        most_often: most.map(|(rule, count)| (rule.facts().word, count)),
    }
}

/// Rules whose answer people's places change; the others hold for all tries.
pub const SHAKEN: [Rule; 7] = [
    Rule::OutOfFrame,
    Rule::FaceHidden,
    Rule::FacingAway,
    Rule::KissUnseen,
    Rule::NearestFocus,
    Rule::OutOfFocus,
    Rule::CameraInside,
];

struct Shaker<'l> {
    look: &'l Look<'l>,
    /// All but named people and whoever takes the frame.
    still: Caster<'l>,
    /// Named people and crew at instants round the frame's.
    staged: Vec<Tableau>,
    chance: Chance,
}

impl<'l> Shaker<'l> {
    fn new(look: &'l Look) -> Self {
        let tableau = look.tableau();
        let hides = |index: &usize| {
            let solid = &tableau.solids[*index];
            !solid.is_seen_through()
                && !is_named(tableau.owner(solid.owner))
                && tableau.owner(solid.owner).kind != look.ready.taker
        };
        let still: Vec<usize> = (0..tableau.solids.len()).filter(hides).collect();
        let plan = look.plan;
        let moment = &plan.moments[look.frame.moment.0];
        let staged = (0..INSTANTS).map(|n| {
            let away_s = (n as f64 / (INSTANTS - 1) as f64 * 2.0 - 1.0) * TIME_S;
            // Whoever waits for something doesn't take it in another moment.
            let at_s = (look.at_s() + away_s).clamp(moment.start_s, moment.start_s + moment.length_s);
            named_of(&look.run.tableau(at_s))
        });
        Self {
            look,
            still: Caster::of(tableau, still.into_iter()),
            staged: staged.collect(),
            chance: Chance::new(plan.seed).named("shaken").named(&look.frame.id),
        }
    }

    /// What the picture is lost to in a try.
    fn lost_in(&self, number: u32) -> Option<Rule> {
        let chance = self.chance.with(u64::from(number));
        let instant = ((chance.unit("instant") * INSTANTS as f32) as usize).min(INSTANTS - 1);
        let tableau = self.shaken(&self.staged[instant], chance);
        let look = self.look;
        // Nobody of them there a second earlier: not a frame that is lost, one that isn't taken yet.
        let Ok(composed) = compose(look.plan, look.frame, &tableau, look.ready.metered.lux) else { return None };
        let camera = moved(&composed.camera, chance);
        if !self.still.round(camera.eye).is_empty() {
            return Some(Rule::CameraInside);
        }
        let own: Vec<usize> =
            (0..tableau.solids.len()).filter(|index| !tableau.solids[*index].is_seen_through()).collect();
        let people = Caster::of(&tableau, own.into_iter());
        let figures = look.frame.of.iter().filter_map(|person| tableau.figure_of(OwnerKind::Person(*person)));
        let mut away = 0;
        let mut there = 0;
        let tight = look.is_tight();
        let mut kissing = Vec::new();
        for figure in figures {
            if let OwnerKind::Person(person) = tableau.owner(figure.owner).kind
                && look.run.does(person, Deed::Kisses, tableau.at_s)
            {
                kissing.push(figure);
            } else {
                there += 1;
                if Rule::FacingAway.severity(facing_deg(&camera, figure)).is_some() {
                    away += 1;
                    continue;
                }
            }
            if let Some(rule) = self.lost_face(&tableau, &people, &camera, figure) {
                return Some(rule);
            }
        }
        if tight
            && !kissing.is_empty()
            && kissing.iter().all(|figure| self.is_kiss_unseen(&tableau, &people, &camera, figure))
        {
            return Some(Rule::KissUnseen);
        }
        let embrace = look.faces.iter().any(|face| look.run.does(face.person, Deed::Embraces, look.at_s()));
        (there > 0 && away == there && tight && !embrace).then_some(Rule::FacingAway)
    }

    /// As the rule itself has it, with rays for pixels: a face that is turned too far, or of which too little is left.
    fn is_kiss_unseen(&self, tableau: &Tableau, people: &Caster, camera: &Camera, figure: &Figure) -> bool {
        if facing_deg(camera, figure) > KISS_DEG {
            return true;
        }
        let points = face_points(tableau, camera.eye, figure);
        let own = |index: usize| tableau.solids[index].owner == figure.owner;
        let covered = |(at, _): &&(Vec3, Vec3)| self.is_covered(people, camera.eye, *at, own);
        let share = points.iter().filter(covered).count() as f64 / points.len().max(1) as f64;
        points.is_empty() || Rule::KissUnseen.severity(share) == Some(super::finding::Severity::Lost)
    }

    fn is_covered(&self, people: &Caster, eye: Vec3, at: Vec3, with_them: impl Fn(usize) -> bool) -> bool {
        let way = at - eye;
        let (direction, distance_m) = (way.normalize_or(Vec3::NEG_Z), way.length() - 0.01);
        self.still.blocked(eye, direction, distance_m, |_| false)
            || people.blocked(eye, direction, distance_m, with_them)
    }

    fn lost_face(&self, tableau: &Tableau, people: &Caster, camera: &Camera, figure: &Figure) -> Option<Rule> {
        use super::finding::Severity::Lost;
        let look = self.look;
        let points = face_points(tableau, camera.eye, figure);
        if points.is_empty() {
            return None;
        }
        let share = |count: usize| count as f64 / points.len() as f64;
        let aspect = camera.sensor_m[1] / camera.sensor_m[0];
        let outside = |at: Vec3| {
            camera
                .image_from_world(at, 1.0)
                .is_none_or(|(u, v, _)| !(0.0..1.0).contains(&u) || !(0.0..aspect).contains(&v))
        };
        let is_lost = |rule: Rule, value: f64| (rule.severity(value) == Some(Lost)).then_some(rule);
        if let Some(rule) = is_lost(Rule::OutOfFrame, share(points.iter().filter(|(at, _)| outside(*at)).count())) {
            return Some(rule);
        }
        let with_them = |index: usize| {
            tableau.solids[index].owner == figure.owner
                || self.is_with(tableau, figure.owner, tableau.solids[index].owner)
        };
        let covered = |(at, _): &&(Vec3, Vec3)| self.is_covered(people, camera.eye, *at, with_them);
        if let Some(rule) = is_lost(Rule::FaceHidden, share(points.iter().filter(covered).count())) {
            return Some(rule);
        }
        let depth_m = f64::from((figure.eyes - camera.eye).dot(camera.forward()));
        if let Some(rule) = is_lost(Rule::NearestFocus, look.lens.nearest_focus_m - depth_m) {
            return Some(rule);
        }
        let blur = blur_disc(camera.focal_m, camera.f_number, camera.focus_m, depth_m) / look.confusion_m();
        is_lost(Rule::OutOfFocus, blur).filter(|_| look.is_tight() && look.frame.focus_on.is_none())
    }

    /// Two who kiss or embrace cover each other: that is the picture.
    fn is_with(&self, tableau: &Tableau, a: OwnerIx, b: OwnerIx) -> bool {
        let (OwnerKind::Person(a), OwnerKind::Person(b)) = (tableau.owner(a).kind, tableau.owner(b).kind) else {
            return false;
        };
        let run = self.look.run;
        let close = [Deed::Kisses, Deed::Embraces, Deed::Dances];
        (run.partners_of(a.0).contains(&b.0) || run.partners_of(b.0).contains(&a.0))
            && close.into_iter().any(|deed| run.does(a, deed, tableau.at_s))
    }

    fn shaken(&self, staged: &Tableau, chance: Chance) -> Tableau {
        let mut tableau = staged.clone();
        let groups = self.groups(staged);
        let moves: Vec<Option<Shake>> = (0..tableau.owners.len())
            .map(|owner| {
                let leader = groups[owner]?;
                let middle = middle_of(staged, &groups, leader)?;
                let together = groups.iter().filter(|it| **it == Some(leader)).count() > 1;
                Some(Shake::new(chance.with(leader as u64), middle, together, sits(staged, leader)))
            })
            .collect();
        for solid in &mut tableau.solids {
            if let Some(Some(shake)) = moves.get(solid.owner.0 as usize) {
                solid.at = shake.point(solid.at);
                solid.turned = shake.turned * solid.turned;
            }
        }
        for figure in &mut tableau.figures {
            if let Some(Some(shake)) = moves.get(figure.owner.0 as usize) {
                shake.figure(figure);
            }
        }
        tableau
    }

    /// Of each owner, the first of those they are shaken with; `None` for crew.
    fn groups(&self, staged: &Tableau) -> Vec<Option<usize>> {
        let run = self.look.run;
        let person = |owner: &Owner| match owner.kind {
            OwnerKind::Person(ix) => Some(ix),
            _ => None,
        };
        let near = |a: usize, b: usize| {
            let spot = |k: usize| staged.figures.iter().find(|it| it.owner.0 as usize == k).map(|it| it.sole);
            spot(a).zip(spot(b)).is_some_and(|(a, b)| a.distance(b) < 1.0)
        };
        let mut groups: Vec<Option<usize>> = Vec::with_capacity(staged.owners.len());
        for (k, owner) in staged.owners.iter().enumerate() {
            let own = person(owner).map(|ix| {
                let with = (0..k).find(|j| {
                    person(&staged.owners[*j]).is_some_and(|other| run.partners_of(ix.0).contains(&other.0))
                        && near(*j, k)
                });
                with.and_then(|j| groups[j]).unwrap_or(k)
            });
            groups.push(own);
        }
        groups
    }
}

fn facing_deg(camera: &Camera, figure: &Figure) -> f64 {
    let to_camera = (camera.eye - figure.eyes).normalize_or_zero();
    f64::from(figure.face_forward.dot(to_camera).clamp(-1.0, 1.0)).acos().to_degrees()
}

fn is_named(owner: &Owner) -> bool {
    matches!(owner.kind, OwnerKind::Person(_))
}

/// Named people alone, with everybody's landmarks.
fn named_of(tableau: &Tableau) -> Tableau {
    let solids = tableau.solids.iter().filter(|solid| is_named(tableau.owner(solid.owner))).cloned().collect();
    let figures =
        tableau.figures.iter().filter(|figure| !matches!(tableau.owner(figure.owner).kind, OwnerKind::Guest { .. }));
    Tableau { at_s: tableau.at_s, solids, owners: tableau.owners.clone(), figures: figures.cloned().collect() }
}

fn middle_of(staged: &Tableau, groups: &[Option<usize>], leader: usize) -> Option<Vec3> {
    let soles = staged
        .figures
        .iter()
        .filter(|figure| groups.get(figure.owner.0 as usize) == Some(&Some(leader)))
        .map(|figure| figure.sole);
    let (sum, count) = soles.fold((Vec3::ZERO, 0.0), |(sum, count), sole| (sum + sole, count + 1.0));
    (count > 0.0).then(|| sum / count)
}

/// Whoever sits stays on the chair. (Kneeling, the hip is half as high again.)
fn sits(staged: &Tableau, owner: usize) -> bool {
    let figure = staged.figures.iter().find(|figure| figure.owner.0 as usize == owner);
    figure.is_some_and(|figure| figure.hip.y - figure.sole.y < 0.35 * figure.stature_m)
}

/// One move of a person, or of several together.
struct Shake {
    middle: Vec3,
    by: Vec3,
    turned: Quat,
    taller: f32,
}

impl Shake {
    fn new(chance: Chance, middle: Vec3, together: bool, sits: bool) -> Self {
        let by = Vec3::new(chance.signed("x"), 0.0, chance.signed("z")) * if sits { PLACE_SITTING_M } else { PLACE_M };
        let turned = Quat::from_rotation_y(chance.signed("turn") * TURN_DEG.to_radians());
        // Hands and lips have to meet.
        let taller = if together { 1.0 } else { 1.0 + chance.signed("stature") * STATURE_SHARE };
        Self { middle, by, turned, taller }
    }

    fn point(&self, at: Vec3) -> Vec3 {
        let own = self.turned * (at - self.middle);
        self.middle + self.by + Vec3::new(own.x, own.y * self.taller, own.z)
    }

    fn figure(&self, figure: &mut Figure) {
        let Figure { sole, knee, mid_thigh, hip, waist, chest, shoulder, chin, eyes, crown, hands, .. } = figure;
        for at in [sole, knee, mid_thigh, hip, waist, chest, shoulder, chin, eyes, crown].into_iter().chain(hands) {
            *at = self.point(*at);
        }
        figure.face_forward = self.turned * figure.face_forward;
    }
}

/// The camera held elsewhere, pointed at what was in focus.
fn moved(camera: &Camera, chance: Chance) -> Camera {
    let by = Vec3::new(
        chance.signed("camera x") * PLACE_M,
        chance.signed("camera y") * CAMERA_HEIGHT_M,
        chance.signed("camera z") * PLACE_M,
    );
    let target = camera.eye + camera.forward() * camera.focus_m as f32;
    let eye = camera.eye + by;
    let turned = Camera::look_at(eye, target);
    Camera { eye, turned, focus_m: f64::from(target.distance(eye)), ..*camera }
}
