//! The two ways out: what was asked for on standard output, what went wrong on standard error.

use std::io::{self, IsTerminal as _, Write as _};

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

/// Draws how far something is over the line before, where standard error is a terminal.
pub(super) fn progress(done: u64, of: u64) {
    let mut err = io::stderr().lock();
    if err.is_terminal() {
        let filled = usize::try_from(done.saturating_mul(30) / of.max(1)).unwrap_or(30).min(30);
        let end = if done == of { "\r\x1b[K" } else { "" };
        let _ = write!(err, "\r[{}{}] {done} of {of} jobs{end}", "#".repeat(filled), ".".repeat(30 - filled));
        let _ = err.flush();
    }
}
