//! What is in front of the mechanic: one thing to do, and the answers to it with a letter each.
//!
//! Owns the one place where a suggestion becomes a question. Must not draw, and must not know keys of commands.

use crate::job::{Answer, Entry, Job, Levels, Logged, Refusal};
use crate::model::{Check, CheckId, HazardId, Model, Seen};
use crate::plan::{Action, Advice, Suggestion};

/// Letters that move or are easily hit by mistake; never an answer.
const KEPT_FREE: [char; 5] = ['h', 'j', 'k', 'l', 'q'];
/// The letter that acknowledges a caution: a second press by habit must not answer the check behind it.
const ACKNOWLEDGES: char = 'a';

/// What choosing an answer does.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Meaning {
    /// This is entered.
    Enter(Box<Entry>),
    /// The closing is begun with this ending first.
    Close,
    /// It did not show in this run, but something else did: what, is asked.
    SomethingElse,
    /// In practice, it is done, and the engine answers.
    Engine,
}

/// One answer to the question in front.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Choice {
    /// Its letter; none when the alphabet ran out.
    pub key: Option<char>,
    /// Its words.
    pub title: String,
    /// What was seen, where it is an outcome or showing.
    pub seen: Option<Seen>,
    /// What choosing it does.
    pub meaning: Meaning,
}

/// The thing in front.
#[derive(Debug, Clone)]
pub(super) struct Front {
    /// What to do.
    pub action: Action,
    /// What the planner says of it, where it was suggested.
    pub suggestion: Option<Suggestion>,
    /// Whether it comes first among the suggestions.
    pub is_first: bool,
    /// Its hazards.
    pub hazards: Vec<HazardId>,
    /// The answers.
    pub choices: Vec<Choice>,
}

impl Front {
    /// The thing in front: the one chosen, else what is suggested first, where that is worked out.
    #[must_use]
    pub(super) fn of(job: &Job, advice: Option<&Advice>, chosen: Option<Action>, run_levels: &Levels) -> Option<Self> {
        if job.state().ended.is_some() {
            return None;
        }
        // What is suggested follows when it is worked out; what was chosen need not wait for it.
        let first = advice.and_then(|a| a.first()).map(|s| s.action);
        let action = chosen.or(first)?;
        let suggestion = advice.and_then(|a| a.next.iter().find(|s| s.action == action).cloned());
        let model = job.model();
        let run_levels = if run_levels.is_empty() { job.state().proof_levels(model) } else { run_levels.clone() };
        Some(Self {
            action,
            suggestion,
            is_first: first == Some(action),
            hazards: job.state().now_for_work(model).cautions(action),
            choices: choices(model, action, &run_levels),
        })
    }

    /// The same in practice, where the engine answers whatever is done.
    #[must_use]
    pub(super) fn in_practice(mut self, model: &Model) -> Self {
        let is_end = matches!(self.action, Action::CloseCured | Action::CloseHandedOver | Action::CloseNotFound);
        if !is_end {
            let title = match self.action {
                Action::Check(id) if model[id].limit.is_some() => "Measure it: the engine answers",
                Action::Provoke(_) | Action::Correct(_) => "Do it",
                _ => "Do it: the engine answers",
            };
            let done = Choice { key: Some('d'), title: title.to_owned(), seen: None, meaning: Meaning::Engine };
            self.choices = vec![done];
        }
        self
    }

    /// What is entered where this run does not show what is looked for.
    #[must_use]
    pub(super) fn not_showing(&self) -> Option<Entry> {
        self.choices.iter().find_map(|choice| match &choice.meaning {
            Meaning::Enter(entry) if choice.seen == Some(Seen::Normal) => Some((**entry).clone()),
            _ => None,
        })
    }

    /// The check in front, where it is one.
    #[must_use]
    pub(super) fn check(&self) -> Option<CheckId> {
        match self.action {
            Action::Check(id) => Some(id),
            _ => None,
        }
    }

    /// The choice of a letter.
    #[must_use]
    pub(super) fn by_key(&self, key: char) -> Option<usize> {
        self.choices.iter().position(|c| c.key == Some(key))
    }
}

fn choices(model: &Model, action: Action, run_levels: &Levels) -> Vec<Choice> {
    let one = |key, title: &str, seen, entry| Choice {
        key: Some(key),
        title: title.to_owned(),
        seen,
        meaning: Meaning::Enter(Box::new(entry)),
    };
    match action {
        Action::Check(id) => outcomes(&model[id]),
        Action::SeeWhetherItShows => vec![
            one('n', "No, it does not show", Some(Seen::Normal), Entry::Showing { showing: Some(false), ran: true }),
            one('y', "Yes, it shows", Some(Seen::Abnormal(0)), Entry::Showing { showing: Some(true), ran: true }),
            something_else(),
        ],
        Action::ProofRun => {
            let run = |showing| Entry::ProofRun { showing, levels: run_levels.clone() };
            vec![
                one('n', "No, the complaint did not show", Some(Seen::Normal), run(false)),
                one('y', "Yes, the complaint showed", Some(Seen::Abnormal(0)), run(true)),
                something_else(),
            ]
        }
        Action::Provoke(id) => {
            let provocation = model[id].name.clone();
            vec![one('d', "Done, go on under these conditions", None, Entry::Provoked { provocation })]
        }
        Action::Correct(id) => {
            let (correction, at) = (model[id].name.clone(), model[id].site);
            vec![one('d', "Done, it is put right", None, Entry::Corrected { correction, at })]
        }
        Action::CloseCured | Action::CloseHandedOver | Action::CloseNotFound => {
            vec![Choice { key: Some('d'), title: "Close the job".into(), seen: None, meaning: Meaning::Close }]
        }
    }
}

fn something_else() -> Choice {
    Choice { key: Some('e'), title: "Something else showed".into(), seen: None, meaning: Meaning::SomethingElse }
}

fn outcomes(check: &Check) -> Vec<Choice> {
    let seen: Vec<Seen> = check.all_seen().collect();
    let keys = letters(check);
    let choice = |(seen, key): (&Seen, Option<char>)| Choice {
        key,
        title: check.outcome_title(*seen).to_owned(),
        seen: Some(*seen),
        meaning: Meaning::Enter(Box::new(Entry::Answer(answer(check, Some(*seen), None)))),
    };
    seen.iter().zip(keys).map(choice).collect()
}

/// One letter for each outcome, the normal one first: `n` for normal, the tree's own key, else the first free letter.
#[must_use]
pub fn letters(check: &Check) -> Vec<Option<char>> {
    let usable = |c: char, taken: &[Option<char>]| {
        c.is_ascii_lowercase() && !KEPT_FREE.contains(&c) && !taken.contains(&Some(c))
    };
    let mut taken = vec![Some('n')];
    let mut keys = vec![None; check.outcomes.len()];
    // The tree's own keys first, so that a title cannot take one away.
    for (key, outcome) in keys.iter_mut().zip(&check.outcomes) {
        *key = outcome.key.filter(|c| usable(*c, &taken));
        taken.push(*key);
    }
    for (key, outcome) in keys.iter_mut().zip(&check.outcomes).filter(|(key, _)| key.is_none()) {
        let title = outcome.title.to_lowercase();
        let starts = title.split_whitespace().filter_map(|w| w.chars().next());
        let mut letters = starts.chain(title.chars()).chain('b'..='z').filter(|c| *c != ACKNOWLEDGES);
        *key = letters.find(|c| usable(*c, &taken));
        taken.push(*key);
    }
    std::iter::once(Some('n')).chain(keys).collect()
}

/// The entry of an answer to a check.
#[must_use]
pub(super) fn answer(check: &Check, seen: Option<Seen>, reading: Option<&Reading>) -> Answer {
    Answer {
        check: check.name.clone(),
        at: check.site,
        outcome: seen.map(|s| check.outcome_name(s).to_owned()),
        reading: reading.map(|r| r.typed.clone()),
        celsius: reading.and_then(|r| r.celsius),
        as_typed: reading.is_some_and(|r| r.as_typed),
        looks_so: false,
    }
}

/// A reading as typed, with the temperature of the part where it was given behind an `@`.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Reading {
    /// The reading.
    pub typed: String,
    /// Degrees Celsius.
    pub celsius: Option<f64>,
    /// Whether it is as typed, whatever its unit looks like: said by an exclamation mark at its end.
    pub as_typed: bool,
}

impl Reading {
    /// Splits `9.1k @ 35` into the reading and the temperature.
    ///
    /// # Errors
    /// A sentence where the temperature is no number.
    pub(super) fn of(text: &str) -> Result<Self, String> {
        let insists = text.trim_end().strip_suffix('!');
        let (text, as_typed) = (insists.unwrap_or(text), insists.is_some());
        let Some((typed, degrees)) = text.split_once('@') else {
            return Ok(Self { typed: text.trim().to_owned(), celsius: None, as_typed });
        };
        let number = degrees.trim().trim_end_matches(['c', 'C', '°', ' ']);
        let celsius = number.parse::<f64>().ok().filter(|t| t.is_finite());
        match celsius {
            Some(t) => Ok(Self { typed: typed.trim().to_owned(), celsius: Some(t), as_typed }),
            None => Err("Behind @ give the temperature of the part in degrees Celsius, as in 9.1k @ 35.".into()),
        }
    }
}

/// What a reading would be taken for, before it is entered.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Verdict {
    /// The reading.
    pub reading: Reading,
    /// What the limit says, in full sentences; empty where it cannot be judged yet.
    pub words: String,
    /// The outcome it means, where one is clear.
    pub seen: Option<Seen>,
    /// The outcomes it could be, the normal one last; one or none where the mechanic need not be asked.
    pub fits: Vec<Seen>,
    /// Whether it is far enough from every limit to call.
    pub clear: bool,
    /// What it was taken for and what was meant, where a slip of its unit would make it ordinary.
    pub slip: Option<(String, String)>,
}

/// Judges a reading without entering it.
///
/// # Errors
/// Why it cannot be taken, in a sentence.
pub(super) fn verdict(job: &Job, id: CheckId, text: &str) -> Result<Verdict, String> {
    let reading = Reading::of(text)?;
    let check = &job.model()[id];
    let mut trial = job.clone();
    let entry = Entry::Answer(answer(check, None, Some(&reading)));
    let number = trial.next_number();
    trial.take(Logged { number, when: String::new(), entry }).map_err(|refusal| refusal.to_string())?;
    let given = trial.state().given.iter().find(|g| g.number == number);
    let given = given.ok_or("The reading could not be taken; choose an outcome by its letter.")?;
    let slip = match given.may_be(job.model()) {
        Ok(()) => None,
        Err(Refusal::Slip { typed, meant }) => Some((typed, meant)),
        Err(why) => return Err(why.to_string()),
    };
    let last = check.outcomes.len();
    let place = |at: usize| if at == last { Seen::Normal } else { Seen::Abnormal(at) };
    let fits = given.weights.iter().enumerate().filter(|(_, w)| **w > 0.0).map(|(at, _)| place(at)).collect();
    let (words, clear) = match &given.judged {
        Some(Ok(judgement)) => (judgement.words.clone(), judgement.clear),
        // It counts as soon as what it is compared with is there too.
        Some(Err(more)) => (more.clone(), false),
        None => (String::new(), false),
    };
    Ok(Verdict { reading, words, seen: given.seen(), fits, clear, slip })
}
