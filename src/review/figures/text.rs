//! The figures for a terminal.

use std::fmt::Write as _;

use unicode_width::UnicodeWidthStr as _;

use super::chart::{Bars, Chart, Head, Section, Style, Table};
use crate::figures::Figures;
use crate::text::{safe_text, wrap};

/// As wide as a terminal is at least.
const COLUMNS: usize = 80;
/// Columns of a bar at full length.
const BAR: usize = 36;
/// The widest label before a bar, and the widest text cell of a table.
const LABEL: usize = 28;
/// The narrowest that a text cell is cut to where a table does not fit.
const LEAST: usize = 12;

/// What parts of a bar are drawn with, in order.
const BLOCKS: [char; 7] = ['\u{2588}', '\u{2593}', '\u{2592}', '\u{2591}', '\u{25a9}', '\u{b7}', '\u{25cb}'];
const PLAIN: [char; 7] = ['#', '=', '+', '-', 'x', '.', 'o'];
/// A month's jobs, none to most.
const STEPS: [char; 9] =
    [' ', '\u{2581}', '\u{2582}', '\u{2583}', '\u{2584}', '\u{2585}', '\u{2586}', '\u{2587}', '\u{2588}'];
const PLAIN_STEPS: [char; 9] = [' ', '.', ':', '-', '=', '+', '*', '%', '#'];

/// Writing into a String cannot fail.
pub(super) fn page(figures: &Figures, sections: &[Section], style: Style) -> String {
    let mut page = String::new();
    let months = figures.months.keys();
    if let Some((first, last)) = months.clone().next().zip(months.last()) {
        let _ = writeln!(page, "The shop in figures, {} to {}", safe_text(first), safe_text(last));
    } else {
        let _ = writeln!(page, "The shop in figures");
    }
    for section in sections {
        let rule = if style == Style::Ascii { "-" } else { "\u{2500}" };
        let width = COLUMNS.saturating_sub(section.title.width() + 1);
        let _ = writeln!(page, "\n{} {}", section.title, rule.repeat(width));
        for line in section.about.iter().flat_map(|about| wrap(&safe_text(about), COLUMNS)) {
            let _ = writeln!(page, "{line}");
        }
        for chart in &section.charts {
            match chart {
                Chart::Bars(bars) => draw_bars(&mut page, bars, style),
                Chart::Months(title, months) => draw_months(&mut page, title, months, style),
            }
        }
        section.tables.iter().for_each(|table| draw_table(&mut page, table));
    }
    page
}

/// Cut to a width, with a mark where something was cut.
fn fitted(text: &str, columns: usize) -> String {
    let text = safe_text(text);
    if text.width() <= columns {
        return text.into_owned();
    }
    let mut cut =
        wrap(&text.replace(' ', "\u{a0}"), columns.saturating_sub(1).max(1)).swap_remove(0).replace('\u{a0}', " ");
    cut.push('~');
    cut
}

/// A text in a field of this width.
fn field(text: &str, width: usize, right: bool) -> String {
    let gap = " ".repeat(width.saturating_sub(text.width()));
    if right { format!("{gap}{text}") } else { format!("{text}{gap}") }
}

/// Places of a bar, from its share of the whole.
fn places(share: f64) -> usize {
    // From 0 to the length of a bar.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let places = (share.clamp(0.0, 1.0) * BAR as f64).round() as usize;
    places
}

fn draw_bars(page: &mut String, bars: &Bars, style: Style) {
    if bars.lines.is_empty() {
        return;
    }
    let marks = if style == Style::Ascii { PLAIN } else { BLOCKS };
    let _ = writeln!(page, "\n{}", bars.title);
    let labels: Vec<String> = bars.lines.iter().map(|bar| fitted(&bar.label, LABEL)).collect();
    let width = labels.iter().map(|label| label.width()).max().unwrap_or(0);
    let most = bars.most();
    for (bar, label) in bars.lines.iter().zip(&labels) {
        let (mut drawn, mut line, mut sum) = (0, String::new(), 0.0);
        for (part, mark) in bar.parts.iter().zip(marks.iter().cycle()) {
            sum += part;
            let end = places(sum / most);
            line.extend(std::iter::repeat_n(*mark, end.saturating_sub(drawn)));
            drawn = drawn.max(end);
        }
        let _ = writeln!(page, "  {} {line} {}", field(label, width, false), safe_text(&bar.note));
    }
    if bars.legend.len() > 1 {
        let named: Vec<String> = bars.legend.iter().zip(marks).map(|(name, mark)| format!("{mark} {name}")).collect();
        let mut line = String::new();
        for name in named {
            if !line.is_empty() && line.width() + name.width() + 5 > COLUMNS {
                let _ = writeln!(page, "  {line}");
                line.clear();
            }
            line.push_str(if line.is_empty() { "" } else { "   " });
            line.push_str(&name);
        }
        let _ = writeln!(page, "  {line}");
    }
}

fn draw_months(page: &mut String, title: &str, months: &[(String, usize)], style: Style) {
    let Some(most) = months.iter().map(|(_, jobs)| *jobs).max().filter(|most| *most > 0) else { return };
    let steps = if style == Style::Ascii { PLAIN_STEPS } else { STEPS };
    let _ = writeln!(page, "\n{title}, at most {most}");
    let mut at = 0;
    while let Some((first, _)) = months.get(at) {
        let year = first.get(..4).unwrap_or_default();
        let of_year: Vec<_> = months[at..].iter().take_while(|(month, _)| month.starts_with(year)).collect();
        at += of_year.len().max(1);
        let mut line = [' '; 12];
        for (month, jobs) in &of_year {
            let place = month.get(5..7).and_then(|month| month.parse::<usize>().ok()).unwrap_or(1);
            // Any jobs at all are seen.
            let step = (jobs * (steps.len() - 1)).div_ceil(most);
            line[place.clamp(1, 12) - 1] = steps[step.min(steps.len() - 1)];
        }
        let jobs: usize = of_year.iter().map(|(_, jobs)| jobs).sum();
        let _ = writeln!(page, "  {} |{}| {jobs}", safe_text(year), line.iter().collect::<String>());
    }
}

fn draw_table(page: &mut String, table: &Table) {
    let _ = writeln!(page);
    if !table.title.is_empty() {
        let _ = writeln!(page, "{}", table.title);
    }
    if table.rows.is_empty() {
        let _ = writeln!(page, "  none");
        return;
    }
    let heads: Vec<(usize, &Head)> = table.heads.iter().enumerate().filter(|(_, head)| !head.page_only).collect();
    let cell = |row: &[String], (at, head): &(usize, &Head)| {
        if head.begins { safe_text(&row[*at]).chars().take(LEAST).collect() } else { fitted(&row[*at], LABEL) }
    };
    let whole: Vec<Vec<String>> =
        table.rows.iter().map(|row| heads.iter().map(|head| cell(row, head)).collect()).collect();
    let width = |(at, (_, head)): (usize, &(usize, &Head))| {
        whole.iter().map(|row| row[at].width()).chain([head.name.width()]).max().unwrap_or(0)
    };
    let mut widths: Vec<usize> = heads.iter().enumerate().map(width).collect();
    // Words give way where numbers need the room, the longest first.
    while widths.iter().sum::<usize>() + 2 * widths.len() > COLUMNS {
        let words = (0..heads.len()).filter(|at| !heads[*at].1.number && widths[*at] > LEAST);
        let Some(widest) = words.max_by_key(|at| widths[*at]) else { break };
        widths[widest] -= 1;
    }
    let cells: Vec<Vec<String>> =
        whole.iter().map(|row| row.iter().zip(&widths).map(|(cell, width)| fitted(cell, *width)).collect()).collect();
    let line = |row: Vec<&str>| {
        let fields = row.iter().zip(&widths).zip(&heads).map(|((cell, w), (_, head))| field(cell, *w, head.number));
        format!("  {}", fields.collect::<Vec<_>>().join("  ")).trim_end().to_owned()
    };
    let _ = writeln!(page, "{}", line(heads.iter().map(|(_, head)| head.name).collect()));
    for row in &cells {
        let _ = writeln!(page, "{}", line(row.iter().map(String::as_str).collect()));
    }
    if table.more > 0 {
        let _ = writeln!(page, "  and {} more (--format json lists them all)", table.more);
    }
}
