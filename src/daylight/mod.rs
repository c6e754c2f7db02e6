//! Where the sun stands, how strong sun and sky are, and what colour they have.
use glam::Vec3;
pub struct SkyDome { pub to_sun: Vec3 }
impl SkyDome { pub fn radiance(&self, d: Vec3) -> [f32;3] {
  let y = d.y; if y < 0.0 { let t=(1.0+y*3.0).max(0.0); return [1500.0*t+900.0,1500.0*t+1000.0,1500.0*t+600.0]; }
  let near = d.dot(self.to_sun).max(0.0).powi(8)*6000.0; let h=(1.0-y).powi(3);
  [1500.0+5000.0*h+near, 2800.0+5200.0*h+near*0.95, 6500.0+3800.0*h+near*0.8] } }
pub struct Daylight { pub to_sun: Vec3, pub sun_lux: f64, pub sun_colour: [f32;3], pub sky: SkyDome }
