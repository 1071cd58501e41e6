//! `roughrun review export`: the records as plain tables.

use super::args::{Export, Form, Places};
use super::{CliError, Kind, Outcome, out};
use crate::review::{self, ExportError, Forms};
use crate::text::counted;

pub(super) fn run(places: &Places, args: &Export) -> Outcome {
    let Some(folder) = args.folder.as_ref().filter(|_| !args.schema) else {
        out::print(&review::schema())?;
        return Ok(0);
    };
    let records = super::Records::list(places, &args.records_folders)?;
    let super::Asked { rows, left_out, filter } = records.rows(&args.only, args.practice)?;
    let forms = match args.form {
        None => Forms::Both,
        Some(Form::Csv) => Forms::Csv,
        Some(Form::Jsonl) => Forms::JsonLines,
    };
    let progress = |done: usize| out::progress(done as u64, rows.len() as u64);
    let done = review::export(&records.shop, (&records.folders, &rows), folder, forms, progress)?;
    records.remark();
    done.unread.iter().for_each(|sentence| out::remark(sentence));
    if left_out > 0 {
        out::remark(&format!(
            "{} {} left out; --practice takes them along.",
            counted(left_out, "practice and demonstration job"),
            if left_out == 1 { "was" } else { "were" }
        ));
    }
    let filter = filter.words().map_or_else(String::new, |words| format!("\n{}", crate::text::safe_text(&words)));
    out::print(&format!(
        "{} of {} {} in {}. SCHEMA.md there says what the tables hold.{filter}",
        counted(done.jobs, "job"),
        counted(done.months, "month"),
        if done.jobs == 1 { "is" } else { "are" },
        crate::text::safe_text(&folder.to_string_lossy())
    ))?;
    Ok(0)
}

impl From<ExportError> for CliError {
    fn from(fault: ExportError) -> Self {
        match fault {
            ExportError::NotEmpty(_) | ExportError::Inside { .. } => Self::new(Kind::Usage, fault.to_string()),
            ExportError::Write { .. } => Self::new(Kind::Record, fault.to_string()),
        }
    }
}
