//! Engine tests on machines that may have nothing to draw with.
#![allow(dead_code)]

use standpoint::picture::engine::{Studio, find_adapter};

/// Whether an adapter answers. If none does, says that the test is skipped; with `STANDPOINT_NEED_ENGINE=1` that is a
/// failure.
pub fn adapter_answers(test: &str) -> bool {
    match find_adapter() {
        Ok(_) => true,
        Err(missing) if std::env::var("STANDPOINT_NEED_ENGINE").is_ok_and(|value| value == "1") => {
            panic!("{test}: {missing}")
        }
        Err(_) => {
            println!("{test}: skipped, no graphics adapter answers");
            false
        }
    }
}

/// A started engine; `None` if the test is skipped.
pub fn studio(test: &str) -> Option<Studio> {
    adapter_answers(test).then(|| Studio::open().unwrap_or_else(|error| panic!("{test}: {error}")))
}
