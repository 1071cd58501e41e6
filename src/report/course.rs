//! The course of a job: every entry in its spell, undone and amended ones marked.

use std::collections::BTreeMap;

use serde::Serialize;

use super::account::safe;
use super::when::{moment, unlike_rest};
use crate::job::{Entry, Given, Job, Origin, Spell, tell};
use crate::model::{ComplaintId, Conditions, CorrectionKind, Model, Sees};
use crate::text::safe_lines;

/// A spell of the job with its entries.
#[derive(Debug, Clone, Serialize)]
pub struct Stretch {
    /// Its number; the pilot's report is 0.
    pub spell: usize,
    /// How it came about.
    pub origin: &'static str,
    /// Its conditions.
    pub conditions: String,
    /// Whether the complaint showed: yes, no, or not known.
    pub showing: &'static str,
    /// Its entries, in order.
    pub entries: Vec<Told>,
}

/// An entry in words.
#[derive(Debug, Clone, Serialize)]
pub struct Told {
    /// Its number in the record.
    pub number: u64,
    /// Wall time.
    pub when: String,
    /// What it says.
    pub words: String,
    /// Why it does not stand as it is, where it does not: taken back, put right, answered again.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub mark: String,
}

/// A check that stands.
#[derive(Debug, Clone, Serialize)]
pub struct CheckLine {
    /// Number of its entry.
    pub number: u64,
    /// Name in the tree.
    pub check: String,
    /// Where.
    pub at: String,
    /// Title with site.
    pub title: String,
    /// Number of its spell.
    pub spell: usize,
    /// The outcome, or that it is open.
    pub outcome: String,
    /// The reading as typed, with the temperature of the part where taken.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub reading: String,
    /// What the limit says of the reading, the limit and its source included.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub verdict: String,
    /// What was expected.
    pub expected: String,
    /// Where method and limits come from.
    pub source: String,
}

/// A correction that was carried out.
#[derive(Debug, Clone, Serialize)]
pub struct CorrectionLine {
    /// Number of its entry.
    pub number: u64,
    /// Wall time.
    pub when: String,
    /// Title with site.
    pub title: String,
    /// Kind, in a word.
    pub kind: &'static str,
    /// Parts and materials that the tree names for it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<String>,
    /// How the tree says that it is proven, beside the proof run.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub proof: String,
    /// Where it comes from.
    pub source: String,
}

/// Wall time of an entry.
pub(super) fn when(job: &Job, number: u64) -> String {
    job.log().iter().find(|l| l.number == number).map(|l| safe(&l.when)).unwrap_or_default()
}

/// Whether the complaint showed, in words.
fn showing_words(showing: Option<bool>) -> &'static str {
    match showing {
        Some(true) => "the complaint showed",
        Some(false) => "the complaint did not show",
        None => "not known whether the complaint showed",
    }
}

/// What is added to a look that does not depend on the conditions of its spell.
fn awake_or_not(model: &Model, entry: &Entry) -> &'static str {
    let check = match entry {
        Entry::Answer(answer) => model.find_check(&answer.check, answer.at),
        _ => None,
    };
    let present = check.is_some_and(|id| model[id].sees == Sees::Present);
    if present { " (whatever the conditions)" } else { "" }
}

/// All entries by spell.
pub(super) fn stretches(job: &Job) -> Vec<Stretch> {
    let (model, state) = (job.model(), job.state());
    let marks = marks(job);
    let mut stretches: Vec<Stretch> = state
        .spells
        .iter()
        .enumerate()
        .map(|(at, spell)| Stretch {
            spell: at,
            origin: spell.origin.words(),
            conditions: safe(&spell.conditions.named(&model.conditions)),
            showing: showing_words(spell.showing),
            entries: Vec::new(),
        })
        .collect();
    for logged in job.log() {
        let told = Told {
            number: logged.number,
            when: safe(&logged.when),
            words: safe_lines(&format!("{}{}", tell(model, &logged.entry), awake_or_not(model, &logged.entry)))
                .into_owned(),
            mark: marks.get(&logged.number).cloned().unwrap_or_default(),
        };
        // The opening belongs to the report; anything else to the last spell that had begun by then.
        let at = match logged.entry {
            Entry::Opened(_) => Some(0),
            _ => state.spells.iter().rposition(|s| s.number <= logged.number),
        };
        if let Some(stretch) = at.and_then(|at| stretches.get_mut(at)) {
            stretch.entries.push(told);
        }
    }
    stretches
}

/// Why entries do not stand as they are.
fn marks(job: &Job) -> BTreeMap<u64, String> {
    let mut marks = BTreeMap::new();
    let taken_back: Vec<u64> = job
        .log()
        .iter()
        .filter_map(|l| match l.entry {
            Entry::Undo { of } => Some(of),
            _ => None,
        })
        .collect();
    let stands = |number: u64| job.state().given.iter().any(|g| g.number == number);
    for logged in job.log() {
        match &logged.entry {
            Entry::Undo { of } => {
                marks.insert(*of, format!("taken back by entry {}", logged.number));
            }
            Entry::Amend { of, .. } if !taken_back.contains(of) => {
                marks.insert(*of, format!("put right by entry {}", logged.number));
            }
            // The same thing looked at again: the later word stands for both.
            Entry::Answer(_) if !taken_back.contains(&logged.number) && !stands(logged.number) => {
                marks.entry(logged.number).or_insert_with(|| "looked at again: the later word stands".to_owned());
            }
            _ => {}
        }
    }
    marks
}

/// The checks that stand.
pub(super) fn checks(job: &Job) -> Vec<CheckLine> {
    job.state().given.iter().map(|given| check(job, given)).collect()
}

fn check(job: &Job, given: &Given) -> CheckLine {
    let model = job.model();
    let check = &model[given.check];
    let outcome = match (given.seen(), &given.judged) {
        (Some(seen), _) => check.outcome_title(seen).to_owned(),
        (None, Some(Ok(judged))) if judged.clear => "not told apart by the reading alone".to_owned(),
        (None, Some(Ok(_))) => "too close to call".to_owned(),
        (None, _) => "not judged yet".to_owned(),
    };
    let verdict = match &given.judged {
        Some(Ok(judged)) => judged.words.clone(),
        Some(Err(needed)) => needed.clone(),
        None => String::new(),
    };
    let celsius = given.celsius.map(|t| format!(" at {t} C")).unwrap_or_default();
    let reading = given.typed.trim();
    CheckLine {
        number: given.number,
        check: check.name.clone(),
        at: check.site.to_string(),
        title: safe(&format!("{}, {}", check.title, model.site_words(check.site))),
        spell: given.spell,
        outcome: safe(&outcome),
        reading: if reading.is_empty() { String::new() } else { safe(&format!("{reading}{celsius}")) },
        verdict: safe(&verdict),
        expected: safe(&check.expected),
        source: safe(&model.cited_words(&check.source)),
    }
}

impl CorrectionLine {
    /// Whether it hands the fault over, and so mends nothing here.
    pub(super) fn hands_over(&self) -> bool {
        self.kind == CorrectionKind::HandOver.words()
    }

    /// In one line: when, what, parts, how it is proven, source.
    pub(super) fn words(&self) -> String {
        let parts = if self.parts.is_empty() { String::new() } else { format!(" Parts: {}.", self.parts.join(", ")) };
        let proof = if self.proof.is_empty() { String::new() } else { format!(" Proof: {}", self.proof) };
        format!("{} {} ({}).{parts}{proof} Source: {}", self.when, self.title, self.kind, self.source)
    }
}

/// The corrections carried out.
pub(super) fn corrections(job: &Job) -> Vec<CorrectionLine> {
    let model = job.model();
    let line = |done: &crate::job::Done| {
        let correction = &model[done.correction];
        CorrectionLine {
            number: done.number,
            when: when(job, done.number),
            title: safe(&format!("{}, {}", correction.title, model.site_words(correction.site))),
            kind: correction.kind.words(),
            parts: correction.parts.iter().map(|p| safe(p)).collect(),
            proof: safe(&correction.proof),
            source: safe(&model.cited_words(&correction.source)),
        }
    };
    job.state().done.iter().map(line).collect()
}

/// The last proof run of each complaint, a sentence each; none where no proof run was made.
pub(super) fn last_proofs(job: &Job) -> Vec<String> {
    let (model, state) = (job.model(), job.state());
    if state.also.is_empty() {
        return state.last_proof().map(|spell| run(job, spell)).into_iter().collect();
    }
    let of = |(id, _): (ComplaintId, &Conditions)| {
        let complaint = safe(&format!("{}, {}", model[id].title, model.site_words(model[id].site)));
        let run = state.last_proof_of(id).map(|spell| run(job, spell));
        format!("{complaint}: {}", run.unwrap_or_else(|| "no run under its conditions was made.".to_owned()))
    };
    if state.last_proof().is_some() { state.complaints().map(of).collect() } else { Vec::new() }
}

fn run(job: &Job, spell: &Spell) -> String {
    let model = job.model();
    let under = unlike_rest(&spell.conditions, &model.conditions);
    let under = if under.is_empty() { String::new() } else { format!(" when {under}") };
    let on = moment(&when(job, spell.number));
    let on = if on.is_empty() { String::new() } else { format!(" on {on}") };
    safe(&format!("Run{on}{under}: {}.", showing_words(spell.showing)))
}

/// Proof runs in words.
pub(super) fn proof_runs(job: &Job) -> Vec<String> {
    let (model, state) = (job.model(), job.state());
    let runs = state.spells.iter().filter(|s| s.origin == Origin::Proof);
    runs.map(|spell| {
        let conditions = spell.conditions.named(&model.conditions);
        safe(&format!("{}: conditions {conditions}; {}", when(job, spell.number), showing_words(spell.showing)))
    })
    .collect()
}

/// Cautions acknowledged.
pub(super) fn cautions(job: &Job) -> Vec<Told> {
    let told = |(number, entry): (u64, Entry)| match &entry {
        Entry::Acknowledged { hazard } => {
            let caution = job.model().hazards.iter().find(|h| h.name == *hazard).map(|h| h.caution.as_str());
            let words = format!("{}. {}", tell(job.model(), &entry), caution.unwrap_or_default());
            Some(Told { number, when: when(job, number), words: safe(&words), mark: String::new() })
        }
        _ => None,
    };
    job.standing_entries().into_iter().filter_map(told).collect()
}
