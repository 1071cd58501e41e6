//! The loop: what is suggested, what is answered, until the job is closed or the input ends.

use std::collections::BTreeSet;
use std::io;

use super::answer::{Meant, meant};
use super::command::Command;
use super::console::{Console, Picked};
use super::show;
use crate::guide::Stands;
use crate::job::{Ending, Entry, Job};
use crate::plan::{Action, Suggestion};
use crate::shop::OpenJob;

/// Works a job by questions until it is closed, or until the input ends or says `quit`. `notes` are said first.
///
/// # Errors
/// The output or input fails. Everything answered before is saved.
pub fn run(open: OpenJob, notes: &[String], console: &mut Console<'_>) -> io::Result<()> {
    let mut session = Session::of(open, console);
    session.greet(notes)?;
    session.work()
}

pub(super) struct Session<'a, 'b> {
    pub(super) open: OpenJob,
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
    pub(super) fn of(open: OpenJob, console: &'a mut Console<'b>) -> Self {
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
        self.console.say("Each answer is saved at once. Type help for what can be typed, quit to stop.")
    }

    fn work(&mut self) -> io::Result<()> {
        loop {
            if let Some(how) = self.job().state().ended {
                self.console.say(&format!("Closed: {}. Head of the record: {}.", how.words(), self.open.head()))?;
                return self.console.say(&format!("Write it up with: roughrun report {}", self.open.id()));
            }
            let action = self.action();
            let line = match self.caution(action)? {
                Caution::End => None,
                Caution::Said(line) => {
                    if self.before_acknowledging(&line)? == Flow::Stop {
                        return Ok(());
                    }
                    continue;
                }
                Caution::Acknowledged => {
                    self.present(action)?;
                    self.console.ask(">")?
                }
            };
            let Some(line) = line else { return self.farewell() };
            let command = Command::parse(&line);
            if self.handle(action, command)? == Flow::Stop {
                return Ok(());
            }
        }
    }

    /// What is to be done now: what was asked for, else the first suggestion that was not passed over.
    fn action(&self) -> Action {
        let next = self.job().advice().next.iter().map(|s| s.action);
        let suggested = next.clone().find(|a| !self.passed.contains(a)).or_else(|| next.clone().next());
        self.chosen.or(suggested).unwrap_or(Action::CloseNotFound)
    }

    pub(super) fn suggestion(&self, action: Action) -> Option<&Suggestion> {
        self.job().advice().next.iter().find(|s| s.action == action)
    }

    /// Says the warnings, the spell and the action, once after each entry.
    fn present(&mut self, action: Action) -> io::Result<()> {
        if self.shown == Some(action) {
            return Ok(());
        }
        self.console.say("")?;
        for warning in self.job().warnings() {
            self.console.say(&format!("WARNING: {warning}"))?;
        }
        let job = self.open.job();
        self.console.say(&show::spell(job))?;
        let stands = Stands::of(job);
        self.console.say(&format!("Stands: {}.", stands.line()))?;
        if let Some(asks) = stands.asks {
            self.console.say(&format!("{asks} Type still where it is; go on where it is not."))?;
        }
        for reminder in job.reminders() {
            self.console.say(&format!("Due: {}", reminder.words()))?;
        }
        let suggestion = job.advice().next.iter().find(|s| s.action == action);
        for line in show::action(job, action, suggestion) {
            self.console.say(&line)?;
        }
        for line in show::ways(job, action) {
            self.console.say(&line)?;
        }
        self.console.list(&show::options(job.model(), action))?;
        self.console.say(&show::accepted(job.model(), action))?;
        self.shown = Some(action);
        Ok(())
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

    /// A line typed where a caution waits: commands are taken, answers are not.
    fn before_acknowledging(&mut self, line: &str) -> io::Result<Flow> {
        let command = Command::parse(line);
        if matches!(command, Command::Number(_) | Command::Words(_) | Command::Again) {
            self.console.say("The caution comes first. Type yes to acknowledge it, or skip, other WORDS or quit.")?;
            return Ok(Flow::On);
        }
        let action = self.action();
        self.handle(action, command)
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
                match self.console.pick("Which is meant?", &options)? {
                    Picked::Option(0) => outcome,
                    Picked::Option(_) => reading,
                    Picked::Said(_) => {
                        self.console
                            .say("Nothing was entered. Give the reading with its unit, or the outcome by its name.")?;
                        return Ok(Flow::On);
                    }
                    Picked::End => return self.farewell().map(|()| Flow::Stop),
                }
            }
            Meant::Close(how) => return self.close(how, String::new()),
            Meant::Nothing => {
                let accepted = show::accepted(self.job().model(), action);
                self.console.say(&format!("That is not understood. {accepted}"))?;
                return Ok(Flow::On);
            }
        };
        let number = self.job().next_number();
        if self.enter(entry)? {
            return self.judged(number);
        }
        Ok(Flow::On)
    }

    /// Closes the job, and asks again where no proof run has passed.
    pub(super) fn close(&mut self, how: Ending, note: String) -> io::Result<Flow> {
        if how == Ending::Cured && !self.job().state().proof_passed() {
            self.console.say("No proof run has passed since the last correction.")?;
            match self.console.ask("Type yes to close the job as cured all the same:")? {
                None => return self.farewell().map(|()| Flow::Stop),
                Some(line) if matches!(Command::parse(&line), Command::Yes) => {}
                Some(_) => {
                    self.console.say("The job stays open.")?;
                    return Ok(Flow::On);
                }
            }
        }
        self.enter(Entry::Closed { how, note })?;
        Ok(Flow::On)
    }

    /// The input has ended.
    pub(super) fn farewell(&mut self) -> io::Result<()> {
        self.console.say(&format!("Everything entered is saved in {}.", self.open.file().display()))?;
        self.console.say(&format!("Go on with: roughrun resume {} --plain", self.open.id()))
    }
}
