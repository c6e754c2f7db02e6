//! Hair, hats and scarves: a second, larger mass of blocks on the head, in a few cuts.

use super::head::HeadSize;
use crate::plan::{Hair, Looks};
use crate::staging::carve::{Carver, Place, cut, of, rgb, shade};
use crate::staging::chance::Chance;
use crate::staging::tableau::{Finish, Material, Part};
use glam::Quat;

pub fn carve_hair(carver: &mut Carver, head: Place, s: HeadSize, looks: &Looks, chance: Chance) {
    let hair = of(Finish::Hair, looks.hair_colour);
    let parting = if chance.unit("parting") < 0.5 { -1.0 } else { 1.0 };
    match looks.hair {
        Hair::Short => {
            cap(carver, head, s, hair, parting);
            nape(carver, head, s, hair, 0.30, 0.50);
            sideburns(carver, head, s, looks);
        }
        Hair::Bob => {
            cap(carver, head, s, hair, parting);
            nape(carver, head, s, hair, 0.06, 0.56);
            curtains(carver, head, s, hair, 0.04, 0.54);
        }
        Hair::Long => {
            cap(carver, head, s, hair, parting);
            nape(carver, head, s, hair, 0.0, 0.54);
            curtains(carver, head, s, hair, -0.34, 0.48);
            let HeadSize { u, w, d, .. } = s;
            // Down the back, to the shoulder blades.
            carver.add(
                head,
                cut(w * 0.88, 1.04 * u, 0.20 * u)
                    .at(0.0, -0.14 * u, d * 0.5 - 0.045 * u)
                    .top(1.14, 1.0)
                    .turned(Quat::from_rotation_x(-0.03))
                    .round(0.08 * u),
                Part::Hair,
                hair,
            );
        }
        Hair::Bun => {
            cap(carver, head, s, hair, parting);
            nape(carver, head, s, hair, 0.28, 0.52);
            sideburns(carver, head, s, looks);
            let HeadSize { u, d, .. } = s;
            let low = chance.unit("bun height") < 0.55;
            let (y, z) = if low { (0.50 * u, d * 0.5 + 0.14 * u) } else { (1.12 * u, d * 0.20) };
            carver.add(
                head,
                cut(0.38 * u, 0.34 * u, 0.32 * u)
                    .at(0.0, y, z)
                    .turned(Quat::from_rotation_x(-0.35) * Quat::from_rotation_z(0.3))
                    .round(0.12 * u),
                Part::Hair,
                hair,
            );
            carver.add(
                head,
                cut(0.24 * u, 0.22 * u, 0.40 * u)
                    .at(0.01 * u, y + 0.02 * u, z + 0.02 * u)
                    .turned(Quat::from_rotation_z(-0.6))
                    .round(0.09 * u),
                Part::Hair,
                of(Finish::Hair, shade(looks.hair_colour, 1.12)),
            );
        }
        Hair::Curls => curls(carver, head, s, looks, chance),
        Hair::Bald => {
            // What is left round the back, close to the head.
            let HeadSize { u, w, d, .. } = s;
            if chance.unit("fringe of hair") < 0.6 {
                carver.add(
                    head,
                    cut(w * 1.02, 0.26 * u, d * 0.46).at(0.0, 0.47 * u, d * 0.5 - d * 0.22).round(0.07 * u),
                    Part::Hair,
                    hair,
                );
            }
        }
        Hair::Hat => {
            nape(carver, head, s, hair, 0.26, 0.50);
            sideburns(carver, head, s, looks);
            hat(carver, head, s, looks, chance);
        }
        Hair::Scarf => scarf(carver, head, s, looks),
        Hair::Turban => turban(carver, head, s, looks),
    }
}

/// The top: from the hairline over the crown, with a fringe swept to one side.
fn cap(carver: &mut Carver, head: Place, s: HeadSize, hair: Material, parting: f32) {
    let HeadSize { u, w, d, .. } = s;
    let front = s.front() + 0.012 * u;
    let back = d * 0.5 + 0.05 * u;
    carver.add(
        head,
        cut(w * 1.09, 0.44 * u, back - front)
            .at(0.0, 0.895 * u, (front + back) * 0.5 + 0.005 * u)
            .top(0.94, 0.94)
            .turned(Quat::from_rotation_x(0.20))
            .round((0.20 * u).min(0.05)),
        Part::Hair,
        hair,
    );
    carver.add(
        head,
        cut(w * 0.86, 0.19 * u, 0.30 * u)
            .at(parting * w * 0.08, 0.935 * u, s.front() + 0.125 * u)
            .turned(Quat::from_rotation_z(parting * 0.13) * Quat::from_rotation_x(0.20))
            .top(0.94, 0.80)
            .round(0.085 * u),
        Part::Hair,
        hair,
    );
}

/// The back of the head down to `low` (of the head's height), reaching forward over `reach` of its depth.
fn nape(carver: &mut Carver, head: Place, s: HeadSize, hair: Material, low: f32, reach: f32) {
    let HeadSize { u, w, d, .. } = s;
    let back = d * 0.5 + 0.05 * u;
    let depth = d * reach;
    carver.add(
        head,
        cut(w * 1.0, (0.98 - low) * u, depth)
            .at(0.0, (0.98 + low) * 0.5 * u, back - depth * 0.5)
            .top(1.08, 1.0)
            .round((0.20 * u).min(0.05)),
        Part::Hair,
        hair,
    );
}

/// Hair in front of the ears; a beard comes up there by itself.
fn sideburns(carver: &mut Carver, head: Place, s: HeadSize, looks: &Looks) {
    if looks.beard {
        return;
    }
    let HeadSize { u, w, eye, .. } = s;
    let hair = of(Finish::Hair, looks.hair_colour);
    for side in [-1.0, 1.0] {
        carver.add(
            head,
            cut(0.050 * u, 0.36 * u, 0.15 * u)
                .at(side * w * 0.478, eye + 0.19 * u, -0.04 * u)
                .top(1.0, 1.9)
                .round(0.025 * u),
            Part::Hair,
            hair,
        );
    }
}

/// Hair at both sides of the face, from the cap down to `low`.
fn curtains(carver: &mut Carver, head: Place, s: HeadSize, hair: Material, low: f32, reach: f32) {
    let HeadSize { u, w, d, .. } = s;
    let high = 0.92;
    for side in [-1.0, 1.0] {
        carver.add(
            head,
            cut(0.17 * u, (high - low) * u, d * (reach + 0.18))
                .at(side * (w * 0.5 - 0.005 * u), (high + low) * 0.5 * u, 0.06 * u)
                .top(0.85, 1.0)
                .turned(Quat::from_rotation_z(side * 0.03))
                .round(0.085 * u),
            Part::Hair,
            hair,
        );
    }
}

fn curls(carver: &mut Carver, head: Place, s: HeadSize, looks: &Looks, chance: Chance) {
    let HeadSize { u, w, d, .. } = s;
    let hair = of(Finish::Hair, looks.hair_colour);
    nape(carver, head, s, hair, 0.30, 0.55);
    // Rounded lumps in three rings, each turned its own way.
    let rings: [(f32, f32, usize, f32); 3] = [(0.66, 1.04, 8, 0.28), (0.90, 1.00, 9, 0.31), (1.06, 0.52, 5, 0.34)];
    for (ring, (y, out, count, size)) in rings.into_iter().enumerate() {
        for i in 0..count {
            let c = chance.named("curl").with(ring as u64).with(i as u64);
            let angle = std::f32::consts::TAU * (i as f32 + 0.5 * ring as f32) / count as f32;
            let (x, z) = (angle.sin() * w * 0.5 * out, angle.cos() * d * 0.5 * out);
            // The face stays free.
            if ring == 0 && z < -0.12 * d {
                continue;
            }
            let size = size * u * c.between("size", 0.9, 1.12);
            let turned = Quat::from_rotation_y(angle + c.signed("turn")) * Quat::from_rotation_x(c.signed("tip") * 0.6);
            let y = (y + 0.03 * c.signed("up")) * u;
            let tint = of(Finish::Hair, shade(looks.hair_colour, c.between("tint", 0.9, 1.15)));
            carver.add(
                head,
                cut(size, size * 0.9, size * 0.9).at(x, y, z + 0.02 * u).turned(turned).round(size * 0.45),
                Part::Hair,
                tint,
            );
        }
    }
}

fn hat(carver: &mut Carver, head: Place, s: HeadSize, looks: &Looks, chance: Chance) {
    let HeadSize { u, w, d, .. } = s;
    let felt = chance.pick(
        "hat",
        &[
            rgb(0.80, 0.72, 0.56),
            rgb(0.25, 0.24, 0.27),
            rgb(0.55, 0.30, 0.28),
            rgb(0.32, 0.40, 0.50),
            rgb(0.86, 0.82, 0.76),
        ],
    );
    let band = of(Finish::Satin, shade(looks.hair_colour, 0.6));
    let tilt = head.moved(glam::Vec3::new(0.0, 0.84 * u, 0.02 * u)).turned(
        Quat::from_rotation_x(0.05 + 0.05 * chance.signed("hat back"))
            * Quat::from_rotation_z(0.09 * chance.signed("hat side")),
    );
    let brim = chance.between("brim", 0.26, 0.46) * u;
    let felt = of(Finish::Cloth, felt);
    // Four crossed slabs make an eight-sided brim.
    let across = (w + d) * 0.5 + 2.0 * brim;
    for quarter in 0..4 {
        carver.add(
            tilt,
            cut(across, 0.034 * u, across * 0.414)
                .at(0.0, 0.001 * u * quarter as f32, 0.0)
                .turned(Quat::from_rotation_y(quarter as f32 * std::f32::consts::FRAC_PI_4))
                .round(0.016 * u),
            Part::Hat,
            felt,
        );
    }
    carver.add(
        tilt,
        cut(w * 1.08, 0.36 * u, d * 1.06).at(0.0, 0.17 * u, 0.0).top(0.88, 0.86).round(0.09 * u),
        Part::Hat,
        felt,
    );
    carver.add(tilt, cut(w * 1.10, 0.08 * u, d * 1.08).at(0.0, 0.055 * u, 0.0).round(0.04 * u), Part::Hat, band);
}

fn scarf(carver: &mut Carver, head: Place, s: HeadSize, looks: &Looks) {
    let HeadSize { u, w, d, .. } = s;
    // The scarf takes the colour given for the hair.
    let cloth = of(Finish::Cloth, looks.hair_colour);
    let fold = of(Finish::Cloth, shade(looks.hair_colour, 0.90));
    let front = s.front() + 0.03 * u;
    let back = d * 0.5 + 0.06 * u;
    carver.add(
        head,
        cut(w * 1.12, 0.36 * u, back - front).at(0.0, 0.92 * u, (front + back) * 0.5).top(0.88, 0.92).round(0.13 * u),
        Part::Hair,
        cloth,
    );
    nape(carver, head, s, cloth, -0.20, 0.60);
    for side in [-1.0, 1.0] {
        carver.add(
            head,
            cut(0.15 * u, 1.02 * u, d * 0.72)
                .at(side * w * 0.485, 0.42 * u, 0.03 * u)
                .turned(Quat::from_rotation_z(-side * 0.06))
                .round(0.06 * u),
            Part::Hair,
            cloth,
        );
    }
    // Under the chin, and over the shoulders.
    carver.add(
        head,
        cut(w * 1.05, 0.20 * u, d * 0.80).at(0.0, -0.07 * u, 0.02 * u).top(0.9, 1.0).round(0.08 * u),
        Part::Hair,
        fold,
    );
    carver.add(
        head,
        cut(w * 1.55, 0.22 * u, d * 1.02).at(0.0, -0.25 * u, 0.06 * u).top(0.72, 0.85).round(0.09 * u),
        Part::Hair,
        cloth,
    );
}

fn turban(carver: &mut Carver, head: Place, s: HeadSize, looks: &Looks) {
    let HeadSize { u, w, d, .. } = s;
    let cloth = of(Finish::Cloth, looks.hair_colour);
    let fold = of(Finish::Cloth, shade(looks.hair_colour, 0.88));
    carver.add(
        head,
        cut(w * 1.10, 0.42 * u, d * 1.10).at(0.0, 1.0 * u, 0.03 * u).top(0.84, 0.86).round(0.14 * u),
        Part::Hat,
        cloth,
    );
    for (side, y) in [(-1.0, 0.88), (1.0, 0.94)] {
        carver.add(
            head,
            cut(w * 1.20, 0.22 * u, d * 1.20)
                .at(0.0, y * u, 0.02 * u)
                .turned(Quat::from_rotation_z(side * 0.24) * Quat::from_rotation_x(0.06))
                .round(0.09 * u),
            Part::Hat,
            if side > 0.0 { cloth } else { fold },
        );
    }
    nape(carver, head, s, fold, 0.36, 0.40);
}
