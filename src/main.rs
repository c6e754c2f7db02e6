//! The command line. Everything is in [`standpoint::cli`].

use std::process::ExitCode;

fn main() -> ExitCode {
    quiet_drivers();
    standpoint::cli::run(std::env::args_os())
}

/// Without a desktop, Mesa's choice among graphics cards looks for one all the same and complains about it, once for every
/// look, as if something had failed.
fn quiet_drivers() {
    let desktop = ["DISPLAY", "WAYLAND_DISPLAY"].iter().any(|name| std::env::var_os(name).is_some());
    if !desktop {
        // SAFETY: nothing else runs yet that could read the environment at the same time.
        unsafe { std::env::set_var("NODEVICE_SELECT", "1") };
    }
}
