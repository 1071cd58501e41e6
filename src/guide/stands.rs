//! How the aircraft stands: what the engine does, how warm and wet it is, what is open, and what is owed before it can run or the job end.

use crate::job::{Job, State};
use crate::model::{AccessId, CheckId, Mode, Model};

use super::{access_words, check_words, closing_words};

/// Something to do before the aircraft is whole again.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What to do.
    pub words: String,
    /// Minutes that it takes from where the step before left off; none where that is not reckoned.
    pub minutes: Option<f64>,
}

/// How the aircraft stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Stands {
    /// What the engine does.
    pub engine: String,
    /// How warm and wet it is.
    pub conditions: String,
    /// How long ago the engine ran, where it stands and was run.
    pub since_run: Option<String>,
    /// What is open.
    pub open: Vec<String>,
    /// Sides that may be live.
    pub live: Vec<String>,
    /// What is open that leaves a magneto without its ground.
    pub ungrounded: Vec<String>,
    /// What has to be closed and done before the engine may run, in order.
    pub before_run: Vec<Step>,
    /// What has to be done besides before the job can end.
    pub before_end: Vec<Step>,
    /// Where there are several complaints, each with whether a run has shown that it is gone.
    pub complaints: Vec<String>,
    /// What is not sure after a pause, as a question.
    pub asks: Option<String>,
}

impl Stands {
    /// Of a job.
    #[must_use]
    pub fn of(job: &Job) -> Self {
        let (model, state) = (job.model(), job.state());
        let closes = state.now_for_work(model).change_engine(Mode::Flown).closes;
        let close = |id: &AccessId| Step { words: closing_words(model, *id), minutes: Some(model[*id].close) };
        let owed = state.ledger.owed();
        let coming = state.ledger.owed_once_closed(model, state.setting.open.iter());
        let all: Vec<(CheckId, bool)> = owed.iter().map(|(id, owed)| (*id, owed.before_run)).chain(coming).collect();
        let check = |id: CheckId| Step { words: format!("check: {}", check_words(model, id)), minutes: None };
        let of = |first: bool| all.iter().filter(move |(_, before_run)| *before_run == first).map(|(id, _)| check(*id));
        let live = state.ledger.live();
        let prove = live.iter().map(|side| Step { words: format!("prove the {side} side grounded"), minutes: None });
        Self {
            engine: model[state.setting.engine].title.clone(),
            conditions: state.setting.conditions.named(&model.conditions),
            since_run: since_run(state),
            open: state.setting.open.iter().map(|id| access_words(model, id)).collect(),
            ungrounded: state.ungrounded(model).into_iter().map(|id| access_words(model, id)).collect(),
            live: live.iter().map(ToString::to_string).collect(),
            before_run: closes.iter().map(close).chain(of(true)).collect(),
            before_end: prove.chain(of(false)).collect(),
            complaints: complaints(model, state),
            asks: asks(model, state),
        }
    }

    /// In one line, beside the conditions: what the engine does, since when it stands, what is open and owed.
    #[must_use]
    pub fn line(&self) -> String {
        let mut words = vec![self.engine.clone()];
        words.extend(self.since_run.clone());
        match self.open.as_slice() {
            [] => words.push("nothing open".to_owned()),
            open => words.push(format!("open: {}", open.join(", "))),
        }
        let owed = self.before_run.iter().chain(&self.before_end).filter(|step| step.minutes.is_none()).count();
        if owed > 0 {
            words.push(format!("owed: {owed}"));
        }
        words.join("; ")
    }

    /// The page in lines: what stands, what must be closed and done, in order.
    #[must_use]
    pub fn page(&self) -> Vec<String> {
        let since = self.since_run.as_ref().map(|since| format!("; {since}")).unwrap_or_default();
        let mut lines = vec![format!("Engine: {}{since}.", self.engine), format!("Conditions: {}.", self.conditions)];
        lines.extend(self.asks.clone());
        match self.open.as_slice() {
            [] => lines.push("Open: nothing.".to_owned()),
            open => lines.push(format!("Open: {}.", open.join("; "))),
        }
        lines.extend(self.ungrounded.iter().map(|open| format!("{open}: no switch grounds this magneto now.")));
        for side in &self.live {
            lines.push(format!("The {side} side may be live: keep clear of the propeller."));
        }
        lines.extend(self.complaints.iter().map(|complaint| format!("Complaint: {complaint}.")));
        numbered("Before the engine may be started:", &self.before_run, &mut lines);
        numbered("Besides, before the job can end:", &self.before_end, &mut lines);
        if self.before_run.is_empty() && self.before_end.is_empty() {
            lines.push("Nothing has to be closed, and no check is owed.".to_owned());
        }
        lines.push(
            "Worked out from what was entered. Look for yourself before the engine is started: what was opened and never entered is not in \
             it."
            .to_owned(),
        );
        lines
    }
}

fn numbered(heading: &str, steps: &[Step], lines: &mut Vec<String>) {
    if steps.is_empty() {
        return;
    }
    lines.push(heading.to_owned());
    for (at, step) in steps.iter().enumerate() {
        let minutes = step.minutes.map(|m| format!(" ({m:.0} min)")).unwrap_or_default();
        lines.push(format!("  {}. {}{minutes}", at + 1, step.words));
    }
}

fn complaints(model: &Model, state: &State) -> Vec<String> {
    if state.also.is_empty() {
        return Vec::new();
    }
    let unproven = state.unproven();
    let word = |id: crate::model::ComplaintId| {
        let gone = if unproven.contains(&id) { "not proven gone" } else { "gone in a proof run" };
        format!("{}, {}: {gone}", model[id].title, model.site_words(model[id].site))
    };
    state.complaints().map(|(id, _)| word(id)).collect()
}

fn since_run(state: &State) -> Option<String> {
    let since = state.setting.since_run().filter(|_| state.setting.engine == Mode::AtRest)?;
    Some(format!("ran {} ago", span(since)))
}

/// What is not sure after a pause.
fn asks(model: &Model, state: &State) -> Option<String> {
    let pause = state.paused.as_ref()?;
    let words = |levels: &crate::model::Conditions| levels.words(&model.conditions);
    let (now, before) = (words(&state.setting.conditions), words(&pause.before));
    Some(format!(
        "{} passed with nothing entered; by the clock it is {now} now. Or is it still {before}?",
        span(pause.minutes)
    ))
}

/// A span of time as a person says it.
fn span(minutes: f64) -> String {
    match minutes.max(0.0) {
        m if m < 90.0 => format!("{m:.0} min"),
        m if m < 36.0 * 60.0 => format!("{:.0} h", m / 60.0),
        m => format!("{:.0} days", m / 1440.0),
    }
}
