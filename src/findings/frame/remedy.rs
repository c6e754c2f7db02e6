//! Who would have to stand where for a face to be seen: tried out with the frame's own rays.

use crate::findings::look::{FaceLook, Look, crew_name, face_points};
use crate::findings::mend::Mend;
use crate::findings::words::length;
use crate::plan::Deed;
use crate::sight::Caster;
use crate::staging::{Figure, OwnerIx, OwnerKind};
use glam::{Quat, Vec2, Vec3};

/// Steps and how far somebody may be asked to step aside.
const STEP_M: f32 = 0.1;
const FARTHEST_STEP: u32 = 20;
/// How far to the side, and up or down, other places for the camera are tried.
const SIDEWAYS_M: [f32; 10] = [0.2, 0.4, 0.6, 0.8, 1.0, 1.3, 1.6, 2.0, 2.5, 3.0];
const UPWARDS_M: [f32; 6] = [0.15, -0.15, 0.3, -0.3, 0.5, -0.5];
const CAMERA_HEIGHTS_M: std::ops::RangeInclusive<f32> = 0.5..=2.1;
/// Covers no more than this afterwards. Below the note's threshold, so that the finding goes away.
const LEFT_COVERED: f64 = 0.06;

/// Moved so far, nobody covers anything.
const OUT_OF_SIGHT_M: f32 = 1000.0;

/// From the camera to a face that somebody or something covers.
pub struct Sightline<'l> {
    look: &'l Look<'l>,
    owner: OwnerIx,
    coverer: Option<OwnerIx>,
    /// All but the faces' own people, the one who covers it, and whoever takes the frame.
    others: Caster<'l>,
    own_of_coverer: Caster<'l>,
}

impl<'l> Sightline<'l> {
    pub fn new(look: &'l Look, face: &str, coverer: &str) -> Self {
        let tableau = look.tableau();
        let owner_of = |id: &str| tableau.owners.iter().position(|owner| owner.id == id).map(|ix| OwnerIx(ix as u32));
        let owner = owner_of(face).unwrap_or(OwnerIx(u32::MAX));
        let coverer = owner_of(coverer);
        let hides = |index: usize| {
            !tableau.solids[index].is_seen_through()
                && tableau.owner(tableau.solids[index].owner).kind != look.ready.taker
        };
        let solids = |wanted: bool| {
            let all: Vec<usize> = (0..tableau.solids.len())
                .filter(|index| hides(*index) && (Some(tableau.solids[*index].owner) == coverer) == wanted)
                .collect();
            all
        };
        let others = Caster::of(tableau, solids(false).into_iter());
        let own_of_coverer = Caster::of(tableau, solids(true).into_iter());
        Self { look, owner, coverer, others, own_of_coverer }
    }

    /// Share of a wanted face's points that are covered from `eye`, with the coverer moved by `moved`.
    fn covered(&self, points: &[(Vec3, Vec3)], owner: OwnerIx, eye: Vec3, moved: Vec3) -> f64 {
        let tableau = self.look.tableau();
        let own = |index: usize| tableau.solids[index].owner == owner;
        let is_covered = |(at, _): &&(Vec3, Vec3)| {
            let way = *at - eye;
            let (distance_m, direction) = (way.length() - 0.01, way.normalize_or(Vec3::NEG_Z));
            self.others.blocked(eye, direction, distance_m, own)
                || self.own_of_coverer.blocked(eye - moved, direction, distance_m, own)
        };
        points.iter().filter(is_covered).count() as f64 / points.len().max(1) as f64
    }

    /// Every wanted face is as clear as it would be without whoever covers this one; the others at least as clear as now.
    fn is_clear(&self, eye: Vec3, moved: Vec3) -> bool {
        let camera_eye = self.look.camera().eye;
        self.look.faces.iter().all(|face| {
            let owner = face.figure.owner;
            let elsewhere = (eye != camera_eye).then(|| face_points(self.look.tableau(), eye, &face.figure));
            let points = elsewhere.as_ref().unwrap_or(&face.points);
            // Two who kiss cover each other from everywhere.
            let far = Vec3::Y * OUT_OF_SIGHT_M;
            let kept = match owner == self.owner {
                true => self.covered(&face.points, owner, camera_eye, far),
                false => self.covered(&face.points, owner, camera_eye, Vec3::ZERO),
            };
            // Others would still hide it: then the way out has to be past them too.
            let allowed = if owner == self.owner && !is_held(self.look, face) { 0.0 } else { kept + 0.01 };
            !points.is_empty() && self.covered(points, owner, eye, moved) <= LEFT_COVERED.max(allowed)
        })
    }

    /// The shortest step aside, along the picture's plane, of whoever covers the face: right is positive.
    fn step_aside(&self) -> Option<f32> {
        let camera = self.look.camera();
        let right = camera.turned * Vec3::X;
        let steps = (1..=FARTHEST_STEP).flat_map(|n| [1.0, -1.0].map(|sign| sign * n as f32 * STEP_M));
        steps.into_iter().find(|step_m| self.is_clear(camera.eye, right * *step_m))
    }

    /// The nearest other place for the camera: to its right, up.
    fn other_place(&self) -> Option<[f32; 2]> {
        let camera = self.look.camera();
        let flat = flat_right(self.look);
        let ups = UPWARDS_M.map(|up_m| [0.0, up_m]);
        let sides = SIDEWAYS_M.iter().flat_map(|side_m| [[*side_m, 0.0], [-side_m, 0.0]]);
        let mut moves: Vec<[f32; 2]> = ups.into_iter().chain(sides).collect();
        moves.sort_by(|a, b| (a[0].abs() + a[1].abs()).total_cmp(&(b[0].abs() + b[1].abs())));
        let floor_m = camera.eye.y - self.look.plan.standpoints[self.look.frame.standpoint.0].camera_height_m;
        moves.into_iter().find(|[side_m, up_m]| {
            let eye = camera.eye + flat * *side_m + Vec3::Y * *up_m;
            let stands = CAMERA_HEIGHTS_M.contains(&(eye.y - floor_m)) && self.is_free(eye);
            stands && self.is_clear(eye, Vec3::ZERO)
        })
    }

    fn is_free(&self, eye: Vec3) -> bool {
        self.others.round(eye).is_empty() && is_free(self.look, eye)
    }
}

/// Whether somebody kisses, embraces or dances with them, and covers them from nearly everywhere.
fn is_held(look: &Look, face: &FaceLook) -> bool {
    let close = [Deed::Kisses, Deed::Embraces, Deed::Dances];
    close.into_iter().any(|deed| look.run.does(face.person, deed, look.at_s()))
}

/// No keep-out, and nobody within an arm's length round the camera's place, that a body would be in.
fn is_free(look: &Look, eye: Vec3) -> bool {
    let spot = Vec2::new(eye.x, eye.z);
    let keep_out = look.plan.venue.keep_outs.iter().any(|it| super::super::team::holds(&it.outline, spot));
    let near = |figure: &Figure| {
        let kind = look.tableau().owner(figure.owner).kind;
        kind != look.ready.taker && figure.sole.with_y(0.0).distance(Vec3::new(eye.x, 0.0, eye.z)) < 0.5
    };
    !keep_out && !look.tableau().figures.iter().any(near)
}

/// A place for the camera beside the one it has.
pub struct Place {
    pub by: Vec3,
    /// Towards those the frame is of; below 0 away from them.
    pub nearer_m: f64,
    /// To the picture's right.
    pub right_m: f64,
}

/// How far round those the frame is of other places are tried.
const ROUND_DEG: [f32; 9] = [0.0, 8.0, -8.0, 16.0, -16.0, 24.0, -24.0, 32.0, -32.0];

/// A place so far from those the frame is of that a body has room there and sees them: straight on, else round them.
pub fn place_at(look: &Look, distance_m: f64, wanted_m: f64) -> Option<Place> {
    let round = Round::new(look, distance_m);
    ROUND_DEG.into_iter().find_map(|deg| round.place(deg, (wanted_m / distance_m) as f32))
}

/// A place as far away as now, so many degrees further round those the frame is of; to the right is positive.
pub fn place_round(look: &Look, distance_m: f64, right_deg: f64) -> Option<Place> {
    Round::new(look, distance_m).place(right_deg as f32, 1.0)
}

/// Places round the point that the camera looks at.
struct Round<'l> {
    look: &'l Look<'l>,
    target: Vec3,
    caster: Caster<'l>,
}

impl<'l> Round<'l> {
    fn new(look: &'l Look, distance_m: f64) -> Self {
        let (camera, tableau) = (look.camera(), look.tableau());
        let hides = |index: &usize| {
            !tableau.solids[*index].is_seen_through()
                && tableau.owner(tableau.solids[*index].owner).kind != look.ready.taker
        };
        let caster = Caster::of(tableau, (0..tableau.solids.len()).filter(hides));
        Self { look, target: camera.eye + camera.forward() * distance_m as f32, caster }
    }

    fn place(&self, right_deg: f32, closer: f32) -> Option<Place> {
        let (look, camera) = (self.look, self.look.camera());
        let away = (camera.eye - self.target).with_y(0.0);
        let turned = Quat::from_rotation_y(right_deg.to_radians()) * away * closer;
        let eye = self.target.with_y(camera.eye.y) + turned;
        let by = eye - camera.eye;
        let free = self.caster.round(eye).is_empty() && is_free(look, eye) && self.sees(eye);
        free.then(|| Place {
            by,
            nearer_m: f64::from(by.dot(-away.normalize_or(Vec3::Z))),
            right_m: f64::from(by.dot(flat_right(look))),
        })
    }

    /// Everybody whose face shows now isn't behind anything from there.
    fn sees(&self, eye: Vec3) -> bool {
        self.look.faces.iter().filter(|face| face.shows()).all(|face| {
            let way = face.figure.eyes - eye;
            let own = |index: usize| self.look.tableau().solids[index].owner == face.figure.owner;
            !self.caster.blocked(eye, way.normalize_or(Vec3::NEG_Z), way.length() - 0.01, own)
        })
    }
}

/// What to ask of whom, or where else to stand; empty if nothing near does it.
#[derive(Debug, Default)]
pub struct WayOut {
    pub words: String,
    /// Metres to the right of the picture or up.
    pub numbers: Vec<(&'static str, f64)>,
    pub mends: Vec<Mend>,
}

pub fn way_out(look: &Look, line: &Sightline) -> WayOut {
    let tableau = look.tableau();
    let coverer = line.coverer.map(|ix| tableau.owner(ix));
    let step = coverer.filter(|owner| can_step(look, owner.kind)).and_then(|owner| Some((owner, line.step_aside()?)));
    let place = line.other_place();
    let mut ways = Vec::new();
    let (mut numbers, mut mends) = (Vec::new(), Vec::new());
    if let Some((owner, step_m)) = step {
        numbers.push(("step_right_m", f64::from(step_m)));
        let figure = tableau.figures.iter().find(|figure| tableau.owner(figure.owner).id == owner.id);
        let side = figure.map_or("aside", |figure| own_side(look, figure, step_m));
        ways.push(format!(
            "asked to step {} {side}, {} is out of it",
            length(look.plan, f64::from(step_m.abs())),
            look.name_of(&owner.id)
        ));
    }
    if let Some([side_m, up_m]) = place {
        numbers.extend([("camera_right_m", f64::from(side_m)), ("camera_up_m", f64::from(up_m))]);
        mends = camera_by(look, flat_right(look) * side_m, up_m);
        let photographer = crew_name(look.plan, look.plan.photographer_of(look.frame));
        ways.push(match up_m == 0.0 {
            true => format!(
                "{photographer} {} further {} sees past",
                length(look.plan, f64::from(side_m.abs())),
                if side_m > 0.0 { "right" } else { "left" }
            ),
            false => format!(
                "the camera {} {} sees past",
                length(look.plan, f64::from(up_m.abs())),
                if up_m > 0.0 { "higher" } else { "lower" }
            ),
        });
    }
    WayOut { words: ways.join("; or "), numbers, mends }
}

/// The standpoint moved, and the camera over it.
pub fn camera_by(look: &Look, by: Vec3, up_m: f32) -> Vec<Mend> {
    let standpoint = &look.plan.standpoints[look.frame.standpoint.0];
    let mut mends = Vec::new();
    if by.length() > 1e-3 {
        mends.push(Mend::Stand { at: standpoint.at + Vec2::new(by.x, by.z) });
    }
    if up_m.abs() > 1e-3 {
        mends.push(Mend::CameraHeight { height_m: f64::from(standpoint.camera_height_m + up_m) });
    }
    mends
}

fn flat_right(look: &Look) -> Vec3 {
    (look.camera().turned * Vec3::X).with_y(0.0).normalize_or(Vec3::X)
}

/// Named people who stand, and photographers; guests and whoever sits keep their seats.
fn can_step(look: &Look, kind: OwnerKind) -> bool {
    let stands = |figure: &Figure| figure.hip.y - figure.sole.y > 0.45 * figure.stature_m;
    match kind {
        OwnerKind::Person(_) => look.tableau().figure_of(kind).is_some_and(stands),
        OwnerKind::Photographer(_) => true,
        _ => false,
    }
}

/// The side of their own that a step towards the picture's right is; the picture's where they stand across it.
fn own_side(look: &Look, figure: &Figure, step_m: f32) -> &'static str {
    let way = look.camera().turned * Vec3::X * step_m.signum();
    let facing = figure.face_forward.with_y(0.0).normalize_or(Vec3::NEG_Z);
    let own_right = facing.cross(Vec3::Y);
    match (way.dot(own_right), way.dot(facing)) {
        (right, _) if right > 0.7 => "to their right",
        (right, _) if right < -0.7 => "to their left",
        (_, ahead) if ahead > 0.0 => "forward",
        _ => "back",
    }
}
