//! A replay as text for people.

use std::fmt::Write as _;

use super::{Replay, Step};
use crate::text::wrap;

/// Columns of the text.
const WIDTH: usize = 96;

/// The steps of a job one by one, and what they come to.
#[must_use]
pub fn page(replay: &Replay) -> String {
    let mut page = String::new();
    for step in &replay.steps {
        entry(&mut page, step);
    }
    let _ = writeln!(page, "\n{}", replay.totals.words());
    page
}

fn entry(page: &mut String, step: &Step) {
    // Writing into a String cannot fail.
    let when = step.when.get(..16).unwrap_or(&step.when).replace('T', " ");
    let _ = writeln!(page, "{:>4}  {when}  {:>3.0} min, {:.0} so far", step.number, step.minutes, step.minutes_so_far);
    line(page, "", &step.words);
    if let Some(by) = step.taken_back_by {
        line(page, "", &format!("Taken back by entry {by}."));
    }
    if let Some(choice) = &step.choice {
        let words = match (choice.as_recommended, choice.over_words()) {
            (true, _) => "As the planner put first.".to_owned(),
            (false, over) => {
                let over = if over.is_empty() { over } else { format!(" This {over}.") };
                format!("The planner put first: {}.{over}", choice.recommended.title)
            }
        };
        line(page, "planner", &words);
    }
    if step.choice.is_some() {
        line(page, "to go", &step.to_go_words());
    }
    let moved = step.suspects.iter().filter(|s| s.before >= 0.01 || s.after >= 0.01);
    for suspect in moved.filter(|_| step.choice.is_some()) {
        let words = format!("{}: {:.0} % to {:.0} %", suspect.title, 100.0 * suspect.before, 100.0 * suspect.after);
        line(page, "suspect", &words);
    }
    for mark in &step.marks {
        line(page, "TALK OVER", &format!("{}: {}", mark.kind.words(), mark.words));
    }
    for said in &step.remarks {
        line(page, "remark", &format!("{}: {}", said.by, said.text));
    }
}

fn line(page: &mut String, label: &str, words: &str) {
    let mut label = label;
    for row in wrap(words, WIDTH - 16) {
        let _ = writeln!(page, "      {label:<10}{row}");
        label = "";
    }
}
