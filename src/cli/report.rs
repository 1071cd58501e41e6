//! `roughrun report`: write a job up.

use super::args::{self, Format, Places, Report};
use super::{Outcome, out};
use crate::analysis::Analysis;
use crate::record::{self, Class};
use crate::report::{self, Extent, Facts, Reader};

pub(super) fn run(places: &Places, asked: &Report) -> Outcome {
    let shop = places.shop()?;
    let job_id = shop.find(&asked.id)?;
    let id = job_id.to_string();
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
    if record::read_job(shop.records(), &job_id).is_ok_and(|record| record.class() == Class::Damaged) {
        out::remark(
            "The record of this job is damaged: the page holds only what could be read of it. See: roughrun verify",
        );
        return Ok(Class::Damaged.exit_code());
    }
    Ok(0)
}
