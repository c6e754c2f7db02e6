//! The tableau: everyone and everything at one instant, as solids with owners.
//!
//! World space: metres, right-handed, y up, the plan's floor at y = 0.

pub use crate::plan::TriangleMesh;
use crate::plan::{Colour, FixtureIx, MeshIx, PersonIx, PhotographerIx, SeatsIx, Surface};
use glam::{Quat, Vec2, Vec3};
use std::sync::Arc;

/// Index into [`Tableau::owners`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct OwnerIx(pub u32);

#[derive(Debug, Clone, Default)]
pub struct Tableau {
    /// Seconds into the ceremony.
    pub at_s: f64,
    pub solids: Vec<Solid>,
    pub owners: Vec<Owner>,
    /// Landmarks of every person in the tableau: named people, guests and crew.
    pub figures: Vec<Figure>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Owner {
    /// Person, photographer or fixture id of the plan; guests are `block/row/seat` counted from 1.
    pub id: String,
    pub kind: OwnerKind,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum OwnerKind {
    Person(PersonIx),
    /// Row and seat count from 0.
    Guest {
        seats: SeatsIx,
        row: u32,
        seat: u32,
    },
    Photographer(PhotographerIx),
    Fixture(FixtureIx),
    /// From another program.
    Mesh(MeshIx),
    /// Chairs, pews.
    Seating(SeatsIx),
    /// Ground, walls, platforms, surround.
    Venue,
}

#[derive(Debug, Clone)]
pub struct Solid {
    pub shape: Shape,
    pub at: Vec3,
    pub turned: Quat,
    pub owner: OwnerIx,
    pub part: Part,
    pub material: Material,
}

impl Solid {
    /// Veils and glass: they are seen, and what is behind them too.
    pub fn is_seen_through(&self) -> bool {
        matches!(self.material.finish, Finish::Veil | Finish::WindowGlass)
    }
}

#[derive(Debug, Clone)]
pub enum Shape {
    Block(Block),
    Mesh(Arc<TriangleMesh>),
}

/// A box about its own centre, optionally narrower (or wider) at the top.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    /// Half extents at the bottom face (x, z) and half the height (y).
    pub half_m: Vec3,
    /// Size of the top face over the bottom face, along x and z; `(1, 1)` is a plain box.
    pub top: Vec2,
    /// Radius of rounded edges. Only pictures round; sight takes the sharp block.
    pub edge_m: f32,
}

/// What a solid is of its owner.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Part {
    /// The front half of the head, between brow and chin: what a photographer calls the face.
    Face,
    /// The rest of the head.
    Head,
    Hair,
    Neck,
    Torso,
    Pelvis,
    UpperArm,
    Forearm,
    Hand,
    Thigh,
    Shin,
    Foot,
    Skirt,
    Veil,
    Hat,
    Held,
    Camera,
    Seat,
    /// A thing that is not a person.
    Thing,
    Ground,
    Wall,
    Glass,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    pub finish: Finish,
    /// Tint; for [`Finish::Surface`] it multiplies the surface's own colour (white leaves it).
    pub colour: Colour,
}

/// How a solid takes light. The picture room has one table from finish to roughness, texture and so on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Finish {
    Surface(Surface),
    Skin,
    Hair,
    Eye,
    Cloth,
    Satin,
    /// Thin cloth that one sees through.
    Veil,
    Leather,
    Paint,
    Metal,
    BlackPlastic,
    Paper,
    Leaves,
    Petals,
    Bark,
    Wood,
    WindowGlass,
    /// Gives light itself, at this many candela per square metre.
    Glow {
        nits: u32,
    },
}

/// Luminance of a candle's flame, about 10⁴ cd/m² (handbooks, from memory).
pub const FLAME_NITS: u32 = 10_000;

/// A person's landmarks in world space, for framing, focus and facing.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    pub owner: OwnerIx,
    pub stature_m: f32,
    /// Between the soles, on the floor.
    pub sole: Vec3,
    pub knee: Vec3,
    pub mid_thigh: Vec3,
    pub hip: Vec3,
    pub waist: Vec3,
    pub chest: Vec3,
    pub shoulder: Vec3,
    pub chin: Vec3,
    /// Between the eyes.
    pub eyes: Vec3,
    pub crown: Vec3,
    /// Unit vector out of the face.
    pub face_forward: Vec3,
    pub hands: [Vec3; 2],
    /// Half the shoulder width.
    pub half_width_m: f32,
}

impl Tableau {
    pub fn owner(&self, ix: OwnerIx) -> &Owner {
        &self.owners[ix.0 as usize]
    }

    /// Flames of candles that stand about or are held; those that the plan has as lamps are the venue's and not here.
    pub fn flames(&self) -> impl Iterator<Item = Vec3> + '_ {
        let burns = |solid: &&Solid| {
            solid.material.finish == Finish::Glow { nits: FLAME_NITS }
                && self.owners.get(solid.owner.0 as usize).is_some_and(|owner| owner.kind != OwnerKind::Venue)
        };
        self.solids.iter().filter(burns).map(|solid| solid.at)
    }

    /// The landmarks of a named person, if they are there.
    pub fn figure_of(&self, kind: OwnerKind) -> Option<&Figure> {
        self.figures.iter().find(|figure| self.owner(figure.owner).kind == kind)
    }
}
