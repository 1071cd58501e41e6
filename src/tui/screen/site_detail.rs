//! What is known of one site: its causes, its readings, the age of its parts, what feeds it.

use crate::analysis::Standing;
use crate::job::Job;
use crate::model::{Site, SystemKind};
use crate::tui::app::App;
use crate::tui::held::Seen;
use crate::tui::practice;
use crate::tui::text::{clean, cut, width};
use crate::tui::theme::Role;
use crate::tui::widget::page::Page;
use crate::tui::words;

/// Causes listed.
const CAUSES: usize = 7;

pub(super) fn fill(app: &App, seen: Seen<'_>, site: Site, page: &mut Page) {
    let job = seen.job;
    let model = job.model();
    let causes = practice::causes_at(seen, site);
    page.row(&[(Role::Title, name(job, site))]);
    if let Some(feeds) = feeds(job, site) {
        page.text(Role::Faint, &feeds);
    }
    for id in causes.iter().take(CAUSES) {
        let Some(job) = seen.ranked else {
            page.row(&[(Role::Text, cut(&clean(&model[*id].title), page.width(), app.theme.glyphs().more))]);
            continue;
        };
        let standing = job.standing(*id);
        // What has no word here is in play.
        let word = if standing == Standing::InPlay { "" } else { words::standing(standing) };
        let room = page.width().saturating_sub(7 + width(word));
        let title = cut(&clean(&model[*id].title), room, app.theme.glyphs().more);
        let role = if standing == Standing::ShownGood { Role::Struck } else { Role::Text };
        page.row(&[
            (Role::Strong, format!("{:>5} ", words::percent(job.belief(*id).present))),
            (role, title),
            (Role::Faint, format!(" {word}")),
        ]);
    }
    let more = causes.len().saturating_sub(CAUSES);
    if more > 0 {
        let words =
            if seen.ranked.is_some() { format!("      and {more} less likely") } else { format!("and {more} more") };
        page.row(&[(Role::Faint, words)]);
    }
    for line in readings(job, site) {
        page.text(Role::Text, &line);
    }
    for line in ages(job, site) {
        page.text(Role::Faint, &line);
    }
}

fn name(job: &Job, site: Site) -> String {
    match site {
        Site::Engine => "the whole engine".into(),
        other => job.model().site_words(other),
    }
}

/// What feeds it, or what it fires.
fn feeds(job: &Job, site: Site) -> Option<String> {
    let layout = &job.model().layout;
    match site {
        Site::Plug(side, n) => {
            let feet = layout.side(side).lead_feet.get(&n).map(|f| format!(", lead {f:.1} ft"));
            let by = match layout.coil_of(side, n) {
                Some(Site::Coil(_, letter)) => format!("fired by {side} coil {letter}"),
                _ => format!("fired by the {side} {}", short(layout.side(side).kind)),
            };
            Some(format!("{by}{}", feet.unwrap_or_default()))
        }
        Site::Side(side) => {
            let upper: Vec<String> = layout.side(side).upper.iter().map(u8::to_string).collect();
            let upper = if upper.is_empty() { "none".to_owned() } else { upper.join(", ") };
            Some(format!("{}; fires the upper plugs of {upper}, the lower of the others", layout.side(side).words()))
        }
        Site::Coil(side, letter) => {
            let coil = layout.side(side).coils.iter().find(|c| c.letter == letter)?;
            let fires: Vec<String> = coil.fires.iter().map(u8::to_string).collect();
            let together = if fires.len() > 1 { " together" } else { "" };
            Some(format!("fires {}{together}", fires.join(" and ")))
        }
        _ => None,
    }
}

fn short(kind: SystemKind) -> &'static str {
    if kind == SystemKind::Electronic { "system" } else { "magneto" }
}

/// What was seen here, newest first.
fn readings(job: &Job, site: Site) -> Vec<String> {
    let model = job.model();
    let here = job.state().given.iter().rev().filter(|g| model[g.check].site == site);
    here.take(4)
        .map(|g| {
            let check = &model[g.check];
            let seen = g.seen().map_or("not judged yet", |s| check.outcome_title(s));
            let typed = if g.typed.is_empty() { String::new() } else { format!("{}: ", clean(&g.typed)) };
            format!("#{} {}: {typed}{}", g.number, clean(&check.title), clean(seen))
        })
        .collect()
}

/// The age of each part here, against the shortest life that a way of failing gives it.
fn ages(job: &Job, site: Site) -> Vec<String> {
    let model = job.model();
    let mut parts: Vec<&str> = model.causes.iter().filter(|c| c.site == site).map(|c| c.part.as_str()).collect();
    parts.sort_unstable();
    parts.dedup();
    let shortest = |lives: &[Option<f64>]| lives.iter().flatten().copied().reduce(f64::min);
    let line = |part: &str| {
        let fits = |f: &&crate::model::Fitted| f.part == part && model.layout.encloses(f.site, site);
        let fitted = job.state().ages.iter().find(fits)?;
        let causes = model.causes.iter().filter(|c| c.site == site && c.part == part);
        let lives: Vec<_> = causes.filter_map(|c| c.life.as_ref()).collect();
        let hours: Vec<_> = lives.iter().map(|l| l.hours).collect();
        let years: Vec<_> = lives.iter().map(|l| l.years).collect();
        let of = |age: Option<f64>, life: Option<f64>, unit: &str| {
            let life = life.map(|l| format!(" of {l:.0}")).unwrap_or_default();
            Some(format!("{:.0}{life} {unit}", age?))
        };
        let both = [of(fitted.hours, shortest(&hours), "h"), of(fitted.years, shortest(&years), "years")];
        let both: Vec<String> = both.into_iter().flatten().collect();
        Some(format!("{} {}", clean(&part.replace('-', " ")), both.join(", ")))
    };
    parts.into_iter().filter_map(line).collect()
}
