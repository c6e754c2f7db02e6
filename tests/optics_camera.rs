//! The camera's projection against another program's.

use glam::{Vec3, vec3};
use standpoint::optics::Camera;

fn camera(eye: Vec3, target: Vec3, focal_m: f64, sensor_m: [f64; 2]) -> Camera {
    Camera {
        eye,
        turned: Camera::look_at(eye, target),
        sensor_m,
        focal_m,
        f_number: 2.8,
        focus_m: 5.0,
        shutter_s: 0.005,
        iso: 400.0,
    }
}

const POINTS: [[f32; 3]; 12] = [
    [0.0, 0.0, 0.0],
    [0.0, 1.75, 0.0],
    [0.25, 1.62, 0.1],
    [-0.6, 1.63, 0.2],
    [1.5, 1.1, -2.0],
    [-2.2, 0.45, 1.5],
    [2.4, 2.5, -4.0],
    [-3.0, 3.0, -6.0],
    [0.9, 0.0, 2.5],
    [-1.2, 1.24, 3.0],
    [0.05, 1.4, -0.9],
    [3.2, 0.8, -1.0],
];

fn check(camera: &Camera, width_px: f64, expected: [[f64; 3]; 12]) {
    for (point, [u, v, depth]) in POINTS.iter().zip(expected) {
        let got = camera.image_from_world(Vec3::from(*point), width_px).expect("in front");
        assert!((got.0 - u).abs() < 0.05 && (got.1 - v).abs() < 0.05, "{point:?}: {got:?} instead of {u}, {v}");
        assert!((got.2 - depth).abs() < 1e-3, "{point:?}: depth {} instead of {depth}", got.2);
    }
}

/// 50 mm, landscape, 1920 × 1280: computed with OpenCV 5.0.0, `projectPoints`, no distortion.
#[test]
fn twelve_points_through_a_landscape_camera() {
    let camera = camera(vec3(0.0, 1.6, 8.0), vec3(0.0, 1.4, 0.0), 0.050, [0.036, 0.024]);
    assert!((camera.vertical_fov().to_degrees() - 26.991_467).abs() < 1e-5);
    check(
        &camera,
        1920.0,
        [
            [960.000, 1104.345, 8.0375],
            [960.000, 523.279, 7.9938],
            [1044.420, 566.578, 7.8970],
            [754.788, 563.070, 7.7968],
            [1359.625, 706.583, 10.0094],
            [61.130, 1043.344, 6.5267],
            [1494.502, 372.832, 11.9738],
            [386.960, 305.831, 13.9606],
            [1393.348, 1343.971, 5.5383],
            [320.950, 765.108, 5.0074],
            [974.978, 633.262, 8.9022],
            [1906.341, 809.993, 9.0172],
        ],
    );
}

/// 35 mm, portrait, 1280 × 1920, looking across and down: same source.
#[test]
fn twelve_points_through_a_portrait_camera() {
    let camera = camera(vec3(-3.5, 1.7, 5.0), vec3(0.4, 1.45, -0.5), 0.035, [0.024, 0.036]);
    assert!((camera.vertical_fov().to_degrees() - 54.432_223).abs() < 1e-5);
    check(
        &camera,
        1280.0,
        [
            [628.768, 1406.127, 6.1620],
            [628.648, 875.468, 6.0971],
            [708.036, 915.026, 6.1649],
            [502.853, 914.170, 5.5917],
            [646.425, 1020.827, 8.6186],
            [147.087, 1530.344, 3.6509],
            [571.544, 751.352, 10.7173],
            [-567.214, 627.059, 9.2077],
            [1501.397, 1574.536, 4.6443],
            [1091.061, 1179.431, 2.9769],
            [499.612, 972.325, 6.8726],
            [1063.282, 1081.887, 8.7972],
        ],
    );
}

#[test]
fn looking_straight_up_and_down_and_nowhere_gives_a_turn() {
    for target in [vec3(0.0, 5.0, 0.0), vec3(0.0, -5.0, 0.0), Vec3::ZERO, vec3(0.0, 5.0, 1e-6)] {
        let turned = Camera::look_at(Vec3::ZERO, target);
        assert!(turned.is_normalized(), "{target}: {turned}");
    }
    let behind = camera(Vec3::ZERO, Vec3::NEG_Z, 0.05, [0.036, 0.024]);
    assert_eq!(behind.image_from_world(Vec3::Z, 100.0), None);
    assert_eq!(behind.image_from_world(Vec3::ZERO, 100.0), None);
}
