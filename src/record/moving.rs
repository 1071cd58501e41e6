//! How a journal goes on in a new file: after a failure, when a file is full, or because a person wants the job elsewhere.
//!
//! Must not know what an entry means.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::RecordError;
use super::begin::{begin, begin_next, header_line, make_folder, name_of, sync_names, take_lock};
use super::header::HeaderBody;
use super::journal::Journal;
use super::kept::{Held, Saved};
use super::line::draft;
use super::medium::{Named, sync};
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
        let new_lock = if self.is_in(&place) && self.lock.stands() {
            None
        } else {
            Some(take_lock(medium.as_ref(), &place, &self.id)?)
        };
        let places: Vec<PathBuf> =
            self.held.iter().map(|held| self.copy_out(folder, &place, held)).collect::<Result<_, _>>()?;
        let body = HeaderBody::new(&self.id, &self.device, &stamp.wall, self.extra.clone())
            .going_on_from(&self.head, self.doubtful.clone());
        let seq = self.last_seq + 1;
        let line = header_line(seq, stamp, &body)?;
        let (path, tape) = begin_next(medium.as_ref(), &place, &self.id, &self.device, &line.bytes)?;
        sync_names(medium.as_ref(), folder, &self.month, &path)?;
        self.held.iter_mut().zip(places).for_each(|(held, path)| held.path = path);
        self.held.push(Held { path: path.clone(), bytes: line.bytes.clone() });
        folder.clone_into(&mut self.root);
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

    /// Copies one of the job's files as far as it was acknowledged, unless the folder has it already; where it is then.
    fn copy_out(&self, folder: &Path, place: &Path, held: &Held) -> Result<PathBuf, RecordError> {
        let medium = self.medium.as_ref();
        if held.path.starts_with(folder) && held.is_at(medium, &held.path) && self.is_flushed(&held.path)? {
            return Ok(held.path.clone());
        }
        let name = name_of(&held.path);
        let stem = name.trim_end_matches(".jsonl");
        for n in 1..100 {
            let path = place.join(if n == 1 { name.clone() } else { format!("{stem}.copy{n}.jsonl") });
            match medium.create(&path) {
                Ok(tape) => {
                    begin(medium, tape, &path, &held.bytes)?;
                    return Ok(path);
                }
                Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => {
                    if held.is_at(medium, &path) && self.is_flushed(&path)? {
                        return Ok(path);
                    }
                }
                Err(e) => return Err(RecordError::io("create", &path, e)),
            }
        }
        Err(RecordError::Exists { path: place.join(name) })
    }

    /// Makes sure that a file that another program put there is on disk, not in the system's memory only. False where
    /// it cannot be opened. Ours was flushed with every line, and is never flushed again after it failed once.
    fn is_flushed(&self, path: &Path) -> Result<bool, RecordError> {
        if self.tape.named(path).is_ok_and(|named| named == Named::Here) {
            return Ok(true);
        }
        let Ok(mut tape) = self.medium.reopen(path) else { return Ok(false) };
        sync(tape.as_mut()).map(|()| true).map_err(|e| RecordError::io("flush", path, e))
    }
}
