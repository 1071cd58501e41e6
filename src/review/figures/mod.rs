//! The shop's figures for people: as text for a terminal, as one HTML page, and as JSON.
//!
//! What is said is put together once, in sections with charts and tables; the text and the page only draw them. Must not count anything.

mod chart;
mod html;
mod sections;
mod svg;
mod text;

pub use chart::Style;

use serde_json::{Value, json};

use crate::figures::Figures;

/// The figures as text, at most 80 columns wide where names allow it.
#[must_use]
pub fn figures_text(figures: &Figures, style: Style) -> String {
    text::page(figures, &sections::sections(figures), style)
}

/// The figures as one HTML page: no script, nothing loaded, every text escaped, fit for printing. `printed` is the moment.
#[must_use]
pub fn figures_html(figures: &Figures, printed: &str) -> String {
    html::page(figures, &sections::sections(figures), printed)
}

/// The figures for programs. Texts are as they stand in the records.
#[must_use]
pub fn figures_json(figures: &Figures) -> Value {
    json!({"format": "roughrun-figures-1", "jobs": figures.jobs(), "ages": crate::figures::AGES, "figures": figures})
}
