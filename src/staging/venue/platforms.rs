//! Platforms and the steps before them.

use crate::plan::{Colour, Platform};
use crate::staging::carve::{Carver, Place, cut, of};
use crate::staging::floor::step_heights;
use crate::staging::tableau::{Finish, Part};

pub fn carve_platform(carver: &mut Carver, platform: &Platform) {
    let material = of(Finish::Surface(platform.surface), Colour([1.0; 3]));
    let place = Place::facing(platform.centre, 0.0, platform.heading);
    let h = platform.height_m;
    let size = platform.size_m;
    // The sides reach a little into the ground, so that no gap shows.
    let sunk = 0.05;
    carver.add(
        place,
        cut(size.x, h + sunk, size.y).at(0.0, (h - sunk) * 0.5, 0.0).round(0.008),
        Part::Ground,
        material,
    );
    for (k, step) in step_heights(platform).enumerate() {
        let z = size.y * 0.5 + (k as f32 + 0.5) * platform.tread_m;
        carver.add(
            place,
            cut(size.x, step + sunk, platform.tread_m).at(0.0, (step - sunk) * 0.5, z).round(0.008),
            Part::Ground,
            material,
        );
    }
}
