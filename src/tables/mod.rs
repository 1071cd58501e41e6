//! A job as rows of plain tables: what is exported, and what the shop's figures are counted from.
//!
//! Each table is declared once: its columns, their types and what they mean. The written schema and the files come from that. Must not
//! know how rows are made of a job, nor how they are written down.

mod row;

pub use row::{Cell, Column, Kind, Row};

use row::table;

/// A job in rows.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sheet {
    /// The job.
    pub job: JobRow,
    /// Its entries.
    pub entries: Vec<EntryRow>,
    /// Its checks that stand.
    pub readings: Vec<ReadingRow>,
    /// Its causes that were proven, put right or found.
    pub causes: Vec<CauseRow>,
    /// Its parts of which a check told.
    pub parts: Vec<PartRow>,
    /// Its parts that were replaced.
    pub replaced: Vec<ReplacedRow>,
}

/// What can be known of a part that was replaced, the surest first: the values of the column `was`.
pub const WAS: [&str; 6] = ["measured-bad", "seen-bad", "proven-by-run", "shown-good", "still-showed", "not-known"];

table! {
    /// A job.
    JobRow is "jobs": "One row for each record. What needs the job itself (from `engine_hours` to `proof_passed`, and the minutes at the end) is empty where `trouble` says that it could not be read." {
        job: Text = "Name of the job; its first ten characters are the time it was begun";
        purpose: Text = "`work` on an aircraft, `practice`, or `demo` on an invented aircraft: count `work` only";
        opened: Text = "Time of the opening, RFC 3339 with offset, by the clock of the machine";
        closed: Text = "Time of the closing; empty while it is open";
        state: Text = "How it ended by what its record bears out: `cured-proven`, `corrected-not-proven`, `handed-over`, `not-found`, `not-reproduced`, `stopped`; else `open` or `unread`";
        aircraft: Text = "Registration marks, where a card was given";
        layout: Text = "Name of the engine's layout";
        mechanic: Text = "Who worked it, as typed";
        complaint: Text = "Title of the complaint";
        complaint_at: Text = "Site of the complaint";
        words: Text = "What the pilot said";
        engine_hours: Number = "Engine hours at the opening, where a card was given";
        window_hours: Number = "Engine hours since it last ran well";
        system_left: Text = "Kind of the left system";
        system_right: Text = "Kind of the right system";
        minutes: Number = "Minutes of work by the tree's figures, access included";
        planned_minutes: Number = "Minutes that the planner expected at the opening, to a proven cure";
        clock_minutes: Number = "Minutes from opening to closing by the clock, breaks included";
        checks: Whole = "Checks that stand";
        corrections: Whole = "Corrections carried out";
        proof_runs: Whole = "Proof runs made";
        proof_passed: Truth = "Whether the last word is a proof run that passed";
        entries: Whole = "Entries in the record";
        trees: Text = "Digest of the trees the job was opened on";
        head: Text = "Hash of the record's last line";
        trouble: Text = "What is wrong with the record, or why the job could not be read";
        minutes_access: Number = "Minutes of opening and closing. This and the five columns after it are the minutes of work by what they went on, as today's trees reckon them";
        minutes_checking: Number = "Minutes of looking and measuring";
        minutes_correcting: Number = "Minutes of putting right";
        minutes_provoking: Number = "Minutes of making the complaint show";
        minutes_running: Number = "Minutes of starting, warming up, running to see whether it shows, proof runs and stopping";
        minutes_waiting: Number = "Minutes of waiting, as far as they count: a quarter";
        recent_work: Text = "What was worked on since it last ran well, by kind of work and site: `plugs-out at left 3; points-set at left`; `nothing`, `not-known`; empty where nobody was asked. A part alone stands for itself, in old records";
    }
}

table! {
    /// An entry of a job.
    EntryRow is "entries": "One row for each entry of a record, those taken back included. Of a job that could not be read: its number, time and kind." {
        job: Text = "Name of the job";
        entry: Whole = "Number in the job, from 1";
        time: Text = "Time, RFC 3339 with offset";
        kind: Text = "`opened`, `answer`, `corrected`, `proof-run`, `closed` and so on";
        stands: Truth = "False where it was taken back by a later entry; true of one that was put right, whose words are then the new ones";
        what: Text = "The tree's name of the check, cause, correction, provocation, hazard or access";
        site: Text = "Site";
        said: Text = "The entry in words";
    }
}

table! {
    /// A check that stands.
    ReadingRow is "readings": "One row for each check that was made and stands, measured or looked at." {
        job: Text = "Name of the job";
        entry: Whole = "Number of its entry";
        time: Text = "Time, RFC 3339 with offset";
        check_name: Text = "The tree's name of the check";
        site: Text = "Site";
        title: Text = "Title of the check";
        minutes: Number = "Minutes of the check by the tree, without access";
        outcome: Text = "The tree's name of the outcome; empty where the reading is too close to call";
        normal: Truth = "Whether that is the normal outcome";
        typed: Text = "The reading as typed, where one was";
        value: Number = "The reading in the base unit; empty for an open circuit";
        unit: Text = "Base unit of the value";
        celsius: Number = "Temperature of the part in degrees Celsius, where taken";
        conditions: Text = "Conditions of the spell";
        showing: Truth = "Whether the complaint showed in the spell, where known";
        moved: Number = "The largest change, 0 to 1, that the answer made to the probability of any one cause having been there";
        leader_changed: Truth = "Whether another cause led after it";
    }
}

table! {
    /// A cause that was proven, put right or found.
    CauseRow is "causes": "One row for each cause that was proven, put right, or seen or measured at fault. Causes that one correction cures, or that one finding leaves open, share one count: add up `share`, not rows." {
        job: Text = "Name of the job";
        cause: Text = "The tree's name of the cause";
        site: Text = "Site";
        title: Text = "Title of the cause";
        part: Text = "The part it is of";
        system: Text = "Kind of the system it is in; `engine` where it belongs to no side";
        standing: Text = "`proven`, `put right` where a proof run has passed since, or `found` where it is named by what somebody saw or measured and not proven beyond that";
        by_eye: Truth = "Whether somebody saw it and confirmed it";
        share: Number = "Its share of one fault, 0 to 1: 1 unless one correction cured several causes that were not told apart";
        probability: Number = "Probability, at the end, that it had been there";
        corrected_by: Text = "The tree's name of the correction; empty where none was carried out";
        corrected_entry: Whole = "Number of that entry";
        age_hours: Number = "Engine hours of the part at the opening, where the card told";
        age_years: Number = "Years of the part at the opening, where the card told";
        life_spent: Number = "Age over the part's life, by hours or years, whichever is more; 1 is due";
        found_by: Text = "How somebody came to know of it: `measured`, `seen`; empty where it was inferred";
    }
}

table! {
    /// A part of which a check told.
    PartRow is "parts": "One row for each part at its place of which a check told by itself, with a clear answer, whether it is at fault. What was replaced without such a look has no row." {
        job: Text = "Name of the job";
        part: Text = "The part";
        site: Text = "Site";
        system: Text = "Kind of the system it is in; `engine` where it belongs to no side";
        measured: Truth = "Whether it was measured: a reading was typed";
        looked_at: Truth = "Whether it was looked at: an outcome was chosen without a reading";
        found: Text = "How a fault of it was found: `measured`, `seen`; empty where none was";
    }
}

table! {
    /// A part that was replaced, overhauled or exchanged.
    ReplacedRow is "replaced": "One row for each time that a part, or a unit of several, was replaced, overhauled or exchanged. Handing over is none." {
        job: Text = "Name of the job";
        entry: Whole = "Number of its entry";
        time: Text = "Time, RFC 3339 with offset";
        correction: Text = "The tree's name of the correction";
        site: Text = "Site";
        title: Text = "Title of the correction";
        kind: Text = "`replace`, `overhaul` or `exchange`";
        part: Text = "The part that more than half of what the correction cures is of; empty where there is none: a unit of several kinds of parts";
        system: Text = "Kind of the system it is in; `engine` where it belongs to no side";
        was: Text = "What is known of what came off: `measured-bad` or `seen-bad` before; `proven-by-run` where the complaint went with this correction alone; `shown-good` by a look before, or `still-showed` where the complaint showed after it and another cause was proven: a good part; else `not-known`";
        was_entry: Whole = "Number of the entry that says so, where one does";
        minutes: Number = "Minutes of the work by the tree, without access";
        parts_money: Number = "Money of parts by the shop's price list; empty where that has no price of it";
        currency: Text = "Currency of that price list";
    }
}
