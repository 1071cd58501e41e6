//! Why an entry cannot be taken. Names in it may come from a record that anyone wrote, so they are made safe to show.

use crate::measure::ReadingError;
use crate::model::Site;
use crate::text::safe_text;

/// An entry that does not fit the job. Nothing was changed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// A name that the tree does not have.
    #[error("there is no {what} \"{}\" in this tree; {mend}", safe_text(.name))]
    Unknown {
        /// Kind of thing.
        what: &'static str,
        /// The name.
        name: String,
        /// What to do.
        mend: String,
    },
    /// A thing that the tree has, but not at this site.
    #[error("there is no {what} \"{}\" at {at}; it is at {known}", safe_text(.name))]
    NotThere {
        /// Kind of thing.
        what: &'static str,
        /// The name.
        name: String,
        /// The site asked for.
        at: Site,
        /// The sites where it is.
        known: String,
    },
    /// A check has no such outcome.
    #[error("the check \"{check}\" has no outcome \"{}\"; it has {known}", safe_text(.outcome))]
    NoOutcome {
        /// The check.
        check: String,
        /// The outcome asked for.
        outcome: String,
        /// The outcomes it has.
        known: String,
    },
    /// An answer with neither outcome nor reading.
    #[error("the check \"{0}\" was entered with neither an outcome nor a reading; give one")]
    NoAnswer(String),
    /// A reading for a check that takes none.
    #[error("the check \"{0}\" takes no reading; choose an outcome")]
    TakesNoReading(String),
    /// A reading that cannot be one.
    #[error("{0}")]
    Reading(#[from] ReadingError),
    /// A reading that nothing can have.
    #[error("a reading of {typed} cannot be: {title} is {possible}; read it again, and give it with its unit")]
    CannotBe {
        /// The reading as typed.
        typed: String,
        /// What is read.
        title: String,
        /// What it can be.
        possible: String,
    },
    /// A reading that a slip of its unit would make ordinary.
    #[error("{typed} is far from ordinary and {meant} would be ordinary; say which it is, with its unit")]
    Slip {
        /// The reading as it was taken, with its unit.
        typed: String,
        /// What was meant, if its unit slipped.
        meant: String,
    },
    /// A condition or level the tree does not have.
    #[error("\"{}: {}\" is no condition of this tree; known are {known}", safe_text(.name), safe_text(.level))]
    NoCondition {
        /// The condition.
        name: String,
        /// The level.
        level: String,
        /// What there is.
        known: String,
    },
    /// The number is not that of an entry that can be taken back or put right.
    #[error("entry {0} cannot be taken back or changed; choose one that stands, after the opening")]
    NotStanding(u64),
    /// The job has no opening, or a second one.
    #[error("a job is opened once, by its first entry")]
    Opening,
    /// The job is closed.
    #[error("the job is closed; take the closing back to go on")]
    Closed,
    /// Something keeps the job from ending so.
    #[error("the job cannot end so: {0}; make that check first, or close it as stopped or handed over and say why")]
    KeepsOpen(String),
    /// An end as cured that the record does not bear out.
    #[error("it is not proven cured: {missing}; do that first, or close it as \"{instead}\" and say why")]
    NotProven {
        /// What is missing.
        missing: String,
        /// The end that it bears out.
        instead: &'static str,
    },
    /// Another end that the record does not bear out.
    #[error("by its record the job does not end as \"{how}\" but as \"{instead}\"")]
    NotBorneOut {
        /// The end asked for.
        how: &'static str,
        /// The end that it bears out.
        instead: &'static str,
    },
    /// An end with something left standing, without a word why.
    #[error("say in the closing remark why it ends with this standing: {0}")]
    SayWhy(String),
    /// More than can be weighed together.
    #[error(
        "a job can have {answers} answers, {findings} of them readings or signs of a fault, and {spells} changes of conditions; take back what no longer counts, or close this job and open another"
    )]
    TooMuch {
        /// The most answers.
        answers: usize,
        /// The most that tell of a fault.
        findings: usize,
        /// The most spells.
        spells: usize,
    },
    /// A remark or review mark without a name.
    #[error("a remark or a review mark needs the name of who makes it")]
    NoName,
    /// A remark without words.
    #[error("a remark needs words")]
    NoWords,
    /// A remark on an entry that is not there.
    #[error("there is no entry {0} to remark on")]
    NothingThere(u64),
    /// Something other than taking back was asked for a remark or review mark, or something was to become one.
    #[error("entry {0} cannot be changed: remarks and review marks are taken back and made anew")]
    LeadsWord(u64),
    /// A number out of range.
    #[error("{0}")]
    OutOfRange(String),
}
