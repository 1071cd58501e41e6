//! How one gets on in practice: what the jobs come to by kind, and job by job with a bar of its points.

use crate::practise::{Group, Progress, Row as Job};
use crate::tui::app::App;
use crate::tui::text::{clean, cut, pad, width};
use crate::tui::theme::Role;
use crate::tui::widget::bar::bar;
use crate::tui::widget::page::{Page, Row};

pub(crate) fn lines(app: &App, progress: &Progress, columns: usize) -> Vec<Row> {
    let mut page = Page::new(app.theme, columns);
    let jobs = progress.rows.len();
    page.spread(&[(Role::Title, "How practice goes".into())], &[(Role::Faint, format!("{jobs} closed"))]);
    let Some(all) = &progress.all else {
        page.text(Role::Text, "No practice job was closed yet. A lesson is the place to begin.");
        return page.into_rows();
    };
    group(app, all, &mut page);
    for (title, groups) in [
        ("by name", &progress.by_name),
        ("by level", &progress.by_level),
        ("by part at fault", &progress.by_part),
        ("by set", &progress.by_set),
    ] {
        if !groups.is_empty() {
            page.rule(title);
        }
        groups.iter().for_each(|g| group(app, g, &mut page));
    }
    page.rule("job by job, newest first");
    progress.rows.iter().rev().for_each(|row| job(app, row, &mut page));
    page.into_rows()
}

fn share(points: f64) -> f64 {
    (points / 100.0).clamp(0.0, 1.0)
}

fn group(app: &App, group: &Group, page: &mut Page) {
    let (filled, empty) = bar(app.theme, share(group.points), 10);
    let mut words = format!("{} of {} proven", group.proven, group.jobs);
    if group.jobs > 3 {
        words = format!("{words}, first 3 {:.0}, last 3 {:.0}", group.first, group.last);
    }
    if let Some(pace) = group.pace {
        words = format!("{words}, {pace:.1}x the planner's minutes");
    }
    let room = page.width().saturating_sub(16).clamp(8, 22);
    let name = pad(&cut(&clean(&group.name), room, app.theme.glyphs().more), room);
    page.row(&[
        (Role::Text, format!("{name} ")),
        (Role::Bar, filled),
        (Role::Faint, empty),
        (Role::Strong, format!("{:>4.0}  ", group.points)),
        (Role::Faint, words),
    ]);
}

fn job(app: &App, job: &Job, page: &mut Page) {
    let (filled, empty) = bar(app.theme, share(job.points), 10);
    let when = job.when.get(..16).unwrap_or(&job.when).replace('T', " ");
    let (role, end) = match (job.cured, job.proven) {
        (true, true) => (Role::Good, "proven"),
        (true, false) => (Role::Warn, "not proven"),
        (false, _) => (Role::Warn, "not cured"),
    };
    let par = job.par.map(|par| format!(" of {par:.0}")).unwrap_or_default();
    let who = if job.by.is_empty() { String::new() } else { format!("{}  ", clean(&job.by)) };
    let words = format!("{who}{}: {}", clean(&job.kind), job.parts.join(" and "));
    let figures = format!("{:>4.0}  ", job.points);
    let used = width(&when) + 1 + 10 + width(&figures);
    if page.width() < used + 30 {
        page.row(&[(Role::Faint, format!("{when} ")), (Role::Strong, figures), (role, end.to_owned())]);
        page.row(&[(Role::Text, format!("  {words}"))]);
        return;
    }
    page.row(&[
        (Role::Faint, format!("{when} ")),
        (Role::Bar, filled),
        (Role::Faint, empty),
        (Role::Strong, figures),
        (role, pad(end, 11)),
        (Role::Faint, pad(&format!("{:.0}{par} min", job.minutes), 15)),
        (Role::Text, words),
    ]);
}
