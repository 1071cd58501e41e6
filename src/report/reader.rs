//! Who a report is for, how much of it is printed, and so what stands in it.

use super::account::Account;

/// Who reads it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Reader {
    /// The shop: everything.
    #[default]
    Shop,
    /// The owner: a letter, and behind it what was done and how the suspicion moved.
    Owner,
    /// The aircraft's record: a draft of the entry, and behind it what was done by which readings.
    Record,
}

/// How much is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Extent {
    /// One page, and what is folded behind it in a line.
    #[default]
    Page,
    /// The page and everything behind it.
    Whole,
}

/// A part of a report behind its page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Section {
    Found,
    Course,
    Checks,
    Misfits,
    Inferred,
    Corrected,
    ShownGood,
    Unlikely,
    Left,
    Corrections,
    ProofRuns,
    Due,
    Engine,
    Suspicion,
    Cautions,
    Entry,
}

impl Reader {
    /// Title of the report.
    pub(super) fn title(self) -> &'static str {
        match self {
            Self::Shop => "Job report",
            Self::Owner => "Letter to the owner",
            Self::Record => "Job report for the aircraft's record",
        }
    }

    /// The parts behind the page, in order. Whose instructions hold stands after all.
    pub(super) fn sections(self) -> &'static [Section] {
        use Section as S;
        match self {
            Self::Shop => &[
                S::Found,
                S::Course,
                S::Checks,
                S::Misfits,
                S::Inferred,
                S::Corrected,
                S::Left,
                S::ShownGood,
                S::Unlikely,
                S::Corrections,
                S::ProofRuns,
                S::Due,
                S::Engine,
                S::Suspicion,
                S::Cautions,
                S::Entry,
            ],
            Self::Owner => &[S::Corrections, S::ProofRuns, S::Due, S::Engine, S::Suspicion],
            Self::Record => &[S::Found, S::Checks, S::Corrections, S::ProofRuns, S::Due, S::Entry],
        }
    }
}

impl Section {
    /// Its heading.
    pub(super) fn title(self) -> &'static str {
        match self {
            Self::Found => "Seen or measured at fault",
            Self::Course => "Course of the work",
            Self::Checks => "Checks",
            Self::Misfits => "Answers that do not fit",
            Self::Inferred => "Inferred: certain, or put right",
            Self::Corrected => "Corrected without proof",
            Self::ShownGood => "Shown good: looked at, and normal",
            Self::Unlikely => "Unlikely (inferred; nobody need have looked)",
            Self::Left => "What is left",
            Self::Corrections => "Corrections",
            Self::ProofRuns => "Proof runs",
            Self::Due => "Parts due by the aircraft's card",
            Self::Engine => "The engine from above",
            Self::Suspicion => "How the suspicion moved",
            Self::Cautions => "Cautions acknowledged",
            Self::Entry => "Draft entry in full (not signed)",
        }
    }

    /// The same in a word or two.
    fn word(self) -> &'static str {
        match self {
            Self::Found => "found",
            Self::Course => "course of the work",
            Self::Checks => "checks",
            Self::Misfits => "answers that do not fit",
            Self::Inferred => "inferred",
            Self::Corrected => "not proven",
            Self::ShownGood => "shown good",
            Self::Unlikely => "unlikely",
            Self::Left => "left",
            Self::Corrections => "corrections",
            Self::ProofRuns => "proof runs",
            Self::Due => "parts due",
            Self::Engine => "engine from above",
            Self::Suspicion => "suspicion",
            Self::Cautions => "cautions",
            Self::Entry => "draft entry in full",
        }
    }

    /// How many lines of its own kind it holds; none where it always says the same amount.
    fn count(self, account: &Account) -> Option<usize> {
        Some(match self {
            Self::Found => account.known.found.len(),
            Self::Course => account.course.iter().map(|stretch| stretch.entries.len()).sum(),
            Self::Checks => account.checks.len(),
            Self::Misfits => account.misfit_words().count(),
            Self::Inferred => account.proven.len(),
            Self::Corrected => account.left.corrected.len(),
            Self::ShownGood => account.known.shown_good.len(),
            Self::Unlikely => account.unlikely.len(),
            Self::Left => account.left.causes.len(),
            Self::Corrections => account.corrections.len(),
            Self::ProofRuns => account.proof_runs.len(),
            Self::Due => account.upkeep.len() + account.next_due.iter().len(),
            Self::Cautions => account.cautions.len(),
            Self::Engine | Self::Suspicion | Self::Entry => return None,
        })
    }
}

/// What is folded behind the page, in a sentence of three lines at the most.
pub(super) fn folded(account: &Account, reader: Reader) -> String {
    let named = reader.sections().iter().filter_map(|section| match section.count(account) {
        Some(0) => None,
        Some(count) => Some(format!("{} ({count})", section.word())),
        None => Some(section.word().to_owned()),
    });
    let named: Vec<String> = named.collect();
    format!("Folded: {}. `--whole` prints it; on the screens O unfolds it.", named.join(", "))
}
