//! Sensor, lens, framing, focus and exposure, in plain numbers.

mod camera;
mod compose;
mod exposure;
mod framing;
mod holding;
mod lens;
mod remark;

pub use camera::*;
pub use compose::*;
pub use exposure::*;
pub use framing::*;
pub use lens::*;
pub use remark::*;
