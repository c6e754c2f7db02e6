//! What closes the view: a hedge, trees with undergrowth, a stone wall, houses, on a rectangle round the place.

use crate::plan::{Colour, Surface, Surround, SurroundKind};
use crate::staging::carve::{Carver, Place, cut, mix, of, rgb, shade};
use crate::staging::chance::Chance;
use crate::staging::fixtures::plants;
use crate::staging::tableau::{Finish, Part};
use glam::{Quat, Vec2, Vec3};
use std::f32::consts::FRAC_PI_2;

pub fn carve_surround(carver: &mut Carver, surround: &Surround, chance: Chance) {
    let half = surround.half_m;
    // Four sides, each in its own space: x along the side, −z outwards.
    let sides = [(half.x, half.y), (half.y, half.x), (half.x, half.y), (half.y, half.x)];
    for (i, (half_length, out)) in sides.into_iter().enumerate() {
        let place = Place::facing(surround.centre, 0.0, i as f32 * FRAC_PI_2).moved(Vec3::new(0.0, 0.0, -out));
        let side = Side { place, half_length, height: surround.height_m, chance: chance.named("side").with(i as u64) };
        match surround.kind {
            SurroundKind::Open => {}
            SurroundKind::Hedge => hedge(carver, &side),
            SurroundKind::Trees => trees(carver, &side),
            SurroundKind::StoneWall => stone_wall(carver, &side),
            SurroundKind::Houses => houses(carver, &side),
        }
    }
}

struct Side {
    place: Place,
    half_length: f32,
    height: f32,
    chance: Chance,
}

impl Side {
    /// Middles and widths of pieces about `width` long that fill the side and turn the corner by `over`.
    fn pieces(&self, width: f32, over: f32) -> impl Iterator<Item = (u64, f32, f32)> {
        let length = 2.0 * (self.half_length + over);
        let count = (length / width).round().clamp(1.0, 400.0);
        let each = length / count;
        (0..count as u64).map(move |i| (i, (i as f32 + 0.5) * each - length * 0.5, each))
    }
}

fn hedge(carver: &mut Carver, side: &Side) {
    let depth = (side.height * 0.45).clamp(0.5, 1.4);
    for (i, x, each) in side.pieces(2.2, depth) {
        let c = side.chance.with(i);
        let high = side.height * c.between("height", 0.94, 1.05);
        let green = of(Finish::Leaves, mix(rgb(0.20, 0.30, 0.14), rgb(0.30, 0.38, 0.19), c.unit("green")));
        let z = -depth * 0.5 + c.signed("out") * 0.06;
        carver.add(
            side.place,
            cut(each + 0.10, high, depth).at(x, high * 0.5, z).top(1.0, 0.88).round(0.14),
            Part::Thing,
            green,
        );
        for k in 0..2 {
            let c = c.with(k);
            let size = c.between("size", 0.5, 0.9) * depth.min(1.0);
            let at = Vec3::new(
                x + c.signed("x") * each * 0.45,
                high * c.between("y", 0.35, 0.95),
                z + depth * 0.5 - size * 0.36,
            );
            let turned = Quat::from_rotation_y(c.signed("turn"));
            let lump = cut(size * 1.4, size, size * 0.8).at(at.x, at.y, at.z).turned(turned).round(size * 0.3);
            carver.add(
                side.place,
                lump,
                Part::Thing,
                of(Finish::Leaves, shade(green.colour, c.between("tint", 0.88, 1.15))),
            );
        }
    }
}

fn trees(carver: &mut Carver, side: &Side) {
    for (i, x, each) in side.pieces(5.5, 2.0) {
        let c = side.chance.with(i);
        let high = side.height * c.between("height", 0.72, 1.12);
        let wide = each * c.between("width", 0.95, 1.35);
        let place = side.place.moved(Vec3::new(x + c.signed("x") * 1.2, 0.0, -1.5 - 3.5 * c.unit("out")));
        plants::tree(carver, place, Vec3::new(wide, high, wide), None, c);
        // Undergrowth, so that the horizon does not show between the trunks.
        for k in 0..3 {
            let c = c.named("under").with(k);
            let size = Vec3::new(c.between("w", 1.8, 3.2), c.between("h", 0.9, 2.1), c.between("d", 1.2, 2.0));
            let x = x + (k as f32 - 1.0) * each * 0.34 + c.signed("x") * 0.4;
            let place = side.place.moved(Vec3::new(x, 0.0, -0.8 - 4.5 * c.unit("out")));
            plants::undergrowth(carver, place, size, c);
        }
    }
}

fn stone_wall(carver: &mut Carver, side: &Side) {
    let stone = of(Finish::Surface(Surface::Stone), Colour([1.0; 3]));
    for (i, x, each) in side.pieces(3.0, 0.5) {
        let c = side.chance.with(i);
        let high = side.height - 0.12;
        carver.add(side.place, cut(each, high, 0.45).at(x, high * 0.5, -0.225), Part::Wall, stone);
        let cap = c.signed("cap") * 0.015;
        carver.add(
            side.place,
            cut(each - 0.02, 0.14, 0.58).at(x, high + 0.07 + cap, -0.225 + cap).round(0.03),
            Part::Wall,
            of(Finish::Surface(Surface::Stone), shade(rgb(1.0, 1.0, 1.0), c.between("tint", 0.86, 1.0))),
        );
        // Something green beyond.
        if c.unit("tree") < 0.5 {
            let high = side.height + c.between("tree height", 1.5, 4.5);
            let place = side.place.moved(Vec3::new(x, 0.0, -3.0 - 4.0 * c.unit("tree out")));
            plants::tree(carver, place, Vec3::new(3.6, high, 3.6), None, c);
        }
    }
}

fn houses(carver: &mut Carver, side: &Side) {
    const WALLS: [(Surface, Colour); 5] = [
        (Surface::Brick, rgb(1.0, 1.0, 1.0)),
        (Surface::Plaster, rgb(0.96, 0.92, 0.84)),
        (Surface::Plaster, rgb(0.86, 0.88, 0.88)),
        (Surface::Stone, rgb(1.0, 0.98, 0.95)),
        (Surface::Plaster, rgb(0.93, 0.84, 0.74)),
    ];
    for (i, x, each) in side.pieces(9.0, 6.0) {
        let c = side.chance.with(i);
        let eaves = side.height * c.between("eaves", 0.62, 0.80);
        let roof = side.height * 1.1 - eaves;
        let (surface, tint) = c.pick("walls", &WALLS);
        let wall = of(Finish::Surface(surface), tint);
        let (w, d) = (each - 0.15, 8.0);
        let place = side.place.moved(Vec3::new(x, 0.0, -d * 0.5 - c.between("set back", 0.0, 1.2)));
        carver.add(place, cut(w, eaves, d).at(0.0, eaves * 0.5, 0.0), Part::Wall, wall);
        let tiles = of(
            Finish::Surface(Surface::Tile),
            c.pick("roof", &[rgb(0.72, 0.42, 0.32), rgb(0.50, 0.48, 0.48), rgb(0.62, 0.40, 0.30)]),
        );
        carver.add(
            place,
            cut(w + 0.1, roof, d + 0.7).at(0.0, eaves + roof * 0.5, 0.0).top(1.0, 0.03),
            Part::Wall,
            tiles,
        );
        let chimney = cut(0.6, 1.3, 0.5).at(w * 0.3 * c.signed("chimney"), eaves + roof, 0.0);
        carver.add(place, chimney, Part::Wall, of(Finish::Surface(Surface::Brick), Colour([1.0; 3])));
        facade(carver, place, Vec2::new(w, eaves), d * 0.5, c);
    }
}

/// Windows and a door on the side that faces the place.
fn facade(carver: &mut Carver, place: Place, size: Vec2, z: f32, c: Chance) {
    let glass = of(Finish::WindowGlass, rgb(0.30, 0.36, 0.40));
    let paint = of(Finish::Paint, rgb(0.90, 0.89, 0.86));
    let storeys = (size.y / 2.8).floor().max(1.0) as u32;
    let columns = (size.x / 2.6).floor().max(1.0) as u32;
    let door = (c.unit("door") * columns as f32) as u32;
    for storey in 0..storeys {
        for column in 0..columns {
            let x = ((column as f32 + 0.5) / columns as f32 - 0.5) * size.x;
            let base = storey as f32 * size.y / storeys as f32;
            if storey == 0 && column == door {
                let tint =
                    c.pick("door colour", &[rgb(0.20, 0.30, 0.28), rgb(0.40, 0.16, 0.14), rgb(0.18, 0.22, 0.32)]);
                carver.add(place, cut(1.0, 2.1, 0.10).at(x, 1.05, z), Part::Wall, of(Finish::Paint, tint));
                continue;
            }
            carver.add(place, cut(1.06, 1.36, 0.08).at(x, base + 1.55, z), Part::Wall, paint);
            for dx in [-0.24, 0.24] {
                carver.add(place, cut(0.42, 1.20, 0.03).at(x + dx, base + 1.55, z + 0.04), Part::Wall, glass);
            }
        }
    }
}
