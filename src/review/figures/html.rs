//! The figures as one HTML page.

use std::fmt::Write as _;

use super::chart::{Section, Table};
use super::svg;
use crate::figures::Figures;
use crate::text::{escaped, safe_text};

const STYLE: &str = "body{font:15px/1.45 sans-serif;max-width:60em;margin:2em auto;padding:0 1em;color:#111;background:#fff}\
h1{font-size:1.5em}h2{font-size:1.2em;border-bottom:1px solid #888;margin-top:1.8em}h3{font-size:1em;margin:1.2em 0 .3em}\
table{border-collapse:collapse;width:100%;font-size:.9em}th,td{text-align:left;vertical-align:top;padding:.2em .4em;border-bottom:1px solid #ccc}\
.n{text-align:right}td{overflow-wrap:anywhere}td:not(.n){min-width:5em}svg{display:block;max-width:100%;height:auto;font:12px sans-serif}figure{margin:0}\
@page{margin:15mm}@media print{body{margin:0;padding:0;max-width:none;font-size:11px}h2,h3{break-after:avoid}tr,figure{break-inside:avoid}thead{display:table-header-group}\
rect{print-color-adjust:exact;-webkit-print-color-adjust:exact}}";

/// Writing into a String cannot fail.
pub(super) fn page(figures: &Figures, sections: &[Section], printed: &str) -> String {
    let mut page = String::with_capacity(64 * 1024);
    page.push_str("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    page.push_str("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n");
    page.push_str("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    let _ = writeln!(page, "<title>The shop in figures</title>\n<style>{STYLE}</style>\n</head>\n<body>");
    page.push_str("<h1>The shop in figures</h1>\n");
    let months = figures.months.keys();
    if let Some((first, last)) = months.clone().next().zip(months.last()) {
        let _ = writeln!(page, "<p>Jobs begun from {} to {}. Counted {}.</p>", safe(first), safe(last), safe(printed));
    } else {
        let _ = writeln!(page, "<p>Counted {}.</p>", safe(printed));
    }
    for section in sections {
        let _ = writeln!(page, "<section>\n<h2>{}</h2>", safe(&section.title));
        for about in &section.about {
            let _ = writeln!(page, "<p>{}</p>", safe(about));
        }
        for chart in &section.charts {
            if let Some(drawing) = svg::drawing(chart) {
                let title = match chart {
                    super::chart::Chart::Bars(bars) => &bars.title,
                    super::chart::Chart::Months(title, _) => title,
                };
                let _ = writeln!(page, "<figure>\n<h3>{}</h3>\n{drawing}</figure>", safe(title));
            }
        }
        section.tables.iter().for_each(|of| table(&mut page, of));
        page.push_str("</section>\n");
    }
    page.push_str("</body>\n</html>\n");
    page
}

fn safe(text: &str) -> String {
    escaped(&safe_text(text))
}

fn table(page: &mut String, table: &Table) {
    if !table.title.is_empty() {
        let _ = writeln!(page, "<h3>{}</h3>", safe(&table.title));
    }
    if table.rows.is_empty() {
        page.push_str("<p>None.</p>\n");
        return;
    }
    let class = |number: bool| if number { " class=\"n\"" } else { "" };
    page.push_str("<table>\n<thead><tr>");
    for head in &table.heads {
        let _ = write!(page, "<th scope=\"col\"{}>{}</th>", class(head.number), safe(head.name));
    }
    page.push_str("</tr></thead>\n<tbody>\n");
    for row in &table.rows {
        page.push_str("<tr>");
        for (cell, head) in row.iter().zip(&table.heads) {
            let _ = write!(page, "<td{}>{}</td>", class(head.number), safe(cell));
        }
        page.push_str("</tr>\n");
    }
    page.push_str("</tbody>\n</table>\n");
    if table.more > 0 {
        let _ = writeln!(page, "<p>And {} more.</p>", table.more);
    }
}
