//! How a job that is worked line by line ends: by itself, or from outside. Its exit code follows from what is on disk.

use std::io::{self, Write as _};
use std::thread;

use signal_hook::consts::{SIGHUP, SIGINT, SIGQUIT, SIGTERM};
use signal_hook::iterator::Signals;
use signal_hook::low_level;

use super::{CliError, Kind, Outcome, out};
use crate::shop::OpenJob;
use crate::text::safe_lines;

/// Works an open job, and ends as what is on disk then says. A signal that asks for the end is answered from another
/// thread, since the input may never come: what waits is tried once more, and it is said what came of it.
pub(super) fn worked(mut open: OpenJob, work: impl FnOnce(&mut OpenJob) -> io::Result<()>) -> Outcome {
    answer_signals(&open);
    let said = work(&mut open);
    match open.make_sure() {
        Ok(sure) => {
            sure.told.iter().for_each(|told| out::remark(told));
            out::done(said).map(|()| 0)
        }
        Err(fault) => Err(CliError::new(Kind::Record, fault.to_string())
            .hint("Not everything that was entered could be saved before the end, so this ends with exit code 3.")),
    }
}

fn answer_signals(open: &OpenJob) {
    let (word, id) = (open.last_word(), open.id().to_owned());
    // Where signals cannot be caught the program ends there, as it always can: what was shown as saved is on disk.
    let Ok(mut signals) = Signals::new([SIGTERM, SIGHUP, SIGINT, SIGQUIT]) else { return };
    let _ = thread::Builder::new().name("last word".into()).spawn(move || {
        let Some(signal) = signals.forever().next() else { return };
        word.speak(|made_sure| {
            let (said, code) = match made_sure {
                Ok(kept) => (kept.words_of_place(), 128 + signal),
                Err(fault) => (fault.to_string(), i32::from(Kind::Record.exit_code())),
            };
            let mut err = io::stderr();
            let _ = writeln!(err, "\n{}\nGo on with: roughrun resume {id} --plain", safe_lines(&said));
            // Not the ordinary exit: that would wait for the output, whose lock the stalled thread may hold.
            low_level::exit(code);
        });
    });
}
