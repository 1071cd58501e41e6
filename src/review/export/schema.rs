//! The schema of the tables, written from their declarations.

use std::fmt::Write as _;

use crate::tables::{CauseRow, EntryRow, JobRow, PartRow, ReadingRow, ReplacedRow, Row};

/// Name and version of the form; it changes when a column is taken away or means something else.
pub(super) const FORMAT: &str = "roughrun-export-1";

const HEAD: &str = "`roughrun review export DIR` writes six tables, each as CSV (RFC 4180, UTF-8, a header line) and as JSON Lines, by month of the opening
in folders that query engines read as columns `year` and `month`:

    DIR/csv/jobs/year=2026/month=11/jobs.csv
    DIR/jsonl/jobs/year=2026/month=11/jobs.jsonl

- `views-duckdb.sql` and `views-spark.sql` in DIR make views of the tables with every type stated, so that no engine has to guess them from rows.
- Tables join by `job`, and by `job` and `entry`. Every month has a file of every table; one without rows has its header line only.
- What is not known is an empty cell, and `null`.
- Control, direction and other hidden characters in texts are written out: `<U+000A>` is a line end.
- In CSV, a text that begins with `=`, `+`, `-` or `@` (blanks before it passed over) has a `'` before it, so that no spreadsheet runs it as
  a formula; JSON Lines has it as it is.
- The month is that of the time the job was begun, in UTC (1970-01 where that cannot be read); a job never moves to another.
- Practice and demonstration jobs are there only where they were asked for (`--practice`); `purpose` tells them from work. Figures of a shop count
  `work` only.
- Texts are as people typed them, names among them: what you pass on is yours to decide.
- A later version may add columns at the end. One that takes a column away or gives it another meaning has another number in its name.
";

/// The schema as Markdown.
#[must_use]
pub fn schema() -> String {
    let mut page = format!("# The exported tables ({FORMAT})\n\n{HEAD}");
    table::<JobRow>(&mut page);
    table::<EntryRow>(&mut page);
    table::<ReadingRow>(&mut page);
    table::<CauseRow>(&mut page);
    table::<PartRow>(&mut page);
    table::<ReplacedRow>(&mut page);
    page
}

fn table<R: Row>(page: &mut String) {
    // Writing into a String cannot fail.
    let _ = write!(page, "\n## {}\n\n{}\n\n| column | type | meaning |\n|---|---|---|\n", R::TABLE, R::ABOUT);
    for column in R::COLUMNS {
        let _ = writeln!(page, "| {} | {} | {} |", column.name, column.kind.words(), column.says);
    }
}
