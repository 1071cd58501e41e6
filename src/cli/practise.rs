//! `roughrun practise`: a job on an engine whose fault is hidden, and what is said of it.

use std::fmt::Write as _;
use std::io::{self, IsTerminal as _};

use rayon::prelude::*;

use super::args::{Places, Practise, Practised};
use super::look::Look;
use super::tree::pretty;
use super::{Outcome, ending, out, screens};
use crate::plain::{self, Console};
use crate::practise::{Bout, Debrief, Order, Progress, Row, Terms};
use crate::shop::{OpenJob, Shop};
use crate::study::Level;
use crate::tui::Begin;

pub(super) fn run(places: &Places, look: &Look, args: &Practise) -> Outcome {
    let shop = places.shop()?;
    match &args.what {
        Some(Practised::Debrief { id, json }) => return debrief(&shop, id, *json),
        Some(Practised::Progress { by, json }) => return progress(&shop, by.as_deref(), *json),
        None => {}
    }
    if args.list {
        out::print(&list(&shop))?;
        return Ok(0);
    }
    let order = order(&shop, args);
    let (open, bout) = shop.practise(&order, &args.by)?;
    if !args.plain {
        drop(bout);
        return screens::open(shop, look, Begin::Going(Box::new(open), Vec::new()));
    }
    work(&shop, open, bout, &[])
}

/// Works a practice job line by line.
pub(super) fn work(shop: &Shop, open: OpenJob, bout: Bout, notes: &[String]) -> Outcome {
    let lesson = bout.terms.lesson.as_deref().and_then(|name| shop.library().study().lesson(name));
    let (mut input, mut output) = (io::stdin().lock(), io::stdout().lock());
    let mut console = Console::new(&mut input, &mut output).echoing(!io::stdin().is_terminal());
    ending::worked(open, |open| plain::practise(open, bout, lesson, notes, &mut console))
}

/// What the arguments ask for.
fn order(shop: &Shop, args: &Practise) -> Order {
    if let Some(set) = &args.set {
        return Order::Set(set.clone());
    }
    if let Some(lesson) = &args.lesson {
        return Order::Lesson(lesson.clone());
    }
    if let Some(id) = &args.from {
        return Order::Record(id.clone());
    }
    let seed = args.seed.unwrap_or_else(|| shop.new_seed());
    let names = shop.library().layout_names();
    let by_seed = usize::try_from(seed % (names.len().max(1) as u64)).ok().and_then(|at| names.get(at));
    let layout = args.layout.clone().or_else(|| by_seed.map(|name| (*name).to_owned())).unwrap_or_default();
    let terms = Terms {
        seed,
        level: args.level.unwrap_or(Level::Any),
        on: args.on,
        complaint: args.complaint.clone(),
        ..Terms::default()
    };
    Order::Dealt { layout, terms }
}

fn list(shop: &Shop) -> String {
    let study = shop.library().study();
    let mut text = String::from("Lessons, the first first:\n");
    // Writing into a String cannot fail.
    for lesson in &study.lessons {
        let _ = writeln!(text, "  {:<20} {}", lesson.name, lesson.title);
    }
    text.push_str("Sets, the easiest first:\n");
    for set in &study.sets {
        let _ = writeln!(text, "  {:<20} {}. {}", set.name, set.title, set.about);
    }
    text.push_str("Levels, for --level:\n");
    for level in Level::ALL {
        let _ = writeln!(text, "  {:<20} {}", level.name(), level.words());
    }
    text
}

fn debrief(shop: &Shop, id: &str, json: bool) -> Outcome {
    let past = shop.past_bout(id)?;
    if past.job.state().ended.is_none() {
        return Err(super::CliError::new(
            super::Kind::Usage,
            format!("Practice job {} is not closed yet, and its fault stays hidden until then.", past.id),
        )
        .hint(format!("Go on with: roughrun resume {}", past.id)));
    }
    let lesson = past.bout.terms.lesson.as_deref().and_then(|name| shop.library().study().lesson(name));
    let debrief = Debrief::of(&past.bout, &past.job, lesson);
    out::print(&if json { pretty(&debrief)? } else { debrief.text() })?;
    Ok(0)
}

fn progress(shop: &Shop, by: Option<&str>, json: bool) -> Outcome {
    let bouts = shop.bouts(by)?;
    let rows: Vec<Row> =
        bouts.bouts.par_iter().filter_map(|b| Row::of(&b.id, &b.when, &b.by, &b.job, &b.bout)).collect();
    let progress = Progress::of(rows);
    out::print(&if json { pretty(&progress)? } else { progress.text() })?;
    bouts.unread.iter().for_each(|why| out::remark(why));
    Ok(0)
}
