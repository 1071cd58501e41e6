//! The loop: what is suggested, what is answered, until the job is closed or the input ends.

use std::io;

use super::command::{Command, HELP};
use super::console::{Console, Picked};
use super::session::{Caution, Flow, Session};
use super::{search, show};
use crate::analysis::Analysis;
use crate::guide::Stands;
use crate::job::{Entry, tell};
use crate::model::Site;
use crate::plan::{Action, Suggestion};
use crate::shop::OpenJob;

/// Works a job by questions until it is closed, or until the input ends or says `quit`. `notes` are said first.
///
/// # Errors
/// The output or input fails. What was shown as saved is; [`OpenJob::make_sure`] tells of the rest.
pub fn run(open: &mut OpenJob, notes: &[String], console: &mut Console<'_>) -> io::Result<()> {
    open.pass_time();
    let mut session = Session::of(open, console);
    session.greet(notes)?;
    let analysis = Analysis::of(session.job().clone());
    Walk { session, analysis }.work()
}

/// A job at work, with what is believed and recommended.
struct Walk<'a, 'b> {
    session: Session<'a, 'b>,
    /// Of the job as it was when [`Walk::think`] was called last.
    analysis: Analysis,
}

impl Walk<'_, '_> {
    fn work(&mut self) -> io::Result<()> {
        loop {
            if let Some(how) = self.session.job().state().ended {
                self.session.console.say(&format!(
                    "Closed: {}. Head of the record: {}.",
                    how.words(),
                    self.session.open.head()
                ))?;
                return self
                    .session
                    .console
                    .say(&format!("Write it up with: roughrun report {}", self.session.open.id()));
            }
            self.think();
            let action = self.action();
            let line = match self.session.caution(action)? {
                Caution::End => None,
                Caution::Said(line) => {
                    if self.before_acknowledging(&line)? == Flow::Stop {
                        return Ok(());
                    }
                    continue;
                }
                Caution::Acknowledged => {
                    self.present(action)?;
                    self.session.console.ask(">")?
                }
            };
            let Some(line) = line else { return self.session.farewell() };
            // What is typed is entered by the clock; what is believed of it is worked out once, after it.
            self.session.open.pass_time();
            let command = Command::parse(&line);
            if self.handle(action, command)? == Flow::Stop {
                return Ok(());
            }
        }
    }

    /// What is to be done now: what was asked for, else the first suggestion that was not passed over.
    fn action(&self) -> Action {
        let next = self.analysis.advice_with_doubts().next.iter().map(|s| s.action);
        let suggested = next.clone().find(|a| !self.session.passed.contains(a)).or_else(|| next.clone().next());
        self.session.chosen.or(suggested).unwrap_or(Action::CloseNotFound)
    }

    fn suggestion(&self, action: Action) -> Option<&Suggestion> {
        self.analysis.advice_with_doubts().next.iter().find(|s| s.action == action)
    }

    /// Says the warnings, the spell and the action, once after each entry.
    fn present(&mut self, action: Action) -> io::Result<()> {
        if self.session.shown == Some(action) {
            return Ok(());
        }
        self.think();
        self.session.console.say("")?;
        for warning in self.session.job().warnings() {
            self.session.console.say(&format!("WARNING: {warning}"))?;
        }
        let job = &self.analysis;
        self.session.console.say(&show::spell(job))?;
        let stands = Stands::of(self.session.job());
        self.session.console.say(&format!("Stands: {}.", stands.line()))?;
        if let Some(asks) = stands.asks {
            self.session.console.say(&format!("{asks} Type still where it is; go on where it is not."))?;
        }
        for misfit in job.misfits().iter().filter(|misfit| misfit.does_not_fit()) {
            self.session.console.say(&format!("DOES NOT FIT: {}", misfit.told(job)))?;
        }
        for reminder in job.reminders() {
            self.session.console.say(&format!("Due: {}", reminder.words()))?;
        }
        for line in show::action(job, action, self.suggestion(action)) {
            self.session.console.say(&line)?;
        }
        for line in show::ways(job, action) {
            self.session.console.say(&line)?;
        }
        self.session.console.list(&show::options(job.model(), action))?;
        self.session.console.say(&show::accepted(job.model(), action))?;
        self.session.shown = Some(action);
        Ok(())
    }

    /// Works out the job as it is now, where something was entered since.
    fn think(&mut self) {
        let job = self.session.job();
        let (now, then) = (&job.state().setting, &self.analysis.state().setting);
        let stands = now.engine == then.engine && now.conditions == then.conditions;
        if job.next_number() != self.analysis.next_number() || !stands {
            self.analysis = Analysis::after(job.clone(), &self.analysis);
        }
    }

    /// A line typed where a caution waits: commands are taken, answers are not.
    fn before_acknowledging(&mut self, line: &str) -> io::Result<Flow> {
        self.think();
        let command = Command::parse(line);
        if matches!(command, Command::Number(_) | Command::Words(_) | Command::Again) {
            self.session
                .console
                .say("The caution comes first. Type yes to acknowledge it, or skip, other WORDS or quit.")?;
            return Ok(Flow::On);
        }
        let action = self.action();
        self.handle(action, command)
    }

    /// Does what was typed.
    fn handle(&mut self, action: Action, command: Command) -> io::Result<Flow> {
        match command {
            Command::Number(_) | Command::Words(_) | Command::Yes => return self.session.answered(action, &command),
            Command::Undo => self.undo()?,
            Command::Skip => self.skip(action)?,
            Command::NotPossible(why) => match action {
                Action::Check(id) => {
                    let check = &self.session.job().model()[id];
                    let entry = Entry::NotPossible { check: check.name.clone(), at: check.site, why };
                    self.session.enter(entry)?;
                }
                Action::Provoke(id) => {
                    let provocation = self.session.job().model()[id].name.clone();
                    self.session.enter(Entry::NotProvoked { provocation, why })?;
                }
                _ => {
                    let words = "Only a check or a way to provoke it can be not possible. Type skip to pass this over.";
                    self.session.console.say(words)?;
                }
            },
            Command::NoTool(words) => self.session.no_tool(action, &words)?,
            Command::State => self.say_all(&Stands::of(self.session.job()).page())?,
            Command::Still => self.session.still()?,
            Command::Engine(runs) => {
                self.session.enter(Entry::engine(runs))?;
            }
            Command::Note(text) => {
                self.session.enter(Entry::Note { text })?;
            }
            Command::Other(words) => return self.other(&words),
            Command::Conditions(levels) => {
                self.session.enter(Entry::Conditions { levels })?;
            }
            Command::Showing(showing) => {
                self.session.enter(Entry::Showing { showing, ran: false })?;
            }
            Command::Correct(name, at) => return self.correct(name, at),
            Command::Confirm(cause, at) => {
                let sites: Vec<Site> =
                    self.session.job().model().causes.iter().filter(|c| c.name == cause).map(|c| c.site).collect();
                if let Some(at) = self.site(at, &sites, "cause", &cause)? {
                    self.session.enter(Entry::Confirmed { cause, at })?;
                }
            }
            Command::Proof(showing) => {
                let entry = self.session.job().state().proof_run(self.session.job().model(), showing);
                let title = Action::ProofRun.title(self.session.job().model());
                return self.session.enter_with_cautions(&title, Action::ProofRun, entry);
            }
            Command::Also(name, _) if name.is_empty() => return self.session.something_else(None),
            Command::Also(complaint, at) => {
                let model = self.session.job().model();
                let sites: Vec<Site> =
                    model.complaints.iter().filter(|c| c.name == complaint).map(|c| c.site).collect();
                if let Some(at) = self.site(at, &sites, "complaint", &complaint)? {
                    let reported = crate::job::Levels::new();
                    self.session.enter(Entry::Complained { complaint, at, reported })?;
                }
            }
            Command::Why => {
                let lines = self.suggestion(action).map_or_else(
                    || vec!["This one was asked for; the plan has no forecast for it.".to_owned()],
                    |suggestion| show::why(&self.analysis, suggestion),
                );
                self.say_all(&lines)?;
            }
            Command::Ranking => {
                let lines = show::ranking(&self.analysis);
                self.say_all(&lines)?;
            }
            Command::Because(cause, at) => {
                let sites: Vec<Site> =
                    self.session.job().model().causes.iter().filter(|c| c.name == cause).map(|c| c.site).collect();
                let at = self.site(at, &sites, "cause", &cause)?;
                if let Some(id) = at.and_then(|at| self.session.job().model().find_cause(&cause, at)) {
                    self.say_all(&show::because(&self.analysis, id))?;
                }
            }
            Command::Again => self.session.shown = None,
            Command::Close(how) => return self.session.close_as(&how),
            Command::Save(folder) => self.session.save(&folder)?,
            Command::Quit => return self.session.farewell().map(|()| Flow::Stop),
            Command::Help => {
                for (typed, does) in HELP {
                    self.session.console.say(&format!("  {typed}: {does}"))?;
                }
            }
            Command::Wrong(accepted) => self.session.console.say(&accepted)?,
        }
        Ok(Flow::On)
    }

    fn say_all(&mut self, lines: &[String]) -> io::Result<()> {
        lines.iter().try_for_each(|line| self.session.console.say(line))
    }

    fn undo(&mut self) -> io::Result<()> {
        match self.session.open.undo() {
            Ok(Some((saved, entry))) => {
                self.session.chosen = None;
                self.session.passed.clear();
                self.session.shown = None;
                let words = tell(self.session.job().model(), &entry);
                self.session.told(&saved)?;
                self.session.console.say(&format!("Taken back: {words}. It stays in the record, marked."))
            }
            Ok(None) => self.session.console.say("There is nothing to take back: only the opening stands."),
            Err(fault) => self.session.not_entered(&fault),
        }
    }

    fn skip(&mut self, action: Action) -> io::Result<()> {
        match action {
            Action::Check(id) => {
                let check = &self.session.job().model()[id];
                let entry = Entry::Skipped { check: check.name.clone(), at: check.site };
                let passed = std::mem::take(&mut self.session.passed);
                self.session.enter(entry)?;
                self.session.passed = passed;
            }
            other => {
                self.session.chosen = None;
                self.session.shown = None;
                self.session.passed.insert(other);
                if self.analysis.advice_with_doubts().next.iter().all(|s| self.session.passed.contains(&s.action)) {
                    self.session.passed.clear();
                    self.session.console.say(
                        "There is no other suggestion; they begin again. Type other WORDS to choose a check, or close.",
                    )?;
                } else {
                    self.session.console.say("Passed over for now.")?;
                }
            }
        }
        Ok(())
    }

    fn other(&mut self, words: &str) -> io::Result<Flow> {
        let found: Vec<Action> = if words.trim().is_empty() {
            self.analysis.advice_with_doubts().next.iter().map(|s| s.action).collect()
        } else {
            search::find(self.session.job(), words)
        };
        if found.is_empty() {
            self.session
                .console
                .say(&format!("Nothing has \"{words}\" in its title, name or site. Try one word of it."))?;
            return Ok(Flow::On);
        }
        let title = |action: &Action| match self.suggestion(*action) {
            Some(suggestion) => suggestion.title(self.session.job().model()),
            None => action.title(self.session.job().model()),
        };
        let titles: Vec<String> = found.iter().map(title).collect();
        match self.session.console.pick("Which one?", &titles)? {
            Picked::Option(at) => {
                self.session.chosen = found.get(at).copied();
                self.session.shown = None;
            }
            Picked::Said(said) if said.is_empty() => self.session.console.say("Nothing was chosen.")?,
            Picked::Said(said) => match Command::parse(&said) {
                Command::Number(_) | Command::Words(_) => {
                    self.session.console.say(&format!(
                        "Nothing was chosen: type other and then a number from 1 to {}.",
                        titles.len()
                    ))?;
                }
                command => {
                    let action =
                        self.session.chosen.or_else(|| found.first().copied()).unwrap_or(Action::CloseNotFound);
                    return self.handle(action, command);
                }
            },
            Picked::End => return self.session.farewell().map(|()| Flow::Stop),
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
                self.session
                    .console
                    .say(&format!("The {what} {name} is at several sites. Add at and one of: {}.", words.join(", ")))?;
                Ok(None)
            }
        }
    }

    fn correct(&mut self, correction: String, at: Option<Site>) -> io::Result<Flow> {
        let model = self.session.job().model();
        let sites: Vec<Site> = model.corrections.iter().filter(|c| c.name == correction).map(|c| c.site).collect();
        let Some(at) = self.site(at, &sites, "correction", &correction)? else { return Ok(Flow::On) };
        let model = self.session.job().model();
        let entry = Entry::Corrected { correction, at };
        let title = tell(model, &entry);
        match entry.action(model) {
            Some(action) => self.session.enter_with_cautions(&title, action, entry),
            None => self.session.enter(entry).map(|_| Flow::On),
        }
    }
}
