//! Where the text of a report has its headings.

use unicode_width::UnicodeWidthStr as _;

/// Columns of the labels of the page.
pub const LABELS: usize = 14;

/// A heading of the text of a report.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Heading {
    /// The line it stands on, from 0.
    pub line: usize,
    /// Its words.
    pub title: String,
    /// Whether it is the label of a row of the page, else the title of what follows.
    pub is_label: bool,
}

/// The headings of a report's text, in their order: its title, the labels of its page, the titles of what is behind it.
#[must_use]
pub fn headings(text: &str) -> Vec<Heading> {
    let lines: Vec<&str> = text.lines().collect();
    let mut found = Vec::new();
    // The rows of the page stand together, between what is above and what is behind them.
    let mut blanks = 0;
    for (line, words) in lines.iter().enumerate() {
        blanks += usize::from(words.is_empty());
        let under = lines.get(line + 1).map_or("", |under| under);
        let is_title = line == 0 || (!words.is_empty() && is_underline(under) && words.width() == under.width());
        let is_label = blanks == 1 && is_labelled(words);
        if is_title || is_label {
            let title = if is_label { words.get(..LABELS).unwrap_or(words) } else { words };
            found.push(Heading { line, title: title.trim().to_owned(), is_label });
        }
    }
    found
}

fn is_underline(line: &str) -> bool {
    line.len() > 2 && line.bytes().all(|byte| byte == b'-')
}

/// Whether a row of the page begins with its label: then what it wraps to stands beside it.
#[must_use]
pub fn is_labelled(row: &str) -> bool {
    let mut rest = row.chars().skip(LABELS - 1);
    let label = row.get(..LABELS).filter(|label| !label.starts_with(' '));
    let ends = rest.next() == Some(' ') && rest.next().is_some_and(|c| c != ' ');
    ends && label.is_some_and(|label| label.contains("  ") || label.trim_end().len() + 1 == LABELS)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn titles_are_underlined_and_labels_stand_on_the_page() {
        let text = "ROUGHRUN JOB REPORT\nWorking notes and a draft entry.\n\nFound         lead open\n              plug good\nPilot's words rough\n\n\
                    COURSE\n------\nPrinted       today\n  12  a look\n----\n";
        let found: Vec<(usize, String, bool)> =
            headings(text).into_iter().map(|heading| (heading.line, heading.title, heading.is_label)).collect();
        let of = |line, title: &str, is_label| (line, title.to_owned(), is_label);
        let all = [
            of(0, "ROUGHRUN JOB REPORT", false),
            of(3, "Found", true),
            of(5, "Pilot's words", true),
            of(7, "COURSE", false),
        ];
        assert_eq!(found, all);
    }
}
