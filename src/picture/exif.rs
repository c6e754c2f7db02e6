//! Picture files: JPEG and PNG with the EXIF block that a camera would have written.
//!
//! Tags after CIPA DC-008 (EXIF 2.32), so that photographers' catalogues sort previews beside real pictures.

use crate::optics::{Camera, focal_on_full_frame};
use crate::plan::{Lens, Place};
use exif::experimental::Writer;
use exif::{Field, In, Rational, SRational, Tag, Value};
use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::PngEncoder;
use image::{ImageEncoder, RgbImage};
use jiff::ZonedDateTime;
use thiserror::Error;

/// What the EXIF block tells.
#[derive(Debug, Clone, Copy)]
pub struct ExifFacts<'a> {
    /// Frame, moment and venue, in a line.
    pub description: &'a str,
    pub photographer: &'a str,
    pub place: &'a Place,
    pub instant: &'a ZonedDateTime,
    pub lens: &'a Lens,
    pub camera: &'a Camera,
    /// Stops brighter (+) or darker (−) than metered, as set.
    pub compensation_ev: f64,
    /// Whether the camera metered (ISO not set by hand).
    pub metered: bool,
}

#[derive(Debug, Error)]
pub enum PictureError {
    #[error("the EXIF block could not be written: {0}")]
    Exif(#[from] exif::Error),
    #[error("the picture could not be encoded: {0}")]
    Encode(#[from] image::ImageError),
}

/// A JPEG file: full colour resolution (4:4:4), `quality` 1 to 100, with the EXIF block.
///
/// # Errors
/// [`PictureError::Encode`] for a picture too large for JPEG (65 535 pixels a side) or without pixels.
pub fn jpeg_bytes(picture: &RgbImage, quality: u8, exif: Vec<u8>) -> Result<Vec<u8>, PictureError> {
    let mut file = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut file, quality.clamp(1, 100));
    encoder.set_exif_metadata(exif).map_err(image::ImageError::Unsupported)?;
    encoder.write_image(picture, picture.width(), picture.height(), image::ExtendedColorType::Rgb8)?;
    Ok(file)
}

/// A PNG file with the same EXIF block (chunk `eXIf`).
///
/// # Errors
/// [`PictureError::Encode`] for a picture without pixels.
pub fn png_bytes(picture: &RgbImage, exif: Vec<u8>) -> Result<Vec<u8>, PictureError> {
    let mut file = Vec::new();
    let mut encoder = PngEncoder::new(&mut file);
    encoder.set_exif_metadata(exif).map_err(image::ImageError::Unsupported)?;
    encoder.write_image(picture, picture.width(), picture.height(), image::ExtendedColorType::Rgb8)?;
    Ok(file)
}

/// The EXIF block as it goes into a file (TIFF structure, without the JPEG marker).
///
/// Names go in as UTF-8, as cameras and catalogues do, though EXIF 2.32 asks for ASCII.
///
/// # Errors
/// [`PictureError::Exif`] if the block grows beyond what TIFF can address.
pub fn exif_block(facts: &ExifFacts<'_>) -> Result<Vec<u8>, PictureError> {
    block(&fields(facts))
}

/// The EXIF block of a picture that no planned camera takes: what it shows, when, and what made it.
///
/// # Errors
/// As [`exif_block`].
pub fn brief_exif_block(description: &str, instant: &ZonedDateTime) -> Result<Vec<u8>, PictureError> {
    block(&what_and_when(description, instant))
}

fn block(fields: &[Field]) -> Result<Vec<u8>, PictureError> {
    let mut writer = Writer::new();
    for field in fields {
        writer.push_field(field);
    }
    let mut block = std::io::Cursor::new(Vec::new());
    writer.write(&mut block, false)?;
    Ok(block.into_inner())
}

fn what_and_when(description: &str, instant: &ZonedDateTime) -> Vec<Field> {
    vec![
        text(Tag::ImageDescription, description),
        text(Tag::Software, concat!("Standpoint ", env!("CARGO_PKG_VERSION"))),
        text(Tag::DateTime, &instant.strftime("%Y:%m:%d %H:%M:%S").to_string()),
        short(Tag::Orientation, 1),
        field(Tag::ExifVersion, Value::Undefined(b"0232".to_vec(), 0)),
        text(Tag::DateTimeOriginal, &instant.strftime("%Y:%m:%d %H:%M:%S").to_string()),
        text(Tag::OffsetTime, &instant.strftime("%:z").to_string()),
        text(Tag::OffsetTimeOriginal, &instant.strftime("%:z").to_string()),
    ]
}

fn fields(facts: &ExifFacts<'_>) -> Vec<Field> {
    let camera = facts.camera;
    let [short_m, long_m] = facts.lens.focal_m;
    let [wide_short, wide_long] = facts.lens.widest_f;
    let equivalent_mm = (1000.0 * focal_on_full_frame(camera.focal_m, camera.sensor_m)).round();
    let mut fields = what_and_when(facts.description, facts.instant);
    fields.extend([
        text(Tag::Artist, facts.photographer),
        rationals(Tag::FNumber, &[hundredths(camera.f_number)]),
        rationals(Tag::ExposureTime, &[shutter(camera.shutter_s)]),
        short(Tag::PhotographicSensitivity, camera.iso.round()),
        // Manual: aperture and shutter are set, at most ISO moves.
        short(Tag::ExposureProgram, 1),
        short(Tag::ExposureMode, if facts.metered { 0 } else { 1 }),
        field(
            Tag::ExposureBiasValue,
            Value::SRational(vec![SRational { num: (facts.compensation_ev * 100.0).round() as i32, denom: 100 }]),
        ),
        rationals(Tag::FocalLength, &[tenths_mm(camera.focal_m)]),
        short(Tag::FocalLengthIn35mmFilm, equivalent_mm),
        rationals(
            Tag::LensSpecification,
            &[tenths_mm(short_m), tenths_mm(long_m), hundredths(wide_short), hundredths(wide_long)],
        ),
        rationals(Tag::SubjectDistance, &[Rational { num: whole(camera.focus_m * 1000.0), denom: 1000 }]),
        field(Tag::GPSVersionID, Value::Byte(vec![2, 3, 0, 0])),
    ]);
    let Place { latitude_deg, longitude_deg, altitude_m, .. } = *facts.place;
    fields.extend([
        text(Tag::GPSLatitudeRef, if latitude_deg < 0.0 { "S" } else { "N" }),
        rationals(Tag::GPSLatitude, &degrees_minutes_seconds(latitude_deg)),
        text(Tag::GPSLongitudeRef, if longitude_deg < 0.0 { "W" } else { "E" }),
        rationals(Tag::GPSLongitude, &degrees_minutes_seconds(longitude_deg)),
        field(Tag::GPSAltitudeRef, Value::Byte(vec![u8::from(altitude_m < 0.0)])),
        rationals(Tag::GPSAltitude, &[Rational { num: whole(altitude_m.abs() * 10.0), denom: 10 }]),
    ]);
    fields
}

fn field(tag: Tag, value: Value) -> Field {
    Field { tag, ifd_num: In::PRIMARY, value }
}

/// A NUL would end the text early for readers: it is left out.
fn text(tag: Tag, text: &str) -> Field {
    let bytes = text.bytes().filter(|&byte| byte != 0).collect();
    field(tag, Value::Ascii(vec![bytes]))
}

fn short(tag: Tag, value: impl Into<f64>) -> Field {
    field(tag, Value::Short(vec![value.into().clamp(0.0, 65_535.0) as u16]))
}

fn rationals(tag: Tag, values: &[Rational]) -> Field {
    field(tag, Value::Rational(values.to_vec()))
}

fn whole(value: f64) -> u32 {
    value.round().clamp(0.0, f64::from(u32::MAX)) as u32
}

fn hundredths(value: f64) -> Rational {
    Rational { num: whole(value * 100.0), denom: 100 }
}

fn tenths_mm(length_m: f64) -> Rational {
    Rational { num: whole(length_m * 10_000.0), denom: 10 }
}

/// `1/250` as written on a camera; tenths of a second from 0.3 s on.
fn shutter(shutter_s: f64) -> Rational {
    if shutter_s < 0.3 {
        Rational { num: 1, denom: whole(1.0 / shutter_s.max(1e-9)).max(1) }
    } else {
        Rational { num: whole(shutter_s * 10.0), denom: 10 }
    }
}

/// Degrees, minutes, and seconds to a ten-thousandth (3 mm on the ground).
fn degrees_minutes_seconds(degrees: f64) -> [Rational; 3] {
    let ten_thousandths = whole(degrees.abs().min(180.0) * 3600.0 * 10_000.0);
    const MINUTE: u32 = 60 * 10_000;
    [
        Rational { num: ten_thousandths / (60 * MINUTE), denom: 1 },
        Rational { num: ten_thousandths / MINUTE % 60, denom: 1 },
        Rational { num: ten_thousandths % MINUTE, denom: 10_000 },
    ]
}
