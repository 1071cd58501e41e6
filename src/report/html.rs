//! The account as one HTML page: no script, nothing loaded, every text escaped, fit for printing.

use std::fmt::Write as _;

use super::account::Account;
use super::causes::CauseLine;
use super::course::{CheckLine, Stretch};
use crate::text::escaped;

/// What the page looks like. Colours only set off; every mark is also a word.
const STYLE: &str = "body{font:15px/1.45 sans-serif;max-width:60em;margin:2em auto;padding:0 1em;color:#111;background:#fff}\
h1{font-size:1.5em}h2{font-size:1.15em;border-bottom:1px solid #888;margin-top:1.8em}\
table{border-collapse:collapse;width:100%}th,td{text-align:left;vertical-align:top;padding:.25em .6em;border-bottom:1px solid #ccc}\
.notice,.warning{border:2px solid #111;padding:.6em 1em}.warning{font-weight:bold}\
.gone{text-decoration:line-through}.mark{font-weight:bold}pre{white-space:pre-wrap;font:inherit}\
.blank td{height:2em}@media print{body{margin:0;max-width:none}h2{break-after:avoid}tr,.keep{break-inside:avoid}}";

/// The page.
pub(super) fn page(account: &Account) -> String {
    let mut page = Page(String::with_capacity(16 * 1024));
    page.raw("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    page.raw("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n");
    page.raw("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    let _ = write!(page.0, "<title>Job {}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n", escaped(&account.job));
    page.raw("<h1>Job report</h1>\n");
    page.notice("notice", account.statement);
    page.head(account);
    page.raw("<h2>Course of the work</h2>\n");
    account.course.iter().for_each(|stretch| page.stretch(stretch));
    page.checks(&account.checks);
    page.causes("Causes proven", &account.proven);
    if !account.left.corrected.is_empty() {
        page.causes("Corrected without proof", &account.left.corrected);
    }
    page.causes("Ruled out", &account.ruled_out);
    page.left(account);
    page.done(account);
    page.draft(account);
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

    fn head(&mut self, account: &Account) {
        for warning in &account.warnings {
            self.notice("warning", &format!("WARNING: {warning}"));
        }
        for note in &account.record_notes {
            self.notice("notice", &format!("Record: {note}"));
        }
        self.raw("<table>\n");
        self.row("Job", &account.job);
        self.row("Record head", &account.head);
        self.row("Printed", &format!("{} by {}", account.printed, account.program));
        self.row("Trees", &account.trees);
        self.row("Aircraft", account.aircraft.as_deref().unwrap_or_default());
        self.row("Engine", &account.engine);
        self.row("Complaint", &account.complaint);
        self.row("Pilot's words", &account.words);
        self.row("Reported conditions", &account.reported);
        self.row("Mechanic", &account.mechanic);
        self.row("Opened", &account.opened);
        match &account.closed {
            Some(closed) => self.row("Closed", &format!("{}, {} {}", closed.when, closed.how, closed.note)),
            None => self.row("Closed", "not closed yet"),
        }
        self.row("Work", &format!("{:.0} minutes by the tree's figures, access included", account.minutes));
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
        self.heading("Checks");
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

    fn causes(&mut self, title: &str, causes: &[CauseLine]) {
        self.heading(title);
        if causes.is_empty() {
            return self.none();
        }
        self.raw("<table>\n<tr><th>Cause</th><th>Standing</th><th>Now</th><th>At first</th><th>Why</th></tr>\n");
        for cause in causes {
            let by: Vec<String> = cause.reasons().map(|(_, reason)| escaped(reason)).collect();
            let _ = writeln!(
                self.0,
                "<tr><td>{}</td><td>{}</td><td>{:.1} %</td><td>{:.1} %</td><td>{}</td></tr>",
                escaped(&cause.title),
                escaped(cause.standing),
                100.0 * cause.now,
                100.0 * cause.at_first,
                by.join("<br>")
            );
        }
        self.raw("</table>\n");
    }

    fn left(&mut self, account: &Account) {
        let left = &account.left;
        self.causes("What is left", &left.causes);
        self.list(&[
            format!("{} more that are less likely", left.more),
            format!("Something that brings the complaint is still there: {:.1} %", 100.0 * left.something),
            format!("Something not in this tree: {:.1} %", 100.0 * left.not_in_tree),
            format!("Left out for size, at most: {:.4} %", 100.0 * left.left_out),
        ]);
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

    fn done(&mut self, account: &Account) {
        self.heading("Corrections");
        let line =
            |c: &super::course::CorrectionLine| format!("{} {} ({}). Source: {}", c.when, c.title, c.kind, c.source);
        self.list(&account.corrections.iter().map(line).collect::<Vec<_>>());
        self.heading("Proof runs");
        self.list(&account.proof_runs);
        if !account.upkeep.is_empty() {
            self.heading("Parts due or overdue by the aircraft's card");
            self.list(&account.upkeep);
        }
        self.heading("Cautions acknowledged");
        let line = |t: &super::course::Told| format!("{} (entry {}, {})", t.words, t.number, t.when);
        self.list(&account.cautions.iter().map(line).collect::<Vec<_>>());
    }

    fn draft(&mut self, account: &Account) {
        self.heading("Draft description of the work (not signed)");
        let _ = writeln!(self.0, "<p>{}</p>", escaped(&account.draft));
        self.notice("notice", account.instructions);
        self.raw("<table class=\"blank\">\n");
        for name in ["Date", "Name", "Certificate"] {
            let _ = writeln!(self.0, "<tr><th scope=\"row\">{name}</th><td></td></tr>");
        }
        self.raw("</table>\n");
        let _ = writeln!(self.0, "<p>Record head {} of job {}</p>", escaped(&account.head), escaped(&account.job));
    }
}
