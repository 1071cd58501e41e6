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
