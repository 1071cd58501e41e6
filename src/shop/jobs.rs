//! The list of jobs in the records folder, and finding one by the beginning of its name.

use super::{Shop, ShopError};
use crate::job::Ending;
use crate::record::{self, Class, JobId, Listed, RecordError, Summary, read_job};

/// How a job stands in the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JobState {
    /// Can be gone on with.
    Open,
    /// Closed.
    Closed(Ending),
    /// Its record is damaged, or no job can be read from it.
    Damaged,
}

/// A line of the list of jobs. All texts are safe to show.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobLine {
    /// The job's name; empty where no job can be read from a file.
    pub id: String,
    /// Wall time when it was begun.
    pub when: String,
    /// Wall time of its last entry.
    pub last: String,
    /// Registration of the aircraft, where one was given.
    pub aircraft: String,
    /// Title of the complaint, with its site.
    pub complaint: String,
    /// Name of the layout.
    pub layout: String,
    /// Who works it.
    pub mechanic: String,
    /// Whether it is practice, and no work on an aircraft.
    pub practice: bool,
    /// How it stands.
    pub state: JobState,
    /// What is wrong with its record, as a sentence.
    pub trouble: Option<String>,
    /// Whether a person has to look at its record before it is gone on with: it is damaged, or goes on in several ways.
    pub doubtful: bool,
    /// The name of its file, where no job can be read from that; else empty.
    pub file: String,
}

/// What there is to go on with where no job was named.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ToGoOn {
    /// The job that is open and was worked on last, unless one that needs a look may have been.
    pub open: Option<String>,
    /// Records that a person has to look at first, the one last worked on first.
    pub doubtful: Vec<JobLine>,
    /// The other open jobs, where none is to be gone on with unasked.
    pub others: Vec<JobLine>,
}

impl Shop {
    /// The jobs, last worked on first; what cannot be read as a job comes at the end. Empty where there is no folder yet.
    ///
    /// # Errors
    /// A folder that cannot be read.
    pub fn jobs(&self) -> Result<Vec<JobLine>, ShopError> {
        if !self.records.exists() {
            return Ok(Vec::new());
        }
        Ok(record::list(&self.records)?.into_iter().filter_map(|listed| self.line(listed)).collect())
    }

    /// What there is to go on with where no job was named. A record that needs a look and may be the one worked on
    /// last is never passed over for another.
    ///
    /// # Errors
    /// A folder that cannot be read.
    pub fn to_go_on(&self) -> Result<ToGoOn, ShopError> {
        let jobs = self.jobs()?;
        let first = jobs.iter().position(|line| line.state == JobState::Open && !line.doubtful);
        let open = first.map(|at| jobs[at].id.clone());
        // Names begin with the time a job was begun, so a file that no job can be read from tells that much by its
        // name.
        let before = |at: usize, line: &JobLine| match &open {
            None => true,
            Some(open) if line.id.is_empty() => {
                JobId::of_file_name(&line.file).is_some_and(|id| id.as_str() > open.as_str())
            }
            Some(_) => first.is_some_and(|first| at < first),
        };
        let in_place = jobs.iter().enumerate().any(|(at, line)| line.doubtful && before(at, line));
        let (doubtful, rest): (Vec<JobLine>, Vec<JobLine>) =
            jobs.into_iter().partition(|line| line.doubtful || line.id.is_empty());
        let others = rest.into_iter().filter(|line| line.state == JobState::Open).collect();
        Ok(if in_place {
            ToGoOn { open: None, doubtful, others }
        } else {
            ToGoOn { open, doubtful, others: Vec::new() }
        })
    }

    fn line(&self, listed: Listed) -> Option<JobLine> {
        match listed {
            // The program stopped between beginning the file and saving the opening: nothing was acknowledged, so there is no job.
            Listed::Job(summary) if summary.entries == 0 && summary.class != Class::Damaged => None,
            Listed::Job(summary) => Some(self.job_line(&summary)),
            Listed::Damaged { path, class, sentence } => Some(JobLine {
                id: String::new(),
                when: String::new(),
                last: String::new(),
                aircraft: String::new(),
                complaint: String::new(),
                layout: String::new(),
                mechanic: String::new(),
                practice: false,
                state: JobState::Damaged,
                trouble: Some(sentence),
                doubtful: class == Class::Damaged,
                file: path.file_name().unwrap_or_default().to_string_lossy().into_owned(),
            }),
            Listed::Skipped { .. } => None,
        }
    }

    fn job_line(&self, summary: &Summary) -> JobLine {
        let field = |name: &str| {
            let text = summary.extra.get(name).and_then(|v| v.as_str()).unwrap_or_default();
            crate::text::safe_text(text).into_owned()
        };
        let (complaint, at) = (field("complaint"), field("at"));
        JobLine {
            id: summary.id.to_string(),
            when: summary.started.clone(),
            last: summary.last.clone(),
            aircraft: field("aircraft"),
            complaint: if at.is_empty() { complaint } else { format!("{complaint}, {at}") },
            layout: field("layout"),
            mechanic: field("mechanic"),
            practice: super::is_practice(&summary.extra),
            state: self.state_of(summary),
            trouble: summary.trouble.clone(),
            doubtful: summary.doubtful,
            file: String::new(),
        }
    }

    /// How a job of the list stands; its record is read where its last line can follow a closing.
    pub(crate) fn state_of(&self, summary: &Summary) -> JobState {
        if summary.class == Class::Damaged {
            return JobState::Damaged;
        }
        // Only these can follow a closing; other jobs need not be read again.
        if !matches!(summary.last_kind.as_str(), "closed" | "note" | "undo" | "amend" | "remark" | "reviewed") {
            return JobState::Open;
        }
        let Ok(record) = read_job(&self.records, &summary.id) else { return JobState::Damaged };
        let mut closed: Option<(u64, Ending)> = None;
        for entry in &record.entries {
            match entry.kind.as_str() {
                "closed" => {
                    let how = entry.body.get("how").cloned().unwrap_or_default();
                    closed = serde_json::from_value(how).ok().map(|how| (entry.seq, how));
                }
                "undo" if entry.body.get("of").and_then(serde_json::Value::as_u64) == closed.map(|c| c.0) => {
                    closed = None;
                }
                _ => {}
            }
        }
        closed.map_or(JobState::Open, |(_, how)| JobState::Closed(how))
    }

    /// The job that is meant: its whole name, the beginning of it, or `last` for the one worked on last.
    ///
    /// # Errors
    /// None such, or several.
    pub fn find(&self, given: &str) -> Result<JobId, ShopError> {
        let upper = given.trim().to_ascii_uppercase();
        if let Ok(id) = JobId::parse(&upper) {
            return Ok(id);
        }
        let none = || ShopError::NoSuchJob {
            given: crate::text::safe_text(&given.chars().take(40).collect::<String>()).into_owned(),
            folder: crate::text::safe_text(&self.records.to_string_lossy()).into_owned(),
        };
        let ids: Vec<String> = self.jobs()?.into_iter().map(|l| l.id).filter(|id| !id.is_empty()).collect();
        let fitting: Vec<&String> = if upper == "LAST" {
            ids.first().into_iter().collect()
        } else {
            ids.iter().filter(|id| !upper.is_empty() && id.starts_with(&upper)).collect()
        };
        match fitting.as_slice() {
            [] => Err(none()),
            [id] => Ok(JobId::parse(id).map_err(|e: RecordError| ShopError::Record(e))?),
            several => {
                Err(ShopError::Several { given: upper, ids: several.iter().take(8).map(|id| (*id).clone()).collect() })
            }
        }
    }
}
