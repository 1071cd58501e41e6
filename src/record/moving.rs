//! How a journal goes on in a new file: after a failure, when a file is full, or because a person wants the job elsewhere.
//!
//! Must not know what an entry means.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use super::RecordError;
use super::begin::{begin, begin_next, header_line, make_folder, name_of, sync_names, take_lock};
use super::header::HeaderBody;
use super::journal::{Held, Journal, Saved};
use super::line::draft;
use super::medium::{Content, Medium};
use super::segment::FILE_CAP;
use super::stamp::Stamp;

impl Journal {
    /// Begins a new file for this job, in the same or another records folder, and writes what waits in memory to it. In
    /// another folder, the job's earlier files are copied there first, so that the whole job is in one place.
    ///
    /// On an error nothing is lost: what was saved is still saved, the rest still waits in memory, and this can
    /// be tried again. Also the way on when a file is full.
    pub fn move_to(&mut self, folder: &Path, stamp: &Stamp) -> Result<Vec<Saved>, RecordError> {
        stamp.check()?;
        let medium = Arc::clone(&self.medium);
        let place = make_folder(medium.as_ref(), folder, &self.month)?;
        let new_lock = if self.is_in(&place) {
            None
        } else {
            Some(take_lock(medium.as_ref(), &place, &self.id)?)
        };
        for held in &self.held {
            copy_out(medium.as_ref(), &place, held)?;
        }
        let body = HeaderBody::new(&self.id, &self.device, &stamp.wall, self.extra.clone())
            .going_on_from(&self.head, self.doubtful.clone());
        let seq = self.last_seq + 1;
        let line = header_line(seq, stamp, &body)?;
        let (path, tape) =
            begin_next(medium.as_ref(), &place, &self.id, &self.device, &line.bytes)?;
        sync_names(medium.as_ref(), folder, &self.month, &path)?;
        self.held.push(Held {
            name: name_of(&path),
            bytes: line.bytes.clone(),
        });
        self.path = path;
        self.tape = tape;
        self.len = line.bytes.len() as u64;
        if let Some(lock) = new_lock {
            self.lock = lock;
        }
        self.last_seq = seq;
        self.head = line.hash;
        self.doubtful.clear();
        self.stopped = false;
        self.write_unsaved()
    }

    fn write_unsaved(&mut self) -> Result<Vec<Saved>, RecordError> {
        let mut all = Vec::new();
        while let Some(next) = self.unsaved.first() {
            let seq = self.last_seq + 1;
            let line = draft(seq, &next.stamp, &next.kind, &next.body, &self.head)?;
            let saved = self.put(seq, line).map_err(|e| self.not_saved(e))?;
            self.unsaved.remove(0);
            all.push(saved);
        }
        Ok(all)
    }

    /// Whether the file that is written to, and so the lock that is held, is in this folder.
    fn is_in(&self, place: &Path) -> bool {
        let ours = self.path.parent().and_then(|p| fs::canonicalize(p).ok());
        ours.is_some() && ours == fs::canonicalize(place).ok()
    }
}

/// Copies one of the job's files as far as it was acknowledged, unless the folder has it already.
fn copy_out(medium: &dyn Medium, place: &Path, held: &Held) -> Result<(), RecordError> {
    let stem = held.name.trim_end_matches(".jsonl");
    for n in 1..100 {
        let name = if n == 1 {
            held.name.clone()
        } else {
            format!("{stem}.copy{n}.jsonl")
        };
        let path = place.join(name);
        match medium.create(&path) {
            Ok(tape) => {
                begin(medium, tape, &path, &held.bytes)?;
                return Ok(());
            }
            Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => {
                let there = medium.read(&path, FILE_CAP);
                if matches!(there, Ok(Content::Bytes(b)) if b.starts_with(&held.bytes)) {
                    return Ok(());
                }
            }
            Err(e) => return Err(RecordError::io("create", &path, e)),
        }
    }
    Err(RecordError::Exists {
        path: place.join(&held.name),
    })
}
