//! The account as plain text.

use std::fmt::Write as _;

use unicode_width::UnicodeWidthStr as _;

use super::account::Account;
use super::causes::CauseLine;
use super::course::CheckLine;

/// Columns of a page.
const WIDE: usize = 96;

/// The page.
pub(super) fn page(account: &Account) -> String {
    let mut page = Page(String::new());
    page.head(account);
    page.course(account);
    page.checks(&account.checks);
    page.causes(account);
    page.done(account);
    page.draft(account);
    page.0
}

struct Page(String);

impl Page {
    fn line(&mut self, text: &str) {
        // Writing into a String cannot fail.
        let _ = writeln!(self.0, "{}", text.trim_end());
    }

    fn heading(&mut self, title: &str) {
        self.line("");
        self.line(&title.to_uppercase());
        self.line(&"-".repeat(title.width()));
    }

    /// A paragraph, wrapped, each line after the first set in by `indent` more columns.
    fn wrapped(&mut self, first: &str, indent: usize, text: &str) {
        let mut line = first.to_owned();
        let mut empty = true;
        for word in text.split_whitespace() {
            if !empty && line.width() + 1 + word.width() > WIDE {
                self.line(&line);
                line = " ".repeat(indent);
                empty = true;
            }
            if !empty {
                line.push(' ');
            }
            line.push_str(word);
            empty = false;
        }
        self.line(&line);
    }

    fn field(&mut self, name: &str, value: &str) {
        if !value.is_empty() {
            self.wrapped(&format!("{name:<14}"), 14, value);
        }
    }

    fn head(&mut self, account: &Account) {
        self.line("ROUGHRUN JOB REPORT");
        self.line("");
        self.wrapped("", 0, account.statement);
        self.line("");
        self.field("Job", &account.job);
        self.field("Record head", &account.head);
        self.field("Printed", &format!("{} by {}", account.printed, account.program));
        self.field("Trees", &account.trees);
        self.field("Aircraft", account.aircraft.as_deref().unwrap_or_default());
        self.field("Engine", &account.engine);
        self.field("Complaint", &account.complaint);
        self.field("Pilot's words", &account.words);
        self.field("Reported", &account.reported);
        self.field("Mechanic", &account.mechanic);
        self.field("Opened", &account.opened);
        match &account.closed {
            Some(closed) => {
                let note = if closed.note.is_empty() { String::new() } else { format!(" ({})", closed.note) };
                self.field("Closed", &format!("{}, {}{note}", closed.when, closed.how));
            }
            None => self.field("Closed", "not closed yet"),
        }
        self.field("Work", &format!("{:.0} minutes by the tree's figures, access included", account.minutes));
        for warning in &account.warnings {
            self.line("");
            self.wrapped("WARNING: ", 9, warning);
        }
        for note in &account.record_notes {
            self.line("");
            self.wrapped("RECORD: ", 8, note);
        }
    }

    fn course(&mut self, account: &Account) {
        self.heading("Course of the work");
        for stretch in &account.course {
            self.line("");
            let title = format!(
                "Spell {}: {}; conditions {}; {}",
                stretch.spell, stretch.origin, stretch.conditions, stretch.showing
            );
            self.wrapped("", 2, &title);
            for told in &stretch.entries {
                let mark =
                    if told.mark.is_empty() { String::new() } else { format!(" [{}]", told.mark.to_uppercase()) };
                self.wrapped(&format!("  {:>3}  {}  ", told.number, told.when), 7, &format!("{}{mark}", told.words));
            }
        }
    }

    fn checks(&mut self, checks: &[CheckLine]) {
        self.heading("Checks");
        if checks.is_empty() {
            self.line("None.");
        }
        for check in checks {
            self.line("");
            self.wrapped("", 2, &format!("{} (entry {}, spell {})", check.title, check.number, check.spell));
            let part = |page: &mut Self, name: &str, value: &str| {
                if !value.is_empty() {
                    page.wrapped(&format!("  {name:<10}"), 12, value);
                }
            };
            part(self, "Outcome", &check.outcome);
            part(self, "Reading", &check.reading);
            part(self, "Verdict", &check.verdict);
            part(self, "Expected", &check.expected);
            part(self, "Source", &check.source);
        }
    }

    fn causes(&mut self, account: &Account) {
        self.heading("Causes proven");
        self.cause_list(&account.proven);
        if !account.left.corrected.is_empty() {
            self.heading("Corrected without proof");
            self.cause_list(&account.left.corrected);
        }
        self.heading("Ruled out");
        self.cause_list(&account.ruled_out);
        self.heading("What is left");
        let left = &account.left;
        self.line(&format!("Something that brings the complaint is still there: {:.1} %", 100.0 * left.something));
        self.line(&format!("Something not in this tree:                         {:.1} %", 100.0 * left.not_in_tree));
        if left.left_out > 1e-6 {
            self.line(&format!("Left out for size, at most:                         {:.4} %", 100.0 * left.left_out));
        }
        self.cause_list(&left.causes);
        if left.more > 0 {
            self.line(&format!("  and {} more that are less likely", left.more));
        }
        if !account.alike.is_empty() {
            self.heading("Not to be told apart");
            for set in &account.alike {
                self.wrapped("  ", 4, &format!("{:.1} % together: {}", 100.0 * set.probability, set.causes.join("; ")));
                self.wrapped("      ", 6, &set.advice);
            }
        }
        if let Some(next) = &account.next {
            self.heading("What was suggested next");
            self.wrapped("  ", 4, &next.words);
            self.wrapped("      ", 6, &next.why);
            for other in &next.instead {
                self.wrapped("      or ", 9, other);
            }
        }
    }

    fn cause_list(&mut self, causes: &[CauseLine]) {
        if causes.is_empty() {
            self.line("None.");
        }
        for cause in causes {
            let figures = format!("now {:.1} %, at first {:.1} %", 100.0 * cause.now, 100.0 * cause.at_first);
            self.wrapped("  ", 4, &format!("{}: {}, {figures}", cause.title, cause.standing));
            for (how, reason) in cause.reasons() {
                self.wrapped(&format!("      {how} "), 7 + how.len(), reason);
            }
        }
    }

    fn done(&mut self, account: &Account) {
        self.heading("Corrections");
        if account.corrections.is_empty() {
            self.line("None.");
        }
        for correction in &account.corrections {
            self.wrapped(
                "  ",
                4,
                &format!(
                    "{} {} ({}). Source: {}",
                    correction.when, correction.title, correction.kind, correction.source
                ),
            );
        }
        self.heading("Proof runs");
        if account.proof_runs.is_empty() {
            self.line("None.");
        }
        for run in &account.proof_runs {
            self.wrapped("  ", 4, run);
        }
        if !account.upkeep.is_empty() {
            self.heading("Parts due or overdue by the aircraft's card");
            account.upkeep.iter().for_each(|line| self.wrapped("  ", 4, line));
        }
        self.heading("Cautions acknowledged");
        if account.cautions.is_empty() {
            self.line("None.");
        }
        for told in &account.cautions {
            self.wrapped(&format!("  {:>3}  {}  ", told.number, told.when), 7, &told.words);
        }
    }

    fn draft(&mut self, account: &Account) {
        self.heading("Draft description of the work (not signed)");
        self.wrapped("", 0, &account.draft);
        self.line("");
        self.wrapped("", 0, account.instructions);
        self.line("");
        for name in ["Date", "Name", "Certificate"] {
            self.line(&format!("{name:<12} ________________________________________"));
        }
        self.line("");
        self.line(&format!("Record head {} of job {}", account.head, account.job));
    }
}
