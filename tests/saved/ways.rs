//! The ways in which a record is lost or hurt under an open job, and a look at what is on the disk afterwards.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use roughrun::record::{Class, JobId, JobRecord, read_job};

/// What happens to the record of an open job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Way {
    /// Its name is deleted.
    Unlinked,
    /// Its name is moved out of the records folder.
    RenamedAway,
    /// An older copy is renamed over it, as a sync client does.
    OlderOver,
    /// A file with the same bytes is renamed over it.
    SameOver,
    /// A link is put in its place.
    LinkInPlace,
    /// The whole records folder is deleted.
    FolderRemoved,
    /// `git stash` in a records folder under version control: the file is as it was committed.
    Stashed,
    /// `git stash; git stash pop`.
    StashedAndPopped,
    /// The file loses its end.
    Truncated,
    /// Another program adds to the file.
    AddedTo,
    /// The folder is deleted and cannot be made again, as a stick that is pulled out.
    FolderBlocked,
}

impl Way {
    /// The name does not lead to the open file any more: it is noticed, and the record is written anew at once.
    pub(crate) const NAME_LOST: [Self; 8] = [
        Self::Unlinked,
        Self::RenamedAway,
        Self::OlderOver,
        Self::SameOver,
        Self::LinkInPlace,
        Self::FolderRemoved,
        Self::Stashed,
        Self::StashedAndPopped,
    ];

    /// The file itself is hurt: what is entered then waits, and is written to a new file when it is tried once more.
    pub(crate) const HURT: [Self; 2] = [Self::Truncated, Self::AddedTo];

    /// Has to be called before the job has its last entries.
    pub(crate) fn prepare(self, records: &Path) {
        if matches!(self, Self::Stashed | Self::StashedAndPopped) {
            git(records, &["init", "-q"]);
            git(records, &["add", "."]);
            git(records, &["commit", "-q", "-m", "records"]);
        }
        if self == Self::OlderOver {
            fs::copy(file_of(records), records.with_extension("older")).unwrap();
        }
    }

    /// Does it.
    pub(crate) fn happen(self, records: &Path) {
        let file = file_of(records);
        match self {
            Self::Unlinked => fs::remove_file(file).unwrap(),
            Self::RenamedAway => fs::rename(file, records.with_extension("away")).unwrap(),
            Self::OlderOver => fs::rename(records.with_extension("older"), file).unwrap(),
            Self::SameOver => {
                let same = records.with_extension("same");
                fs::copy(&file, &same).unwrap();
                fs::rename(same, file).unwrap();
            }
            Self::LinkInPlace => {
                let away = records.with_extension("away");
                fs::rename(&file, &away).unwrap();
                std::os::unix::fs::symlink(away, file).unwrap();
            }
            Self::FolderRemoved => fs::remove_dir_all(records).unwrap(),
            Self::Stashed => git(records, &["stash", "-q"]),
            Self::StashedAndPopped => {
                git(records, &["stash", "-q"]);
                git(records, &["stash", "pop", "-q"]);
            }
            Self::Truncated => {
                let file = fs::File::options().write(true).open(file).unwrap();
                file.set_len(file.metadata().unwrap().len() - 100).unwrap();
            }
            Self::AddedTo => {
                let bytes = [fs::read(&file).unwrap(), b"x\n".to_vec()].concat();
                fs::write(file, bytes).unwrap();
            }
            Self::FolderBlocked => {
                fs::remove_dir_all(records).unwrap();
                fs::write(records, "a file where the folder was").unwrap();
            }
        }
    }
}

/// Version control with nobody's settings. The lock of the open job is no part of it.
fn git(folder: &Path, args: &[&str]) {
    fs::write(folder.join(".gitignore"), "*.lock\n.own\n").unwrap();
    let mut command = Command::new("git");
    command.args(["-c", "user.name=Test", "-c", "user.email=test@localhost", "-c", "init.defaultBranch=main"]);
    let output = command.args(args).current_dir(folder).env("HOME", folder).output().unwrap();
    assert!(output.status.success(), "git {args:?}: {output:?}");
}

/// The files of the only job in a folder, in order of name.
pub(crate) fn files_of(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for item in fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = item.path();
        if path.is_dir() && !path.is_symlink() {
            files.extend(files_of(&path));
        } else if path.extension().is_some_and(|e| e == "jsonl") {
            files.push(path);
        }
    }
    files.sort();
    files
}

pub(crate) fn file_of(folder: &Path) -> PathBuf {
    files_of(folder).into_iter().next().expect("a record")
}

/// The job that is on the disk.
pub(crate) fn on_disk(folder: &Path) -> JobRecord {
    let name = file_of(folder).file_name().unwrap().to_string_lossy().into_owned();
    read_job(folder, &JobId::parse(&name[..26]).unwrap()).unwrap()
}

/// The notes that are on the disk, in order; they are there once, and nothing else is in doubt but a file that was
/// hurt.
pub(crate) fn notes_on_disk(folder: &Path, way: Way) -> Vec<String> {
    let record = on_disk(folder);
    assert!(record.branches.is_empty(), "{way:?}");
    let is_hurt = matches!(way, Way::Truncated | Way::AddedTo | Way::LinkInPlace);
    assert!(is_hurt || record.class() == Class::Ok, "{way:?}: {:?}", record.faults);
    record.entries.iter().filter_map(|e| Some(e.body.get("text")?.as_str()?.to_owned())).collect()
}
