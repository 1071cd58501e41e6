//! The closed list of things that can be entered in a job. Names and sites are the tree's own, so a record reads without the program.
//!
//! A field that is not known is refused, not passed over: it comes from a newer version, and leaving it out could change what
//! the entry means.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::model::{Check, Mode, Seen, Site};

/// One entry of a job, as the record keeps it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", content = "body", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Entry {
    /// The job was opened. Always the first entry, and only there.
    Opened(Box<Opening>),
    /// Conditions changed by themselves or were set: a new spell begins.
    Conditions {
        /// Level of each condition named; the others stay.
        levels: Levels,
    },
    /// Conditions were changed on purpose: a new spell begins.
    Provoked {
        /// The tree's name of the provocation.
        provocation: String,
    },
    /// Whether the complaint is there right now.
    Showing {
        /// Yes or no; none takes an earlier word in this spell back.
        showing: Option<bool>,
        /// Whether the engine was closed up and run to find out, which takes the minutes of a proof run.
        #[serde(default)]
        ran: bool,
    },
    /// A check was made.
    Answer(Answer),
    /// A check cannot be made here.
    NotPossible {
        /// The tree's name of the check.
        check: String,
        /// Where.
        at: Site,
        /// Why, in the mechanic's words.
        #[serde(default)]
        why: String,
    },
    /// A tool or a gauge is not to be had, for no check.
    Lacking {
        /// What, by the name that checks use.
        what: String,
    },
    /// A provocation is not wanted or not possible in this job.
    NotProvoked {
        /// The tree's name of the provocation.
        provocation: String,
        /// Why, in the mechanic's words.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        why: String,
    },
    /// A suggested check was passed over for now; it is offered again in the next spell.
    Skipped {
        /// The tree's name of the check.
        check: String,
        /// Where.
        at: Site,
    },
    /// A cause was found by eye, or is certain for a reason the tree cannot know.
    Confirmed {
        /// The tree's name of the cause.
        cause: String,
        /// Where.
        at: Site,
    },
    /// A correction was carried out.
    Corrected {
        /// The tree's name of the correction.
        correction: String,
        /// Where.
        at: Site,
    },
    /// A proof run was made: a new spell begins.
    ProofRun {
        /// Whether the complaint showed.
        showing: bool,
        /// Conditions of the run; those not named are as reported.
        #[serde(default)]
        levels: Levels,
    },
    /// One more complaint: reported later, or something else that showed in a run.
    Complained {
        /// The tree's name of the complaint.
        complaint: String,
        /// Where.
        at: Site,
        /// Conditions when it was there; those not named are the complaint's usual ones.
        #[serde(default, skip_serializing_if = "Levels::is_empty")]
        reported: Levels,
    },
    /// A caution was read and acknowledged.
    Acknowledged {
        /// The tree's name of the hazard.
        hazard: String,
    },
    /// Access was opened or closed by hand.
    Access {
        /// The tree's name of the access state.
        access: String,
        /// Where.
        at: Site,
        /// Whether it is open now.
        open: bool,
    },
    /// What is suspected at this point, and how sure; said in practice before a check. It changes nothing that is believed.
    Suspected {
        /// The tree's name of the cause.
        cause: String,
        /// Where.
        at: Site,
        /// How sure, from 0 to 1.
        sure: f64,
        /// Why, in one's own words.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        why: String,
    },
    /// In practice, the suggestion or the probabilities were asked for.
    Hinted,
    /// A note in the mechanic's words.
    Note {
        /// The words.
        text: String,
    },
    /// An earlier entry is taken back; it stays in the record.
    Undo {
        /// Number of the entry taken back.
        of: u64,
    },
    /// An earlier entry is put right by another; it stays in the record.
    Amend {
        /// Number of the entry put right.
        of: u64,
        /// What stands in its place.
        by: Box<Entry>,
    },
    /// The job was closed.
    Closed {
        /// How it ended.
        how: Ending,
        /// A closing remark.
        #[serde(default)]
        note: String,
        /// Minutes of the job by the trees that it was closed on: its own figure, whatever later trees say.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        minutes: Option<f64>,
    },
    /// The shop lead's remark, on the job or on one entry of it; taken of a closed job too.
    Remark {
        /// Who makes it.
        by: String,
        /// The words.
        text: String,
        /// Number of the entry it is about; none where it is about the job.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        of: Option<u64>,
    },
    /// The shop lead has gone through the job as it stands; taken of a closed job too.
    Reviewed {
        /// Who went through it.
        by: String,
    },
}

/// Levels of conditions by name: `heat: hot`.
pub type Levels = BTreeMap<String, String>;

/// How a job begins.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Opening {
    /// Name of the layout.
    pub layout: String,
    /// Digest of the trees it was opened on.
    #[serde(default)]
    pub trees: String,
    /// Name of the complaint.
    pub complaint: String,
    /// Where.
    pub at: Site,
    /// Conditions when it was seen; those not named are the complaint's usual ones.
    #[serde(default)]
    pub reported: Levels,
    /// Conditions under which it is said not to show; none takes the complaint's own word.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub quiet: Option<Levels>,
    /// Engine hours since it last ran well.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub window_hours: Option<f64>,
    /// What was worked on since it last ran well; none where nobody was asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub recent_work: Option<RecentWork>,
    /// Parts or causes worked on since it last ran well, as records of the first rule have it: all causes of such a part
    /// count five times. Nothing is opened with it any more.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub disturbed: Vec<Disturbed>,
    /// The aircraft's card as it was, where one was given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub aircraft: Option<AircraftFacts>,
    /// Who works the job.
    #[serde(default)]
    pub mechanic: String,
    /// What the pilot said, in words.
    #[serde(default)]
    pub words: String,
    /// Whether conditions follow the engine and the clock. In records of the first rule, and in evidence files, they change only where an
    /// entry says so.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub follows_engine: bool,
}

impl Opening {
    /// The least that a job is opened with: an engine, and a complaint at a site. Everything else is left to its default.
    #[must_use]
    pub fn of(layout: &str, complaint: &str, at: Site) -> Self {
        Self {
            layout: layout.to_owned(),
            trees: String::new(),
            complaint: complaint.to_owned(),
            at,
            reported: Levels::new(),
            quiet: None,
            window_hours: None,
            recent_work: None,
            disturbed: Vec::new(),
            aircraft: None,
            mechanic: String::new(),
            words: String::new(),
            follows_engine: true,
        }
    }
}

/// What a job keeps of the aircraft's card.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct AircraftFacts {
    /// Registration marks.
    pub registration: String,
    /// A line about it.
    #[serde(default)]
    pub title: String,
    /// Engine hours.
    pub engine_hours: f64,
    /// Ages of parts at the opening.
    #[serde(default)]
    pub parts: Vec<PartAge>,
    /// Tools and gauges that it does not have.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lacks: Vec<String>,
    /// The card itself as text, so that its limits can be read again.
    #[serde(default)]
    pub card: String,
}

/// Age of a part at the opening of the job.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PartAge {
    /// The part, as causes name it.
    pub part: String,
    /// The site, or one that encloses it.
    pub at: Site,
    /// Engine hours since it was fitted.
    #[serde(default)]
    pub hours: Option<f64>,
    /// Years since it was fitted.
    #[serde(default)]
    pub years: Option<f64>,
}

/// The answer to what was worked on since the engine last ran well.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum RecentWork {
    /// A word: nothing was, or it is not known.
    Said(NoWork),
    /// What was.
    Done(Vec<WorkDone>),
}

/// That no work is named, and why.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum NoWork {
    /// Nothing was worked on.
    Nothing,
    /// Whether anything was is not known.
    NotKnown,
}

/// A kind of work that was done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WorkDone {
    /// The tree's name of the kind.
    pub work: String,
    /// Where: a site of that kind, or one that encloses several, each of which is meant.
    pub at: Site,
}

impl NoWork {
    /// Every word.
    pub const ALL: [Self; 2] = [Self::Nothing, Self::NotKnown];

    /// Its name in records and evidence files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Nothing => "nothing",
            Self::NotKnown => "not-known",
        }
    }
}

impl RecentWork {
    /// What was worked on; none where nothing was, or nobody knows.
    #[must_use]
    pub fn done(&self) -> &[WorkDone] {
        match self {
            Self::Done(done) => done,
            Self::Said(_) => &[],
        }
    }
}

/// A part or cause that was worked on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Disturbed {
    /// Name of a part or a cause.
    pub what: String,
    /// The site, or one that encloses it.
    pub at: Site,
}

/// A check that was made, and what was seen.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Answer {
    /// The tree's name of the check.
    pub check: String,
    /// Where.
    pub at: Site,
    /// The outcome chosen; none where a reading alone is to be judged.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outcome: Option<String>,
    /// The reading as typed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reading: Option<String>,
    /// Temperature of the part when read, in degrees Celsius, where it was taken.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub celsius: Option<f64>,
    /// Whether the reading is as typed: asked whether its unit slipped, somebody said that it did not.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub as_typed: bool,
    /// Whether it only looks so: an outcome that leaves no doubt is then one sign among others.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub looks_so: bool,
}

impl Answer {
    /// An outcome that was chosen, by its name in the tree.
    #[must_use]
    pub fn outcome(check: &str, at: Site, outcome: &str) -> Self {
        Self {
            check: check.to_owned(),
            at,
            outcome: Some(outcome.to_owned()),
            reading: None,
            celsius: None,
            looks_so: false,
            as_typed: false,
        }
    }

    /// What was seen of a check.
    #[must_use]
    pub fn seen(check: &Check, seen: Seen) -> Self {
        Self::outcome(&check.name, check.site, check.outcome_name(seen))
    }

    /// A reading as typed, to be judged by itself.
    #[must_use]
    pub fn reading(check: &str, at: Site, typed: &str) -> Self {
        Self { outcome: None, reading: Some(typed.to_owned()), ..Self::outcome(check, at, "") }
    }
}

/// How a job ends: what somebody closes it as, and what its record bears out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ending {
    /// Put right, and every complaint gone in a run under the conditions of its report.
    #[serde(alias = "cured")]
    CuredProven,
    /// Something was put right, and that it cured the complaint is not proven.
    CorrectedNotProven,
    /// Not ignition: handed over.
    HandedOver,
    /// There in the work, and not found.
    NotFound,
    /// Never there in the work, and nothing put right.
    NotReproduced,
    /// Stopped for another reason.
    Stopped,
}

impl Entry {
    /// Whether it is the word of a shop lead, which changes nothing of the job itself.
    #[must_use]
    pub fn is_leads_word(&self) -> bool {
        matches!(self, Self::Remark { .. } | Self::Reviewed { .. })
    }

    /// That the engine was started, or shut down.
    #[must_use]
    pub fn engine(runs: bool) -> Self {
        Self::Access { access: Mode::Run.name().to_owned(), at: Site::Engine, open: runs }
    }

    /// The closing of a job; whoever saves it adds the figures.
    #[must_use]
    pub fn closed(how: Ending, note: String) -> Self {
        Self::Closed { how, note, minutes: None }
    }

    /// The end that it gives the job, with the closing remark; none where it does not close it.
    #[must_use]
    pub fn end(&self) -> Option<(Ending, &str)> {
        match self {
            Self::Closed { how, note, .. } => Some((*how, note)),
            Self::Amend { by, .. } => by.end(),
            _ => None,
        }
    }

    /// Its kind, as the record names it.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Opened(_) => "opened",
            Self::Conditions { .. } => "conditions",
            Self::Provoked { .. } => "provoked",
            Self::Showing { .. } => "showing",
            Self::Answer(_) => "answer",
            Self::NotPossible { .. } => "not-possible",
            Self::Lacking { .. } => "lacking",
            Self::NotProvoked { .. } => "not-provoked",
            Self::Skipped { .. } => "skipped",
            Self::Confirmed { .. } => "confirmed",
            Self::Corrected { .. } => "corrected",
            Self::ProofRun { .. } => "proof-run",
            Self::Complained { .. } => "complained",
            Self::Acknowledged { .. } => "acknowledged",
            Self::Access { .. } => "access",
            Self::Suspected { .. } => "suspected",
            Self::Hinted => "hinted",
            Self::Note { .. } => "note",
            Self::Undo { .. } => "undo",
            Self::Amend { .. } => "amend",
            Self::Closed { .. } => "closed",
            Self::Remark { .. } => "remark",
            Self::Reviewed { .. } => "reviewed",
        }
    }
}

impl Ending {
    /// Every end, the best first.
    pub const ALL: [Self; 6] = [
        Self::CuredProven,
        Self::CorrectedNotProven,
        Self::HandedOver,
        Self::NotFound,
        Self::NotReproduced,
        Self::Stopped,
    ];

    /// As the record names it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::CuredProven => "cured-proven",
            Self::CorrectedNotProven => "corrected-not-proven",
            Self::HandedOver => "handed-over",
            Self::NotFound => "not-found",
            Self::NotReproduced => "not-reproduced",
            Self::Stopped => "stopped",
        }
    }

    /// Whether nothing was put right, and the fault was not found either.
    #[must_use]
    pub fn is_lost(self) -> bool {
        matches!(self, Self::NotFound | Self::NotReproduced)
    }

    /// The word that closes a job so, as it is typed.
    #[must_use]
    pub fn short(self) -> &'static str {
        match self {
            Self::CuredProven => "cured",
            Self::CorrectedNotProven => "not-proven",
            other => other.name(),
        }
    }

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::CuredProven => "cured and proven",
            Self::CorrectedNotProven => "corrected, not proven",
            Self::HandedOver => "handed over",
            Self::NotFound => "not found",
            Self::NotReproduced => "not reproduced",
            Self::Stopped => "stopped",
        }
    }
}

/// An entry with its number and time, as the record holds it.
#[derive(Debug, Clone, PartialEq)]
pub struct Logged {
    /// Its number in the job, from 1.
    pub number: u64,
    /// Wall time with offset, as the record's clock gave it.
    pub when: String,
    /// The entry.
    pub entry: Entry,
}
