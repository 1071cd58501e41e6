//! Where records are kept, and whether they can be.
//!
//! Must not know what is kept. The choice is made from values the caller gives; only [`data_folder`] looks at the
//! environment.

use std::path::{Path, PathBuf};

use etcetera::BaseStrategy as _;

use super::medium::{Medium, write_all};
use super::{Disk, RecordError};

/// The folder of records in the working folder.
pub const HERE: &str = "sessions";

/// A records folder and how it was chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The folder. It need not exist yet.
    pub folder: PathBuf,
    /// Who chose it.
    pub by: ChosenBy,
}

/// How a records folder was chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChosenBy {
    /// Named on the command line or in the environment.
    Name,
    /// `./sessions` is there.
    Here,
    /// Neither, so this user's data folder.
    Home,
}

/// The records folder: the one that was named (an empty name counts as none), else `sessions` in the working folder
/// where that is a folder, else `data`, which is [`data_folder`] in the program.
pub fn choose(named: Option<&Path>, working: &Path, data: Option<PathBuf>) -> Result<Place, RecordError> {
    if let Some(folder) = named.filter(|n| !n.as_os_str().is_empty()) {
        return Ok(Place { folder: folder.to_owned(), by: ChosenBy::Name });
    }
    let here = working.join(HERE);
    if here.is_dir() {
        return Ok(Place { folder: here, by: ChosenBy::Here });
    }
    let folder = data.ok_or(RecordError::NoPlace)?;
    Ok(Place { folder, by: ChosenBy::Home })
}

/// `roughrun/sessions` in this user's XDG data folder; none without a home folder.
#[must_use]
pub fn data_folder() -> Option<PathBuf> {
    let base = etcetera::choose_base_strategy().ok()?;
    Some(base.data_dir().join("roughrun").join(HERE))
}

/// `roughrun` in this user's XDG cache folder, for what may be thrown away at any time; none without a home folder.
#[must_use]
pub fn cache_folder() -> Option<PathBuf> {
    let base = etcetera::choose_base_strategy().ok()?;
    Some(base.cache_dir().join("roughrun"))
}

/// Makes sure, before the first question, that records can be written to the folder: makes it where it is missing,
/// then creates, writes, flushes and takes away a small file. `unique` keeps two programs apart (a process number).
pub fn make_ready(folder: &Path, unique: u32) -> Result<(), RecordError> {
    make_ready_on(&Disk, folder, unique)
}

/// As [`make_ready`], on any medium.
pub fn make_ready_on(medium: &dyn Medium, folder: &Path, unique: u32) -> Result<(), RecordError> {
    if cfg!(broken = "no-probe") {
        return Ok(());
    }
    medium.make_folder(folder, Path::new("")).map_err(|e| RecordError::io("make the records folder", folder, e))?;
    let probe = folder.join(format!(".roughrun-probe-{unique}"));
    let fault = |e| RecordError::io("write to the records folder", folder, e);
    let made = match medium.create(&probe) {
        Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => {
            // Left by a program that was killed in this very step.
            medium.remove(&probe).map_err(fault)?;
            medium.create(&probe)
        }
        other => other,
    };
    let mut tape = made.map_err(fault)?;
    let written = write_all(tape.as_mut(), b"probe\n").and_then(|()| tape.sync());
    let gone = medium.remove(&probe);
    written.map_err(fault)?;
    // A folder where nothing may be taken away is a fine place for records.
    let _ = gone;
    Ok(())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;

    #[test]
    fn a_named_folder_wins_then_the_one_here_then_home() {
        let dir = tempfile::tempdir().unwrap();
        let home = Some(PathBuf::from("/home/x/.local/share/roughrun/sessions"));
        let named = choose(Some(Path::new("/r")), dir.path(), home.clone()).unwrap();
        assert_eq!((named.folder, named.by), ("/r".into(), ChosenBy::Name));
        let place = choose(Some(Path::new("")), dir.path(), home.clone()).unwrap();
        assert_eq!((Some(place.folder), place.by), (home.clone(), ChosenBy::Home));
        std::fs::write(dir.path().join(HERE), "a file").unwrap();
        assert_eq!(choose(None, dir.path(), home.clone()).unwrap().by, ChosenBy::Home);
        std::fs::remove_file(dir.path().join(HERE)).unwrap();
        std::fs::create_dir(dir.path().join(HERE)).unwrap();
        let here = choose(None, dir.path(), home).unwrap();
        assert_eq!((here.folder, here.by), (dir.path().join(HERE), ChosenBy::Here));
    }

    #[test]
    fn nowhere_is_an_error_that_says_what_to_do() {
        let dir = tempfile::tempdir().unwrap();
        let fault = choose(None, dir.path(), None).unwrap_err();
        assert!(fault.to_string().contains("--records"), "{fault}");
    }

    #[test]
    fn making_ready_leaves_an_empty_folder_for_this_user_only() {
        use std::os::unix::fs::PermissionsExt as _;
        let dir = tempfile::tempdir().unwrap();
        let folder = dir.path().join("a/b/sessions");
        make_ready(&folder, 1).unwrap();
        std::fs::write(folder.join(".roughrun-probe-1"), "left over").unwrap();
        make_ready(&folder, 1).unwrap();
        assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 0);
        let mode = std::fs::metadata(&folder).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o700);
    }
}
