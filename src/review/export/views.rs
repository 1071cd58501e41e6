//! Views of the tables for query engines, with every column's type stated: nothing is left for an engine to guess from the rows.

use std::fmt::Write as _;

use super::folder::Forms;
use crate::tables::{CauseRow, EntryRow, JobRow, Kind, PartRow, ReadingRow, ReplacedRow, Row};

/// An engine whose SQL is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Engine {
    DuckDb,
    Spark,
}

impl Engine {
    pub(super) const ALL: [Self; 2] = [Self::DuckDb, Self::Spark];

    /// Name of its file in the folder.
    pub(super) fn file(self) -> &'static str {
        match self {
            Self::DuckDb => "views-duckdb.sql",
            Self::Spark => "views-spark.sql",
        }
    }

    fn type_of(self, kind: Kind) -> &'static str {
        match (self, kind) {
            (Self::DuckDb, Kind::Text) => "VARCHAR",
            (Self::Spark, Kind::Text) => "STRING",
            (_, Kind::Number) => "DOUBLE",
            (_, Kind::Whole) => "BIGINT",
            (_, Kind::Truth) => "BOOLEAN",
        }
    }
}

/// The views of an export in these forms, for an engine that runs in its folder. JSON Lines is read where it is there: it has texts as they
/// are.
pub(super) fn views(engine: Engine, forms: Forms) -> String {
    let mut sql = "-- Run in this folder.\n".to_owned();
    view::<JobRow>(&mut sql, engine, forms);
    view::<EntryRow>(&mut sql, engine, forms);
    view::<ReadingRow>(&mut sql, engine, forms);
    view::<CauseRow>(&mut sql, engine, forms);
    view::<PartRow>(&mut sql, engine, forms);
    view::<ReplacedRow>(&mut sql, engine, forms);
    sql
}

fn view<R: Row>(sql: &mut String, engine: Engine, forms: Forms) {
    let (form, table) = (if forms == Forms::Csv { "csv" } else { "jsonl" }, R::TABLE);
    let columns = |between: &str, quote: &str| {
        let one = |c: &crate::tables::Column| format!("{quote}{}{quote}{between}{}", c.name, engine.type_of(c.kind));
        R::COLUMNS.iter().map(one).collect::<Vec<_>>()
    };
    // Writing into a String cannot fail.
    let _ = match engine {
        Engine::DuckDb => {
            let columns: Vec<String> =
                columns(": ", "'").iter().map(|column| column.replacen(": ", ": '", 1) + "'").collect();
            let how = if form == "csv" {
                "header = true, auto_detect = false, nullstr = ''"
            } else {
                "format = 'newline_delimited'"
            };
            let reads = if form == "csv" { "read_csv" } else { "read_json" };
            writeln!(
                sql,
                "CREATE VIEW {table} AS SELECT * FROM {reads}('{form}/{table}/*/*/*.{form}', {how},\n  hive_partitioning = true, hive_types = {{'year': 'BIGINT', 'month': 'BIGINT'}},\n  columns = {{{}}});",
                columns.join(", ")
            )
        }
        Engine::Spark => {
            let (using, how) = if form == "csv" {
                ("csv", ", header 'true', multiLine 'false', quote '\"', escape '\"', enforceSchema 'false'")
            } else {
                ("json", "")
            };
            writeln!(
                sql,
                "CREATE TEMPORARY VIEW {table} ({}) USING {using} OPTIONS (path '{form}/{table}'{how});",
                columns(" ", "").join(", ")
            )
        }
    };
}
