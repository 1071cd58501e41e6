//! What a shop lead would talk over with whoever worked the job. Each mark is a question, not a verdict.

use serde::Serialize;

use super::step::{Choice, cause_words, is_ending};
use crate::analysis::{Ranked, Standing, replaced};
use crate::job::{Answer, Ending, Entry, Given, Job, Logged, State};
use crate::model::{CauseId, Check, Correction, CorrectionId, CorrectionKind, Model, Seen, Sees};
use crate::text::safe_text;

/// A check whose chance to show a cause is below this says little of it either way.
const SHOWS: f64 = 0.3;
/// Probability from which causes that were passed over are worth asking about.
const LEFT: f64 = 0.1;
/// The same for one that was proven later.
const LEFT_AND_PROVEN: f64 = 0.005;
/// Up to this probability that a part was at fault, fitting another is asked about where it measured good.
const DOUBTFUL: f64 = 0.5;

/// What kind of thing it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MarkKind {
    /// A caution was not acknowledged before the work.
    CautionSkipped,
    /// A pass that was made while the complaint did not show was taken for an all-clear.
    SleepingFaultCleared,
    /// A part was replaced that had measured good, or that by the end was known to have been good.
    GoodPartReplaced,
    /// The job was closed with no proof run that passed since the last correction.
    NoProofRun,
}

impl MarkKind {
    /// In a few words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::CautionSkipped => "caution skipped",
            Self::SleepingFaultCleared => "cleared while asleep",
            Self::GoodPartReplaced => "good part replaced",
            Self::NoProofRun => "no proof run",
        }
    }
}

/// Something to talk over.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Mark {
    /// What kind of thing it is.
    pub kind: MarkKind,
    /// What was noticed, in a sentence or two, safe to show.
    pub words: String,
    /// Numbers of the earlier entries it rests on.
    pub entries: Vec<u64>,
}

/// The marks of an entry. `whole` is the job as it ended, `before` as it was then.
pub(super) fn of(whole: &Ranked, before: &Ranked, logged: &Logged, choice: Option<&Choice>) -> Vec<Mark> {
    let mut marks = Vec::new();
    marks.extend(caution_skipped(whole, before, logged, choice));
    // What the planner itself would have done is no mistake of whoever did it.
    if choice.is_none_or(|c| !c.as_recommended) {
        marks.extend(sleeping_cleared(whole, before, &logged.entry));
        marks.extend(good_part(whole, before, &logged.entry).or_else(|| came_off_good(whole, logged.number)));
    }
    marks.extend(no_proof(before, &logged.entry));
    marks
}

fn mark(kind: MarkKind, words: &str, entries: Vec<u64>) -> Mark {
    Mark { kind, words: safe_text(words).into_owned(), entries }
}

/// Work was done whose hazards had not been acknowledged in the access it was begun in.
fn caution_skipped(whole: &Job, before: &Job, logged: &Logged, choice: Option<&Choice>) -> Option<Mark> {
    let action = choice.map(|c| c.action).filter(|a| !is_ending(*a))?;
    let (model, state) = (before.model(), before.state());
    let skipped = state.cautions(model, action);
    // One round of the same check at several sites is one piece of work: its cautions are read before it.
    if skipped.is_empty() || goes_on(whole, logged) {
        return None;
    }
    let titles: Vec<&str> = skipped.iter().map(|id| model[*id].title.as_str()).collect();
    let words = format!("No caution was acknowledged before this: {}.", titles.join("; "));
    Some(mark(MarkKind::CautionSkipped, &words, Vec::new()))
}

/// Whether the entry before is an answer to the same check.
fn goes_on(whole: &Job, logged: &Logged) -> bool {
    let Entry::Answer(Answer { check, .. }) = &logged.entry else { return false };
    let before = whole.log().iter().take_while(|l| l.number < logged.number).last();
    matches!(before.map(|l| &l.entry), Some(Entry::Answer(Answer { check: other, .. })) if other == check)
}

/// What was corrected, or how the job ended, left causes aside against which nothing spoke but passes made while the complaint did not
/// show, and which together stood higher than what was done about it.
fn sleeping_cleared(whole: &Ranked, before: &Ranked, entry: &Entry) -> Option<Mark> {
    let model = before.model();
    let cured: &[CauseId] = match entry {
        Entry::Corrected { correction, at } => &model[model.find_correction(correction, *at)?].cures,
        Entry::Closed {
            how: Ending::NotFound | Ending::NotReproduced | Ending::HandedOver | Ending::CuredProven,
            ..
        } => &[],
        _ => return None,
    };
    let present = |id: &CauseId| before.belief(*id).present;
    let any = 1.0 - cured.iter().map(|id| 1.0 - present(id)).product::<f64>();
    let cleared: Vec<(CauseId, &Given)> = before
        .ranking()
        .into_iter()
        .filter(|id| !model.is_unlisted(*id) && !cured.contains(id) && model[*id].waking.can_sleep())
        .filter_map(|id| Some((id, asleep_pass(before, id)?)))
        .collect();
    let together: f64 = cleared.iter().map(|(id, _)| present(id)).sum();
    let proven = |id: CauseId| matches!(whole.standing(id), Standing::Proven | Standing::PutRight);
    let later = cleared.iter().find(|(id, _)| proven(*id) && present(id) >= LEFT_AND_PROVEN);
    let enough = together >= any.max(LEFT);
    let (id, pass) = later.or_else(|| cleared.first().filter(|_| enough))?;
    let mut entries: Vec<u64> = cleared.iter().map(|(_, given)| given.number).collect();
    entries.sort_unstable();
    entries.dedup();
    let check = &model[pass.check];
    let others = if later.is_none() && entries.len() > 1 {
        format!(" All that was passed so stood at {:.0} % together.", 100.0 * together.min(1.0))
    } else {
        String::new()
    };
    let words = format!(
        "{}, {} passed (entry {}) while the complaint was not known to show, so it says little against {}, which stood at {:.0} %{}.{others}",
        check.title,
        model.site_words(check.site),
        pass.number,
        cause_words(model, *id),
        100.0 * present(id),
        if later.is_some() { " and was proven later" } else { "" }
    );
    Some(mark(MarkKind::SleepingFaultCleared, &words, if later.is_some() { vec![pass.number] } else { entries }))
}

/// The last pass of a check that sees only what is awake and would have shown this cause, where all such passes were made while the
/// complaint did not show.
fn asleep_pass(job: &Job, id: CauseId) -> Option<&Given> {
    let (model, state) = (job.model(), job.state());
    let corrected = state.done.iter().filter(|d| model[d.correction].cures.contains(&id)).map(|d| d.from).max();
    let of_it = |g: &&Given| model[g.check].sees == Sees::Awake && shows(&model[g.check], id);
    let since = |g: &&Given| corrected.is_none_or(|from| g.spell >= from);
    let mut told = state.given.iter().filter(of_it).filter(since).peekable();
    told.peek()?;
    let asleep = |g: &Given| g.seen() == Some(Seen::Normal) && state.spells[g.spell].showing != Some(true);
    let all: Vec<&Given> = told.collect();
    all.iter().all(|g| asleep(g)).then(|| all.last().copied())?
}

fn shows(check: &Check, id: CauseId) -> bool {
    check.outcomes.iter().any(|o| o.event.causes.iter().any(|(c, chance)| *c == id && *chance >= SHOWS))
}

/// Another part was fitted for one that had measured good, and it was not the cure.
fn good_part(whole: &Ranked, before: &Ranked, entry: &Entry) -> Option<Mark> {
    let Entry::Corrected { correction, at } = entry else { return None };
    let (model, state) = (before.model(), before.state());
    let id = model.find_correction(correction, *at)?;
    let correction = &model[id];
    if !correction.kind.spends_part() {
        return None;
    }
    let was_it = |id: &CauseId| matches!(whole.standing(*id), Standing::Proven | Standing::PutRight);
    let likely = 1.0 - correction.cures.iter().map(|c| 1.0 - before.belief(*c).present).product::<f64>();
    if likely > DOUBTFUL || correction.cures.iter().any(was_it) {
        return None;
    }
    let told = on_the_part(model, state, id, correction);
    let good: Vec<&Given> = told.iter().copied().filter(|g| g.seen() == Some(Seen::Normal)).collect();
    if good.is_empty() || good.len() < told.len() {
        return None;
    }
    let named: Vec<String> = good.iter().map(|g| format!("{} (entry {})", measured(model, g), g.number)).collect();
    let words =
        format!("This part had been found good: {}. A fault in it stood at {:.0} %.", named.join("; "), 100.0 * likely);
    Some(mark(MarkKind::GoodPartReplaced, &words, good.iter().map(|g| g.number).collect()))
}

/// A part was replaced that by the whole record was good.
fn came_off_good(whole: &Ranked, number: u64) -> Option<Mark> {
    let part = replaced(whole).into_iter().find(|part| part.done.number == number && part.was.is_good())?;
    let model = whole.model();
    let words = match part.was.entry().and_then(|entry| whole.state().given.iter().find(|g| g.number == entry)) {
        Some(look) => {
            format!("This part had been found good: {} (entry {}).", measured(model, look), look.number)
        }
        None => "The complaint was still there after this, and another cause was proven: nothing shows that this part was bad."
            .to_owned(),
    };
    Some(mark(MarkKind::GoodPartReplaced, &words, part.was.entry().into_iter().collect()))
}

/// The checks made on the part itself since it was last corrected: those at its site that would show one of its faults.
fn on_the_part<'a>(model: &Model, state: &'a State, id: CorrectionId, correction: &Correction) -> Vec<&'a Given> {
    let from = state.done.iter().filter(|d| d.correction == id).map(|d| d.from).max().unwrap_or(0);
    let here = |g: &&Given| {
        let check = &model[g.check];
        g.spell >= from && check.site == correction.site && correction.cures.iter().any(|c| shows(check, *c))
    };
    state.given.iter().filter(here).collect()
}

fn measured(model: &Model, given: &Given) -> String {
    let title = &model[given.check].title;
    match given.typed.trim() {
        "" => title.clone(),
        typed => format!("{title} {typed}"),
    }
}

/// The job was closed with something corrected and no passed run after it, or as cured without any.
fn no_proof(before: &Job, entry: &Entry) -> Option<Mark> {
    let Entry::Closed { how, .. } = entry else { return None };
    let (model, state) = (before.model(), before.state());
    let handed_over = state.done.last().is_some_and(|d| model[d.correction].kind == CorrectionKind::HandOver);
    let last = state.done.last().map(|d| d.number);
    let words = match how {
        Ending::CuredProven if state.borne_out(model, *how) != *how => {
            let missing: Vec<String> = state.missing(model).into_iter().map(|missing| missing.words).collect();
            let words = format!(
                "Closed as cured; by its record {}: {}.",
                state.borne_out(model, *how).words(),
                missing.join("; ")
            );
            return Some(mark(MarkKind::NoProofRun, &words, last.into_iter().collect()));
        }
        Ending::CorrectedNotProven | Ending::NotFound | Ending::Stopped if state.awaits_proof() && !handed_over => {
            "Something was corrected, and no proof run followed it."
        }
        _ => return None,
    };
    Some(mark(MarkKind::NoProofRun, words, last.into_iter().collect()))
}
