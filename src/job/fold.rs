//! The fold: the only way a job's state changes.

use crate::measure::{Context, Reading, judge, parse_reading};
use crate::model::{CauseId, ComplaintId, Conditions, Fitted, Mode, Model, Seen, Site};
use crate::work::{Action, Ledger, Minutes, On, Setting, Work, level_in, reach};

use super::clock::Clock;
use super::entry::{Answer, Entry, Logged, Opening, RecentWork};
use super::names;
use super::refusal::Refusal;
use super::state::{Also, Done, Given, Origin, Pause, Spell, State};

/// The most spells and answers that a job can have, and of these the most that tell of a fault. Everything believed is worked out from
/// all of them together, and beyond this it would take longer than the moment an answer may take. No engine gives so many: at ten minutes a
/// check, 1,000 answers are a month's work.
const MOST_SPELLS: usize = 400;
const MOST_ANSWERS: usize = 1_000;
const MOST_FINDINGS: usize = 100;

/// Minutes of a pause from which on it is asked how warm the engine still is. Placeholder.
const NOT_SURE_AFTER: f64 = 20.0;

const TOO_MUCH: Refusal = Refusal::TooMuch { answers: MOST_ANSWERS, findings: MOST_FINDINGS, spells: MOST_SPELLS };

/// Folds entries into a state, undone ones left out and amended ones in their new form.
///
/// # Errors
/// The number of the first entry that does not fit, and why.
pub(super) fn fold(model: &Model, log: &[Logged]) -> Result<State, (u64, Refusal)> {
    let standing = standing(log)?;
    let (first, rest) = standing.split_first().ok_or((0, Refusal::Opening))?;
    let Entry::Opened(opening) = &first.1 else { return Err((first.0, Refusal::Opening)) };
    let mut state = State::opened(model, first.0, opening).map_err(|r| (first.0, r))?;
    let mut clock = Clock::started(log, opening.follows_engine);
    for (number, entry) in rest {
        if let Some(pause) = clock.pause(log, *number, || state.minutes_by_the_clock(model, entry)) {
            state.pauses(model, pause);
        }
        state.enter(model, *number, entry).map_err(|r| (*number, r))?;
        if state.spells.len() > MOST_SPELLS || state.given.len() > MOST_ANSWERS {
            return Err((*number, TOO_MUCH));
        }
    }
    state.judge(model);
    if state.findings() > MOST_FINDINGS {
        return Err((standing.last().map_or(0, |(number, _)| *number), TOO_MUCH));
    }
    Ok(state)
}

/// The entries that stand, each with its number.
///
/// # Errors
/// The number of an undo or amendment that points nowhere.
pub(super) fn standing(log: &[Logged]) -> Result<Vec<(u64, Entry)>, (u64, Refusal)> {
    let mut standing: Vec<(u64, Entry)> = Vec::new();
    for logged in log {
        match &logged.entry {
            Entry::Undo { of } => {
                let at = find(&standing, logged.number, *of)?;
                standing.remove(at);
            }
            Entry::Amend { of, by } => {
                let at = find(&standing, logged.number, *of)?;
                if by.is_leads_word() || standing[at].1.is_leads_word() {
                    return Err((logged.number, Refusal::LeadsWord(*of)));
                }
                standing[at].1 = (**by).clone();
            }
            entry => {
                leads_word(log, logged).map_err(|refusal| (logged.number, refusal))?;
                standing.push((logged.number, entry.clone()));
            }
        }
    }
    Ok(standing)
}

/// A remark or review mark says who made it; a remark is about an entry that was there before it, whether that stands or not.
fn leads_word(log: &[Logged], logged: &Logged) -> Result<(), Refusal> {
    match &logged.entry {
        Entry::Remark { by, .. } | Entry::Reviewed { by } if by.trim().is_empty() => Err(Refusal::NoName),
        Entry::Remark { text, .. } if text.trim().is_empty() => Err(Refusal::NoWords),
        Entry::Remark { of: Some(of), .. } if *of >= logged.number || !log.iter().any(|l| l.number == *of) => {
            Err(Refusal::NothingThere(*of))
        }
        _ => Ok(()),
    }
}

fn find(standing: &[(u64, Entry)], number: u64, of: u64) -> Result<usize, (u64, Refusal)> {
    // The opening is no answer: a wrong one means another job.
    standing.iter().skip(1).position(|(n, _)| *n == of).map(|at| at + 1).ok_or((number, Refusal::NotStanding(of)))
}

impl State {
    fn opened(model: &Model, number: u64, opening: &Opening) -> Result<Self, Refusal> {
        let complaint = names::complaint(model, &opening.complaint, opening.at)?;
        let usual = &model[complaint].usual;
        let reported = names::with_levels(model, usual, &opening.reported)?;
        let window_hours = opening.window_hours.unwrap_or(crate::model::ORDINARY_WINDOW_HOURS);
        if !(window_hours.is_finite() && window_hours > 0.0 && window_hours <= 5000.0) {
            return Err(Refusal::OutOfRange(format!(
                "{window_hours} hours since it last ran well is outside 0 to 5,000; give the engine hours"
            )));
        }
        for disturbed in &opening.disturbed {
            names::part_or_cause(model, &disturbed.what, disturbed.at)?;
        }
        let mut recent_work = std::collections::BTreeSet::new();
        for done in opening.recent_work.iter().flat_map(RecentWork::done) {
            recent_work.extend(names::recent_work(model, &done.work, done.at)?);
        }
        let resting = Conditions::resting(&model.conditions);
        let mut spells = vec![Spell::begun(number, reported.clone(), Origin::Reported, complaint, Some(true))];
        let quiet = match &opening.quiet {
            Some(levels) if levels.is_empty() => None,
            Some(levels) => Some(names::with_levels(model, &resting, levels)?),
            // The complaint's own word holds unless the report contradicts it.
            None => model[complaint].quiet.clone().filter(|quiet| *quiet != reported),
        };
        if let Some(conditions) = quiet {
            spells.push(Spell::begun(number, conditions, Origin::ReportedQuiet, complaint, Some(false)));
        }
        spells.push(Spell::begun(number, resting, Origin::Work, complaint, None));
        let ages = opening.aircraft.iter().flat_map(|a| &a.parts);
        let ages = ages.map(|p| Fitted { part: p.part.clone(), site: p.at, hours: p.hours, years: p.years });
        // What was fitted new is younger than the card knows; the first entry of a part counts.
        let renewed = recent_work.iter().map(|id| &model[*id]).flat_map(|work| {
            let new =
                |part: &String| Fitted { part: part.clone(), site: work.site, hours: Some(0.0), years: Some(0.0) };
            work.renews.iter().map(new).collect::<Vec<_>>()
        });
        let ages = renewed.chain(ages).collect();
        Ok(Self {
            complaint,
            reported,
            also: Vec::new(),
            spells,
            shown_in: std::collections::BTreeSet::default(),
            shown_under: Vec::new(),
            given: Vec::new(),
            not_possible: std::collections::BTreeSet::default(),
            skipped: std::collections::BTreeSet::default(),
            confirmed: std::collections::BTreeSet::default(),
            upset: Vec::new(),
            done: Vec::new(),
            setting: Setting::resting(model, opening.follows_engine),
            ledger: Ledger::opened(model, complaint, opening.aircraft.iter().flat_map(|a| a.lacks.iter().cloned())),
            acknowledged: Vec::new(),
            acknowledged_for_next: Vec::new(),
            window_hours,
            recent_work,
            disturbed: opening.disturbed.iter().map(|d| (d.what.clone(), d.at)).collect(),
            ages,
            minutes: 0.0,
            spent: Minutes::default(),
            waited: 0.0,
            paused: None,
            follows_engine: opening.follows_engine,
            ended: None,
        })
    }

    /// How many answers and spells tell of a fault, or may.
    fn findings(&self) -> usize {
        let abnormal = |weights: &[f64]| weights.split_last().is_some_and(|(_, told)| told.iter().any(|w| *w > 0.0));
        let told = self.given.iter().filter(|g| abnormal(&g.weights)).count();
        told + self.spells.iter().filter(|s| s.showing == Some(true)).count()
    }

    fn enter(&mut self, model: &Model, number: u64, entry: &Entry) -> Result<(), Refusal> {
        if self.ended.is_some() && !matches!(entry, Entry::Note { .. }) && !entry.is_leads_word() {
            return Err(Refusal::Closed);
        }
        match entry {
            Entry::Opened(_) => return Err(Refusal::Opening),
            Entry::Conditions { levels } => {
                let conditions = names::with_levels(model, &self.conditions(), levels)?;
                self.paused = None;
                self.skipped.clear();
                self.begin(number, conditions, Origin::Work, None);
                self.stands_in(model);
            }
            Entry::Provoked { provocation } => {
                let work = self.work(model, Action::Provoke(names::provocation(model, provocation)?));
                self.skipped.clear();
                self.closing_brings(model, &work);
                self.did(model, number, work, On::Provoking);
                self.begin(number, self.conditions(), Origin::Work, None);
            }
            Entry::Showing { showing, ran } => self.shows(model, number, *showing, *ran),
            Entry::Answer(answer) => self.answer(model, number, answer)?,
            Entry::NotPossible { check, at, .. } => {
                self.not_possible.insert(names::check(model, check, *at)?);
            }
            Entry::Lacking { what } => {
                if what.trim().is_empty() {
                    return Err(Refusal::NoWords);
                }
                self.ledger.lacks(what.trim().to_owned());
            }
            Entry::NotProvoked { provocation, .. } => {
                self.ledger.refuse(names::provocation(model, provocation)?);
            }
            Entry::Skipped { check, at } => {
                self.skipped.insert(names::check(model, check, *at)?);
            }
            Entry::Confirmed { cause, at } => {
                self.confirmed.insert(names::cause(model, cause, *at)?);
            }
            Entry::Corrected { correction, at } => self.corrected(model, number, correction, *at)?,
            Entry::ProofRun { showing, levels } => {
                let conditions = names::with_levels(model, self.in_hand().1, levels)?;
                self.made_proof_run(model, number, *showing, conditions);
            }
            Entry::Complained { complaint, at, reported } => {
                let id = names::complaint(model, complaint, *at)?;
                let reported = names::with_levels(model, &model[id].usual, reported)?;
                self.complained(model, number, id, reported);
            }
            Entry::Acknowledged { hazard } => {
                let hazard = names::hazard(model, hazard)?;
                self.acknowledged.push((hazard, self.setting.engine, self.setting.open.clone()));
                self.acknowledged_for_next.push(hazard);
            }
            Entry::Access { access, at, open } => {
                let now = self.now_for_work(model);
                let (work, on) = match names::access_or_mode(model, access, *at)? {
                    names::AccessOrMode::Access(id) if *open => (reach(model, &self.setting, &[id], &[]), On::Access),
                    names::AccessOrMode::Access(id) => (reach(model, &self.setting, &[], &[id]), On::Access),
                    names::AccessOrMode::Mode(mode) if *open => (now.change_engine(mode), On::Running),
                    names::AccessOrMode::Mode(_) => (now.change_engine(Mode::AtRest), On::Running),
                };
                self.closing_brings(model, &work);
                self.did(model, number, work, on);
            }
            Entry::Suspected { cause, at, sure, .. } => {
                names::cause(model, cause, *at)?;
                if !(0.0..=1.0).contains(sure) {
                    return Err(Refusal::OutOfRange(
                        "how sure is outside 0 to 100 %; give a share in that range".into(),
                    ));
                }
            }
            Entry::Hinted | Entry::Note { .. } | Entry::Remark { .. } | Entry::Reviewed { .. } => {}
            // The list of standing entries holds neither.
            Entry::Undo { of } | Entry::Amend { of, .. } => return Err(Refusal::NotStanding(*of)),
            Entry::Closed { how, minutes, .. } => {
                if minutes.is_some_and(|minutes| !(0.0..=1e7).contains(&minutes)) {
                    return Err(Refusal::OutOfRange("the minutes of a closed job are outside 0 to 10,000,000".into()));
                }
                self.minutes = minutes.unwrap_or(self.minutes);
                self.ended = Some(*how);
            }
        }
        Ok(())
    }

    fn begin(&mut self, number: u64, conditions: Conditions, origin: Origin, showing: Option<bool>) {
        let complaint = self.in_hand().0;
        self.spells.truncate(self.next_spell());
        self.spells.push(Spell::begun(number, conditions, origin, complaint, showing));
    }

    /// Whether the complaint in hand shows, as it stands or in a run made to see.
    fn shows(&mut self, model: &Model, number: u64, showing: Option<bool>, ran: bool) {
        if showing == Some(true) {
            self.ledger.complained(model, self.in_hand().0);
        }
        let work = ran.then(|| self.work(model, Action::SeeWhetherItShows));
        if let Some(work) = &work {
            self.closing_brings(model, work);
        }
        let during = work.as_ref().map_or_else(|| self.conditions(), |work| work.during.clone());
        // What showed and does not show now has fallen asleep, and the other way round: both stay told.
        // What was told after a proof run never changes the run, in records of the first rule either.
        let turned = self.spells.last().is_some_and(|last| {
            let differs = last.showing.is_some() && showing.is_some() && last.showing != showing;
            differs && (self.follows_engine || last.origin == Origin::Proof)
        });
        if turned {
            self.begin(number, during, Origin::Work, None);
        } else {
            self.settle(number, &during);
        }
        if let Some(work) = work {
            self.did(model, number, work, On::Running);
        }
        // What a proof run showed is taken back only with its entry.
        if let Some(spell) = self.spells.last_mut().filter(|s| s.origin != Origin::Proof || showing.is_some()) {
            spell.showing = showing;
            // What is told without a run was seen on the run that it stands in.
            let minutes = model[spell.complaint].proof.minutes;
            spell.looked = if ran { spell.looked + minutes } else { spell.looked.max(minutes) };
        }
        let now = self.now();
        match showing {
            Some(true) => {
                self.shown_in.insert(now);
                if ran || self.setting.engine.runs() {
                    self.showed_under(model);
                }
            }
            Some(false) => {}
            None => {
                self.shown_in.remove(&now);
                self.shown_under.retain(|(spell, ..)| *spell != now);
            }
        }
    }

    /// Keeps under which conditions a complaint showed in this spell, where there was more of one of them than when it was reported, and than
    /// its own run brings by itself. A run under more of a condition passes through less, so less asks for no run of its own. Records of the
    /// first rule know nothing of it.
    fn showed_under(&mut self, model: &Model) {
        let Some(spell) = self.spells.last().filter(|_| self.follows_engine) else { return };
        let id = spell.complaint;
        let Some((_, reported)) = self.complaints().find(|(of, _)| *of == id) else { return };
        let of_run = |condition| level_in(model, model[id].proof.engine, condition).unwrap_or(0);
        let levels = reported.0.iter().zip(&spell.conditions.0).enumerate();
        let more = |(at, (reported, shown)): (usize, (&usize, &usize))| {
            if *shown > of_run(at).max(*reported) { *shown } else { *reported }
        };
        let under = Conditions(levels.map(more).collect());
        let known = self.shown_under.iter().any(|(_, of, known)| *of == id && *known == under);
        if under != *reported && !known {
            self.shown_under.push((self.now(), id, under));
        }
    }

    fn made_proof_run(&mut self, model: &Model, number: u64, showing: bool, conditions: Conditions) {
        let work = self.work(model, Action::ProofRun);
        if showing {
            self.ledger.complained(model, self.in_hand().0);
        }
        self.skipped.clear();
        self.closing_brings(model, &work);
        self.did(model, number, work, On::Running);
        self.begin(number, conditions, Origin::Proof, Some(showing));
        if let Some(run) = self.spells.last_mut() {
            run.looked = model[run.complaint].proof.minutes;
        }
        if showing {
            self.shown_in.insert(self.now());
            self.showed_under(model);
        }
        self.stands_in(model);
    }

    /// One more complaint, in a spell of its own; work goes on in another. Again reported under other conditions, it is the same one.
    fn complained(&mut self, model: &Model, number: u64, complaint: ComplaintId, reported: Conditions) {
        self.spells.truncate(self.next_spell());
        let spell = self.spells.len();
        self.spells.push(Spell::begun(number, reported.clone(), Origin::Reported, complaint, Some(true)));
        self.also.push(Also { complaint, reported, number, spell });
        self.ledger.complained(model, complaint);
        let conditions = self.conditions();
        let complaint = self.in_hand().0;
        self.spells.push(Spell::begun(number, conditions, Origin::Work, complaint, None));
    }

    /// The aircraft stands in the conditions of the spell that has just begun.
    fn stands_in(&mut self, model: &Model) {
        let Some(spell) = self.spells.last() else { return };
        let resting = Setting::resting(model, self.follows_engine);
        let setting = std::mem::replace(&mut self.setting, resting);
        self.setting = setting.under(model, &spell.conditions);
    }

    /// Takes down what doing something took and left behind. Cautions read for it need not be read again in the setting it led to.
    fn did(&mut self, model: &Model, number: u64, work: Work, on: On) {
        self.ledger.did(model, number, &work);
        self.minutes += work.minutes;
        self.spent.add(&work, on);
        self.waited += work.waiting;
        self.setting = work.after;
        if work.engine.runs() {
            self.paused = None;
        }
        for hazard in std::mem::take(&mut self.acknowledged_for_next) {
            self.acknowledged.push((hazard, self.setting.engine, self.setting.open.clone()));
        }
    }

    /// Closing up can have brought a fault, in the spells that begin from now on. Records of the first rule know nothing of that.
    fn closing_brings(&mut self, model: &Model, work: &Work) {
        let brought = work.closes.iter().flat_map(|id| &model[*id].upsets).copied().collect::<Vec<CauseId>>();
        self.upset_from(self.next_spell(), &brought);
    }

    fn upset_from(&mut self, spell: usize, causes: &[CauseId]) {
        if self.follows_engine {
            self.upset.extend(causes.iter().map(|cause| (spell, *cause)));
        }
    }

    /// Begins a new spell where what is looked at now is under other conditions than the last look: a fault may have woken or fallen
    /// asleep with them. What the aircraft went through in between tells nothing.
    fn settle(&mut self, number: u64, during: &Conditions) {
        if !self.is_under(during) {
            self.begin(number, during.clone(), Origin::Work, None);
        }
    }

    /// Minutes by the clock that an entry's own work takes, waiting in full.
    fn minutes_by_the_clock(&self, model: &Model, entry: &Entry) -> f64 {
        let Some(action) = entry.action(model) else { return 0.0 };
        let work = self.work(model, action);
        work.minutes + (1.0 - crate::work::WAITING_COUNTS) * work.waiting
    }

    /// A pause in which nothing was done: what is hot cools, and what is wet dries.
    pub(super) fn pauses(&mut self, model: &Model, minutes: f64) {
        let before = self.setting.conditions.clone();
        let resting = Setting::resting(model, self.follows_engine);
        self.setting = std::mem::replace(&mut self.setting, resting).after_a_pause(model, minutes);
        if self.setting.conditions != before {
            self.ledger.looked_away();
            if minutes >= NOT_SURE_AFTER {
                let before = self.paused.take().map_or(before, |pause| pause.before);
                self.paused = Some(Pause { minutes, before });
            }
        }
    }

    fn answer(&mut self, model: &Model, number: u64, answer: &Answer) -> Result<(), Refusal> {
        let id = names::check(model, &answer.check, answer.at)?;
        let check = &model[id];
        let chosen = match &answer.outcome {
            Some(name) if !check.formerly(name).is_empty() => None,
            Some(name) => Some(check.seen(name).ok_or_else(|| names::no_outcome(check, name))?),
            None => None,
        };
        let either = answer.outcome.as_ref().map(|name| check.formerly(name)).unwrap_or_default();
        let reading = match &answer.reading {
            Some(typed) => {
                let limit = check.limit.ok_or_else(|| Refusal::TakesNoReading(check.name.clone()))?;
                let limit = &model.limits[limit];
                Some(parse_reading(typed, limit.dimension, Some(&limit.unit))?)
            }
            None => None,
        };
        if chosen.is_none() && either.is_empty() && reading.is_none() {
            return Err(Refusal::NoAnswer(check.name.clone()));
        }
        if answer.celsius.is_some_and(|t| !(-60.0..=400.0).contains(&t)) {
            return Err(Refusal::OutOfRange(
                "the temperature of the part is outside -60 to 400 C; give it in degrees Celsius".into(),
            ));
        }
        let work = self.work(model, Action::Check(id));
        self.closing_brings(model, &work);
        if self.begins_a_spell(model, id, &work.during) {
            self.begin(number, work.during.clone(), Origin::Work, None);
        }
        let spell = self.now();
        // The same check at the same site in the same spell tells nothing new: the later word stands for both.
        self.given.retain(|g| !(g.check == id && g.spell == spell));
        self.given.push(Given {
            number,
            check: id,
            spell,
            chosen,
            either,
            reading,
            typed: answer.reading.clone().unwrap_or_default(),
            celsius: answer.celsius,
            looks_so: answer.looks_so,
            as_typed: answer.as_typed,
            slip: None,
            judged: None,
            weights: Vec::new(),
        });
        let newest = self.given.last().cloned().and_then(|mut given| {
            judge_one(model, &self.given, &mut given);
            given.seen()
        });
        self.did(model, number, work, On::Checking);
        self.ledger.answered(model, id, newest);
        Ok(())
    }

    fn corrected(&mut self, model: &Model, number: u64, name: &str, at: Site) -> Result<(), Refusal> {
        let id = names::correction(model, name, at)?;
        let work = self.work(model, Action::Correct(id));
        self.skipped.clear();
        self.closing_brings(model, &work);
        self.did(model, number, work, On::Correcting);
        self.ledger.corrected(model, number, id);
        self.begin(number, self.conditions(), Origin::Work, None);
        self.upset_from(self.now(), &model[id].disturbs);
        self.done.push(Done { number, correction: id, from: self.now() });
        Ok(())
    }

    /// Judges every reading by its limit, now that all like readings are known.
    fn judge(&mut self, model: &Model) {
        let all = self.given.clone();
        self.given.iter_mut().for_each(|given| judge_one(model, &all, given));
        // Misses are shared by all looks of a check, so a first look that was a slip would make the second tell nothing. Whoever looks again
        // looks closer: as within one spell, the later word stands for both.
        let overruled = |first: &Given| self.given.iter().any(|later| self.contradicts(model, first, later));
        let overruled: Vec<u64> =
            self.given.iter().filter(|given| overruled(given)).map(|given| given.number).collect();
        self.given.retain(|given| !overruled.contains(&given.number));
    }
}

fn judge_one(model: &Model, all: &[Given], given: &mut Given) {
    given.judged = given.reading.as_ref().and_then(|reading| {
        let limit = &model.limits[model[given.check].limit?];
        Some(judge(limit, reading, &context(model, all, given)).map_err(|more| more.to_string()))
    });
    let limit = model[given.check].limit.map(|limit| &model.limits[limit]);
    let read = given.judged.iter().flatten().find_map(|judged| judged.compared).filter(|_| !given.as_typed);
    given.slip = limit.zip(read).and_then(|(limit, at)| limit.slip_of_unit(at, "normal"));
    given.weights = weights(model, given);
}

/// What a reading is compared with.
fn context(model: &Model, all: &[Given], given: &Given) -> Context {
    let check = &model[given.check];
    let value = |g: &Given| match g.reading {
        Some(Reading::Value { quantity, .. }) => Some(quantity.value),
        Some(Reading::Open) | None => None,
    };
    let like = |g: &&Given| model[g.check].name == check.name && g.number != given.number;
    let feet = match check.site {
        Site::Plug(side, n) => model.layout.side(side).lead_feet.get(&n).copied(),
        _ => None,
    };
    let mirrored = match check.site {
        Site::Side(side) => Some(Site::Side(side.other())),
        Site::Plug(side, n) => Some(Site::Plug(side.other(), n)),
        Site::Coil(side, letter) => Some(Site::Coil(side.other(), letter)),
        Site::Engine | Site::Cylinder(_) | Site::Pair(_) => None,
    };
    let peers = all.iter().filter(like).filter(|g| g.spell == given.spell && model[g.check].site != check.site);
    let other = all.iter().filter(like).filter(|g| g.spell == given.spell && Some(model[g.check].site) == mirrored);
    let before = all.iter().filter(like).filter(|g| g.check == given.check && g.spell < given.spell);
    Context {
        feet,
        peers: peers.filter_map(value).collect(),
        other_side: other.filter_map(value).next_back(),
        before: before.filter_map(value).next_back(),
        celsius: given.celsius,
        instrument: None,
    }
}

/// The weight of each outcome: the one chosen, else what the limit says.
fn weights(model: &Model, given: &Given) -> Vec<f64> {
    let check = &model[given.check];
    if let Some(seen) = given.chosen {
        return check.clear(seen);
    }
    let mut weights = vec![0.0; check.outcomes.len() + 1];
    if !given.either.is_empty() {
        given.either.iter().for_each(|at| weights[*at] = 1.0);
        return weights;
    }
    for (name, weight) in given.judged.iter().flatten().flat_map(|j| &j.weights) {
        // A limit may name outcomes that this layout's check has lost; they cannot be what is there.
        if let Some(seen) = check.seen(name) {
            weights[check.place(seen)] = weight.clamp(0.0, 1.0);
        }
    }
    // What a slip of the unit would make ordinary says as much for the one as for the other.
    if given.slip.is_some() {
        weights[check.place(Seen::Normal)] = weights.iter().copied().fold(0.0, f64::max);
    }
    if weights.iter().all(|w| *w == 0.0) { Vec::new() } else { weights }
}
