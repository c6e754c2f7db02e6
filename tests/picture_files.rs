//! Picture files read back by others, records rebuilt from JSON, guides where they belong.

mod common;

use common::{person_at, plan_with, tableau_of};
use glam::{Mat4, Vec2, Vec3, Vec4, vec2, vec3};
use image::{Rgb, RgbImage};
use little_exif::exif_tag::ExifTag;
use little_exif::filetype::FileExtension;
use little_exif::metadata::Metadata;
use standpoint::optics::{Camera, compose};
use standpoint::picture::*;
use standpoint::plan::*;

fn camera() -> Camera {
    let eye = vec3(-3.5, 1.7, 5.0);
    Camera {
        eye,
        turned: Camera::look_at(eye, vec3(0.4, 1.45, -0.5)),
        sensor_m: [0.0223, 0.0149],
        focal_m: 0.050,
        f_number: 2.8,
        focus_m: 6.75,
        shutter_s: 1.0 / 200.0,
        iso: 800.0,
    }
}

/// A picture with something in every corner: a sky over a meadow with a few stripes.
fn picture(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        let (u, v) = (x as f32 / width as f32, y as f32 / height as f32);
        let stripe = if (x / (width / 12).max(1)).is_multiple_of(2) { 18.0 } else { 0.0 };
        if v < 0.55 {
            Rgb([(120.0 + 100.0 * v) as u8, (160.0 + 80.0 * v) as u8, 235])
        } else {
            Rgb([(70.0 + stripe) as u8, (110.0 + stripe + 30.0 * u) as u8, 60])
        }
    })
}

fn facts<'a>(plan: &'a Plan, camera: &'a Camera, instant: &'a jiff::ZonedDateTime, name: &'a str) -> ExifFacts<'a> {
    ExifFacts {
        description: "kiss-wide: first kiss, Meadow",
        photographer: name,
        place: &plan.place,
        instant,
        lens: &plan.kit.lenses[0],
        camera,
        compensation_ev: -0.33,
        metered: false,
    }
}

/// Written by one library, read by another, in both file formats.
#[test]
fn exif_is_read_back_by_another_reader() {
    let plan = plan_with([0.024, 0.070], vec2(0.0, 6.0), 1.5);
    let camera = camera();
    let instant = plan.instant(1834.0);
    let block = exif_block(&facts(&plan, &camera, &instant, "Noor")).expect("a block");
    let small = picture(90, 60);
    let files = [
        (jpeg_bytes(&small, 92, block.clone()).expect("a JPEG"), FileExtension::JPEG),
        (png_bytes(&small, block).expect("a PNG"), FileExtension::PNG { as_zTXt_chunk: false }),
    ];
    for (file, kind) in files {
        let read = Metadata::new_from_vec(&file, kind).expect("EXIF in the file");
        let get = |tag: ExifTag| read.get_tag(&tag).next().unwrap_or_else(|| panic!("{kind:?} lacks {tag:?}")).clone();
        let ratio = |values: &[little_exif::rational::uR64], i: usize| {
            f64::from(values[i].nominator) / f64::from(values[i].denominator)
        };
        let near = |got: f64, expected: f64| assert!((got - expected).abs() < 1e-9, "{got} instead of {expected}");

        let ExifTag::FocalLength(value) = get(ExifTag::FocalLength(vec![])) else { panic!() };
        near(ratio(&value, 0), 50.0);
        // 50 mm on 22.3 × 14.9 mm: crop factor 1.613, 80.7 mm.
        let ExifTag::FocalLengthIn35mmFormat(value) = get(ExifTag::FocalLengthIn35mmFormat(vec![])) else { panic!() };
        assert_eq!(value, [81]);
        let ExifTag::FNumber(value) = get(ExifTag::FNumber(vec![])) else { panic!() };
        near(ratio(&value, 0), 2.8);
        let ExifTag::ExposureTime(value) = get(ExifTag::ExposureTime(vec![])) else { panic!() };
        assert_eq!((value[0].nominator, value[0].denominator), (1, 200));
        let ExifTag::ISO(value) = get(ExifTag::ISO(vec![])) else { panic!() };
        assert_eq!(value, [800]);
        let ExifTag::LensInfo(value) = get(ExifTag::LensInfo(vec![])) else { panic!() };
        let lens: Vec<f64> = (0..4).map(|i| ratio(&value, i)).collect();
        assert_eq!(lens, [24.0, 70.0, 2.8, 2.8]);
        // 15:30 and 1834 s, summer time in Lisbon.
        let ExifTag::DateTimeOriginal(value) = get(ExifTag::DateTimeOriginal(String::new())) else { panic!() };
        assert_eq!(value, "2027:06:12 16:00:34");
        let ExifTag::OffsetTimeOriginal(value) = get(ExifTag::OffsetTimeOriginal(String::new())) else { panic!() };
        assert_eq!(value, "+01:00");
        let ExifTag::ImageDescription(value) = get(ExifTag::ImageDescription(String::new())) else { panic!() };
        assert_eq!(value, "kiss-wide: first kiss, Meadow");
        let ExifTag::Artist(value) = get(ExifTag::Artist(String::new())) else { panic!() };
        assert_eq!(value, "Noor");
        let ExifTag::Software(value) = get(ExifTag::Software(String::new())) else { panic!() };
        assert!(value.starts_with("Standpoint "), "{value}");
        let ExifTag::ExposureCompensation(value) = get(ExifTag::ExposureCompensation(vec![])) else { panic!() };
        assert_eq!((value[0].nominator, value[0].denominator), (-33, 100));

        let ExifTag::GPSLatitude(value) = get(ExifTag::GPSLatitude(vec![])) else { panic!() };
        near((ratio(&value, 0) + ratio(&value, 1) / 60.0 + ratio(&value, 2) / 3600.0 - 38.7).abs(), 0.0);
        let ExifTag::GPSLongitude(value) = get(ExifTag::GPSLongitude(vec![])) else { panic!() };
        near((ratio(&value, 0) + ratio(&value, 1) / 60.0 + ratio(&value, 2) / 3600.0 - 9.1).abs(), 0.0);
        let ExifTag::GPSLatitudeRef(value) = get(ExifTag::GPSLatitudeRef(String::new())) else { panic!() };
        assert_eq!(value, "N");
        let ExifTag::GPSLongitudeRef(value) = get(ExifTag::GPSLongitudeRef(String::new())) else { panic!() };
        assert_eq!(value, "W");
    }
}

/// Names beyond ASCII, texts with a NUL, slow shutters, southern and eastern places, extreme ISO: still a block that
/// can be read.
#[test]
fn odd_facts_still_make_a_block() {
    let mut plan = plan_with([0.024, 0.070], vec2(0.0, 6.0), 1.5);
    plan.place = Place { latitude_deg: -33.868_8, longitude_deg: 151.209_3, altitude_m: -3.0, ..plan.place };
    let camera = Camera { shutter_s: 2.0, iso: 102_400.0, f_number: 0.95, ..camera() };
    let instant = plan.instant(-7_200.0);
    let block = exif_block(&facts(&plan, &camera, &instant, "Zoë\0 Łukasz")).expect("a block");
    let file = jpeg_bytes(&picture(16, 16), 200, block).expect("a JPEG");
    let read = Metadata::new_from_vec(&file, FileExtension::JPEG).expect("EXIF in the file");
    let ExifTag::Artist(name) = read.get_tag(&ExifTag::Artist(String::new())).next().expect("an artist") else {
        panic!()
    };
    assert_eq!(name, "Zoë Łukasz");
    assert!(jpeg_bytes(&RgbImage::new(0, 0), 90, vec![]).is_err() || !file.is_empty());
}

/// The colours of small things survive: a JPEG of single red and blue pixel columns keeps them apart (4:4:4), which
/// halved colour resolution would blur to purple.
#[test]
fn jpeg_keeps_full_colour_resolution() {
    let stripes = RgbImage::from_fn(64, 64, |x, _| if x % 2 == 0 { Rgb([220, 40, 40]) } else { Rgb([40, 40, 220]) });
    let file = jpeg_bytes(&stripes, 95, vec![]).expect("a JPEG");
    let back = image::load_from_memory(&file).expect("a picture").to_rgb8();
    for x in 8..56 {
        let Rgb([red, _, blue]) = *back.get_pixel(x, 30);
        assert_eq!(red > blue, x % 2 == 0, "column {x}: {red} {blue}");
    }
}

/// From `frames.json` alone: matrix, fov and size project like the camera itself.
#[test]
fn a_record_holds_the_whole_projection() {
    let plan = plan_with([0.024, 0.070], vec2(1.0, 6.0), 1.5);
    let frame =
        Frame { of: vec![PersonIx(0), PersonIx(2)], orientation: Orientation::Portrait, ..plan.frames[0].clone() };
    let tableau =
        tableau_of(vec![person_at(0, 1.75, Vec2::ZERO, Vec3::Z), person_at(2, 1.62, vec2(0.8, 0.1), Vec3::Z)]);
    let camera = compose(&plan, &frame, &tableau, 5000.0).expect("people").camera;
    let record = frame_record(
        &plan,
        &frame,
        &camera,
        RecordedPicture {
            file: "frame.jpg".into(),
            width: 1000,
            height: 1500,
            drawn_by: DrawnBy::Engine,
            adapter: "software".into(),
            white_balance_kelvin: 5200.0,
            remarks: vec![],
        },
    );
    let text = serde_json::to_string_pretty(&FramesFile::new("meadow.ron", vec![record.clone()])).expect("JSON");
    let json: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!((json["format"].as_u64(), json["plan"].as_str()), (Some(1), Some("meadow.ron")));
    let read = &json["frames"][0];
    assert_eq!(read["instant"].as_str(), Some("2027-06-12T16:00:34+01:00[Europe/Lisbon]"));
    assert_eq!(read["of"], serde_json::json!(["person-0", "person-2"]));
    assert_eq!(read["sensor_mm"], serde_json::json!([24.0, 36.0]));
    assert_eq!((read["at_s"].as_f64(), read["moment"].as_str()), (Some(1834.0), Some("vows")));
    assert_eq!((read["photographer"].as_str(), read["drawn_by"].as_str()), (Some("lead"), Some("engine")));

    let number = |value: &serde_json::Value| value.as_f64().expect("a number");
    let columns: Vec<f32> =
        read["world_from_camera"].as_array().expect("16 numbers").iter().map(|v| number(v) as f32).collect();
    let world_from_camera = Mat4::from_cols_slice(&columns);
    let (width, height) = (number(&read["width"]) as f32, number(&read["height"]) as f32);
    let fov = number(&read["vertical_fov_deg"]).to_radians() as f32;
    let clip_from_world = Mat4::perspective_rh(fov, width / height, 0.1, 100.0) * world_from_camera.inverse();
    for point in [vec3(0.0, 1.75, 0.0), vec3(0.8, 0.0, 0.1), vec3(-2.0, 1.0, -3.0)] {
        let clip = clip_from_world * Vec4::from((point, 1.0));
        let (u, v) = ((clip.x / clip.w + 1.0) / 2.0 * width, (1.0 - clip.y / clip.w) / 2.0 * height);
        let (expected_u, expected_v, _) = camera.image_from_world(point, f64::from(width)).expect("in front");
        assert!((f64::from(u) - expected_u).abs() < 0.05, "{point}: {u} instead of {expected_u}");
        assert!((f64::from(v) - expected_v).abs() < 0.05, "{point}: {v} instead of {expected_v}");
    }
    // The contract's fields, in its order.
    let order = [
        "id",
        "file",
        "moment",
        "at_s",
        "instant",
        "photographer",
        "standpoint",
        "of",
        "shot_size",
        "width",
        "height",
        "sensor_mm",
        "focal_mm",
        "f_number",
        "shutter_s",
        "iso",
        "focus_m",
        "vertical_fov_deg",
        "eye",
        "world_from_camera",
        "drawn_by",
        "adapter",
    ];
    let places: Vec<usize> = order
        .iter()
        .map(|key| text.find(&format!("\"{key}\":")).unwrap_or_else(|| panic!("{key} is missing")))
        .collect();
    assert!(places.is_sorted(), "{text}");
    let back: FramesFile = serde_json::from_str(&text).expect("a record");
    assert_eq!(back.frames, [record]);
}

/// Largest centred crops of 6000 × 4000 by arithmetic, and the share they keep.
#[test]
fn print_crops_of_a_picture() {
    let rows = [
        ([6.0, 4.0], 6000, 4000, 1.0000),
        ([7.0, 5.0], 5600, 4000, 0.9333),
        ([10.0, 8.0], 5000, 4000, 0.8333),
        ([14.0, 11.0], 5091, 4000, 0.8485),
        ([1.0, 1.0], 4000, 4000, 0.6667),
        ([16.0, 9.0], 6000, 3375, 0.8438),
        ([2f64.sqrt(), 1.0], 5657, 4000, 0.9428),
    ];
    for (sides, width, height, kept) in rows {
        let crop = centred_crop(6000, 4000, sides);
        assert_eq!((crop.width, crop.height), (width, height), "{sides:?}");
        assert!((crop.keeps(6000, 4000) - kept).abs() < 0.000_1, "{sides:?}");
        assert!(crop.left.abs_diff(6000 - width - crop.left) <= 1 && crop.top.abs_diff(4000 - height - crop.top) <= 1);
        let turned = centred_crop(4000, 6000, [sides[1], sides[0]]);
        assert_eq!((turned.width, turned.height), (height, width), "{sides:?} portrait");
    }
    let (across, down) = thirds(1920, 1280);
    assert_eq!(across, [640.0, 1280.0]);
    assert!((down[0] - 426.67).abs() < 0.005 && (down[1] - 853.33).abs() < 0.005);
}

/// The plain picture stays as it is; the copy has lines where thirds and crops run, names on them, and the strip below.
#[test]
fn guides_are_drawn_on_a_copy() {
    let plan = plan_with([0.024, 0.070], vec2(0.0, 6.0), 1.5);
    let label = FrameLabel::of(&plan, &plan.frames[0], &camera());
    assert_eq!(label.settings, "50 mm   f/2.8   1/200 s   ISO 800   1.50 m up");
    assert_eq!(label.occasion, "Vows  ·  Noor");
    for (width, height) in [(1500, 1000), (800, 1200)] {
        let plain = picture(width, height);
        let guided = with_guides(&plain, &label);
        assert_eq!(guided.width(), width);
        assert!(guided.height() > height);
        let changed = |x: u32, y: u32| guided.get_pixel(x, y) != plain.get_pixel(x, y);
        assert!(changed(width / 3, height / 2 + 7) && changed(width / 2 + 7, height / 3));
        assert!(!changed(width / 2 + 11, height / 2 + 11), "the middle is left alone");
        let crop = centred_crop(width, height, [10.0, 8.0]);
        let on_line = if width > height { (crop.left, height - 5) } else { (width - 5, crop.top) };
        assert_eq!(guided.get_pixel(on_line.0, on_line.1).0, [0xE6, 0x9F, 0x00]);
    }
    for (width, height) in [(1, 1), (3, 200), (64, 2), (40, 40)] {
        assert!(with_guides(&picture(width, height), &label).height() > height);
    }
}
