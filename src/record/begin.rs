//! The steps of beginning a file: folder, lock, header, flush of file and names.
//!
//! Must not know jobs that are open already.

use std::io;
use std::path::{Path, PathBuf};

use super::header::HeaderBody;
use super::line::{Draft, HEADER, draft};
use super::medium::{Lock, Medium, Tape, sync, write_all};
use super::name::file_name;
use super::stamp::Stamp;
use super::{Device, JobId, RecordError};

/// Most files one device may have of one job.
const FILES_CAP: u32 = 999;

/// `YYYY/MM` of a wall time that has been checked.
pub(crate) fn month_of(wall: &str) -> PathBuf {
    let part = |range| wall.get(range).unwrap_or("0000");
    Path::new(part(0..4)).join(part(5..7))
}

pub(crate) fn name_of(path: &Path) -> String {
    let name = path.file_name().unwrap_or_default();
    name.to_string_lossy().into_owned()
}

pub(crate) fn header_line(seq: u64, stamp: &Stamp, body: &HeaderBody) -> Result<Draft, RecordError> {
    let value = serde_json::to_value(body)
        .map_err(|e| RecordError::NotReadable { why: super::error::short(&e.to_string()) })?;
    draft(seq, stamp, HEADER, &value, body.prev())
}

pub(crate) fn make_folder(medium: &dyn Medium, folder: &Path, month: &Path) -> Result<PathBuf, RecordError> {
    medium.make_folder(folder, month).map_err(|e| RecordError::io("make the folder", &folder.join(month), e))
}

/// Takes the job's lock in this folder.
pub(crate) fn take_lock(medium: &dyn Medium, place: &Path, id: &JobId) -> Result<Lock, RecordError> {
    let path = place.join(format!("{id}.lock"));
    match medium.lock(&path) {
        Ok(Lock::Busy) if !cfg!(broken = "no-lock") => Err(RecordError::InUse { id: id.to_string() }),
        Ok(lock) => Ok(lock),
        Err(e) => Err(RecordError::io("lock", &path, e)),
    }
}

pub(crate) fn created(path: &Path, error: io::Error) -> RecordError {
    if error.kind() == io::ErrorKind::AlreadyExists {
        return RecordError::Exists { path: path.to_owned() };
    }
    RecordError::io("create", path, error)
}

/// Writes the first bytes of a new file and flushes them. On failure the file is taken away again: it holds nothing that
/// was acknowledged.
pub(crate) fn begin(
    medium: &dyn Medium,
    mut tape: Box<dyn Tape>,
    path: &Path,
    bytes: &[u8],
) -> Result<Box<dyn Tape>, RecordError> {
    let written = write_all(tape.as_mut(), bytes).and_then(|()| sync(tape.as_mut())).and_then(|()| tape.len());
    let done = match written {
        // A disk may say "done" and keep nothing.
        Ok(len) if len != bytes.len() as u64 && !cfg!(broken = "no-length") => Err(io::ErrorKind::ResourceBusy.into()),
        Ok(_) => Ok(()),
        Err(e) => Err(e),
    };
    match done {
        Ok(()) => Ok(tape),
        Err(e) => {
            let _ = medium.remove(path);
            Err(RecordError::io("write to", path, e))
        }
    }
}

/// Begins this device's next file of the job.
pub(crate) fn begin_next(
    medium: &dyn Medium,
    place: &Path,
    id: &JobId,
    device: &Device,
    header: &[u8],
) -> Result<(PathBuf, Box<dyn Tape>), RecordError> {
    let mut path = place.to_owned();
    for n in 1..=FILES_CAP {
        path = place.join(file_name(id, device, n));
        match medium.create(&path) {
            Ok(tape) => {
                let tape = begin(medium, tape, &path, header)?;
                return Ok((path, tape));
            }
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {}
            Err(e) => return Err(RecordError::io("create", &path, e)),
        }
    }
    Err(RecordError::Exists { path })
}

/// Flushes the names of a new file and of the folders on the way to it; a file without a name on disk is not saved.
pub(crate) fn sync_names(medium: &dyn Medium, folder: &Path, month: &Path, path: &Path) -> Result<(), RecordError> {
    if cfg!(broken = "no-folder-flush") {
        return Ok(());
    }
    let place = folder.join(month);
    let ups = place.ancestors().take(1 + month.components().count());
    for up in ups {
        if let Err(e) = medium.sync_folder(up) {
            let _ = medium.remove(path);
            return Err(RecordError::io("flush the folder", up, e));
        }
    }
    Ok(())
}
