//! The engine's own camera against OpenCV's pinhole.
#![cfg(feature = "engine")]

mod adapter;

use glam::{Vec3, vec3};
use standpoint::optics::Camera;

/// World point; u, v and depth by camera A; the same by camera B. Computed with OpenCV 5.0.0, `projectPoints` without
/// distortion; (u, v) from the picture's top left corner.
const POINTS: [([f32; 3], [f32; 3], [f32; 3]); 12] = [
    ([0.0, 0.0, 0.0], [960.000, 1104.345, 8.0375], [628.768, 1406.127, 6.1620]),
    ([0.0, 1.75, 0.0], [960.000, 523.279, 7.9938], [628.648, 875.468, 6.0971]),
    ([0.25, 1.62, 0.1], [1044.42, 566.578, 7.8970], [708.036, 915.026, 6.1649]),
    ([-0.6, 1.63, 0.2], [754.788, 563.070, 7.7968], [502.853, 914.170, 5.5917]),
    ([1.5, 1.1, -2.0], [1359.625, 706.583, 10.0094], [646.425, 1020.827, 8.6186]),
    ([-2.2, 0.45, 1.5], [61.130, 1043.344, 6.5267], [147.087, 1530.344, 3.6509]),
    ([2.4, 2.5, -4.0], [1494.502, 372.832, 11.9738], [571.544, 751.352, 10.7173]),
    ([-3.0, 3.0, -6.0], [386.960, 305.831, 13.9606], [-567.214, 627.059, 9.2077]),
    ([0.9, 0.0, 2.5], [1393.348, 1343.971, 5.5383], [1501.397, 1574.536, 4.6443]),
    ([-1.2, 1.24, 3.0], [320.950, 765.108, 5.0074], [1091.061, 1179.431, 2.9769]),
    ([0.05, 1.4, -0.9], [974.978, 633.262, 8.9022], [499.612, 972.325, 6.8726]),
    ([3.2, 0.8, -1.0], [1906.341, 809.993, 9.0172], [1063.282, 1081.887, 8.7972]),
];

fn camera(eye: Vec3, target: Vec3, focal_m: f64, sensor_m: [f64; 2]) -> Camera {
    let turned = Camera::look_at(eye, target);
    Camera { eye, turned, sensor_m, focal_m, f_number: 2.8, focus_m: 6.0, shutter_s: 0.005, iso: 400.0 }
}

/// One test, so that the engine starts once.
#[test]
fn points_land_where_a_pinhole_puts_them() {
    let Some(mut studio) = adapter::studio("points_land_where_a_pinhole_puts_them") else { return };
    let a = camera(vec3(0.0, 1.6, 8.0), vec3(0.0, 1.4, 0.0), 0.050, [0.036, 0.024]);
    let b = camera(vec3(-3.5, 1.7, 5.0), vec3(0.4, 1.45, -0.5), 0.035, [0.024, 0.036]);
    let world = POINTS.map(|(point, ..)| Vec3::from(point));
    // Landscape, portrait, and landscape again: nothing of the portrait picture may stay behind.
    for (name, camera, size, expected) in [
        ("A", &a, [1920, 1280], POINTS.map(|(_, a, _)| a)),
        ("B", &b, [1280, 1920], POINTS.map(|(.., b)| b)),
        ("A again", &a, [1920, 1280], POINTS.map(|(_, a, _)| a)),
    ] {
        let got = studio.viewport_points(camera, size, &world).expect("the engine's camera answers");
        for ((point, got), expected) in world.iter().zip(&got).zip(&expected) {
            let got = got.unwrap_or_else(|| panic!("camera {name} does not see {point}"));
            let off_px = (got[0] - expected[0]).abs().max((got[1] - expected[1]).abs());
            assert!(off_px <= 0.05, "camera {name}, {point}: {got:?} instead of {expected:?}");
            assert!((got[2] - expected[2]).abs() <= 0.001, "camera {name}, {point}: {got:?} instead of {expected:?}");
        }
    }
    let behind = studio.viewport_points(&a, [1920, 1280], &[vec3(0.0, 1.6, 9.0)]).expect("an answer");
    assert_eq!(behind, [None], "a point behind the camera has no place in the picture");
}
