//! The command line. Everything is in [`standpoint::cli`].

use std::process::ExitCode;

fn main() -> ExitCode {
    standpoint::cli::run(std::env::args_os())
}
