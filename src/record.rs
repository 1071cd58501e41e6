//! The journal of a job on disk: plain text, one entry a line, only ever grown.
//!
//! Owns the files, their hashes and chains, their lock, and where they live. A line's body is any JSON value under a short
//! word, its kind; what entries mean is the job room's business. This room must not know the screens, the command line, the
//! belief or the plan.
//!
//! # The files
//!
//! `YYYY/MM/ID.DEVICE.jsonl` in the records folder; a second file of the same device is `ID.DEVICE.2.jsonl`, and so on. Each line is
//!
//! ```text
//! {"seq":4,"t":"2026-11-25T09:36:00+01:00","mono_ms":81234,"kind":"reading","body":{...},"prev":"<64 hex>","h":"<64 hex>"}
//! ```
//!
//! `h` is the SHA-256 of the bytes of the line before `,"h":`, `prev` is the `h` of the line before, so a line is checked with a
//! text editor and `sha256sum`. Numbers count through all files of a job. The first line of a file is of kind `header`; that of a
//! job's later files names the line it goes on from in `continues`.
//!
//! # The promises
//!
//! - [`Journal::append`] returns [`Saved`] only after the line is written and flushed, and the file of the record's name is
//!   the one that was written. [`Kept`] is proof of the same for all of a job. Only these can say that something is saved.
//! - A file that is taken away or replaced under an open job is noticed before the next entry is acknowledged, and all of
//!   the job is written anew beside it.
//! - A file is never cut, never rewritten. A torn last line is closed by a line feed and a line of kind `recover` that names its length
//!   and hash, and its bytes stay.
//! - After a failure of a write or a flush, the file is not written again; [`Journal::move_to`] goes on in a new one.
//! - Changed, missing, doubled and moved lines are found. Whole lines cut off the end, or a file rewritten with all its hashes,
//!   are found only by holding the head hash against one written down elsewhere: the record is tamper-evident, no more.
//! - Two devices never write to one file. Where a job parts, both ways are shown and a person chooses.

mod begin;
mod disk;
mod end;
mod error;
mod fault;
mod folder;
mod header;
mod held;
mod job;
mod journal;
mod kept;
mod line;
mod list;
pub mod medium;
mod moving;
mod name;
mod open;
pub mod places;
mod scan;
mod segment;
mod stamp;
mod tree;
mod trouble;

pub use disk::Disk;
pub use error::RecordError;
pub use fault::{Class, Fault, FaultKind};
pub use folder::{Found, files_of};
pub use header::{FORMAT, Header};
pub use held::{HeadFound, Place, SHORTEST_HEAD, find_head};
pub use job::{Branch, JobRecord, SetAside, read_job, read_listed};
pub use journal::{Journal, Sure, UNSAVED_CAP, Unsaved};
pub use kept::{Kept, Saved, UpTo};
pub(crate) use line::sha256;
pub use line::{Entry, LINE_CAP};
pub use list::{FileReport, Listed, Report, Summary, list, verify};
pub use name::{Device, JobId, os_random};
pub use segment::{FILE_CAP, JOB_CAP, Segment, read_segment, segment_of};
pub use stamp::Stamp;
pub use trouble::Trouble;
