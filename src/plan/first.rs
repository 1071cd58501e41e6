//! What comes before everything else, whatever it is worth: a propeller that may be live is grounded, and what work made necessary is made
//! good before the engine is started or the job ends.

use crate::model::{CheckId, Mode, Seen, Side};
use crate::work::{Action, Ledger, grounding_checks};

use super::advice::Suggestion;
use super::situation::Situation;

/// From this chance on to show a cause a look tells whether it is there. Placeholder.
const TELLS: f64 = 0.5;

/// Puts first what must come first, and leaves out ends that a side which may be live keeps from.
pub(super) fn put_first(situation: &Situation<'_>, ranked: Vec<Suggestion>, to_come: f64) -> Vec<Suggestion> {
    let Some(ledger) = situation.now.ledger else { return ranked };
    let ranked = if ledger.live().is_empty() { ranked } else { at_rest_first(situation, ranked) };
    let mut first: Vec<Suggestion> =
        ledger.live().iter().filter_map(|side| prove(situation, *side, ranked.is_empty(), to_come)).collect();
    if first.is_empty() {
        first = owed(situation, ledger, &ranked, to_come);
    }
    let ranked = look_before_spending(situation, ranked, !first.is_empty());
    let put = |s: &Suggestion| first.iter().any(|f| f.action == s.action);
    let rest: Vec<Suggestion> = ranked.into_iter().filter(|s| !put(s)).collect();
    first.into_iter().chain(rest).collect()
}

/// While a side may be live, what is done with the engine at rest comes before what turns it, and nothing ends the job but handing it over.
fn at_rest_first(situation: &Situation<'_>, ranked: Vec<Suggestion>) -> Vec<Suggestion> {
    let ends = |s: &Suggestion| matches!(s.action, Action::CloseCured | Action::CloseNotFound);
    let turns = |s: &Suggestion| situation.now.work(s.action).engine.turns();
    let (turning, at_rest): (Vec<_>, Vec<_>) = ranked.into_iter().filter(|s| !ends(s)).partition(turns);
    at_rest.into_iter().chain(turning).collect()
}

/// What the look that comes first would tell is not put right beside it: such corrections come after the other looks, and so do all while
/// something else has to be done first.
fn look_before_spending(situation: &Situation<'_>, ranked: Vec<Suggestion>, waits: bool) -> Vec<Suggestion> {
    let model = situation.model;
    let Some(Action::Check(look)) = ranked.first().map(|s| s.action).filter(|_| !waits) else {
        let (corrections, rest): (Vec<_>, Vec<_>) =
            ranked.into_iter().partition(|s| waits && matches!(s.action, Action::Correct(_)));
        return rest.into_iter().chain(corrections).collect();
    };
    let told = |s: &Suggestion| match s.action {
        Action::Correct(id) => model[id].cures.iter().any(|cause| model[look].shows(*cause) >= TELLS),
        _ => false,
    };
    let (told, rest): (Vec<_>, Vec<_>) = ranked.into_iter().partition(told);
    rest.into_iter().chain(told).collect()
}

/// The check with the engine at rest that proves a side grounded or finds that it is not, the shortest; none where one was made since the
/// last correction and something else can be done: then what it found is to be put right.
fn prove(situation: &Situation<'_>, side: Side, nothing_else: bool, to_come: f64) -> Option<Suggestion> {
    let model = situation.model;
    let at_rest = |id: &CheckId| model[*id].manner.engine == Mode::AtRest;
    let all: Vec<CheckId> = grounding_checks(model, side).filter(at_rest).collect();
    let found_live = |(id, seen): &(CheckId, Option<Seen>)| all.contains(id) && matches!(seen, Some(Seen::Abnormal(_)));
    if !nothing_else && situation.seen_since_corrected.iter().any(found_live) {
        return None;
    }
    let ready = all.into_iter().filter(|id| !situation.barred.contains(id));
    let minutes = |id: &CheckId| situation.now.work(Action::Check(*id)).minutes;
    let shortest = ready.min_by(|a, b| minutes(a).total_cmp(&minutes(b)).then(a.cmp(b)))?;
    let work = situation.now.work(Action::Check(shortest));
    let why = format!(
        "The {side} side may be live: before anything else this proves, with the engine at rest, whether its switch grounds it."
    );
    Some(Suggestion::plain(Action::Check(shortest), &work, to_come.max(work.minutes), why))
}

/// The checks owed before what is suggested first: those before a start where it starts the engine, all where it ends the job.
fn owed(situation: &Situation<'_>, ledger: &Ledger, ranked: &[Suggestion], to_come: f64) -> Vec<Suggestion> {
    let model = situation.model;
    let Some(next) = ranked.first().map(|s| s.action) else { return Vec::new() };
    let starts = situation.now.work(next).engine.runs() && !next.closes();
    let owed = ledger.owed().into_iter().map(|(id, owed)| (id, owed.before_run));
    let coming = ledger.owed_once_closed(model, situation.now.setting.open.iter());
    let coming = coming.into_iter().filter(|_| next.closes());
    let due = owed.filter(|(_, before_run)| next.closes() || starts && *before_run).chain(coming);
    let suggestion = |(id, before_run): (CheckId, bool)| {
        let work = situation.now.work(Action::Check(id));
        let before = if before_run { "before the engine is started" } else { "before the job can end" };
        let why = format!("Owed {before}, for the work that was done. {}", model[id].purpose);
        Suggestion::plain(Action::Check(id), &work, to_come.max(work.minutes), why)
    };
    due.map(suggestion).collect()
}
