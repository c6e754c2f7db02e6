//! What grass, stone, wood and cloth look like close up: small repeating pictures computed here.
//!
//! Every pattern is a function of a spot on a tile that repeats without a seam; it gives a colour factor
//! and a height. From the height comes the normal map. Colours and sizes are judged by eye.

use super::noise::{cells, fbm, fbm_stretched, hash01, ridged};
use glam::{Vec2, Vec3};

/// One point of a pattern.
#[derive(Debug, Clone, Copy)]
pub struct Texel {
    /// Linear colour; of what plans and people give colours to (leaves, cloth, wood) a factor near one.
    pub colour: Vec3,
    /// Metres above the mean plane.
    pub height_m: f32,
}

/// A repeating surface pattern.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Pattern {
    /// One colour, no relief.
    Plain,
    Grass,
    Gravel,
    Earth,
    Sand,
    Ashlar,
    Flagstone,
    Brick,
    Plaster,
    Concrete,
    FloorTile,
    OakBoards,
    DarkBoards,
    Pile,
    Weave,
    Folds,
    Ripples,
    Leaves,
    Petals,
    Bark,
    Grain,
    Strands,
}

impl Pattern {
    /// Edge of the square tile, metres.
    pub fn tile_m(self) -> f32 {
        match self {
            Pattern::Grass => 4.8,
            Pattern::Ashlar | Pattern::Flagstone => 3.2,
            Pattern::OakBoards | Pattern::DarkBoards => 2.24,
            Pattern::Earth | Pattern::Sand | Pattern::Plaster | Pattern::Concrete | Pattern::Ripples => 3.0,
            Pattern::Gravel => 0.9,
            Pattern::Brick => 0.9,
            Pattern::FloorTile => 1.2,
            Pattern::Leaves => 1.0,
            Pattern::Folds => 0.6,
            Pattern::Bark | Pattern::Grain => 0.8,
            Pattern::Petals => 0.16,
            Pattern::Strands => 0.2,
            Pattern::Plain | Pattern::Pile | Pattern::Weave => 0.1,
        }
    }

    /// Pixels along the tile's edge.
    pub fn size_px(self) -> u32 {
        match self {
            Pattern::Plain => 4,
            Pattern::Grass | Pattern::Flagstone | Pattern::Ashlar => 1024,
            Pattern::Pile | Pattern::Weave | Pattern::Strands | Pattern::Petals => 256,
            _ => 512,
        }
    }

    /// The pattern at a spot of the tile, both coordinates 0..1.
    pub fn at(self, spot: Vec2) -> Texel {
        let Vec2 { x: u, y: v } = spot;
        match self {
            Pattern::Plain => flat(Vec3::ONE),
            Pattern::Grass => grass(spot),
            Pattern::Gravel => {
                let (edge, id) = cells(spot, 42, 1);
                let tone = 0.55 + 0.55 * hash01(id, 3);
                let warm = Vec3::new(1.0, 0.95, 0.87).lerp(Vec3::new(0.93, 0.96, 1.0), hash01(id, 4));
                let round = (edge * 3.0).min(1.0);
                texel(Vec3::splat(0.46) * warm * tone * (0.45 + 0.55 * round), 0.006 * round.sqrt())
            }
            Pattern::Earth => {
                let n = fbm(spot, 6, 6, 2);
                texel(Vec3::new(0.20, 0.14, 0.09) * (0.65 + 0.7 * n), 0.02 * n)
            }
            Pattern::Sand => {
                let n = fbm(spot, 8, 6, 4);
                texel(Vec3::new(0.60, 0.50, 0.36) * (0.85 + 0.3 * n), 0.012 * n)
            }
            Pattern::Ashlar => courses(spot, 10, 5, 0.010, |id, grain| {
                let tone = 0.78 + 0.34 * hash01(id, 5);
                let warm = Vec3::new(0.53, 0.47, 0.38).lerp(Vec3::new(0.47, 0.46, 0.43), hash01(id, 6));
                (warm * tone * (0.8 + 0.4 * grain), 0.012 * grain)
            }),
            Pattern::Flagstone => courses(spot, 5, 4, 0.012, |id, grain| {
                let tone = 0.75 + 0.4 * hash01(id, 7);
                let warm = Vec3::new(0.40, 0.36, 0.31).lerp(Vec3::new(0.33, 0.34, 0.35), hash01(id, 8));
                (warm * tone * (0.75 + 0.5 * grain), 0.006 * grain)
            }),
            Pattern::Brick => courses(spot, 12, 4, 0.010, |id, grain| {
                let tone = 0.7 + 0.6 * hash01(id, 9);
                let red = Vec3::new(0.36, 0.13, 0.085).lerp(Vec3::new(0.27, 0.12, 0.10), hash01(id, 10));
                (red * tone * (0.75 + 0.5 * grain), 0.004 * grain)
            }),
            Pattern::Plaster => {
                let n = fbm(spot, 5, 6, 11);
                texel(Vec3::new(0.80, 0.77, 0.71) * (0.93 + 0.14 * n), 0.005 * fbm(spot, 24, 3, 12))
            }
            Pattern::Concrete => {
                let n = fbm(spot, 4, 7, 13);
                texel(Vec3::splat(0.36) * (0.75 + 0.5 * n), 0.004 * n)
            }
            Pattern::FloorTile => {
                let cell = (spot * 4.0).floor();
                let id = cell.x as u32 * 4 + cell.y as u32;
                let inside = spot * 4.0 - cell;
                let edge = inside.min(Vec2::ONE - inside).min_element();
                let dark = (cell.x as i32 + cell.y as i32) % 2 == 0;
                let base = if dark { Vec3::new(0.22, 0.17, 0.14) } else { Vec3::new(0.62, 0.55, 0.46) };
                let joint = smooth(edge, 0.0, 0.02);
                texel(base * (0.85 + 0.3 * hash01(id, 14)) * (0.4 + 0.6 * joint), 0.003 * joint)
            }
            Pattern::OakBoards => boards(spot, Vec3::new(0.42, 0.27, 0.15), 15),
            Pattern::DarkBoards => boards(spot, Vec3::new(0.13, 0.075, 0.045), 16),
            Pattern::Pile => {
                let n = fbm(spot, 32, 3, 17);
                texel(Vec3::splat(0.72 + 0.5 * n), 0.003 * n)
            }
            Pattern::Weave => {
                let threads = 40.0;
                let over = ((u * threads * std::f32::consts::TAU).sin() * (v * threads * std::f32::consts::TAU).sin())
                    * 0.5
                    + 0.5;
                texel(Vec3::splat(0.86 + 0.22 * over), 0.0004 * over)
            }
            Pattern::Folds => {
                let n = fbm_stretched(spot, [4, 2], 3, 18);
                let fine = fbm(spot, 64, 2, 19);
                texel(Vec3::splat(0.95 + 0.06 * fine), 0.008 * n + 0.0003 * fine)
            }
            Pattern::Ripples => {
                let n = fbm(spot, 8, 4, 20);
                texel(Vec3::new(0.05, 0.09, 0.10), 0.03 * n)
            }
            Pattern::Leaves => leaves(spot),
            Pattern::Petals => {
                let (edge, id) = cells(spot, 7, 21);
                let round = (edge * 2.2).min(1.0);
                texel(Vec3::splat(0.72 + 0.32 * hash01(id, 22)) * (0.55 + 0.45 * round), 0.004 * round)
            }
            Pattern::Bark => {
                let n = ridged(spot, [16, 4], 5, 23);
                texel(Vec3::new(1.10, 1.00, 0.95) * (0.45 + 0.9 * n), 0.02 * n)
            }
            Pattern::Grain => {
                let n = fbm_stretched(spot, [24, 3], 4, 24);
                texel(Vec3::splat(0.72 + 0.5 * n), 0.0015 * n)
            }
            Pattern::Strands => {
                let n = fbm_stretched(spot, [48, 3], 3, 25);
                let wave = fbm(spot, 4, 2, 26);
                texel(Vec3::splat(0.6 + 0.55 * n + 0.25 * wave), 0.004 * n)
            }
        }
    }
}

fn texel(colour: Vec3, height_m: f32) -> Texel {
    Texel { colour, height_m }
}

fn flat(colour: Vec3) -> Texel {
    texel(colour, 0.0)
}

fn smooth(x: f32, from: f32, to: f32) -> f32 {
    let t = ((x - from) / (to - from)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// Lawn in late spring: mown stripes 1.2 m wide, blades, clover and a few dry spots.
fn grass(spot: Vec2) -> Texel {
    let stripe = (spot.x * 4.0 * std::f32::consts::PI).sin();
    let stripe = 0.06 * (stripe * 4.0).clamp(-1.0, 1.0);
    let patch = fbm(spot, 5, 4, 30);
    let blades = fbm_stretched(spot, [256, 128], 2, 31);
    let clump = fbm(spot, 48, 3, 32);
    let lush = Vec3::new(0.075, 0.155, 0.030);
    let dry = Vec3::new(0.210, 0.215, 0.075);
    let base = lush.lerp(dry, smooth(patch, 0.35, 0.85) * 0.75);
    let tone = (0.40 + 0.85 * blades) * (0.72 + 0.56 * clump) * (1.0 + stripe) * 1.25;
    texel(base * tone * 1.25, 0.004 * blades + 0.008 * clump)
}

/// Foliage: overlapping leaves, some turned to the light, dark gaps between.
fn leaves(spot: Vec2) -> Texel {
    let (edge, id) = cells(spot, 30, 33);
    let (edge_below, id_below) = cells(spot + Vec2::splat(0.017), 22, 34);
    let on_top = hash01(id, 35) > 0.38;
    let (edge, id, depth) = if on_top { (edge, id, 1.0) } else { (edge_below, id_below, 0.55) };
    let round = smooth(edge, 0.02, 0.28);
    let tone = 0.55 + 0.8 * hash01(id, 36);
    let young = Vec3::new(1.55, 1.60, 1.00);
    let old = Vec3::new(0.75, 0.85, 0.70);
    let hue = old.lerp(young, hash01(id, 37) * hash01(id, 37));
    let clump = fbm(spot, 3, 3, 38);
    texel(hue * tone * depth * (0.30 + 0.70 * round) * (0.65 + 0.7 * clump) * 1.25, 0.03 * depth * round + 0.02 * clump)
}

/// Rows of blocks with joints, every second row shifted, lengths a little uneven.
fn courses(spot: Vec2, rows: u32, a_row: u32, joint_m: f32, face: impl Fn(u32, f32) -> (Vec3, f32)) -> Texel {
    // Both edges of the tile are as long as `rows` courses and `a_row` blocks.
    let row = (spot.y * rows as f32).floor();
    let shifted = spot.x * a_row as f32 + if row as i32 % 2 == 0 { 0.0 } else { 0.5 };
    let uneven = |column: f32| 0.16 * (hash01(row as u32 * 31 + (column as u32 % a_row), 40) - 0.5);
    let mut column = shifted.floor();
    if shifted - column < uneven(column) {
        column -= 1.0;
    } else if shifted - column - 1.0 > uneven(column + 1.0) {
        column += 1.0;
    }
    let left = shifted - column - uneven(column);
    let right = column + 1.0 + uneven(column + 1.0) - shifted;
    let below = spot.y * rows as f32 - row;
    let tile_m = if rows == 12 { 0.9 } else { 3.2 };
    let along = left.min(right) * tile_m / a_row as f32;
    let up = below.min(1.0 - below) * tile_m / rows as f32;
    let wobble = 0.004 * (fbm(spot, 40, 2, 41) - 0.5);
    let inside = smooth(along.min(up) + wobble, joint_m * 0.35, joint_m * 0.9);
    let id = row as u32 * 64 + (column as i32).rem_euclid(a_row as i32) as u32;
    let (colour, relief) = face(id, fbm(spot, 24, 5, 42 + id % 7));
    let mortar = Vec3::new(0.40, 0.37, 0.33) * (0.8 + 0.3 * fbm(spot, 64, 2, 43));
    texel(mortar.lerp(colour, inside), inside * (0.008 + relief))
}

/// Boards 14 cm wide along v, with butt joints and grain.
fn boards(spot: Vec2, base: Vec3, seed: u32) -> Texel {
    let across = spot.x * 16.0;
    let board = across.floor();
    let id = board as u32;
    let shift = hash01(id, seed);
    let along = (spot.y + shift).fract() * 2.0;
    let plank = id * 2 + along.floor() as u32;
    let gap = (across - board).min(1.0 - (across - board)) * 0.14;
    let butt = along.fract().min(1.0 - along.fract()) * 1.12;
    let inside = smooth(gap.min(butt), 0.0008, 0.003);
    let grain = fbm_stretched(spot, [128, 8], 3, seed + 1 + plank % 5);
    let tone = (0.72 + 0.5 * hash01(plank, seed + 2)) * (0.65 + 0.7 * grain);
    texel(base * tone * (0.25 + 0.75 * inside), 0.002 * inside + 0.001 * grain)
}
