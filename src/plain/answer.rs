//! What an answer to a question means: an outcome, a reading, or that a thing was done.

use super::command::Command;
use crate::job::{Answer, Ending, Entry, Job};
use crate::model::{Check, Seen};
use crate::plan::Action;

/// What was meant.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Meant {
    /// An entry.
    Entry(Entry),
    /// A number that can be an outcome or a reading.
    OutcomeOrReading {
        /// The entry if an outcome is meant.
        outcome: Entry,
        /// Its title.
        title: String,
        /// The entry if a reading is meant.
        reading: Entry,
        /// The reading with its unit.
        typed: String,
    },
    /// This run, in which something else showed: what, is asked.
    SomethingElse(Entry),
    /// The job is to be closed.
    Close(Ending),
    /// Nothing that can be entered here.
    Nothing,
}

/// What a line means as an answer to an action.
pub(super) fn meant(job: &Job, action: Action, command: &Command) -> Meant {
    let model = job.model();
    match action {
        Action::Check(id) => check(&model[id], model[id].limit.map(|at| model.limits[at].unit.symbol()), command),
        Action::SeeWhetherItShows => match pick(command, &["showing", "not-showing", "else"]) {
            Some(2) => Meant::SomethingElse(Entry::Showing { showing: Some(false), ran: true }),
            Some(at) => Meant::Entry(Entry::Showing { showing: Some(at == 0), ran: true }),
            None => Meant::Nothing,
        },
        Action::ProofRun => match pick(command, &["not-showing", "showing", "else"]) {
            Some(2) => Meant::SomethingElse(job.state().proof_run(model, false)),
            Some(at) => Meant::Entry(job.state().proof_run(model, at == 1)),
            None => Meant::Nothing,
        },
        Action::Provoke(id) => match pick(command, &["done"]) {
            Some(_) => Meant::Entry(Entry::Provoked { provocation: model[id].name.clone() }),
            None => Meant::Nothing,
        },
        Action::Correct(id) => match pick(command, &["done"]) {
            Some(_) => {
                let correction = &model[id];
                Meant::Entry(Entry::Corrected { correction: correction.name.clone(), at: correction.site })
            }
            None => Meant::Nothing,
        },
        Action::CloseCured => close(command, Ending::CuredProven),
        Action::CloseHandedOver => close(command, Ending::HandedOver),
        Action::CloseNotFound => close(command, job.state().borne_out(model, Ending::NotFound)),
    }
}

fn close(command: &Command, how: Ending) -> Meant {
    if pick(command, &["close"]).is_some() { Meant::Close(how) } else { Meant::Nothing }
}

/// Which of the names is meant, by number or by name.
fn pick(command: &Command, names: &[&str]) -> Option<usize> {
    match command {
        Command::Number(n) => n.checked_sub(1).filter(|at| *at < names.len()),
        Command::Words(words) => names.iter().position(|name| name.eq_ignore_ascii_case(words)),
        _ => None,
    }
}

fn check(check: &Check, unit: Option<&str>, command: &Command) -> Meant {
    let all: Vec<Seen> = check.all_seen().collect();
    let outcome = |seen: Seen| Entry::Answer(Answer::seen(check, seen));
    match (command, unit) {
        (Command::Number(n), None) => {
            n.checked_sub(1).and_then(|at| all.get(at)).map_or(Meant::Nothing, |seen| Meant::Entry(outcome(*seen)))
        }
        (Command::Number(n), Some(unit)) => {
            let typed = n.to_string();
            let reading = reading(check, &typed);
            match n.checked_sub(1).and_then(|at| all.get(at)) {
                Some(seen) => Meant::OutcomeOrReading {
                    outcome: outcome(*seen),
                    title: check.outcome_title(*seen).to_owned(),
                    reading,
                    typed: format!("{typed} {unit}"),
                },
                None => Meant::Entry(reading),
            }
        }
        (Command::Words(words), unit) => {
            let named = all.iter().find(|seen| {
                let key = match seen {
                    Seen::Abnormal(i) => check.outcomes[*i].key,
                    Seen::Normal => None,
                };
                words.eq_ignore_ascii_case(check.outcome_name(**seen))
                    || words.eq_ignore_ascii_case(check.outcome_title(**seen))
                    || key.is_some_and(|key| words.eq_ignore_ascii_case(&key.to_string()))
            });
            match (named, unit) {
                (Some(seen), _) => Meant::Entry(outcome(*seen)),
                (None, Some(_)) if !words.is_empty() => Meant::Entry(reading(check, words)),
                _ => Meant::Nothing,
            }
        }
        _ => Meant::Nothing,
    }
}

/// A reading, with ` at 60 C` at its end taken as the temperature of the part.
fn reading(check: &Check, typed: &str) -> Entry {
    let with_temperature = typed.rsplit_once(" at ").and_then(|(reading, temperature)| {
        let number = temperature.trim().trim_end_matches(['C', 'c']).trim().parse::<f64>().ok()?;
        Some((reading.trim(), number))
    });
    let (typed, celsius) = match with_temperature {
        Some((reading, celsius)) => (reading, Some(celsius)),
        None => (typed, None),
    };
    Entry::Answer(Answer { celsius, ..Answer::reading(&check.name, check.site, typed) })
}

/// The entry that says which outcome a reading was, where the reading alone cannot tell.
pub(super) fn told_apart(job: &Job, number: u64, outcome: &str) -> Option<Entry> {
    let (_, entry) = job.standing_entries().into_iter().find(|(n, _)| *n == number)?;
    let Entry::Answer(answer) = entry else { return None };
    let by = Entry::Answer(Answer { outcome: Some(outcome.to_owned()), ..answer });
    Some(Entry::Amend { of: number, by: Box::new(by) })
}
