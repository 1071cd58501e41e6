//! Who a report is for, and so what stands in it.

/// Who reads it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Reader {
    /// The shop: everything.
    #[default]
    Shop,
    /// The owner: what was reported, found and done, what is due next, and how the suspicion moved.
    Owner,
    /// The aircraft's record: what was done by which readings, and a draft of the entry.
    Record,
}

/// A part of a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Section {
    Course,
    Checks,
    Proven,
    Corrected,
    RuledOut,
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
            Self::Owner => "Job report for the owner",
            Self::Record => "Job report for the aircraft's record",
        }
    }

    /// Its parts, in order. The head stands before all, and whose instructions hold after.
    pub(super) fn sections(self) -> &'static [Section] {
        use Section as S;
        match self {
            Self::Shop => &[
                S::Course,
                S::Checks,
                S::Proven,
                S::Corrected,
                S::RuledOut,
                S::Left,
                S::Corrections,
                S::ProofRuns,
                S::Due,
                S::Engine,
                S::Suspicion,
                S::Cautions,
                S::Entry,
            ],
            Self::Owner => {
                &[S::Proven, S::Corrected, S::Corrections, S::ProofRuns, S::Due, S::Left, S::Engine, S::Suspicion]
            }
            Self::Record => &[S::Checks, S::Proven, S::Corrected, S::Corrections, S::ProofRuns, S::Due, S::Entry],
        }
    }
}
