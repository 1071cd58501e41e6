//! Charts as inline SVG: a title and a description for screen readers, texts escaped, no script, no style from elsewhere.

use std::fmt::Write as _;

use super::chart::{Bars, Chart};
use crate::text::{escaped, safe_text};

/// Width of a drawing, and where its bars begin and end.
const WIDTH: f64 = 760.0;
const FROM: f64 = 260.0;
const TO: f64 = 690.0;
/// Height of a bar's line, and of the bar.
const LINE: f64 = 22.0;
const THICK: f64 = 14.0;
/// The most characters of a label: more would run into the bars. The whole stands in its title.
const LABEL: usize = 40;
/// From dark to light, told apart in grey print too; the last two are for what is not known.
const FILLS: [&str; 7] = ["#173f5f", "#2a6f97", "#61a5c2", "#a9d6e5", "#c1440e", "#dddddd", "#f2c14e"];

/// A drawing; none where there is nothing to draw. Writing into a String cannot fail.
pub(super) fn drawing(chart: &Chart) -> Option<String> {
    match chart {
        Chart::Bars(bars) => (!bars.lines.is_empty()).then(|| of_bars(bars)),
        Chart::Months(title, months) => {
            let most = months.iter().map(|(_, jobs)| *jobs).max().filter(|most| *most > 0)?;
            Some(of_months(title, months, most))
        }
    }
}

fn safe(text: &str) -> String {
    escaped(&safe_text(text))
}

fn open(height: f64, title: &str, about: &str) -> String {
    format!(
        "<svg role=\"img\" viewBox=\"0 0 {WIDTH} {height:.0}\" width=\"{WIDTH}\" height=\"{height:.0}\" xmlns=\"http://www.w3.org/2000/svg\"><title>{}</title><desc>{}</desc>\n",
        safe(title),
        safe(about)
    )
}

/// The fills of so many parts; two are told apart most easily far from each other.
fn fills(parts: usize) -> Vec<&'static str> {
    if parts == 2 { vec![FILLS[0], FILLS[3]] } else { FILLS.to_vec() }
}

/// What the parts are, in rows: where each stands, its name and its fill. None where there is one part.
fn legend(bars: &Bars) -> Vec<Vec<(f64, &str, &'static str)>> {
    let (mut rows, mut x) = (Vec::new(), WIDTH);
    for (name, fill) in bars.legend.iter().zip(fills(bars.legend.len())).filter(|_| bars.legend.len() > 1) {
        let wide = 30.0 + 7.0 * name.chars().count() as f64;
        if x + wide > WIDTH {
            rows.push(Vec::new());
            x = 0.0;
        }
        rows.last_mut().into_iter().for_each(|row: &mut Vec<_>| row.push((x, name.as_str(), fill)));
        x += wide;
    }
    rows
}

fn of_bars(bars: &Bars) -> String {
    let legend = legend(bars);
    let top = if legend.is_empty() { 4.0 } else { legend.len() as f64 * LINE + 6.0 };
    let told: Vec<String> = bars.lines.iter().map(|bar| format!("{}: {}", bar.label, bar.note)).collect();
    let mut svg = open(top + bars.lines.len() as f64 * LINE + 4.0, &bars.title, &told.join("; "));
    for (row, names) in legend.iter().enumerate() {
        let y = row as f64 * LINE;
        for (x, name, fill) in names {
            let _ = write!(
                svg,
                "<rect x=\"{x:.1}\" y=\"{:.1}\" width=\"12\" height=\"12\" fill=\"{fill}\" stroke=\"#333\"/><text x=\"{:.1}\" y=\"{:.1}\">{}</text>",
                y + 4.0,
                x + 17.0,
                y + 14.0,
                safe(name)
            );
        }
        svg.push('\n');
    }
    let most = bars.most();
    for (at, bar) in bars.lines.iter().enumerate() {
        let y = top + at as f64 * LINE;
        let label: String = if bar.label.chars().count() > LABEL {
            bar.label.chars().take(LABEL - 1).chain(['\u{2026}']).collect()
        } else {
            bar.label.clone()
        };
        let _ = write!(
            svg,
            "<g><title>{}: {}</title><text x=\"{:.0}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>",
            safe(&bar.label),
            safe(&bar.note),
            FROM - 8.0,
            y + THICK - 2.0,
            safe(&label)
        );
        let mut x = FROM;
        for (part, fill) in bar.parts.iter().zip(fills(bars.legend.len()).iter().cycle()) {
            let width = (TO - FROM) * part.max(0.0) / most;
            if width > 0.0 {
                let _ = write!(
                    svg,
                    "<rect x=\"{x:.2}\" y=\"{y:.1}\" width=\"{width:.2}\" height=\"{THICK}\" fill=\"{fill}\" stroke=\"#333\" stroke-width=\"0.5\"/>"
                );
            }
            x += width;
        }
        let _ = writeln!(svg, "<text x=\"{:.1}\" y=\"{:.1}\">{}</text></g>", x + 6.0, y + THICK - 2.0, safe(&bar.note));
    }
    svg.push_str("</svg>\n");
    svg
}

fn of_months(title: &str, months: &[(String, usize)], most: usize) -> String {
    const HEIGHT: f64 = 120.0;
    const LEFT: f64 = 40.0;
    let told: Vec<String> = months.iter().map(|(month, jobs)| format!("{month}: {jobs}")).collect();
    let mut svg = open(HEIGHT + 24.0, title, &told.join("; "));
    let step = ((WIDTH - LEFT) / months.len() as f64).min(48.0);
    let _ = writeln!(
        svg,
        "<text x=\"{:.0}\" y=\"12\" text-anchor=\"end\">{most}</text><text x=\"{:.0}\" y=\"{HEIGHT}\" text-anchor=\"end\">0</text><path d=\"M{LEFT} {HEIGHT}H{WIDTH}\" stroke=\"#333\"/>",
        LEFT - 6.0,
        LEFT - 6.0
    );
    for (at, (month, jobs)) in months.iter().enumerate() {
        let (x, tall) = (LEFT + at as f64 * step, (HEIGHT - 4.0) * *jobs as f64 / most as f64);
        let _ = writeln!(
            svg,
            "<g><title>{}: {jobs}</title><rect x=\"{:.2}\" y=\"{:.2}\" width=\"{:.2}\" height=\"{tall:.2}\" fill=\"{}\"/></g>",
            safe(month),
            x + step * 0.1,
            HEIGHT - tall,
            step * 0.8,
            FILLS[1]
        );
        // A year is named at its first month; the first month of all too, where the next year's name stands far enough off.
        let next_year = months.iter().skip(at + 1).take(2).any(|(month, _)| month.ends_with("-01"));
        if month.ends_with("-01") || (at == 0 && !next_year) {
            let year = safe(month.get(..4).unwrap_or_default());
            let _ = writeln!(svg, "<text x=\"{x:.1}\" y=\"{:.0}\">{year}</text>", HEIGHT + 16.0);
        }
    }
    svg.push_str("</svg>\n");
    svg
}
