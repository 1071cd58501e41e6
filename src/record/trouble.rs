//! What a failure of the system means for a person, and what to do about it.
//!
//! Owns the sentences for the error numbers a disk can give. Must not know which file or entry was concerned.

use std::fmt;
use std::io;

use rustix::io::Errno;

/// The kinds of failure that need different mends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Trouble {
    /// No space, or no room for one more file.
    Full,
    /// This user's share of the disk is used up.
    Quota,
    /// The disk is mounted for reading only.
    ReadOnly,
    /// This user may not write or read there.
    NotAllowed,
    /// The disk, stick or card gave an error of its own.
    Disk,
    /// A folder or file is not there.
    Missing,
    /// A part of the path is a file where a folder is needed.
    NotAFolder,
    /// The path is a symbolic link where a plain file is needed.
    Link,
    /// The system's limit on the size of a file.
    SizeLimit,
    /// The network folder lost touch with its server.
    NetworkGone,
    /// The file is longer or shorter than what was written to it.
    Changed,
    /// The file's name was taken away while it was open.
    Gone,
    /// Another file was put in the place of the one that is open.
    Replaced,
    /// Anything else.
    Other,
}

impl Trouble {
    /// Sorts an error by what has to be done about it.
    #[must_use]
    pub fn of(error: &io::Error) -> Self {
        const NUMBERS: [(Errno, Trouble); 14] = [
            (Errno::NOSPC, Trouble::Full),
            (Errno::DQUOT, Trouble::Quota),
            (Errno::ROFS, Trouble::ReadOnly),
            (Errno::ACCESS, Trouble::NotAllowed),
            (Errno::PERM, Trouble::NotAllowed),
            (Errno::IO, Trouble::Disk),
            (Errno::NXIO, Trouble::Disk),
            (Errno::NODEV, Trouble::Disk),
            (Errno::NOENT, Trouble::Missing),
            (Errno::NOTDIR, Trouble::NotAFolder),
            (Errno::LOOP, Trouble::Link),
            (Errno::FBIG, Trouble::SizeLimit),
            (Errno::STALE, Trouble::NetworkGone),
            (Errno::MLINK, Trouble::Link),
        ];
        let Some(number) = error.raw_os_error() else {
            if let Some(lost) = NameLost::of(error) {
                return lost.trouble();
            }
            return match error.kind() {
                io::ErrorKind::ResourceBusy => Self::Changed,
                _ => Self::Other,
            };
        };
        // Looked up by number: `Errno` itself cannot hold every number a driver may give.
        let known = NUMBERS.iter().find(|(e, _)| e.raw_os_error() == number);
        known.map_or(Self::Other, |&(_, trouble)| trouble)
    }

    /// What is wrong, as a clause that follows "because".
    #[must_use]
    pub fn because(self) -> &'static str {
        match self {
            Self::Full => "the disk is full",
            Self::Quota => "your share of the disk is used up",
            Self::ReadOnly => "the disk can only be read, not written",
            Self::NotAllowed => "you are not allowed to use that file or folder",
            Self::Disk => "the disk reported a fault of its own",
            Self::Missing => "a file or folder is not there",
            Self::NotAFolder => "a part of the path is a file, not a folder",
            Self::Link => "it is a symbolic link, and records are never written or read through links",
            Self::SizeLimit => "the system's limit on the size of a file was reached",
            Self::NetworkGone => "the network folder lost touch with its server",
            Self::Changed => {
                "the file has another length than it should: another program wrote to it, or the disk did not keep what it said it had"
            }
            Self::Gone => "it was taken away (deleted, moved or renamed) while the job was open",
            Self::Replaced => "another file was put in its place while the job was open",
            Self::Other => "the system refused",
        }
    }

    /// What to do, as one or two full sentences.
    #[must_use]
    pub fn mend(self) -> &'static str {
        match self {
            Self::Full => "Free some space, or choose a records folder on another disk.",
            Self::Quota => "Delete or move some of your files, or choose a records folder on another disk.",
            Self::ReadOnly => "Choose a records folder on a disk that can be written.",
            Self::NotAllowed => "Ask for write permission on the folder, or choose a records folder of your own.",
            Self::Disk => {
                "Do not trust this disk any more: choose a records folder on another one, and copy the old records off it."
            }
            Self::Missing => "Check the path, and that the disk or stick is plugged in and mounted.",
            Self::NotAFolder => "Check the path, or choose another records folder.",
            Self::Link => "Put the real file in its place, or choose another records folder.",
            Self::SizeLimit => "Raise the limit, or start a new file for this job.",
            Self::NetworkGone => "Save to a folder on this machine, and bring the files together later.",
            Self::Changed => {
                "Close the other program if there is one, and go on in a new file, on another disk if you can."
            }
            Self::Gone | Self::Replaced => {
                "Leave the records of an open job alone, with programs that move or replace files too."
            }
            Self::Other => "Try again, or choose another records folder.",
        }
    }
}

/// The name of an open file does not lead to it any more, so that what is written to it would be lost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum NameLost {
    /// There is nothing under it.
    Gone,
    /// There is another file.
    Replaced,
}

impl NameLost {
    /// Where that is what went wrong.
    pub(crate) fn of(error: &io::Error) -> Option<Self> {
        error.get_ref()?.downcast_ref().copied()
    }

    pub(crate) fn trouble(self) -> Trouble {
        match self {
            Self::Gone => Trouble::Gone,
            Self::Replaced => Trouble::Replaced,
        }
    }
}

impl fmt::Display for NameLost {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Gone => "its name is gone",
            Self::Replaced => "its name is another file's",
        })
    }
}

impl std::error::Error for NameLost {}

impl From<NameLost> for io::Error {
    fn from(lost: NameLost) -> Self {
        Self::other(lost)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn the_four_common_failures_have_sentences_of_their_own() {
        let errors = [Errno::NOSPC, Errno::ROFS, Errno::ACCESS, Errno::IO];
        let said: BTreeSet<_> = errors
            .iter()
            .map(|e| Trouble::of(&io::Error::from_raw_os_error(e.raw_os_error())))
            .map(|t| (t.because(), t.mend()))
            .collect();
        assert_eq!(said.len(), errors.len());
    }

    #[test]
    fn unknown_numbers_still_get_a_mend() {
        let odd = Trouble::of(&io::Error::from_raw_os_error(9999));
        assert_eq!(odd, Trouble::Other);
        assert!(odd.mend().ends_with('.'));
    }
}
