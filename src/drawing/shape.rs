//! What a floor plan is made of: outlines, lines, dots and words, each with its ink and with whom or what it shows.

use super::Ink;
use crate::plan::{FixtureIx, MeshIx, PersonIx, PhotographerIx, SeatsIx, StandpointIx};
use glam::Vec2;

/// A floor plan, or a layer of one: shapes in paint order. Floor metres, x right, z down the page (−z, the altar end, up).
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Drawing {
    pub shapes: Vec<Shape>,
}

/// A shape, how it is inked, and whom or what it shows; `None` is nothing that one could take hold of.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    pub form: Form,
    pub ink: Ink,
    pub of: Option<Subject>,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Form {
    /// Closed outlines, filled by the even-odd rule: of each shape its rings, whose last corner joins the first.
    Area(Vec<Vec<Vec2>>),
    Line {
        points: Vec<Vec2>,
        closed: bool,
    },
    /// A symbol that keeps its size on paper: its middle, and its radius in points (1/72 inch).
    Dot {
        at: Vec2,
        radius_pt: f32,
    },
    /// Words that keep their size on paper. Their baseline runs `below_pt` points below `at` on the page.
    Text {
        at: Vec2,
        text: String,
        size_pt: f32,
        align: Align,
        below_pt: f32,
    },
}

/// Which part of the words is at their spot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Align {
    Left,
    Centre,
    Right,
}

/// Whom or what a shape shows. Plain numbers are places in the plan's own lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Subject {
    Person(PersonIx),
    Mark(usize),
    Fixture(FixtureIx),
    Mesh(MeshIx),
    Seats(SeatsIx),
    Standpoint(StandpointIx),
    Room(usize),
    Wall(usize),
    Platform(usize),
    Aisle(usize),
    KeepOut(usize),
    EscapeRoute(usize),
    Lamp(usize),
    Patch(usize),
    /// An owner of the tableau.
    Guest(u32),
    Photographer(PhotographerIx),
}

impl Drawing {
    pub(super) fn area(&mut self, rings: Vec<Vec<Vec2>>, ink: Ink, of: Option<Subject>) {
        let rings: Vec<Vec<Vec2>> = rings.into_iter().filter(|ring| ring.len() > 2).collect();
        if !rings.is_empty() {
            self.shapes.push(Shape { form: Form::Area(rings), ink, of });
        }
    }

    pub(super) fn line(&mut self, points: Vec<Vec2>, ink: Ink, of: Option<Subject>) {
        self.shapes.push(Shape { form: Form::Line { points, closed: false }, ink, of });
    }

    pub(super) fn ring(&mut self, points: Vec<Vec2>, ink: Ink, of: Option<Subject>) {
        self.shapes.push(Shape { form: Form::Line { points, closed: true }, ink, of });
    }

    pub(super) fn dot(&mut self, at: Vec2, radius_pt: f32, ink: Ink, of: Option<Subject>) {
        self.shapes.push(Shape { form: Form::Dot { at, radius_pt }, ink, of });
    }
}
