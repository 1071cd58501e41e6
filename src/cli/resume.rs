//! `roughrun resume`: go on with an open job.

use std::io::{self, IsTerminal as _};

use super::args::{Places, Resume};
use super::look::Look;
use super::{CliError, Kind, Outcome, ending, screens};
use crate::plain::{self, Console};
use crate::shop::{JobState, Shop};
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

/// The open job worked on last.
fn last_open(shop: &Shop) -> Result<String, CliError> {
    let open = shop.jobs()?.into_iter().find(|line| line.state == JobState::Open);
    open.map(|line| line.id).ok_or_else(|| {
        CliError::new(Kind::Usage, format!("There is no open job in {}.", shop.records().display()))
            .hint("Start one with: roughrun trace")
    })
}
