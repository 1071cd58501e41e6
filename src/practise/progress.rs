//! How somebody gets on over practice jobs: each job, and what they come to by kind of fault.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use serde::Serialize;

use super::bout::Bout;
use super::points::Work;
use crate::job::Job;
use crate::text::counted;

/// The jobs at the start and at the end that are held against each other.
const THEN_AND_NOW: usize = 3;

/// A practice job that was closed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// Its name.
    pub id: String,
    /// Wall time when it was begun.
    pub when: String,
    /// Who worked it.
    pub by: String,
    /// What kind of practice it was, in words.
    pub kind: String,
    /// How hard, by name.
    pub level: &'static str,
    /// The set it belongs to.
    pub set: Option<String>,
    /// The parts at fault.
    pub parts: Vec<String>,
    /// Whether it was cured.
    pub cured: bool,
    /// Whether that was proven under the reported conditions.
    pub proven: bool,
    /// Points, up to 100.
    pub points: f64,
    /// Minutes.
    pub minutes: f64,
    /// The planner's minutes on the same engine.
    pub par: Option<f64>,
    /// The mean score of what was suspected, from -1 to 1.
    pub judgement: Option<f64>,
    /// Hints taken.
    pub hints: usize,
    /// Good parts thrown away.
    pub good_parts: usize,
    /// Passes trusted while the fault slept.
    pub slept_through: usize,
}

impl Row {
    /// A job that was closed; none for one that is open.
    #[must_use]
    pub fn of(id: &str, when: &str, by: &str, job: &Job, bout: &Bout) -> Option<Self> {
        job.state().ended?;
        let work = Work::of(bout, job);
        let model = job.model();
        let mut parts: Vec<String> = bout.faults().iter().map(|c| model[*c].part.replace('-', " ")).collect();
        parts.sort();
        parts.dedup();
        let safe = |text: &str| crate::text::safe_text(text).into_owned();
        Some(Self {
            id: id.to_owned(),
            when: safe(when),
            by: safe(by.trim()),
            kind: safe(&bout.terms.words()),
            level: bout.terms.level.name(),
            set: bout.terms.set.as_deref().map(safe),
            parts,
            cured: work.cured,
            proven: work.proven,
            points: work.points(bout.terms.par).total,
            minutes: work.minutes,
            par: bout.terms.par,
            judgement: work.judgement(),
            hints: work.hints,
            good_parts: work.good_parts.len(),
            slept_through: work.slept_through.len(),
        })
    }
}

/// What jobs of one kind come to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Group {
    /// The kind.
    pub name: String,
    /// Jobs.
    pub jobs: usize,
    /// Of them cured and proven.
    pub proven: usize,
    /// Mean points.
    pub points: f64,
    /// Mean points of the first three.
    pub first: f64,
    /// Mean points of the last three.
    pub last: f64,
    /// Mean of the minutes over the planner's, where it cured it and so did they.
    pub pace: Option<f64>,
}

/// How somebody gets on.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Progress {
    /// Each job, oldest first.
    pub rows: Vec<Row>,
    /// By how hard they were.
    pub by_level: Vec<Group>,
    /// By the part at fault.
    pub by_part: Vec<Group>,
    /// By graded set.
    pub by_set: Vec<Group>,
    /// By who practised, where more than one did.
    pub by_name: Vec<Group>,
    /// All together; none without jobs.
    pub all: Option<Group>,
}

impl Progress {
    /// What these jobs, oldest first, come to.
    #[must_use]
    pub fn of(rows: Vec<Row>) -> Self {
        let groups = |keys: &dyn Fn(&Row) -> Vec<String>| -> Vec<Group> {
            let mut of: BTreeMap<String, Vec<&Row>> = BTreeMap::new();
            for row in &rows {
                for key in keys(row) {
                    of.entry(key).or_default().push(row);
                }
            }
            of.into_iter().filter_map(|(name, rows)| Group::of(&name, &rows)).collect()
        };
        let by_level = groups(&|row| vec![row.level.to_owned()]);
        let by_part = groups(&|row| row.parts.clone());
        let by_set = groups(&|row| row.set.iter().cloned().collect());
        let named = |row: &Row| if row.by.is_empty() { "no name".to_owned() } else { row.by.clone() };
        let by_name = Some(groups(&|row| vec![named(row)])).filter(|names| names.len() > 1).unwrap_or_default();
        let all = Group::of("all", &rows.iter().collect::<Vec<_>>());
        Self { rows, by_level, by_part, by_set, by_name, all }
    }

    /// All of it as lines of text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = String::new();
        let Some(all) = &self.all else {
            return "No practice job was closed yet. Begin with: roughrun practise --lesson side-first\n".to_owned();
        };
        // Writing into a String cannot fail.
        let _ = writeln!(text, "{}", all.words());
        for (title, groups) in [
            ("By name", &self.by_name),
            ("By level", &self.by_level),
            ("By part at fault", &self.by_part),
            ("By set", &self.by_set),
        ] {
            if !groups.is_empty() {
                let _ = writeln!(text, "{title}:");
            }
            for group in groups {
                let _ = writeln!(text, "  {}", group.words());
            }
        }
        let _ = writeln!(text, "Job by job, oldest first:");
        for row in &self.rows {
            let par = row.par.map(|par| format!(" of the planner's {par:.0}")).unwrap_or_default();
            let end = if row.proven {
                "proven"
            } else if row.cured {
                "cured"
            } else {
                "not cured"
            };
            let when = row.when.get(..16).unwrap_or(&row.when).replace('T', " ");
            let by = if row.by.is_empty() { String::new() } else { format!(", {}", row.by) };
            let _ = writeln!(
                text,
                "  {when}{by}: {}; {}; {end}, {:.0} points, {:.0} min{par}. {}",
                row.kind,
                row.parts.join(" and "),
                row.points,
                row.minutes,
                row.id
            );
        }
        text
    }
}

impl Group {
    fn of(name: &str, rows: &[&Row]) -> Option<Self> {
        let mean = |figures: &[f64]| figures.iter().sum::<f64>() / figures.len().max(1) as f64;
        let points: Vec<f64> = rows.iter().map(|r| r.points).collect();
        let ends = THEN_AND_NOW.min(points.len());
        let paced: Vec<f64> =
            rows.iter().filter(|r| r.cured).filter_map(|r| Some(r.minutes / r.par.filter(|par| *par > 0.0)?)).collect();
        (!rows.is_empty()).then(|| Self {
            name: name.to_owned(),
            jobs: rows.len(),
            proven: rows.iter().filter(|r| r.proven && r.cured).count(),
            points: mean(&points),
            first: mean(&points[..ends]),
            last: mean(&points[points.len() - ends..]),
            pace: (!paced.is_empty()).then(|| mean(&paced)),
        })
    }

    /// In words: "awake: 4 jobs, 3 proven, 61 points on the mean, first 40, last 80, 1.3 times the planner's minutes".
    #[must_use]
    pub fn words(&self) -> String {
        let jobs = counted(self.jobs, "job");
        let trend = if self.jobs > THEN_AND_NOW {
            format!(", the first {THEN_AND_NOW} {:.0}, the last {THEN_AND_NOW} {:.0}", self.first, self.last)
        } else {
            String::new()
        };
        let pace = self.pace.map(|p| format!(", {p:.1} times the planner's minutes")).unwrap_or_default();
        format!("{}: {jobs}, {} proven, {:.0} points on the mean{trend}{pace}", self.name, self.proven, self.points)
    }
}
