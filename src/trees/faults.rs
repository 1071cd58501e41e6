//! The faults found so far, and their codes.

use std::collections::HashSet;
use std::ops::Range;

use super::diagnostic::Diagnostic;
use super::node::{Files, Place};
use super::suggest;

/// The most faults kept: more tell nobody anything.
const MOST: usize = 500;

/// The most unknown names for which a known one is looked for: that takes time where there are many of both.
const MOST_MEANT: usize = 100;

/// Codes of faults: the same from version to version.
pub(super) mod code {
    // Reading files.
    pub(in crate::trees) const CANNOT_READ: &str = "cannot-read";
    pub(in crate::trees) const FILE_NAME: &str = "file-name";
    pub(in crate::trees) const FILE_TOO_LARGE: &str = "file-too-large";
    pub(in crate::trees) const NOT_UTF8: &str = "not-utf8";
    pub(in crate::trees) const CONTROL_CHARACTER: &str = "control-character";
    pub(in crate::trees) const MORE_FAULTS: &str = "more-faults";
    // The fence.
    pub(in crate::trees) const SYNTAX: &str = "syntax";
    pub(in crate::trees) const EMPTY_FILE: &str = "empty-file";
    pub(in crate::trees) const ALIAS: &str = "alias";
    pub(in crate::trees) const ANCHOR: &str = "anchor";
    pub(in crate::trees) const TAG: &str = "tag";
    pub(in crate::trees) const MERGE_KEY: &str = "merge-key";
    pub(in crate::trees) const SEVERAL_DOCUMENTS: &str = "several-documents";
    pub(in crate::trees) const TOO_DEEP: &str = "too-deep";
    pub(in crate::trees) const TOO_MANY_VALUES: &str = "too-many-values";
    pub(in crate::trees) const TEXT_TOO_LONG: &str = "text-too-long";
    pub(in crate::trees) const DUPLICATE_KEY: &str = "duplicate-key";
    pub(in crate::trees) const KEY_NOT_TEXT: &str = "key-not-text";
    // Fields.
    pub(in crate::trees) const FORMAT: &str = "format";
    pub(in crate::trees) const UNKNOWN_FIELD: &str = "unknown-field";
    pub(in crate::trees) const MISSING_FIELD: &str = "missing-field";
    pub(in crate::trees) const WRONG_TYPE: &str = "wrong-type";
    pub(in crate::trees) const BAD_VALUE: &str = "bad-value";
    pub(in crate::trees) const BAD_NUMBER: &str = "bad-number";
    pub(in crate::trees) const BAD_NAME: &str = "bad-name";
    pub(in crate::trees) const EMPTY_TEXT: &str = "empty-text";
    // Names.
    pub(in crate::trees) const UNKNOWN_NAME: &str = "unknown-name";
    pub(in crate::trees) const DUPLICATE_NAME: &str = "duplicate-name";
    pub(in crate::trees) const RESERVED_NAME: &str = "reserved-name";
    pub(in crate::trees) const UNKNOWN_LEVEL: &str = "unknown-level";
    pub(in crate::trees) const NO_SOURCE: &str = "no-source";
    pub(in crate::trees) const NO_UNKNOWN: &str = "no-unknown";
    pub(in crate::trees) const NO_COMPLAINT: &str = "no-complaint";
    // Rules of the tree.
    pub(in crate::trees) const CYCLE: &str = "cycle";
    pub(in crate::trees) const EMPTY_GATE: &str = "empty-gate";
    pub(in crate::trees) const UNSEEN_CAUSE: &str = "unseen-cause";
    pub(in crate::trees) const UNCURED_CAUSE: &str = "uncured-cause";
    pub(in crate::trees) const NO_OUTCOMES: &str = "no-outcomes";
    pub(in crate::trees) const HAZARD_WORDS: &str = "hazard-without-words";
    pub(in crate::trees) const BAND_OUTCOME: &str = "band-outcome";
    pub(in crate::trees) const BAD_LIMIT: &str = "bad-limit";
    pub(in crate::trees) const ACCESS_CONFLICT: &str = "access-conflict";
    pub(in crate::trees) const ROUND_TRIP: &str = "round-trip";
    pub(in crate::trees) const TOO_LARGE: &str = "tree-too-large";
    // Layouts and cards.
    pub(in crate::trees) const FIRING_ORDER: &str = "firing-order";
    pub(in crate::trees) const COILS: &str = "coils";
    pub(in crate::trees) const DUAL: &str = "dual-magneto";
    pub(in crate::trees) const CYLINDER_ROWS: &str = "cylinder-rows";
    pub(in crate::trees) const PLUGS: &str = "plugs";
    pub(in crate::trees) const CYLINDERS: &str = "cylinders";
    pub(in crate::trees) const LEADS: &str = "leads";
    pub(in crate::trees) const SITE: &str = "site";
    pub(in crate::trees) const DATE: &str = "date";
    // Warnings.
    pub(in crate::trees) const ALIKE_CAUSES: &str = "alike-causes";
    pub(in crate::trees) const IDLE_CHECK: &str = "idle-check";
    pub(in crate::trees) const OUTDONE_CHECK: &str = "outdone-check";
    pub(in crate::trees) const COMPLAINT_SUM: &str = "complaint-sum";
    pub(in crate::trees) const HAZARD_MISSING: &str = "hazard-missing";
    pub(in crate::trees) const MODE_MISSING: &str = "mode-missing";
    pub(in crate::trees) const NOTHING_WAKES: &str = "nothing-wakes";
    pub(in crate::trees) const ODD_CHANCE: &str = "odd-chance";
    pub(in crate::trees) const ODD_MINUTES: &str = "odd-minutes";
    pub(in crate::trees) const ODD_RATE: &str = "odd-rate";
    pub(in crate::trees) const OLD_WAKES: &str = "old-wakes";
    pub(in crate::trees) const PROVES_LITTLE: &str = "proves-little";
    pub(in crate::trees) const NEVER_USED: &str = "never-used";
    pub(in crate::trees) const UNUSED_EXCEPTION: &str = "unused-exception";
}

/// One fault, not yet drawn.
#[derive(Debug, Clone)]
struct Fault {
    code: &'static str,
    place: Place,
    message: String,
    mend: String,
    /// Where the same thing stands first, for a fault of standing twice.
    first: Option<Place>,
}

/// The faults found so far, in the order they were found.
#[derive(Debug, Clone, Default)]
pub(super) struct Faults {
    found: Vec<Fault>,
    /// Faults of what could not even be read.
    unread: Vec<Diagnostic>,
    seen: HashSet<(&'static str, usize, usize, String)>,
    left_out: usize,
    /// Names for which a near one was looked for.
    meant: usize,
}

impl Faults {
    /// Notes a fault, once for one place.
    pub(super) fn add(
        &mut self,
        code: &'static str,
        place: Place,
        message: impl Into<String>,
        mend: impl Into<String>,
    ) {
        self.push(Fault { code, place, message: message.into(), mend: mend.into(), first: None });
    }

    /// Notes a name that is declared a second time.
    pub(super) fn add_twice(&mut self, what: &str, name: &str, place: Place, first: Place) {
        let message = format!("The {what} \"{name}\" is declared twice.");
        let mend = "Delete one of the two, or give it another name.".to_string();
        self.push(Fault { code: code::DUPLICATE_NAME, place, message, mend, first: Some(first) });
    }

    fn push(&mut self, fault: Fault) {
        if self.found.len() >= MOST {
            self.left_out += 1;
        } else if self.seen.insert((fault.code, fault.place.file, fault.place.start, fault.message.clone())) {
            self.found.push(fault);
        }
    }

    /// Notes something that could not be read at all.
    pub(super) fn add_unread(&mut self, diagnostic: Diagnostic) {
        self.unread.push(diagnostic);
    }

    /// Notes a name that nothing has.
    pub(super) fn unknown<'a>(&mut self, what: &str, name: &str, place: Place, known: impl Iterator<Item = &'a str>) {
        if self.found.len() >= MOST {
            self.left_out += 1;
            return;
        }
        let known: Vec<&str> = known.collect();
        self.meant += 1;
        let near = if self.meant <= MOST_MEANT { suggest::nearest(name, known.iter().copied()) } else { None };
        let mend = match near {
            Some(near) => format!("Did you mean \"{near}\"?"),
            None if known.is_empty() => format!("Declare the {what} first."),
            None if known.len() <= 12 => format!("Declare it, or name one of: {}.", known.join(", ")),
            None => format!("Declare the {what}, or correct the name."),
        };
        self.add(code::UNKNOWN_NAME, place, format!("There is no {what} named \"{name}\"."), mend);
    }

    /// Takes in the faults of others.
    pub(super) fn join(&mut self, others: Self) {
        self.unread.extend(others.unread);
        self.left_out += others.left_out;
        for fault in others.found {
            self.push(fault);
        }
    }

    /// Whether nothing is wrong so far.
    pub(super) fn is_empty(&self) -> bool {
        self.found.is_empty() && self.unread.is_empty()
    }

    /// Whether a fault of this code was noted in a stretch of a file, or would have been if there were not too many.
    pub(super) fn has(&self, code: &str, file: usize, stretch: Range<usize>) -> bool {
        let fits = |f: &Fault| f.code == code && f.place.file == file && stretch.contains(&f.place.start);
        self.left_out > 0 || self.found.iter().any(fits)
    }

    /// Whether no more are kept, so that looking for more is of no use. Where that is so, more are said to be left out.
    pub(super) fn is_full(&mut self) -> bool {
        let full = self.found.len() >= MOST;
        self.left_out += usize::from(full);
        full
    }

    /// How many were noted so far.
    pub(super) fn count(&self) -> usize {
        self.found.len() + self.unread.len() + self.left_out
    }

    /// The faults with their lines, by file and line.
    pub(super) fn into_diagnostics(self, files: &Files) -> Vec<Diagnostic> {
        let mut all = self.unread;
        let mut found = self.found;
        found.sort_by_key(|fault| (fault.place.file, fault.place.start));
        let drawn = found.iter().filter_map(|fault| {
            let file = files.0.get(fault.place.file)?;
            let first = fault.first.and_then(|first| {
                let file = files.0.get(first.file)?;
                Some(format!(" It stands first in {}, line {}.", file.name, file.line_of(first.start).0))
            });
            let message = format!("{}{}", fault.message, first.unwrap_or_default());
            Some(Diagnostic::at(fault.code, file, fault.place, &message, &fault.mend))
        });
        all.extend(drawn);
        if self.left_out > 0 {
            let message = "There are more faults that are not listed.";
            all.push(Diagnostic::whole(code::MORE_FAULTS, "", message, "Mend those listed first."));
        }
        all
    }
}
