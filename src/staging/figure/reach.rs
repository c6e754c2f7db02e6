//! Two bones and a joint between them: elbows and knees.

use glam::Vec3;

/// Middle joint and end of two bones of lengths `first_m` and `second_m` from `root` towards `target`.
///
/// The joint bends to the side of `pole` (a direction). A target too far is reached for along a straight limb; one too
/// near folds it. The lengths are always kept.
pub fn two_bones(root: Vec3, target: Vec3, first_m: f32, second_m: f32, pole: Vec3) -> (Vec3, Vec3) {
    let way = target - root;
    let nearest = (first_m - second_m).abs() + 0.02 * first_m;
    let distance = way.length().clamp(nearest, (first_m + second_m) * 0.9995);
    let along = way.normalize_or(Vec3::NEG_Y);
    let side = (pole - along * pole.dot(along)).normalize_or(along.any_orthonormal_vector());
    // Law of cosines: how far along the way the joint's foot lies, and how far off it the joint is.
    let foot = (first_m * first_m - second_m * second_m + distance * distance) / (2.0 * distance);
    let off = (first_m * first_m - foot * foot).max(0.0).sqrt();
    (root + along * foot + side * off, root + along * distance)
}
