//! What can be wrong with a record that was read: kinds of fault, their sentences, and how bad the whole is.
//!
//! Must not know: how faults are found.

/// One thing that is wrong with a file of a record, or with how a job's files fit together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Line in the file, from 1; 0 where the fault is of the file as a whole.
    pub line: usize,
    /// What kind.
    pub kind: FaultKind,
    /// What happened, naming the file, as one or two full sentences.
    pub sentence: String,
}

/// The kinds of fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FaultKind {
    /// The last line was never finished: the program or machine stopped in the middle of writing it.
    Torn,
    /// An unfinished line that was found and closed when the job was resumed. Its bytes are still in the file.
    TornRecovered,
    /// A line that was changed after it was written.
    BadHash,
    /// Whole lines that do not follow each other: one was left out, put in, doubled or moved.
    BrokenChain,
    /// A line over the cap.
    TooLong,
    /// Bytes that are not text.
    NotUtf8,
    /// Not a line of a record.
    Unparsable,
    /// A format this version does not know.
    UnknownFormat,
    /// The first line is not a header.
    NoHeader,
    /// Line ends were changed by a program that moved the file.
    LineEnds,
    /// The file is of another job than its name says.
    WrongJob,
    /// The file goes on from a line that is not in this folder.
    MissingParent,
    /// The file could not be read at all.
    NotRead,
}

/// How bad a file or folder is. The numbers are the exit codes of a verify; damage outranks a torn tail.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Class {
    /// Every line whole and in its chain.
    Ok = 0,
    /// Something that was saved is changed, missing or cannot be read.
    Damaged = 1,
    /// Only last lines cannot be read; whether they had been acknowledged is not known.
    Torn = 2,
}

impl Class {
    /// The class of a list of faults.
    #[must_use]
    pub fn of<'a>(faults: impl IntoIterator<Item = &'a Fault>) -> Self {
        faults.into_iter().map(|f| f.kind.class()).fold(Self::Ok, Self::worse)
    }

    /// The worse of two.
    #[must_use]
    pub fn worse(self, other: Self) -> Self {
        match (self, other) {
            (Self::Damaged, _) | (_, Self::Damaged) => Self::Damaged,
            (Self::Torn, _) | (_, Self::Torn) => Self::Torn,
            _ => Self::Ok,
        }
    }

    /// The exit code of a verify: 0 whole, 1 damaged, 2 only torn tails.
    #[must_use]
    pub fn exit_code(self) -> u8 {
        self as u8
    }
}

impl FaultKind {
    /// Whether this hurts anything that was saved.
    #[must_use]
    pub fn class(self) -> Class {
        match self {
            Self::Torn | Self::TornRecovered => Class::Torn,
            _ => Class::Damaged,
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;

    #[test]
    fn damage_outranks_torn_and_torn_outranks_whole() {
        let all = [Class::Ok, Class::Torn, Class::Damaged];
        for (a, one) in all.into_iter().enumerate() {
            for (b, other) in all.into_iter().enumerate() {
                assert_eq!(one.worse(other), all[a.max(b)]);
            }
        }
        assert_eq!(Class::of(&[]).exit_code(), 0);
        assert_eq!(Class::Damaged.exit_code(), 1);
        assert_eq!(Class::Torn.exit_code(), 2);
    }
}
