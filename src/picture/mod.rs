//! Tableau and camera to picture.

mod caution;
mod exif;
mod guides;
mod indoors;
mod ink;
pub mod look;
pub mod mesh;
mod meter;
pub mod noise;
mod outside;
mod prepare;
mod record;
mod sprigs;
pub mod texture;
pub mod tone;
mod white;

#[cfg(feature = "engine")]
pub mod engine;

pub use caution::{SunAhead, sun_ahead};
pub use exif::{ExifFacts, PictureError, exif_block, jpeg_bytes, png_bytes};
pub use guides::{Crop, FrameLabel, PRINT_SHAPES, PrintShape, centred_crop, thirds, with_guides};
pub use indoors::{WindowLight, window_light};
pub use meter::{Metered, meter};
pub use outside::Outside;
pub use prepare::{Prepared, picture_size, prepare};
pub use record::{DrawnBy, FrameRecord, FramesFile, RecordedPicture, frame_record, orientation_word, shot_size_word};
pub use white::{WhiteBalance, white_balance};
