//! Whether a check makes sense now: its evidence is there, its tools are, and what it builds on is known.

use crate::model::{CheckId, ComplaintId, Model, Need, Seen};

use super::ledger::Ledger;
use super::setting::Setting;

/// What is known of a job that checks build on.
#[derive(Debug, Clone, Copy)]
pub struct Known<'a> {
    /// The complaint.
    pub complaint: ComplaintId,
    /// Whether it is known to show now.
    pub shows: bool,
    /// What each check showed that stands, where it is clear.
    pub seen: &'a [(CheckId, Option<Seen>)],
}

/// Why a check is not offered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotReady {
    /// What it looks at is gone.
    Spent,
    /// What it looks at is not there while this is open, by its title.
    NotWhile(String),
    /// A tool or a gauge is not to be had.
    Lacks(String),
    /// The complaint is not known to show now.
    DoesNotShow,
    /// Another check comes first, by its id.
    After(CheckId),
    /// What another check showed makes it senseless or unsafe.
    Ruled(CheckId),
    /// It is not for this complaint.
    NotForThis,
}

impl NotReady {
    /// In words, without a full stop.
    #[must_use]
    pub fn words(&self, model: &Model) -> String {
        match self {
            Self::Spent => "what it looks at was undone or worked on, so it can no longer be seen as it was".to_owned(),
            Self::NotWhile(title) => format!("there is nothing to look at: {title}"),
            Self::Lacks(what) => format!("not to be had here: {what}"),
            Self::DoesNotShow => "it makes sense only while the complaint shows".to_owned(),
            Self::After(id) => format!("first comes: {}, {}", model[*id].title, model.site_words(model[*id].site)),
            Self::Ruled(id) => {
                format!(
                    "it makes no sense after what was seen: {}, {}",
                    model[*id].title,
                    model.site_words(model[*id].site)
                )
            }
            Self::NotForThis => "it is not for this complaint".to_owned(),
        }
    }
}

/// Whether a check makes sense now.
///
/// # Errors
/// The first reason why it does not.
pub fn ready(
    model: &Model,
    known: &Known<'_>,
    setting: &Setting,
    ledger: &Ledger,
    id: CheckId,
) -> Result<(), NotReady> {
    let check = &model[id];
    if ledger.is_spent(id) {
        return Err(NotReady::Spent);
    }
    if let Some(open) = check.gone_while.iter().find(|access| setting.open.has(**access)) {
        return Err(NotReady::NotWhile(model[*open].title.clone()));
    }
    if let Some(tool) = check.tools.iter().find(|tool| ledger.is_lacking(tool)) {
        return Err(NotReady::Lacks(tool.clone()));
    }
    check.needs.iter().try_for_each(|need| holds(known, ledger, need))
}

fn holds(known: &Known<'_>, ledger: &Ledger, need: &Need) -> Result<(), NotReady> {
    match need {
        Need::ShowsNow if !known.shows => Err(NotReady::DoesNotShow),
        Need::Answered(checks) => {
            let missing = checks.iter().find(|check| !known.seen.iter().any(|(seen, _)| seen == *check));
            missing.map_or(Ok(()), |check| Err(NotReady::After(*check)))
        }
        Need::NotSeen(outcomes) => {
            let stands = |(check, at): &&(CheckId, usize)| {
                let last = known.seen.iter().rfind(|(seen, _)| seen == check);
                last.is_some_and(|(_, seen)| *seen == Some(Seen::Abnormal(*at)))
            };
            outcomes.iter().find(stands).map_or(Ok(()), |(check, _)| Err(NotReady::Ruled(*check)))
        }
        Need::NotComplaint(complaints) if complaints.contains(&known.complaint) => Err(NotReady::NotForThis),
        Need::Gauge(what) if ledger.is_lacking(what) => Err(NotReady::Lacks(what.clone())),
        Need::ShowsNow | Need::NotComplaint(_) | Need::Gauge(_) => Ok(()),
    }
}
