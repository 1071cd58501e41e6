//! The account of a job: everything a report says, in order, as data. All texts in it are safe to show.

use serde::Serialize;

use super::causes::{self, AlikeLine, CauseLine, Left};
use super::course::{self, CheckLine, CorrectionLine, Stretch, Told};
use super::engine::{self, EnginePlan};
use super::entry::{self, DraftEntry};
use super::found::{self, Known};
use super::letter;
use super::page::{self, Row};
use super::suspicion::{self, Suspicion};
use super::when::unlike_rest;
use super::{INSTRUCTIONS, STATEMENT};
use crate::analysis::{Analysis, Found, Misfit};
use crate::guide::Stands;
use crate::job::{Entry, Job, tell_recent_work};
use crate::text::{safe_lines, safe_text};
use crate::upkeep::{Item, next_due, part_words, still_due};

/// What a report cannot see in the job itself.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Facts {
    /// The job's name.
    pub id: String,
    /// The first 16 characters of the hash of the last line of its record.
    pub head: String,
    /// When the report is printed, in words.
    pub printed: String,
    /// What should be said about the record: damage, a fork, trees that changed.
    pub notes: Vec<String>,
}

/// A job written up.
#[derive(Debug, Clone, Serialize)]
pub struct Account {
    /// Format of the JSON form.
    pub format: &'static str,
    /// What this is, and is not.
    pub statement: &'static str,
    /// Whose instructions hold.
    pub instructions: &'static str,
    /// The job's name.
    pub job: String,
    /// The first 16 characters of the hash of the last line of its record.
    pub head: String,
    /// When it was printed.
    pub printed: String,
    /// Version of the program.
    pub program: &'static str,
    /// The first 16 characters of the digest of the trees it was opened on.
    pub trees: String,
    /// What should be said about the record.
    pub record_notes: Vec<String>,
    /// Title of the complaint, with its site.
    pub complaint: String,
    /// What the pilot said.
    pub words: String,
    /// Conditions when it was reported.
    pub reported: String,
    /// What was worked on before: `nothing`, `not known`, or the work with its places; none where nobody was asked.
    pub recent_work: Option<String>,
    /// The engine: title and name of its layout.
    pub engine: String,
    /// Registration, title and engine hours, where a card was given.
    pub aircraft: Option<String>,
    /// Who worked it.
    pub mechanic: String,
    /// Wall time of the opening.
    pub opened: String,
    /// How it ended, where it did.
    pub closed: Option<ClosedHow>,
    /// Minutes of work by the tree's figures.
    pub minutes: f64,
    /// Standing warnings that are not lifted.
    pub warnings: Vec<String>,
    /// What has to be closed and which checks are owed for the work done, in words.
    pub owed: Vec<String>,
    /// The course of the work, by spell.
    pub course: Vec<Stretch>,
    /// Causes that are certain or put right by what is inferred from all entries together.
    pub proven: Vec<CauseLine>,
    /// What is known of faults, by how it is known: `found`, `replaced_unseen`, `shown_good`, `not_looked_at`.
    #[serde(flatten)]
    pub known: Known,
    /// Causes that other findings make less likely than they were, and that no look shows good.
    pub unlikely: Vec<CauseLine>,
    /// What is left.
    pub left: Left,
    /// Suspects that no check left can tell apart; empty in a closed job.
    pub alike: Vec<AlikeLine>,
    /// What was suggested next; none in a closed job.
    pub next: Option<NextLine>,
    /// Corrections carried out.
    pub corrections: Vec<CorrectionLine>,
    /// Proof runs, in words.
    pub proof_runs: Vec<String>,
    /// Parts due or overdue by the aircraft's card that this job did not renew, in words.
    pub upkeep: Vec<String>,
    /// The part that comes due next of those that are not due, in words.
    pub next_due: Option<String>,
    /// The engine from above, with what was at fault where.
    pub plan: EnginePlan,
    /// How the suspicion moved.
    pub suspicion: Suspicion,
    /// Checks that stand, in order.
    pub checks: Vec<CheckLine>,
    /// The answers that fit the others least, the least fitting first, at most two.
    pub misfits: Vec<MisfitLine>,
    /// Cautions acknowledged.
    pub cautions: Vec<Told>,
    /// A draft of the entry for the aircraft's record, to be checked and written by the person who signs.
    pub entry: DraftEntry,
    /// Conditions of the report as they differ from rest.
    #[serde(skip)]
    pub(super) unlike_rest: String,
    /// The last proof run of each complaint as a sentence; none where no proof run was made.
    #[serde(skip)]
    pub(super) last_proofs: Vec<String>,
    /// Whether something was corrected here, and a run that passed proves every complaint gone.
    #[serde(skip)]
    pub(super) proven_by_run: bool,
    /// The one page that begins every report.
    #[serde(skip)]
    pub(super) page: Vec<Row>,
    /// The letter to the owner, by paragraphs.
    #[serde(skip)]
    pub(super) letter: Vec<String>,
}

/// What is said of a step that has to be done before the engine is started.
pub(super) const BEFORE_RUN: &str = " (before the engine is started)";

/// What has to be closed and which checks are owed.
fn owed(job: &Job) -> Vec<String> {
    let stands = Stands::of(job);
    let steps = stands.before_run.iter().map(|step| format!("{}{BEFORE_RUN}", step.words));
    steps.chain(stands.before_end.iter().map(|step| step.words.clone())).map(|words| safe(&words)).collect()
}

/// An answer that fits the others least.
#[derive(Debug, Clone, Serialize)]
pub struct MisfitLine {
    /// Number of its entry.
    pub entry: u64,
    /// Probability that it is a slip, 0 to 1.
    pub slip: f64,
    /// Whether it fits; where it does not, it is printed.
    pub fits: bool,
    /// In words.
    pub says: String,
}

fn misfit(job: &Job, of: &Misfit) -> MisfitLine {
    let says = if of.does_not_fit() { of.told(job) } else { of.least(job.model()) };
    MisfitLine { entry: of.number, slip: of.slip, fits: !of.does_not_fit(), says: safe(&says) }
}

/// What was suggested next.
#[derive(Debug, Clone, Serialize)]
pub struct NextLine {
    /// What to do, and what it costs.
    pub words: String,
    /// Why.
    pub why: String,
    /// The best that could be done in its place, each with its cost; at most two.
    pub instead: Vec<String>,
}

/// How a job ended.
#[derive(Debug, Clone, Serialize)]
pub struct ClosedHow {
    /// The end that its record bears out.
    pub ending: &'static str,
    /// The same in words, with what it was closed as where that is another.
    pub how: String,
    /// Wall time.
    pub when: String,
    /// A closing remark.
    pub note: String,
}

impl Account {
    /// Writes a job up.
    #[must_use]
    pub fn of(job: &Analysis, facts: &Facts) -> Self {
        let (model, state) = (job.model(), job.state());
        let complaints = state.complaints().map(|(id, _)| &model[id]);
        let complaints = complaints.map(|c| format!("{}, {}", c.title, model.site_words(c.site)));
        let opening = job.opening();
        let aircraft = opening.and_then(|o| o.aircraft.as_ref()).map(|a| {
            let title = if a.title.is_empty() { String::new() } else { format!(", {}", a.title) };
            safe(&format!("{}{title}, {} engine hours", a.registration, a.engine_hours))
        });
        let checks = course::checks(job);
        let corrections = course::corrections(job);
        let mut account = Self {
            format: "roughrun-report-1",
            statement: STATEMENT,
            instructions: INSTRUCTIONS,
            job: safe(&facts.id),
            head: safe(&facts.head),
            printed: safe(&facts.printed),
            program: concat!("roughrun ", env!("CARGO_PKG_VERSION")),
            trees: safe(&opening.map(|o| o.trees.chars().take(16).collect::<String>()).unwrap_or_default()),
            record_notes: facts.notes.iter().cloned().chain(reviewed(job)).map(|n| safe(&n)).collect(),
            complaint: safe(&complaints.collect::<Vec<_>>().join("; ")),
            words: opening.map(|o| safe_lines(&o.words).into_owned()).unwrap_or_default(),
            reported: safe(&state.reported.named(&model.conditions)),
            recent_work: opening.and_then(|o| tell_recent_work(model, o)).map(|words| safe(&words)),
            engine: safe(&format!("{} ({})", model.layout.title, model.layout.name)),
            aircraft,
            mechanic: opening.map(|o| safe(&o.mechanic)).unwrap_or_default(),
            opened: job.log().first().map(|l| safe(&l.when)).unwrap_or_default(),
            closed: closed(job),
            minutes: state.minutes,
            warnings: job.warnings(),
            owed: owed(job),
            course: course::stretches(job),
            proven: causes::proven(job),
            known: found::of(job, &Found::of(job)),
            unlikely: causes::unlikely(job),
            left: causes::left(job),
            alike: if state.ended.is_none() { causes::alike(job) } else { Vec::new() },
            next: next(job),
            corrections,
            proof_runs: course::proof_runs(job),
            upkeep: upkeep(job),
            next_due: next_part(job),
            plan: engine::plan(job),
            suspicion: suspicion::of(job),
            checks,
            misfits: job.misfits().iter().map(|of| misfit(job, of)).collect(),
            cautions: course::cautions(job),
            entry: DraftEntry::default(),
            unlike_rest: safe(&unlike_rest(&state.reported, &model.conditions)),
            last_proofs: course::last_proofs(job),
            proven_by_run: state.proof_passed()
                && state.done.iter().any(|done| model[done.correction].kind != crate::model::CorrectionKind::HandOver),
            page: Vec::new(),
            letter: Vec::new(),
        };
        account.entry = entry::draft(&account);
        account.page = page::rows(&account, job);
        account.letter = letter::paragraphs(job, &account);
        account
    }

    /// The answers that do not fit, in words.
    pub(super) fn misfit_words(&self) -> impl Iterator<Item = &str> {
        self.misfits.iter().filter(|misfit| !misfit.fits).map(|misfit| misfit.says.as_str())
    }

    /// What is said where nobody saw or measured a part at fault: what was done about the signs, and whether that is proven, is told with it.
    pub(super) fn nothing_found(&self) -> &'static str {
        if self.proven_by_run {
            "Nobody saw or measured the fault itself; that the work cured it was proven by the run."
        } else {
            "Nothing was seen or measured at fault."
        }
    }

    /// Under which conditions it was reported, after the complaint: " (when warm, low load)"; empty where they are those of rest.
    pub(super) fn when_reported(&self) -> String {
        if self.unlike_rest.is_empty() { String::new() } else { format!(" (when {})", self.unlike_rest) }
    }
}

/// That a shop lead went through it, as a sentence.
fn reviewed(job: &Job) -> Option<String> {
    let mark = job.review()?;
    let words = mark.words();
    let mut letters = words.chars();
    letters.next().map(|first| format!("{}{}.", first.to_uppercase(), letters.as_str()))
}

fn next(job: &Analysis) -> Option<NextLine> {
    let model = job.model();
    let first = job.advice_with_doubts().first().filter(|_| job.state().ended.is_none())?;
    let instead = job.advice_with_doubts().instead_of(model, first.action);
    Some(NextLine {
        words: safe(&first.cost_words(model)),
        why: safe(&first.why),
        instead: instead.into_iter().map(|s| safe(&s.cost_words(model))).collect(),
    })
}

fn upkeep(job: &Job) -> Vec<String> {
    let done: Vec<_> = job.state().done.iter().map(|done| done.correction).collect();
    let due = still_due(job.model(), &job.state().ages, &done);
    due.iter().map(|item| format!("{}, {}", item_words(item), item.due.words())).collect()
}

fn item_words(item: &Item) -> String {
    safe(&format!("{}, {}: {}", part_words(&item.part), item.at(), item.words()))
}

/// The part that comes due next, by the card.
fn next_part(job: &Job) -> Option<String> {
    let done: Vec<_> = job.state().done.iter().map(|done| done.correction).collect();
    next_due(job.model(), &job.state().ages, &done).map(|item| item_words(&item))
}

fn closed(job: &Job) -> Option<ClosedHow> {
    job.standing_entries().into_iter().find_map(|(number, entry)| match entry {
        Entry::Closed { how: closed_as, note, .. } => {
            let ending = job.state().borne_out(job.model(), closed_as);
            let how = if ending == closed_as {
                ending.words().to_owned()
            } else {
                format!("{} by its record, though closed as {}", ending.words(), closed_as.words())
            };
            let (when, note) = (course::when(job, number), safe_lines(&note).into_owned());
            Some(ClosedHow { ending: ending.name(), how, when, note })
        }
        _ => None,
    })
}

/// Text made safe to show on one line.
pub(super) fn safe(text: &str) -> String {
    safe_text(text).into_owned()
}
