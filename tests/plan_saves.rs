//! Plan files on disk.

use standpoint::plan::{self, LoadError};
use std::fs;

const WHOLE: &str = include_str!("fixtures/whole.ron");

#[test]
fn what_is_saved_is_what_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("plan.ron");
    plan::save_text(&file, WHOLE).unwrap();
    assert_eq!(plan::load(&file).unwrap().text, WHOLE);
    plan::save_text(&file, plan::STARTER).unwrap();
    assert_eq!(fs::read_to_string(&file).unwrap(), plan::STARTER);
    let names: Vec<_> = fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(names, ["plan.ron"], "nothing is left beside it");
}

#[cfg(unix)]
#[test]
fn permissions_and_links_are_kept() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let (file, link) = (folder.path().join("plan.ron"), folder.path().join("link.ron"));
    fs::write(&file, "old").unwrap();
    fs::set_permissions(&file, fs::Permissions::from_mode(0o640)).unwrap();
    std::os::unix::fs::symlink(&file, &link).unwrap();
    plan::save_text(&link, WHOLE).unwrap();
    assert_eq!(fs::read_to_string(&file).unwrap(), WHOLE);
    assert_eq!(fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o640);
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
}

#[test]
fn a_save_that_fails_leaves_the_old_file() {
    let folder = tempfile::tempdir().unwrap();
    // What is in the way of the last step, the renaming: a folder of that name with something in it.
    let in_the_way = folder.path().join("plan.ron");
    fs::create_dir(&in_the_way).unwrap();
    fs::write(in_the_way.join("kept.txt"), "kept").unwrap();
    assert!(plan::save_text(&in_the_way, WHOLE).is_err());
    assert_eq!(fs::read_to_string(in_the_way.join("kept.txt")).unwrap(), "kept");
    let names: Vec<_> = fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(names, ["plan.ron"], "no half-written file is left");
    assert!(plan::save_text(folder.path().join("no/such/folder/plan.ron"), WHOLE).is_err());
}

#[test]
fn a_new_file_never_replaces_one() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("plan.ron");
    plan::save_new_text(&file, "first").unwrap();
    let error = plan::save_new_text(&file, "second").unwrap_err();
    assert_eq!(error.kind(), std::io::ErrorKind::AlreadyExists);
    assert_eq!(fs::read_to_string(&file).unwrap(), "first");
}

#[test]
fn files_that_are_no_plans_are_refused_whole() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("photo.ron");
    fs::write(&file, [0x50, 0xff, 0xd8]).unwrap();
    assert!(matches!(plan::load(&file), Err(LoadError::NotText { at: 1, .. })));
    fs::write(&file, vec![b' '; 4 * 1024 * 1024 + 1]).unwrap();
    assert!(matches!(plan::load(&file), Err(LoadError::TooLarge { .. })));
    fs::write(&file, "Plan(").unwrap();
    assert!(matches!(plan::load(&file), Err(LoadError::Wrong { .. })));
    assert!(matches!(plan::load(folder.path()), Err(LoadError::Unreadable { .. })));
    assert!(matches!(plan::load(folder.path().join("none.ron")), Err(LoadError::Unreadable { .. })));
}
