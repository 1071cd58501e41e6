//! `roughrun report`: write a job up.

use super::args::{Format, Places, Report};
use super::{Outcome, out};
use crate::report::{self, Facts};

pub(super) fn run(places: &Places, args: &Report) -> Outcome {
    let shop = places.shop()?;
    let id = shop.find(&args.id)?.to_string();
    let (job, head, notes) = shop.look(&id)?;
    let facts = Facts { id, head, printed: shop.now_words(), notes };
    let page = match args.format {
        Format::Text => report::text(&job, &facts),
        Format::Html => report::html(&job, &facts),
        Format::Json => report::json(&job, &facts),
    };
    out::print(&page)?;
    Ok(0)
}
