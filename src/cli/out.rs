//! The two ways out: what was asked for on standard output, what went wrong on standard error.

use std::io::{self, Write as _};

use super::error::{CliError, Kind};
use crate::text::safe_lines;

/// Prints what was asked for. A reader that has gone away is no fault.
pub(super) fn print(text: &str) -> Result<(), CliError> {
    let mut out = io::stdout().lock();
    let end = if text.ends_with('\n') { "" } else { "\n" };
    let written =
        out.write_all(text.as_bytes()).and_then(|()| out.write_all(end.as_bytes())).and_then(|()| out.flush());
    done(written)
}

/// What a failure to write means: nothing where the reader has gone away.
pub(super) fn done(written: io::Result<()>) -> Result<(), CliError> {
    match written {
        Err(fault) if fault.kind() != io::ErrorKind::BrokenPipe => {
            Err(CliError::new(Kind::Record, format!("The output could not be written: {fault}.")))
        }
        _ => Ok(()),
    }
}

/// Says what went wrong and what to do.
pub(super) fn complain(fault: &CliError) {
    // With nowhere left to say it, the exit code has to do.
    let mut out = io::stderr().lock();
    let _ = writeln!(out, "{}", safe_lines(fault.message.trim_end()));
    for hint in &fault.hints {
        let _ = writeln!(out, "{}", safe_lines(hint));
    }
}

/// Says something beside what was asked for.
pub(super) fn remark(text: &str) {
    let _ = writeln!(io::stderr().lock(), "{}", safe_lines(text));
}
