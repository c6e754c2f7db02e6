//! Tableau and camera to picture.

mod above;
mod caution;
mod checked;
mod exif;
mod follow;
mod guides;
mod indoors;
mod ink;
pub mod look;
mod maps;
pub mod mesh;
mod meter;
pub mod noise;
mod outside;
mod prepare;
mod readings;
mod record;
mod sprigs;
mod strip;
pub mod texture;
pub mod tone;
mod top_view;
pub mod tracer;
mod white;

#[cfg(feature = "engine")]
pub mod engine;

pub use above::Overview;
pub use caution::{SunAhead, sun_ahead};
pub use checked::checked;
pub use exif::{ExifFacts, PictureError, brief_exif_block, exif_block, jpeg_bytes, png_bytes};
pub use follow::{InTheFinder, in_the_finder};
pub use guides::{Crop, FrameLabel, PRINT_SHAPES, PrintShape, centred_crop, thirds, with_guides};
pub use indoors::{WindowLight, window_light};
pub use ink::words_width;
pub use meter::{Metered, light_on_seen_side, meter};
pub use outside::Outside;
pub use prepare::{Prepared, picture_size, prepare, prepare_in};
pub use readings::LightFrom;
pub use record::{
    DrawnBy, FrameRecord, FramesFile, RecordedPicture, frame_record, orientation_word, overview_record, shot_size_word,
};
pub use strip::{Cell, Page, Placed, Rect, Seen, Text, Title, Tone, lay_out, paint, picture_in_strip};
pub use top_view::{TopView, Views, top_view};
pub use white::{WhiteBalance, white_balance};
