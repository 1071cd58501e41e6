//! How a job went: what was believed after each entry, and so what each answer did to each cause.

use super::ranked::Ranked;
use crate::belief::Belief;
use crate::job::{Entry, Job, Logged, standing_entries, tell};
use crate::model::CauseId;
use crate::plan::expected_minutes;

/// What was believed after an entry.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// Number of the entry.
    pub number: u64,
    /// Minutes of work up to it, by the tree's figures.
    pub minutes: f64,
    /// Minutes of work that were still expected to a proven cure.
    pub expected: f64,
    /// One belief for each cause of the model.
    pub causes: Vec<Belief>,
}

/// What an entry did to the odds of a cause having been there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contribution {
    /// Number of the entry.
    pub number: u64,
    /// Odds after it over odds before it: above 1 it speaks for the cause, below 1 against it. The product over a job
    /// is the whole change of the odds since the report.
    pub factor: f64,
}

impl Contribution {
    /// In words: "6.0 times less likely".
    #[must_use]
    pub fn words(&self) -> String {
        let times = |factor: f64| match factor {
            f if f >= 1000.0 => "more than 1,000 times".to_owned(),
            f if f >= 10.0 => format!("{f:.0} times"),
            f => format!("{f:.1} times"),
        };
        if self.factor >= 1.0 {
            format!("{} more likely", times(self.factor))
        } else {
            format!("{} less likely", times(1.0 / self.factor.max(f64::MIN_POSITIVE)))
        }
    }

    /// Whether it moved the odds enough to be worth naming: by a twentieth or more.
    #[must_use]
    pub fn is_worth_naming(&self) -> bool {
        !(1.0 / 1.05..1.05).contains(&self.factor)
    }
}

/// Most entries that are followed one by one. Each is a belief of its own, and no engine gives so many answers.
const MOST_FOLLOWED: usize = 120;
/// How many of the last are followed in a job of more.
const LAST_FOLLOWED: usize = 4;

/// The course of a job: after its opening, and after each entry that stands and tells something; in a job of more than
/// 120 such entries only the last few. A belief is worked out for each.
#[must_use]
pub fn course(job: &Job) -> Vec<Moment> {
    course_after(job, None)
}

/// As [`course`]; moments of an earlier state of the same job, with its log, are taken over as far as the entries that
/// stand are the same.
pub(super) fn course_after(job: &Job, earlier: Option<(&[Logged], &[Moment])>) -> Vec<Moment> {
    let standing = job.standing_entries();
    let (before, known) = earlier.map_or((Vec::new(), &[][..]), |(log, moments)| (standing_entries(log), moments));
    let same = standing.iter().zip(&before).take_while(|(now, then)| now == then).count();
    let mut telling: Vec<usize> = (0..standing.len()).filter(|i| *i == 0 || tells(&standing[*i].1)).collect();
    if telling.len() > MOST_FOLLOWED {
        telling.drain(..telling.len() - LAST_FOLLOWED - 1);
    }
    let logged = |(number, entry): &(u64, Entry)| Logged { number: *number, when: String::new(), entry: entry.clone() };
    telling
        .into_iter()
        .filter_map(|last| {
            let number = standing[last].0;
            if let Some(moment) = known.iter().find(|m| m.number == number).filter(|_| last < same) {
                return Some(moment.clone());
            }
            let then = Job::replay(job.shared_model(), standing[..=last].iter().map(logged).collect()).ok()?;
            let then = Ranked::of(then);
            let causes = then.posterior().causes.clone();
            Some(Moment {
                number,
                minutes: then.state().minutes,
                expected: expected_minutes(&then.situation()),
                causes,
            })
        })
        .collect()
}

/// Why a cause stands where it does, by the course of its job: the entries that moved its odds enough to be worth
/// naming, the strongest first, each in words.
#[must_use]
pub fn because(job: &Job, course: &[Moment], id: CauseId) -> Vec<(Contribution, String)> {
    let standing = job.standing_entries();
    let words = |number: u64| {
        let entry = standing.iter().find(|(n, _)| *n == number).map(|(_, entry)| entry)?;
        Some(tell(job.model(), entry))
    };
    let mut found: Vec<(Contribution, String)> = contributions(course, id)
        .into_iter()
        .filter(Contribution::is_worth_naming)
        .filter_map(|c| Some((c, words(c.number)?)))
        .collect();
    found.sort_by(|a, b| b.0.factor.ln().abs().total_cmp(&a.0.factor.ln().abs()));
    found
}

/// What each entry did to a cause, in order.
pub(super) fn contributions(course: &[Moment], id: CauseId) -> Vec<Contribution> {
    let odds = |moment: &Moment| {
        let p = moment.causes.get(id.0).map_or(0.0, |b| b.ever).clamp(1e-12, 1.0 - 1e-12);
        p / (1.0 - p)
    };
    course
        .windows(2)
        .map(|pair| Contribution { number: pair[1].number, factor: odds(&pair[1]) / odds(&pair[0]) })
        .collect()
}

/// Whether an entry can change what is believed.
fn tells(entry: &Entry) -> bool {
    match entry {
        Entry::Answer(_)
        | Entry::Showing { .. }
        | Entry::Confirmed { .. }
        | Entry::ProofRun { .. }
        | Entry::Complained { .. } => true,
        Entry::Opened(_)
        | Entry::Conditions { .. }
        | Entry::Provoked { .. }
        | Entry::NotPossible { .. }
        | Entry::Lacking { .. }
        | Entry::NotProvoked { .. }
        | Entry::Skipped { .. }
        | Entry::Corrected { .. }
        | Entry::Acknowledged { .. }
        | Entry::Access { .. }
        | Entry::Suspected { .. }
        | Entry::Hinted
        | Entry::Note { .. }
        | Entry::Undo { .. }
        | Entry::Amend { .. }
        | Entry::Closed { .. }
        | Entry::Remark { .. }
        | Entry::Reviewed { .. } => false,
    }
}
