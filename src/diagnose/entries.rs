//! From evidence to the entries a walkthrough would have made, each tested where it stands in the file.

use std::sync::Arc;

use super::evidence::{CheckEvidence, CorrectionEvidence, Evidence, ProofEvidence, SpellEvidence, WorkAt, WorkSaid};
use crate::job::{Answer, Disturbed, Entry, Job, KIND_OF_WORK, Logged, NoWork, Opening, RecentWork, Refusal, WorkDone};
use crate::model::{Model, Site};
use crate::shop::{Card, ShopError};
use crate::trees::{Diagnostic, Strict};

type Fault = Box<Diagnostic>;

/// Folds the evidence into a job.
pub(super) fn fold(
    model: &Arc<Model>,
    evidence: &Strict<Evidence>,
    layout: String,
    card: Option<Card>,
    digest: &str,
) -> Result<Job, ShopError> {
    let faulty = |fault: Fault| ShopError::Trees(vec![*fault]);
    let opening = opening(model, evidence, layout, card, digest).map_err(faulty)?;
    let entry = Entry::Opened(Box::new(opening));
    let first = Logged { number: 1, when: String::new(), entry };
    let job = Job::replay(Arc::clone(model), vec![first])
        .map_err(|(_, refusal)| faulty(refused(evidence, &opening_path(evidence, &refusal), &refusal)))?;
    let mut work = Work { job, evidence, fresh: true };
    for (at, spell) in evidence.value.spells.iter().enumerate() {
        work.spell(at, spell).map_err(faulty)?;
    }
    Ok(work.job)
}

fn opening(
    model: &Model,
    evidence: &Strict<Evidence>,
    layout: String,
    card: Option<Card>,
    digest: &str,
) -> Result<Opening, Fault> {
    let said = &evidence.value;
    let (complaint, at) = named_at(&said.complaint);
    let at = match at {
        Some(at) => site(evidence, "complaint", at)?,
        None => only_site(model, evidence, complaint)?,
    };
    let (recent_work, disturbed) = worked_on(model, evidence)?;
    Ok(Opening {
        layout,
        trees: digest.to_owned(),
        complaint: complaint.to_owned(),
        at,
        reported: said.reported.clone(),
        quiet: said.quiet.clone(),
        window_hours: said.window_hours,
        recent_work,
        disturbed,
        aircraft: card.map(|card| card.facts),
        mechanic: String::new(),
        words: said.words.clone(),
        // What a file says of the conditions is how they were.
        follows_engine: false,
    })
}

/// What was worked on: kinds of work, and what only the rule of old records knows.
fn worked_on(model: &Model, evidence: &Strict<Evidence>) -> Result<(Option<RecentWork>, Vec<Disturbed>), Fault> {
    let said = &evidence.value;
    let (mut done, mut disturbed) = (Vec::new(), Vec::new());
    for (i, words) in said.disturbed.iter().enumerate() {
        let path = format!("disturbed/{i}");
        let (what, at) = named_at(words);
        let at = at.map_or(Ok(Site::Engine), |at| site(evidence, &path, at))?;
        let kinds = model.recent_kinds_of_part(what, at);
        if kinds.is_empty() {
            disturbed.push(Disturbed { what: what.to_owned(), at });
        }
        done.extend(kinds.into_iter().map(|work| WorkDone { work: work.to_owned(), at }));
    }
    let word = match &said.recent_work {
        None => None,
        Some(WorkSaid::Word(word)) => {
            let Some(word) = NoWork::ALL.into_iter().find(|known| known.name() == word) else {
                let message = format!("\"{word}\" does not say what was worked on.");
                let mend = "Write nothing, not-known, or a list such as [{work: plugs-out, at: left 3}].";
                return Err(Box::new(evidence.fault("recent-work", &message, mend)));
            };
            if !said.disturbed.is_empty() {
                let message = "What was worked on is said twice, and not alike.";
                return Err(Box::new(evidence.fault("recent-work", message, "Delete recent-work: or disturbed:.")));
            }
            Some(RecentWork::Said(word))
        }
        Some(WorkSaid::Done(list)) => {
            for (i, work) in list.iter().enumerate() {
                let at = site(evidence, &format!("recent-work/{i}/at"), &work.at)?;
                done.push(WorkDone { work: work.work.clone(), at });
            }
            None
        }
    };
    Ok((word.or((!done.is_empty()).then_some(RecentWork::Done(done))), disturbed))
}

/// The field that an opening was most likely refused for.
fn opening_path(evidence: &Strict<Evidence>, refusal: &Refusal) -> String {
    let work = |wrong: &dyn Fn(&WorkAt) -> bool, field: &str| {
        let at = match &evidence.value.recent_work {
            Some(WorkSaid::Done(list)) => list.iter().position(wrong),
            _ => None,
        };
        at.map_or_else(|| "recent-work".to_owned(), |at| format!("recent-work/{at}/{field}"))
    };
    match refusal {
        Refusal::Unknown { what: KIND_OF_WORK, name, .. } => work(&|work| work.work == *name, "work"),
        Refusal::NotThere { what: KIND_OF_WORK, name, at, .. } => {
            work(&|work| work.work == *name && work.at.parse() == Ok(*at), "at")
        }
        Refusal::Unknown { what: "part or cause", .. } => "disturbed".to_owned(),
        Refusal::NoCondition { .. } => "reported".to_owned(),
        Refusal::OutOfRange(_) => "window-hours".to_owned(),
        _ => "complaint".to_owned(),
    }
}

/// `NAME at SITE` taken apart.
fn named_at(text: &str) -> (&str, Option<&str>) {
    match text.split_once(" at ") {
        Some((name, at)) => (name.trim(), Some(at.trim())),
        None => (text.trim(), None),
    }
}

fn site(evidence: &Strict<Evidence>, path: &str, text: &str) -> Result<Site, Fault> {
    text.parse().map_err(|_| {
        let message = format!("\"{text}\" is not a site.");
        Box::new(evidence.fault(path, &message, "Write engine, left, right, left coil A, cylinder 3 or left 3."))
    })
}

/// The one site of a complaint that was named without one.
fn only_site(model: &Model, evidence: &Strict<Evidence>, complaint: &str) -> Result<Site, Fault> {
    let sites: Vec<Site> = model.complaints.iter().filter(|c| c.name == complaint).map(|c| c.site).collect();
    match sites.as_slice() {
        [only] => Ok(*only),
        // Refused by name when the opening is tested.
        [] => Ok(Site::Engine),
        several => {
            let words: Vec<String> = several.iter().map(ToString::to_string).collect();
            let message = format!("The complaint \"{complaint}\" can be at several sites.");
            let mend = format!("Write {complaint} at SITE, with SITE one of {}.", words.join(", "));
            Err(Box::new(evidence.fault("complaint", &message, &mend)))
        }
    }
}

fn refused(evidence: &Strict<Evidence>, path: &str, refusal: &Refusal) -> Fault {
    let mut words = refusal.to_string();
    if let Some(first) = words.get(..1).map(str::to_ascii_uppercase) {
        words.replace_range(..1, &first);
    }
    if !words.ends_with(['.', '?', '!']) {
        words.push('.');
    }
    Box::new(evidence.fault(
        path,
        &words,
        "`roughrun tree show` lists the names, and `roughrun tree show NAME` what each has.",
    ))
}

/// The job so far.
struct Work<'a> {
    job: Job,
    evidence: &'a Strict<Evidence>,
    /// Whether nothing was entered in the spell it is now.
    fresh: bool,
}

impl Work<'_> {
    fn enter(&mut self, path: &str, entry: Entry) -> Result<(), Fault> {
        let number = self.job.next_number();
        let logged = Logged { number, when: String::new(), entry };
        self.job.enter(logged).map_err(|refusal| refused(self.evidence, path, &refusal))
    }

    fn said(&self, path: &str, said: &super::evidence::Said) -> Result<Option<bool>, Fault> {
        said.meaning().map_err(|()| {
            Box::new(self.evidence.fault(path, "This is neither yes, no nor unknown.", "Write yes, no or unknown."))
        })
    }

    fn spell(&mut self, at: usize, spell: &SpellEvidence) -> Result<(), Fault> {
        let here = format!("spells/{at}");
        // A spell with nothing in it needs no other beside it.
        if !(self.fresh && spell.conditions.is_empty()) {
            self.enter(&format!("{here}/conditions"), Entry::Conditions { levels: spell.conditions.clone() })?;
        }
        self.fresh = false;
        if let Some(said) = &spell.showing {
            let path = format!("{here}/showing");
            let showing = self.said(&path, said)?;
            self.enter(&path, Entry::Showing { showing, ran: false })?;
        }
        for (i, check) in spell.checks.iter().enumerate() {
            self.check(&format!("{here}/checks/{i}"), check)?;
        }
        for (i, cause) in spell.confirmed.iter().enumerate() {
            let path = format!("{here}/confirmed/{i}");
            let at = site(self.evidence, &format!("{path}/at"), &cause.at)?;
            self.enter(&format!("{path}/cause"), Entry::Confirmed { cause: cause.cause.clone(), at })?;
        }
        for (i, correction) in spell.corrections.iter().enumerate() {
            self.correction(&format!("{here}/corrections/{i}"), correction)?;
            // A correction begins a spell of its own.
            self.fresh = true;
        }
        if let Some(proof) = &spell.proof_run {
            self.proof(&format!("{here}/proof-run"), proof)?;
            self.fresh = false;
        }
        Ok(())
    }

    fn check(&mut self, path: &str, check: &CheckEvidence) -> Result<(), Fault> {
        let at = site(self.evidence, &format!("{path}/at"), &check.at)?;
        let answer = Answer {
            check: check.check.clone(),
            at,
            outcome: check.outcome.clone(),
            reading: check.reading.clone(),
            celsius: check.celsius,
            looks_so: check.looks_so,
            as_typed: check.as_typed,
        };
        let number = self.job.next_number();
        let logged = Logged { number, when: String::new(), entry: Entry::Answer(answer) };
        // Nobody can be asked here: a reading whose unit may have slipped is taken, and counts as either.
        let taken = match self.job.enter(logged.clone()) {
            Err(Refusal::Slip { .. }) => self.job.take(logged),
            taken => taken,
        };
        taken.map_err(|refusal| {
            let field = match &refusal {
                Refusal::NoOutcome { .. } => "outcome",
                Refusal::Reading(_) | Refusal::TakesNoReading(_) | Refusal::CannotBe { .. } => "reading",
                Refusal::NotThere { .. } => "at",
                Refusal::OutOfRange(_) => "celsius",
                _ => "check",
            };
            refused(self.evidence, &format!("{path}/{field}"), &refusal)
        })
    }

    fn correction(&mut self, path: &str, said: &CorrectionEvidence) -> Result<(), Fault> {
        let at = site(self.evidence, &format!("{path}/at"), &said.at)?;
        match (&said.correction, &said.cause) {
            (Some(name), None) => {
                self.enter(&format!("{path}/correction"), Entry::Corrected { correction: name.clone(), at })
            }
            (None, Some(cause)) => {
                let path = format!("{path}/cause");
                let model = self.job.shared_model();
                let found = model.find_cause(cause, at).and_then(|id| model.cures(id).first().copied());
                let Some(id) = found else {
                    // The refusal says which of name and site is wrong.
                    let entry = Entry::Confirmed { cause: cause.clone(), at };
                    self.enter(&path, entry)?;
                    let mend = "Name the correction that was done with correction: instead.";
                    return Err(Box::new(self.evidence.fault(
                        &path,
                        "No correction in this tree cures this cause.",
                        mend,
                    )));
                };
                let correction = &model[id];
                self.enter(&path, Entry::Corrected { correction: correction.name.clone(), at: correction.site })
            }
            _ => {
                let message = "A correction has either a cause or a correction.";
                let mend = "Name the cause it was done for, or the correction itself, and not both.";
                Err(Box::new(self.evidence.fault(path, message, mend)))
            }
        }
    }

    fn proof(&mut self, path: &str, proof: &ProofEvidence) -> Result<(), Fault> {
        let at = format!("{path}/showing");
        let Some(showing) = self.said(&at, &proof.showing)? else {
            let mend = "Write yes if the complaint showed in the run and no if it did not.";
            return Err(Box::new(self.evidence.fault(&at, "A proof run shows the complaint or does not.", mend)));
        };
        self.enter(&format!("{path}/conditions"), Entry::ProofRun { showing, levels: proof.conditions.clone() })
    }
}
