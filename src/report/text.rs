//! The account as plain text.

use std::fmt::Write as _;

use unicode_width::UnicodeWidthStr as _;

use super::account::{Account, ClosedHow};
use super::causes::{CauseLine, unlikely_words};
use super::course::CheckLine;
use super::engine::{CylinderSpot, Spot, percent};
use super::entry::BLANK;
use super::heading::LABELS;
use super::page::{COLUMNS, Row, found};
use super::reader::{Extent, Reader, Section, folded};
use super::when::day;
use crate::text::wrap;

/// Columns of a page.
const WIDE: usize = 96;

/// The page, and what is behind it where all is wanted.
pub(super) fn page(account: &Account, reader: Reader, extent: Extent) -> String {
    let mut page = Page(String::new());
    page.line(&format!("ROUGHRUN {}", reader.title().to_uppercase()));
    match reader {
        Reader::Owner => page.letter(account),
        Reader::Shop | Reader::Record => {
            page.wrapped("", 0, account.statement);
            page.line("");
            account.page.iter().for_each(|row| page.row(row));
            page.line("");
            page.wrapped("", 0, account.instructions);
        }
    }
    match extent {
        Extent::Page if reader != Reader::Owner => page.wrapped("", 0, &folded(account, reader)),
        Extent::Page => {}
        Extent::Whole => {
            page.origin(account);
            for section in reader.sections() {
                page.section(account, *section);
            }
            page.line("");
            page.line(&format!("Record head {} of job {}", account.head, account.job));
        }
    }
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
            self.wrapped(&format!("{name:<LABELS$}"), LABELS, value);
        }
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
            Section::Course => self.course(account),
            Section::Checks => self.checks(&account.checks),
            Section::Misfits => self.list(&account.misfit_words().map(str::to_owned).collect::<Vec<_>>()),
            Section::Inferred => self.cause_list(&account.proven),
            Section::Corrected => self.cause_list(&account.left.corrected),
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
            Section::Engine => self.engine(account),
            Section::Suspicion => self.suspicion(account),
            Section::Cautions => self.cautions(account),
            Section::Entry => {
                account
                    .entry
                    .items()
                    .iter()
                    .for_each(|(name, words)| self.wrapped(&format!("{name:<LABELS$}"), LABELS, words));
            }
        }
    }

    /// A row of the page: its label once, its paragraphs beside it.
    fn row(&mut self, row: &Row) {
        let mut label = row.label;
        for line in row.items.iter().flat_map(|item| wrap(item, COLUMNS)) {
            self.line(&format!("{label:<LABELS$}{line}"));
            label = "";
        }
    }

    fn letter(&mut self, account: &Account) {
        self.line("");
        let day = day(&account.printed);
        self.line(&day);
        if let Some(aircraft) = &account.aircraft {
            self.wrapped("", 0, &format!("Aircraft {aircraft}"));
        }
        for paragraph in &account.letter {
            self.line("");
            self.wrapped("", 0, paragraph);
        }
        self.line("");
        self.wrapped("", 0, account.instructions);
        self.line("");
        self.line(&format!("For the shop: {BLANK}"));
    }

    fn list(&mut self, lines: &[String]) {
        if lines.is_empty() {
            self.line("None.");
        }
        lines.iter().for_each(|line| self.wrapped("  ", 4, line));
    }

    /// Where the whole report comes from.
    fn origin(&mut self, account: &Account) {
        self.line("");
        self.field("Printed", &format!("{} by {}", account.printed, account.program));
        self.field("Trees", &account.trees);
        self.field("Opened", &account.opened);
        let note =
            |closed: &ClosedHow| if closed.note.is_empty() { String::new() } else { format!(" ({})", closed.note) };
        if let Some(closed) = &account.closed {
            self.field("Closed", &format!("{}, {}{}", closed.when, closed.how, note(closed)));
        }
    }

    fn course(&mut self, account: &Account) {
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

    fn left(&mut self, account: &Account) {
        let left = &account.left;
        self.line(&format!("Something that brings the complaint is still there: {:.1} %", 100.0 * left.something));
        self.line(&format!("Something not in this tree:                         {:.1} %", 100.0 * left.not_in_tree));
        left.error_words.iter().for_each(|words| self.wrapped("", 0, words));
        self.cause_list(&left.causes);
        account.known.harm_words().for_each(|words| self.wrapped("  ", 4, &words));
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
            let figures = format!("was there {:.1} %, there now {:.1} %", 100.0 * cause.was, 100.0 * cause.now);
            self.wrapped("  ", 4, &format!("{}: {}, {figures}", cause.of.title, cause.standing));
            for reason in &cause.because {
                self.wrapped("      because ", 14, &reason.says);
            }
        }
    }

    /// The plan of the engine, two columns of places.
    fn engine(&mut self, account: &Account) {
        const CELL: usize = 45;
        let plan = &account.plan;
        let one = |spot: &Spot, indent: usize| {
            let mark = if spot.mark.is_empty() { String::new() } else { format!("{}  ", spot.mark.to_uppercase()) };
            let end = format!("{mark}{:>5}", percent(spot.was));
            let name = format!("{}{}", " ".repeat(indent), spot.title);
            let air = CELL.saturating_sub(name.width() + end.width());
            format!("{name}{}{end}", " ".repeat(air))
        };
        let three = |spot: &Option<CylinderSpot>| match spot {
            Some(spot) => [one(&spot.cylinder, 0), one(&spot.upper, 2), one(&spot.lower, 2)],
            None => [(); 3].map(|()| " ".repeat(CELL)),
        };
        let assumed = if plan.assumed { "; places of the cylinders assumed" } else { "" };
        self.line(&format!("Front up{assumed}. Per cent: something here was at fault."));
        self.line("");
        self.line(&one(&plan.engine, 0));
        for [left, right] in &plan.rows {
            for (left, right) in three(left).iter().zip(three(right)) {
                self.line(&format!("{left} | {right}"));
            }
            self.line(&format!("{} |", " ".repeat(CELL)));
        }
        let systems = plan.systems.each_ref().map(|system| {
            let kind = format!("{:<CELL$}", format!("  {}", system.kind));
            let coils = system.coils.iter().map(|coil| one(coil, 2));
            [one(&system.system, 0), kind].into_iter().chain(coils).collect::<Vec<_>>()
        });
        for at in 0..systems.iter().map(Vec::len).max().unwrap_or(0) {
            let [left, right] = systems.each_ref().map(|lines| lines.get(at).cloned().unwrap_or_default());
            self.line(&format!("{left:<CELL$}   {right}"));
        }
    }

    fn suspicion(&mut self, account: &Account) {
        let course = &account.suspicion;
        self.line("Per cent that it was there, after each entry; minutes so far and still expected.");
        self.line("");
        let letters = || ('a'..='z').zip(&course.causes);
        let heads = letters().fold(String::new(), |line, (letter, _)| line + &format!("{letter:>6}"));
        self.line(&format!("{:>6} {:>6} {:>6}{heads}", "entry", "so far", "to go"));
        for (at, moment) in course.moments.iter().enumerate() {
            let figures = letters().fold(String::new(), |line, (_, cause)| {
                line + &format!("{:>6.0}", 100.0 * cause.was.get(at).copied().unwrap_or(0.0))
            });
            self.line(&format!("{:>6} {:>6.0} {:>6.0}{figures}", moment.entry, moment.minutes, moment.expected));
        }
        self.line("");
        for (letter, cause) in letters() {
            self.wrapped(&format!("  {letter}  "), 5, &cause.title);
        }
    }

    fn cautions(&mut self, account: &Account) {
        if account.cautions.is_empty() {
            self.line("None.");
        }
        for told in &account.cautions {
            self.wrapped(&format!("  {:>3}  {}  ", told.number, told.when), 7, &told.words);
        }
    }
}
