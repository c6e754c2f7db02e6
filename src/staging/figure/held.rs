//! What hands hold: flowers, books, candles, phones, and the cushion with the rings.

use super::gesture::{Arms, Doer, Idle};
use super::petals;
use super::skeleton::{Arm, SIDES};
use crate::plan::{Colour, Held};
use crate::staging::carve::{Carver, Place, cut, mix, of, rgb, shade};
use crate::staging::chance::Chance;
use crate::staging::tableau::{FLAME_NITS, Finish, Part};
use glam::{Quat, Vec3};
use std::f32::consts::TAU;

/// Everything in a figure's hands. `accent` colours flowers and bindings, `free` is the hand that somebody else doesn't have.
pub fn carve_held(carver: &mut Carver, doer: &Doer, arms: &[Arm; 2], accent: Colour, free: Option<usize>) {
    let grips = arms.map(|arm| arm.grip(doer.body));
    let middle = (grips[0] + grips[1]) * 0.5;
    let upright = Place::new(middle, doer.sk.root.turned);
    let together = grips[0].distance(grips[1]) < 0.30 * doer.body.stature / 1.7;
    let busy = !matches!(doer.arms, Arms::Rest);
    match doer.arms {
        Arms::HoldsUpPhone => phone(carver, Place::new(middle, doer.sk.head.turned), doer.chance),
        Arms::Reads => open_book(carver, upright.moved(Vec3::new(0.0, 0.02, -0.01)), accent),
        Arms::GivesRing => {
            ring(carver, Place::new(grips[1], doer.sk.root.turned).moved(Vec3::new(0.0, -0.005, -0.075)))
        }
        Arms::WipesEyes => {
            let cloth = of(Finish::Cloth, rgb(0.93, 0.92, 0.90));
            let at = arms[1].wrist + arms[1].fingers * doer.body.hand * 0.85;
            carver.add(Place::new(at, doer.sk.head.turned), cut(0.06, 0.05, 0.018).round(0.006), Part::Held, cloth);
        }
        Arms::ThrowsPetals => petals::carve_petals(carver, doer, accent),
        _ => {}
    }
    let both = together && !busy;
    let close = matches!(doer.arms, Arms::Kisses | Arms::Embraces | Arms::Dances);
    // The hand that holds when only one does; gestures with the other put it on the far side, as `gesture` does.
    let side = match doer.arms {
        Arms::Rest => usize::from(doer.holds != Held::Basket),
        Arms::Kisses | Arms::Embraces | Arms::Dances => 0,
        _ => free.unwrap_or_else(|| lower_hand(&grips)),
    };
    let one = Place::new(grips[side], doer.sk.root.turned);
    let place = if both { upright } else { one };
    match doer.holds {
        Held::Nothing => {
            if doer.idle == Idle::Sheet && !busy {
                sheet(carver, Place::new(grips[1], doer.sk.root.turned), accent, doer.chance);
            }
        }
        Held::Bouquet if close => flowers(carver, aside(one, side), 0.150, 17, accent, doer.chance),
        Held::Posy if close => flowers(carver, aside(one, side), 0.095, 10, accent, doer.chance),
        Held::Bouquet => flowers(carver, hang(place, both), 0.150, 17, accent, doer.chance),
        Held::Posy => flowers(carver, hang(place, both), 0.095, 10, accent, doer.chance),
        Held::RingCushion => cushion(carver, place.moved(Vec3::new(0.0, 0.035, -0.02))),
        Held::Book if doer.arms != Arms::Reads => closed_book(carver, place, both, accent),
        Held::Book => {}
        Held::Basket => basket(carver, one.moved(Vec3::new(SIDES[side] * 0.02, 0.0, 0.0)), doer.chance),
        Held::Candle => candle(carver, one.moved(Vec3::new(-SIDES[side] * 0.015, 0.0, 0.0))),
        Held::Glass => glass(carver, one.moved(Vec3::new(-SIDES[side] * 0.02, 0.0, -0.01))),
    }
}

fn lower_hand(grips: &[Vec3; 2]) -> usize {
    usize::from(grips[1].y < grips[0].y)
}

/// In both hands flowers stand up before the body; in one they hang forward.
fn hang(place: Place, both: bool) -> Place {
    if both { place.turned(Quat::from_rotation_x(-0.50)) } else { place.turned(Quat::from_rotation_x(-1.25)) }
}

/// Close to somebody, flowers hang head down beside whoever holds them.
fn aside(place: Place, side: usize) -> Place {
    place.turned(Quat::from_rotation_z(-SIDES[side] * 2.3))
}

/// Petal blocks crowded on a dome, leaves under them, bound stems in the hand. Local y is the stems' direction.
fn flowers(carver: &mut Carver, place: Place, radius: f32, count: usize, accent: Colour, chance: Chance) {
    let dome = place.moved(Vec3::Y * radius * 0.95);
    let cream = rgb(0.96, 0.92, 0.86);
    let blush = mix(accent, rgb(0.94, 0.76, 0.72), 0.45);
    let tints = [cream, blush, mix(cream, accent, 0.55), shade(blush, 0.92), cream];
    for i in 0..count {
        let c = chance.named("flower").with(i as u64);
        // Golden angle spiral over the dome.
        let t = (i as f32 + 0.5) / count as f32;
        let a = i as f32 * 2.399_963;
        let r = radius * 0.86 * t.sqrt();
        let y = radius * (0.34 - 0.62 * t) + c.signed("up") * 0.008;
        let size = radius * c.between("size", 0.38, 0.54);
        let turned =
            Quat::from_rotation_y(a) * Quat::from_rotation_x(0.9 * t) * Quat::from_rotation_y(c.signed("turn"));
        let petals = of(Finish::Petals, c.pick("tint", &tints));
        carver.add(
            dome,
            cut(size, size * 0.72, size)
                .at(a.cos() * r, y, a.sin() * r)
                .top(0.80, 0.80)
                .turned(turned)
                .round(size * 0.24),
            Part::Held,
            petals,
        );
    }
    for i in 0..count * 5 / 10 {
        let c = chance.named("leaf").with(i as u64);
        let a = TAU * (i as f32 + 0.4 * c.signed("turn")) / (count * 5 / 10) as f32;
        let r = radius * c.between("out", 0.80, 1.08);
        let green = of(Finish::Leaves, mix(rgb(0.36, 0.46, 0.28), rgb(0.55, 0.62, 0.45), c.unit("green")));
        let turned = Quat::from_rotation_y(-a) * Quat::from_rotation_z(-0.6);
        carver.add(
            dome,
            cut(radius * 0.62, radius * 0.07, radius * 0.26)
                .at(a.cos() * r, -radius * 0.32, a.sin() * r)
                .turned(turned)
                .round(radius * 0.03),
            Part::Held,
            green,
        );
    }
    carver.add(
        place,
        cut(0.030, radius * 1.5, 0.030).at(0.0, -radius * 0.05, 0.0).top(1.5, 1.5).round(0.010),
        Part::Held,
        of(Finish::Leaves, rgb(0.36, 0.44, 0.27)),
    );
    carver.add(
        place,
        cut(0.038, radius * 0.62, 0.038).at(0.0, 0.0, 0.0).round(0.012),
        Part::Held,
        of(Finish::Satin, mix(cream, accent, 0.15)),
    );
}

fn cushion(carver: &mut Carver, place: Place) {
    let silk = of(Finish::Satin, rgb(0.94, 0.91, 0.85));
    carver.add(place, cut(0.19, 0.06, 0.16).round(0.028), Part::Held, silk);
    let gold = of(Finish::Metal, rgb(0.88, 0.70, 0.36));
    for x in [-0.014, 0.014] {
        carver.add(place, cut(0.022, 0.012, 0.022).at(x, 0.034, 0.0).round(0.005), Part::Held, gold);
    }
}

fn ring(carver: &mut Carver, place: Place) {
    carver.add(place, cut(0.022, 0.020, 0.008).round(0.004), Part::Held, of(Finish::Metal, rgb(0.88, 0.70, 0.36)));
}

fn closed_book(carver: &mut Carver, place: Place, both: bool, accent: Colour) {
    let turned = if both { Quat::from_rotation_x(-0.15) } else { Quat::from_rotation_y(1.45) };
    let place = place.turned(turned).moved(Vec3::new(0.0, 0.02, -0.02));
    let cover = of(Finish::Leather, shade(mix(accent, rgb(0.35, 0.12, 0.12), 0.7), 0.8));
    let pages = of(Finish::Paper, rgb(0.93, 0.90, 0.82));
    carver.add(place, cut(0.150, 0.205, 0.022).at(0.004, 0.0, 0.0), Part::Held, pages);
    for z in [-0.0135, 0.0135] {
        carver.add(place, cut(0.158, 0.214, 0.005).at(0.0, 0.0, z).round(0.002), Part::Held, cover);
    }
    carver.add(place, cut(0.006, 0.214, 0.031).at(-0.078, 0.0, 0.0).round(0.003), Part::Held, cover);
}

fn open_book(carver: &mut Carver, place: Place, accent: Colour) {
    let place = place.turned(Quat::from_rotation_x(0.70));
    let cover = of(Finish::Leather, shade(mix(accent, rgb(0.35, 0.12, 0.12), 0.7), 0.8));
    let pages = of(Finish::Paper, rgb(0.95, 0.93, 0.87));
    for side in SIDES {
        let fold = Quat::from_rotation_z(side * 0.16);
        let x = side * 0.074;
        carver.add(place, cut(0.150, 0.008, 0.21).at(x, 0.004, 0.0).turned(fold).round(0.003), Part::Held, cover);
        carver.add(place, cut(0.140, 0.014, 0.20).at(x, 0.014, 0.0).turned(fold).round(0.005), Part::Held, pages);
    }
}

fn sheet(carver: &mut Carver, place: Place, accent: Colour, chance: Chance) {
    let paper = of(Finish::Paper, mix(rgb(0.94, 0.91, 0.84), accent, 0.12));
    if chance.unit("fan") < 0.4 {
        // A paper fan: three leaves spread from the hand.
        for (i, angle) in [-0.55_f32, 0.0, 0.55].into_iter().enumerate() {
            let leaf = place.turned(Quat::from_rotation_x(-0.2) * Quat::from_rotation_z(angle));
            let z = 0.002 * i as f32;
            carver.add(leaf, cut(0.035, 0.17, 0.004).at(0.0, 0.10, z).top(2.6, 1.0), Part::Held, paper);
        }
    } else {
        let place = place.turned(Quat::from_rotation_x(0.75) * Quat::from_rotation_y(0.15));
        carver.add(place, cut(0.125, 0.19, 0.004).at(-0.045, 0.06, -0.01), Part::Held, paper);
    }
}

fn phone(carver: &mut Carver, place: Place, chance: Chance) {
    let tablet = chance.unit("tablet") < 0.18;
    let (w, h, t) = if tablet { (0.245, 0.175, 0.008) } else { (0.150, 0.073, 0.009) };
    let black = of(Finish::BlackPlastic, rgb(0.05, 0.05, 0.06));
    let place = place.moved(Vec3::new(0.0, 0.055, 0.0));
    carver.add(place, cut(w, h, t).round(0.004), Part::Held, black);
    // The lit screen towards the holder.
    carver.add(
        place,
        cut(w * 0.93, h * 0.90, 0.002).at(0.0, 0.0, t * 0.5 + 0.0005),
        Part::Held,
        of(Finish::Glow { nits: 250 }, rgb(0.72, 0.78, 0.86)),
    );
    carver.add(
        place,
        cut(0.018, 0.018, 0.003).at(-w * 0.40, h * 0.30, -t * 0.5 - 0.001).round(0.001),
        Part::Held,
        of(Finish::Metal, rgb(0.30, 0.30, 0.33)),
    );
}

fn basket(carver: &mut Carver, place: Place, chance: Chance) {
    let willow = of(Finish::Wood, rgb(0.62, 0.46, 0.28));
    let dark = of(Finish::Wood, rgb(0.50, 0.36, 0.21));
    carver.add(place, cut(0.16, 0.11, 0.12).at(0.0, -0.215, 0.0).top(1.28, 1.28).round(0.02), Part::Held, willow);
    carver.add(place, cut(0.215, 0.022, 0.165).at(0.0, -0.160, 0.0).round(0.01), Part::Held, dark);
    for side in SIDES {
        carver.add(
            place,
            cut(0.014, 0.175, 0.022)
                .at(side * 0.062, -0.080, 0.0)
                .turned(Quat::from_rotation_z(side * 0.48))
                .round(0.005),
            Part::Held,
            dark,
        );
    }
    carver.add(place, cut(0.070, 0.014, 0.022).at(0.0, -0.004, 0.0).round(0.005), Part::Held, dark);
    for i in 0..7 {
        let c = chance.named("petal").with(i);
        let size = c.between("size", 0.035, 0.055);
        let tint = mix(rgb(0.93, 0.72, 0.70), rgb(0.97, 0.93, 0.88), c.unit("tint"));
        carver.add(
            place,
            cut(size, size * 0.5, size)
                .at(c.signed("x") * 0.075, -0.148, c.signed("z") * 0.050)
                .turned(Quat::from_rotation_y(c.signed("turn") * 3.0) * Quat::from_rotation_x(c.signed("tip") * 0.5))
                .round(0.010),
            Part::Held,
            of(Finish::Petals, tint),
        );
    }
}

fn candle(carver: &mut Carver, place: Place) {
    carver.add(
        place,
        cut(0.024, 0.21, 0.024).at(0.0, 0.055, 0.0).round(0.008),
        Part::Held,
        of(Finish::Paper, rgb(0.95, 0.92, 0.84)),
    );
    carver.add(
        place,
        cut(0.075, 0.008, 0.075).at(0.0, 0.030, 0.0).round(0.004),
        Part::Held,
        of(Finish::Paper, rgb(0.90, 0.88, 0.82)),
    );
    carver.add(
        place,
        cut(0.013, 0.034, 0.013).at(0.0, 0.180, 0.0).top(0.3, 0.3).round(0.004),
        Part::Held,
        of(Finish::Glow { nits: FLAME_NITS }, rgb(1.0, 0.80, 0.45)),
    );
}

fn glass(carver: &mut Carver, place: Place) {
    let clear = of(Finish::WindowGlass, rgb(0.95, 0.96, 0.95));
    let wine = of(Finish::Satin, rgb(0.93, 0.82, 0.52));
    carver.add(place, cut(0.052, 0.005, 0.052).at(0.0, -0.075, 0.0), Part::Held, clear);
    carver.add(place, cut(0.008, 0.08, 0.008).at(0.0, -0.035, 0.0), Part::Held, clear);
    carver.add(place, cut(0.030, 0.125, 0.030).at(0.0, 0.065, 0.0).top(1.45, 1.45).round(0.010), Part::Held, clear);
    carver.add(place, cut(0.028, 0.075, 0.028).at(0.0, 0.043, 0.0).top(1.25, 1.25).round(0.008), Part::Held, wine);
}
