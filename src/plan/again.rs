//! Whether to look again at what was answered already. An answer that does not fit the others may be a slip, and what is done on the word of
//! a slip is done in vain: that is what a second look saves, against its own minutes.

use crate::model::{CauseId, CorrectionId, CorrectionKind};
use crate::work::Action;

use super::advice::Suggestion;
use super::candidate::worth_of;
use super::corrections::{LEAST, MINUTES_OF_A_COME_BACK, minutes_in_vain};
use super::doubt::Doubt;
use super::situation::Situation;

/// The second looks, each with its worth: minutes saved per minute, as of everything else.
pub(super) fn look_again(situation: &Situation<'_>, to_come: f64) -> Vec<(f64, Suggestion)> {
    let one = |doubt: &Doubt| {
        let work = situation.now.work(Action::Check(doubt.check));
        let lost = Lost::of(situation, doubt);
        let saved = doubt.slip * lost.minutes * (lost.chances.0 - lost.chances.1).abs();
        let to_come = (to_come - saved).max(0.0) + work.minutes;
        let plain = Suggestion::plain(Action::Check(doubt.check), &work, to_come, lost.why(situation, doubt));
        (worth_of(saved, work.minutes), Suggestion { again: true, ..plain })
    };
    situation.doubts.iter().map(one).collect()
}

/// What going by an answer costs where it is a slip.
struct Lost {
    /// The correction that the answer makes likelier, at the greatest cost; none where it makes none so, and what is there is missed.
    lead: Option<CorrectionId>,
    /// How likely it is to be needed by all answers, and by all others; where there is none, how likely is the likeliest cause.
    chances: (f64, f64),
    /// Minutes that are lost where it is done in vain, or where what is there is missed.
    minutes: f64,
}

impl Lost {
    fn of(situation: &Situation<'_>, doubt: &Doubt) -> Self {
        let model = situation.model;
        let likeliest = |causes: &[CauseId]| {
            let with = |id: &CauseId| situation.posterior.causes.get(id.0).map_or(0.0, |cause| cause.present);
            let without = |id: &CauseId| doubt.without.get(id.0).copied().unwrap_or(0.0);
            let greatest = |of: &dyn Fn(&CauseId) -> f64| causes.iter().map(of).fold(0.0, f64::max);
            (greatest(&with), greatest(&without))
        };
        let raised = |id: CorrectionId| {
            let chances = likeliest(&model[id].cures);
            (chances.0 - chances.1 >= LEAST).then(|| Self { lead: Some(id), chances, minutes: in_vain(situation, id) })
        };
        let costs = |lost: &Self| (lost.chances.0 - lost.chances.1) * lost.minutes;
        let raised = (0..model.corrections.len()).map(CorrectionId).filter_map(raised);
        raised.max_by(|a, b| costs(a).total_cmp(&costs(b))).unwrap_or_else(|| {
            let all: Vec<CauseId> = model.listed().collect();
            let (with, without) = likeliest(&all);
            Self { lead: None, chances: (with.min(without), without), minutes: MINUTES_OF_A_COME_BACK }
        })
    }

    fn why(&self, situation: &Situation<'_>, doubt: &Doubt) -> String {
        let (with, without, minutes) = (100.0 * self.chances.0, 100.0 * self.chances.1, self.minutes);
        let slip = 100.0 * doubt.slip;
        let costs = match self.lead {
            Some(id) => {
                let title = Action::Correct(id).title(situation.model);
                format!(
                    "\"{title}\" is {with:.0} % likely to be needed with it and {without:.0} % without; in vain it costs {minutes:.0} min."
                )
            }
            None => format!(
                "The likeliest cause stands at {with:.0} % with it and at {without:.0} % without; missed, it costs {minutes:.0} min."
            ),
        };
        format!("What was answered here does not fit the rest: {slip:.0} % likely a slip. {costs}")
    }
}

/// Minutes of a correction that is done in vain: its own, those of the run after it, and what a good part or a hand-over costs.
fn in_vain(situation: &Situation<'_>, id: CorrectionId) -> f64 {
    let correction = &situation.model[id];
    let work = situation.now.work(Action::Correct(id));
    let proof = match correction.kind {
        CorrectionKind::HandOver => 0.0,
        _ => situation.now.at(&work.after).work(Action::ProofRun).minutes,
    };
    work.minutes + proof + minutes_in_vain(correction.kind)
}
