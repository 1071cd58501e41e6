//! What each command does.

use std::io;
use std::path::Path;

use super::answer::told_apart;
use super::command::{Command, HELP};
use super::console::Picked;
use super::session::{Flow, Session};
use super::{search, show};
use crate::guide::Stands;
use crate::job::{Ending, Entry, tell};
use crate::model::Site;
use crate::plan::Action;
use crate::shop::EnterError;

const ENDINGS: [(&str, Ending); 4] = [
    ("cured", Ending::Cured),
    ("handed-over", Ending::HandedOver),
    ("not-found", Ending::NotFound),
    ("stopped", Ending::Stopped),
];

impl Session<'_, '_> {
    /// Does what was typed.
    pub(super) fn handle(&mut self, action: Action, command: Command) -> io::Result<Flow> {
        match command {
            Command::Number(_) | Command::Words(_) | Command::Yes => return self.answered(action, &command),
            Command::Undo => self.undo()?,
            Command::Skip => self.skip(action)?,
            Command::NotPossible(why) => match action {
                Action::Check(id) => {
                    let check = &self.job().model()[id];
                    let entry = Entry::NotPossible { check: check.name.clone(), at: check.site, why };
                    self.enter(entry)?;
                }
                Action::Provoke(id) => {
                    let provocation = self.job().model()[id].name.clone();
                    self.enter(Entry::NotProvoked { provocation, why })?;
                }
                _ => {
                    self.console
                        .say("Only a check or a way to provoke it can be not possible. Type skip to pass this over.")?;
                }
            },
            Command::NoTool(words) => self.no_tool(action, &words)?,
            Command::State => self.say_all(&Stands::of(self.open.job()).page())?,
            Command::Still => {
                let entry = self.job().state().still_as_before(self.job().model());
                match entry {
                    Some(entry) => drop(self.enter(entry)?),
                    None => {
                        self.console.say("No pause is in doubt. Type conditions heat=hot to say how warm it is.")?
                    }
                }
            }
            Command::Note(text) => {
                self.enter(Entry::Note { text })?;
            }
            Command::Other(words) => return self.other(&words),
            Command::Conditions(levels) => {
                self.enter(Entry::Conditions { levels })?;
            }
            Command::Showing(showing) => {
                self.enter(Entry::Showing { showing, ran: false })?;
            }
            Command::Correct(name, at) => return self.correct(name, at),
            Command::Confirm(cause, at) => {
                let sites: Vec<Site> =
                    self.job().model().causes.iter().filter(|c| c.name == cause).map(|c| c.site).collect();
                if let Some(at) = self.site(at, &sites, "cause", &cause)? {
                    self.enter(Entry::Confirmed { cause, at })?;
                }
            }
            Command::Proof(showing) => {
                let entry = Entry::ProofRun { showing, levels: crate::job::Levels::new() };
                let title = Action::ProofRun.title(self.job().model());
                return self.enter_with_cautions(&title, Action::ProofRun, entry);
            }
            Command::Why => {
                let lines = self.suggestion(action).map_or_else(
                    || vec!["This one was asked for; the plan has no forecast for it.".to_owned()],
                    |suggestion| show::why(self.job(), suggestion),
                );
                self.say_all(&lines)?;
            }
            Command::Ranking => {
                let lines = show::ranking(self.job());
                self.say_all(&lines)?;
            }
            Command::Because(cause, at) => {
                let sites: Vec<Site> =
                    self.job().model().causes.iter().filter(|c| c.name == cause).map(|c| c.site).collect();
                let at = self.site(at, &sites, "cause", &cause)?;
                if let Some(id) = at.and_then(|at| self.job().model().find_cause(&cause, at)) {
                    self.say_all(&show::because(self.job(), id))?;
                }
            }
            Command::Again => self.shown = None,
            Command::Close(how) => return self.close_as(&how),
            Command::Save(folder) => self.save(&folder)?,
            Command::Quit => return self.farewell().map(|()| Flow::Stop),
            Command::Help => {
                for (typed, does) in HELP {
                    self.console.say(&format!("  {typed}: {does}"))?;
                }
            }
            Command::Wrong(accepted) => self.console.say(&accepted)?,
        }
        Ok(Flow::On)
    }

    /// A tool or gauge of the check in front is not to be had: the one that is named, or the only one.
    fn no_tool(&mut self, action: Action, words: &str) -> io::Result<()> {
        let asked = match action {
            Action::Check(id) => self.job().model()[id].equipment(),
            _ => Vec::new(),
        };
        let wanted = words.to_lowercase();
        let found: Vec<&String> = asked.iter().filter(|tool| tool.to_lowercase().contains(&wanted)).collect();
        match found.as_slice() {
            [only] => self.enter(Entry::Lacking { what: (*only).clone() }).map(|_| ()),
            [] if asked.is_empty() => self.console.say("Nothing that is suggested here asks for a tool."),
            [] => self.console.say(&format!("It asks for: {}. Type no tool and a word of one.", asked.join("; "))),
            several => {
                let several: Vec<&str> = several.iter().map(|tool| tool.as_str()).collect();
                self.console.say(&format!("Which one? Type no tool and a word of it: {}.", several.join("; ")))
            }
        }
    }

    fn say_all(&mut self, lines: &[String]) -> io::Result<()> {
        lines.iter().try_for_each(|line| self.console.say(line))
    }

    /// Enters something and says so, or says why not. Whether it was taken.
    pub(super) fn enter(&mut self, entry: Entry) -> io::Result<bool> {
        let words = tell(self.job().model(), &entry);
        let is_caution = matches!(entry, Entry::Acknowledged { .. });
        match self.open.enter(entry) {
            Ok(()) => {
                let number = self.job().log().last().map_or(0, |l| l.number);
                // A choice made before a caution was acknowledged still stands.
                if !is_caution {
                    self.chosen = None;
                    self.passed.clear();
                }
                self.shown = None;
                self.console.say(&format!("Saved as entry {number}: {words}."))?;
                Ok(true)
            }
            Err(fault) => {
                self.not_entered(&fault)?;
                Ok(false)
            }
        }
    }

    fn not_entered(&mut self, fault: &EnterError) -> io::Result<()> {
        match fault {
            EnterError::Refused(refusal) => {
                let words = refusal.to_string();
                let stop = if words.ends_with(['.', '?', '!']) { "" } else { "." };
                self.console.say(&format!("Not entered: {words}{stop}"))
            }
            EnterError::NotSaved(_) | EnterError::Waiting { .. } => {
                self.console.say(&fault.to_string())?;
                self.console.say("Type save FOLDER to go on in another folder; save . tries the working folder.")
            }
        }
    }

    pub(super) fn save(&mut self, folder: &str) -> io::Result<()> {
        match self.open.save_elsewhere(Path::new(folder)) {
            Ok(()) => {
                self.shown = None;
                let file = self.open.file().display().to_string();
                self.console.say(&format!("The job is saved in {file} now, and goes on there."))?;
                let folder = self.open.folder().display();
                self.console.say(&format!("Go on with it later with: roughrun resume --records {folder}"))
            }
            Err(fault) => self.console.say(&fault.to_string()),
        }
    }

    fn undo(&mut self) -> io::Result<()> {
        match self.open.undo() {
            Ok(Some(entry)) => {
                self.chosen = None;
                self.passed.clear();
                self.shown = None;
                let words = tell(self.job().model(), &entry);
                self.console.say(&format!("Taken back: {words}. It stays in the record, marked."))
            }
            Ok(None) => self.console.say("There is nothing to take back: only the opening stands."),
            Err(fault) => self.not_entered(&fault),
        }
    }

    fn skip(&mut self, action: Action) -> io::Result<()> {
        match action {
            Action::Check(id) => {
                let check = &self.job().model()[id];
                let entry = Entry::Skipped { check: check.name.clone(), at: check.site };
                let passed = std::mem::take(&mut self.passed);
                self.enter(entry)?;
                self.passed = passed;
            }
            other => {
                self.chosen = None;
                self.shown = None;
                self.passed.insert(other);
                if self.job().advice().next.iter().all(|s| self.passed.contains(&s.action)) {
                    self.passed.clear();
                    self.console.say(
                        "There is no other suggestion; they begin again. Type other WORDS to choose a check, or close.",
                    )?;
                } else {
                    self.console.say("Passed over for now.")?;
                }
            }
        }
        Ok(())
    }

    fn other(&mut self, words: &str) -> io::Result<Flow> {
        let found = search::find(self.job(), words);
        if found.is_empty() {
            self.console.say(&format!("Nothing has \"{words}\" in its title, name or site. Try one word of it."))?;
            return Ok(Flow::On);
        }
        let titles: Vec<String> = found.iter().map(|a| a.title(self.job().model())).collect();
        match self.console.pick("Which one?", &titles)? {
            Picked::Option(at) => {
                self.chosen = found.get(at).copied();
                self.shown = None;
            }
            Picked::Said(said) if said.is_empty() => self.console.say("Nothing was chosen.")?,
            Picked::Said(said) => match Command::parse(&said) {
                Command::Number(_) | Command::Words(_) => {
                    self.console.say(&format!(
                        "Nothing was chosen: type other and then a number from 1 to {}.",
                        titles.len()
                    ))?;
                }
                command => {
                    let action = self.chosen.or_else(|| found.first().copied()).unwrap_or(Action::CloseNotFound);
                    return self.handle(action, command);
                }
            },
            Picked::End => return self.farewell().map(|()| Flow::Stop),
        }
        Ok(Flow::On)
    }

    /// The site that is meant: the one named, or the only one there is.
    fn site(&mut self, at: Option<Site>, sites: &[Site], what: &str, name: &str) -> io::Result<Option<Site>> {
        match (at, sites) {
            (Some(at), _) => Ok(Some(at)),
            (None, [only]) => Ok(Some(*only)),
            // The refusal says what there is instead.
            (None, []) => Ok(Some(Site::Engine)),
            (None, several) => {
                let words: Vec<String> = several.iter().map(ToString::to_string).collect();
                self.console
                    .say(&format!("The {what} {name} is at several sites. Add at and one of: {}.", words.join(", ")))?;
                Ok(None)
            }
        }
    }

    fn correct(&mut self, correction: String, at: Option<Site>) -> io::Result<Flow> {
        let model = self.job().model();
        let sites: Vec<Site> = model.corrections.iter().filter(|c| c.name == correction).map(|c| c.site).collect();
        let Some(at) = self.site(at, &sites, "correction", &correction)? else { return Ok(Flow::On) };
        let model = self.job().model();
        let entry = Entry::Corrected { correction, at };
        let title = tell(model, &entry);
        match entry.action(model) {
            Some(action) => self.enter_with_cautions(&title, action, entry),
            None => self.enter(entry).map(|_| Flow::On),
        }
    }

    pub(super) fn close_as(&mut self, how: &str) -> io::Result<Flow> {
        let (word, note) = how.split_once(char::is_whitespace).unwrap_or((how, ""));
        if let Some((_, ending)) = ENDINGS.iter().find(|(name, _)| name.eq_ignore_ascii_case(word)) {
            return self.close(*ending, note.trim().to_owned());
        }
        let options: Vec<String> = ENDINGS.iter().map(|(name, e)| format!("{} ({name})", e.words())).collect();
        match self.console.pick("How does it end?", &options)? {
            Picked::Option(at) => self.close(ENDINGS[at].1, how.trim().to_owned()),
            Picked::Said(_) => {
                self.console
                    .say("The job stays open. Type close and then cured, handed-over, not-found or stopped.")?;
                Ok(Flow::On)
            }
            Picked::End => self.farewell().map(|()| Flow::Stop),
        }
    }

    /// After a reading: what the limit says of it, and the question which outcome it was where it alone cannot tell.
    pub(super) fn judged(&mut self, number: u64) -> io::Result<Flow> {
        let job = self.open.job();
        let Some(given) = job.state().given.iter().find(|g| g.number >= number) else { return Ok(Flow::On) };
        let number = given.number;
        match given.judged.clone() {
            Some(Err(needed)) => self.console.say(&needed)?,
            Some(Ok(judged)) => {
                self.console.say(&judged.words)?;
                if given.chosen.is_some() || given.seen().is_some() {
                    return Ok(Flow::On);
                }
                if !judged.clear {
                    self.console
                        .say("It counts for each outcome as far as it can be that one. Measure again, or go on.")?;
                    return Ok(Flow::On);
                }
                let check = &job.model()[given.check];
                let names: Vec<String> = judged.outcomes().iter().map(|n| (*n).to_owned()).collect();
                let title = |n: &String| check.seen(n).map_or(n.clone(), |s| check.outcome_title(s).to_owned());
                let mut options: Vec<String> = names.iter().map(title).collect();
                options.push("Cannot tell".to_owned());
                match self.console.pick("The reading alone does not tell which of these it is:", &options)? {
                    Picked::Option(at) if at < names.len() => {
                        if let Some(entry) = told_apart(self.job(), number, &names[at]) {
                            self.enter(entry)?;
                        }
                    }
                    Picked::End => return self.farewell().map(|()| Flow::Stop),
                    _ => self.console.say("It counts for each of them alike.")?,
                }
            }
            None => {}
        }
        Ok(Flow::On)
    }
}
