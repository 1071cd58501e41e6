//! A job written up: text, HTML and JSON, all three from one account, so that they cannot differ.
//!
//! Owns the account and its pages. What a person typed is made safe here, once. Must not know a file, a clock, a screen or a command:
//! what it cannot see for itself comes with [`Facts`].

mod account;
mod causes;
mod course;
mod engine;
mod entry;
mod found;
mod heading;
mod html;
mod letter;
mod page;
mod reader;
mod suspicion;
mod svg;
mod text;
mod when;

pub use account::{Account, ClosedHow, Facts};
pub use causes::{CauseLine, Left};
pub use course::{CheckLine, CorrectionLine, Stretch, Told};
pub use engine::{CylinderSpot, EnginePlan, Spot, SystemSpot};
pub use entry::DraftEntry;
pub use found::{FoundLine, GoodLine, HurtLine, Known, Named};
pub use heading::{Heading, LABELS, headings, is_labelled};
pub use page::{COLUMNS as PAGE_COLUMNS, WARNS};
pub use reader::{Extent, Reader};
pub use suspicion::{MomentLine, SuspectLine, Suspicion};

use crate::analysis::Analysis;

/// What a report is, and is not. On every page.
pub const STATEMENT: &str = "Working notes and a draft entry. Not a maintenance record, not an electronic signature, not an approved or accepted recordkeeping system. The certificated person writes, checks and signs the entry in the operator's own system.";

/// Whose instructions hold. On every page.
pub const INSTRUCTIONS: &str = "Follow the manufacturer's current instructions and local rules; only a person authorised to do so returns the aircraft to service.";

/// The report as plain text of at most 100 columns where words allow; its page has at most 60 lines.
#[must_use]
pub fn text(job: &Analysis, facts: &Facts, reader: Reader, extent: Extent) -> String {
    text::page(&Account::of(job, facts), reader, extent)
}

/// The shop's report for a screen: its page, and the whole of it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct WrittenUp {
    /// The page alone.
    pub page: String,
    /// The page and everything behind it.
    pub whole: String,
}

impl WrittenUp {
    /// Writes a job up.
    #[must_use]
    pub fn of(job: &Analysis, facts: &Facts) -> Self {
        let account = Account::of(job, facts);
        let text = |extent| text::page(&account, Reader::Shop, extent);
        Self { page: text(Extent::Page), whole: text(Extent::Whole) }
    }
}

/// The report as one HTML page, fit for printing, that loads nothing from anywhere and holds no script.
#[must_use]
pub fn html(job: &Analysis, facts: &Facts, reader: Reader, extent: Extent) -> String {
    html::page(&Account::of(job, facts), reader, extent)
}

/// The report as JSON: everything, whoever reads it.
#[must_use]
pub fn json(job: &Analysis, facts: &Facts) -> String {
    // The account is made of texts, numbers and lists, all of which have a form in JSON.
    serde_json::to_string_pretty(&Account::of(job, facts)).unwrap_or_default()
}
