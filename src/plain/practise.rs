//! Practice line by line: one chooses what to do, the engine answers, and nothing is recommended unless it is asked for.

use std::io;

use super::command::Command;
use super::console::{Console, Picked};
use super::session::{Caution, Flow, Session};
use super::{search, show};
use crate::analysis::Analysis;
use crate::job::{Ending, Entry, Levels, tell};
use crate::model::{CauseId, CorrectionId, Seen};
use crate::plan::Action;
use crate::practise::{Bout, Debrief};
use crate::shop::OpenJob;
use crate::study::Lesson;

/// What can be typed in practice.
const HELP: &[(&str, &str)] = &[
    ("other WORDS", "choose a check, provocation, correction or run by words of its title or place"),
    ("run", "choose to run the engine and see whether the complaint shows"),
    ("proof", "choose the proof run under the reported conditions"),
    ("correct NAME at SITE", "choose a correction"),
    ("do", "do what is chosen: the engine answers"),
    ("suspect WORDS 60", "say which cause you suspect, by name or words, and how sure you are in per cent"),
    ("hint", "what the planner would do, and the leading causes; it costs points"),
    ("entries", "what was done so far"),
    ("note WORDS", "a note for the record"),
    ("close cured", "close the job: cured, handed-over, not-found or stopped"),
    ("again", "say it again"),
    ("quit", "stop for now; the job is gone on with later"),
];

/// Works a practice job until it is closed, or until the input ends or says `quit`. A lesson says its idea first.
///
/// # Errors
/// The output or input fails. What was shown as saved is; [`OpenJob::make_sure`] tells of the rest.
pub fn practise<'a>(
    open: &'a mut OpenJob,
    bout: Bout,
    lesson: Option<&'a Lesson>,
    notes: &[String],
    console: &'a mut Console<'_>,
) -> io::Result<()> {
    let mut session = Session::of(open, console);
    session.greet(notes)?;
    session
        .console
        .say(&format!("Practice: {}. The engine is invented, and its fault is hidden.", bout.terms.words()))?;
    if let Some(lesson) = lesson {
        session.console.say(&lesson.title)?;
        lesson.idea.iter().try_for_each(|paragraph| session.console.say(paragraph))?;
    }
    Practice { session, bout, lesson, said: false }.work()
}

struct Practice<'a, 'b> {
    session: Session<'a, 'b>,
    bout: Bout,
    lesson: Option<&'a Lesson>,
    /// Whether it was said, or asked, what is suspected since the last check.
    said: bool,
}

impl Practice<'_, '_> {
    fn say(&mut self, words: &str) -> io::Result<()> {
        self.session.console.say(words)
    }

    fn work(&mut self) -> io::Result<()> {
        let mut shown = false;
        loop {
            if self.session.job().state().ended.is_some() {
                return self.ended();
            }
            if !shown {
                self.present()?;
            }
            let Some(line) = self.session.console.ask(">")? else { return self.session.farewell() };
            let entries = self.session.job().log().len();
            let chosen = self.session.chosen;
            if self.take(&line)? == Flow::Stop {
                return self.session.farewell();
            }
            let again = line.trim().eq_ignore_ascii_case("again");
            shown = !again && entries == self.session.job().log().len() && chosen == self.session.chosen;
        }
    }

    /// How things stand, and what is chosen.
    fn present(&mut self) -> io::Result<()> {
        self.say("")?;
        for warning in self.session.job().warnings() {
            self.say(&format!("WARNING: {warning}"))?;
        }
        let job = self.session.job();
        let lines = match self.session.chosen {
            None => vec![
                show::spell_only(job),
                "What do you do next? Choose with other WORDS, run, proof or close; help lists everything.".to_owned(),
            ],
            Some(action) => {
                let mut lines = vec![show::spell_only(job)];
                lines.extend(show::action(job, action, None));
                lines.push("Type do and the engine answers, or choose another.".to_owned());
                lines
            }
        };
        lines.iter().try_for_each(|line| self.say(line))
    }

    fn take(&mut self, line: &str) -> io::Result<Flow> {
        let (word, rest) = line.trim().split_once(char::is_whitespace).unwrap_or((line.trim(), ""));
        match word.to_ascii_lowercase().as_str() {
            "" => return Ok(Flow::On),
            "do" => return self.carry_out(),
            "run" => self.choose(Action::SeeWhetherItShows),
            "proof" => self.choose(Action::ProofRun),
            "suspect" => self.suspect(rest)?,
            "hint" => self.hint()?,
            "entries" => {
                let job = self.session.job();
                let told = |l: &crate::job::Logged| format!("{:>3} {}", l.number, tell(job.model(), &l.entry));
                let lines: Vec<String> = job.log().iter().map(told).collect();
                lines.iter().try_for_each(|line| self.say(line))?;
            }
            _ => return self.command(line),
        }
        Ok(Flow::On)
    }

    fn command(&mut self, line: &str) -> io::Result<Flow> {
        match Command::parse(line) {
            Command::Other(words) => return self.other(&words),
            Command::Correct(name, at) => {
                let model = self.session.job().model();
                let fits = |id: &CorrectionId| model[*id].name == name && at.is_none_or(|at| model[*id].site == at);
                let found: Vec<CorrectionId> = (0..model.corrections.len()).map(CorrectionId).filter(fits).collect();
                match found.as_slice() {
                    [only] => self.choose(Action::Correct(*only)),
                    [] => self.say("There is no such correction here. Find it with other and a word of its title.")?,
                    several => {
                        let sites: Vec<String> = several.iter().map(|id| model[*id].site.to_string()).collect();
                        self.say(&format!("It is at several places. Add at and one of: {}.", sites.join(", ")))?;
                    }
                }
            }
            Command::Note(text) => {
                self.session.enter(Entry::Note { text })?;
            }
            Command::Close(how) => return self.session.close_as(&how),
            Command::Save(folder) => self.session.save(&folder)?,
            Command::Quit => return Ok(Flow::Stop),
            Command::Help => HELP.iter().try_for_each(|(typed, does)| self.say(&format!("  {typed}: {does}")))?,
            Command::Again => {}
            Command::Skip => self.session.chosen = None,
            Command::Undo => self.say("In practice what is done is done: the engine remembers it.")?,
            Command::Conditions(_) | Command::Showing(_) => {
                self.say(
                    "In practice conditions change by what is done. Choose a provocation with other, or type run.",
                )?;
            }
            Command::Why | Command::Ranking | Command::Because(..) => {
                self.say("That is hidden in practice. Type hint to see it; it costs points.")?;
            }
            _ => self.say("That is not understood. Type other and a word of what you want to do, do, or help.")?,
        }
        Ok(Flow::On)
    }

    fn choose(&mut self, action: Action) {
        self.session.chosen = Some(action);
    }

    fn other(&mut self, words: &str) -> io::Result<Flow> {
        if words.trim().is_empty() {
            self.say("Type other and a word of what you want to do: other drop, other plug left 3, other warm.")?;
            return Ok(Flow::On);
        }
        let found = search::find(self.session.job(), words);
        let titles: Vec<String> = found.iter().map(|a| a.title(self.session.job().model())).collect();
        match found.as_slice() {
            [] => self.say(&format!("Nothing has \"{words}\" in its title, name or site. Try one word of it."))?,
            [only] => self.choose(*only),
            several => match self.session.console.pick("Which one?", &titles)? {
                Picked::Option(at) => {
                    if let Some(action) = several.get(at) {
                        self.choose(*action);
                    }
                }
                Picked::Said(_) => self.say("Nothing was chosen.")?,
                Picked::End => return Ok(Flow::Stop),
            },
        }
        Ok(Flow::On)
    }

    /// Does what is chosen, its cautions first.
    fn carry_out(&mut self) -> io::Result<Flow> {
        let Some(action) = self.session.chosen else {
            self.say("Nothing is chosen yet. Type other and a word of what you want to do.")?;
            return Ok(Flow::On);
        };
        if matches!(action, Action::Check(_)) && !self.said {
            self.said = true;
            let ask = "What do you suspect, and how sure are you? WORDS and a per cent, or nothing:";
            match self.session.console.ask(ask)? {
                None => return Ok(Flow::Stop),
                Some(line) if line.trim().is_empty() => {}
                Some(line) => self.suspect(&line)?,
            }
        }
        match self.session.caution(action)? {
            Caution::Acknowledged => {}
            Caution::End => return Ok(Flow::Stop),
            Caution::Said(_) => {
                self.say("The caution was not acknowledged, so nothing was done. Type do again, or choose another.")?;
                return Ok(Flow::On);
            }
        }
        // Acknowledging is an entry, which leaves the choice as it is.
        let Some(entry) = self.bout.answer(self.session.job(), action, &Levels::default()) else {
            self.say("Close the job with close cured, handed-over, not-found or stopped.")?;
            return Ok(Flow::On);
        };
        let number = self.session.job().next_number();
        if self.session.enter(entry)? {
            self.said &= !matches!(action, Action::Check(_));
            self.judged(number)?;
        }
        Ok(Flow::On)
    }

    /// What the limit says of a reading.
    fn judged(&mut self, number: u64) -> io::Result<()> {
        let job = self.session.job();
        let Some(given) = job.state().given.iter().find(|g| g.number == number) else { return Ok(()) };
        let check = &job.model()[given.check];
        let seen = given.seen().map(|seen: Seen| format!("It reads as: {}.", check.outcome_title(seen)));
        // Where the eye told, the limit has nothing to ask.
        let words = match &given.judged {
            Some(Ok(judged)) if given.chosen.is_none() => Some(judged.words.clone()),
            _ => None,
        };
        let lines: Vec<String> = words.into_iter().chain(seen).collect();
        lines.iter().try_for_each(|line| self.say(line))
    }

    /// Takes what is suspected: words that name a cause, and a per cent.
    fn suspect(&mut self, line: &str) -> io::Result<()> {
        let (line, why) = line.split_once(" because ").unwrap_or((line, ""));
        let trimmed = line.trim().trim_end_matches('%').trim();
        let sure = trimmed.rsplit(char::is_whitespace).next().and_then(|n| n.parse::<f64>().ok());
        let Some(sure) = sure.filter(|p| (0.0..=100.0).contains(p)) else {
            return self.say("End with how sure you are in per cent, 0 to 100: suspect lead open left 3 60");
        };
        let words = trimmed.rsplit_once(char::is_whitespace).map_or("", |(words, _)| words);
        let job = self.session.job();
        let found = search::causes(job, words);
        let titles: Vec<String> = found.iter().map(|id: &CauseId| job.model().cause_words(*id)).collect();
        let cause = match found.as_slice() {
            [] => return self.say(&format!("No cause has \"{words}\" in its name, title or place.")),
            [only] => *only,
            several => match self.session.console.pick("Which one?", &titles)? {
                Picked::Option(at) => several.get(at).copied().unwrap_or(several[0]),
                _ => return self.say("Nothing was taken."),
            },
        };
        let of = &self.session.job().model()[cause];
        let entry =
            Entry::Suspected { cause: of.name.clone(), at: of.site, sure: sure / 100.0, why: why.trim().to_owned() };
        let chosen = self.session.chosen;
        self.said = self.session.enter(entry)?;
        self.session.chosen = chosen;
        Ok(())
    }

    fn hint(&mut self) -> io::Result<()> {
        let chosen = self.session.chosen;
        if !self.session.enter(Entry::Hinted)? {
            return Ok(());
        }
        self.session.chosen = chosen;
        let job = Analysis::of(self.session.job().clone());
        let mut lines: Vec<String> = Vec::new();
        if let Some(first) = job.advice().first() {
            lines.push(format!("The planner would: {}. {}", first.action.title(job.model()), first.why));
        }
        lines.extend(show::ranking(&job).into_iter().take(5));
        lines.iter().try_for_each(|line| self.say(line))
    }

    /// The end: what was hidden, and what there is to say of it.
    fn ended(&mut self) -> io::Result<()> {
        let job = self.session.job();
        let how = job.state().ended.unwrap_or(Ending::Stopped);
        let debrief = Debrief::of(&self.bout, job, self.lesson);
        let closing = debrief.closing();
        self.say(&format!("Closed: {}.", how.words()))?;
        if !job_has_closing(self.session.job()) {
            self.session.enter(Entry::Note { text: closing })?;
        }
        debrief.text().lines().try_for_each(|line| self.say(line))?;
        let id = self.session.open.id().to_owned();
        self.say(&format!("Read it again with: roughrun practise debrief {id}"))
    }
}

/// Whether the note that a practice job ends with is in it already.
fn job_has_closing(job: &crate::job::Job) -> bool {
    job.log().last().is_some_and(|l| matches!(l.entry, Entry::Note { .. }))
}
