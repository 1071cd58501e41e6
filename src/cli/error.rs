//! What a command can end with other than done: a kind, which is the exit code, a message, and hints.

use crate::practise::NoPractice;
use crate::shop::{PutError, ShopError};

/// The kind of an error.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A file that was given has a fault.
    Fault,
    /// Wrong use.
    Usage,
    /// A record or a disk.
    Record,
}

impl Kind {
    /// The exit code.
    #[must_use]
    pub fn exit_code(self) -> u8 {
        match self {
            Self::Fault => 1,
            Self::Usage => 2,
            Self::Record => 3,
        }
    }
}

/// An error for the person at the command line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CliError {
    /// Its kind.
    pub kind: Kind,
    /// What happened, in full sentences.
    pub message: String,
    /// What to do.
    pub hints: Vec<String>,
}

impl CliError {
    pub(super) fn new(kind: Kind, message: impl Into<String>) -> Self {
        Self { kind, message: message.into(), hints: Vec::new() }
    }

    pub(super) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// The same error as one of wrong use: what was typed on the command line is at fault, not a file.
    pub(super) fn into_usage(mut self) -> Self {
        self.kind = Kind::Usage;
        self
    }
}

impl From<ShopError> for CliError {
    fn from(fault: ShopError) -> Self {
        let message = fault.to_string();
        match fault {
            ShopError::Trees(_) => Self::new(Kind::Fault, message),
            ShopError::Opening(_)
            | ShopError::OtherLayout { .. }
            | ShopError::Record(crate::record::RecordError::NotFound { .. }) => Self::new(Kind::Usage, message),
            ShopError::NoSuchJob { .. } | ShopError::Several { .. } => Self::new(Kind::Usage, message)
                .hint("`roughrun verify` lists the files of the records folder; `last` means the job worked on last."),
            ShopError::Record(crate::record::RecordError::Forked { .. }) => {
                Self::new(Kind::Record, message).hint("Choose where to go on with: roughrun resume ID --head HASH")
            }
            ShopError::Record(_) | ShopError::NotUnderstood { .. } | ShopError::DoesNotFit { .. } => {
                Self::new(Kind::Record, message)
            }
        }
    }
}

impl From<PutError> for CliError {
    fn from(fault: PutError) -> Self {
        Self::new(Kind::Record, fault.to_string())
    }
}

impl From<NoPractice> for CliError {
    fn from(fault: NoPractice) -> Self {
        match fault {
            NoPractice::Shop(fault) => fault.into(),
            NoPractice::OtherDeal(_) => Self::new(Kind::Record, fault.to_string()),
            NoPractice::Bout(_) | NoPractice::NoStudy { .. } | NoPractice::SetDone(_) | NoPractice::IsNone(_) => {
                Self::new(Kind::Usage, fault.to_string())
            }
        }
    }
}
