//! The first line of each file of a record: which job, which device, and what it goes on from.
//!
//! Must not know: files and folders.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::line::{Entry, HEADER, NO_PARENT, is_hash};
use super::{Device, JobId};

/// The format this version writes and reads.
pub const FORMAT: &str = "roughrun-record-1";
const FAMILY: &str = "roughrun-record-";

/// What the first line of a file says.
#[derive(Debug, Clone, PartialEq)]
pub struct Header {
    /// The job.
    pub job: JobId,
    /// The machine that wrote this file.
    pub device: Device,
    /// Wall time when this file was begun.
    pub started: String,
    /// Version of the program that began it.
    pub program: String,
    /// Hash of the line this file goes on from; none for the first file of a job.
    pub continues: Option<String>,
    /// What was set aside when this file was begun: hashes of lines whose saving failed, of the ends of branches a person
    /// chose not to go on with, and of lines and whole files the person has seen to be damaged.
    pub sets_aside: Vec<String>,
    /// What the job room put in when the job was begun.
    pub extra: Value,
    /// The line itself.
    pub line: Entry,
}

#[derive(Serialize, Deserialize)]
pub(crate) struct HeaderBody {
    format: String,
    job: String,
    device: String,
    started: String,
    program: String,
    continues: Option<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    sets_aside: Vec<String>,
    extra: Value,
}

impl HeaderBody {
    /// What a header of this program says, as the body of a line.
    pub(crate) fn new(job: &JobId, device: &Device, started: &str, extra: Value) -> Self {
        Self {
            format: FORMAT.to_owned(),
            job: job.to_string(),
            device: device.to_string(),
            started: started.to_owned(),
            program: env!("CARGO_PKG_VERSION").to_owned(),
            continues: None,
            sets_aside: Vec::new(),
            extra,
        }
    }

    pub(crate) fn going_on_from(mut self, hash: &str, sets_aside: Vec<String>) -> Self {
        self.continues = Some(hash.to_owned());
        self.sets_aside = sets_aside;
        self
    }

    /// What `prev` of the header's line has to be.
    pub(crate) fn prev(&self) -> &str {
        self.continues.as_deref().unwrap_or(NO_PARENT)
    }
}

/// Takes a whole line as a header, or says what keeps it from being one.
pub(crate) fn read(line: &Entry) -> Result<Header, &'static str> {
    if line.kind != HEADER {
        return Err("is not a header, so this file is not a record or its beginning is missing");
    }
    let body: HeaderBody = serde_json::from_value(line.body.clone())
        .map_err(|_| "is a header with fields missing or of the wrong kind")?;
    if body.format != FORMAT && !cfg!(broken = "any-format") {
        return Err("is a header of a format that this version does not know");
    }
    let job = JobId::parse(&body.job).map_err(|_| "names something that is not a job id")?;
    let device = Device::parse(&body.device).map_err(|_| "names something that is not a device label")?;
    let first = body.continues.is_none();
    let fits = body.prev() == line.prev && first == (line.seq == 0) && body.sets_aside.iter().all(|h| is_hash(h));
    if !fits {
        return Err("is a header that contradicts itself about what it goes on from");
    }
    Ok(Header {
        job,
        device,
        started: body.started,
        program: body.program,
        continues: body.continues,
        sets_aside: body.sets_aside,
        extra: body.extra,
        line: line.clone(),
    })
}

/// The format a first line claims, if it claims one of this family other than ours. Read without checking hashes,
/// because another format may keep them otherwise.
pub(crate) fn other_format(line: &[u8]) -> Option<String> {
    if cfg!(broken = "any-format") {
        return None;
    }
    let read: Value = serde_json::from_slice(line).ok()?;
    let format = [read.pointer("/body/format"), read.get("format")].into_iter().flatten().find_map(Value::as_str)?;
    (format.starts_with(FAMILY) && format != FORMAT).then(|| super::error::short(format))
}
