//! What every demo frame sees, and how wide blur is, against what other programs found in the same scenes.
//!
//! The files are made by the scripts in `tests/reference/sight`: Embree counts, Mitsuba blurs. DEVELOPERS.md says how.

use serde::Deserialize;
use serde::de::DeserializeOwned;
use standpoint::daylight::daylight_at;
use standpoint::optics::{blur_disc, compose};
use standpoint::picture::picture_size;
use standpoint::plan::{Frame, Plan, load};
use standpoint::sight::{FrameSeen, frame_seen};
use standpoint::staging::{Run, rehearse};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

const DEMOS: [&str; 3] = ["orchard", "chapel", "loft"];
/// Any will do: what points a camera doesn't depend on the light.
const ANY_LUX: f64 = 1000.0;
/// Groups smaller than this, alone, are not in the files.
const FEWEST_PX: u32 = 20;

#[derive(Deserialize)]
struct Counted {
    width: u32,
    frames: Vec<CountedFrame>,
}

#[derive(Deserialize)]
struct CountedFrame {
    id: String,
    width: u32,
    height: u32,
    people: BTreeMap<String, BTreeMap<String, Group>>,
    things: BTreeMap<String, u32>,
    crew: BTreeMap<String, u32>,
}

#[derive(Deserialize)]
struct Group {
    alone_px: u32,
    in_frame_px: u32,
    visible_px: u32,
    covered_by: BTreeMap<String, u32>,
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn read<T: DeserializeOwned>(name: &str) -> T {
    let path = root().join("tests/reference/sight").join(name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn demo(name: &str) -> Plan {
    let path: &Path = &root().join("scenes").join(format!("{name}.ron"));
    rehearse(load(path).expect("a valid plan").plan).0
}

/// As the others got it: the planned camera, and everybody as they stand at the instant told to a thousandth of a second.
fn seen(plan: &Plan, run: &Run, frame: &Frame, width: u32) -> FrameSeen {
    let at_s = plan.at_s(frame);
    let camera = compose(plan, frame, &run.tableau(at_s), ANY_LUX).expect("a camera").camera;
    let tableau = run.tableau((at_s * 1000.0).round() / 1000.0);
    let daylight = daylight_at(&plan.place, plan.sky, &plan.instant(at_s));
    frame_seen(plan, frame, &tableau, &camera, &daylight, picture_size(camera.sensor_m, width))
}

/// Notes what differs by more than 3 pixels and 1 %.
#[derive(Default)]
struct Differences {
    numbers: usize,
    found: Vec<String>,
}

impl Differences {
    fn within(&mut self, what: &str, expected: f64, actual: f64, allowed: f64) {
        self.numbers += 1;
        if (actual - expected).abs() > allowed {
            self.found.push(format!("{what}: expected {expected}, actual {actual}"));
        }
    }

    fn count(&mut self, what: &str, expected: u32, actual: u32) {
        let expected = f64::from(expected);
        self.within(what, expected, f64::from(actual), (expected * 0.01).max(3.0));
    }

    fn counts(&mut self, what: &str, expected: &BTreeMap<String, u32>, actual: &BTreeMap<String, u32>) {
        for id in expected.keys().chain(actual.keys()).collect::<BTreeSet<_>>() {
            let of = |side: &BTreeMap<String, u32>| side.get(id).copied().unwrap_or(0);
            self.count(&format!("{what} {id}"), of(expected), of(actual));
        }
    }

    fn frame(&mut self, name: &str, expected: &CountedFrame, actual: &FrameSeen) {
        assert_eq!([expected.width, expected.height], [actual.width, actual.height], "{name}");
        for (person, groups) in &expected.people {
            let Some(found) = actual.people.iter().find(|found| found.id == *person) else {
                self.count(&format!("{name} {person} whole"), groups["whole"].in_frame_px, 0);
                continue;
            };
            for (group, expected) in groups {
                let (actual, what) = (&found.parts[group.as_str()], format!("{name} {person} {group}"));
                self.count(&format!("{what} alone_px"), expected.alone_px, actual.alone_px);
                self.count(&format!("{what} in_frame_px"), expected.in_frame_px, actual.in_frame_px);
                self.count(&format!("{what} visible_px"), expected.visible_px, actual.visible_px);
                self.counts(&format!("{what} covered_by"), &expected.covered_by, &actual.covered_by);
                let share = |part: u32, whole: u32| f64::from(part) / f64::from(whole.max(1));
                // Of few pixels one is more than a hundredth.
                self.within(
                    &format!("{what} visible of in frame"),
                    share(expected.visible_px, expected.in_frame_px),
                    share(actual.visible_px, actual.in_frame_px),
                    share(1, expected.in_frame_px).max(0.01),
                );
            }
        }
        for person in &actual.people {
            if person.parts["whole"].alone_px >= FEWEST_PX + 3 && !expected.people.contains_key(&person.id) {
                self.found.push(format!("{name} {}: nobody expected", person.id));
            }
        }
        let things = actual.things.iter().map(|thing| (thing.id.clone(), thing.visible_px)).collect();
        self.counts(&format!("{name} things"), &expected.things, &things);
        self.counts(&format!("{name} crew"), &expected.crew, &actual.crew_in_frame);
    }
}

#[test]
fn every_demo_frame_as_embree_counts_it() {
    let mut differences = Differences::default();
    for name in DEMOS {
        let plan = demo(name);
        let run = Run::new(&plan);
        let counted: Counted = read(&format!("{name}.json"));
        let ids = |of: &mut dyn Iterator<Item = &String>| of.cloned().collect::<Vec<_>>();
        let expected_ids = ids(&mut counted.frames.iter().map(|frame| &frame.id));
        assert_eq!(expected_ids, ids(&mut plan.frames.iter().map(|frame| &frame.id)), "{name}: make the file anew");
        for (frame, expected) in plan.frames.iter().zip(&counted.frames) {
            let actual = seen(&plan, &run, frame, counted.width);
            differences.frame(&format!("{name} {}", frame.id), expected, &actual);
        }
    }
    assert!(differences.numbers > 5000, "{} numbers compared", differences.numbers);
    assert!(differences.found.is_empty(), "{}", differences.found.join("\n"));
}

#[derive(Deserialize)]
struct BlurRows {
    rows: Vec<BlurRow>,
}

#[derive(Deserialize)]
struct BlurRow {
    focal_mm: f64,
    f_number: f64,
    focus_m: f64,
    object_m: f64,
    blur_mm: f64,
}

/// Measured from pictures of a small disc; their own scatter is a few thousandths.
#[test]
fn blur_discs_as_mitsuba_measures_them() {
    let rows: BlurRows = read("blur_rows.json");
    assert_eq!(rows.rows.len(), 6);
    for BlurRow { focal_mm, f_number, focus_m, object_m, blur_mm } in rows.rows {
        let actual_mm = blur_disc(focal_mm / 1000.0, f_number, focus_m, object_m) * 1000.0;
        let what = format!("{focal_mm} mm f/{f_number}, {focus_m} m, {object_m} m");
        assert!((actual_mm / blur_mm - 1.0).abs() < 0.01, "{what}: expected {blur_mm} mm, actual {actual_mm} mm");
    }
}

#[derive(Deserialize)]
struct BlurredFrame {
    frame: String,
    photographer: String,
    focal_mm: f64,
    f_number: f64,
    focus_m: f64,
    sensor_mm: [f64; 2],
    width: u32,
    height: u32,
}

/// The picture of blur is taken with the program's own camera, or it proves nothing.
#[test]
fn the_blurred_frame_has_the_planned_camera() {
    let theirs: BlurredFrame = read("blur_frame.json");
    let plan = demo("orchard");
    let frame = plan.frames.iter().find(|frame| frame.id == theirs.frame).expect("the frame");
    assert_eq!(plan.crew[plan.photographer_of(frame).0].id, theirs.photographer);
    let tableau = Run::new(&plan).tableau(plan.at_s(frame));
    let camera = compose(&plan, frame, &tableau, ANY_LUX).expect("a camera").camera;
    let numbers = [
        ("focal length, mm", theirs.focal_mm, camera.focal_m * 1000.0),
        ("f-number", theirs.f_number, camera.f_number),
        ("focus, m", theirs.focus_m, camera.focus_m),
        ("sensor's width, mm", theirs.sensor_mm[0], camera.sensor_m[0] * 1000.0),
        ("sensor's height, mm", theirs.sensor_mm[1], camera.sensor_m[1] * 1000.0),
    ];
    for (what, expected, actual) in numbers {
        assert!((actual / expected - 1.0).abs() < 1e-4, "{what}: expected {expected}, actual {actual}");
    }
    assert_eq!(picture_size(camera.sensor_m, theirs.width.max(theirs.height)), [theirs.width, theirs.height]);
}
