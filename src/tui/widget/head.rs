//! The head of every screen: which job, minutes, conditions, and the warning that stands.

use crate::guide::Stands;
use crate::tui::app::App;
use crate::tui::text::{clean, cut, pad, width, wrap};
use crate::tui::theme::Role;
use crate::tui::words;

use super::page::{Page, Row};

/// The lines of the head.
pub(crate) fn head(app: &App, columns: usize, rows: u16) -> Vec<Row> {
    let mut page = Page::new(app.theme, columns);
    let Some(job) = app.job() else {
        page.spread(&[(Role::Title, "ROUGHRUN".into()), (Role::Faint, "  ignition faults, step by step".into())], &[]);
        page.rule("");
        return page.into_rows();
    };
    let (model, state) = (job.model(), job.state());
    let complaint = &model[state.in_hand().0];
    let aircraft = job.opening().and_then(|o| o.aircraft.as_ref()).map(|a| format!("{}  ", clean(&a.registration)));
    let more = if state.also.is_empty() { String::new() } else { format!(" (of {} complaints)", state.also.len() + 1) };
    let title = words::at(model, &complaint.title, complaint.site) + &more;
    let so_far = words::minutes(state.minutes);
    // It follows the answers a little later.
    let to_go =
        app.advice_now().map_or_else(|| app.theme.glyphs().more.to_owned(), |a| words::minutes(a.expected_minutes));
    let minutes = match (state.ended, columns < 60) {
        (Some(how), _) => format!("{so_far}, closed: {}", how.words()),
        (None, _) if app.is_practice() => format!("practice, {so_far} so far"),
        (None, true) => format!("{so_far}+{to_go}"),
        (None, false) => format!("{so_far} so far, about {to_go} to go"),
    };
    page.spread(&[(Role::Strong, aircraft.unwrap_or_default()), (Role::Strong, title)], &[(Role::Faint, minutes)]);
    if let Some(walked) = app.walked() {
        // What a record says of now is of the day it was closed.
        let mechanic = clean(&walked.row.mechanic);
        let by = if mechanic.is_empty() { String::new() } else { format!(", worked by {mechanic}") };
        page.spread(&[(Role::Faint, format!("record {}{by}", walked.row.id))], &[(Role::Faint, "read only".into())]);
        if rows >= 16 {
            page.rule("");
        }
        return page.into_rows();
    }
    let shows = match state.showing(model) {
        Some(true) => (Role::Warn, "yes".to_owned()),
        Some(false) => (Role::Strong, "no".to_owned()),
        None => (Role::Strong, "not known".to_owned()),
    };
    let conditions = words::conditions(model, &state.conditions());
    let grounded = state.all_grounded();
    let propeller = if grounded { "P-leads grounded" } else { "treat prop as live" };
    let role = if grounded { Role::Faint } else { Role::Warn };
    let now = (Role::Faint, "now ".to_owned());
    let showing = (Role::Faint, "  showing ".to_owned());
    // Where there is no room for all, those at rest are left out; the first stays.
    let fits = |words: &str| width(words) + width(&shows.1) + width(propeller) + 16 <= columns;
    let conditions = if fits(&conditions) { conditions } else { words::awake_conditions(model, &state.conditions()) };
    let one_line = width(&conditions) + width(&shows.1) + width(propeller) + 16 <= columns;
    if one_line {
        page.spread(&[now, (Role::Strong, conditions), showing, shows], &[(role, propeller.into())]);
    } else if rows >= 16 {
        page.spread(&[now, (Role::Strong, conditions)], &[]);
        page.spread(&[(Role::Faint, "showing ".into()), shows], &[(role, propeller.into())]);
    } else {
        let short = if grounded { "" } else { "PROP LIVE" };
        let known = state.showing(model).map_or("?", |yes| if yes { "YES" } else { "no" });
        let shows = (shows.0, format!("shows {known}"));
        page.spread(&[shows, (Role::Strong, format!("  {conditions}"))], &[(role, short.into())]);
    }
    if rows >= 20 && state.ended.is_none() {
        let stands = Stands::of(job);
        let key = if stands.before_run.is_empty() && stands.before_end.is_empty() { "" } else { "J " };
        let line = cut(&clean(&stands.line()), columns.saturating_sub(8), app.theme.glyphs().more);
        page.spread(&[(Role::Faint, "stands ".into()), (Role::Text, line)], &[(Role::Faint, key.trim().into())]);
        if let Some(asks) = &stands.asks {
            for line in wrap(&format!("{asks} Y: still as before."), columns) {
                page.row(&[(Role::Warn, line)]);
            }
        }
    }
    // One for each side that may be live, then one for each magneto whose lead is off, as the job has them.
    let off = state.ungrounded(model).into_iter().map(|id| model.site_words(model[id].site));
    let sides = state.ledger.live().iter().map(ToString::to_string).chain(off);
    for (side, words) in sides.zip(job.warnings()) {
        let words = if rows < 16 { format!("{side} side may be LIVE, keep clear") } else { words };
        for line in wrap(&format!("WARNING: {words}"), columns.saturating_sub(2)) {
            page.row(&[(Role::Alarm, format!(" {} ", pad(&line, columns.saturating_sub(2))))]);
        }
    }
    if rows >= 16 {
        page.rule("");
    }
    page.into_rows()
}
