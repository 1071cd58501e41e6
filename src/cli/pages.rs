//! Completions and manual pages, made from the arguments.

use clap::CommandFactory as _;
use clap_complete::Shell;

use super::args::Args;
use super::{CliError, Kind, Outcome, out};

pub(super) fn completions(shell: Shell) -> Outcome {
    // Into memory first: the generator does not take a reader that goes away.
    let mut page = Vec::new();
    clap_complete::generate(shell, &mut Args::command(), "roughrun", &mut page);
    out::print(&String::from_utf8_lossy(&page))?;
    Ok(0)
}

pub(super) fn man(command: Option<&str>) -> Outcome {
    let mut whole = Args::command();
    whole.build();
    let page = match command {
        None => whole,
        Some(name) => {
            let found = whole.find_subcommand(name).cloned();
            found.ok_or_else(|| {
                CliError::new(Kind::Usage, format!("There is no command \"{name}\"."))
                    .hint("`roughrun --help` lists them.")
            })?
        }
    };
    let mut text = Vec::new();
    clap_mangen::Man::new(page)
        .render(&mut text)
        .map_err(|fault| CliError::new(Kind::Record, format!("The page could not be made: {fault}.")))?;
    out::print(&String::from_utf8_lossy(&text))?;
    Ok(0)
}
