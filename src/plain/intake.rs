//! Taking a complaint in by numbered questions.

use std::io;

use super::console::{Console, Picked};
use crate::guide::RECENT_WORK_QUESTION;
use crate::job::{Levels, NoWork, Opening, RecentWork, WorkDone};
use crate::model::{Complaint, Model, Site};
use crate::shop::{self, Card, ShopError};
use crate::trees::Library;

/// What was given on the command line; what is missing is asked.
#[derive(Debug, Clone, Default)]
pub struct Given {
    /// Name or path of the layout.
    pub layout: Option<String>,
    /// The complaint's name.
    pub complaint: Option<String>,
    /// Where.
    pub at: Option<Site>,
    /// Who works the job.
    pub mechanic: Option<String>,
    /// The aircraft's card.
    pub card: Option<Card>,
}

/// Why no complaint was taken in.
#[derive(Debug, thiserror::Error)]
pub enum IntakeError {
    /// Input or output failed.
    #[error("{0}")]
    Io(#[from] io::Error),
    /// Layout or card.
    #[error("{0}")]
    Shop(#[from] ShopError),
    /// A complaint was given that this engine does not have, or not there.
    #[error("{0}")]
    NoComplaint(String),
}

/// Asks for what is missing of an opening. None where the input ended first: nothing was begun then.
///
/// # Errors
/// Input, output, or a layout that cannot be used.
pub fn intake(library: &Library, given: &Given, console: &mut Console<'_>) -> Result<Option<Opening>, IntakeError> {
    let layout = match (&given.layout, &given.card) {
        (Some(layout), _) => layout.clone(),
        (None, Some(card)) => card.layout.clone(),
        (None, None) => {
            let layouts = library.layouts();
            let titles: Vec<String> =
                layouts.iter().map(|l| format!("{} ({})", l.layout.title, l.layout.name)).collect();
            let Some(at) = choose(console, "Which engine?", &titles, &library.layout_names())? else {
                return Ok(None);
            };
            layouts[at].layout.name.clone()
        }
    };
    let model = shop::model(library, &layout, given.card.as_ref())?;
    let Some(complaint) = complaint(&model, given, console)? else { return Ok(None) };
    let Some(reported) = conditions(&model, &complaint, console)? else { return Ok(None) };
    // A tree without kinds of work has nothing to ask.
    let recent_work = if model.recent_work.is_empty() {
        None
    } else {
        let Some(said) = recent_work(&model, console)? else { return Ok(None) };
        Some(said)
    };
    let Some(words) = console.ask("The pilot's words, or Enter for none:")? else { return Ok(None) };
    let mechanic = match &given.mechanic {
        Some(name) => name.clone(),
        None => match console.ask("Your name, or Enter for none:")? {
            Some(name) => name,
            None => return Ok(None),
        },
    };
    let opening = Opening::of(&layout, &complaint.name, complaint.site);
    Ok(Some(Opening { reported, recent_work, mechanic, words, ..opening }))
}

/// A numbered question, asked until it is answered. None at the end of input.
fn choose(console: &mut Console<'_>, question: &str, options: &[String], names: &[&str]) -> io::Result<Option<usize>> {
    let mut picked = console.pick(question, options)?;
    loop {
        match picked {
            Picked::Option(at) => return Ok(Some(at)),
            Picked::End => return Ok(None),
            Picked::Said(said) if said.eq_ignore_ascii_case("quit") => return Ok(None),
            Picked::Said(said) => {
                if let Some(at) = names.iter().position(|name| name.eq_ignore_ascii_case(&said)) {
                    return Ok(Some(at));
                }
                console.say("That is not understood. Type one of the numbers above, or a name in brackets.")?;
                picked = console.number(options.len())?;
            }
        }
    }
}

fn complaint(model: &Model, given: &Given, console: &mut Console<'_>) -> Result<Option<Complaint>, IntakeError> {
    let fits = |c: &&Complaint| {
        given.complaint.as_ref().is_none_or(|name| c.name == *name) && given.at.is_none_or(|at| c.site == at)
    };
    let found: Vec<&Complaint> = model.complaints.iter().filter(fits).collect();
    if found.is_empty() {
        return Err(no_complaint(model, given));
    }
    if let ([only], true) = (found.as_slice(), given.complaint.is_some()) {
        return Ok(Some((*only).clone()));
    }
    let titles: Vec<String> =
        found.iter().map(|c| format!("{}, {} ({} at {})", c.title, model.site_words(c.site), c.name, c.site)).collect();
    let names: Vec<String> = found.iter().map(|c| format!("{} at {}", c.name, c.site)).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    Ok(choose(console, "What is the complaint?", &titles, &names)?.map(|at| found[at].clone()))
}

fn no_complaint(model: &Model, given: &Given) -> IntakeError {
    let name = given.complaint.as_deref().unwrap_or_default();
    let sites: Vec<String> = model.complaints.iter().filter(|c| c.name == name).map(|c| c.site.to_string()).collect();
    let known = model.complaints.iter().map(|c| c.name.as_str());
    IntakeError::NoComplaint(match (sites.is_empty(), crate::trees::nearest(name, known)) {
        (false, _) => format!("The complaint \"{name}\" is not there; in this engine it is at {}.", sites.join(", ")),
        (true, Some(near)) => format!("There is no complaint \"{name}\" in this engine; did you mean \"{near}\"?"),
        (true, None) => {
            format!("There is no complaint \"{name}\" at this site; `roughrun tree show` lists the complaints.")
        }
    })
}

/// Conditions when it was seen, each asked with the complaint's usual level first.
fn conditions(model: &Model, complaint: &Complaint, console: &mut Console<'_>) -> io::Result<Option<Levels>> {
    console.say("What were the conditions when the pilot saw it? Press Enter for the usual one.")?;
    let mut levels = Levels::new();
    for (at, kind) in model.conditions.iter().enumerate() {
        let usual = complaint.usual.0.get(at).and_then(|level| kind.levels.get(*level)).map_or("", String::as_str);
        loop {
            let question = format!("{}: {} (usual: {usual})?", kind.title, kind.levels.join(", "));
            let Some(line) = console.ask(&question)? else { return Ok(None) };
            if line.eq_ignore_ascii_case("quit") {
                return Ok(None);
            }
            let by_number = line.parse::<usize>().ok().and_then(|n| n.checked_sub(1)).and_then(|n| kind.levels.get(n));
            let level = by_number.or_else(|| kind.levels.iter().find(|l| l.eq_ignore_ascii_case(&line)));
            match level {
                Some(level) => {
                    levels.insert(kind.name.clone(), level.clone());
                    break;
                }
                None if line.is_empty() => break,
                None => console.say(&format!("Type one of: {}; or quit.", kind.levels.join(", ")))?,
            }
        }
    }
    Ok(Some(levels))
}

/// What was worked on before: each line a kind of work and where, until an empty one.
fn recent_work(model: &Model, console: &mut Console<'_>) -> io::Result<Option<RecentWork>> {
    let kinds = model.recent_kinds();
    let options: Vec<String> = kinds.iter().map(|(name, title)| format!("{title} ({name})")).collect();
    console.say(RECENT_WORK_QUESTION)?;
    console.list(&options)?;
    let mut question = "Number or name, and where, as in 1 left; nothing; or Enter where it is not known:";
    let mut done: Vec<WorkDone> = Vec::new();
    loop {
        let Some(line) = console.ask(question)? else { return Ok(None) };
        match line.to_lowercase().as_str() {
            "quit" => return Ok(None),
            "" if !done.is_empty() => return Ok(Some(RecentWork::Done(done))),
            "" | "not known" | "not-known" => return Ok(Some(RecentWork::Said(NoWork::NotKnown))),
            "nothing" => return Ok(Some(RecentWork::Said(NoWork::Nothing))),
            said => match work_done(model, &kinds, said) {
                Ok(work) => {
                    console.say(&format!("Worked on: {}.", work.words(model)))?;
                    if !done.contains(&work) {
                        done.push(work);
                    }
                    question = "More, as before; nothing or not known to take it back; or Enter for no more:";
                }
                Err(why) => console.say(&why)?,
            },
        }
    }
}

/// A kind of work by number or name, with its place; of one that can be in one place only the place may be left out.
fn work_done(model: &Model, kinds: &[(&str, &str)], said: &str) -> Result<WorkDone, String> {
    let (kind, place) = said.split_once(' ').map_or((said, ""), |(kind, place)| (kind, place.trim()));
    let by_number = kind.parse::<usize>().ok().and_then(|n| n.checked_sub(1)).and_then(|n| kinds.get(n));
    let Some((name, title)) = by_number.or_else(|| kinds.iter().find(|(name, _)| *name == kind)) else {
        let near = crate::trees::nearest(kind, kinds.iter().map(|(name, _)| *name));
        let mend = near.map_or_else(
            || format!("Type a number from 1 to {}, or a name in brackets, and where.", kinds.len()),
            |near| format!("Did you mean {near}?"),
        );
        return Err(format!("There is no kind of work \"{kind}\". {mend}"));
    };
    let sites = model.recent_work_sites(name);
    let known = || sites.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
    let place = place.strip_prefix("at ").unwrap_or(place);
    let at = match (place, sites.as_slice()) {
        ("", [only]) => *only,
        ("", _) => return Err(format!("Say where as well: {title} can be at {}.", known())),
        (place, _) => {
            place.parse().map_err(|_| format!("\"{place}\" is no place here; {title} can be at {}.", known()))?
        }
    };
    if model.recent_work_at(name, at).is_empty() {
        return Err(format!("{title} cannot be at {at} in this engine; it can be at {}.", known()));
    }
    Ok(WorkDone { work: (*name).to_owned(), at })
}
