//! A camera in the tableau: pose, sensor, lens settings, and the pinhole projection they give.
//!
//! Camera space is right-handed: x right, y up, looking along −z. Image space counts pixels from the
//! top left corner of the picture, u right and v down; the picture's centre is (w/2, h/2).

use glam::{Mat4, Quat, Vec3};

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camera {
    /// Centre of projection, world.
    pub eye: Vec3,
    /// Turns camera space into world space.
    pub turned: Quat,
    /// Width and height of the sensor as held (portrait has height > width).
    pub sensor_m: [f64; 2],
    pub focal_m: f64,
    pub f_number: f64,
    /// Distance along the axis that is sharp.
    pub focus_m: f64,
    pub shutter_s: f64,
    pub iso: f64,
}

impl Camera {
    /// Rotation of a camera at `eye` that looks at `target`, level (no roll).
    /// Looking straight up or down keeps −z of the world at the top of the picture.
    pub fn look_at(eye: Vec3, target: Vec3) -> Quat {
        let forward = (target - eye).normalize_or(Vec3::NEG_Z);
        let up = if forward.y.abs() > 0.9999 { Vec3::NEG_Z } else { Vec3::Y };
        let right = forward.cross(up).normalize();
        let up = right.cross(forward);
        Quat::from_mat3(&glam::Mat3::from_cols(right, up, -forward))
    }

    pub fn world_from_camera(&self) -> Mat4 {
        Mat4::from_rotation_translation(self.turned, self.eye)
    }

    pub fn forward(&self) -> Vec3 {
        self.turned * Vec3::NEG_Z
    }

    /// Vertical angle of view of the lens focused at infinity, radians: 2·atan(h / 2f).
    pub fn vertical_fov(&self) -> f64 {
        2.0 * (self.sensor_m[1] / (2.0 * self.focal_m)).atan()
    }

    /// World direction, unit, through a spot of the picture: shares of its width from the left and of its height from
    /// the top.
    pub fn direction_through(&self, [across, down]: [f64; 2]) -> Vec3 {
        let right = (across - 0.5) * self.sensor_m[0] / self.focal_m;
        let up = (0.5 - down) * self.sensor_m[1] / self.focal_m;
        (self.turned * Vec3::new(right as f32, up as f32, -1.0)).normalize_or(self.forward())
    }

    /// Pixel (u, v) and depth along the axis of a world point in a picture `width` pixels wide;
    /// `None` behind the camera.
    pub fn image_from_world(&self, point: Vec3, width_px: f64) -> Option<(f64, f64, f64)> {
        let p = (self.turned.inverse() * (point - self.eye)).as_dvec3();
        let depth = -p.z;
        if depth <= 0.0 {
            return None;
        }
        let px_per_m = width_px / self.sensor_m[0];
        let height_px = self.sensor_m[1] * px_per_m;
        Some((
            width_px / 2.0 + self.focal_m * px_per_m * p.x / depth,
            height_px / 2.0 - self.focal_m * px_per_m * p.y / depth,
            depth,
        ))
    }
}
