//! The command line: thin doors to the rooms, one file a command.
//!
//! Owns arguments, exit codes and printing; it is the only room that prints. Must not know how anything is worked out.

mod args;
mod cost;
mod diagnose;
mod due;
mod ending;
mod error;
mod look;
mod out;
mod pages;
mod practise;
mod report;
mod resume;
mod review;
mod screens;
mod simulate;
mod trace;
mod tree;
mod verify;

use std::ffi::OsString;
use std::io::{self, Write as _};
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use clap::Parser as _;

use args::{Args, Command};
pub use error::{CliError, Kind};

/// What a command ends with where nothing went wrong: the exit code.
type Outcome = Result<u8, CliError>;

/// Runs the program with these arguments, the first being its name.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let args = match Args::try_parse_from(args) {
        Ok(args) => args,
        Err(fault) => {
            // Help and version are asked for this way too. A reader that has gone away is no fault.
            let printed = fault.print().and_then(|()| io::stdout().flush());
            return ExitCode::from(match out::done(printed) {
                Ok(()) => u8::try_from(fault.exit_code()).unwrap_or(2),
                Err(fault) => {
                    out::complain(&fault);
                    fault.kind.exit_code()
                }
            });
        }
    };
    fail_at_size_limit();
    match dispatch(&args) {
        Ok(code) => ExitCode::from(code),
        Err(fault) => {
            out::complain(&fault);
            ExitCode::from(fault.kind.exit_code())
        }
    }
}

/// Makes a write over the system's limit on file size an error that can be said, where it would end the program.
fn fail_at_size_limit() {
    let seen = Arc::new(AtomicBool::new(false));
    // Where the signal cannot be caught, the program ends there and goes on from the record.
    let _ = signal_hook::flag::register(signal_hook::consts::SIGXFSZ, seen);
}

fn dispatch(args: &Args) -> Outcome {
    let places = &args.places;
    match &args.command {
        None => screens::bench(places, &args.look),
        Some(Command::Trace(trace)) => trace::run(places, &args.look, trace),
        Some(Command::Practise(practise)) => practise::run(places, &args.look, practise),
        Some(Command::Resume(resume)) => resume::run(places, &args.look, resume),
        Some(Command::Diagnose(diagnose)) => diagnose::run(places, diagnose),
        Some(Command::Report(report)) => report::run(places, report),
        Some(Command::Review { folders, command: None }) => screens::review(places, &args.look, folders),
        Some(Command::Review { command: Some(command), .. }) => review::run(places, command),
        Some(Command::Due(due)) => due::run(places, due),
        Some(Command::Cost(cost)) => cost::run(places, cost),
        Some(Command::Verify(verify)) => verify::run(places, verify),
        Some(Command::Tree(tree)) => tree::run(places, tree),
        Some(Command::Completions { shell }) => pages::completions(*shell),
        Some(Command::Man { command }) => pages::man(command.as_deref()),
    }
}
