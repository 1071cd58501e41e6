//! `roughrun diagnose`: evidence in, ranked causes and next actions out.

use super::args::{Diagnose, Places};
use super::{CliError, Kind, Outcome, out};
use crate::analysis::Analysis;
use crate::diagnose::{self, Findings};
use crate::text::safe_lines;

pub(super) fn run(places: &Places, args: &Diagnose) -> Outcome {
    let library = places.library()?;
    let job = Analysis::of(diagnose::job(&library, &args.evidence)?);
    let findings = Findings::of(&job);
    if args.json {
        let json = serde_json::to_string_pretty(&findings)
            .map_err(|fault| CliError::new(Kind::Fault, format!("The findings have no form in JSON: {fault}.")))?;
        out::print(&json)?;
    } else {
        out::print(&safe_lines(&diagnose::table(&job, &findings)))?;
    }
    Ok(0)
}
