//! Files off the disk: which ones make a trees folder, and their bytes, never more than the fence lets through.

use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};

use super::diagnostic::Diagnostic;
use super::faults::{Faults, code};
use super::fence::LARGEST_FILE;

/// The most files of one tree.
const MOST_FILES: usize = 500;

/// One file as it was found.
#[derive(Debug, Clone)]
pub(super) struct Found {
    /// Its path inside the folder, with `/` between, or as it was given.
    pub name: String,
    pub bytes: Vec<u8>,
}

/// The files of a trees folder, sorted by name: `*.yaml`, `layouts/*.yaml` and `practice/*.yaml`.
pub(super) fn read_folder(dir: &Path, faults: &mut Faults) -> Vec<Found> {
    let mut paths: Vec<(String, PathBuf)> = Vec::new();
    list(dir, "", true, &mut paths, faults);
    for inner in ["layouts", "practice"] {
        let folder = dir.join(inner);
        if folder.is_dir() {
            list(&folder, &format!("{inner}/"), false, &mut paths, faults);
        }
    }
    paths.sort();
    if paths.len() > MOST_FILES {
        let message = format!("The folder holds {} files, and {MOST_FILES} is the most.", paths.len());
        faults.add_unread(Diagnostic::whole(
            code::CANNOT_READ,
            &dir.display().to_string(),
            &message,
            "Join some of them.",
        ));
        return Vec::new();
    }
    paths.iter().filter_map(|(name, path)| read_file(path, name, faults)).collect()
}

fn list(dir: &Path, prefix: &str, top: bool, into: &mut Vec<(String, PathBuf)>, faults: &mut Faults) {
    let cannot = |reason: &str| {
        let message = format!("The folder cannot be read: {reason}.");
        Diagnostic::whole(
            code::CANNOT_READ,
            &dir.display().to_string(),
            &message,
            "Name a folder that holds the .yaml files of a tree.",
        )
    };
    let entries = match fs::read_dir(dir) {
        Ok(entries) => entries,
        Err(fault) => return faults.add_unread(cannot(&fault.to_string())),
    };
    let before = into.len();
    for entry in entries {
        let path = match entry {
            Ok(entry) => entry.path(),
            Err(fault) => return faults.add_unread(cannot(&fault.to_string())),
        };
        let Some(name) = path.file_name().map(|name| format!("{prefix}{}", name.to_string_lossy())) else { continue };
        match path.extension().and_then(|e| e.to_str()) {
            Some("yaml") => into.push((name, path)),
            Some(other) if other.eq_ignore_ascii_case("yml") || other.eq_ignore_ascii_case("yaml") => {
                let message = "The file would not be read under this name.";
                faults.add_unread(Diagnostic::whole(
                    code::FILE_NAME,
                    &name,
                    message,
                    "Let its name end in .yaml, or move it away.",
                ));
            }
            _ => {}
        }
    }
    if top && into.len() == before {
        faults.add_unread(cannot("it holds no .yaml file"));
    }
}

/// The bytes of one file; the fault is noted where it cannot be read. Of a file that is too large one byte too many is read,
/// for the fence to see.
pub(super) fn read_file(path: &Path, name: &str, faults: &mut Faults) -> Option<Found> {
    let mut cannot = |reason: &str, mend: &str| {
        let message = format!("The file cannot be read: {reason}.");
        faults.add_unread(Diagnostic::whole(code::CANNOT_READ, name, &message, mend));
        None
    };
    // Opening a pipe or a device can wait for ever, so the kind of file is looked at first.
    match fs::metadata(path) {
        Err(fault) => return cannot(&fault.to_string(), "Look at its name and its permissions."),
        Ok(about) if !about.is_file() => return cannot("it is not an ordinary file", "Name an ordinary file."),
        Ok(_) => {}
    }
    let mut bytes = Vec::new();
    let most = u64::try_from(LARGEST_FILE + 1).unwrap_or(u64::MAX);
    match fs::File::open(path).and_then(|file| file.take(most).read_to_end(&mut bytes)) {
        Ok(_) => Some(Found { name: name.to_string(), bytes }),
        Err(fault) => cannot(&fault.to_string(), "Look at its permissions."),
    }
}
