//! `roughrun review remark` and `mark`: what a lead says of a job, as entries of its record.

use std::io::{IsTerminal as _, Read as _};

use super::args::{Mark, Places, Remark};
use super::{CliError, Kind, Outcome, out};
use crate::job::Entry;
use crate::shop::{EnterError, SayError};

/// The longest remark that is read from a pipe, in bytes: a line of a record holds no more.
const LONGEST: u64 = 32 * 1024;

pub(super) fn remark(places: &Places, args: &Remark) -> Outcome {
    let mut text = args.words.join(" ");
    if text.trim().is_empty() {
        if std::io::stdin().is_terminal() {
            out::remark("Write the remark, then end it with Ctrl-D on a line of its own.");
        }
        let read = std::io::stdin().lock().take(LONGEST + 1).read_to_string(&mut text);
        let read = read.map_err(|fault| CliError::new(Kind::Usage, format!("The remark cannot be read: {fault}.")))?;
        if read as u64 > LONGEST {
            let why = format!("The remark is longer than {} KiB, so nothing of it was taken.", LONGEST >> 10);
            return Err(CliError::new(Kind::Usage, why).hint("Split it in two, and enter them one after the other."));
        }
    }
    say(places, &args.id, Entry::Remark { by: args.by.clone(), text: text.trim().to_owned(), of: args.of })
}

pub(super) fn mark(places: &Places, args: &Mark) -> Outcome {
    say(places, &args.id, Entry::Reviewed { by: args.by.clone() })
}

fn say(places: &Places, id: &str, entry: Entry) -> Outcome {
    let shop = places.shop()?;
    let id = shop.find(id)?.to_string();
    let said = shop.say(&id, entry).map_err(|fault| match fault {
        SayError::Shop(fault) => fault.into(),
        SayError::Enter(EnterError::Refused(why)) => CliError::new(Kind::Usage, format!("Not entered: {why}.")),
        other => CliError::new(Kind::Record, other.to_string()),
    })?;
    said.saved.told().iter().for_each(|told| out::remark(told));
    out::print(&format!("{} of job {id}; the head is {}\n", said.saved.words(), said.head))?;
    Ok(0)
}
