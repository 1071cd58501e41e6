//! A page put in its place on disk: whole or not at all, never over a record, never through a link.

use std::fs::{self, Permissions};
use std::io::{self, Write as _};
use std::os::unix::fs::PermissionsExt as _;
use std::path::Path;

use crate::record::{JobId, read_segment};
use crate::text::safe_text;

/// Why a page was not written. Nothing was changed.
#[derive(Debug, thiserror::Error)]
pub enum PutError {
    /// There is something in the place that a page does not replace.
    #[error("{path} is {what}, and is not written over. Name another file.")]
    NotOver {
        /// The file, safe to show.
        path: String,
        /// What it is.
        what: &'static str,
    },
    /// The system refused.
    #[error("{path} cannot be written: {why}. Name a file in a folder that you can write to.")]
    Write {
        /// The file, safe to show.
        path: String,
        /// Why.
        why: io::Error,
    },
}

/// Writes a page beside its place and renames it there once it is on disk, so that what was there before stays as it
/// was until then. It keeps the permissions of the file that it replaces.
///
/// # Errors
/// The place is a link, a folder, a device or a record, or cannot be written.
pub fn put(path: &Path, page: &[u8]) -> Result<(), PutError> {
    let shown = safe_text(&path.to_string_lossy()).into_owned();
    let not_over = |what| Err(PutError::NotOver { path: shown.clone(), what });
    let permissions = match fs::symlink_metadata(path) {
        Ok(there) if there.is_symlink() => return not_over("a symbolic link"),
        Ok(there) if !there.is_file() => return not_over("no plain file"),
        Ok(_) if is_record(path) => return not_over("a record"),
        Ok(there) => there.permissions(),
        // As any new file is made; the user's mask takes off what it does.
        Err(_) => Permissions::from_mode(0o666),
    };
    let folder = path.parent().filter(|up| *up != Path::new("")).unwrap_or(Path::new("."));
    let write = || {
        let mut file = tempfile::Builder::new().prefix(".roughrun-").permissions(permissions).tempfile_in(folder)?;
        file.write_all(page)?;
        file.as_file().sync_all()?;
        file.persist(path).map_err(|fault| fault.error)
    };
    write().map(drop).map_err(|why| PutError::Write { path: shown.clone(), why })
}

/// By its name or by its first line.
fn is_record(path: &Path) -> bool {
    let named = path.file_name().is_some_and(|name| JobId::of_file_name(&name.to_string_lossy()).is_some());
    named || read_segment(path).is_ok_and(|segment| segment.header.is_some())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn a_page_replaces_a_page_and_keeps_who_may_read_it() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("page.html");
        put(&path, b"one").unwrap();
        fs::set_permissions(&path, Permissions::from_mode(0o640)).unwrap();
        put(&path, b"two").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1, "nothing is left beside it");
    }

    #[test]
    fn links_folders_and_what_is_not_there_are_refused() {
        let dir = tempfile::tempdir().unwrap();
        let (real, link) = (dir.path().join("real"), dir.path().join("link"));
        fs::write(&real, "precious").unwrap();
        std::os::unix::fs::symlink(&real, &link).unwrap();
        assert!(put(&link, b"x").unwrap_err().to_string().contains("a symbolic link"));
        assert!(put(dir.path(), b"x").unwrap_err().to_string().contains("no plain file"));
        assert!(put(&dir.path().join("no/page"), b"x").unwrap_err().to_string().contains("cannot be written"));
        assert_eq!(fs::read(&real).unwrap(), b"precious");
    }
}
