//! Contact strips: where things lie on the sheet. What cameras of a sequence see: whom they follow, and from above.

mod common;

use common::plan_with;
use glam::{Vec2, Vec3, vec2};
use image::{Rgb, RgbImage};
use standpoint::picture::*;
use standpoint::plan::*;
use standpoint::staging::{OwnerKind, Part, Run, Shape};

const LANDSCAPE: [u32; 2] = [360, 240];
const PORTRAIT: [u32; 2] = [240, 360];

fn cell(number: usize, seen: Seen) -> Cell {
    Cell {
        after: format!("{:02}:{:02}  A moment with a rather long name", number / 60, number % 60),
        clock: "17:10:42".into(),
        note: "104 mm".into(),
        planned: if number.is_multiple_of(3) { "entrance-tight 00:15, entrance-behind".into() } else { String::new() },
        seen,
    }
}

fn title() -> Title {
    Title { what: "Noor walks in ".repeat(12), how: "Marit Sund, lead  ·  70–200 mm at 85–200 mm  ·  ".repeat(6) }
}

/// Portrait, landscape and empty cells in a jumble that is the same every time.
fn jumble(count: usize) -> Vec<Cell> {
    let seen = |number: usize| match number * 7 % 11 {
        0..5 => Seen::Picture(LANDSCAPE),
        5..8 => Seen::Picture(PORTRAIT),
        8 => Seen::Picture([64, 43]),
        _ => Seen::Nothing("walks to a standpoint with a very long name-that-is-in-one-word-and-longer".into()),
    };
    (0..count).map(|number| cell(number, seen(number))).collect()
}

fn meets(a: &Rect, b: &Rect) -> bool {
    a.left < b.left + b.width && b.left < a.left + a.width && a.top < b.top + b.height && b.top < a.top + a.height
}

fn holds(outer: &Rect, inner: &Rect) -> bool {
    // Half a pixel is what rounding may cost.
    inner.left >= outer.left - 0.5
        && inner.top >= outer.top - 0.5
        && inner.left + inner.width <= outer.left + outer.width + 0.5
        && inner.top + inner.height <= outer.top + outer.height + 0.5
}

fn rect_of(text: &Text) -> Rect {
    Rect { left: text.left, top: text.top, width: text.width_px(), height: text.size_px }
}

#[test]
fn nothing_on_a_sheet_overlaps_or_sticks_out() {
    for count in [1, 2, 3, 5, 8, 13, 31, 121, 600] {
        let page = lay_out(&title(), &jumble(count));
        assert_eq!(page.cells.len(), count);
        let [width, height] = page.size_px.map(|side| side as f32);
        let sheet = Rect { left: 0.0, top: 0.0, width, height };
        let mut things: Vec<Rect> = page.title.iter().map(rect_of).collect();
        for (number, placed) in page.cells.iter().enumerate() {
            assert!(holds(&placed.room, &placed.picture), "{count}, {number}: {placed:?}");
            let texts: Vec<Rect> = placed.texts.iter().map(rect_of).collect();
            for (i, text) in texts.iter().enumerate() {
                assert!(holds(&placed.room, text), "{count}, {number}: {:?}", placed.texts[i]);
                assert!(!(placed.is_picture && meets(text, &placed.picture)), "{count}: {:?}", placed.texts[i]);
                assert!(texts[..i].iter().all(|other| !meets(text, other)), "{count}, {number}: {:?}", placed.texts);
            }
            things.push(placed.room);
        }
        for (i, thing) in things.iter().enumerate() {
            assert!(holds(&sheet, thing), "{count}: {thing:?} on {:?}", page.size_px);
            assert!(things[..i].iter().all(|other| !meets(thing, other)), "{count}: {thing:?} overlaps");
        }
    }
}

#[test]
fn cells_come_in_reading_order_on_one_line_a_row() {
    let page = lay_out(&title(), &jumble(31));
    for pair in page.cells.windows(2) {
        let [a, b] = pair else { continue };
        let same_row = a.room.top == b.room.top;
        if same_row {
            assert!(b.room.left > a.room.left);
            let bottom = |placed: &Placed| placed.picture.top + placed.picture.height;
            assert!((bottom(a) - bottom(b)).abs() < 0.5, "pictures of a row stand on one line");
            assert_eq!(a.texts[0].top, b.texts[0].top, "and so do their times");
        } else {
            assert!(b.room.top >= a.room.top + a.room.height && b.room.left < a.room.left + 1.0);
        }
    }
}

/// A sheet of equal pictures is full but for its last row, and no more than twice as long as wide either way.
#[test]
fn sheets_are_handy() {
    for count in [6, 12, 25, 60, 100] {
        let cells: Vec<Cell> = (0..count).map(|number| cell(number, Seen::Picture(LANDSCAPE))).collect();
        let page = lay_out(&title(), &cells);
        let aspect = f64::from(page.size_px[0]) / f64::from(page.size_px[1]);
        assert!((0.8..2.6).contains(&aspect), "{count}: {:?}", page.size_px);
        let columns = page.cells.iter().filter(|cell| cell.room.top == page.cells[0].room.top).count();
        assert!(columns * (count / columns) + count % columns == count && columns >= 3, "{count}: {columns}");
    }
}

/// Each picture lands where the page says, in the order of the cells, whole.
#[test]
fn pictures_land_in_their_cells() {
    let sizes = [LANDSCAPE, PORTRAIT, LANDSCAPE];
    let colours = [[250, 10, 10], [10, 250, 10], [10, 10, 250]];
    let mut cells: Vec<Cell> = sizes.iter().map(|size| cell(1, Seen::Picture(*size))).collect();
    cells.insert(1, cell(1, Seen::Nothing("walks to front-left".into())));
    let pictures: Vec<RgbImage> =
        sizes.iter().zip(colours).map(|(size, colour)| RgbImage::from_pixel(size[0], size[1], Rgb(colour))).collect();
    let small: Vec<RgbImage> = pictures.iter().map(|picture| picture_in_strip(picture, cells.len())).collect();
    let page = lay_out(&title(), &cells);
    let sheet = paint(&page, &small);
    assert_eq!(sheet.dimensions(), (page.size_px[0], page.size_px[1]));
    let shown = page.cells.iter().filter(|cell| cell.is_picture);
    for (placed, colour) in shown.zip(colours) {
        let Rect { left, top, width, height } = placed.picture;
        for (u, v) in [(0.02, 0.02), (0.98, 0.02), (0.5, 0.5), (0.02, 0.98), (0.98, 0.98)] {
            let pixel = sheet.get_pixel((left + width * u) as u32, (top + height * v) as u32);
            assert_eq!(pixel.0, colour, "{placed:?}");
        }
        let count = sheet.pixels().filter(|pixel| pixel.0 == colour).count();
        assert_eq!(count, (width * height) as usize, "whole and only once");
    }
}

#[test]
fn pictures_only_shrink() {
    let large = RgbImage::new(1500, 1000);
    assert_eq!(picture_in_strip(&large, 10).dimensions(), (480, 320));
    assert_eq!(picture_in_strip(&large, 100).dimensions(), (360, 240));
    assert_eq!(picture_in_strip(&large, 600).dimensions(), (240, 160));
    assert_eq!(picture_in_strip(&RgbImage::new(64, 43), 600).dimensions(), (64, 43));
}

/// The first person walks 6 m across in the vows; the second isn't there. The lead changes places after 60 s.
fn walking_plan() -> Plan {
    let mut plan = plan_with([0.024, 0.200], vec2(0.0, 8.0), 1.6);
    plan.moments[0].start_s = 0.0;
    plan.people[0].post = Some(Post::Floor(vec2(-3.0, 0.0)));
    plan.moments[0].cues = vec![Cue {
        who: vec![PersonIx(0)],
        after_s: 10.0,
        goes: Some(Going {
            way: Way::To { places: vec![Post::Floor(vec2(3.0, 0.0))], by: vec![] },
            from: None,
            tempo: Tempo::Over(20.0),
            abreast: None,
            apart_m: 0.6,
            spacing_m: 1.5,
        }),
        ..Cue::default()
    }];
    let stretch = |from_s: f64, to_s: f64| Presence {
        moment: MomentIx(0),
        from_s,
        to_s,
        by: vec![],
        pace_mps: 1.3,
        written: Span::default(),
    };
    plan.standpoints[0].during = vec![stretch(0.0, 60.0)];
    plan.standpoints.push(Standpoint {
        id: "left".into(),
        at: vec2(-6.0, 4.0),
        during: vec![stretch(80.0, 120.0)],
        ..plan.standpoints[0].clone()
    });
    plan.frames[0].of = vec![PersonIx(0)];
    plan.frames[0].after_s = 20.0;
    plan
}

/// Halfway along a straight walk at an even pace one is in the middle; the camera, straight before it, looks there.
#[test]
fn the_camera_follows_whom_its_frame_is_of() {
    let plan = walking_plan();
    let run = Run::new(&plan);
    for (at_s, expected_x) in [(5.0, -3.0), (20.0, 0.0), (40.0, 3.0)] {
        let InTheFinder::Frame(frame) = in_the_finder(&run, PhotographerIx(0), at_s) else {
            panic!("{at_s}: no frame")
        };
        assert_eq!((frame.id.as_str(), plan.at_s(&frame)), ("frame", at_s));
        let ready = prepare_in(&run, &frame).unwrap();
        let camera = ready.composed.camera;
        // Where the axis meets the plane z = 0, 8 m away.
        let ahead = camera.forward();
        let x = camera.eye.x - ahead.x / ahead.z * camera.eye.z;
        // A walker looks ahead and gets a little more room there: at most a tenth of the frame's half width.
        let half_m = (camera.sensor_m[0] / camera.focal_m) as f32 * 8.0 / 2.0;
        assert!((x - expected_x).abs() < 0.1 * half_m + 0.25, "{at_s}: {x}, expected {expected_x}");
    }
}

#[test]
fn on_the_way_there_is_no_picture() {
    let plan = walking_plan();
    let run = Run::new(&plan);
    let at = |at_s: f64| in_the_finder(&run, PhotographerIx(0), at_s);
    // Leaves at 60 s and needs at least 7.2 m / 1.3 m/s = 5.5 s.
    assert!(matches!(at(62.0), InTheFinder::Walks(StandpointIx(1))), "{:?}", at(62.0));
    assert!(matches!(at(65.0), InTheFinder::Walks(StandpointIx(1))));
    assert!(matches!(at(59.0), InTheFinder::Frame(_)));
    assert!(matches!(at(130.0), InTheFinder::Away));
    // No frame is planned from there: watches, of nobody, from there.
    let InTheFinder::Frame(frame) = at(90.0) else { panic!("{:?}", at(90.0)) };
    assert_eq!((frame.standpoint, frame.of.len()), (StandpointIx(1), 0));
    assert!(prepare_in(&run, &frame).is_ok());
}

#[test]
fn with_nobody_of_the_frame_there_it_watches_what_everybody_does() {
    let mut plan = walking_plan();
    plan.frames[0].of = vec![PersonIx(3)];
    plan.frames[0].focus_on = Some(PersonIx(3));
    let run = Run::new(&plan);
    assert!(prepare_in(&run, &plan.frames[0]).is_err(), "the planned frame can't be taken");
    let InTheFinder::Frame(frame) = in_the_finder(&run, PhotographerIx(0), 20.0) else { panic!("no frame") };
    let ready = prepare_in(&run, &frame).unwrap();
    // The only one who walks is in the middle of the way then, at eye height: 0.936 of 1.75 m (Drillis & Contini).
    let to = Vec3::new(0.0, 0.936 * 1.75, 0.0) - ready.composed.camera.eye;
    let off = ready.composed.camera.forward().angle_between(to.normalize());
    assert!(off.to_degrees() < 1.5, "{}°", off.to_degrees());
    assert!(frame.of.is_empty() && ready.composed.remarks.is_empty(), "{:?}", ready.composed.remarks);
}

fn walled_plan() -> Plan {
    let text = include_str!("fixtures/whole.ron").replace(
        "    venue: (",
        r#"    venue: (rooms: [(id: "hall", centre: (0, 2), size: (14, 22), height: 5, floor: tile, walls: plaster, ceiling: oak_boards)],"#,
    );
    read(&text).unwrap_or_else(|problems| panic!("{problems}"))
}

#[test]
fn from_above_everybody_is_in_the_picture() {
    for plan in [walking_plan(), walled_plan()] {
        let run = Run::new(&plan);
        let instants: Vec<f64> = (0..=12).map(|k| f64::from(k) * 10.0).collect();
        let overview = Overview::new(&run, &instants);
        let camera = overview.camera;
        let aspect = camera.sensor_m[1] / camera.sensor_m[0];
        let mut widest: f64 = 0.0;
        for at_s in instants {
            for figure in run.tableau(at_s).figures {
                for point in [figure.sole, figure.eyes, figure.crown] {
                    let (u, v, depth) = camera.image_from_world(point, 1.0).expect("before the camera");
                    assert!((0.0..=1.0).contains(&u) && (0.0..=aspect).contains(&v), "{at_s}: {point} at {u}, {v}");
                    widest = widest.max((u - 0.5).abs() * 2.0).max((v / aspect - 0.5).abs() * 2.0);
                    // Sharp for a long lens: near and far are alike.
                    assert!((depth / camera.focus_m - 1.0).abs() < 0.35, "{depth} of {}", camera.focus_m);
                }
            }
        }
        assert!(widest > 0.6, "the picture is much larger than what it shows: {widest}");
    }
}

#[test]
fn from_above_nothing_hides_people() {
    let plan = walled_plan();
    let run = Run::new(&plan);
    let overview = Overview::new(&run, &[0.0]);
    let (closed, open) = (run.tableau(0.0), overview.tableau(&run, 0.0));
    let people =
        |kind: OwnerKind| matches!(kind, OwnerKind::Person(_) | OwnerKind::Guest { .. } | OwnerKind::Photographer(_));
    let mut highest = [0.0f32; 2];
    for (ix, tableau) in [&closed, &open].iter().enumerate() {
        for solid in &tableau.solids {
            if people(tableau.owner(solid.owner).kind) || solid.part == Part::Ground {
                continue;
            }
            let Shape::Block(block) = &solid.shape else { continue };
            let reach = solid.turned * (block.half_m * Vec3::Y);
            // What stands askew, such as a sprig on the arch, stays whole or goes.
            if (solid.turned * Vec3::Y).y < 0.999 {
                assert!(ix == 0 || solid.at.y <= 2.3, "{solid:?}");
                continue;
            }
            highest[ix] = highest[ix].max(solid.at.y + reach.y.abs());
            if ix == 1 && solid.part == Part::Wall {
                assert!(solid.at.y + reach.y.abs() < 1.1 + 1e-3, "{solid:?}");
            }
        }
    }
    assert!(highest[0] > 4.9, "the hall is 5 m high: {}", highest[0]);
    assert!(highest[1] <= 2.3 + 1e-3, "{}", highest[1]);
    // People stay as they are, and so do whole chairs.
    assert_eq!(closed.figures, open.figures);
    let count = |tableau: &standpoint::staging::Tableau| {
        let kept = |kind| people(kind) || matches!(kind, OwnerKind::Seating(_));
        tableau.solids.iter().filter(|solid| kept(tableau.owner(solid.owner).kind)).count()
    };
    let crew = open.figures.iter().filter(|it| matches!(open.owner(it.owner).kind, OwnerKind::Photographer(_))).count();
    assert_eq!(crew, 2);
    // A disc under each photographer, and a line along each side of what the lens sees.
    assert_eq!(count(&open), count(&closed) + 3 * crew);
}

/// The lines on the floor are those of the lens: an angle of view of 2·atan(w / 2f) between them.
#[test]
fn lines_from_above_show_the_angle_of_view() {
    let mut plan = walking_plan();
    plan.frames[0].focal_m = Some(0.035);
    let run = Run::new(&plan);
    let open = Overview::new(&run, &[20.0]).tableau(&run, 20.0);
    let lines: Vec<Vec2> = open
        .solids
        .iter()
        .filter_map(|solid| match &solid.shape {
            Shape::Block(_)
                if solid.part == Part::Thing && matches!(open.owner(solid.owner).kind, OwnerKind::Photographer(_)) =>
            {
                let along = solid.turned * Vec3::X;
                Some(vec2(along.x, along.z))
            }
            _ => None,
        })
        .collect();
    let [a, b] = lines[..] else { panic!("{lines:?}") };
    let expected = 2.0 * (0.018f32 / 0.035).atan();
    // The camera looks down a little, which spreads the lines on the floor by less than a degree here.
    assert!((a.angle_to(b).abs() - expected).to_degrees().abs() < 1.0, "{} of {expected}", a.angle_to(b));
    // To either side of straight ahead, towards −z.
    assert!(a.y < 0.0 && b.y < 0.0 && a.x * b.x < 0.0, "{lines:?}");
}
