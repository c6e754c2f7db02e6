//! Photographers at their standpoints: in black, a camera at the eye, the lens exactly where the plan has it.

use super::aim::aim;
use super::angle::wrapped;
use super::carve::{Carver, Place, cut, of, rgb};
use super::cast::{Actor, body_of};
use super::chance::Chance;
use super::figure::eyes;
use super::figure::gesture::{Arms, Idle};
use super::figure::proportions::Body;
use super::figure::skeleton::{self, Bearing, HEAD_NOD, Stance};
use super::floor::floor_height;
use super::gait;
use super::run::{CrewAt, Move, smooth};
use super::scene::{Scene, standpoint_eye};
use super::tableau::{Finish, OwnerKind, Part};
use crate::plan::{Build, Clothes, ClothesKind, Frame, Held, PhotographerIx, Plan, StandpointIx};
use glam::{Quat, Vec3};

/// A photographer's camera: the view's origin and direction, and what is mounted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeldCamera {
    pub eye: Vec3,
    /// Turns camera space (−z ahead) into world space.
    pub turned: Quat,
    /// Lens barrel from the front rim to the mount.
    pub barrel_m: f32,
    pub portrait: bool,
}

/// Photographers who are somewhere at this instant, each with the camera they hold.
pub fn crew(scene: &Scene) -> Vec<(Actor, HeldCamera)> {
    (0..scene.plan.crew.len()).filter_map(|i| photographer(scene, PhotographerIx(i))).collect()
}

fn photographer(scene: &Scene, ix: PhotographerIx) -> Option<(Actor, HeldCamera)> {
    let person = scene.plan.crew.get(ix.0)?;
    let chance = Chance::new(scene.plan.seed).named("crew").named(&person.id);
    let body = body_of(person.stature_m, Build::Middling, ClothesKind::Shirt);
    let (stance, camera) = match scene.run.crew_at(ix, scene.at_s) {
        CrewAt::Away => return None,
        CrewAt::At(standpoint) => at_the_finder(scene, ix, standpoint, &body, chance)?,
        CrewAt::Walks(it) => between(scene, ix, it, &body, chance)?,
    };
    let back = Place::new(camera.eye, camera.turned);
    let right = back.point(Vec3::new(0.075, -0.015, camera.barrel_m + BODY_DEPTH_M * 0.5));
    let left = back.point(Vec3::new(-0.01, -0.060, camera.barrel_m * 0.30 + 0.085));
    let actor = Actor {
        id: person.id.clone(),
        kind: OwnerKind::Photographer(ix),
        body,
        looks: person.looks,
        clothes: Clothes { kind: ClothesKind::Shirt, main: BLACK, second: BLACK, veil: false },
        stance,
        arms: Arms::Photographs([right, left]),
        holds: Held::Nothing,
        idle: Idle::Hang,
        other: None,
        accent: BLACK,
        chance,
        at_s: scene.at_s,
        since_s: 0.0,
        arms_before: None,
    };
    Some((actor, camera))
}

/// On the way: from the finder up to walking with the camera before the chest, and down to the finder again.
fn between(scene: &Scene, ix: PhotographerIx, it: &Move, body: &Body, chance: Chance) -> Option<(Stance, HeldCamera)> {
    let at_s = scene.at_s;
    let (stance, camera) = walking(scene, it, body, chance);
    // How much of standing at the finder there is, and at which.
    let (standpoint, finder_s, share) = if at_s < it.walk_begins_s {
        (it.from, it.leaves_s, 1.0 - smooth(((at_s - it.leaves_s) / (it.walk_begins_s - it.leaves_s).max(1e-3)) as f32))
    } else if at_s > it.walk_ends_s {
        (it.to, it.ready_s, smooth(((at_s - it.walk_ends_s) / (it.ready_s - it.walk_ends_s).max(1e-3)) as f32))
    } else {
        return Some((stance, camera));
    };
    let (finder, seen) = at_the_finder(scene, ix, standpoint, body, chance)?;
    // The way round that it is when the camera is up, however what it is pointed at moves meanwhile.
    let then = at_the_finder(&Scene::new(scene.run, finder_s), ix, standpoint, body, chance)?.0.heading;
    let whole = wrapped(then - stance.heading);
    let way = wrapped(finder.heading - stance.heading);
    let way = way + std::f32::consts::TAU * ((whole - way) / std::f32::consts::TAU).round();
    let blended = Stance {
        feet: stance.feet.lerp(finder.feet, share),
        heading: stance.heading + way * share,
        bearing: finder.bearing,
        stride: None,
        before: (share < 1.0).then_some((Bearing::Standing, 1.0 - share)),
        look_at: None,
        lean: finder.lean * share,
        rise_m: finder.rise_m * share,
        head: match (stance.head, finder.head) {
            (Some(a), Some(b)) => Some(a.lerp(b, share)),
            _ => finder.head,
        },
        chance,
    };
    let camera = HeldCamera {
        eye: camera.eye.lerp(seen.eye, share),
        turned: camera.turned.slerp(seen.turned, share).normalize(),
        barrel_m: seen.barrel_m,
        portrait: seen.portrait && share > 0.5,
    };
    Some((blended, camera))
}

fn walking(scene: &Scene, it: &Move, body: &Body, chance: Chance) -> (Stance, HeldCamera) {
    let venue = &scene.plan.venue;
    let length_m = it.path.length_m();
    let travelled_m = it.travelled_m(scene.at_s);
    let heading_at = |m: f32| it.path.heading_at(m).unwrap_or(0.0);
    let spot = it.path.at(travelled_m);
    let heading = heading_at(travelled_m);
    let walks = it.walk_begins_s < scene.at_s && scene.at_s < it.walk_ends_s && length_m > 0.0;
    let stride = walks.then(|| {
        let steps = gait::Walk::new(body, chance, length_m, it.pace_mps(), 0.0);
        steps.stride(travelled_m, |m| (it.path.at(m), heading_at(m)), |spot| floor_height(venue, spot))
    });
    let floor = stride.map_or_else(|| floor_height(venue, spot), |stride| stride.root.y);
    let stance = Stance {
        feet: Vec3::new(spot.x, floor, spot.y),
        heading,
        bearing: Bearing::Standing,
        stride,
        before: None,
        look_at: None,
        lean: 0.0,
        rise_m: 0.0,
        head: Some(Vec3::new(0.0, -0.05, 0.0)),
        chance,
    };
    // Before the chest, lens down and ahead.
    let turned = Quat::from_rotation_y(-heading) * Quat::from_rotation_x(-0.6);
    let (sin, cos) = heading.sin_cos();
    let ahead = Vec3::new(sin, 0.0, -cos);
    let eye = Vec3::new(spot.x, floor + 0.66 * body.stature, spot.y) + ahead * 0.38;
    let barrel_m =
        barrel(scene.plan, None, scene.plan.crew.get(it.photographer.0).and_then(|p| p.carries.first().copied()));
    (stance, HeldCamera { eye, turned: turned.normalize(), barrel_m, portrait: false })
}

/// Standing, kneeling or crouching so that the eye is at the finder, the lens exactly where the plan has it.
fn at_the_finder(
    scene: &Scene,
    ix: PhotographerIx,
    standpoint: StandpointIx,
    body: &Body,
    chance: Chance,
) -> Option<(Stance, HeldCamera)> {
    let plan = scene.plan;
    let person = plan.crew.get(ix.0)?;
    let held = plan.standpoints.get(standpoint.0)?;
    let eye = standpoint_eye(plan, held);
    let aim = aim(scene, ix, standpoint);
    let frame = aim.frame;
    let first = person.carries.first().copied();
    let mut barrel_m = barrel(plan, frame, first);
    if let Some((earlier, done)) = aim.before {
        // The other body comes up, the face goes as far back as its lens is longer.
        let earlier_m = barrel(plan, Some(earlier), first);
        barrel_m = earlier_m + (barrel_m - earlier_m) * smooth(done);
    }
    let (yaw, pitch) = (aim.yaw, aim.pitch);
    let turned = level(yaw, pitch);
    let camera = HeldCamera {
        eye,
        turned,
        barrel_m,
        portrait: frame.is_some_and(|f| f.orientation == crate::plan::Orientation::Portrait),
    };
    let stature_m = person.stature_m;
    let floor = eye.y - held.camera_height_m;
    let ahead = turned * Vec3::NEG_Z;
    let flat = Vec3::new(ahead.x, 0.0, ahead.z).normalize_or(Vec3::NEG_Z);
    let heading = flat.x.atan2(-flat.z);
    // The finder is behind the camera's back; a camera above the head or near the floor is held there instead.
    let finder = eye - ahead * (camera.barrel_m + BODY_DEPTH_M + 0.035);
    let height = finder.y - floor;
    // By the camera's height, which stays as the camera swings.
    let bearing = match held.camera_height_m / stature_m {
        r if r >= 0.85 => Bearing::Standing,
        r if (0.62..0.74).contains(&r) => Bearing::OnOneKnee,
        r => Bearing::Bent { hip_m: (r - 0.37).clamp(0.17, 0.52) * stature_m },
    };
    let mut stance = Stance {
        feet: Vec3::new(finder.x, floor, finder.z),
        heading,
        bearing,
        stride: None,
        before: None,
        look_at: None,
        lean: 0.0,
        rise_m: 0.0,
        head: Some(Vec3::new(0.0, pitch.clamp(-HEAD_NOD, HEAD_NOD), 0.0)),
        chance,
    };
    // Fit the eyes to the finder: the height by bending the knees, then the feet under it.
    for _ in 0..6 {
        let reached = eyes(body, &skeleton::pose(body, &stance));
        let low = height - (reached.y - floor);
        match &mut stance.bearing {
            Bearing::Bent { hip_m } => *hip_m = (*hip_m + low * 0.8).clamp(0.17 * stature_m, 0.52 * stature_m),
            Bearing::Standing if low < 0.0 => {
                stance.lean = (stance.lean - low * 0.8).clamp(0.0, 0.22);
                stance.rise_m = (stance.rise_m + low * 0.7).clamp(-0.12, 0.0);
            }
            Bearing::Standing => stance.rise_m = (stance.rise_m + low).clamp(-0.12, 0.04),
            Bearing::OnOneKnee => stance.lean = (stance.lean - low * 0.5).clamp(0.0, 0.35),
            _ => {}
        }
        let reached = eyes(body, &skeleton::pose(body, &stance));
        // The right eye is at the finder.
        let right = stance_right(heading) * 0.030;
        stance.feet += Vec3::new(finder.x - reached.x - right.x, 0.0, finder.z - reached.z - right.z);
    }
    Some((stance, camera))
}

const BLACK: crate::plan::Colour = rgb(0.085, 0.085, 0.09);

/// Depth of a camera body without lens.
const BODY_DEPTH_M: f32 = 0.065;

fn stance_right(heading: f32) -> Vec3 {
    Vec3::new(heading.cos(), 0.0, heading.sin())
}

/// A level camera so far to the right of −z and so far up.
fn level(yaw: f32, pitch: f32) -> Quat {
    (Quat::from_rotation_y(-yaw) * Quat::from_rotation_x(pitch)).normalize()
}

/// Long lenses are long: 8 cm for a wide prime up to 22 cm at 200 mm (everyday sizes, no source).
fn barrel(plan: &Plan, frame: Option<&Frame>, first: Option<crate::plan::BodyWithLens>) -> f32 {
    let with = frame.map(|f| f.with).or(first);
    let longest_m = with.and_then(|w| plan.kit.lenses.get(w.lens)).map_or(0.070, |l| l.focal_m[1]);
    (0.07 + longest_m as f32 * 0.75).clamp(0.07, 0.22)
}

/// The camera as solids, all of it behind the eye.
pub fn carve_camera(carver: &mut Carver, camera: &HeldCamera) {
    let plastic = of(Finish::BlackPlastic, rgb(0.06, 0.06, 0.065));
    let rubber = of(Finish::BlackPlastic, rgb(0.035, 0.035, 0.04));
    let glass = of(Finish::WindowGlass, rgb(0.10, 0.12, 0.17));
    let part = Part::Camera;
    let l = camera.barrel_m;
    let roll = if camera.portrait { std::f32::consts::FRAC_PI_2 } else { 0.0 };
    let place = Place::new(camera.eye, camera.turned * Quat::from_rotation_z(roll));
    let gap = 0.004;
    let wide = if l > 0.15 { 0.094 } else { 0.080 };
    carver.add(place, cut(wide * 0.82, wide * 0.82, 0.004).at(0.0, 0.0, gap + 0.006), part, glass);
    // Rim and barrel; each twice, turned by an eighth, so that they read as round.
    for turn in [0.0, std::f32::consts::FRAC_PI_4] {
        let turned = Quat::from_rotation_z(turn);
        let rim = wide * 0.90;
        carver.add(
            place,
            cut(rim, rim, 0.03).at(0.0, 0.0, gap + 0.008 + 0.015).turned(turned).round(0.004),
            part,
            rubber,
        );
        let tube = wide * 0.76;
        carver.add(
            place,
            cut(tube, tube, l - 0.03).at(0.0, 0.0, gap + 0.025 + (l - 0.03) * 0.5).turned(turned).round(0.006),
            part,
            plastic,
        );
    }
    let z = gap + l + BODY_DEPTH_M * 0.5;
    carver.add(place, cut(0.138, 0.088, BODY_DEPTH_M).at(0.006, 0.0, z).round(0.014), part, plastic);
    carver.add(place, cut(0.040, 0.092, BODY_DEPTH_M + 0.02).at(0.062, -0.002, z - 0.006).round(0.014), part, rubber);
    carver.add(place, cut(0.058, 0.032, 0.058).at(0.0, 0.054, z).top(0.70, 0.85).round(0.008), part, plastic);
    carver.add(
        place,
        cut(0.036, 0.024, 0.014).at(0.0, 0.050, z + BODY_DEPTH_M * 0.5 + 0.004).round(0.005),
        part,
        rubber,
    );
}
