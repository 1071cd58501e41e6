//! A job at the console: what is asked, answered and entered, the same at work and in practice. Nothing that is
//! believed or recommended can be reached from here.

use std::collections::BTreeSet;
use std::io;

use super::answer::{Meant, meant};
use super::command::Command;
use super::console::{Console, Picked};
use super::show;
use crate::guide;
use crate::job::{Ending, Entry, Job, Refusal, tell};
use crate::plan::Action;
use crate::shop::OpenJob;

/// A job and the console it is worked at.
pub(super) struct Session<'a, 'b> {
    pub(super) open: &'a mut OpenJob,
    pub(super) console: &'a mut Console<'b>,
    /// An action that was asked for instead of the suggestion.
    pub(super) chosen: Option<Action>,
    /// Suggestions passed over that are no checks.
    pub(super) passed: BTreeSet<Action>,
    /// What was said in full since the last entry.
    pub(super) shown: Option<Action>,
}

/// Whether to go on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Flow {
    On,
    Stop,
}

/// How a caution was answered.
pub(super) enum Caution {
    Acknowledged,
    Said(String),
    End,
}

impl<'a, 'b> Session<'a, 'b> {
    pub(super) fn of(open: &'a mut OpenJob, console: &'a mut Console<'b>) -> Self {
        Self { open, console, chosen: None, passed: BTreeSet::new(), shown: None }
    }
}

impl Session<'_, '_> {
    pub(super) fn job(&self) -> &Job {
        self.open.job()
    }

    pub(super) fn greet(&mut self, notes: &[String]) -> io::Result<()> {
        let model = self.job().model();
        let complaint = &model[self.job().state().complaint];
        let title = format!("{}, {}", complaint.title, model.site_words(complaint.site));
        let engine = format!("{} ({})", model.layout.title, model.layout.name);
        self.console.say(&format!("Job {}: {title}. {engine}.", self.open.id()))?;
        self.console.say("Follow the manufacturer's current instructions and local rules; only a person authorised to do so returns the aircraft to service.")?;
        for note in notes {
            self.console.say(&format!("About the record: {note}"))?;
        }
        // From the report on, and before anything is suggested.
        for warning in self.job().warnings() {
            self.console.say(&format!("WARNING: {warning}"))?;
        }
        match self.open.kept() {
            Ok(kept) => {
                let at_once = kept.words_before();
                self.console.say(&format!("{at_once} Type help for what can be typed, quit to stop."))
            }
            Err(fault) => {
                self.console.say(&fault.to_string())?;
                self.console.say("Type help for what can be typed, quit to stop.")
            }
        }
    }

    /// Says each caution of an action that has to be acknowledged, and waits for it.
    pub(super) fn caution(&mut self, action: Action) -> io::Result<Caution> {
        let title = action.title(self.job().model());
        self.cautions(&title, action)
    }

    fn cautions(&mut self, title: &str, action: Action) -> io::Result<Caution> {
        loop {
            let job = self.open.job();
            let Some(hazard) = job.state().cautions(job.model(), action).first().copied() else {
                return Ok(Caution::Acknowledged);
            };
            let hazard = job.model()[hazard].clone();
            self.console.say("")?;
            self.console.say(&format!("CAUTION before: {title}"))?;
            self.console.say(&format!("CAUTION: {}. {}", hazard.title, hazard.caution))?;
            let asked = self.console.ask("Type yes once you have read it and made sure of it, or a command:")?;
            let Some(line) = asked else { return Ok(Caution::End) };
            if !matches!(Command::parse(&line), Command::Yes) {
                return Ok(Caution::Said(line));
            }
            if !self.enter(Entry::Acknowledged { hazard: hazard.name })? {
                return Ok(Caution::Said("again".to_owned()));
            }
        }
    }

    /// An entry that has cautions of its own: entered once they are acknowledged.
    pub(super) fn enter_with_cautions(&mut self, title: &str, action: Action, entry: Entry) -> io::Result<Flow> {
        match self.cautions(title, action)? {
            Caution::Acknowledged => {
                self.enter(entry)?;
                Ok(Flow::On)
            }
            Caution::Said(_) => {
                self.console.say("The caution was not acknowledged, so nothing was entered.")?;
                Ok(Flow::On)
            }
            Caution::End => self.farewell().map(|()| Flow::Stop),
        }
    }

    /// Takes an answer to the action.
    pub(super) fn answered(&mut self, action: Action, command: &Command) -> io::Result<Flow> {
        let entry = match meant(self.job(), action, command) {
            Meant::Entry(entry) => entry,
            Meant::OutcomeOrReading { outcome, title, reading, typed } => {
                let options = [format!("The outcome: {title}"), format!("A reading of {typed}")];
                let else_say = "Nothing was entered. Give the reading with its unit, or the outcome by its name.";
                match self.either("Which is meant?", &options, else_say)? {
                    Ok(true) => outcome,
                    Ok(false) => reading,
                    Err(flow) => return Ok(flow),
                }
            }
            Meant::SomethingElse(run) => return self.something_else(Some(run)),
            Meant::Close(how) => return self.close(how, String::new()),
            Meant::Nothing => {
                let accepted = show::accepted(self.job().model(), action);
                self.console.say(&format!("That is not understood. {accepted}"))?;
                return Ok(Flow::On);
            }
        };
        let entry = match guide::slip(self.job(), &entry) {
            None => entry,
            Some((typed, meant)) => {
                let options = [format!("{meant}: the unit slipped"), format!("{typed}, as typed")];
                let else_say = "Nothing was entered. Read it again, and give it with its unit.";
                match self.either("That is far from ordinary. Which is it?", &options, else_say)? {
                    Ok(first) => guide::read_as(entry, first.then_some(meant)),
                    Err(flow) => return Ok(flow),
                }
            }
        };
        let entry = if guide::asks_sight(self.job().model(), &entry) {
            let options = guide::SIGHT_ANSWERS.map(|(answer, means)| format!("{answer}: {means}"));
            let else_say = "Nothing was entered: say first whether it was seen or only looks so.";
            match self.either(guide::SIGHT_QUESTION, &options, else_say)? {
                Ok(true) => entry,
                Ok(false) => guide::only_looks_so(entry),
                Err(flow) => return Ok(flow),
            }
        } else {
            entry
        };
        let number = self.job().next_number();
        if self.enter(entry)? {
            return self.judged(number);
        }
        Ok(Flow::On)
    }

    /// Asks which of two: whether it is the first, or how it goes on where neither was taken, after these words.
    fn either(&mut self, question: &str, options: &[String; 2], else_say: &str) -> io::Result<Result<bool, Flow>> {
        Ok(match self.console.pick(question, options)? {
            Picked::Option(at) => Ok(at == 0),
            Picked::Said(_) => {
                self.console.say(else_say)?;
                Err(Flow::On)
            }
            Picked::End => {
                self.farewell()?;
                Err(Flow::Stop)
            }
        })
    }

    /// Closes the job. Where the record bears another end out, that is said and nothing is entered; where a reason is wanted, it is asked.
    pub(super) fn close(&mut self, how: Ending, note: String) -> io::Result<Flow> {
        // Whether it was there in the work is the record's word, not a choice.
        let borne_out = self.job().state().borne_out(self.job().model(), how);
        let how = if how.is_lost() && borne_out.is_lost() { borne_out } else { how };
        let mut note = note;
        if let Err(why @ Refusal::SayWhy(_)) = self.job().test(&Entry::closed(how, note.clone())) {
            self.console.say(&format!("{why}."))?;
            match self.console.ask("The reason, in a few words:")? {
                None => return self.farewell().map(|()| Flow::Stop),
                Some(line) => line.trim().clone_into(&mut note),
            }
        }
        self.enter(Entry::closed(how, note))?;
        Ok(Flow::On)
    }

    /// The input has ended: what waits is tried once more, and it is said what came of it.
    pub(super) fn farewell(&mut self) -> io::Result<()> {
        match self.open.make_sure() {
            Ok(sure) => {
                if let Some(told) = &sure.told {
                    self.console.say(told)?;
                }
                self.console.say(&sure.kept.words_of_place())?;
            }
            Err(fault) => {
                self.console.say(&fault.to_string())?;
                if let Some(entry) = self.open.waiting() {
                    let lost = tell(self.open.job().model(), entry);
                    self.console.say(&format!("Write it down: this entry is lost now: {lost}."))?;
                }
            }
        }
        self.console.say(&format!("Go on with: roughrun resume {} --plain", self.open.id()))
    }
}
