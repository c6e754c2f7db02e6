//! The window's panels without a window: what people press, drag and type, and what becomes of the plan.
#![cfg(feature = "panels")]

use egui::{Key, Modifiers, Pos2, Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use standpoint::plan::{DEMOS, Plan};
use standpoint::window::{App, COMMANDS, Command, Draw, Folders, Kind, Selected, Sheet, Wish};
use std::path::PathBuf;
use tempfile::TempDir;

const SIZE: Vec2 = vec2(1280.0, 720.0);

struct Desk {
    harness: Harness<'static, App>,
    folder: TempDir,
}

/// The window with a demo open, viewfinders drawn grey, and the tour left.
fn desk(demo: &str) -> Desk {
    let folder = tempfile::tempdir().unwrap();
    let plan = folder.path().join("plan.ron");
    std::fs::write(&plan, text_of(demo)).unwrap();
    let folders = Folders { state: folder.path().join("state") };
    let mut harness = Harness::builder().with_size(SIZE).build_ui_state(
        |ui, app: &mut App| {
            let now_s = ui.input(|input| input.time);
            app.show(ui, now_s);
        },
        app(folders, plan),
    );
    harness.state_mut().fulfil(Wish::Show(Sheet::Nothing));
    settle(&mut harness);
    Desk { harness, folder }
}

fn app(folders: Folders, plan: PathBuf) -> App {
    let draw = || -> Draw {
        Box::new(|_, long_px| Ok(image::RgbImage::from_pixel(long_px, long_px * 2 / 3, image::Rgb([90; 3]))))
    };
    let mut app = App::new(&egui::Context::default(), folders, draw, || ());
    app.open(&plan).unwrap();
    app
}

fn text_of(demo: &str) -> &'static str {
    DEMOS.iter().find(|(name, _)| *name == demo).unwrap().1
}

/// Runs frames until nothing is worked out any more.
fn settle(harness: &mut Harness<'static, App>) {
    for _ in 0..4000 {
        harness.step();
        if harness.state().is_settled() && harness.state().shown().is_some_and(|shown| !shown.found_is_old) {
            harness.step();
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    panic!("the window never came to rest");
}

impl Desk {
    fn plan(&self) -> &Plan {
        self.harness.state().document.plan().expect("a plan that reads")
    }

    fn drag(&mut self, from: Pos2, to: Pos2) {
        self.harness.hover_at(from);
        self.harness.step();
        self.harness.drag_at(from);
        self.harness.step();
        for part in 1..=4 {
            self.harness.hover_at(from + (to - from) * (part as f32 / 4.0));
            self.harness.step();
        }
        self.harness.drop_at(to);
        self.harness.run_steps(4);
    }

    /// Presses the first button of that name.
    fn press(&mut self, label: &str) {
        self.harness.run_steps(3);
        self.harness.query_all_by_label(label).next().unwrap_or_else(|| panic!("nothing is called {label}")).click();
        self.harness.run_steps(4);
    }

    /// Where a spot of the floor lies on the screen.
    fn on_screen(&self, spot: glam::Vec2) -> Pos2 {
        let area = self.harness.get_by_label("Floor plan").rect();
        let floor = self.harness.state().view.floor;
        let off = (spot - floor.centre) * floor.pt_per_m;
        area.center() + vec2(off.x, off.y)
    }

    fn key(&mut self, modifiers: Modifiers, key: Key) {
        self.harness.key_press_modifiers(modifiers, key);
        self.harness.run_steps(4);
    }
}

fn standpoint(plan: &Plan, id: &str) -> usize {
    plan.standpoints.iter().position(|it| it.id == id).unwrap()
}

#[test]
fn a_standpoint_is_dragged_to_the_centimetre_undone_and_done_again() {
    let mut desk = desk("orchard");
    let number = standpoint(desk.plan(), "aisle-end");
    let from = desk.plan().standpoints[number].at;
    let to = from + glam::Vec2::new(-0.5, 1.0);
    let (start, end) = (desk.on_screen(from), desk.on_screen(to));
    desk.drag(start, end);
    let moved = desk.plan().standpoints[number].at;
    assert!(moved.distance(to) < 0.03, "dragged to {moved}, wanted {to}");
    let snapped = (moved / 0.05).round() * 0.05;
    assert!(moved.distance(snapped) < 1e-3, "{moved} isn't on the 5 cm grid");
    assert_eq!(desk.harness.state().view.selected, Some(Selected::new(Kind::Standpoint, number)));
    desk.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(desk.plan().standpoints[number].at, from, "one drag is one step back");
    desk.key(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::Z);
    assert_eq!(desk.plan().standpoints[number].at, moved);
}

/// Only the one value differs: comments, order and everything else of the file stay byte for byte.
#[test]
fn a_drag_changes_nothing_else_in_the_file_and_saving_writes_it() {
    let mut desk = desk("orchard");
    let number = standpoint(desk.plan(), "aisle-end");
    let from = desk.plan().standpoints[number].at;
    let (start, end) = (desk.on_screen(from), desk.on_screen(from + glam::Vec2::new(0.0, 1.0)));
    desk.drag(start, end);
    let path = desk.folder.path().join("plan.ron");
    assert_eq!(std::fs::read_to_string(&path).unwrap(), text_of("orchard"), "nothing is written before it is saved");
    desk.key(Modifiers::COMMAND, Key::S);
    let saved = std::fs::read_to_string(&path).unwrap();
    let differ: Vec<(&str, &str)> = saved.lines().zip(text_of("orchard").lines()).filter(|(a, b)| a != b).collect();
    assert_eq!(differ.len(), 1, "{differ:#?}");
    assert!(differ[0].0.contains("aisle-end") && saved.lines().count() == text_of("orchard").lines().count());
    assert!(desk.harness.state().document.is_saved());
}

#[test]
fn findings_are_there_and_one_takes_you_to_its_frame() {
    let mut desk = desk("orchard");
    let found = desk.harness.state().shown().unwrap().found.clone().unwrap();
    let first = found.list.iter().filter(|it| !it.frame.is_empty()).min_by_key(|it| it.severity).unwrap().clone();
    let label = format!("{}: {}", first.severity.word(), first.sentence);
    desk.press(&label);
    let frame = desk.plan().frames.iter().position(|frame| frame.id == first.frame).unwrap();
    assert_eq!(desk.harness.state().view.at_s, desk.plan().at_s(&desk.plan().frames[frame]));
    assert_eq!(desk.harness.state().view.selected, Some(Selected::new(Kind::Frame, frame)));
}

#[test]
fn keys_go_through_frames_and_play_runs_the_ceremony() {
    let mut desk = desk("chapel");
    let mut times: Vec<f64> = desk.plan().frames.iter().map(|frame| desk.plan().at_s(frame)).collect();
    times.sort_by(f64::total_cmp);
    for expected in times.iter().take(3) {
        desk.key(Modifiers::NONE, Key::PageDown);
        assert_eq!(desk.harness.state().view.at_s, *expected);
    }
    desk.key(Modifiers::NONE, Key::PageUp);
    assert_eq!(desk.harness.state().view.at_s, times[1]);
    desk.harness.state_mut().command(Command::Play);
    let before = desk.harness.state().view.at_s;
    for _ in 0..12 {
        desk.harness.step();
    }
    assert!(desk.harness.state().view.at_s > before, "time stands still");
    desk.key(Modifiers::NONE, Key::Space);
    assert_eq!(desk.harness.state().view.plays, None);
}

/// Every command of the table does something or says why not, with nothing chosen and with a standpoint chosen, and none leaves a
/// plan that doesn't read.
#[test]
fn every_command_can_be_given() {
    for chosen in [None, Some("aisle-end")] {
        let mut desk = desk("orchard");
        for entry in COMMANDS {
            let number = chosen.map(|id| standpoint(desk.plan(), id));
            desk.harness.state_mut().view.selected = number.map(|number| Selected::new(Kind::Standpoint, number));
            desk.harness.state_mut().command(entry.command);
            desk.harness.step();
            assert!(desk.harness.state().document.problems().is_none(), "{} breaks the plan", entry.label);
            while desk.harness.state().document.undo_label().is_some() {
                desk.harness.state_mut().document.undo();
            }
            assert_eq!(desk.harness.state().document.text(), text_of("orchard"), "{} can't be undone", entry.label);
            desk.harness.state_mut().view.sheet = Sheet::Nothing;
        }
    }
}

#[test]
fn a_new_standpoint_is_put_down_where_one_clicks() {
    let mut desk = desk("orchard");
    let count = desk.plan().standpoints.len();
    desk.harness.state_mut().command(Command::AddStandpoint);
    desk.harness.step();
    let at = desk.on_screen(glam::Vec2::new(-6.0, 6.0));
    desk.harness.hover_at(at);
    desk.harness.step();
    desk.harness.drag_at(at);
    desk.harness.step();
    desk.harness.drop_at(at);
    desk.harness.run_steps(4);
    let plan = desk.plan();
    assert_eq!(plan.standpoints.len(), count + 1);
    let new = &plan.standpoints[count];
    assert!(new.at.distance(glam::Vec2::new(-6.0, 6.0)) < 0.03, "{}", new.at);
}

/// A plan that doesn't read is opened with its text and what is wrong, and is whole again once it is mended.
#[test]
fn a_broken_plan_is_opened_as_far_as_possible() {
    let mut desk = desk("oak");
    let path = desk.folder.path().join("broken.ron");
    let broken = text_of("oak").replacen("format: 1", "format: 1, colour: 3", 1);
    std::fs::write(&path, &broken).unwrap();
    desk.harness.state_mut().fulfil(Wish::OpenFile(path));
    for _ in 0..3 {
        desk.harness.step();
    }
    assert!(desk.harness.state().document.plan().is_none());
    assert_eq!(desk.harness.state().document.problems().unwrap().list.len(), 1);
    assert!(desk.harness.query_by_label_contains("doesn’t read as a plan: 1 to mend").is_some());
    desk.harness.state_mut().document.write("Typing", None, text_of("oak").to_owned());
    desk.harness.step();
    assert!(desk.harness.state().document.plan().is_some());
}

#[test]
fn what_somebody_else_writes_is_asked_about_and_nothing_is_lost() {
    let mut desk = desk("oak");
    let path = desk.folder.path().join("plan.ron");
    let theirs = text_of("oak").replacen("title: \"", "title: \"Theirs: ", 1);
    std::fs::write(&path, &theirs).unwrap();
    for _ in 0..400 {
        desk.harness.step();
        if desk.harness.state().view.sheet == Sheet::ChangedOnDisk {
            break;
        }
    }
    assert_eq!(desk.harness.state().view.sheet, Sheet::ChangedOnDisk);
    desk.press("Take what is in the file");
    assert_eq!(desk.harness.state().document.text(), theirs);
    assert!(desk.harness.state().document.is_saved());
    desk.harness.state_mut().command(Command::Undo);
    assert_eq!(desk.harness.state().document.text(), text_of("oak"), "mine comes back with undo");
}

/// The copy kept aside is what a second start offers.
#[test]
fn unsaved_work_is_found_again() {
    let mut first = desk("oak");
    let path = first.folder.path().join("plan.ron");
    let changed = text_of("oak").replacen("title: \"", "title: \"Changed ", 1);
    first.harness.state_mut().document.write("Typing", None, changed.clone());
    for _ in 0..800 {
        first.harness.step();
    }
    let folders = Folders { state: first.folder.path().join("state") };
    let mut again = app(folders, path);
    assert_eq!(again.view.sheet, Sheet::Recover);
    again.fulfil(Wish::Recover(true));
    assert_eq!(again.document.text(), changed);
    assert!(!again.document.is_saved());
    again.command(Command::Undo);
    assert_eq!(again.document.text(), text_of("oak"));
}

#[test]
fn buttons_have_names_for_assistive_technology() {
    let desk = desk("orchard");
    for label in ["Floor plan", "Viewfinder of lead", "Viewfinder of second", "Frame kiss-aisle"] {
        let found =
            desk.harness.query_all_by_label(label).count() + desk.harness.query_all_by_label_contains(label).count();
        assert!(found > 0 || label.starts_with("Frame"), "{label}");
    }
    let frames = desk.harness.query_all_by_label_contains("Frame ").count();
    assert!(frames >= desk.plan().frames.len(), "{frames} frames can be pressed");
}

impl Desk {
    fn click(&mut self, at: Pos2) {
        self.harness.hover_at(at);
        self.harness.step();
        self.harness.drag_at(at);
        self.harness.step();
        self.harness.drop_at(at);
        self.harness.run_steps(4);
    }

    fn type_in(&mut self, text: &str) {
        self.harness.event(egui::Event::Text(text.to_owned()));
        self.harness.run_steps(3);
    }

    fn command(&mut self, command: Command) {
        self.harness.state_mut().fulfil(Wish::Do(command));
        self.harness.run_steps(4);
    }
}

#[test]
fn a_remedy_is_applied_where_its_button_is_clicked() {
    let mut desk = desk("oak");
    let button = desk.harness.query_all_by_label("Apply").next().expect("a remedy that can be applied").rect();
    assert!(button.bottom() < SIZE.y, "{button:?}");
    let before = desk.harness.state().document.text().to_owned();
    desk.click(button.center());
    assert_ne!(desk.harness.state().document.text(), before);
    assert!(desk.harness.state().document.undo_label().is_some_and(|label| label.starts_with("Remedy for")));
}

#[test]
fn a_sketch_is_laid_down_scaled_by_two_spots_moved_and_turned() {
    let mut desk = desk("bare");
    let picture = desk.folder.path().join("hall.png");
    image::RgbImage::from_pixel(300, 200, image::Rgb([200, 180, 160])).save(&picture).unwrap();
    desk.command(Command::Picture);
    desk.press("hall.png");
    let laid = desk.plan().venue.sketch.clone().expect("a sketch");
    assert_eq!((laid.picture.as_str(), laid.width_m), ("hall.png", 12.0));
    // Next it asks for its scale: two spots 3 m apart as it lies, 4.5 m in truth.
    let (from, to) = (glam::Vec2::new(-1.5, 0.5), glam::Vec2::new(1.5, 0.5));
    let (from_px, to_px) = (desk.on_screen(from), desk.on_screen(to));
    desk.click(from_px);
    desk.click(to_px);
    desk.type_in("4,5");
    desk.key(Modifiers::NONE, Key::Enter);
    let scaled = desk.plan().venue.sketch.clone().unwrap();
    assert!((scaled.width_m - 18.0).abs() < 0.1, "{scaled:?}");
    // Moved by a metre and a half.
    desk.command(Command::MoveSketch);
    let (start, end) = (desk.on_screen(glam::Vec2::ZERO), desk.on_screen(glam::Vec2::new(1.5, -1.0)));
    desk.drag(start, end);
    let moved = desk.plan().venue.sketch.clone().unwrap();
    assert!((moved.centre - scaled.centre).distance(glam::Vec2::new(1.5, -1.0)) < 0.03, "{scaled:?} {moved:?}");
    desk.command(Command::Undo);
    assert_eq!(desk.plan().venue.sketch.clone().unwrap(), scaled, "one drag is one step back");
}

#[test]
fn a_way_clicked_spot_by_spot_is_walked() {
    let mut desk = desk("bare");
    desk.harness.state_mut().fulfil(Wish::Select(Some(Selected::new(Kind::Person, 1))));
    desk.harness.state_mut().fulfil(Wish::GoTo(20.0));
    desk.key(Modifiers::NONE, Key::W);
    let spots = [glam::Vec2::new(1.5, 1.0), glam::Vec2::new(2.0, 2.5)];
    for spot in spots {
        let at = desk.on_screen(spot);
        desk.click(at);
    }
    desk.key(Modifiers::NONE, Key::Enter);
    let plan = desk.plan();
    let run = standpoint::staging::Run::new(plan);
    let [before, after] = [19.0, 60.0].map(|at_s| run.spot(1, at_s).expect("there"));
    assert!(before.distance(glam::Vec2::new(0.45, 0.0)) < 0.01 && after.distance(spots[1]) < 0.04, "{before} {after}");
    let near = (200..600).any(|tenth| run.spot(1, f64::from(tenth) / 10.0).unwrap().distance(spots[0]) < 0.2);
    assert!(near, "by way of the first spot");
}

#[test]
fn walls_and_outlines_are_dragged_whole() {
    let mut desk = desk("bare");
    let middle = desk.on_screen(glam::Vec2::new(0.0, 3.0));
    desk.command(Command::AddWall);
    desk.click(middle);
    let wall = desk.plan().venue.walls[0].clone();
    assert!((wall.to - wall.from).distance(glam::Vec2::new(4.0, 0.0)) < 0.01);
    let (start, end) = (desk.on_screen(glam::Vec2::new(-1.0, 3.0)), desk.on_screen(glam::Vec2::new(0.0, 4.0)));
    desk.drag(start, end);
    let moved = desk.plan().venue.walls[0].clone();
    assert!((moved.from - wall.from).distance(glam::Vec2::ONE) < 0.05, "{moved:?}");
    assert!((moved.to - moved.from).distance(wall.to - wall.from) < 0.011, "{moved:?}");
    for (command, count) in [
        (Command::AddRoom, |plan: &Plan| plan.venue.rooms.len()),
        (Command::AddPlatform, |plan: &Plan| plan.venue.platforms.len()),
        (Command::AddAisle, |plan: &Plan| plan.venue.aisles.len()),
        (Command::AddLamp, |plan: &Plan| plan.venue.lamps.len()),
    ] as [(Command, fn(&Plan) -> usize); 4]
    {
        desk.command(command);
        desk.click(middle);
        assert_eq!(count(desk.plan()), 1, "{command:?}");
    }
}
