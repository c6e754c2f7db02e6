//! Whether a point lies within a mesh, open or closed: how often its surface goes round the point.

use crate::staging::TriangleMesh;
use glam::{DVec3, Vec3};
use std::f64::consts::PI;

/// Whether the faces that look outwards go round a point in its mesh's own space at least half.
///
/// The winding number is the sum of the triangles' solid angles over 4π: 1 within a closed surface, 0 outside, between them
/// near the holes of an open one (A. Jacobson, L. Kavan, O. Sorkine-Hornung, ACM Trans. Graph. 32(4), 2013), −1 within a room
/// whose walls look inwards. A triangle's solid angle is after A. van Oosterom, J. Strackee, IEEE Trans. Biomed. Eng. 30
/// (1983), 125.
pub fn is_within(mesh: &TriangleMesh, at: Vec3) -> bool {
    let at = at.as_dvec3();
    let angle = |triangle: &[u32; 3]| {
        let [a, b, c] = triangle.map(|corner| mesh.corners.get(corner as usize).map(|corner| corner.as_dvec3() - at));
        a.zip(b).zip(c).map_or(0.0, |((a, b), c)| solid_angle(a, b, c))
    };
    mesh.triangles.iter().map(angle).sum::<f64>() > 2.0 * PI
}

fn solid_angle(a: DVec3, b: DVec3, c: DVec3) -> f64 {
    let (la, lb, lc) = (a.length(), b.length(), c.length());
    let below = la * lb * lc + a.dot(b) * lc + b.dot(c) * la + c.dot(a) * lb;
    2.0 * a.dot(b.cross(c)).atan2(below)
}

#[cfg(test)]
mod tests {
    use super::*;
    use glam::vec3;

    /// A tetrahedron that holds the origin, with its faces outwards, inwards, and without its floor.
    #[test]
    fn within_what_looks_outwards() {
        let corners = vec![vec3(1.0, -1.0, -1.0), vec3(-1.0, -1.0, -1.0), vec3(0.0, -1.0, 2.0), vec3(0.0, 2.0, 0.0)];
        let outwards = vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]];
        let inwards = outwards.iter().map(|&[a, b, c]| [a, c, b]).collect();
        let closed = TriangleMesh { corners: corners.clone(), triangles: outwards };
        assert!(is_within(&closed, Vec3::ZERO) && !is_within(&closed, vec3(0.0, 2.1, 0.0)));
        let room = TriangleMesh { corners, triangles: inwards };
        assert!(!is_within(&room, Vec3::ZERO));
        let open = TriangleMesh { triangles: closed.triangles[1..].to_vec(), ..closed };
        assert!(is_within(&open, vec3(0.0, 0.5, 0.0)) && !is_within(&open, vec3(0.0, -1.5, 0.0)));
    }
}
