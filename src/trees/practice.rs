//! Practice files: graded sets and lessons, held against the tree and its layouts.

use std::path::Path;

use schemars::JsonSchema;
use serde::Deserialize;

use super::declared::{Declared, good_name};
use super::diagnostic::Diagnostic;
use super::faults::{Faults, code};
use super::layouts::EngineLayout;
use super::library::Library;
use super::lint::Above;
use super::node::{File, Files, Node, Place};
use super::parse;
use super::shapes::Ordered;
use crate::model::{Site, SiteKind};
use crate::study::{Lesson, Level, Rule, Set, Study, System};

/// The format of a practice file.
pub(super) const PRACTICE_FORMAT: &str = "roughrun-practice-1";
/// The most jobs of one set.
const MOST_JOBS: u64 = 100;

/// Graded sets and lessons for practice.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct PracticeTwin {
    #[serde(rename = "format")]
    _format: String,
    /// Sets by name, the easiest first.
    #[serde(default)]
    sets: Ordered<SetTwin>,
    /// Lessons by name, in the order in which they are to be taken.
    #[serde(default)]
    lessons: Ordered<LessonTwin>,
}

/// Some jobs of one difficulty.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct SetTwin {
    /// Its title, a line.
    title: String,
    /// What it trains.
    about: String,
    /// Names of the layouts its jobs are on, in turn.
    layouts: Vec<String>,
    level: Level,
    system: Option<System>,
    /// How many jobs, 1 to 100.
    jobs: u64,
    /// The seed of the first job; those of the others follow.
    first_seed: u64,
}

/// One idea, explained by a short job.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct LessonTwin {
    /// Its title, a line.
    title: String,
    /// The idea, a paragraph each.
    idea: Vec<String>,
    /// Name of the layout.
    layout: String,
    /// Name of the complaint.
    complaint: String,
    /// Where the complaint is.
    at: String,
    /// What is at fault.
    faults: Vec<FaultTwin>,
    level: Level,
    /// The number that its engine is drawn by.
    seed: u64,
    /// What shows that the idea was taken in.
    learnt_when: Vec<RuleTwin>,
}

/// A fault: a cause at a place.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct FaultTwin {
    /// Name of the cause.
    cause: String,
    /// Where.
    at: String,
}

/// Something that is looked for in a worked lesson; exactly one field.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct RuleTwin {
    /// The first check was made at a place of this kind.
    first_at: Option<SiteKind>,
    /// One of these checks was made before anything was put right.
    made_before: Option<Vec<String>>,
    /// It was made to show before anything that fails now was measured.
    #[serde(default)]
    shown_first: bool,
    /// The proof run was made with this condition at this level.
    proven_at: Option<LevelTwin>,
    /// No good part was thrown away.
    #[serde(default)]
    no_good_part: bool,
    /// The complaint is cured.
    #[serde(default)]
    cured: bool,
}

/// A condition at a level.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct LevelTwin {
    /// Name of the condition.
    condition: String,
    /// The level.
    level: String,
}

/// Reads a practice file that passed the fence, and holds its names against the tree and its layouts.
pub(super) fn read(
    file: &File,
    index: usize,
    root: &Node,
    declared: &Declared,
    layouts: &[EngineLayout],
    faults: &mut Faults,
) -> Option<Study> {
    if !parse::format_is(PRACTICE_FORMAT, index, root, faults) {
        return None;
    }
    let start = Place { file: index, start: root.start, end: root.start };
    let twin: PracticeTwin = parse::twin(file, index, root, start, faults)?;
    let mut look = Look { root, index, declared, layouts, faults };
    let before = look.faults.count();
    let sets: Vec<Set> = twin.sets.0.into_iter().map(|(name, set)| look.set(name, set)).collect();
    let lessons: Vec<Lesson> = twin.lessons.0.into_iter().filter_map(|(name, l)| look.lesson(name, l)).collect();
    (faults.count() == before).then_some(Study { sets, lessons })
}

struct Look<'a> {
    root: &'a Node,
    index: usize,
    declared: &'a Declared,
    layouts: &'a [EngineLayout],
    faults: &'a mut Faults,
}

impl Look<'_> {
    fn place(&self, path: &str) -> Place {
        let (start, end) = self.root.span_of(path).unwrap_or((self.root.start, self.root.start));
        Place { file: self.index, start, end }
    }

    fn layout(&mut self, name: &str, path: &str) {
        let known = || self.layouts.iter().map(|l| l.layout.name.as_str());
        if !known().any(|other| other == name) {
            let place = self.place(path);
            self.faults.unknown("layout", name, place, known());
        }
    }

    fn words(&mut self, text: &str, path: &str, line: bool) {
        if text.trim().is_empty() || line && text.trim().contains('\n') {
            let place = self.place(path);
            let mend = if line { "Say in a line what it is." } else { "Say it in full sentences." };
            self.faults.add(code::EMPTY_TEXT, place, "Words are wanted here.", mend);
        }
    }

    fn set(&mut self, name: String, twin: SetTwin) -> Set {
        let path = format!("sets/{name}");
        good_name("set", &name, self.place(&path), self.faults);
        self.words(&twin.title, &format!("{path}/title"), true);
        self.words(&twin.about, &format!("{path}/about"), false);
        if twin.layouts.is_empty() {
            let place = self.place(&format!("{path}/layouts"));
            self.faults.add(code::EMPTY_TEXT, place, "The set has no layouts.", "Name one or more.");
        }
        for (at, layout) in twin.layouts.iter().enumerate() {
            self.layout(layout, &format!("{path}/layouts/{at}"));
        }
        if !(1..=MOST_JOBS).contains(&twin.jobs) || twin.first_seed.checked_add(MOST_JOBS).is_none() {
            let place = self.place(&format!("{path}/jobs"));
            let message = format!("{} cannot be the number of jobs of a set.", twin.jobs);
            self.faults.add(code::BAD_NUMBER, place, message, format!("Write a number from 1 to {MOST_JOBS}."));
        }
        Set {
            name,
            title: twin.title.trim().to_owned(),
            about: twin.about.trim().to_owned(),
            layouts: twin.layouts,
            level: twin.level,
            on: twin.system,
            jobs: twin.jobs.clamp(1, MOST_JOBS),
            first_seed: twin.first_seed,
        }
    }

    fn site(&mut self, text: &str, path: &str) -> Option<Site> {
        match text.parse() {
            Ok(site) => Some(site),
            Err(fault) => {
                let place = self.place(path);
                self.faults.add(code::SITE, place, format!("{fault}."), "Write a place of this engine.");
                None
            }
        }
    }

    fn lesson(&mut self, name: String, twin: LessonTwin) -> Option<Lesson> {
        let path = format!("lessons/{name}");
        good_name("lesson", &name, self.place(&path), self.faults);
        self.words(&twin.title, &format!("{path}/title"), true);
        if twin.idea.is_empty() {
            self.words("", &format!("{path}/idea"), false);
        }
        for (at, paragraph) in twin.idea.iter().enumerate() {
            self.words(paragraph, &format!("{path}/idea/{at}"), false);
        }
        self.layout(&twin.layout, &format!("{path}/layout"));
        if !self.declared.complaints.knows(&twin.complaint) {
            let place = self.place(&format!("{path}/complaint"));
            self.faults.unknown("complaint", &twin.complaint, place, self.declared.complaints.names());
        }
        let at = self.site(&twin.at, &format!("{path}/at"));
        if twin.faults.is_empty() {
            let place = self.place(&format!("{path}/faults"));
            self.faults.add(code::EMPTY_TEXT, place, "The lesson has no fault.", "Name a cause and where it is.");
        }
        let mut hidden = Vec::new();
        for (i, fault) in twin.faults.into_iter().enumerate() {
            if !self.declared.causes.knows(&fault.cause) {
                let place = self.place(&format!("{path}/faults/{i}/cause"));
                self.faults.unknown("cause", &fault.cause, place, self.declared.causes.names());
            }
            hidden.extend(self.site(&fault.at, &format!("{path}/faults/{i}/at")).map(|site| (fault.cause, site)));
        }
        let rules = twin.learnt_when.into_iter().enumerate();
        let learnt_when: Vec<Rule> =
            rules.filter_map(|(i, rule)| self.rule(rule, &format!("{path}/learnt-when/{i}"))).collect();
        Some(Lesson {
            name,
            title: twin.title.trim().to_owned(),
            idea: twin.idea.iter().map(|p| p.trim().to_owned()).collect(),
            layout: twin.layout,
            complaint: twin.complaint,
            at: at?,
            faults: hidden,
            level: twin.level,
            seed: twin.seed,
            learnt_when,
        })
    }

    fn rule(&mut self, twin: RuleTwin, path: &str) -> Option<Rule> {
        let mut rules: Vec<Rule> = twin.first_at.map(|kind| Rule::FirstAt { kind }).into_iter().collect();
        if let Some(checks) = twin.made_before {
            for (at, check) in checks.iter().enumerate() {
                if !self.declared.checks.knows(check) {
                    let place = self.place(&format!("{path}/made-before/{at}"));
                    self.faults.unknown("check", check, place, self.declared.checks.names());
                }
            }
            rules.push(Rule::MadeBefore { checks });
        }
        rules.extend(twin.shown_first.then_some(Rule::ShownFirst));
        if let Some(LevelTwin { condition, level }) = twin.proven_at {
            if !self.declared.conditions.knows(&condition) {
                let place = self.place(&format!("{path}/proven-at/condition"));
                self.faults.unknown("condition", &condition, place, self.declared.conditions.names());
            }
            rules.push(Rule::ProvenAt { condition, level });
        }
        rules.extend(twin.no_good_part.then_some(Rule::NoGoodPart));
        rules.extend(twin.cured.then_some(Rule::Cured));
        if rules.len() != 1 {
            let place = self.place(path);
            let mend = "Give one of first-at, made-before, shown-first, proven-at, no-good-part and cured.";
            self.faults.add(code::BAD_VALUE, place, "Exactly one thing is looked for in an item.", mend);
            return None;
        }
        rules.pop()
    }
}

impl Library {
    /// The sets and lessons that came with the tree.
    #[must_use]
    pub fn study(&self) -> &Study {
        &self.study
    }

    /// Looks at a practice file that did not come with the tree.
    pub(super) fn practice_file(&self, path: &Path) -> Vec<Diagnostic> {
        let (mut faults, mut extra) = (Faults::default(), Files::default());
        if let Some((index, root)) = self.take_extra(path, &mut extra, &mut faults) {
            let file = &extra.0[index - self.files.0.len()];
            read(file, index, &root, &self.declared, self.layouts(), &mut faults);
        }
        faults.into_diagnostics(&self.files.with(&extra))
    }

    /// Lessons whose fault is not on their engine, or does not bring their complaint.
    pub(super) fn lessons_that_do_not_go(&self, above: &Above<'_>) -> Vec<Diagnostic> {
        let goes = |lesson: &Lesson| {
            let layout = self.layout(&lesson.layout);
            layout.and_then(|layout| self.expand(&layout)).is_ok_and(|model| (above.goes)(model, lesson))
        };
        let file = self.files.0.iter().find(|file| file.name.starts_with("practice/"));
        let name = file.map_or("", |file| file.name.as_str());
        let fault = |lesson: &Lesson| {
            let message = format!(
                "The lesson \"{}\" does not go: its fault hardly ever brings its complaint there.",
                lesson.name
            );
            Diagnostic::whole(code::BAD_VALUE, name, &message, "Correct its layout, complaint, place or fault.")
        };
        self.study.lessons.iter().filter(|lesson| !goes(lesson)).map(fault).collect()
    }
}
