//! `roughrun report`: write a job up.

use super::args::{self, Format, Places, Report};
use super::{Outcome, out};
use crate::analysis::Analysis;
use crate::report::{self, Extent, Facts, Reader};

pub(super) fn run(places: &Places, asked: &Report) -> Outcome {
    let shop = places.shop()?;
    let id = shop.find(&asked.id)?.to_string();
    let (job, head, notes) = shop.look(&id)?;
    let job = Analysis::of(job);
    let facts = Facts { id, head, printed: shop.now_words(), notes };
    let reader = match asked.reader {
        args::Reader::Shop => Reader::Shop,
        args::Reader::Owner => Reader::Owner,
        args::Reader::Record => Reader::Record,
    };
    let extent = if asked.whole { Extent::Whole } else { Extent::Page };
    let page = match asked.format {
        Format::Text => report::text(&job, &facts, reader, extent),
        Format::Html => report::html(&job, &facts, reader, extent),
        Format::Json => report::json(&job, &facts),
    };
    out::print(&page)?;
    Ok(0)
}
