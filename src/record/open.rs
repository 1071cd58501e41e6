//! How a journal comes to be open: begun or resumed. Moving is in `moving`.
//!
//! Must not know what an entry means.

use std::path::Path;
use std::sync::Arc;

use serde_json::Value;

use super::begin::{begin, begin_next, created, header_line, make_folder, month_of, sync_names, take_lock};
use super::end::{End, chosen_end, own_file, refuse_doubtful};
use super::folder::segment_paths;
use super::header::HeaderBody;
use super::job::{JobRecord, join, read_files};
use super::journal::Journal;
use super::kept::Held;
use super::line::{Draft, RECOVER, draft};
use super::medium::Medium;
use super::name::file_name;
use super::scan::recover_body;
use super::segment::Segment;
use super::stamp::Stamp;
use super::{Device, Disk, JobId, RecordError};

impl Journal {
    /// Begins the record of a new job: makes `YYYY/MM` (of the stamp) in the folder, takes the lock, writes the header and
    /// flushes file and folders. `extra` goes into the header, for the list of records.
    pub fn create(
        folder: &Path,
        id: &JobId,
        device: &Device,
        extra: Value,
        stamp: &Stamp,
    ) -> Result<Self, RecordError> {
        Self::create_on(Arc::new(Disk), folder, id, device, extra, stamp)
    }

    /// As [`Journal::create`], on any medium.
    pub fn create_on(
        medium: Arc<dyn Medium>,
        folder: &Path,
        id: &JobId,
        device: &Device,
        extra: Value,
        stamp: &Stamp,
    ) -> Result<Self, RecordError> {
        stamp.check()?;
        let month = month_of(&stamp.wall);
        let body = HeaderBody::new(id, device, &stamp.wall, extra.clone());
        let line = header_line(0, stamp, &body)?;
        let place = make_folder(medium.as_ref(), folder, &month)?;
        let lock = take_lock(medium.as_ref(), &place, id)?;
        let path = place.join(file_name(id, device, 1));
        let tape = medium.create(&path).map_err(|e| created(&path, e))?;
        let tape = begin(medium.as_ref(), tape, &path, &line.bytes)?;
        sync_names(medium.as_ref(), folder, &month, &path)?;
        let held_at = path.clone();
        Ok(Self {
            medium,
            id: id.clone(),
            device: device.clone(),
            extra,
            path,
            root: folder.to_owned(),
            month,
            tape,
            len: line.bytes.len() as u64,
            lock,
            last_seq: 0,
            head: line.hash,
            held: vec![Held { path: held_at, bytes: line.bytes }],
            unsaved: Vec::new(),
            doubtful: Vec::new(),
            stopped: false,
        })
    }

    /// Goes on with a job. Writes on in this device's own file when that holds the end of the job, closing a torn tail
    /// first; otherwise begins a new file that names the last line.
    ///
    /// Refused when the job is open elsewhere, when it parts, or when one of its files is damaged or missing and nobody has
    /// looked yet: [`Journal::resume_from`] lets a person choose where to go on.
    pub fn resume(folder: &Path, id: &JobId, device: &Device, stamp: &Stamp) -> Result<(Self, JobRecord), RecordError> {
        Self::resume_on(Arc::new(Disk), folder, id, device, stamp, None)
    }

    /// Goes on from an end that a person has chosen: the head of one of the branches of a job that parts (the others
    /// are set aside, not lost), or the last good line of a damaged one. Always begins a new file.
    pub fn resume_from(
        folder: &Path,
        id: &JobId,
        device: &Device,
        stamp: &Stamp,
        head: &str,
    ) -> Result<(Self, JobRecord), RecordError> {
        Self::resume_on(Arc::new(Disk), folder, id, device, stamp, Some(head))
    }

    /// As [`Journal::resume`], or with a head as [`Journal::resume_from`], on any medium.
    pub fn resume_on(
        medium: Arc<dyn Medium>,
        folder: &Path,
        id: &JobId,
        device: &Device,
        stamp: &Stamp,
        chosen: Option<&str>,
    ) -> Result<(Self, JobRecord), RecordError> {
        stamp.check()?;
        let paths = segment_paths(medium.as_ref(), folder, id)?;
        let Some(place) = paths.first().and_then(|p| p.parent()).map(Path::to_owned) else {
            return Err(RecordError::NotFound { id: id.to_string(), folder: folder.to_owned() });
        };
        let lock = take_lock(medium.as_ref(), &place, id)?;
        // Read only now: until the lock was ours, another program may have been writing.
        let paths = segment_paths(medium.as_ref(), folder, id)?;
        let files = read_files(medium.as_ref(), &paths);
        let record = join(id, &files);
        let end = if let Some(head) = chosen {
            chosen_end(&record, head)?
        } else {
            refuse_doubtful(&record)?;
            End::of(&record)
        };
        let own = chosen.is_none().then(|| own_file(&files, device, &end.head)).flatten();
        let mut held: Vec<Held> = files.iter().flatten().map(hold).collect();
        let month = place.strip_prefix(folder).unwrap_or(Path::new("")).to_owned();
        let (path, tape, line_now);
        if let Some(segment) = own {
            path = segment.path.clone();
            tape = medium.reopen(&path).map_err(|e| RecordError::io("open", &path, e))?;
            line_now = (end.seq, end.head);
            // Ours last.
            held.retain(|h| h.path != path);
            held.push(hold(segment));
        } else {
            let body =
                HeaderBody::new(id, device, &stamp.wall, record.extra.clone()).going_on_from(&end.head, end.others);
            let line = header_line(end.seq + 1, stamp, &body)?;
            (path, tape) = begin_next(medium.as_ref(), &place, id, device, &line.bytes)?;
            sync_names(medium.as_ref(), folder, &month, &path)?;
            line_now = (end.seq + 1, line.hash);
            held.push(Held { path: path.clone(), bytes: line.bytes });
        }
        let mut journal = Self {
            medium,
            id: id.clone(),
            device: device.clone(),
            extra: record.extra.clone(),
            path,
            root: folder.to_owned(),
            month,
            tape,
            len: held.last().map_or(0, |own| own.bytes.len() as u64),
            lock,
            last_seq: line_now.0,
            head: line_now.1,
            held,
            unsaved: Vec::new(),
            doubtful: Vec::new(),
            stopped: false,
        };
        if let Some(segment) = own {
            journal.close_tail(segment, stamp)?;
        }
        Ok((journal, record))
    }

    /// Closes a torn tail: a line feed, and a line that names what was torn. The torn bytes stay.
    fn close_tail(&mut self, segment: &Segment, stamp: &Stamp) -> Result<(), RecordError> {
        let torn = segment.torn();
        if cfg!(broken = "no-closing") {
            return Ok(());
        }
        if !torn.is_empty() {
            let seq = self.last_seq + 1;
            let line = draft(seq, stamp, RECOVER, &recover_body(torn), &self.head)?;
            let bytes = [b"\n", line.bytes.as_slice()].concat();
            let closed = self.put(seq, Draft { bytes, hash: line.hash });
            closed.map(drop).map_err(|e| RecordError::io("write to", &self.path, e))?;
        } else if segment.lacks_line_end() {
            self.write_out(b"\n").map_err(|e| RecordError::io("write to", &self.path, e))?;
        }
        Ok(())
    }
}

fn hold(segment: &Segment) -> Held {
    Held { path: segment.path.clone(), bytes: segment.raw.clone() }
}
