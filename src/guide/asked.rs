//! What is asked before an answer is saved: whether something was seen with one's own eyes or only looks so, where an outcome that leaves no
//! doubt is chosen; and what a reading was meant to be, where a slip of its unit would make it ordinary.

use crate::job::{Answer, Entry, Job, Refusal};
use crate::model::{Model, Seen};

/// What is asked.
pub const SIGHT_QUESTION: &str = "Seen with your own eyes?";

/// The answers, with what each means: seen, and only looks so.
pub const SIGHT_ANSWERS: [(&str, &str); 2] =
    [("Yes, the part itself, beyond doubt", "certain from now on"), ("No, it only looks so", "one sign among others")];

/// Whether an entry chooses an outcome that leaves no doubt, with no reading to say so.
#[must_use]
pub fn asks_sight(model: &Model, entry: &Entry) -> bool {
    let Entry::Answer(answer) = entry else { return false };
    let Some(check) = model.find_check(&answer.check, answer.at).map(|id| &model[id]) else { return false };
    let seen = answer.outcome.as_ref().and_then(|name| check.seen(name));
    answer.reading.is_none() && matches!(seen, Some(Seen::Abnormal(at)) if check.outcomes[at].looks_so.is_some())
}

/// The entry with the word that it only looks so.
#[must_use]
pub fn only_looks_so(entry: Entry) -> Entry {
    match entry {
        Entry::Answer(answer) => Entry::Answer(Answer { looks_so: true, ..answer }),
        other => other,
    }
}

/// What a reading was taken for, and what it was meant to be if its unit slipped; none where there is no doubt of that kind.
#[must_use]
pub fn slip(job: &Job, entry: &Entry) -> Option<(String, String)> {
    let has_reading = matches!(entry, Entry::Answer(answer) if answer.reading.is_some());
    match has_reading.then(|| job.test(entry))? {
        Err(Refusal::Slip { typed, meant }) => Some((typed, meant)),
        _ => None,
    }
}

/// The entry with the word what its reading is: what was meant, or none where it is as typed.
#[must_use]
pub fn read_as(entry: Entry, meant: Option<String>) -> Entry {
    match entry {
        Entry::Answer(answer) => Entry::Answer(match meant {
            Some(meant) => Answer { reading: Some(meant), ..answer },
            None => Answer { as_typed: true, ..answer },
        }),
        other => other,
    }
}
