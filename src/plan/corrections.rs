//! What can be put right next, and whether that beats looking further.

use std::collections::BTreeMap;

use crate::model::{CauseId, CorrectionId, CorrectionKind};
use crate::work::{Action, Work};

use super::advice::Suggestion;
use super::hypotheses::{Hypotheses, Remedy, cheapest_cures};
use super::situation::Situation;
use super::value::{WORTH_PROVING, minutes_to_come, remedy_minutes};

/// Minutes that a good part thrown away is taken to cost where the tree gives no price: ordering, fitting, waiting. Placeholder.
const MINUTES_OF_A_GOOD_PART: f64 = 120.0;
/// Minutes that handing over costs when it was something else: the other trade looks for nothing, and the aircraft comes back. Placeholder.
pub(super) const MINUTES_OF_A_COME_BACK: f64 = 240.0;
/// From this probability on a correction is put before looks that only chase the little doubt left.
const SURE: f64 = 0.9;
/// How much more it then counts.
const WORTH_OF_BEING_SURE: f64 = 4.0;
/// Corrections that are worked out.
const MOST: usize = 4;
/// Probability below which a correction is not worth naming.
pub(super) const LEAST: f64 = 0.05;

/// A correction with its worth.
pub(super) struct Mend {
    id: CorrectionId,
    /// Probability that something it cures is there.
    needed: f64,
    work: Work,
    /// Minutes that it saves of those to come, per minute that it costs.
    pub(super) worth: f64,
}

/// The corrections likeliest to be needed.
pub(super) fn corrections(situation: &Situation<'_>, hypotheses: &Hypotheses, to_come: f64) -> Vec<Mend> {
    let model = situation.model;
    let cure = cheapest_cures(model);
    let mut needed = vec![0.0; model.corrections.len()];
    for h in &hypotheses.all {
        let mut asked: Vec<CorrectionId> = h.members.iter().filter_map(|(c, _)| cure[c.0]).collect();
        asked.sort_unstable();
        asked.dedup();
        asked.iter().for_each(|id| needed[id.0] += h.weight);
    }
    let mut likeliest: Vec<CorrectionId> =
        (0..needed.len()).filter(|i| needed[*i] >= LEAST).map(CorrectionId).collect();
    likeliest.sort_by(|a, b| needed[b.0].total_cmp(&needed[a.0]));
    likeliest.truncate(MOST);
    likeliest.into_iter().map(|id| mend(situation, hypotheses, to_come, id, needed[id.0])).collect()
}

/// Minutes that a correction costs beside its own work where it was not needed.
pub(super) fn minutes_in_vain(kind: CorrectionKind) -> f64 {
    match kind {
        CorrectionKind::HandOver => MINUTES_OF_A_COME_BACK,
        kind if kind.spends_part() => MINUTES_OF_A_GOOD_PART,
        _ => 0.0,
    }
}

/// The other corrections that cure what this one is sure to be needed for; none where it is not sure. What is found is put right in one way
/// or another before more is looked for.
pub(super) fn otherwise(
    situation: &Situation<'_>,
    hypotheses: &Hypotheses,
    to_come: f64,
    first: CorrectionId,
) -> Vec<Suggestion> {
    let model = situation.model;
    let found: Vec<CauseId> =
        model[first].cures.iter().copied().filter(|cause| hypotheses.of_cause(*cause) >= SURE).collect();
    let cures = |id: &CorrectionId| {
        let correction = &model[*id];
        *id != first
            && correction.kind != CorrectionKind::HandOver
            && found.iter().any(|c| correction.cures.contains(c))
    };
    let mut others: Vec<Suggestion> = (0..model.corrections.len())
        .map(CorrectionId)
        .filter(cures)
        .map(|id| {
            let work = situation.now.work(Action::Correct(id));
            let why = format!("Puts the same right in another way than \"{}\".", model[first].title);
            Suggestion::plain(Action::Correct(id), &work, to_come.max(work.minutes), why)
        })
        .collect();
    others.sort_by(|a, b| a.minutes.total_cmp(&b.minutes).then(a.action.cmp(&b.action)));
    others
}

fn mend(situation: &Situation<'_>, hypotheses: &Hypotheses, to_come: f64, id: CorrectionId, needed: f64) -> Mend {
    let model = situation.model;
    let correction = &model[id];
    let work = situation.now.work(Action::Correct(id));
    // What each remedy still asks for after this correction, alike ones together.
    let mut rest: BTreeMap<Remedy, f64> = BTreeMap::new();
    for (weight, remedy) in hypotheses.remedy_weight.iter().zip(&hypotheses.remedies) {
        if remedy.0.contains(&Some(id)) {
            let without = Remedy(remedy.0.iter().copied().filter(|asked| *asked != Some(id)).collect());
            *rest.entry(without).or_default() += weight * (1.0 - correction.fails);
            *rest.entry(remedy.clone()).or_default() += weight * correction.fails;
        } else {
            *rest.entry(remedy.clone()).or_default() += weight;
        }
    }
    let nothing_left = rest.get(&Remedy(Vec::new())).copied().unwrap_or(0.0);
    // While it is likelier than not that something else is left, another correction comes before the proof run.
    let proving = 1.0 - nothing_left <= WORTH_PROVING;
    let proof = proving.then(|| situation.now.at(&work.after).work(Action::ProofRun));
    if proving {
        rest.remove(&Remedy(Vec::new()));
    }
    let after = proof.as_ref().map_or(&work.after, |proof| &proof.after);
    let rest_minutes: Vec<f64> = rest.keys().map(|remedy| remedy_minutes(situation, after, remedy)).collect();
    let rest_weight: Vec<f64> = rest.into_values().collect();
    let cost =
        work.minutes + proof.map_or(0.0, |proof| proof.minutes) + (1.0 - needed) * minutes_in_vain(correction.kind);
    let saved = to_come - minutes_to_come(&rest_weight, &rest_minutes);
    let sure = if needed >= SURE { WORTH_OF_BEING_SURE } else { 1.0 };
    Mend { id, needed, work, worth: sure * saved / cost.max(0.5) }
}

impl Mend {
    pub(super) fn suggestion(&self, situation: &Situation<'_>, to_come: f64) -> Suggestion {
        let percent = 100.0 * self.needed;
        let why = if situation.model[self.id].kind == CorrectionKind::HandOver {
            format!("{percent:.0} % likely to be what is wrong, and it is not ignition.")
        } else {
            format!("{percent:.0} % likely to be needed; looking further first would take longer than it saves.")
        };
        Suggestion::plain(Action::Correct(self.id), &self.work, to_come.max(self.work.minutes), why)
    }
}
