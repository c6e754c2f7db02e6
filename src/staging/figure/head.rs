//! The head: two blocks that make it, and the few things that tell where it faces.
//!
//! Head space: origin at the chin's height on the head's axis, −z out of the face, y up. `u` is the head's height.

use super::hair;
use super::proportions::Body;
use crate::plan::{Hair, Looks};
use crate::staging::carve::{Carver, Limb, Place, cut, of, rgb, shade};
use crate::staging::chance::Chance;
use crate::staging::tableau::{Finish, Part};
use glam::{Quat, Vec2, Vec3};

/// Sizes of a head in metres.
#[derive(Debug, Clone, Copy)]
pub struct HeadSize {
    pub u: f32,
    pub w: f32,
    pub d: f32,
    /// Eyes above the chin.
    pub eye: f32,
}

impl HeadSize {
    pub fn new(body: &Body) -> Self {
        Self { u: body.head_height(), w: body.head.x, d: body.head.y, eye: body.eye - body.chin }
    }

    /// Front of the face plane.
    pub fn front(&self) -> f32 {
        -self.d * 0.5
    }
}

/// Who kisses or embraces closes their eyes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Eyes {
    Open,
    Closed,
}

pub fn carve_head(carver: &mut Carver, head: Place, body: &Body, looks: &Looks, eyes: Eyes, chance: Chance) {
    let s = HeadSize::new(body);
    let HeadSize { u, w, d, eye } = s;
    let skin = of(Finish::Skin, looks.skin);
    let front = s.front();
    // Skull: from the nape over the crown, its brow flush with the face so that no seam shows.
    let back = d * 0.5;
    let skull_front = front + 0.003 * u;
    carver.add(
        head,
        cut(w * 0.90, u * 0.80, back - skull_front)
            .at(0.0, u * 0.60, (back + skull_front) * 0.5)
            .top(1.0 / 0.90, 1.0)
            .round((0.30 * u).min(0.060)),
        Part::Head,
        skin,
    );
    // Face: from just under the chin's edge to the brow, where its rounded top runs into the skull.
    let brow = eye + 0.190 * u;
    carver.add(
        head,
        cut(w * 0.80, brow - 0.005 * u, d * 0.70)
            .at(0.0, (brow + 0.005 * u) * 0.5, front + d * 0.35)
            .top(0.985 / 0.80, 1.0)
            .round((0.215 * u).min(0.048)),
        Part::Face,
        skin,
    );
    // Nose: a wedge, narrow at the brow.
    carver.add(
        head,
        cut(0.125 * u, 0.27 * u, 0.20 * u)
            .at(0.0, eye - 0.095 * u, front + 0.010 * u)
            .top(0.48, 0.42)
            .turned(Quat::from_rotation_x(-0.05))
            .round(0.045 * u),
        Part::Face,
        of(Finish::Skin, shade(looks.skin, 0.97)),
    );
    for side in [-1.0, 1.0] {
        // Eye: small, dark, just proud of the face; closed, the line of the lashes.
        let (eye_size, eye_low, turned) = match eyes {
            Eyes::Open => ([0.070, 0.088], 0.0, 0.0),
            Eyes::Closed => ([0.096, 0.024], 0.030, side * 0.12),
        };
        carver.add(
            head,
            cut(eye_size[0] * u, eye_size[1] * u, 0.05 * u)
                .at(side * 0.168 * u, eye - eye_low * u, front + 0.014 * u)
                .turned(Quat::from_rotation_z(turned))
                .round(0.5 * eye_size[1] * u * 0.75),
            Part::Face,
            of(Finish::Eye, rgb(0.09, 0.065, 0.055)),
        );
        // Brow, in the hair's colour, its nearly level.
        let brow_colour = match looks.hair {
            Hair::Bald | Hair::Scarf | Hair::Turban => shade(looks.skin, 0.45),
            _ => shade(looks.hair_colour, 0.85),
        };
        carver.add(
            head,
            cut(0.150 * u, 0.034 * u, 0.05 * u)
                .at(side * 0.172 * u, eye + 0.108 * u, front + 0.018 * u)
                .turned(Quat::from_rotation_y(-side * 0.20) * Quat::from_rotation_z(-side * 0.015))
                .round(0.016 * u),
            Part::Face,
            of(Finish::Hair, brow_colour),
        );
        // Ear, where hair does not cover it.
        if !matches!(looks.hair, Hair::Bob | Hair::Long | Hair::Scarf) {
            carver.add(
                head,
                cut(0.07 * u, 0.23 * u, 0.13 * u)
                    .at(side * w * 0.495, eye - 0.03 * u, 0.03 * u)
                    .turned(Quat::from_rotation_x(-0.12))
                    .round(0.034 * u),
                Part::Head,
                skin,
            );
        }
    }
    hair::carve_hair(carver, head, s, looks, chance);
    if looks.beard {
        beard(carver, head, s, looks);
    }
    if looks.glasses {
        glasses(carver, head, s);
    }
}

fn beard(carver: &mut Carver, head: Place, s: HeadSize, looks: &Looks) {
    let HeadSize { u, w, d, .. } = s;
    // Under a turban the hair's colour is the cloth's.
    let colour = match looks.hair {
        Hair::Scarf | Hair::Turban => shade(looks.skin, 0.28),
        _ => looks.hair_colour,
    };
    let hair = of(Finish::Hair, colour);
    // Jaw and chin up to the nose, a shell round the lower face; then up both cheeks into the hair.
    carver.add(
        head,
        cut(w * 0.78, 0.33 * u, d * 0.68).at(0.0, 0.110 * u, s.front() + d * 0.320).top(1.15, 1.0).round(0.15 * u),
        Part::Face,
        hair,
    );
    for side in [-1.0, 1.0] {
        carver.add(
            head,
            cut(0.054 * u, 0.78 * u, 0.22 * u)
                .at(side * w * 0.468, 0.47 * u, s.front() + 0.43 * d)
                .top(1.0, 0.55)
                .turned(Quat::from_rotation_z(-side * 0.045))
                .round(0.027 * u),
            Part::Head,
            hair,
        );
    }
}

fn glasses(carver: &mut Carver, head: Place, s: HeadSize) {
    let HeadSize { u, w, d, eye } = s;
    let rim = of(Finish::BlackPlastic, rgb(0.07, 0.06, 0.06));
    let z = s.front() - 0.020 * u;
    let thick = 0.020 * u;
    for side in [-1.0, 1.0] {
        let x = side * 0.180 * u;
        for y in [-0.090, 0.082] {
            carver.add(head, cut(0.27 * u, thick, thick).at(x, eye + y * u, z).soft(), Part::Face, rim);
        }
        for dx in [-0.127, 0.127] {
            carver.add(head, cut(thick, 0.185 * u, thick).at(x + dx * u, eye - 0.004 * u, z).soft(), Part::Face, rim);
        }
        // The arm from the rim back to the ear.
        let arm = Limb {
            from: head.point(Vec3::new(side * 0.310 * u, eye + 0.05 * u, z)),
            to: head.point(Vec3::new(side * (w * 0.5 + 0.004 * u), eye + 0.04 * u, z + d * 0.50)),
            from_m: Vec2::splat(thick),
            to_m: Vec2::splat(thick),
            across: head.turned * Vec3::Y,
            over_m: [0.0; 2],
            roundness: 0.0,
        };
        carver.limb(arm, Part::Head, rim);
    }
    carver.add(head, cut(0.11 * u, thick, thick).at(0.0, eye + 0.03 * u, z), Part::Face, rim);
}
