//! Parses the arguments, runs, and ends with an exit code.

use std::process::ExitCode;

fn main() -> ExitCode {
    roughrun::cli::run(std::env::args_os())
}
