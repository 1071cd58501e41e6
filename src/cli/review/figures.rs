//! `roughrun review figures`: the shop's jobs counted.

use super::args::{Figures as Args, FiguresFormat, Places};
use super::{Outcome, out, tree};
use crate::figures::{Asked, Counter};
use crate::review::{self, Style};
use crate::shop;

pub(super) fn run(places: &Places, args: &Args) -> Outcome {
    let records = super::Records::list(places, &args.folders)?;
    let mut counter = Counter::new(Asked { practice: args.practice, by_mechanic: args.by_mechanic });
    let asked = records.rows(&args.only, args.practice)?;
    counter.leave_out(asked.left_out);
    counter.filtered(asked.filter);
    let unread = records.each_sheet(&asked.rows, |sheet| counter.add(&sheet));
    let figures = counter.figures();
    let page = match args.format {
        FiguresFormat::Text => review::figures_text(&figures, if args.ascii { Style::Ascii } else { Style::Unicode }),
        FiguresFormat::Json => tree::pretty(&review::figures_json(&figures))?,
        FiguresFormat::Html => review::figures_html(&figures, &records.shop.now_words()),
    };
    unread.iter().for_each(|sentence| out::remark(sentence));
    records.remark();
    let Some(path) = &args.output else {
        out::print(&page)?;
        return Ok(0);
    };
    shop::put(path, page.as_bytes())?;
    Ok(0)
}
