//! `roughrun trace`: start a job.

use std::io::{self, IsTerminal as _};

use super::args::{Places, Trace};
use super::look::Look;
use super::{CliError, Kind, Outcome, ending, out, screens};
use crate::plain::{self, Console, Given, IntakeError};
use crate::shop::{self, Card, Shop};
use crate::tui::{self, Begin};

pub(super) fn run(places: &Places, look: &Look, args: &Trace) -> Outcome {
    let shop = places.shop()?;
    if !args.plain {
        return screens::open(shop, look, Begin::Trace(known(args)));
    }
    let card = card(&shop, args)?;
    if let Some(layout) = &args.layout {
        shop::model(shop.library(), layout, card.as_ref()).map_err(|fault| CliError::from(fault).into_usage())?;
    }
    // Before the first question, so that no answer is given for nothing.
    shop.check_writing()?;
    let text = card.as_ref().map(|card| card.facts.card.clone());
    let given = Given {
        layout: args.layout.clone(),
        complaint: args.complaint.clone(),
        at: args.at,
        mechanic: args.mechanic.clone(),
        card,
    };
    let (mut input, mut output) = (io::stdin().lock(), io::stdout().lock());
    let mut console = Console::new(&mut input, &mut output).echoing(!io::stdin().is_terminal());
    let opening = match plain::intake(shop.library(), &given, &mut console) {
        Ok(Some(opening)) => opening,
        Ok(None) => {
            out::remark("The input ended before the job was begun, so nothing was saved.");
            return Ok(0);
        }
        Err(IntakeError::Io(fault)) => return out::done(Err(fault)).map(|()| 0),
        Err(IntakeError::Shop(fault)) => return Err(fault.into()),
        Err(IntakeError::NoComplaint(why)) => return Err(CliError::new(Kind::Usage, why)),
    };
    let open = shop.start(opening, text.as_deref())?;
    let notes: Vec<String> = open.warning().into_iter().collect();
    ending::worked(open, |open| plain::run(open, &notes, &mut console))
}

/// What was named on the command line, for the screens.
fn known(args: &Trace) -> tui::Trace {
    tui::Trace {
        layout: args.layout.clone(),
        card: args.aircraft.as_ref().map(|path| path.display().to_string()),
        complaint: args.complaint.clone(),
        at: args.at,
        mechanic: args.mechanic.clone(),
    }
}

fn card(shop: &Shop, args: &Trace) -> Result<Option<Card>, CliError> {
    let Some(path) = &args.aircraft else { return Ok(None) };
    let text = shop::read_card_file(path).map_err(|why| CliError::new(Kind::Usage, why))?;
    Ok(Some(shop::read_card(shop.library(), &text)?))
}
