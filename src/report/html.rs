//! The account as one HTML page: no script, nothing loaded, every text escaped, fit for printing.

use std::fmt::Write as _;

use super::account::Account;
use super::causes::{CauseLine, unlikely_words};
use super::course::{CheckLine, Stretch};
use super::entry::BLANK;
use super::page::{Row, found};
use super::reader::{Extent, Reader, Section, folded};
use super::svg;
use super::when::day;
use crate::text::escaped;

/// What the page looks like. Colours only set off; every mark is also a word. In print the page takes one sheet, rows keep together, heads
/// stay with their tables and are said again on each sheet, and what is signed stays in one piece.
const STYLE: &str = "body{font:15px/1.45 sans-serif;max-width:60em;margin:2em auto;padding:0 1em;color:#111;background:#fff}\
h1{font-size:1.5em}h2{font-size:1.15em;border-bottom:1px solid #888;margin-top:1.8em}\
table{border-collapse:collapse;width:100%}th,td{text-align:left;vertical-align:top;padding:.25em .6em;border-bottom:1px solid #ccc}\
td p{margin:0}.page th{width:8em}\
.notice,.warning{border:2px solid #111;padding:.6em 1em}.warning{font-weight:bold}\
.keep svg{max-width:100%;height:auto}.gone{text-decoration:line-through}.mark{font-weight:bold}pre{white-space:pre-wrap;font:inherit}\
.sign th,.sign td{padding-top:.8em}\
@page{margin:12mm}\
@media print{body{margin:0;padding:0;max-width:none;font-size:9pt;line-height:1.25}h1{font-size:13pt;margin:0 0 .3em}\
h2,h3{break-after:avoid}thead{display:table-header-group}tr,.keep,li{break-inside:avoid}\
.page th,.page td{padding:.1em .5em}.page .notice{padding:.2em .6em;margin:.4em 0}.rest{break-before:page}\
.letter{font-size:11pt;line-height:1.4}}";

/// The page, and what is behind it where all is wanted.
pub(super) fn page(account: &Account, reader: Reader, extent: Extent) -> String {
    let mut page = Page(String::with_capacity(16 * 1024));
    page.raw("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    page.raw("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n");
    page.raw("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    let _ = write!(page.0, "<title>Job {}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n", escaped(&account.job));
    match reader {
        Reader::Owner => page.letter(account, reader),
        Reader::Shop | Reader::Record => page.front(account, reader, extent),
    }
    if extent == Extent::Whole {
        page.raw("<div class=\"rest\">\n");
        page.origin(account);
        for section in reader.sections() {
            page.section(account, *section);
        }
        let _ = writeln!(page.0, "<p>Record head {} of job {}</p>", escaped(&account.head), escaped(&account.job));
        page.raw("</div>\n");
    }
    page.raw("</body>\n</html>\n");
    page.0
}

struct Page(String);

impl Page {
    fn raw(&mut self, html: &str) {
        self.0.push_str(html);
    }

    fn notice(&mut self, class: &str, text: &str) {
        // Writing into a String cannot fail.
        let _ = writeln!(self.0, "<p class=\"{class}\">{}</p>", escaped(text));
    }

    /// The one page.
    fn front(&mut self, account: &Account, reader: Reader, extent: Extent) {
        self.raw("<div class=\"page\">\n");
        let _ = writeln!(self.0, "<h1>{}</h1>", escaped(reader.title()));
        self.notice("notice", account.statement);
        account.page.iter().filter(|row| row.warns).for_each(|row| {
            self.notice("warning", &format!("{}: {}", row.label, row.items.join(" ")));
        });
        for signed in [false, true] {
            self.raw(if signed { "<table class=\"keep sign\">\n" } else { "<table>\n" });
            for row in account.page.iter().filter(|row| !row.warns && row.entry == signed) {
                self.front_row(row);
            }
            self.raw("</table>\n");
        }
        self.notice("notice", account.instructions);
        if extent == Extent::Page {
            let _ = writeln!(self.0, "<p>{}</p>", escaped(&folded(account, reader)));
        }
        self.raw("</div>\n");
    }

    fn front_row(&mut self, row: &Row) {
        let _ = write!(self.0, "<tr><th scope=\"row\">{}</th><td>", escaped(row.label));
        row.items.iter().for_each(|item| {
            let _ = write!(self.0, "<p>{}</p>", escaped(item));
        });
        self.raw("</td></tr>\n");
    }

    fn letter(&mut self, account: &Account, reader: Reader) {
        self.raw("<div class=\"letter\">\n");
        let _ = writeln!(self.0, "<h1>{}</h1>", escaped(reader.title()));
        let day = day(&account.printed);
        let aircraft = account.aircraft.as_deref().map(|aircraft| format!("Aircraft {aircraft}")).unwrap_or_default();
        for paragraph in [day, aircraft].iter().chain(&account.letter).filter(|words| !words.is_empty()) {
            let _ = writeln!(self.0, "<p>{}</p>", escaped(paragraph));
        }
        let _ = writeln!(self.0, "<p>{}</p>", escaped(account.instructions));
        let _ = writeln!(self.0, "<p class=\"keep\">For the shop: {BLANK}</p>");
        self.raw("</div>\n");
    }

    fn section(&mut self, account: &Account, section: Section) {
        match section {
            Section::Corrected if account.left.corrected.is_empty() => return,
            Section::Misfits if account.misfit_words().next().is_none() => return,
            Section::Due if account.upkeep.is_empty() && account.next_due.is_none() => return,
            _ => self.heading(section.title()),
        }
        match section {
            Section::Found => self.list(&found(account)),
            Section::Course => account.course.iter().for_each(|stretch| self.stretch(stretch)),
            Section::Checks => self.checks(&account.checks),
            Section::Misfits => self.list(&account.misfit_words().map(str::to_owned).collect::<Vec<_>>()),
            Section::Inferred => self.causes(&account.proven),
            Section::Corrected => self.causes(&account.left.corrected),
            Section::ShownGood => self.list(&account.known.good_words()),
            Section::Unlikely => self.list(&unlikely_words(&account.unlikely)),
            Section::Left => self.left(account),
            Section::Corrections => {
                self.list(&account.corrections.iter().map(super::CorrectionLine::words).collect::<Vec<_>>());
            }
            Section::ProofRuns => self.list(&account.proof_runs),
            Section::Due => {
                let next = account.next_due.iter().map(|next| format!("Next: {next}"));
                self.list(&account.upkeep.iter().cloned().chain(next).collect::<Vec<_>>());
            }
            Section::Engine => {
                self.raw("<p>Front up. Per cent, and shade: something here was at fault.</p>\n<div class=\"keep\">");
                self.raw(&svg::engine(&account.plan));
                self.raw("</div>\n");
            }
            Section::Suspicion => self.suspicion(account),
            Section::Cautions => {
                let line = |t: &super::course::Told| format!("{} (entry {}, {})", t.words, t.number, t.when);
                self.list(&account.cautions.iter().map(line).collect::<Vec<_>>());
            }
            Section::Entry => {
                self.raw("<table class=\"keep sign\">\n");
                account.entry.items().iter().for_each(|(name, words)| self.row(name, words));
                self.raw("</table>\n");
            }
        }
    }

    fn heading(&mut self, title: &str) {
        let _ = writeln!(self.0, "<h2>{}</h2>", escaped(title));
    }

    fn none(&mut self) {
        self.raw("<p>None.</p>\n");
    }

    fn row(&mut self, name: &str, value: &str) {
        if !value.is_empty() {
            let _ = writeln!(self.0, "<tr><th scope=\"row\">{}</th><td>{}</td></tr>", escaped(name), escaped(value));
        }
    }

    fn list(&mut self, lines: &[String]) {
        if lines.is_empty() {
            return self.none();
        }
        self.raw("<ul>\n");
        for line in lines {
            let _ = writeln!(self.0, "<li>{}</li>", escaped(line));
        }
        self.raw("</ul>\n");
    }

    /// Where the whole report comes from.
    fn origin(&mut self, account: &Account) {
        self.raw("<table>\n");
        self.row("Printed", &format!("{} by {}", account.printed, account.program));
        self.row("Trees", &account.trees);
        self.row("Opened", &account.opened);
        if let Some(closed) = &account.closed {
            self.row("Closed", &format!("{}, {} {}", closed.when, closed.how, closed.note));
        }
        self.raw("</table>\n");
    }

    fn stretch(&mut self, stretch: &Stretch) {
        let title = format!(
            "Spell {}: {}; conditions {}; {}",
            stretch.spell, stretch.origin, stretch.conditions, stretch.showing
        );
        let _ = writeln!(self.0, "<h3>{}</h3>\n<table>", escaped(&title));
        for told in &stretch.entries {
            let words = escaped(&told.words).replace('\n', "<br>");
            let words = if told.mark.is_empty() {
                words
            } else {
                format!("<span class=\"gone\">{words}</span> <span class=\"mark\">[{}]</span>", escaped(&told.mark))
            };
            let _ =
                writeln!(self.0, "<tr><td>{}</td><td>{}</td><td>{words}</td></tr>", told.number, escaped(&told.when));
        }
        self.raw("</table>\n");
    }

    fn checks(&mut self, checks: &[CheckLine]) {
        if checks.is_empty() {
            return self.none();
        }
        for check in checks {
            let title = format!("{} (entry {}, spell {})", check.title, check.number, check.spell);
            let _ = writeln!(self.0, "<div class=\"keep\"><h3>{}</h3>\n<table>", escaped(&title));
            self.row("Outcome", &check.outcome);
            self.row("Reading", &check.reading);
            self.row("Verdict", &check.verdict);
            self.row("Expected", &check.expected);
            self.row("Source", &check.source);
            self.raw("</table></div>\n");
        }
    }

    fn causes(&mut self, causes: &[CauseLine]) {
        if causes.is_empty() {
            return self.none();
        }
        self.raw("<table>\n<thead><tr><th>Cause</th><th>Standing</th><th>Was there</th><th>There now</th><th>Why</th></tr></thead>\n");
        for cause in causes {
            let by: Vec<String> = cause.because.iter().map(|reason| escaped(&reason.says)).collect();
            let _ = writeln!(
                self.0,
                "<tr><td>{}</td><td>{}</td><td>{:.1} %</td><td>{:.1} %</td><td>{}</td></tr>",
                escaped(&cause.of.title),
                escaped(cause.standing),
                100.0 * cause.was,
                100.0 * cause.now,
                by.join("<br>")
            );
        }
        self.raw("</table>\n");
    }

    fn left(&mut self, account: &Account) {
        let left = &account.left;
        self.causes(&left.causes);
        let figures = [
            format!("{} more that are less likely", left.more),
            format!("Something that brings the complaint is still there: {:.1} %", 100.0 * left.something),
            format!("Something not in this tree: {:.1} %", 100.0 * left.not_in_tree),
        ];
        let figures = figures.into_iter().chain(left.error_words.clone());
        self.list(&figures.chain(account.known.harm_words()).collect::<Vec<_>>());
        if !account.alike.is_empty() {
            self.heading("Not to be told apart");
            let line = |set: &super::causes::AlikeLine| {
                format!("{:.1} % together: {}. {}", 100.0 * set.probability, set.causes.join("; "), set.advice)
            };
            self.list(&account.alike.iter().map(line).collect::<Vec<_>>());
        }
        if let Some(next) = &account.next {
            self.heading("What was suggested next");
            let first = format!("{}. {}", next.words, next.why);
            let others = next.instead.iter().map(|other| format!("Or: {other}"));
            self.list(&std::iter::once(first).chain(others).collect::<Vec<_>>());
        }
    }

    fn suspicion(&mut self, account: &Account) {
        let course = &account.suspicion;
        self.raw("<p>Per cent that it was there, after each entry.</p>\n<div class=\"keep\">");
        self.raw(&svg::suspicion(course));
        self.raw("</div>\n");
        let letters: Vec<(char, &super::SuspectLine)> = ('a'..='z').zip(&course.causes).collect();
        self.list(&letters.iter().map(|(letter, cause)| format!("{letter}: {}", cause.title)).collect::<Vec<_>>());
        self.raw("<table>\n<thead><tr><th>Entry</th><th>What</th><th>Minutes so far</th><th>Expected to go</th>");
        letters.iter().for_each(|(letter, _)| self.raw(&format!("<th>{letter}, %</th>")));
        self.raw("</tr></thead>\n");
        for (at, moment) in course.moments.iter().enumerate() {
            let _ = write!(
                self.0,
                "<tr><td>{}</td><td>{}</td><td>{:.0}</td><td>{:.0}</td>",
                moment.entry,
                escaped(&moment.words),
                moment.minutes,
                moment.expected
            );
            for (_, cause) in &letters {
                let _ = write!(self.0, "<td>{:.0}</td>", 100.0 * cause.was.get(at).copied().unwrap_or(0.0));
            }
            self.raw("</tr>\n");
        }
        self.raw("</table>\n");
    }
}
