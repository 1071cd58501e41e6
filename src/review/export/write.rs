//! Rows as CSV (RFC 4180) and as JSON Lines, with what could harm a reader taken out.

use std::borrow::Cow;
use std::fmt::Write as _;

use crate::tables::{Cell, Row};
use crate::text::safe_text;

/// What a cell begins with that a spreadsheet would run as a formula (OWASP, "CSV Injection", 2024, with the wide forms that some
/// spreadsheets take for them). Tabs and line ends are written out before, as all hidden characters are.
const FORMULA: [char; 8] = ['=', '+', '-', '@', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}'];

/// Rows with a header line. A text that a spreadsheet would run gets a `'` before it.
///
/// # Errors
/// None that memory can give; the writer's own are passed on.
pub(super) fn csv_bytes<R: Row>(rows: &[&R]) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(R::COLUMNS.iter().map(|column| column.name))?;
    for row in rows {
        writer.write_record(row.cells().into_iter().map(|cell| in_csv(cell).into_owned()))?;
    }
    writer.into_inner().map_err(|fault| fault.into_error().into())
}

fn in_csv(cell: Cell<'_>) -> Cow<'_, str> {
    match cell {
        Cell::Nothing => Cow::Borrowed(""),
        Cell::Text(text) => harmless(safe_text(text)),
        // 8.0, not 8: an engine that guesses a column's type by its first rows must not take it for whole numbers.
        Cell::Number(number) => Cow::Owned(format!("{number:?}")),
        Cell::Whole(number) => Cow::Owned(number.to_string()),
        Cell::Truth(truth) => Cow::Borrowed(if truth { "true" } else { "false" }),
    }
}

/// A `'` goes before a text that begins as a formula does, blanks at its front passed over; it is what a spreadsheet takes as "this is
/// text".
fn harmless(text: Cow<'_, str>) -> Cow<'_, str> {
    if text.trim_start().starts_with(FORMULA) { Cow::Owned(format!("'{text}")) } else { text }
}

/// Rows as one JSON object a line, every column in each, what is not known as null.
#[must_use]
pub(super) fn json_lines<R: Row>(rows: &[&R]) -> String {
    let mut lines = String::new();
    for row in rows {
        for (at, (column, cell)) in R::COLUMNS.iter().zip(row.cells()).enumerate() {
            let before = if at == 0 { '{' } else { ',' };
            // Writing into a String cannot fail.
            let _ = write!(lines, "{before}\"{}\":{}", column.name, in_json(cell));
        }
        lines.push_str("}\n");
    }
    lines
}

fn in_json(cell: Cell<'_>) -> serde_json::Value {
    match cell {
        Cell::Nothing => serde_json::Value::Null,
        Cell::Text(text) => safe_text(text).into(),
        Cell::Number(number) => number.into(),
        Cell::Whole(number) => number.into(),
        Cell::Truth(truth) => truth.into(),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use crate::tables::{JobRow, ReadingRow};

    fn job(words: &str) -> JobRow {
        JobRow { job: "J".into(), words: words.into(), minutes: Some(-1.5), ..JobRow::default() }
    }

    fn words_in_csv(row: &JobRow) -> String {
        let bytes = csv_bytes(&[row]).unwrap();
        let mut reader = csv::Reader::from_reader(bytes.as_slice());
        let at = reader.headers().unwrap().iter().position(|h| h == "words").unwrap();
        let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(records.len(), 1);
        records[0][at].to_owned()
    }

    #[test]
    fn no_text_is_a_formula_and_no_cell_leaves_its_place() {
        for (typed, cell) in [
            ("=HYPERLINK(\"http://x\")", "'=HYPERLINK(\"http://x\")"),
            ("+1", "'+1"),
            ("-2+3", "'-2+3"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("  =1", "'  =1"),
            ("\u{ff1d}1", "'\u{ff1d}1"),
            ("\t=1", "<U+0009>=1"),
            ("\r\n=1", "<U+000D><U+000A>=1"),
            ("rough, \"hot\"; =1", "rough, \"hot\"; =1"),
            ("\u{1b}[2Jx\u{202e}y", "<U+001B>[2Jx<U+202E>y"),
            ("plain", "plain"),
        ] {
            assert_eq!(words_in_csv(&job(typed)), cell, "{typed:?}");
        }
    }

    #[test]
    fn numbers_stay_numbers() {
        let bytes = csv_bytes(&[&job("x")]).unwrap();
        assert!(String::from_utf8(bytes).unwrap().contains(",-1.5,"));
    }

    #[test]
    fn a_line_of_json_has_every_column_and_null_for_what_is_not_known() {
        let row =
            ReadingRow { job: "a\u{7}\"b".into(), value: Some(f64::NAN), normal: Some(true), ..ReadingRow::default() };
        let lines = json_lines(&[&row, &row]);
        assert_eq!(lines.lines().count(), 2);
        let value: serde_json::Value = serde_json::from_str(lines.lines().next().unwrap()).unwrap();
        assert_eq!(value["job"], "a<U+0007>\"b");
        assert_eq!(value["normal"], true);
        assert!(value["value"].is_null() && value["typed"].is_null());
        let names: Vec<&str> = ReadingRow::COLUMNS.iter().map(|c| c.name).collect();
        assert!(names.iter().all(|name| value.get(name).is_some()));
    }
}
