//! Completions and manual pages, made from the arguments.

use std::fmt::Write as _;

use clap::CommandFactory as _;
use clap_complete::Shell;

use super::args::Args;
use super::{CliError, Kind, Outcome, out};
use crate::tui;

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
    let mut page_text = Vec::new();
    clap_mangen::Man::new(page)
        .render(&mut page_text)
        .map_err(|fault| CliError::new(Kind::Record, format!("The page could not be made: {fault}.")))?;
    let mut text = String::from_utf8_lossy(&page_text).into_owned();
    if command.is_none() {
        text.push_str(&keys());
    }
    out::print(&text)?;
    Ok(0)
}

/// The keys of the screens as a section of the manual page.
fn keys() -> String {
    let mut text = String::from(
        ".SH KEYS\nOn the walk, the small letter beside an answer enters it, and a figure begins a reading.\n",
    );
    for of in tui::keys() {
        // Writing into a String cannot fail.
        let _ = writeln!(text, ".SS In {}", of.place);
        for (keys, does) in of.keys {
            let _ = writeln!(text, ".TP\n\\fB{}\\fR\n{}", escaped(&keys.join(" ")), escaped(does));
        }
    }
    text
}

/// A text that the formatter of manual pages takes as it stands.
fn escaped(text: &str) -> String {
    let text = text.replace('\\', "\\e").replace('-', "\\-");
    if text.starts_with(['.', '\'']) { format!("\\&{text}") } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_manual_page_names_the_keys_and_begins_no_request_by_mistake() {
        let text = keys();
        assert!(text.contains("In the grid") && text.contains("Ctrl\\-S"), "{text}");
        assert_eq!(escaped(".sh \\ -"), "\\&.sh \\e \\-");
    }
}
