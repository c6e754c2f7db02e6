//! What the checker sees, as a picture: its pixels are those that are counted.

use image::Rgb;
use standpoint::picture::{checked, picture_size, prepare_in};
use standpoint::plan::load;
use standpoint::sight::frame_seen;
use standpoint::staging::{Run, rehearse};

const LONG_PX: u32 = 480;
/// The first of those it is of: in full, and on the thin line towards another owner.
const FIRST: [[u8; 3]; 4] = [[230, 159, 0], [115, 79, 0], [242, 207, 127], [121, 103, 63]];
const MARKED: [[u8; 3]; 4] = [[213, 94, 0], [106, 47, 0], [40, 24, 16], [20, 12, 8]];

#[test]
fn as_many_pixels_are_in_somebodys_colour_as_are_counted_of_them() {
    let path = format!("{}/scenes/loft.ron", env!("CARGO_MANIFEST_DIR"));
    let plan = rehearse(load(path).expect("a demo").plan).0;
    let run = Run::new(&plan);
    let mut told = 0;
    for frame in plan.frames.iter().filter(|frame| !frame.of.is_empty()) {
        let ready = prepare_in(&run, frame).expect("ready");
        let size = picture_size(ready.composed.camera.sensor_m, LONG_PX);
        let seen = frame_seen(&plan, frame, &ready.tableau, &ready.composed.camera, &ready.daylight, size);
        let picture = checked(&plan, &ready, LONG_PX);
        assert_eq!(picture.dimensions(), (size[0], size[1]));
        let count = |colours: &[[u8; 3]]| picture.pixels().filter(|Rgb(it)| colours.contains(it)).count() as f64;
        let first = seen.people.iter().find(|it| it.id == plan.people[frame.of[0].0].id);
        let counted = first.and_then(|it| it.parts.get("whole")).map_or(0.0, |whole| f64::from(whole.visible_px));
        let painted = count(&FIRST);
        // A veil's pixels are its wearer's where they are counted; here one looks through it.
        assert!(
            (painted - counted).abs() <= 0.03 * counted + 6.0,
            "{}: {painted} painted, {counted} counted",
            frame.id
        );
        let clutter: u32 = seen.things.iter().filter(|thing| thing.clutter).map(|thing| thing.visible_px).sum();
        if clutter > 0 {
            assert!(count(&MARKED) >= f64::from(clutter) * 0.95, "{}: clutter is marked", frame.id);
            told += 1;
        }
    }
    assert!(told > 5, "{told} frames with clutter");
}
