//! What is entered, saved, closed and judged, at work and in practice alike.

use std::io;
use std::path::Path;

use super::answer::told_apart;
use super::console::Picked;
use super::session::{Flow, Session};
use crate::guide;
use crate::job::{Ending, Entry, tell};
use crate::plan::Action;
use crate::record::Saved;
use crate::shop::EnterError;

impl Session<'_, '_> {
    /// A tool or gauge of the check in front is not to be had: the one that is named, or the only one.
    pub(super) fn no_tool(&mut self, action: Action, words: &str) -> io::Result<()> {
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

    /// Asks what else showed, or was reported as well, and enters it.
    pub(super) fn something_else(&mut self, run: Option<Entry>) -> io::Result<Flow> {
        let complaints = guide::other_complaints(self.job());
        let titles: Vec<String> = complaints.iter().map(|(_, title)| title.clone()).collect();
        let question = if run.is_some() { "What showed instead?" } else { "What was reported as well?" };
        match self.console.pick(question, &titles)? {
            Picked::Option(at) => {
                for entry in guide::something_else(self.job(), run, complaints[at].0) {
                    if !self.enter(entry)? {
                        break;
                    }
                }
                Ok(Flow::On)
            }
            Picked::Said(_) => {
                self.console.say("Nothing was entered. Type the number of what showed.")?;
                Ok(Flow::On)
            }
            Picked::End => self.farewell().map(|()| Flow::Stop),
        }
    }

    /// After a pause it is still as it was before it.
    pub(super) fn still(&mut self) -> io::Result<()> {
        match self.job().state().still_as_before(self.job().model()) {
            Some(entry) => self.enter(entry).map(|_| ()),
            None => self.console.say("No pause is in doubt. Type conditions heat=hot to say how warm it is."),
        }
    }

    /// Enters something and says so, or says why not. Whether it was taken.
    pub(super) fn enter(&mut self, entry: Entry) -> io::Result<bool> {
        let words = tell(self.job().model(), &entry);
        let is_caution = matches!(entry, Entry::Acknowledged { .. });
        match self.open.enter(entry) {
            Ok(saved) => {
                // A choice made before a caution was acknowledged still stands.
                if !is_caution {
                    self.chosen = None;
                    self.passed.clear();
                }
                self.shown = None;
                self.told(&saved)?;
                self.console.say(&format!("{}: {words}.", saved.words()))?;
                Ok(true)
            }
            Err(fault) => {
                self.not_entered(&fault)?;
                Ok(false)
            }
        }
    }

    /// Says what has to be known at once of where the record is now.
    pub(super) fn told(&mut self, saved: &Saved) -> io::Result<()> {
        saved.told().map_or(Ok(()), |told| self.console.say(told))
    }

    pub(super) fn not_entered(&mut self, fault: &EnterError) -> io::Result<()> {
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
            Ok(sure) => {
                self.shown = None;
                sure.told.as_deref().map_or(Ok(()), |told| self.console.say(told))?;
                self.console.say(&sure.kept.words_of_move())?;
                let folder = self.open.folder().display();
                self.console.say(&format!("Go on with it later with: roughrun resume --records {folder}"))
            }
            Err(fault) => self.console.say(&fault.to_string()),
        }
    }

    pub(super) fn close_as(&mut self, how: &str) -> io::Result<Flow> {
        let (word, note) = how.split_once(char::is_whitespace).unwrap_or((how, ""));
        // The short word of old for the best end.
        let named =
            |ending: &Ending| ending.name().eq_ignore_ascii_case(word) || ending.short().eq_ignore_ascii_case(word);
        if let Some(ending) = Ending::ALL.into_iter().find(named) {
            return self.close(ending, note.trim().to_owned());
        }
        let (can, cannot) = guide::ends(self.job());
        for end in &cannot {
            self.console.say(&format!("It cannot end as \"{}\" yet: {}.", end.how.words(), end.words()))?;
        }
        let options: Vec<String> = can.iter().map(|end| format!("{} ({})", end.how.words(), end.how.short())).collect();
        match self.console.pick("How does it end?", &options)? {
            Picked::Option(at) => self.close(can[at].how, how.trim().to_owned()),
            Picked::Said(said) if Ending::ALL.iter().any(|e| said.eq_ignore_ascii_case(e.short())) => {
                self.close_as(&said)
            }
            Picked::Said(_) => {
                let names: Vec<&str> = can.iter().map(|end| end.how.short()).collect();
                self.console.say(&format!("The job stays open. Type close and one of: {}.", names.join(", ")))?;
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
