//! `roughrun resume`: go on with an open job.

use std::io::{self, IsTerminal as _};

use super::args::{Places, Resume};
use super::look::Look;
use super::{CliError, Kind, Outcome, ending, out, screens};
use crate::plain::{self, Console};
use crate::shop::{JobLine, Shop};
use crate::tui::Begin;

pub(super) fn run(places: &Places, look: &Look, args: &Resume) -> Outcome {
    let shop = places.shop()?;
    let id = match &args.id {
        Some(id) => id.clone(),
        None => last_open(&shop)?,
    };
    if args.head.is_none() {
        agreed(&shop, &id)?;
    }
    let (open, notes) = shop.resume_at(&id, args.head.as_deref())?;
    if args.plain
        && let Some(bout) = shop.bout(&open)?
    {
        return super::practise::work(&shop, open, bout, &notes);
    }
    if !args.plain {
        return screens::open(shop, look, Begin::Going(Box::new(open), notes));
    }
    let (mut input, mut output) = (io::stdin().lock(), io::stdout().lock());
    let mut console = Console::new(&mut input, &mut output).echoing(!io::stdin().is_terminal());
    ending::worked(open, |open| plain::run(open, &notes, &mut console))
}

/// Asks before a job is gone on with whose end cannot be read, where there is somebody to ask. Nothing is written before
/// that.
fn agreed(shop: &Shop, id: &str) -> Result<(), CliError> {
    let end = shop.doubtful_end(id)?;
    if end.is_empty() || !io::stdin().is_terminal() {
        return Ok(());
    }
    end.iter().for_each(|sentence| out::remark(sentence));
    out::remark("Go on without it? Its bytes stay in the file. Type yes to go on, or Enter to leave it as it is:");
    let mut line = String::new();
    let read = io::stdin().read_line(&mut line);
    if read.is_ok() && line.trim().eq_ignore_ascii_case("yes") {
        return Ok(());
    }
    let fault = CliError::new(Kind::Record, "The job was not opened, and nothing was changed.");
    Err(fault
        .hint(format!("`roughrun verify` shows the end again, `roughrun report {id}` what can be read of the job.")))
}

/// The open job worked on last; never in the place of a record that needs a look and may be the last one.
fn last_open(shop: &Shop) -> Result<String, CliError> {
    let found = shop.to_go_on()?;
    let look = found.doubtful.iter().map(needs_a_look);
    if let Some(id) = found.open {
        look.for_each(|line| out::remark(&line));
        return Ok(id);
    }
    if found.doubtful.is_empty() {
        let none = format!("There is no open job in {}.", shop.records().display());
        return Err(CliError::new(Kind::Usage, none).hint("Start one with: roughrun trace"));
    }
    let mut fault = CliError::new(Kind::Record, "No job was opened, because these records need a look first:");
    for line in look {
        fault = fault.hint(line);
    }
    for line in &found.others {
        fault =
            fault.hint(format!("Open too: roughrun resume {} ({}, last entry {})", line.id, line.complaint, line.last));
    }
    Err(fault.hint("`roughrun verify` shows what is left of each; go on from an end that you choose with: roughrun resume ID --head HASH"))
}

/// A record that needs a look, in a line.
fn needs_a_look(line: &JobLine) -> String {
    let trouble = line.trouble.as_deref().unwrap_or("Its record is damaged.");
    if line.id.is_empty() {
        return format!("Needs a look: {trouble}");
    }
    format!("Needs a look: job {} ({}, last entry {}). {trouble}", line.id, line.complaint, line.last)
}
