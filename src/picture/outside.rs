//! What is seen through windows, for an engine that has one light from all round: the room's.

use crate::daylight::{linear_from_srgb, srgb_from_linear};
use crate::plan::Colour;
use crate::sight::Interior;
use crate::staging::{Finish, Shape, Solid, Tableau};
use glam::Vec3;

/// Things outside a room stand in more light (and bluer) than those inside.
#[derive(Debug, Clone, PartialEq)]
pub struct Outside {
    pub room: Interior,
    /// Light from all round outside over that inside, linear sRGB.
    pub brighter: [f32; 3],
}

impl Outside {
    /// The tableau with the colours of what stands outside changed as its light is.
    pub fn brightened(&self, tableau: &Tableau) -> Tableau {
        let mut tableau = tableau.clone();
        for solid in tableau.solids.iter_mut().filter(|solid| self.is_outside(solid)) {
            let Colour(colour) = solid.material.colour;
            let lit = |i: usize| srgb_from_linear(linear_from_srgb(colour[i]) * self.brighter[i]);
            solid.material.colour = Colour([lit(0), lit(1), lit(2)]);
        }
        tableau
    }

    fn is_outside(&self, solid: &Solid) -> bool {
        let (middle, half_m) = match &solid.shape {
            Shape::Block(block) => (solid.at, block.half_m.max_element()),
            Shape::Mesh(mesh) => {
                let count = mesh.corners.len().max(1) as f32;
                (solid.at + solid.turned * (mesh.corners.iter().sum::<Vec3>() / count), 0.0)
            }
        };
        let shines = matches!(solid.material.finish, Finish::Glow { .. });
        !shines && (!self.room.holds(middle) || half_m > self.room.longest_m())
    }
}
