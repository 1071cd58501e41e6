//! What is said of a practice job at its end: step by step beside the planner, and the one habit to work on next.

use std::fmt::Write as _;

use serde::Serialize;

use super::bout::Bout;
use super::habit::{Card, ToWorkOn, to_work_on};
use super::points::{Points, Said, Work};
use super::terms::Terms;
use super::walk::{paces, work};
use crate::analysis::{Moment, Ranked, course};
use crate::job::{Entry, Job, Logged, tell};
use crate::model::{CauseId, Sees};
use crate::plan::{Action, appraise};
use crate::review::replay::{Step, steps};
use crate::study::{Lesson, Rule};

/// A fault that was hidden.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fault {
    /// The cause.
    #[serde(skip)]
    pub id: CauseId,
    /// Its name in the tree.
    pub cause: String,
    /// Where.
    pub at: String,
    /// In words.
    pub title: String,
    /// Whether it slept when it was reported.
    pub slept: bool,
    /// Whether it was put right.
    pub put_right: bool,
}

/// A step, and what there is to say of it.
// Each is a fact of its own, and several hold of one step.
#[allow(clippy::struct_excessive_bools)]
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pace {
    /// The step, beside what the planner would have done.
    #[serde(flatten)]
    pub step: Step,
    /// Whether it was a check whose answers could not change anything.
    pub idle: bool,
    /// Whether it passed while a fault it could have shown slept, and was trusted.
    pub asleep: bool,
    /// Whether a good part was thrown away.
    pub good_part: bool,
    /// Whether a caution was not acknowledged.
    pub caution: bool,
    /// Minutes of opening again what had been open.
    pub opened_again: f64,
    /// What was suspected here, scored.
    pub said: Option<Said>,
}

impl Pace {
    /// What there is to say of it, a few words each.
    #[must_use]
    pub fn marks(&self) -> Vec<String> {
        let mut marks: Vec<String> = Vec::new();
        let mut add = |is: bool, words: &str| marks.extend(is.then(|| words.to_owned()));
        add(self.caution, "caution not read");
        add(self.good_part, "the part was good");
        add(self.asleep, "passed while the fault slept");
        add(self.idle, "could not change anything");
        if self.opened_again > 0.0 {
            marks.push(format!("opened again, {:.0} min", self.opened_again));
        }
        if let Some(said) = &self.said {
            marks.push(format!("{}, {:+.2}", if said.right { "right" } else { "not at fault" }, said.score));
        }
        marks
    }
}

/// A step of the planner's on the same engine.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlannerStep {
    /// What it did and saw.
    pub words: String,
    /// Minutes of work up to and with it.
    pub minutes_so_far: f64,
    /// Minutes still expected to a proven cure after it.
    pub expected_after: f64,
}

/// What is said of a practice job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Debrief {
    /// How it was dealt.
    pub terms: Terms,
    /// What was hidden.
    pub faults: Vec<Fault>,
    /// What was done.
    pub work: Work,
    /// What it counts for.
    pub points: Points,
    /// Each entry, in order.
    pub steps: Vec<Pace>,
    /// The planner's way on the same engine.
    pub planner: Vec<PlannerStep>,
    /// Minutes the planner took; none where it did not cure it either.
    pub par: Option<f64>,
    /// The habit to work on next.
    pub habit: Option<ToWorkOn>,
    /// Of a lesson: what was looked for, and whether it was there.
    pub lesson: Vec<(String, bool)>,
}

impl Debrief {
    /// Works it out. It takes a while: what the planner would have said is asked at every step.
    #[must_use]
    pub fn of(bout: &Bout, job: &Job, lesson: Option<&Lesson>) -> Self {
        let model = job.model();
        let counted = Work::of(bout, job);
        let engine = bout.engine(job);
        let faults = engine.faults().iter().map(|f| Fault {
            id: f.cause,
            cause: model[f.cause].name.clone(),
            at: model[f.cause].site.to_string(),
            title: model.cause_words(f.cause),
            slept: f.slept,
            put_right: !f.there,
        });
        let faults = faults.collect();
        let steps: Vec<Pace> = steps(job).zip(idle(job)).map(|(step, idle)| pace(step, idle, &counted)).collect();
        let planned = bout.by_planner(job);
        let cured = planned.as_ref().filter(|p| bout.cured(p));
        let par = bout.terms.par.or_else(|| cured.map(|p| p.state().minutes));
        let habit = to_work_on(bout, job, &counted, &steps);
        let lesson = lesson.iter().flat_map(|l| &l.learnt_when).map(|r| (r.words(model), holds(r, job, &counted)));
        Self {
            terms: bout.terms.clone(),
            points: counted.points(par),
            par,
            habit,
            lesson: lesson.collect(),
            planner: planned.as_ref().map(planner_steps).unwrap_or_default(),
            steps,
            faults,
            work: counted,
        }
    }

    /// The words that a practice record ends with, so that it tells itself without the program.
    #[must_use]
    pub fn closing(&self) -> String {
        let faults: Vec<&str> = self.faults.iter().map(|f| f.title.as_str()).collect();
        let end = if self.work.cured { "cured" } else { "not cured" };
        format!("Practice ended: {:.0} points, {end}. At fault: {}", self.points.total, faults.join("; "))
    }

    /// The steps worth telling: what was done or said, and what there is to say of. Cautions that were read and notes are left out.
    pub fn told(&self) -> impl Iterator<Item = &Pace> {
        self.steps.iter().filter(|p| p.step.number == 1 || p.step.choice.is_some() || !p.marks().is_empty())
    }

    /// The minutes still expected after each step, against the minutes of work: one's own, then the planner's.
    #[must_use]
    pub fn curves(&self) -> [Vec<(f64, f64)>; 2] {
        let own = self.steps.iter().map(|p| (p.step.minutes_so_far, p.step.expected_after)).collect();
        [own, self.planner.iter().map(|p| (p.minutes_so_far, p.expected_after)).collect()]
    }

    /// The figures, a name and a value each.
    #[must_use]
    pub fn figures(&self) -> Vec<(&'static str, String)> {
        let work = &self.work;
        let again = work.access_again.iter().fold(0.0, |sum, (_, minutes)| sum + minutes);
        let idle = self.steps.iter().filter(|p| p.idle).count();
        let par = self.par.map_or_else(|| "it did not cure it either".to_owned(), |par| format!("{par:.0}"));
        let judgement = work.judgement().map_or_else(|| "no check".to_owned(), |j| format!("{j:+.2} of -1 to 1"));
        vec![
            ("minutes", format!("{:.0}", work.minutes)),
            ("the planner's minutes", par),
            ("checks and runs", work.checks.to_string()),
            ("access opened again", format!("{} ({again:.0} min)", work.access_again.len())),
            ("checks that could not change anything", idle.to_string()),
            ("passes trusted while the fault slept", work.slept_through.len().to_string()),
            ("cautions not read", work.cautions.len().to_string()),
            ("good parts thrown away", work.good_parts.len().to_string()),
            ("hints", work.hints.to_string()),
            ("judgement", judgement),
        ]
    }

    /// All of it as lines of text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = String::new();
        // Writing into a String cannot fail.
        let _ = writeln!(text, "Debrief: {}", self.terms.words());
        for fault in &self.faults {
            let slept = if fault.slept { ", asleep at the report" } else { "" };
            let end = if fault.put_right { "put right" } else { "still there" };
            let _ = writeln!(text, "At fault: {}{slept}: {end}.", fault.title);
        }
        let end = match (self.work.cured, self.work.proven) {
            (true, true) => "Cured, and proven under the reported conditions.",
            (true, false) => "Cured, but not proven under the reported conditions.",
            (false, _) => "Not cured: the complaint comes back.",
        };
        let _ = writeln!(text, "{end}");
        let _ = writeln!(text, "Points: {:.0} of 100 ({}).", self.points.total, self.points.words());
        for (name, value) in self.figures() {
            let _ = writeln!(text, "  {name}: {value}");
        }
        for (words, done) in &self.lesson {
            let _ = writeln!(text, "  {} {words}.", if *done { "Yes:" } else { "Not yet:" });
        }
        if let Some(habit) = &self.habit {
            let _ = writeln!(text, "Work on next: {}. {}", habit.habit.words(), habit.words);
            for line in habit.card.iter().flat_map(Card::lines) {
                let _ = writeln!(text, "  {line}");
            }
        }
        let _ = writeln!(text, "Step by step, with minutes so far and minutes expected to come:");
        for pace in self.told() {
            let step = &pace.step;
            let _ = writeln!(
                text,
                "  {:>3} {:>5.0} {:>5.0}  {}",
                step.number, step.minutes_so_far, step.expected_after, step.words
            );
            if let Some(choice) = step.choice.as_ref().filter(|c| !c.as_recommended) {
                let over = choice.over_words();
                let over = if over.is_empty() { over } else { format!(" ({over})") };
                let _ = writeln!(text, "                  the planner: {}{over}", choice.recommended.title);
            }
            for mark in pace.marks() {
                let _ = writeln!(text, "                  {mark}");
            }
        }
        if !self.planner.is_empty() {
            let _ = writeln!(text, "The planner on the same engine:");
            for step in &self.planner {
                let _ =
                    writeln!(text, "      {:>5.0} {:>5.0}  {}", step.minutes_so_far, step.expected_after, step.words);
            }
        }
        text
    }
}

fn pace(step: Step, idle: bool, work: &Work) -> Pace {
    let number = step.number;
    Pace {
        idle,
        asleep: work.slept_through.contains(&number),
        good_part: work.good_parts.contains(&number),
        caution: work.cautions.contains(&number),
        opened_again: work.access_again.iter().filter(|(n, _)| *n == number).map(|(_, minutes)| minutes).sum(),
        said: work.said.iter().find(|s| s.number == number).cloned(),
        step,
    }
}

/// Information, in bits, that is as good as none.
const NO_BITS: f64 = 0.001;

/// Of each entry of a job, whether it was a check no answer of which could change what is believed of the remedy.
fn idle(job: &Job) -> impl Iterator<Item = bool> + '_ {
    let of = |logged: &Logged, before: &Job| {
        let Some(action @ Action::Check(id)) = work(before.model(), &logged.entry) else { return false };
        // A check of what is there, made a second time, sees the same again.
        let made = before.state().given.iter().any(|g| g.check == id && before.model()[id].sees == Sees::Present);
        made || appraise(&Ranked::of(before.clone()).situation(), action).1.is_none_or(|s| s.bits < NO_BITS)
    };
    let told = paces(job).map(move |pace| (pace.logged.number, of(pace.logged, &pace.before)));
    let told: Vec<(u64, bool)> = told.collect();
    job.log().iter().map(move |l| told.iter().any(|(number, idle)| *number == l.number && *idle))
}

fn planner_steps(job: &Job) -> Vec<PlannerStep> {
    let model = job.model();
    let words = |number: u64| {
        let logged = job.log().iter().find(|l| l.number == number);
        logged.map(|l| tell(model, &l.entry)).unwrap_or_default()
    };
    let of = |m: &Moment| PlannerStep {
        words: crate::text::safe_text(&words(m.number)).into_owned(),
        minutes_so_far: m.minutes,
        expected_after: m.expected,
    };
    course(job).iter().map(of).collect()
}

/// Whether what a lesson looks for is there.
fn holds(rule: &Rule, job: &Job, counted: &Work) -> bool {
    let model = job.model();
    let standing = job.standing_entries();
    let checks = || {
        standing.iter().filter_map(|(_, entry)| match entry {
            Entry::Answer(answer) => Some(answer),
            _ => None,
        })
    };
    match rule {
        Rule::FirstAt { kind } => checks().next().is_some_and(|answer| answer.at.kind() == *kind),
        Rule::MadeBefore { checks } => {
            let before = standing.iter().take_while(|(_, entry)| !matches!(entry, Entry::Corrected { .. }));
            let made = |entry: &Entry| matches!(entry, Entry::Answer(a) if checks.contains(&a.check));
            before.into_iter().any(|(_, entry)| made(entry))
        }
        Rule::ShownFirst => {
            let measures = |entry: &Entry| match entry {
                Entry::Answer(a) => model.find_check(&a.check, a.at).is_some_and(|id| model[id].sees == Sees::Awake),
                _ => false,
            };
            let first = standing.iter().position(|(_, entry)| measures(entry)).unwrap_or(standing.len());
            standing[..first]
                .iter()
                .any(|(_, entry)| matches!(entry, Entry::Provoked { .. } | Entry::Showing { showing: Some(true), .. }))
        }
        Rule::ProvenAt { condition, level } => {
            let at = model.conditions.iter().position(|c| c.name == *condition);
            let wanted = at.and_then(|at| model.conditions[at].levels.iter().position(|l| l == level));
            let run = job.state().last_proof().filter(|_| counted.proven);
            run.is_some_and(|p| at.is_some_and(|at| p.conditions.0.get(at).copied() == wanted && wanted.is_some()))
        }
        Rule::NoGoodPart => counted.good_parts.is_empty(),
        Rule::Cured => counted.cured,
    }
}
