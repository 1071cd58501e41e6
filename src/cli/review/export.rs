//! `roughrun review export`: the records as plain tables.

use super::args::{Export, Places};
use super::{CliError, Kind, Outcome, out, shops};
use crate::review::{self, ExportError};

pub(super) fn run(places: &Places, args: &Export) -> Outcome {
    let Some(folder) = args.folder.as_ref().filter(|_| !args.schema) else {
        out::print(&review::schema())?;
        return Ok(0);
    };
    let done = review::export(&shops(places, &args.records_folders)?, folder)?;
    done.unread.iter().for_each(|sentence| out::remark(sentence));
    out::print(&format!(
        "{} jobs of {} months are in {}. SCHEMA.md there says what the tables hold.",
        done.jobs,
        done.months,
        crate::text::safe_text(&folder.to_string_lossy())
    ))?;
    Ok(0)
}

impl From<ExportError> for CliError {
    fn from(fault: ExportError) -> Self {
        match fault {
            ExportError::Shop(fault) => fault.into(),
            ExportError::NotEmpty(_) | ExportError::Inside { .. } => Self::new(Kind::Usage, fault.to_string()),
            ExportError::Write { .. } => Self::new(Kind::Record, fault.to_string()),
        }
    }
}
