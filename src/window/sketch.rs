//! The picture of a floor plan that one draws over: read beside the frame loop, laid on the floor, set to scale by two points.

use crate::plan::edit::{length_value, number_value, spot_value, text_value};
use crate::plan::{LengthUnit, Sketch};
use egui::ColorImage;
use glam::Vec2;
use image::imageops::FilterType;
use image::{ImageReader, Limits};
use std::fs;
use std::path::{Path, PathBuf};

/// Larger files and pictures are no floor plans.
const MOST_BYTES: u64 = 64 * 1024 * 1024;
const MOST_PX: u32 = 20_000;
/// Long side of what is kept of it: any graphics card takes this, and a wall is still a line.
const KEPT_PX: u32 = 2048;
/// A new picture lies so wide until its scale is set.
pub const FIRST_WIDTH_M: f32 = 12.0;

/// Reads a PNG or JPEG picture, smaller where it is very large.
///
/// # Errors
/// In words, for whoever chose it.
pub fn read(path: &Path) -> Result<ColorImage, String> {
    let bytes = fs::metadata(path).map_err(|error| error.to_string())?.len();
    if bytes > MOST_BYTES {
        return Err(format!("it has {} MB, more than the {} that are read", bytes >> 20, MOST_BYTES >> 20));
    }
    let mut reader =
        ImageReader::open(path).and_then(ImageReader::with_guessed_format).map_err(|error| error.to_string())?;
    let mut limits = Limits::default();
    (limits.max_image_width, limits.max_image_height) = (Some(MOST_PX), Some(MOST_PX));
    reader.limits(limits);
    let picture = reader.decode().map_err(|error| format!("it doesn’t read as a PNG or JPEG picture: {error}"))?;
    let picture = match picture.width().max(picture.height()) > KEPT_PX {
        true => picture.resize(KEPT_PX, KEPT_PX, FilterType::Triangle),
        false => picture,
    };
    let picture = picture.into_rgba8();
    let size = [picture.width() as usize, picture.height() as usize];
    Ok(ColorImage::from_rgba_unmultiplied(size, picture.as_raw()))
}

/// The file that a plan means: from the plan's folder.
pub fn file_of(plan: Option<&Path>, picture: &str) -> PathBuf {
    plan.and_then(Path::parent).unwrap_or(Path::new("")).join(picture)
}

/// How a plan names a picture: from its folder if it lies there, else in full.
pub fn name_in(plan: Option<&Path>, picture: &Path) -> String {
    let inside = plan.and_then(Path::parent).and_then(|folder| picture.strip_prefix(folder).ok());
    let parts: Vec<_> = inside.unwrap_or(picture).components().map(|part| part.as_os_str().to_string_lossy()).collect();
    match inside {
        Some(_) => parts.join("/"),
        None => picture.to_string_lossy().into_owned(),
    }
}

/// As the plan writes it.
pub fn value(sketch: &Sketch, units: LengthUnit) -> String {
    let heading = match sketch.heading.to_degrees() {
        heading if heading.abs() < 0.05 => String::new(),
        heading => format!(", heading: {}", number_value(f64::from(heading), 1)),
    };
    format!(
        "(picture: {}, centre: {}, width: {}{heading})",
        text_value(&sketch.picture),
        spot_value(sketch.centre, units),
        length_value(f64::from(sketch.width_m), units)
    )
}

/// With two spots of it so far apart on the floor; the first stays where it lies.
pub fn scaled(sketch: &Sketch, from: Vec2, to: Vec2, length_m: f32) -> Sketch {
    let factor = length_m / from.distance(to).max(1e-3);
    Sketch {
        centre: from + (sketch.centre - from) * factor,
        width_m: sketch.width_m * factor,
        picture: sketch.picture.clone(),
        ..*sketch
    }
}

/// Its corners on the floor: upper left, upper right, lower right, lower left.
pub fn corners(sketch: &Sketch, size_px: [usize; 2]) -> [Vec2; 4] {
    let (sin, cos) = sketch.heading.sin_cos();
    let height_m = sketch.width_m * size_px[1] as f32 / size_px[0].max(1) as f32;
    let (right, up) = (Vec2::new(cos, sin) * sketch.width_m / 2.0, Vec2::new(sin, -cos) * height_m / 2.0);
    let at = sketch.centre;
    [at - right + up, at + right + up, at + right - up, at - right - up]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sketch() -> Sketch {
        Sketch { picture: "hall.png".into(), centre: Vec2::new(2.0, 1.0), width_m: 12.0, heading: 0.0 }
    }

    #[test]
    fn two_spots_of_it_come_as_far_apart_as_was_measured_and_the_first_stays() {
        let (from, to) = (Vec2::new(-1.0, 0.0), Vec2::new(2.0, 4.0));
        let set = scaled(&sketch(), from, to, 7.5);
        // 5 m in the picture are 7.5 m: all of it half as large again.
        assert!((set.width_m - 18.0).abs() < 1e-5);
        let place = |of: &Sketch, spot: Vec2| (spot - of.centre) / of.width_m;
        let new_to = set.centre + place(&sketch(), to) * set.width_m;
        let new_from = set.centre + place(&sketch(), from) * set.width_m;
        assert!(new_from.distance(from) < 1e-5 && (new_to.distance(new_from) - 7.5).abs() < 1e-5);
    }

    #[test]
    fn its_upper_edge_lies_where_its_heading_says() {
        let [left, right, _, low] = corners(&sketch(), [400, 200]);
        assert_eq!((left, right, low), (Vec2::new(-4.0, -2.0), Vec2::new(8.0, -2.0), Vec2::new(-4.0, 4.0)));
        // Turned to the right by a quarter: the upper edge lies to the right.
        let turned = Sketch { heading: 90_f32.to_radians(), ..sketch() };
        let [left, right, ..] = corners(&turned, [400, 200]);
        assert!(left.distance(Vec2::new(5.0, -5.0)) < 1e-5 && right.distance(Vec2::new(5.0, 7.0)) < 1e-5);
    }

    #[test]
    fn it_is_named_from_the_plans_folder() {
        let plan = Path::new("/plans/june/plan.ron");
        assert_eq!(name_in(Some(plan), Path::new("/plans/june/in/hall.png")), "in/hall.png");
        assert_eq!(name_in(Some(plan), Path::new("/elsewhere/hall.png")), "/elsewhere/hall.png");
        assert_eq!(file_of(Some(plan), "in/hall.png"), Path::new("/plans/june/in/hall.png"));
        assert_eq!(file_of(Some(plan), "/elsewhere/hall.png"), Path::new("/elsewhere/hall.png"));
    }

    #[test]
    fn what_is_no_picture_is_refused_in_words() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("hall.png");
        assert!(read(&file).is_err());
        fs::write(&file, "no picture").unwrap();
        assert!(read(&file).unwrap_err().contains("PNG or JPEG"));
        image::RgbImage::from_pixel(4096, 16, image::Rgb([9, 9, 9])).save(&file).unwrap();
        assert_eq!(read(&file).unwrap().size, [2048, 8]);
    }
}
