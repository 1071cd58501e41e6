//! Jobs on the shipped trees, and entries drawn from numbers: any numbers make a legal job, so that a law can be asked of all of them.
#![allow(dead_code)]

use std::collections::BTreeSet;
use std::sync::Arc;

use roughrun::job::{Answer, Entry, Job, Levels, Logged, Opening};
use roughrun::model::{CheckId, ComplaintId, CorrectionKind, Model, Site};
use roughrun::trees::Library;

/// A shipped engine.
pub(crate) fn engine(layout: &str) -> Arc<Model> {
    let library = Library::embedded().expect("the shipped trees are sound");
    let layout = library.layout(layout).expect("a shipped layout");
    Arc::new(library.expand(&layout).expect("the shipped trees expand"))
}

/// All shipped engines with their names.
pub(crate) fn engines() -> Vec<(String, Arc<Model>)> {
    let library = Library::embedded().expect("the shipped trees are sound");
    let expand = |l: &roughrun::trees::EngineLayout| (l.layout.name.clone(), library.expand(l).expect("expands"));
    library.layouts().iter().map(expand).map(|(name, model)| (name, Arc::new(model))).collect()
}

/// The opening of a job with a complaint in its usual conditions.
pub(crate) fn opened(model: &Model, complaint: ComplaintId) -> Entry {
    let complaint = &model[complaint];
    // Conditions change only where an entry says so: what is held here is belief, not the clock.
    let opening = Opening::of(&model.layout.name, &complaint.name, complaint.site);
    Entry::Opened(Box::new(Opening { follows_engine: false, ..opening }))
}

/// Entries with their numbers.
pub(crate) fn numbered(entries: impl IntoIterator<Item = Entry>) -> Vec<Logged> {
    entries.into_iter().zip(1..).map(|(entry, number)| Logged { number, when: String::new(), entry }).collect()
}

/// The job of these entries, all of which must be legal.
pub(crate) fn job(model: &Arc<Model>, entries: impl IntoIterator<Item = Entry>) -> Job {
    Job::replay(Arc::clone(model), numbered(entries)).unwrap_or_else(|(n, why)| panic!("entry {n}: {why}"))
}

/// The answer of a check by the number of its outcome, the normal one first.
pub(crate) fn answer(model: &Model, id: CheckId, outcome: usize) -> Entry {
    let check = &model[id];
    let seen = check.all_seen().nth(outcome % (check.outcomes.len() + 1)).expect("an outcome");
    Entry::Answer(Answer::seen(check, seen))
}

/// Levels for some conditions, by name.
pub(crate) fn levels(model: &Model, mut draw: usize) -> Levels {
    let mut levels = Levels::new();
    for kind in &model.conditions {
        // One level more stands for "as it was".
        let of = kind.levels.len() + 1;
        if let Some(level) = kind.levels.get(draw % of) {
            levels.insert(kind.name.clone(), level.clone());
        }
        draw /= of;
    }
    levels
}

/// What an entry is made of: its kind and two numbers that choose among what there is.
pub(crate) type Draw = (u8, u32, u32);

/// The entries of a job with a complaint drawn by `first`. How often an answer is abnormal goes by `abnormal`, in percent.
pub(crate) fn entries(model: &Model, first: usize, draws: &[Draw], abnormal: u32) -> Vec<Entry> {
    let mut entries = vec![opened(model, ComplaintId(first % model.complaints.len()))];
    // Numbers of what stands after the opening, for undo and amendment.
    let mut standing: Vec<u64> = Vec::new();
    for (kind, which, how) in draws {
        let number = entries.len() as u64 + 1;
        let entry = drawn(model, &mut standing, (*kind, *which, *how), abnormal);
        if !matches!(entry, Entry::Undo { .. } | Entry::Amend { .. }) {
            standing.push(number);
        }
        entries.push(entry);
    }
    entries
}

fn drawn(model: &Model, standing: &mut Vec<u64>, (kind, which, how): Draw, abnormal: u32) -> Entry {
    let pick = which as usize;
    match kind % 32 {
        0 => Entry::Conditions { levels: levels(model, pick) },
        1 => Entry::Provoked { provocation: model.provocations[pick % model.provocations.len()].name.clone() },
        2 => Entry::Showing { showing: [None, Some(false), Some(true)][pick % 3], ran: how % 2 == 0 },
        3 => corrected(model, pick),
        4 => Entry::ProofRun { showing: how % 3 == 0, levels: levels(model, pick) },
        5 if !standing.is_empty() => Entry::Undo { of: standing.remove(pick % standing.len()) },
        6 if !standing.is_empty() => {
            let of = standing[pick % standing.len()];
            Entry::Amend { of, by: Box::new(random_answer(model, how as usize, which, abnormal)) }
        }
        7 => {
            let cause = &model.causes[pick % model.causes.len()];
            Entry::Confirmed { cause: cause.name.clone(), at: cause.site }
        }
        8 => {
            let access = &model.access[pick % model.access.len()];
            Entry::Access { access: access.name.clone(), at: access.site, open: how % 2 == 0 }
        }
        9 => named(model, pick, |check, at| Entry::Skipped { check, at }),
        10 => named(model, pick, |check, at| Entry::NotPossible { check, at, why: String::new() }),
        11 => Entry::Acknowledged { hazard: model.hazards[pick % model.hazards.len()].name.clone() },
        _ => random_answer(model, pick, how, abnormal),
    }
}

fn random_answer(model: &Model, which: usize, how: u32, abnormal: u32) -> Entry {
    let id = one_check(model, which);
    if how % 100 < abnormal {
        let outcomes = model[id].outcomes.len();
        return answer(model, id, 1 + (how / 100) as usize % outcomes);
    }
    answer(model, id, 0)
}

/// A check of any name, then of any site: by number alone most would be swaps, of which there is one for every two places.
fn one_check(model: &Model, which: usize) -> CheckId {
    let names: BTreeSet<&str> = model.checks.iter().map(|c| c.name.as_str()).collect();
    let name = names.iter().nth(which % names.len()).copied().unwrap_or_default();
    let sites: Vec<usize> = (0..model.checks.len()).filter(|at| model.checks[*at].name == name).collect();
    CheckId(sites[which / names.len() % sites.len()])
}

fn corrected(model: &Model, pick: usize) -> Entry {
    let mends: Vec<_> = model.corrections.iter().filter(|c| c.kind != CorrectionKind::HandOver).collect();
    let correction = mends[pick % mends.len()];
    Entry::Corrected { correction: correction.name.clone(), at: correction.site }
}

fn named(model: &Model, pick: usize, entry: impl Fn(String, Site) -> Entry) -> Entry {
    let check = &model.checks[pick % model.checks.len()];
    entry(check.name.clone(), check.site)
}
