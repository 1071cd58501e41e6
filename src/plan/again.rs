//! Whether to look again at what was answered already. An answer that does not fit the others may be a slip, and what is done on the word of
//! a slip is done in vain: that is what a second look saves, against its own minutes.

use std::sync::Arc;

use crate::model::{CauseId, CheckId, CorrectionId, CorrectionKind};
use crate::work::Action;

use super::advice::Suggestion;
use super::candidate::worth_of;
use super::corrections::{LEAST, MINUTES_OF_A_COME_BACK, likeliest, minutes_in_vain};
use super::hypotheses::Hypotheses;
use super::situation::Situation;

/// An answer that does not fit the others, and that can be looked at again.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// The check it is of.
    pub check: CheckId,
    /// Probability that it is a slip, 0 to 1.
    pub slip: f64,
    /// For each cause, the probability that it is there by all other answers.
    pub without: Arc<[f64]>,
}

/// The second looks, each with its worth: minutes saved per minute, as of everything else.
pub(super) fn look_again(situation: &Situation<'_>, hypotheses: &Hypotheses, to_come: f64) -> Vec<(f64, Suggestion)> {
    if situation.doubts.is_empty() {
        return Vec::new();
    }
    let lead = likeliest(situation, hypotheses).into_iter().find(|(_, needed)| *needed >= LEAST);
    let one = |doubt: &Doubt| {
        let work = situation.now.work(Action::Check(doubt.check));
        let lost = Lost::of(situation, doubt, lead.map(|(id, _)| id));
        let saved = doubt.slip * lost.chance * lost.minutes;
        let mut suggestion = Suggestion::plain(
            Action::Check(doubt.check),
            &work,
            (to_come - saved).max(0.0) + work.minutes,
            lost.why(situation, doubt),
        );
        suggestion.again = true;
        (worth_of(saved, work.minutes), suggestion)
    };
    situation.doubts.iter().map(one).collect()
}

/// What going by an answer costs where it is a slip.
struct Lost {
    /// The correction that leads by it; none where nothing does, and the job would end.
    lead: Option<CorrectionId>,
    /// Probability, where it is a slip, that what leads is in vain.
    chance: f64,
    /// Minutes that are then lost.
    minutes: f64,
}

impl Lost {
    fn of(situation: &Situation<'_>, doubt: &Doubt, lead: Option<CorrectionId>) -> Self {
        let without = |id: &CauseId| doubt.without.get(id.0).copied().unwrap_or(0.0);
        let likeliest = |causes: &mut dyn Iterator<Item = CauseId>| causes.map(|id| without(&id)).fold(0.0, f64::max);
        match lead {
            Some(id) => {
                let correction = &situation.model[id];
                let work = situation.now.work(Action::Correct(id));
                let proof = match correction.kind {
                    CorrectionKind::HandOver => 0.0,
                    _ => situation.now.at(&work.after).work(Action::ProofRun).minutes,
                };
                Self {
                    lead,
                    chance: 1.0 - likeliest(&mut correction.cures.iter().copied()),
                    minutes: work.minutes + proof + minutes_in_vain(correction.kind),
                }
            }
            // Ending the job lets what is there by all others come back.
            None => Self {
                lead,
                chance: likeliest(&mut (0..doubt.without.len()).map(CauseId)),
                minutes: MINUTES_OF_A_COME_BACK,
            },
        }
    }

    fn why(&self, situation: &Situation<'_>, doubt: &Doubt) -> String {
        let in_vain = match self.lead {
            Some(id) => format!("\"{}\" would then", Action::Correct(id).title(situation.model)),
            None => "Ending the job would then".to_owned(),
        };
        format!(
            "What was answered here does not fit the rest: {:.0} % likely a slip. {in_vain} be {:.0} % likely to be in vain, and cost {:.0} min.",
            100.0 * doubt.slip,
            100.0 * self.chance,
            self.minutes,
        )
    }
}
