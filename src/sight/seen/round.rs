//! Rectangles of pixels round solids.

use super::Scene;
use crate::sight::caster::corners_of;
use crate::sight::ids::Pane;

/// Pictures that are looked at beyond each edge of the picture; whoever touches the lens reaches further, into nothing that
/// matters.
const PICTURES_BESIDE: f64 = 20.0;
/// Nearer to the lens than this nothing has a size on the picture's plane.
const NEAREST_M: f64 = 0.02;

/// Pixels from `left` and `top` to before `right` and `bottom`, on the picture's grid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rectangle {
    pub left: i32,
    pub top: i32,
    pub right: i32,
    pub bottom: i32,
}

impl Rectangle {
    pub fn and(self, other: Self) -> Option<Self> {
        let both = Self {
            left: self.left.max(other.left),
            top: self.top.max(other.top),
            right: self.right.min(other.right),
            bottom: self.bottom.min(other.bottom),
        };
        (both.left < both.right && both.top < both.bottom).then_some(both)
    }

    pub fn lies_in(self, other: Self) -> bool {
        self.and(other) == Some(self)
    }

    pub fn width(self) -> i32 {
        self.right - self.left
    }

    pub fn height(self) -> i32 {
        self.bottom - self.top
    }

    pub fn pixels(self) -> f64 {
        f64::from(self.width()) * f64::from(self.height())
    }

    /// Grown so that it holds a pixel.
    pub fn with(one: Option<Self>, x: i32, y: i32) -> Self {
        let pixel = Self { left: x, top: y, right: x + 1, bottom: y + 1 };
        one.map_or(pixel, |one| Self {
            left: one.left.min(pixel.left),
            top: one.top.min(pixel.top),
            right: one.right.max(pixel.right),
            bottom: one.bottom.max(pixel.bottom),
        })
    }

    pub fn pane(self, picture: Pane) -> Pane {
        picture.part([self.left, self.top], [self.width() as u32, self.height() as u32])
    }
}

/// Pixels that solids can reach; `None` if they are all behind the camera.
pub fn rectangle_round(scene: &Scene, solids: &[u32]) -> Option<Rectangle> {
    let pane = scene.picture.pane;
    let (width, height) = (f64::from(pane.width), f64::from(pane.height));
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for &index in solids {
        let solid = &scene.tableau.solids[index as usize];
        let mut ahead = 0;
        let mut all = 0;
        for corner in corners_of(solid) {
            all += 1;
            let Some((u, v, depth_m)) = scene.camera.image_from_world(corner, width) else { continue };
            if depth_m < NEAREST_M {
                continue;
            }
            ahead += 1;
            low = [low[0].min(u), low[1].min(v)];
            high = [high[0].max(u), high[1].max(v)];
        }
        if ahead > 0 && ahead < all {
            // Through the camera's own plane: it may reach anywhere.
            (low, high) = ([f64::NEG_INFINITY; 2], [f64::INFINITY; 2]);
        }
    }
    let edge = |value: f64, side: f64| value.clamp(-PICTURES_BESIDE * side, (PICTURES_BESIDE + 1.0) * side);
    let round = Rectangle {
        left: edge(low[0], width).floor() as i32 - 1,
        top: edge(low[1], height).floor() as i32 - 1,
        right: edge(high[0], width).ceil() as i32 + 1,
        bottom: edge(high[1], height).ceil() as i32 + 1,
    };
    (low[0] <= high[0]).then_some(round)
}
